"""The classroom played from end to end in Chromium, WebKit and Firefox, a week and a month later too.

``play.js`` taps the pages' own buttons from within, because a Firefox without a window acts on no Enter. The
pages are served: from a folder, Firefox gives each file its own storage.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.classroom import scenarios
from forty_paces.outputs.classroom.scenario_view import ScenarioView
from forty_paces.outputs.common.context import BuildContext

from tests.browser.classroom_pages import PROJECT, classroom_folder
from tests.browser.serving import SiteServer, serving
from tests.browser.test_cab_firefox import report_of

__all__ = ["classroom_folder"]
pytestmark = pytest.mark.browser

PLAY = (PROJECT / "tests/browser/play.js").read_text(encoding="utf-8")
FIRST, WEEK, MONTH = "2026-12-04", "2026-12-11", "2027-01-01"
MISSED = ["measured-from", "place-ramp"]
SCENARIO = "bridge-lane"
CLASS_SIZE = 20

Play = Callable[[list[tuple[str, str]]], list[Any]]
"""Opens each page and returns what its call returned."""


@pytest.fixture(scope="module")
def scenario(library: Library) -> ScenarioView:
    views = scenarios.views(BuildContext(library, PROJECT / "site_overrides"))
    return next(view for view in views if view.id == SCENARIO)


@pytest.fixture(scope="module")
def address(classroom_folder: Path) -> Iterator[str]:
    with serving(SiteServer(classroom_folder)) as server:
        yield server.address


def in_chromium(request: pytest.FixtureRequest) -> Play:
    context = request.getfixturevalue("chromium").new_context()
    request.addfinalizer(context.close)
    page = context.new_page()

    def play(visits: list[tuple[str, str]]) -> list[Any]:
        seen = []
        for where, script in visits:
            page.goto(where)
            seen.append(json.loads(page.evaluate(f"(() => {{{script}}})()")))
        return seen

    return play


def in_webkit(request: pytest.FixtureRequest) -> Play:
    webkit = request.getfixturevalue("webkit")

    def play(visits: list[tuple[str, str]]) -> list[Any]:
        seen = []
        for where, script in visits:
            webkit.get(where)
            seen.append(json.loads(webkit.execute_script(script)))
        return seen

    return play


def in_firefox(request: pytest.FixtureRequest) -> Play:
    browser = request.getfixturevalue("firefox")

    def play(visits: list[tuple[str, str]]) -> list[Any]:
        report = report_of("run.mjs", browser, *(part for visit in visits for part in visit))
        assert report["faults"] == []
        return list(report["seen"])

    return play


@pytest.fixture(scope="module", params=[in_chromium, in_webkit, in_firefox], ids=lambda one: one.__name__)
def seen(request: pytest.FixtureRequest, address: str, scenario: ScenarioView) -> dict[str, Any]:
    letters = "".join(moment.best.letter.lower() for moment in scenario.best_path())
    missed = json.dumps(MISSED)
    calls = {
        "first": ("devices", f"lesson('{FIRST}', 'B12', '7', 'first', {missed})"),
        "week": ("devices", f"lesson('{WEEK}', 'B12', '7', 'week', [])"),
        "month": ("devices", f"lesson('{MONTH}', 'B12', '7', 'month', [])"),
        "scenario": (f"scenario-{SCENARIO}", f"scenario('{letters}')"),
        "drill": ("drill", f"drill('{FIRST}', 'B12', '7')"),
        "seat": ("seat", "seat('drover-crest')"),
        "test": ("placing", f"test('{FIRST}', 'B12', '7', '1 C')"),
        "class": ("skids", f"classOf('{FIRST}', 'C3', {CLASS_SIZE})"),
        "wiped": ("trainer", "wiped()"),
    }
    visits = [
        (f"{address}{page}.html", f"{PLAY}\nreturn JSON.stringify({call});") for page, call in calls.values()
    ]
    return dict(zip(calls, request.param(request)(visits), strict=True))


def test_a_whole_lesson_asks_again_at_its_end_what_was_missed(seen: dict[str, Any]) -> None:
    asked = seen["first"]["asked"]
    assert asked[-2:] == MISSED
    assert len(set(asked)) == len(asked) - 2
    assert f"Right at the first answer: {len(asked) - 4} of {len(asked) - 2}." in seen["first"]["said"]
    rows = seen["first"]["rows"]
    assert [row["question"] for row in rows] == asked
    assert {row["day"] for row in rows} == {FIRST}
    assert [row["question"] for row in rows if row["verdict"] == "wrong"] == MISSED
    assert seen["first"]["left"] == 0, "nothing of who answered"


def test_a_box_that_was_put_in_order_is_right_and_kept(seen: dict[str, Any]) -> None:
    reply, place = seen["first"]["told"]
    assert reply == "Right, and you were sure."
    assert place.startswith("Class B12, number 7: 2 of ")
    row = seen["first"]["rows"][0]
    assert (row["question"], row["verdict"], row["sure"]) == ("by-heart-warning-devices", "right", "yes")


def test_a_week_later_what_was_missed_comes_first_and_a_month_later_nothing_is_left(
    seen: dict[str, Any],
) -> None:
    week, month = seen["week"], seen["month"]
    assert set(week["asked"][1:3]) == set(MISSED), "after the box"
    assert {row["day"] for row in week["rows"]} == {WEEK}
    assert {row["day"] for row in month["rows"]} == {MONTH}
    for one in (week, month):
        assert {row["verdict"] for row in one["rows"]} == {"right"}
        assert "Nothing is left over for next time." in one["said"]
    assert set(month["asked"]) != set(week["asked"])


def test_a_scenario_goes_by_its_best_choices_to_its_safe_end(
    seen: dict[str, Any], scenario: ScenarioView
) -> None:
    path = scenario.best_path()
    answers = [f"n{moment.best.number}" for moment in path]
    moments = [f"moment-{moment.id}" for moment in path]
    pairs = [one for pair in zip(moments, answers, strict=True) for one in pair]
    assert seen["scenario"] == ["story", *pairs, f"end-{scenario.best_end().id}"]


def test_a_drill_ends_with_every_act_done_and_one_row(seen: dict[str, Any]) -> None:
    drill = seen["drill"]
    assert drill["done"] == drill["of"] > 10
    assert f"Right at the first try: {drill['of']} of {drill['of']}." in drill["said"]
    assert [(row["day"], row["verdict"]) for row in drill["rows"]] == [(FIRST, "right")]


def test_a_driver_in_the_seat_brakes_at_first_sight_and_learns_how_it_ends(seen: dict[str, Any]) -> None:
    seat = seen["seat"]
    assert seat["steps"] > 3
    assert seat["shapes"] > 5
    assert seat["device"] >= 1
    assert seat["result"][0].startswith("Brake at ")
    assert "No device and no lamps were in view there." not in seat["result"]
    assert all("drivers are warned from" in line for line in seat["engine"])
    assert ["of 100 drivers" in line for line in seat["hundred"]] == [True]


def test_a_matched_test_counts_every_situation_that_is_right(seen: dict[str, Any]) -> None:
    assert seen["test"]["said"] == "Test 1 C is done: 4 of 4 situations count."
    assert [row["verdict"] for row in seen["test"]["rows"]] == ["right"] * 4


def test_a_class_of_twenty_leaves_its_numbers_and_the_trainer_wipes_them(seen: dict[str, Any]) -> None:
    assert seen["class"]["seen"] == [0] * CLASS_SIZE, "nothing of the last learner"
    assert seen["class"]["left"] == 0
    assert [row for row in seen["class"]["rows"] if row[0] == "C3"] == [
        ["C3", str(number), FIRST, "right" if number % 2 else "wrong"] for number in range(1, CLASS_SIZE + 1)
    ]
    assert seen["wiped"] == {"numbers": CLASS_SIZE + 1, "left": 0}
