"""Findings about errors in before_trip.yml and after_event.yml."""

from __future__ import annotations

import datetime as dt
import shutil
from pathlib import Path

import pytest
from forty_paces.authoring.findings import Finding
from forty_paces.authoring.library import inspect_project

CONTENT = Path(__file__).parent.parent.parent / "content"
TODAY = dt.date(2026, 12, 1)


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """The lists and what they refer to, without the files that take long to read."""
    shutil.copytree(
        CONTENT, tmp_path / "content", ignore=shutil.ignore_patterns("lessons", "scen*", "ways_out.yml")
    )
    for file in (tmp_path / "content" / "procedures").glob("*.yml"):
        if file.stem != "tire-fire":
            file.unlink()
    return tmp_path


def write(project: Path, name: str, old: str, new: str) -> int:
    """Replace ``old`` by ``new``; returns its line number."""
    file = project / "content" / name
    text = file.read_text(encoding="utf-8")
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {name}"
    file.write_text(text.replace(old, new), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1 + new[: len(new) - len(new.lstrip("\n"))].count("\n")


def found(project: Path, name: str, today: dt.date = TODAY) -> list[Finding]:
    return [one for one in inspect_project(project, today).faults if one.place.path == f"content/{name}"]


def test_the_shipped_lists_have_no_fault(project: Path) -> None:
    assert found(project, "before_trip.yml") == []
    assert found(project, "after_event.yml") == []


def test_a_call_to_an_unknown_phone_names_the_closest_one(project: Path) -> None:
    line = write(project, "after_event.yml", "phone: dispatch", "phone: dispach")
    (finding,) = found(project, "after_event.yml")
    assert finding.wrong == 'there is no phone "dispach" in content/fleet.yml'
    assert "closest: dispatch" in finding.fix
    assert finding.place.line == line


def test_a_phone_is_called_once(project: Path) -> None:
    write(project, "after_event.yml", "phone: tow", "phone: dispatch")
    (finding,) = found(project, "after_event.yml")
    assert finding.wrong == 'the phone "dispatch" is called twice'


def test_a_point_id_is_used_once_in_a_list(project: Path) -> None:
    write(project, "before_trip.yml", "id: wheel-nuts", "id: coolant")
    (finding,) = found(project, "before_trip.yml")
    assert finding.wrong == 'the id "coolant" is used twice in this list'


def test_a_record_id_is_used_once_in_a_list(project: Path) -> None:
    write(project, "after_event.yml", "id: injured", "id: dead")
    (finding,) = found(project, "after_event.yml")
    assert finding.wrong == 'the id "dead" is used twice in this list'


def test_deadlines_stand_soonest_first(project: Path) -> None:
    drugs = "what: Drug test, end\n    hours: "
    above = write(project, "after_event.yml", f"{drugs}32", f"{drugs}20")
    (finding,) = found(project, "after_event.yml")
    assert finding.wrong == '"drug-limit" (20 h) stands below "inspection-report" (24 h)'
    assert finding.place.line == above + 1


@pytest.mark.parametrize("hours", ["0", "-2", "soon", "inf", "99999"])
def test_hours_are_a_number_of_hours(project: Path, hours: str) -> None:
    write(project, "after_event.yml", "hours: 12", f"hours: {hours}")
    assert len(found(project, "after_event.yml")) == 1


def test_a_source_must_exist(project: Path) -> None:
    write(project, "before_trip.yml", "source: [cfr-393-19, cfr-392-7]", "source: [cfr-393-19, cfr-392-77]")
    (finding,) = found(project, "before_trip.yml")
    assert finding.wrong == 'the source "cfr-392-77" does not exist'


def test_a_point_says_which_state_is_right(project: Path) -> None:
    write(project, "before_trip.yml", "        right: Shut, latched and tied.\n", "")
    (finding,) = found(project, "before_trip.yml")
    assert finding.wrong == 'the key "right" is missing'


def test_a_list_past_its_review_day_stops_the_build(project: Path) -> None:
    late = dt.date(2027, 11, 26)
    (finding,) = found(project, "before_trip.yml", late)
    assert "due on 2027-11-25" in finding.wrong
    assert "list" in finding.wrong


def test_a_project_may_do_without_the_lists(project: Path) -> None:
    for name in ("before_trip.yml", "after_event.yml"):
        (project / "content" / name).unlink()
    library = inspect_project(project, TODAY).library
    assert library is not None
    assert library.before_trip is None
    assert library.after_event is None
