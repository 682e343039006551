"""Longer words in their places: the Spanish cab file and classroom, by the boxes that a browser measures."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.browser.classroom_pages import SIZES
from tests.browsers import go, settle

pytestmark = [pytest.mark.browser, pytest.mark.long]

OpenPage = Callable[..., Page]

BOXES = """(selector) => [...document.querySelectorAll(selector)]
  .map((one) => [one, one.getBoundingClientRect()])
  .filter(([one, box]) => box.width > 2 && getComputedStyle(one).visibility !== "hidden")
  .map(([one, { left, right, top, bottom }]) => ({ words: one.innerText, left, right, top, bottom }))"""

SPILLED = """(selector) => [...document.querySelectorAll(selector)]
  .filter((one) => one.scrollWidth > one.clientWidth)
  .map((one) => [one.innerText, one.scrollWidth - one.clientWidth])"""
"""What stands on the border of its button, or beyond it."""


def boxes(page: Page, selector: str) -> list[dict[str, Any]]:
    """The boxes of what is shown, in pixels of the window."""
    return list(page.evaluate(BOXES, selector))


def in_one_row(found: list[dict[str, Any]]) -> bool:
    """Whether no box begins below the end of another."""
    return max(one["top"] for one in found) < min(one["bottom"] for one in found)


def resized(page: Page, width: int, height: int) -> None:
    """Give the window a size, and let the page do what it does then."""
    page.set_viewport_size({"width": width, "height": height})
    settle(page)


def test_the_line_at_the_top_of_the_start_screen_is_one_row(spanish_site: Path, open_page: OpenPage) -> None:
    page = open_page(spanish_site / "cab.es.html")
    for vehicle in (None, "tractor-trailer"):
        if vehicle:
            go(page, "vehicle")
            page.click(f'[data-vehicle-set="{vehicle}"]')
            go(page, "start")
        for width, height in ((1280, 800), (1024, 768), (800, 1280), (768, 1024)):
            resized(page, width, height)
            found = boxes(page, ".top > *")
            assert in_one_row(found), (vehicle, width, found)
            assert max(one["right"] for one in found) <= width, (vehicle, width)
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (vehicle, width)


def test_no_word_stands_on_the_border_of_its_button(spanish_site: Path, open_page: OpenPage) -> None:
    page = open_page(spanish_site / "cab.es.html")
    spilled = {}
    for width, height in ((800, 1280), (390, 844), (360, 740), (844, 390)):
        for view in ("start", "tire-fire", "find", "record", "help"):
            resized(page, width, height)
            go(page, view)
            words = page.evaluate(SPILLED, ".head :is(a, button), .screen.is-open :is(.tool, .button, .tile)")
            wider = page.evaluate("document.documentElement.scrollWidth") - width
            if words or wider > 0:
                spilled[width, view] = words, wider
    assert spilled == {}


def test_each_row_of_a_decision_begins_with_a_word_of_the_language(
    spanish_site: Path, open_page: OpenPage
) -> None:
    page = open_page(spanish_site / "cab.es.html", width=390, height=844)
    go(page, "tire-fire/decision")
    begins = page.locator("[id='tire-fire/decision'] .decision td:first-child").evaluate_all(
        """all => all.map(one => getComputedStyle(one, "::before").content
          .replace("attr(data-if)", one.dataset.if).replaceAll(/"/g, ""))"""
    )
    assert {" ".join(one.split()) for one in begins} == {"Si"}


@pytest.mark.parametrize("lesson", ["devices", "brakes", "tires"])
def test_the_first_slide_of_a_lesson_is_whole_its_buttons_in_one_row(
    spanish_site: Path, open_page: OpenPage, lesson: str
) -> None:
    page = open_page(spanish_site / f"es/classroom/{lesson}.html", width=1280, height=720)
    for width, height in SIZES:
        resized(page, width, height)
        controls = boxes(page, ".controls button")
        assert in_one_row(controls), controls
        assert max(one["right"] for one in controls) <= width
        page.keyboard.press("t")  # the timer takes its place in the row
        assert in_one_row(boxes(page, ".controls button, .controls__clock"))
        page.keyboard.press("t")
        sessions = boxes(page, ".sessions :is(a, button)")
        assert len(sessions) == 4
        assert max(one["bottom"] for one in sessions) <= boxes(page, ".controls")[0]["top"], (width, sessions)
        assert len({round(one["bottom"] - one["top"]) for one in sessions}) == 1
        assert page.evaluate(SPILLED, ".controls button, .sessions :is(a, button)") == []
        assert page.locator(".slide.is-now").evaluate("one => one.scrollHeight - one.clientHeight") <= 0


def test_the_sight_explorer_fits_the_wall(spanish_site: Path, open_page: OpenPage) -> None:
    page = open_page(spanish_site / "es/classroom/sight.html")
    for width, height in SIZES:
        resized(page, width, height)
        for cause in ("bend", "crest"):
            page.locator(f"input[value={cause}]").check()
            shown = boxes(page, ".sight__left > *, .sight__right > *")
            assert max(one["bottom"] for one in shown) <= height, (width, cause)
            assert in_one_row(boxes(page, ".choices label")), (width, cause)
            letters = page.locator(".sight-notes text").evaluate_all(
                "all => all.map(one => parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a)"
            )
            assert min(letters) >= height / 30, (width, cause)


@pytest.mark.parametrize(("width", "height"), [*SIZES, (800, 1280), (390, 844)])
def test_the_choices_of_the_drivers_seat_are_whole_and_beside_their_names(
    spanish_site: Path, open_page: OpenPage, width: int, height: int
) -> None:
    page = open_page(spanish_site / "es/classroom/seat.html", width=width, height=height)
    cut = page.locator(".seat select").evaluate_all(
        """all => all.map(one => {
          const words = document.createElement("canvas").getContext("2d");
          words.font = getComputedStyle(one).font;
          const longest = Math.max(...[...one.options].map(option => words.measureText(option.text).width));
          return [one.id, Math.round(longest + 16 - one.clientWidth)];
        }).filter(([, by]) => by > 0)"""
    )
    assert width < 700 or cut == []
    names = page.locator(".seat label").evaluate_all(
        """all => all.map(one => {
          const words = document.createRange();
          words.selectNode(one.firstChild);
          const chosen = one.querySelector("select").getBoundingClientRect();
          return chosen.left - words.getBoundingClientRect().right;
        })"""
    )
    assert min(names) >= 4
    if width >= 1280:  # on the wall, with the outcome of a run below the picture
        page.click("#brake")
        assert boxes(page, "#seat")[0]["bottom"] <= height
    assert in_one_row(boxes(page, "#nearer, #device, #farther"))


@pytest.mark.parametrize("page_name", ["drill", "seat", "sight", "placing"])
def test_the_note_on_the_translation_stands_in_line_with_what_is_above_it(
    spanish_site: Path, open_page: OpenPage, page_name: str
) -> None:
    page = open_page(spanish_site / f"es/classroom/{page_name}.html", width=800, height=1280)
    left = page.locator(".listing-link").evaluate_all(
        "all => all.map(one => { const r = document.createRange(); r.selectNodeContents(one);"
        " return Math.round(r.getBoundingClientRect().left); })"
    )
    assert len(left) >= 2
    assert len(set(left)) == 1
