"""Practice in the cab file: marked on every screen, asks what is known by heart, leaves nothing behind."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from playwright.sync_api import Page, expect

from tests.browsers import OpenCab, kept_rows, open_procedure, reload, written

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
SIZES = ((1280, 800), (800, 1280), (390, 844), (844, 390))


def practicing(page: Page) -> Page:
    page.click("[data-practice-switch]")
    return page


def recall_all(page: Page, lines: int) -> None:
    for _ in range(2 * lines):
        page.click("[data-next]")


def test_before_the_steps_each_line_is_asked_for_then_shown(open_cab: OpenCab, library: Library) -> None:
    page = practicing(open_cab())
    open_procedure(page, "tire-fire")
    lines = library.procedure("tire-fire").by_heart
    words = page.locator("#tire-fire .by-heart li > [data-key]:not(.why)")
    assert words.count() == len(lines) > 1
    for number, line in enumerate(lines):
        expect(page.locator("[data-recall]")).to_contain_text(f"line {number + 1} of {len(lines)}")
        expect(words.nth(number)).to_be_hidden()
        assert page.inner_text("[data-next]") == f"Show line {number + 1}"
        assert page.evaluate("scrollY") == 0
        page.click("[data-next]")
        expect(words.nth(number)).to_be_visible()
        assert words.nth(number).inner_text() == line.do
        page.click("[data-next]")
    expect(page.locator("[data-recall]")).to_be_hidden()
    assert page.inner_text("[data-next]") == "I have stopped: step 1"
    page.click("[data-next]")
    assert page.inner_text(".is-open .progress").startswith("Step 1 of")


def test_outside_practice_every_line_is_shown_at_once(open_cab: OpenCab) -> None:
    page = open_cab()
    open_procedure(page, "tire-fire")
    lines = page.locator("#tire-fire .by-heart li > [data-key]:not(.why)")
    assert all(line.is_visible() for line in lines.all())
    assert page.locator("[data-recall]").is_hidden()


UNMARKED = """() => {
  scrollTo(0, 0);
  const unmarked = [];
  for (const screen of document.querySelectorAll(".screen")) {
    history.replaceState(null, "", "#" + screen.id);
    window.dispatchEvent(new HashChangeEvent("hashchange"));
    const mark = document.querySelector("[data-practice-end]");
    const box = mark.getBoundingClientRect();
    const there = document.elementFromPoint((box.left + box.right) / 2, (box.top + box.bottom) / 2);
    const frame = getComputedStyle(document.body, "::after");
    const bordered = frame.borderTopStyle === "dashed" && frame.position === "fixed"
      && parseFloat(frame.borderTopWidth) >= 4;
    const worded = mark.checkVisibility() && /practice/i.test(mark.innerText) && mark.contains(there);
    const wide = document.documentElement.scrollWidth > innerWidth;
    const titled = document.title.includes("Practice");
    const open = screen.matches(".is-open");
    if (!open || !bordered || !worded || wide || !titled) unmarked.push(screen.id);
  }
  return unmarked;
}"""
"""The screens that do not say that this is practice."""


def test_it_is_marked_by_words_and_a_border_on_every_screen(open_cab: OpenCab) -> None:
    page = practicing(open_cab())
    found = {}
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        found[width, height] = page.evaluate(UNMARKED)
    assert found == {size: [] for size in SIZES}


def test_a_whole_practice_leaves_no_mark_no_time_and_no_line_behind(
    open_cab: OpenCab, library: Library
) -> None:
    page = open_cab()
    written(page)
    before = kept_rows(page)
    practicing(page)
    open_procedure(page, "tire-fire")
    recall_all(page, len(library.procedure("tire-fire").by_heart))
    while not page.locator("#tire-fire [data-decision]").is_visible():
        page.click("[data-next]")
    page.click('.is-open [data-choice][href="#tire-fire/finished"]')
    page.click("[data-next]")
    assert page.locator("[data-clock-shown]").is_hidden()
    page.click("[data-practice-end]")
    written(page)
    assert kept_rows(page) == before
    assert page.locator("html[data-practice]").count() == 0
    page.evaluate("location.hash = '#tire-fire/list'")
    page.wait_for_selector("#tire-fire.is-open")
    assert not any(page.eval_on_selector_all("#tire-fire [data-tick]", "all => all.map(one => one.checked)"))
    page.evaluate("location.hash = '#record'")
    expect(page.locator("[data-log] li")).to_have_count(0)
    page.evaluate("location.hash = '#clock'")
    expect(page.locator("[data-ten-out]")).to_be_hidden()


def test_a_real_stop_goes_on_as_it_was_while_practicing_and_after_it(open_cab: OpenCab) -> None:
    page = open_cab()
    open_procedure(page, "tire-fire")
    page.click("[data-next]")
    page.click("[data-next]")
    page.click(".top__start")
    written(page)
    before = kept_rows(page)
    practicing(page)
    assert page.locator("[data-clock-shown]").is_visible()
    open_procedure(page, "tire-fire")
    page.click("[data-list]")
    assert not any(page.eval_on_selector_all("#tire-fire [data-tick]", "all => all.map(one => one.checked)"))
    page.click(".is-open .step >> nth=2")
    page.click("[data-practice-end]")
    page.evaluate("location.hash = '#tire-fire/list'")
    page.wait_for_selector("#tire-fire.is-open")
    ticked = page.eval_on_selector_all("#tire-fire [data-tick]", "all => all.map(one => one.checked)")
    assert ticked[:3] == [True, False, False]
    written(page)
    assert kept_rows(page) == before


def test_while_practicing_nothing_can_be_written_and_no_call_is_made(
    cab_file: Path, open_page: OpenPage
) -> None:
    page = practicing(open_page(cab_file))
    page.evaluate(
        "document.addEventListener('click', (event) => {"
        " window.dialed = !event.defaultPrevented; event.preventDefault(); })"
    )
    page.click(".dial__call >> nth=0")
    assert page.evaluate("window.dialed") is False
    expect(page.locator("[data-practice-said]")).to_have_text("Practice: no call is made.")
    for screen in ("record", "clock", "trip"):
        page.evaluate("(screen) => { location.hash = '#' + screen; }", screen)
        page.wait_for_selector(f"#{screen}.is-open")
        assert page.evaluate("(screen) => document.getElementById(screen).inert", screen)
        expect(page.locator("[data-practice-said]")).to_contain_text("closed")
    page.click("[data-practice-end]")
    page.click(".dial__call >> nth=0")
    assert page.evaluate("window.dialed") is True
    assert page.evaluate("document.getElementById('record').inert") is False


def test_a_reload_goes_on_practicing_and_a_new_visit_does_not(cab_file: Path, open_page: OpenPage) -> None:
    page = practicing(open_page(cab_file))
    open_procedure(page, "tire-fire")
    reload(page)
    assert page.locator("html[data-practice]").count() == 1
    assert page.locator("[data-recall]").is_visible()
    other = page.context.new_page()
    other.goto(cab_file.as_uri())
    assert other.locator("html[data-practice]").count() == 0
    assert other.locator("[data-practice-end]").is_hidden()
