"""The driver's seat in Chromium: bytes, time to open, and frames under a slowed processor.

The page is opened from a file. A frame is one step of a run, painted; the processor is slowed by the
browser's own throttling (Chrome DevTools Protocol, ``Emulation.setCPUThrottlingRate``). Milliseconds of wall
time depend on the machine; the ratio to the unslowed processor does less.
"""

from __future__ import annotations

import statistics
import tempfile
import time
from pathlib import Path

from forty_paces.authoring.library import load_library
from forty_paces.outputs.classroom.seat_page import seat_html
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import sync_playwright

from tests.bench.measuring import Table
from tests.browsers import CHROMIUM_ARGUMENTS, find_chromium

PROJECT = Path(__file__).resolve().parents[2]
SLOWED = (1, 6)
ROADS = ("Just over a crest", "Divided highway, left bend with a median barrier")
STEPS = """() => new Promise((done) => {
  const step = document.getElementById("step");
  const times = [];
  let last = performance.now();
  function next() {
    const now = performance.now();
    times.push(now - last);
    last = now;
    if (step.disabled) { done(times.slice(1)); } else { step.click(); requestAnimationFrame(next); }
  }
  requestAnimationFrame(next);
})"""


def tables(rounds: int) -> list[Table]:
    """One table: a row for each road and slowing."""
    html = seat_html(BuildContext(load_library(PROJECT), PROJECT / "site_overrides"))
    rows = []
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        file = Path(folder) / "seat.html"
        file.write_text(html, encoding="utf-8")
        browser = playwright.chromium.launch(
            executable_path=find_chromium(playwright), args=CHROMIUM_ARGUMENTS
        )
        page = browser.new_page(viewport={"width": 1280, "height": 720})
        session = page.context.new_cdp_session(page)
        for slowed in SLOWED:
            session.send("Emulation.setCPUThrottlingRate", {"rate": slowed})
            opened = []
            for _ in range(rounds):
                begin = time.perf_counter()
                page.goto(file.as_uri())
                page.locator("#picture-one path").first.wait_for()
                opened.append(1e3 * (time.perf_counter() - begin))
            for road in ROADS:
                page.select_option("#scene", label=road)
                frames = page.evaluate(STEPS)
                rows.append(
                    (
                        f"{road}, {slowed} times slower" if slowed > 1 else road,
                        f"{statistics.median(opened):.0f}",
                        f"{statistics.median(frames):.1f}",
                        f"{max(frames):.1f}",
                    )
                )
        browser.close()
    title = f"The driver's seat, {len(html.encode()) / 1e3:.0f} kB"
    return [Table(title, ("road", "opened, ms", "frame, median ms", "longest frame, ms"), rows)]
