"""The plan of the walk shows the vehicle that was chosen, to its length."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from tests.browser.walk_taps import to_plan
from tests.browsers import OpenCab, go

pytestmark = pytest.mark.browser


def shown(page: Page) -> list[str]:
    """The shapes that are visible, without the prefix of their drawing."""
    return list(
        page.eval_on_selector_all(
            ".fp-vehicle-choice",
            "all => all.filter(one => one.getClientRects().length && one.getBoundingClientRect().width)"
            ".map(one => one.id.replace(/^.*-vehicle/, ''))",
        )
    )


def choose(page: Page, vehicle: str) -> None:
    go(page, "vehicle")
    page.click(f'[data-vehicle-set="{vehicle}"]')


def test_each_vehicle_of_the_fleet_takes_the_place_of_the_plain_one(open_cab: OpenCab) -> None:
    page = open_cab("find")
    to_plan(page)
    assert shown(page) == [""]
    expect(page.locator("[data-plan-vehicle]")).to_be_hidden()
    for vehicle, shape, words in (
        ("coach", "-45-0", "Your vehicle: Coach, drawn 45 ft long."),
        ("tractor-trailer", "-70-53", "Your vehicle: Tractor and trailer, drawn 70 ft long."),
    ):
        choose(page, vehicle)
        go(page, "find/road")
        to_plan(page)
        assert shown(page) == [shape]
        expect(page.locator("[data-plan-vehicle]")).to_have_text(words)
        described = page.locator("[data-drawing]:visible desc").text_content()
        assert described is not None
        assert words in described
        assert described.endswith("Not to scale.")


def test_a_shorter_vehicle_is_shorter_on_the_screen(open_cab: OpenCab) -> None:
    page = open_cab("find", width=1280, height=800)
    widths = {}
    for vehicle in ("straight-truck", "tractor-trailer"):
        choose(page, vehicle)
        go(page, "find/road")
        to_plan(page)
        widths[vehicle] = page.evaluate(
            """() => Array.from(document.querySelectorAll(".fp-vehicle-choice .fp-vehicle-group"))
            .map(one => one.getBoundingClientRect().width).find(width => width)"""
        )
    assert widths["straight-truck"] / widths["tractor-trailer"] == pytest.approx(26 / 70, abs=0.05)
