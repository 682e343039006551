"""Points 1 to 10 and 12: what the built procedures say, in which order and in which words."""

from __future__ import annotations

import datetime as dt
import itertools
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import textstat
from bs4 import BeautifulSoup, Tag
from forty_paces.authoring.checks.sources import watch_due
from forty_paces.authoring.findings import ContentFault
from forty_paces.authoring.library import Library, load_library
from forty_paces.authoring.models.procedure import Procedure, Signal
from forty_paces.authoring.wording.registry import RULES, violations_of

from tests.acceptance.reading import orders, place, plain, said, steps, tags_before

PROJECT = Path(__file__).resolve().parents[2]
Pages = Mapping[str, Tag]


def unkept(library: Library, *rules: str) -> list[str]:
    """Every place where one of these rules is broken, waived or not; advice left out."""
    known = {rule.name: rule for rule in RULES}
    assert set(rules) <= set(known)
    return [
        f"{rule.name} {procedure.id}/{hit.address}: {hit.wrong}"
        for procedure in library.procedures
        for rule, hit in violations_of(procedure, library.glossary)
        if rule.name in rules and not (hit.advice or rule.advice)
    ]


def with_step(procedure: Procedure, **words: Any) -> Procedure:
    """The procedure with its first step reworded."""
    first, *blocks = procedure.blocks
    step, *others = first.steps
    changed = first.model_copy(update={"steps": (step.model_copy(update=words), *others)})
    return procedure.model_copy(update={"blocks": (changed, *blocks)})


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("short-sentence", " ".join(["Walk", *["on"] * 20]) + "."),
        ("verb-first", "The brake is on."),
        ("one-action", "Set the brake to park and open the door."),
        ("wanted-state", "Check the brakes."),
        ("measured-step", "Walk back 100 ft (30 m)."),
        ("active-voice", "Let the door be opened by the driver."),
        ("plain-duty", "Walk on; you shall wait."),
        ("condition-first", "Walk on if it is safe."),
        ("no-slash", "Walk back and/or wait."),
        ("short-form-explained", "Call the XQZ line."),
    ],
)
def test_the_checks_relied_on_below_still_find_what_they_are_for(
    library: Library, rule: str, words: str
) -> None:
    spoilt = with_step(library.procedures[0], do=words, measure=None, when=())
    found = [one.name for one, hit in violations_of(spoilt, library.glossary)]
    assert rule in found


def test_point_01_every_action_is_by_heart_or_read_and_done_and_none_is_read_before_the_stopped_line(
    library: Library, pages: Pages, cab_procedures: Pages, cards: Pages
) -> None:
    faces = {procedure.id: cards[procedure.code] for procedure in library.procedures}
    for shown in (pages, cab_procedures, faces):
        for name, page in shown.items():
            (stopped,) = page.select(f'[data-key="{name}/stopped"]')
            line = place(page, stopped)
            for tag in page.select('[data-key$="/do"]'):
                part = str(tag["data-key"]).split("/")[1]
                by_heart = any("by-heart" in " ".join(one.get("class", [])) for one in tag.parents)
                assert (part == "by_heart") == by_heart, tag["data-key"]
                assert (place(page, tag) < line) == by_heart, tag["data-key"]
            assert stopped.get_text().startswith("After you have stopped")


def test_point_02_at_most_four_by_heart_lines_of_ten_words_in_one_box_under_the_title(
    library: Library, pages: Pages, cab_procedures: Pages, cards: Pages
) -> None:
    """The cues belong to the title: it names the event, they say how to recognize it."""
    for procedure in library.procedures:
        for page in (pages[procedure.id], cab_procedures[procedure.id]):
            (box,) = page.select(".by-heart")
            lines = box.select("li [data-key$='/do']")
            assert 1 <= len(lines) <= 4
            assert all(len(line.get_text().split()) <= 10 for line in lines), procedure.id
            before = [one for one in page.find_all(True)[: place(page, box)] if one.get("data-key")]
            assert {f"{procedure.id}/title"} == {
                str(one["data-key"]) for one in before if "/cues/" not in str(one["data-key"])
            }
        face = cards[procedure.code]
        # A long card takes both faces of a leaf: each has its head, and the box stands on the front.
        (head, *back), (box,) = face.select(".head"), face.select(".by-heart")
        assert len(back) <= 1
        assert all(place(face, box) < place(face, other) for other in back)
        assert [] == tags_before(head, box)
        assert len(lines) == len(box.select("[data-key]"))


