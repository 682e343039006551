"""A step that decides whether the driver goes on: two answers in the bar, and what the second asks for."""

from __future__ import annotations

from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from playwright.sync_api import Page, expect

from tests.browsers import OpenCab, OpenPage, go, reload

pytestmark = pytest.mark.browser

STEP = "breakdown/blocks/make-safe/steps/way-off"
NUMBER = 5


def deciding(open_cab: OpenCab, **size: int) -> Page:
    page = open_cab(f"breakdown/{NUMBER}", **size)
    expect(page.locator(".step.is-now")).to_have_attribute("data-step", STEP)
    return page


def test_the_step_asks_and_both_answers_stand_in_the_bar(open_cab: OpenCab) -> None:
    page = deciding(open_cab)
    expect(page.locator("[data-next]")).to_have_text("There is a way")
    expect(page.locator("[data-other]")).to_have_text("No way off")
    expect(page.locator(".step.is-now .other-way")).to_be_hidden()


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (800, 1280), (390, 844), (844, 390)])
def test_both_answers_are_equally_large_and_in_sight(open_cab: OpenCab, width: int, height: int) -> None:
    page = deciding(open_cab, width=width, height=height)
    yes, no = (page.locator(one).bounding_box() for one in ("[data-next]", "[data-other]"))
    assert yes is not None
    assert no is not None
    assert yes["width"] == pytest.approx(no["width"], abs=2)
    assert yes["height"] == pytest.approx(no["height"], abs=2)
    assert min(yes["width"], no["width"]) >= 96
    assert max(yes["y"] + yes["height"], no["y"] + no["height"]) <= height


def test_no_way_off_shows_what_to_do_in_the_cab_and_stays_on_the_step(
    open_cab: OpenCab, library: Library
) -> None:
    page = deciding(open_cab)
    page.click("[data-other]")
    way = page.locator(".step.is-now .other-way")
    expect(way).to_be_visible()
    breakdown = library.procedure("breakdown")
    assert breakdown is not None
    (step,) = [s for block in breakdown.blocks for s in block.steps if s.if_not is not None]
    assert step.if_not is not None
    for line in step.if_not.lines:
        expect(way).to_contain_text(line.do)
    expect(page.locator(".is-open .progress")).to_contain_text(f"Step {NUMBER} of")


def test_the_answer_is_kept_over_a_reload_and_written_in_the_record(open_cab: OpenCab) -> None:
    page = deciding(open_cab)
    page.click("[data-other]")
    expect(page.locator(".step.is-now .other-way")).to_be_visible()
    reload(page)
    expect(page.locator(".step.is-now .other-way")).to_be_visible()
    go(page, "record")
    expect(page.locator("[data-log]")).to_contain_text("Decided: No way off")


def test_a_way_found_later_leads_on_and_takes_the_first_answer_back(
    cab_file: Path, open_page: OpenPage
) -> None:
    page = open_page(cab_file.as_uri() + f"#breakdown/{NUMBER}")
    page.click("[data-other]")
    page.clock.install()
    page.clock.fast_forward(5000)  # a second tap within a moment would be a double tap
    page.click("[data-next]")
    expect(page.locator(".is-open .progress")).to_contain_text(f"Step {NUMBER + 1} of")
    expect(page.locator("[data-other]")).to_be_hidden()
    page.click("[data-back]")
    expect(page.locator(".step.is-now .other-way")).to_be_hidden()


def test_the_whole_list_shows_both_ways_at_once(open_cab: OpenCab) -> None:
    page = open_cab("breakdown/list")
    way = page.locator(f'[data-step="{STEP}"] .other-way')
    expect(way).to_be_visible()
    expect(page.locator(f'[data-step="{STEP}"] .answers__can')).to_contain_text("There is a way: go on.")
