"""The list before the trip in the cab file: ticks with times, a dated record of its own, paper and file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from playwright.sync_api import Page, expect

from tests.browsers import OpenCab, kept_rows, reload, written

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]


def opened(open_cab: OpenCab) -> Page:
    page = open_cab()
    page.click('#start [href="#trip"]')
    return page


def test_it_says_first_that_it_is_not_the_legal_inspection_and_shows_every_point(
    open_cab: OpenCab, library: Library
) -> None:
    page = opened(open_cab)
    assert page.inner_text("#trip .know-first") == library.before_trip.know_first.text
    assert "not the inspection the law asks for" in page.inner_text("#trip .know-first")
    points = [f"{group.id}/{point.id}" for group in library.before_trip.groups for point in group.points]
    boxes = "all => all.map(one => one.dataset.tripPoint)"
    assert page.eval_on_selector_all("[data-trip-point]", boxes) == points
    for group in library.before_trip.groups:
        for point in group.points:
            key = f"before-trip/{group.id}/{point.id}"
            assert page.text_content(f'[data-key="{key}/right"]') == point.right
            assert page.text_content(f'[data-key="{key}/otherwise"]') == point.otherwise


def test_ticks_and_text_are_kept_with_their_vehicle_and_apart_from_the_record(open_cab: OpenCab) -> None:
    page = open_cab("vehicle")
    page.click('[data-vehicle-set="straight-truck"]')
    page.click('#start [href="#trip"]')
    expect(page.locator("[data-trip-state]")).to_have_text("Nothing is ticked yet.")
    page.click(".trip .row >> visible=true >> nth=0")
    page.fill("[data-trip-text]", "Left lamp out, replaced.")
    reload(page)
    assert page.locator("[data-trip-point]").first.is_checked()
    assert page.input_value("[data-trip-text]") == "Left lamp out, replaced."
    expect(page.locator("[data-trip-state]")).to_contain_text("1 of")
    written(page)
    assert {row[1] for row in kept_rows(page) if row[2].startswith("trip")} == {"straight-truck"}
    page.evaluate("location.hash = '#record'")
    expect(page.locator("[data-log] li")).to_have_count(0)
    page.evaluate("location.hash = '#clear'")
    page.click("[data-record-clear]")
    page.evaluate("location.hash = '#trip'")
    assert page.locator("[data-trip-point]").first.is_checked()
    page.evaluate("location.hash = '#vehicle'")
    page.click('[data-vehicle-set=""]')
    page.click('#start [href="#trip"]')
    assert not page.locator("[data-trip-point]").first.is_checked()


def test_a_list_with_every_point_ticked_says_from_when_to_when(open_cab: OpenCab) -> None:
    page = opened(open_cab)
    page.evaluate(
        "document.querySelectorAll('#trip li:not([hidden]) [data-trip-point]').forEach((one) => one.click())"
    )
    expect(page.locator("[data-trip-state]")).to_contain_text("Every point is ticked")
    page.click(".trip .row >> visible=true >> nth=3")
    expect(page.locator("[data-trip-state]")).not_to_contain_text("Every point is ticked")


def test_points_that_cannot_apply_to_the_vehicle_are_left_out(open_cab: OpenCab, library: Library) -> None:
    page = open_cab("vehicle")
    for vehicle in library.fleet.vehicles:
        page.evaluate("location.hash = '#vehicle'")
        page.click(f'[data-vehicle-set="{vehicle.id}"]')
        shown = page.eval_on_selector_all(
            "#trip li:not([hidden]) [data-trip-point]", "all => all.map(one => one.dataset.tripPoint)"
        )
        assert shown == [
            f"{group.id}/{point.id}"
            for group in library.before_trip.groups
            for point in group.points
            if vehicle.meets(point.when) is not False
        ]


def test_it_is_saved_and_printed_with_date_vehicle_ticks_and_text(
    cab_file: Path, open_page: OpenPage, library: Library
) -> None:
    page = open_page(cab_file.as_uri() + "#vehicle")
    page.click('[data-vehicle-set="straight-truck"]')
    page.click('#start [href="#trip"]')
    page.click(".trip .row >> visible=true >> nth=0")
    page.fill("[data-trip-text]", "Left lamp out, replaced.")
    with page.expect_download() as saving:
        page.click("[data-trip-save]")
    assert saving.value.suggested_filename.startswith("before-trip-")
    text = Path(saving.value.path()).read_text(encoding="utf-8")
    lines = text.split("\n")
    assert lines[0].startswith("Before the trip, ")
    assert library.before_trip.know_first.text in text
    assert "unit 118" in text
    assert sum(line.startswith("[x] ") for line in lines) == 1
    assert sum(line.startswith("[ ] ") for line in lines) > 20
    assert "Left lamp out, replaced." in text
    page.evaluate(
        "window.print = () => { window.paper = document.querySelector('[data-trip-paper]').innerText; }"
    )
    page.click("[data-trip-print]")
    assert "Left lamp out, replaced." in page.evaluate("window.paper")
    expect(page.locator("[data-trip-said]")).to_contain_text(saving.value.suggested_filename)


def test_a_new_list_is_started_on_a_second_screen_only(open_cab: OpenCab) -> None:
    page = opened(open_cab)
    page.click(".trip .row >> visible=true >> nth=0")
    page.click('.trip [href="#trip-new"]')
    page.click('#trip-new [href="#trip"]')
    assert page.locator("[data-trip-point]").first.is_checked()
    page.click('.trip [href="#trip-new"]')
    page.click("[data-trip-clear]")
    assert not page.locator("[data-trip-point]").first.is_checked()
    written(page)
    assert [row for row in kept_rows(page) if row[2].startswith("trip")] == []


@pytest.mark.parametrize("text", ["", "large"])
def test_on_a_phone_it_has_no_sideways_scroll_and_every_row_is_96_px(open_cab: OpenCab, text: str) -> None:
    page = open_cab(width=390, height=844)
    if text:
        page.click("[data-text-switch]")
    page.click('#start [href="#trip"]')
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    heights = page.eval_on_selector_all(
        "#trip .row", "all => all.map(one => one.getBoundingClientRect().height)"
    )
    assert min(heights) >= 96


def test_without_scripts_the_list_is_there_to_read(
    cab_file: Path, open_page: OpenPage, library: Library
) -> None:
    page = open_page(cab_file, java_script_enabled=False)
    page.click('#start [href="#trip"]')
    assert page.is_visible("#trip .know-first")
    assert page.locator("#trip .points li").count() == sum(len(g.points) for g in library.before_trip.groups)
    assert page.locator("#trip [data-trip-save]").is_hidden()