def test_point_03_one_to_nine_numbered_steps_a_block_one_order_each_in_20_words(
    library: Library, pages: Pages
) -> None:
    for name, page in pages.items():
        numbers = []
        for block in page.select("section.block"):
            rows = block.select("li.step")
            assert 1 <= len(rows) <= 9, name
            numbers += [row.select_one(".step__number").get_text() for row in rows]
        assert [f"{n}." for n in range(1, len(numbers) + 1)] == numbers
        long = {key: text for key, text in steps(page).items() if len(text.split()) > 20}
        assert {} == long
    assert [] == unkept(library, "block-size", "one-action", "short-sentence", "verb-first")


def test_point_04_the_most_critical_steps_of_a_block_come_first_or_say_why_not(library: Library) -> None:
    for procedure in library.procedures:
        for block in procedure.blocks:
            for earlier, later in itertools.pairwise(block.steps):
                if later.critical and not earlier.critical:
                    assert later.order_reason, f"{procedure.id}/{block.id}/{later.id}"
        assert any(step.critical for block in procedure.blocks for step in block.steps), procedure.id


def test_point_05_a_page_is_a_line_with_one_decision_and_every_branch_closed(
    library: Library, pages: Pages
) -> None:
    for procedure in library.procedures:
        page = pages[procedure.id]
        tables = page.select("table.decision")
        assert len(tables) <= 1
        # The step that decides whether to go holds its other way whole, so nothing else nests in it.
        assert len(page.select("ol.steps .other-way")) <= 1
        nested = page.select("ol.steps ol, ol.steps ul, ol.steps a")
        assert [] == [one for one in nested if one.name == "a" or not one.find_parent(class_="other-way")]
        for row in page.select("table.decision tbody tr"):
            assert row.select_one("td [data-key$='/do']") is not None
            ends = row.select(".leads-to")
            if ends[0].name != "a":
                assert ["Then you are finished."] == [end.get_text() for end in ends]
                continue
            for end in ends:
                opened = pages[str(end["href"]).removesuffix(".html")]
                assert f"Open: {opened.h1.get_text()}" == end.get_text()
        if tables:
            assert [th.get_text() for th in tables[0].select("thead th")] == ["If", "Then"]
            assert place(page, page.select("li.step")[-1]) < place(page, tables[0])


def test_point_06_every_procedure_ends_with_a_state_the_driver_can_see(
    library: Library, pages: Pages, cab_procedures: Pages, cards: Pages
) -> None:
    assert [] == unkept(library, "visible-finish")
    for procedure in library.procedures:
        for page in (pages[procedure.id], cab_procedures[procedure.id], cards[procedure.code]):
            (finished,) = page.select(".finished")
            assert f"Finished when: {procedure.finished}" == finished.get_text()
            assert place(page, finished) > max(
                place(page, one) for one in page.select('[data-key*="/blocks/"], [data-key*="/decision/"]')
            )


DEATH = re.compile(r"\bkill(?:s|ed)?\b|\bdie[sd]?\b|\bdeath|drowns?\b|\bcrush(?:es)?\b", re.I)


