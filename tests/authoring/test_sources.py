"""The bibliography: the basis of a source, and due dates of watched sources."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from forty_paces.authoring.checks.sources import watch_due
from forty_paces.authoring.library import Library, inspect_project
from forty_paces.authoring.models.sources import READ_BASES, Basis, Source, SourceFile, SourceKind
from pydantic import ValidationError

from tests.faults.projects import project_with

CheckOn = Callable[..., str]

PRACTICE = "  - {id: practice, title: Common practice, kind: common-practice, basis: memory}\n"


def bibliography(basis: str, *fields: str) -> str:
    lines = ["id: road-rule", "title: A rule", "kind: regulation", f"basis: {basis}", *fields]
    return "sources:\n  - " + "\n    ".join(lines) + "\n" + PRACTICE


@pytest.fixture
def check_on(tmp_path: Path) -> CheckOn:
    """A function that returns the findings about a bibliography on a given day."""

    def findings(text: str, today: dt.date = dt.date(2026, 3, 1)) -> str:
        project = project_with(tmp_path, "content/sources.yml", text)
        return "\n".join(str(finding) for finding in inspect_project(project, today).findings)

    return findings


FOUND_AGAIN = ("publisher: The tests", "locator: part 1", "edition: first")


@pytest.mark.parametrize("basis", sorted(READ_BASES))
def test_a_text_that_was_read_needs_its_day(check_on: CheckOn, basis: Basis) -> None:
    copy = ("met_in: A copy",) if basis is Basis.READ_IN_A_COPY else ()
    assert "but on no day" in check_on(bibliography(basis.value, *FOUND_AGAIN, *copy))


@pytest.mark.parametrize("basis", sorted(READ_BASES))
def test_a_text_that_was_read_may_bear_its_day(check_on: CheckOn, basis: Basis) -> None:
    copy = ("met_in: A copy",) if basis is Basis.READ_IN_A_COPY else ()
    assert check_on(bibliography(basis.value, *FOUND_AGAIN, *copy, "checked: 2026-03-01")) == ""


@pytest.mark.parametrize("basis", sorted(set(Basis) - READ_BASES))
def test_a_text_that_nobody_read_bears_no_day(check_on: CheckOn, basis: Basis) -> None:
    other = ("met_in: Another text",) if basis is Basis.SECOND_HAND else ()
    fields = ("publisher: The tests", *other, "checked: 2026-01-05")
    assert f"bears a day of reading, but its basis is {basis.value}" in check_on(
        bibliography(basis.value, *fields)
    )


@pytest.mark.parametrize(
    ("day", "late"), [("2026-02-28", False), ("2026-03-01", False), ("2026-03-02", True)]
)
def test_a_day_of_reading_is_not_still_to_come(check_on: CheckOn, day: str, late: bool) -> None:
    assert late == ("still to come" in check_on(bibliography("read", *FOUND_AGAIN, f"checked: {day}")))


def test_an_unknown_way_of_meeting_a_text_is_refused() -> None:
    with pytest.raises(ValidationError):
        Source(id="rule", title="A rule", kind="regulation", basis="skimmed")


def watched(looked: str) -> Source:
    watch = {"what": "It changes.", "since": "1 May 2025", "where": "the register", "looked": looked}
    return Source.model_validate(
        {"id": "rule", "title": "A rule", "kind": "regulation", "basis": "computed", "watch": watch}
    )


@pytest.mark.parametrize(
    ("looked", "due"),
    [
        ("2025-11-25", dt.date(2026, 5, 25)),
        ("2025-12-31", dt.date(2026, 6, 30)),
        ("2025-08-31", dt.date(2026, 2, 28)),
        ("2027-08-31", dt.date(2028, 2, 29)),
    ],
)
def test_a_watched_source_is_due_six_months_after_the_last_look(looked: str, due: dt.date) -> None:
    assert watch_due(watched(looked)) == due


WATCHED = bibliography(
    "computed",
    "watch: {what: It changes., since: 1 May 2025, where: the register, looked: 2025-12-05}",
)
"""Due on 5 June 2026."""


@pytest.mark.parametrize(
    ("today", "words"),
    [
        (dt.date(2026, 4, 5), ""),  # 61 days before
        (dt.date(2026, 4, 6), "advice: "),  # 60 days before
        (dt.date(2026, 6, 4), "advice: "),
        (dt.date(2026, 6, 5), "advice: "),  # the day itself
        (dt.date(2026, 6, 6), "was due for review on 2026-06-05; today is 2026-06-06"),
    ],
)
def test_a_watch_is_announced_sixty_days_before_and_stops_a_build_after_its_day(
    check_on: CheckOn, today: dt.date, words: str
) -> None:
    text = check_on(WATCHED, today)
    assert bool(words) == ("[review-date]" in text)
    assert words in text
    assert ("was due" in words) == (bool(text) and "advice: " not in text)


def test_an_overdue_watch_names_what_rests_on_the_source(check_on: CheckOn) -> None:
    text = check_on(WATCHED, dt.date(2026, 6, 6))
    assert (
        "with what rests on it: procedures/engine-smoke, procedures/wheel-wobble, rules/plain, shared" in text
    )


def test_reviewers_can_still_read_a_project_whose_watch_is_overdue(tmp_path: Path) -> None:
    inspection = inspect_project(project_with(tmp_path, "content/sources.yml", WATCHED), dt.date(2026, 6, 6))
    assert inspection.library is None
    assert inspection.under_review is not None


def test_a_watch_needs_all_that_it_says() -> None:
    needed = SourceFile.model_json_schema()["$defs"]["Watch"]["required"]
    assert ["what", "since", "where", "looked"] == needed
    with pytest.raises(ValidationError):
        watched("")


def test_no_source_of_the_content_is_named_after_nobody(library: Library) -> None:
    """Title and publisher identify a document, so that a lawyer can ask for it."""
    vague = re.compile(
        r"not recorded|untraceable|\b(two|some|public) pages?\b|county safety sheet|trade press",
        re.IGNORECASE,
    )
    found = {
        source.id: words
        for source in library.sources.values()
        if source.kind is not SourceKind.COMMON_PRACTICE
        for words in (f"{source.title} / {source.publisher} / {source.met_in}",)
        if vague.search(words)
    }
    assert found == {}
