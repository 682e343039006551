"""The driver's seat in Chromium: steps, plays at speed, brakes, and says what the engine computed."""

from __future__ import annotations

from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.geometry.records import Toward
from forty_paces.outputs.classroom.seat_side import SeatSide
from playwright.sync_api import Page, expect

from tests.browser.auditing import violations
from tests.browser.classroom_pages import (
    SIZES,
    OpenPage,
    asked_elsewhere,
    classroom_folder,
    height_in_letters,
)

__all__ = ["classroom_folder"]
pytestmark = pytest.mark.browser

CREST = "Just over a crest"
TO_THE_END = "() => { const step = document.getElementById('step'); while (!step.disabled) step.click(); }"


@pytest.fixture
def page(classroom_folder: Path, open_page: OpenPage) -> Page:
    opened = open_page(classroom_folder / "seat.html", width=1280, height=720)
    opened.select_option("#scene", label=CREST)
    yield opened
    assert [] == opened.faults
    assert [] == asked_elsewhere(opened)


def step(page: Page, times: int) -> None:
    """Presses the button so often, the last time with the pointer."""
    page.evaluate("times => { while (times-- > 1) document.getElementById('step').click(); }", times)
    if times:
        page.click("#step")


@pytest.mark.walk
def test_a_driver_who_brakes_at_first_sight_gets_what_the_engine_computed(
    page: Page, library: Library
) -> None:
    side = SeatSide(library.rules["us"].rule_set, library.scenes["drover-crest"], Toward.BEHIND)
    for button, at_ft in (("#as-set", 100.0), ("#as-moved", 210.0)):
        page.click(button)
        spots = [None, *side.inner, (at_ft, side.across)]
        seen = [side.in_view(spot, side.lights[0], side.free(spot)) for spot in spots]
        first = next(frame for frame in range(len(side.eyes_ft)) if any(one[frame] for one in seen))
        expect(page.locator("#picture-one .seat-device")).to_have_count(0)
        step(page, first)
        page.click("#brake")
        distance = side.eyes_ft[first]
        expect(page.locator("#result")).to_contain_text(f"Brake at {distance} ft before the vehicle.")
        end = side.end(55.0, distance)
        wanted = f"hits the vehicle at {end} mph" if end > 0 else f"stops {-end} ft short"
        expect(page.locator("#result")).to_contain_text(wanted)
        expect(page.locator("#picture-one .seat-device").first).to_be_attached()
        assert "In view: the far device" in page.inner_text("#caption-one")
    assert "No device and no lamps" not in page.inner_text("#result")


def test_braking_before_anything_is_in_view_is_said_to_be_too_soon(page: Page) -> None:
    step(page, 2)
    page.click("#brake")
    expect(page.locator("#result")).to_contain_text("No device and no lamps were in view there.")
    expect(page.locator("#brake")).to_be_disabled()


def test_the_rules_distance_and_the_moved_one_stand_side_by_side(page: Page) -> None:
    step(page, 22)
    page.click("#beside")
    captions = [page.inner_text(f"#caption-{name}") for name in ("one", "other")]
    assert ["Far device at 100 ft.", "Far device at 210 ft."] == captions
    assert 0 == page.locator("#picture-one .seat-device").count()
    assert 1 == page.locator("#picture-other .seat-device").count()
    assert "warned from 386 ft" in page.inner_text("#engine")
    assert "warned from 513 ft" in page.inner_text("#engine")


def test_a_run_plays_at_the_chosen_speed_until_it_ends(classroom_folder: Path, open_page: OpenPage) -> None:
    page = open_page("about:blank")
    page.clock.install()
    page.goto((classroom_folder / "seat.html").as_uri())
    page.select_option("#scene", label=CREST)
    page.click("#play")
    page.clock.run_for(2000)
    assert "Pause" == page.inner_text("#play")
    seconds = float(page.inner_text("#clock").split()[0])
    assert 1.5 < seconds <= 2.1, "20 ft at 55 mph take a quarter of a second"
    page.clock.run_for(15_000)
    expect(page.locator("#result")).to_contain_text("No brake: the car hits the vehicle at 55 mph.")
    assert "Play" == page.inner_text("#play")


def test_where_no_movement_is_wanted_only_steps_remain(classroom_folder: Path, open_page: OpenPage) -> None:
    page = open_page(classroom_folder / "seat.html", reduced_motion="reduce")
    expect(page.locator("#play")).to_be_disabled()
    before = page.inner_text("#clock")
    page.keyboard.press("p")
    page.keyboard.press("ArrowRight")
    assert before != page.inner_text("#clock")
    expect(page.locator("#result")).to_contain_text("use Step")


def test_by_night_nothing_is_drawn_beyond_the_reach_of_the_lamps(page: Page) -> None:
    page.select_option("#light", "1")
    assert "is-night" in (page.get_attribute("#picture-one", "class") or "")
    assert 0 == page.locator("#picture-one .seat-end").count(), "no vehicle out of reach"
    lit = float(page.get_attribute("#lit-one rect", "y") or 0)
    assert 230 < lit < 300, "250 ft ahead, 3.5 ft below the eye: 25 pixels below the horizon"
    step(page, 40)
    assert 1 <= page.locator("#picture-one .seat-end").count()


def test_every_road_and_driver_can_be_opened_and_driven_to_the_end(page: Page) -> None:
    scenes = page.locator("#scene option").all_inner_texts()
    assert 19 == len(scenes)
    for scene in scenes:
        page.select_option("#scene", label=scene)
        for side in range(page.locator("#side option").count()):
            if side:
                page.select_option("#side", str(side))
            page.evaluate(
                "while (!document.getElementById('step').disabled) document.getElementById('step').click()"
            )
            expect(page.locator("#result")).to_contain_text("No brake")


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_picture_and_choices_fit_the_wall_and_read_from_the_back_row(
    classroom_folder: Path, open_page: OpenPage, width: int, height: int
) -> None:
    page = open_page(classroom_folder / "seat.html", width=width, height=height)
    for scene in (CREST, "Divided highway, right bend with a noise wall"):
        page.select_option("#scene", label=scene)
        step(page, 12)
        page.click("#brake")
        box = page.locator("#seat").bounding_box()
        assert box["y"] + box["height"] <= height
        assert height_in_letters(page, ".bar *, .seat *") <= 30
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_on_a_phone_nothing_runs_over_the_edge_and_it_is_clean_by_axe(
    classroom_folder: Path, open_page: OpenPage
) -> None:
    page = open_page(classroom_folder / "seat.html", width=390, height=844)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    for button in page.locator("#seat button:visible, #seat select").all():
        box = button.bounding_box()
        assert box["height"] >= 48
        assert box["width"] >= 48
    assert [] == violations(page)


def test_without_scripts_every_run_stands_in_words(classroom_folder: Path, open_page: OpenPage) -> None:
    page = open_page(classroom_folder / "seat.html", java_script_enabled=False)
    page.locator(".seat-words summary").click()
    expect(page.locator(".seat-words")).to_contain_text("Device at 210 ft: drivers are warned from 513 ft.")