def test_point_07_a_notice_stands_before_its_step_with_the_word_of_its_severity_symbol_and_border(
    library: Library, pages: Pages, cab_procedures: Pages, cards: Pages
) -> None:
    seen: set[Signal] = set()
    for procedure in library.procedures:
        wanted = {
            f"{procedure.id}/blocks/{block.id}/steps/{step.id}": step.notice
            for block in procedure.blocks
            for step in block.steps
            if step.notice
        }
        for page in (pages[procedure.id], cab_procedures[procedure.id]):
            notices = page.select(".notice")
            assert len(wanted) == len(notices)
            for notice in notices:
                row = notice.find_next_sibling()
                key = str(row.select_one("[data-key$='/do']")["data-key"]).removesuffix("/do")
                signal = wanted[key].signal
                seen.add(signal)
                assert [f"notice--{signal.value}"] == notice["class"][1:]
                assert signal.value.upper() == notice.select_one(".notice__word").get_text(strip=True)
                assert notice.select_one(".notice__word svg") is not None
        for notice in cards[procedure.code].select(".notice"):
            word = notice.select_one(".notice-word").get_text().lower()
            assert f"notice-{word}" in notice["class"]
            assert notice.select_one(".notice-symbol") is not None
            assert "step-do" in notice.find_next_sibling()["class"][0]
        assert sum(one.signal is Signal.DANGER for one in wanted.values()) <= 1
        for key, one in wanted.items():
            # ANSI Z535.4-2007, 4.14: danger will kill; caution is minor or moderate injury; notice is none
            mortal = bool(DEATH.search(f"{one.hazard} {one.consequence}"))
            assert mortal or one.signal is not Signal.DANGER, key
            assert not mortal or one.signal in (Signal.DANGER, Signal.WARNING), key
    assert {Signal.DANGER, Signal.WARNING, Signal.CAUTION} <= seen


VAGUE = re.compile(
    r"\b(?:check|set|verify|inspect)\b|\bas (?:required|needed|necessary)\b|\bif necessary\b", re.I
)
FIGURE = re.compile(r"(?<![\w.,-])\d+(?:[.,/]\d+)*")
UNIT = r"(?: to \d[\d,.]*)? ?(?:ft|m|in|mph|km/h|km|mi|psi|s|min|h|days?|°F|°|%|paces?|lb|kPa)\b"
COUNTED = r" (?:devices?|tie-downs?)\b"
"""What the orders count."""


def test_point_08_no_vague_order_and_every_distance_and_time_has_digits_unit_and_source(
    library: Library, pages: Pages
) -> None:
    assert [] == unkept(library, "measured-step", "wanted-state", "digits-with-unit", "cited-figure")
    for page in pages.values():
        for key, text in orders(page).items():
            assert not VAGUE.search(text) or re.search(r"\d", text), (key, text)
            for figure in FIGURE.finditer(text):
                if figure.group() == "911":
                    continue
                rest = text[figure.end() :]
                assert re.match(f"{UNIT}|{COUNTED}", rest), (key, text)
        for link in page.select("ul.sources a"):
            assert str(link["href"]).partition("#")[2] in library.sources
    cited = {
        name: [str(a["href"]).partition("#")[2] for a in p.select("ul.sources a")]
        for name, p in pages.items()
    }
    for procedure in library.procedures:
        for block in procedure.blocks:
            for step in block.steps:
                measured = step.measure.source if step.measure else ()
                assert {*step.source, *measured} <= set(cited[procedure.id])


def grade(texts: list[str]) -> float:
    """The worse of Flesch-Kincaid and the automated index, by textstat's count of syllables."""
    text = " ".join(plain(one) for one in texts)
    letters = sum(char.isalpha() for char in text)
    words = len(re.findall(r"[A-Za-z][A-Za-z'’-]*", text))
    ends = len(re.findall(r"[.!?](?:\s|$)", text))
    automated = 4.71 * letters / words + 0.5 * words / ends - 21.43
    return float(max(textstat.flesch_kincaid_grade(text), automated))


