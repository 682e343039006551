"""The sight explorer in Chromium: sliders, buttons and arrow keys look up what the engine computed."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.classroom import sight_table
from forty_paces.outputs.classroom.sight_table import SightLimit
from playwright.sync_api import Page

from tests.browser.auditing import violations
from tests.browser.classroom_pages import (
    SIZES,
    OpenPage,
    asked_elsewhere,
    assert_explorer_fits,
    classroom_folder,
    explanation_shown,
)

__all__ = ["classroom_folder"]
pytestmark = pytest.mark.browser


@pytest.fixture
def page(classroom_folder: Path, open_page: OpenPage) -> Page:
    opened = open_page(classroom_folder / "sight.html", width=1280, height=720)
    yield opened
    assert [] == opened.faults
    assert [] == asked_elsewhere(opened)


def put(page: Page, **places: int) -> None:
    for name, place in places.items():
        page.locator(f"#{name}").fill(str(place))


AXES = {SightLimit.BEND: ("radius", "offset"), SightLimit.CREST: ("grade", "curve")}


EXPLORE = """asked => asked.map(([cause, places]) => {
  document.querySelector(`input[value=${cause}]`).click();
  for (const [name, place] of Object.entries(places)) {
    const slider = document.getElementById(name);
    slider.value = String(place);
    slider.dispatchEvent(new Event("input", { bubbles: true }));
  }
  const text = id => document.getElementById(id).innerText;
  return {
    why: text("why"), look: text("look"), need: text("gauge-need"), alone: text("gauge-alone"),
    moved: text("gauge-moved"), short: document.getElementById("gauge-moved").classList.contains("is-short"),
  };
})"""
"""What the page shows for each of these settings."""


def test_every_kind_of_setting_shows_the_engines_answer_and_reason(page: Page, library: Library) -> None:
    rules = library.rules["us"].rule_set
    choices = sight_table.choices(rules)
    roads = {
        SightLimit.BEND: [(radius, offset) for radius in choices.radii for offset in choices.offsets],
        SightLimit.CREST: [(grade, curve) for grade in sight_table.GRADES_PCT for curve in choices.curves],
    }
    asked = []
    for cause in SightLimit:
        for speed in (0, 3, 6, 9):
            for light in range(len(rules.visibility)):
                for place in (0, 2, 5):
                    other = (place + speed) % 6
                    first, second = AXES[cause]
                    places = {"speed": speed, "light": light, first: place, second: other}
                    setting = sight_table.ExplorerRoad(cause, *roads[cause][place * 6 + other])
                    scene = choices.scene(setting, choices.speeds_mph[speed], rules.visibility[light])
                    asked.append((str(cause), places, sight_table.answer(rules, scene)))
    shown = page.evaluate(EXPLORE, [(cause, places) for cause, places, _ in asked])
    for (cause, places, wanted), seen in zip(asked, shown, strict=True):
        about = (cause, places)
        assert wanted.reason == " ".join(filter(None, (seen["why"], seen["look"]))), about
        assert f"{wanted.needed} ft" in seen["need"], about
        assert f"{wanted.alone:,} ft" in seen["alone"], about
        assert f"{wanted.distance} ft" in seen["moved"], about
        assert f"{wanted.warning:,} ft" in seen["moved"], about
        assert wanted.ample is not seen["short"], about
    assert 2 * 4 * 3 * 3 == len(asked), "causes, speeds, lights, places"
    # The last of them again, from outside.
    put(page, speed=0)
    put(page, speed=9)
    assert asked[-1][2].reason == explanation_shown(page)


def test_arrow_keys_move_a_slider_by_one_fixed_step(page: Page) -> None:
    page.locator("#speed").focus()
    before = page.locator("#speed-value").inner_text()
    page.keyboard.press("ArrowRight")
    assert ("55 mph", "60 mph") == (before, page.locator("#speed-value").inner_text())
    assert "60 mph" == page.locator("#speed").get_attribute("aria-valuetext")


def test_buttons_do_what_the_slider_does_and_stop_at_its_ends(page: Page) -> None:
    more = page.get_by_role("button", name="Posted speed: more")
    for _ in range(12):
        more.click()
    assert "70 mph" == page.locator("#speed-value").inner_text()
    less = page.get_by_role("button", name="Posted speed: less")
    for _ in range(12):
        less.click()
    assert "25 mph" == page.locator("#speed-value").inner_text()


def test_the_triangle_in_the_picture_stands_at_the_answers_point(page: Page) -> None:
    data = json.loads(page.locator("#table").text_content() or "")
    for cause, settings in (("bend", {"radius": 3, "offset": 0}), ("crest", {"grade": 5, "curve": 2})):
        page.locator(f"input[value={cause}]").check()
        put(page, speed=6, light=0, **settings)
        road = data["roads"][data["drawn"][place_of(data, cause, *settings.values())]]
        distance = (page.locator("#note-device text").text_content() or "").split()[2]
        assert int(distance) > 100
        x, y = road["flags"][distance].split(",")
        assert f"translate({x} {y})" == page.locator("#device").get_attribute("transform")
        assert page.locator("#ghost").get_attribute("display") is None, "where it would have stood"


def test_the_lines_of_sight_begin_where_the_numbers_say(page: Page) -> None:
    data = json.loads(page.locator("#table").text_content() or "")
    for cause, settings in (("bend", {"radius": 0, "offset": 1}), ("crest", {"grade": 4, "curve": 1})):
        page.locator(f"input[value={cause}]").check()
        put(page, speed=6, light=1, **settings)
        place = place_of(data, cause, *settings.values())
        start = len(data["numbers"]) * ((len(data["speeds"]) + 6) * data["places"] + place)
        row = dict(zip(data["numbers"], data["rows"][start:], strict=False))
        road = data["roads"][data["drawn"][place]]
        note = page.locator("#note-eye text").text_content() or ""
        assert note == f"Truck first seen from {row['alone']} ft"
        assert line_ends(page, "line") == (road["eyes"][str(row["alone"])], road["vehicle"])
        assert row["seen"] > row["alone"]
        wanted = (road["eyes"][str(row["seen"])], road["aims"][str(row["distance"])])
        assert line_ends(page, "line-device") == wanted
        first = (page.locator("#unseen").get_attribute("points") or "").split()[0]
        assert first == road["hidden"][str(row["hidden"])]


def place_of(data: dict[str, Any], cause: str, first: int, second: int) -> int:
    """The index of a road in the page's table."""
    shown_text = data["causes"][cause]
    return int(shown_text["first"]) + first * len(data["labels"][shown_text["axes"][1]]) + second


