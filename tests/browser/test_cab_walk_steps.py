"""Steps that place warning devices: the places that the walk computed stand in them, and no others."""

from __future__ import annotations

from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from playwright.sync_api import expect

from tests.browser.walk_taps import MOVED_OUT, UNDER_THE_FINGER, OpenPage, step_of, to_plan
from tests.browsers import OpenCab, go

pytestmark = pytest.mark.browser


def order_of(library: Library, step: str, procedure: str = "warning-devices") -> str:
    """What the content says of it."""
    blocks = library.procedure(procedure).blocks
    return next(one.do for block in blocks for one in block.steps if one.id == step)


def test_a_step_that_speaks_of_the_devices_lists_their_places_once_they_are_known(
    cab_file: Path, open_page: OpenPage, library: Library
) -> None:
    page = open_page(cab_file.as_uri() + "#" + step_of(library, "devices-out", "breakdown"))
    yours = page.locator(".step.is-now [data-walk-devices] li")
    expect(yours).to_have_count(0)
    page.click(".step.is-now .step__tool [href='#find']")
    to_plan(page, behind=("bend-right", 7, "unknown"))
    page.click("[data-return] a")
    expect(yours.nth(1)).to_have_text("Device 2: 310 ft (124 paces) behind the vehicle.")


def test_a_step_that_places_a_device_shows_the_place_of_the_walk_and_no_other(
    cab_file: Path, open_page: OpenPage, library: Library
) -> None:
    page = open_page(cab_file.as_uri() + "#" + step_of(library, "behind"))
    step = page.locator(".step.is-now")
    expect(step.locator(".step__do")).to_have_text(order_of(library, "behind"))
    expect(step.locator(".step__measure")).to_contain_text("40 paces")
    page.click(".step.is-now .step__tool [href='#find']")
    to_plan(page, behind=("bend-right", 7, "unknown"))
    page.click("[data-return] a")
    expect(step.locator(".step__do")).to_have_text(MOVED_OUT)
    shown = step.inner_text()
    assert "100 ft" not in shown
    assert "40 paces" not in shown
    assert "If it is not safe to go that far, go back." in shown
    expect(step.locator("[data-tick]")).to_have_attribute("aria-label", f"Done: {MOVED_OUT}")


def test_steps_for_devices_that_this_road_does_not_have_say_so(open_cab: OpenCab, library: Library) -> None:
    # 49 CFR 392.22(b): on a two-lane road 10 and 100 ft behind and 100 ft ahead, none 200 ft behind.
    page = open_cab("find")
    to_plan(page, road=0)
    seen = {}
    for name in ("near", "behind", "ahead", "far-behind"):
        go(page, step_of(library, name))
        seen[name] = page.inner_text(".step.is-now .step__do")
    assert seen["near"].startswith("Place device 1: 10 ft (4 paces) behind the vehicle, ")
    assert seen["behind"].startswith("Place device 2: 100 ft (40 paces) behind the vehicle, ")
    assert seen["ahead"].startswith("Place device 3: 100 ft (40 paces) ahead of the vehicle, ")
    assert seen["far-behind"] == "On your road no device stands here: tap Not here."


def test_a_device_that_stands_is_shown_as_such_in_its_step(open_cab: OpenCab, library: Library) -> None:
    page = open_cab("find")
    to_plan(page)
    for _ in range(2):
        page.click("[data-walk-next]")
    go(page, step_of(library, "near"))
    expect(page.locator(".step.is-now [data-place-state]")).to_contain_text("It stands since ")
    go(page, step_of(library, "behind"))
    expect(page.locator(".step.is-now [data-place-state]")).to_be_hidden()


def test_the_record_keeps_the_order_that_was_shown_when_the_step_was_done(
    open_cab: OpenCab, library: Library
) -> None:
    page = open_cab("find")
    to_plan(page, behind=("bend-right", 7, "unknown"))
    go(page, step_of(library, "behind"))
    page.click("[data-next]")
    go(page, "find/conditions")
    page.click("[data-axis=speed][data-place='2']")
    go(page, "record")
    expect(page.locator("[data-log]")).to_contain_text(MOVED_OUT)
    with page.expect_download() as saving:
        page.click("[data-record-save]")
    assert MOVED_OUT in Path(saving.value.path()).read_text(encoding="utf-8")


def test_the_way_back_to_the_step_is_never_behind_the_bar_of_the_walk(
    cab_file: Path, open_page: OpenPage, library: Library
) -> None:
    page = open_page(cab_file.as_uri() + "#" + step_of(library, "devices-out", "breakdown"))
    go(page, "find")
    page.click('[data-axis="road"][data-place="0"]')
    for width, height in ((390, 844), (844, 390), (1280, 800)):
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
        for shown in ("[data-return] a", "[data-walk-next]", "[data-walk-stop]"):
            expect(page.locator(shown)).to_be_in_viewport(ratio=1)
            assert page.locator(shown).evaluate(UNDER_THE_FINGER), (shown, width)
    page.click("[data-return] a")
    expect(page.locator("#breakdown.is-open")).to_be_visible()
