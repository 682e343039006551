"""Steps that do not apply, and taps that would lose marks, in the cab file."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browsers import OpenCab, go, kept_value, progress, reload, written

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]


def log(page: Page) -> list[str]:
    go(page, "record")
    return [line.split("\n", 1)[1] for line in page.locator("[data-log] li").all_inner_texts()]


@pytest.fixture
def page(open_cab: OpenCab) -> Page:
    page = open_cab("tire-fire")
    page.click("[data-next]")
    return page


def first_key(page: Page) -> str:
    return str(page.get_attribute(".is-open .step.is-now", "data-step"))


def test_a_step_that_does_not_apply_leads_on_and_says_so_in_the_record(page: Page) -> None:
    key, words = first_key(page), page.inner_text(".is-open .step.is-now .step__do")
    page.click("[data-not-here]")
    assert progress(page).startswith("Step 2 of")
    page.click("[data-next]")
    written(page)
    assert isinstance(kept_value(page, "absent", key), (int, float))
    assert kept_value(page, "ticks", key) is None
    lines = log(page)
    assert f"Tire smoke or fire: Not here: {words.split(': ')[-1]}" in lines
    assert len([line for line in lines if "Not here" in line]) == 1
    assert len(lines) == 3  # stopped, not here, done


def test_the_list_shows_what_was_not_here_and_can_say_so_too(page: Page) -> None:
    page.click("[data-not-here]")
    page.click("[data-list]")
    steps = page.locator(".is-open .step")
    expect(steps.nth(0).locator("[data-absent]")).to_have_attribute("aria-pressed", "true")
    expect(steps.nth(0).locator("[data-tick]")).not_to_be_checked()
    steps.nth(1).locator("[data-absent]").click()
    expect(steps.nth(1).locator("[data-absent]")).to_have_attribute("aria-pressed", "true")
    steps.nth(1).locator("[data-absent]").click()
    expect(steps.nth(1).locator("[data-absent]")).to_have_attribute("aria-pressed", "false")
    assert len([line for line in log(page) if "Not here" in line]) == 1


def test_another_answer_takes_the_place_of_the_one_before(page: Page) -> None:
    page.click("[data-not-here]")
    page.click("[data-back]")
    assert " · not here, " in progress(page)
    page.click("[data-next]")
    page.click("[data-back]")
    assert " · done at " in progress(page)
    assert len(log(page)) == 2  # stopped, done


def test_what_was_not_here_is_not_asked_again_after_a_reload(page: Page) -> None:
    page.click("[data-not-here]")
    go(page, "tire-fire")
    reload(page)
    assert page.inner_text("[data-next]") == "Go on: step 2"


def test_a_device_step_that_does_not_apply_leaves_the_clock_running(open_cab: OpenCab) -> None:
    page = open_cab("breakdown")
    page.click("[data-next]")
    step = page.evaluate(
        "Array.from(document.querySelectorAll('#breakdown .step')).findIndex("
        "(one) => one.hasAttribute('data-devices-out')) + 1"
    )
    go(page, f"breakdown/{step}")
    page.click("[data-not-here]")
    expect(page.locator("[data-clock-shown]")).to_be_visible()


@pytest.mark.parametrize(("width", "height"), [(390, 844), (844, 390), (1280, 800), (800, 1280), (320, 640)])
def test_the_two_answers_stand_side_by_side_and_apart(open_cab: OpenCab, width: int, height: int) -> None:
    page = open_cab("tire-fire/2", width=width, height=height)
    boxes = {
        name: page.locator(f"[data-{name}]").bounding_box() for name in ("not-here", "next", "back", "list")
    }
    for name, box in boxes.items():
        assert min(box["width"], box["height"]) >= 48, name
        assert box["y"] + box["height"] <= height, name
        assert box["x"] + box["width"] <= width, name
    assert boxes["next"]["width"] * boxes["next"]["height"] > (
        1.3 * boxes["not-here"]["width"] * boxes["not-here"]["height"]
    )
    apart_x = boxes["next"]["x"] - (boxes["not-here"]["x"] + boxes["not-here"]["width"])
    apart_y = boxes["not-here"]["y"] - (boxes["next"]["y"] + boxes["next"]["height"])
    assert max(apart_x, apart_y) >= 6


class TestAskedTwice:
    def test_going_back_to_the_first_step_of_a_block_keeps_the_marks_until_it_is_confirmed(
        self, page: Page
    ) -> None:
        key = first_key(page)
        page.click("[data-next]")
        page.click(".is-open .block.is-now [data-restart]")
        written(page)
        assert kept_value(page, "ticks", key) is not None
        expect(page.locator("[data-keep]")).to_be_focused()
        page.click("[data-keep]")
        expect(page.locator(".is-open .block.is-now [data-restart]")).to_be_focused()
        assert progress(page).startswith("Step 2 of")
        page.click(".is-open .block.is-now [data-restart]")
        page.click("[data-sure]")
        assert progress(page).startswith("Step 1 of")
        written(page)
        assert kept_value(page, "ticks", key) is None

    def test_a_new_stop_keeps_the_time_of_this_one_until_it_is_confirmed(self, page: Page) -> None:
        written(page)
        stopped = kept_value(page, "stopped")
        assert stopped is not None
        go(page, "clock")
        page.click("[data-ten-out]")
        page.click("[data-ten-start]")
        page.click("[data-keep]")
        written(page)
        assert kept_value(page, "stopped") == stopped
        assert kept_value(page, "out") is not None
        page.click("[data-ten-start]")
        page.click("[data-sure]")
        written(page)
        assert kept_value(page, "stopped") > stopped
        assert kept_value(page, "out") is None

    def test_leaving_the_screen_keeps_everything_and_closes_the_question(self, page: Page) -> None:
        page.click("[data-next]")
        page.click(".is-open .block.is-now [data-restart]")
        go(page, "phones")
        go(page, "tire-fire/2")
        expect(page.locator(".twice")).to_have_count(0)
        expect(page.locator(".is-open .block.is-now [data-restart]")).to_be_visible()

    def test_the_buttons_stand_apart_from_the_one_that_is_meant(self, page: Page) -> None:
        go(page, "clock")
        meant = page.locator("[data-ten-out]").bounding_box()
        other = page.locator("[data-ten-start]").bounding_box()
        assert other["y"] - (meant["y"] + meant["height"]) >= 24


def test_a_second_page_draws_its_bar_anew_when_the_first_one_marks(
    cab_file: Path, open_page: OpenPage
) -> None:
    one = open_page(cab_file.as_uri() + "#tire-fire")
    two = one.context.new_page()
    two.goto(cab_file.as_uri() + "#tire-fire")
    expect(two.locator("[data-next]")).to_have_text("I have stopped: step 1")
    one.click("[data-next]")
    one.click("[data-next]")
    expect(two.locator("[data-next]")).to_have_text("Go on: step 2")
