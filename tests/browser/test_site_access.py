"""The site against WCAG 2.2 AA by axe-core, in both looks, and against the type sizes of the screen rules."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.acceptance.screens import SITE_PAGES
from tests.browser.auditing import CONTRAST, ENHANCED, violations
from tests.browsers import one_page
from tests.soaking import SOAK

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
KINDS = (
    "index.html",
    "procedures/tire-fire.html",
    "procedures/warning-devices.html",
    "placing/index.html",
    "placing/two-lane.html",
    "placing/tables.html",
    "reference/stopping.html",
    "after-event.html",
    "sources.html",
    "about.html",
    "writing.html" if SOAK else "tablets.html",  # long and short prose of one template
)
FEWER = """(most) => {
  if (most === null) return;
  for (const list of document.querySelectorAll("article :is(ol, ul, dl, tbody)")) {
    const rows = Array.from(list.children);
    if (rows.length > most) rows.slice(most / 2, -most / 2).forEach((row) => row.remove());
  }
}"""
"""Leaves the first and the last rows of what is long: they come from one template."""
TRANSITIONS_ENDED = (
    "Promise.all(document.getAnimations().map((one) => one.finished.catch(() => null))).then(() => 0)"
)


@pytest.fixture(scope="module")
def shared_page(chromium: Browser) -> Iterator[Page]:
    """One page for tests that only look: each begins with an address, and changes nothing that is kept."""
    with one_page(chromium, "about:blank") as page:
        yield page


@pytest.mark.soak
@pytest.mark.parametrize("kind", KINDS)
def test_a_page_has_no_violation_at_aa_by_day_nor_too_little_contrast_by_night(
    built_site: Path, shared_page: Page, kind: str
) -> None:
    page = shared_page
    page.goto((built_site / kind).as_uri())
    page.evaluate(TRANSITIONS_ENDED)
    page.evaluate(FEWER, None if SOAK else 16)
    assert [] == violations(page)
    if kind in SITE_PAGES and not SOAK:
        return  # tests/acceptance/test_screens.py has the contrast of every text there by night, point 15
    page.evaluate("document.body.setAttribute('data-md-color-scheme', 'slate')")
    page.evaluate(TRANSITIONS_ENDED)
    assert [] == violations(page, CONTRAST)


def test_the_checker_is_not_dead(open_page: OpenPage, tmp_path: Path) -> None:
    bad = tmp_path / "bad.html"
    pale = "<p style='color:#ccc;background:#fff'>pale</p>"
    bad.write_text(f"<title></title><img src=x>{pale}<button></button>")
    assert len(violations(open_page(bad))) >= 3


def test_steps_and_the_by_heart_box_reach_the_higher_contrast(built_site: Path, shared_page: Page) -> None:
    page = shared_page
    page.goto((built_site / "procedures/tire-fire.html").as_uri())
    page.evaluate(TRANSITIONS_ENDED)
    assert [] == violations(page, ENHANCED, within=".by-heart, .step__do"), "by day"
    page.evaluate("document.body.setAttribute('data-md-color-scheme', 'slate')")
    page.evaluate(TRANSITIONS_ENDED)
    assert [] == violations(page, ENHANCED, within=".by-heart, .step__do"), "by night"
    page.evaluate("document.querySelectorAll('.step__do').forEach((one) => { one.style.color = '#888'; })")
    assert violations(page, ENHANCED, within=".by-heart, .step__do"), "what is pale is found"


def test_type_is_never_below_the_screen_minimum(built_site: Path, shared_page: Page) -> None:
    # Point 24 of the thirty: body 18 px, nothing that is read below 15 px.
    page = shared_page
    page.goto((built_site / "procedures/tire-fire.html").as_uri())
    sizes = page.evaluate(
        """() => [...document.querySelectorAll('.md-content :is(p, li, td, dd)')]
        .filter(e => e.offsetParent && e.textContent.trim())
        .map(e => [parseFloat(getComputedStyle(e).fontSize), e.textContent.trim().slice(0, 40)])"""
    )
    assert len(sizes) > 30
    assert [] == [entry for entry in sizes if entry[0] < 16]
    body = page.locator(".md-typeset").first.evaluate("e => parseFloat(getComputedStyle(e).fontSize)")
    assert body >= 18