def line_ends(page: Page, name: str) -> tuple[str, str]:
    line = page.locator(f"#{name}")
    x1, y1, x2, y2 = (line.get_attribute(end) for end in ("x1", "y1", "x2", "y2"))
    return f"{x1},{y1}", f"{x2},{y2}"


def test_only_the_sliders_that_count_are_shown(page: Page) -> None:
    assert page.locator("#row-radius").is_visible()
    assert not page.locator("#row-grade").is_visible()
    page.locator("input[value=crest]").check()
    assert not page.locator("#row-radius").is_visible()
    assert page.locator("#row-grade").is_visible()


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_everything_that_counts_fits_the_wall_and_reads_from_the_back_row(
    classroom_folder: Path, open_page: OpenPage, width: int, height: int
) -> None:
    page = open_page(classroom_folder / "sight.html", width=width, height=height)
    for cause, first in (("bend", "radius"), ("crest", "grade")):
        page.locator(f"input[value={cause}]").check()
        for place, light in ((0, 0), (3, 1), (5, 2)):
            put(page, speed=9, light=light, **{first: place})
            assert str(light) == page.locator("#light").input_value(), "a light that there is"
            assert_explorer_fits(page, height)
            boxes = page.evaluate(
                "[...document.querySelectorAll('.sight-notes text')].map(text => { "
                "const box = text.getBoundingClientRect(); "
                "return [box.left, box.top, box.right, box.bottom]; })"
            )
            one, other = boxes
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            assert apart, "two labels never meet"


def test_it_is_clean_by_axe_in_both_ways(page: Page) -> None:
    assert [] == violations(page)
    page.locator("input[value=crest]").check()
    # The table of all answers is the same in both ways: axe-core has read it.
    page.evaluate("document.querySelector('.sight-table').remove()")
    assert [] == violations(page)


def test_without_scripts_there_is_the_table(classroom_folder: Path, open_page: OpenPage) -> None:
    page = open_page(classroom_folder / "sight.html", java_script_enabled=False)
    bends = len(sight_table.RADII["ft"]) * len(sight_table.OFFSETS["ft"])
    crests = len(sight_table.GRADES_PCT) * len(sight_table.CURVES["ft"])
    assert bends + crests == page.locator(".sight-table tbody tr").count()
