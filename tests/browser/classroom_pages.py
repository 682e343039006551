"""The classroom's pages, and what is read of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import pytest
from forty_paces.outputs.classroom.standalone import FILES
from playwright.sync_api import Page

from tests.browsers import settle
from tests.soaking import SOAK

PROJECT = Path(__file__).resolve().parents[2]
OpenPage = Callable[..., Page]
SIZES = [(1280, 720), (1280, 800), (1920, 1080)] if SOAK else [(1280, 720), (1920, 1080)]

READ_WALL = """() => {
  const slide = document.querySelector('.slide.is-now'), high = innerHeight;
  let least = 1e9, words = '';
  // What is not displayed is passed over with all that it holds: of a lesson one slide is displayed.
  const texts = document.createTreeWalker(
    document.body, NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT,
    node => node.nodeType === Node.TEXT_NODE ? NodeFilter.FILTER_ACCEPT
      : node.matches('script, style, title, desc') || getComputedStyle(node).display === 'none'
        ? NodeFilter.FILTER_REJECT : NodeFilter.FILTER_SKIP,
  );
  for (let node; (node = texts.nextNode());) {
    const holder = node.parentElement;
    if (!node.textContent.trim()) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    const box = range.getBoundingClientRect();
    if (!box.width || !box.height || box.top > high || box.bottom < 0) continue;
    const svg = holder.closest('svg');
    const size = svg ? parseFloat(holder.getAttribute('font-size')) * svg.getScreenCTM().a
      : parseFloat(getComputedStyle(holder).fontSize);
    if (size < least) { least = size; words = node.textContent.trim(); }
  }
  return {
    id: slide ? slide.id : '', open: slide ? slide.querySelectorAll('details[open]').length : 0,
    answers: slide ? slide.querySelectorAll('details').length : 0,
    down: slide ? slide.scrollHeight - slide.clientHeight : 0,
    across: Math.max(slide ? slide.scrollWidth - slide.clientWidth : 0,
      document.documentElement.scrollWidth - innerWidth),
    share: high / least, words: words,
  };
}"""
"""What is projected: the slide, how many answers are open, what overflows, the smallest type."""


SMALLEST = """parts => {
  let least = 1e9;
  for (const element of document.querySelectorAll(parts)) {
    if (!element.textContent.trim() || !element.getClientRects().length) continue;
    if (element.closest('title, desc')) continue;
    const svg = element.closest('svg');
    if (svg && element.tagName !== 'text') continue;
    const size = svg ? parseFloat(element.getAttribute('font-size')) * svg.getScreenCTM().a
      : parseFloat(getComputedStyle(element).fontSize);
    least = Math.min(least, size);
  }
  return innerHeight / least;
}"""


@pytest.fixture(scope="session")
def classroom_folder(built_site: Path) -> Path:
    """Every page of the classroom, without PDF."""
    return built_site / "classroom"


ATTEMPT = """({ situation, devices }) => {
  const first = (selector, within = document) => {
    const found = within.querySelector(selector);
    if (!found || found.disabled) throw new Error("cannot be used: " + selector);
    return found;
  };
  const { across } = JSON.parse(document.getElementById("table").textContent);
  first("#who [type='submit']").click();
  for (let at = 0; at < situation; at += 1) first("#again").click();
  devices.forEach(([toward, distance, where], index) => {
    const row = first(`[data-device='${index}']`);
    first(`[data-set='toward'][value='${toward}']`, row).click();
    const field = first("input", row);
    field.value = String(distance);
    field.dispatchEvent(new Event("input", { bubbles: true }));
    first(`[data-set='across'][value='${across.indexOf(where)}']`, row).click();
  });
  first("#mark").click();
  const verdicts = [...document.querySelectorAll("#marks li")].map(item => item.dataset.verdict);
  return [first(".score").innerText, verdicts];
}"""
"""Begins the sheet, sets devices by the page's own buttons and fields, and has them marked."""


def attempt(page: Page, situation: int, devices: Sequence[tuple[str, int, str]]) -> tuple[str, list[str]]:
    """The score and the verdicts of an attempt at that situation of the sheet, counted from 0."""
    shown, verdicts = page.evaluate(ATTEMPT, {"situation": situation, "devices": devices})
    return str(shown), list(verdicts)


def asked_elsewhere(page: Page) -> list[str]:
    """What the page asked for besides itself and the styles and scripts beside it."""
    own = page.url.split("#")[0]
    beside = f"{own.rpartition('/')[0]}/{FILES}/"
    return [one for one in page.requests if one != own and not one.startswith((beside, "data:"))]


WORK = ".bar *, .task, .devices *, .work *, .stage__road:not([hidden]) text"
"""What is read of the placing exercise."""

WORK_SEEN = f"""({{ count, parts }}) => {{
  const again = document.getElementById("again"), seen = [];
  for (let at = 0; at < count; at += 1) {{
    seen.push({{
      down: again.getBoundingClientRect().bottom - innerHeight,
      across: document.documentElement.scrollWidth - innerWidth, share: ({SMALLEST})(parts),
    }});
    again.click();
  }}
  return seen;
}}"""
"""Of this many situations of the exercise: what lies below the window and beside it, the smallest type."""


def assert_work_fits(page: Page, count: int) -> None:
    """In every size of a projection the next situations of the exercise fit and can be read."""
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        settle(page)
        for seen in page.evaluate(WORK_SEEN, {"count": count, "parts": WORK}):
            assert seen["down"] <= 0, (width, seen)
            assert seen["across"] <= 0, (width, seen)
            assert seen["share"] <= 30, (width, seen)


def height_in_letters(page: Page, parts: str) -> float:
    """How many times the smallest type of those parts fits into the height of the projection."""
    return float(page.evaluate(SMALLEST, parts))


def assert_explorer_fits(page: Page, height: int) -> None:
    """The whole sight explorer is visible in the projection, and readable from the back row."""
    lowest = page.evaluate(
        "Math.max(...['.sight__left', '.sight__right'].flatMap(side => "
        "[...document.querySelector(side).children].map(c => c.getBoundingClientRect().bottom)))"
    )
    assert lowest <= height
    assert height_in_letters(page, ".bar *, .sight *") <= 30
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def explanation_shown(page: Page) -> str:
    """The explorer's reason for the distance, and below its bars what to look for from a moved device."""
    parts = (page.locator("#why").inner_text(), page.locator("#look").inner_text())
    return " ".join(filter(None, parts))


def on_the_wall(page: Page) -> dict[str, Any]:
    return dict(page.evaluate(READ_WALL))