def test_point_09_orders_read_at_grade_6_or_below_and_the_page_at_8(pages: Pages) -> None:
    for name, page in pages.items():
        assert grade(list(orders(page).values())) <= 6, name
        assert grade(list(said(page).values())) <= 8, name
    hard = "Immediately discontinue operation of the vehicle's propulsion apparatus."
    assert grade([hard]) > 8


def test_point_10_one_term_a_thing_no_shall_no_slash_no_passive_no_unexplained_short_form(
    library: Library, pages: Pages
) -> None:
    assert [] == unkept(
        library,
        "active-voice",
        "plain-duty",
        "condition-first",
        "one-term",
        "no-double-negative",
        "no-slash",
        "short-form-explained",
    )
    plain_capitals = {"A", "I", "911", "DANGER", "WARNING", "CAUTION", "NOTICE"}
    ordered = {name: orders(page) for name, page in pages.items()}
    for name, page in pages.items():
        for key, text in said(page).items():
            assert not re.search(r"\bshall\b|\band/or\b", text, re.I), (key, text)
            passive = key in ordered[name] and re.search(r"\b(?:is|are|be|been)\s+\w+ed\s+by\b", text, re.I)
            assert not passive, (key, text)
            short = set(re.findall(r"\b[A-Z]{2,}\b", text)) - plain_capitals
            for letters in short:
                long = next(one.long for one in library.glossary.abbreviations if one.short == letters)
                assert long in page.get_text(), (name, letters)
    for term in library.glossary.terms:
        for wrong in term.instead_of:
            pattern = re.compile(rf"(?<![\w-]){re.escape(wrong)}(?![\w-])", re.I)
            other = re.compile(re.escape(term.term), re.I)
            for texts in ordered.values():
                for key, text in texts.items():
                    assert not pattern.search(other.sub("", text)), (key, wrong)


def test_point_12_every_procedure_shows_id_version_dates_reviewers_and_sources(
    library: Library, pages: Pages, cab_procedures: Pages, cards: Pages, built_site: Path
) -> None:
    listed = BeautifulSoup((built_site / "about.html").read_text(encoding="utf-8"), "html.parser")
    rows = {row.td.get_text(): row.get_text(" ") for row in listed.select("tbody tr") if row.td}
    for procedure in library.procedures:
        day = f"{procedure.next_review.day} {procedure.next_review:%B} {procedure.next_review.year}"
        which = f"{procedure.code}, version {procedure.version}, in force from "
        for page in (pages[procedure.id], cab_procedures[procedure.id]):
            review = " ".join(page.select_one(".review").get_text().split())
            assert which in review
            assert f"next review by {day}" in review
            assert "Not yet reviewed by your safety lead." in review
            assert page.select(".sources a")
        assert procedure.version in rows[procedure.code]
        # A table has room for the short name of a month.
        short = f"{procedure.next_review.day} {procedure.next_review:%b} {procedure.next_review.year}"
        assert short in rows[procedure.code]
        met = {
            str(one.a["href"]).partition("#")[2]: one.select_one(".basis").get_text()
            for one in pages[procedure.id].select("ul.sources li")
        }
        assert met
        for name, words in met.items():
            read = library.sources[name].checked is not None
            assert read == bool(re.search(r"checked \d+ \w{3} \d{4}", words)), f"{name}: {words}"
        foot = cards[procedure.code].select_one(".foot-words").get_text()
        assert f"version {procedure.version} of " in foot
        assert "review by " in foot


def test_point_12_an_overdue_review_fails_the_build(
    library: Library, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    due = {f"content/procedures/{one.id}.yml": one.next_review for one in library.procedures}
    watches = [day for day in map(watch_due, library.sources.values()) if day is not None]
    due["content/sources.yml"] = min(watches)
    first = min(due.values())
    load_library(PROJECT, first)
    for last in (first, min(one.next_review for one in library.procedures)):
        with pytest.raises(ContentFault) as caught:
            load_library(PROJECT, last + dt.timedelta(days=1))
        for path, day in due.items():
            assert (day <= last) == (path in str(caught.value)), path
