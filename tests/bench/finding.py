"""Ten named emergencies found by a scripted hand, on the site and in the cab file, before and today.

The hand starts at the start page or start screen, taps the emergency's tile where there is one, or else its
family's first, and scrolls only as far as the next tile asks. Counted are taps until the procedure is
open, and pixels scrolled on the way; the time is from the first tap until it is painted, on one machine, with
the processor slowed six times. How long a driver looks for a tile is not in it.
"""

from __future__ import annotations

import statistics
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from tests.bench.before import built_from
from tests.bench.cab import SLOWDOWN
from tests.bench.measuring import Table
from tests.bench.revisions import today, wanted_revision
from tests.browsers import CHROMIUM_ARGUMENTS, find_chromium, started

SOUGHT = (
    *("engine-fire", "tire-fire", "crash-scene", "breakdown", "rail-crossing"),
    *("cargo-spill", "brakes-lost", "steer-tire-blowout", "hydroplaning", "fog"),
)
"""Named in both editions."""

WINDOWS = {"tablet, 1280 x 800": (1280, 800), "tablet upright": (800, 1280), "phone": (390, 844)}

WAY = {
    "cab": ('.tile[href="#{id}"]', '.family[href="#{family}"]', "#{id}.is-open"),
    "site": ('.tile[href="procedures/{id}.html"]', '.tile[href="#{family}"]', ".by-heart"),
}
"""Of each product: the emergency's tile, its family's tile, and what is in sight once it is open."""

FAMILY = """(tile) => {
  const inside = document.querySelector(tile);
  const one = inside.closest(".listing") || inside.closest(".tiles");
  if (!one) return "";
  const name = one.getAttribute("aria-labelledby") || "";
  return one.id || (document.querySelector(`.tile[href="#${name}"]`) ? name : "");
}"""
"""The screen or section of the family that a tile stands in; empty where there are no families."""

SCROLL = """(tile) => {
  const before = scrollY;
  document.querySelector(tile).scrollIntoView({ block: "nearest", behavior: "instant" });
  return Math.abs(scrollY - before);
}"""

SHOWN = """(tile) => {
  const box = document.querySelector(tile).getBoundingClientRect();
  return box.height > 0 && box.bottom > 0 && box.top < innerHeight;
}"""


@dataclass(frozen=True, slots=True)
class Found:
    """One emergency found once."""

    taps: int
    scrolled_px: float
    taken_ms: float


def find(page: Page, file: Path, product: str, name: str) -> Found:
    """Find one emergency from the start, as a driver who knows its name."""
    page.goto(file.as_uri())
    started(page)
    tile, family, opened = WAY[product]
    tile = tile.format(id=name)
    scrolled, taps = 0.0, [tile]
    holder = page.evaluate(FAMILY, tile)
    if holder and not page.evaluate(SHOWN, tile):
        taps.insert(0, family.format(family=holder))
    begin = page.evaluate("Date.now()")
    for tap in taps:
        scrolled += page.evaluate(SCROLL, tap)
        page.locator(tap).first.evaluate("(one) => one.click()")
        if tap != tile:
            page.locator(tile).wait_for(state="visible")
    page.locator(opened.format(id=name)).first.wait_for(state="visible")
    end = page.evaluate("new Promise((done) => requestAnimationFrame(() => done(Date.now())))")
    return Found(len(taps), scrolled, end - begin)


def all_found(
    browser: Browser, file: Path, product: str, window: tuple[int, int], rounds: int
) -> list[Found]:
    """Each emergency's median of some rounds, in the order of ``SOUGHT``."""
    context = browser.new_context(viewport={"width": window[0], "height": window[1]})
    page = context.new_page()
    page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
    result = []
    for name in SOUGHT:
        tries = [find(page, file, product, name) for _ in range(rounds)]
        taken_ms = statistics.median(one.taken_ms for one in tries)
        result.append(Found(tries[0].taps, tries[0].scrolled_px, taken_ms))
    context.close()
    return result


def tables(rounds: int) -> Iterator[Table]:
    """One table for each product: taps, pixels scrolled and time in each window, before and today."""
    revision = wanted_revision()
    with tempfile.TemporaryDirectory() as top, sync_playwright() as playwright:
        before = built_from(revision, Path(top) / "before").parent
        now = Path(top) / "today"
        today().run("-m", "forty_paces", "build", "--no-cards", "--site", str(now))
        browser = playwright.chromium.launch(
            executable_path=find_chromium(playwright), args=CHROMIUM_ARGUMENTS
        )
        yield from compared(browser, before, now, rounds, revision)
        browser.close()


def compared(browser: Browser, before: Path, now: Path, rounds: int, revision: str) -> Iterator[Table]:
    """The tables of two built sites."""
    for product, file in (("cab", "cab.html"), ("site", "index.html")):
        rows = []
        for title, window in WINDOWS.items():
            old, new = (all_found(browser, at / file, product, window, rounds) for at in (before, now))
            for at, name in enumerate(SOUGHT):
                rows.append((f"{name}, {title}", *_cells(old[at : at + 1]), *_cells(new[at : at + 1])))
            rows.append((f"**all ten, {title}**", *_cells(old), *_cells(new)))
        head = ("emergency", "taps before", "scrolled", "ms", "taps today", "scrolled", "ms")
        yield Table(f"{product}: before is {revision}; px; median of {rounds}", head, rows)


def _cells(found: list[Found]) -> tuple[str, str, str]:
    taken_ms = sum(one.taken_ms for one in found)
    return (
        str(sum(one.taps for one in found)),
        f"{sum(one.scrolled_px for one in found):.0f}",
        f"{taken_ms:.0f}",
    )
