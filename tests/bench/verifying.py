"""What it costs to compare every file with its hash whenever it is served, in a browser without a network.

Two editions are kept: the cab file with four megabytes of filler, and the same under a worker that trusts its
store. Each is opened by a worker that has just started. Wall times: only the ratio counts.
"""

from __future__ import annotations

import datetime as dt
import random
import statistics
import tempfile
from collections.abc import Iterator
from pathlib import Path

from forty_paces.authoring.library import load_library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.edition.edition_file import seal
from forty_paces.outputs.edition.offline import artifacts
from playwright.sync_api import Browser, sync_playwright

from tests.bench.measuring import PROJECT, Table
from tests.browser.serving import SiteServer, serving
from tests.browsers import CHROMIUM_ARGUMENTS, find_chromium

FILLER_FILES, FILLER_BYTES = 150, 28_000
COMPARED = "if (bytes && (await sha256(bytes)) === hash) return bytes;"
TRUSTED = "if (bytes) return bytes;"
READY = "[data-edition-status][data-state=ready]"
LISTEN = """
new MutationObserver((changes) => {
  for (const { target } of changes) {
    if (target.dataset?.state === "ready") window.readyAt = window.readyAt || performance.now();
  }
}).observe(document, { subtree: true, attributes: true, attributeFilter: ["data-state"] });
"""


def tables(rounds: int) -> Iterator[Table]:
    """Medians of both, and their ratio."""
    with tempfile.TemporaryDirectory() as top, sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_chromium(playwright), args=CHROMIUM_ARGUMENTS
        )
        folders = [made(Path(top) / name, name == "compared") for name in ("compared", "trusted")]
        taken = [opened(browser, folder, rounds) for folder in folders]
        browser.close()
    rows = []
    for name, compared, trusted in zip(("first paint", "ready"), *taken, strict=True):
        rows.append((name, f"{trusted:.0f}", f"{compared:.0f}", f"{compared / trusted:.2f}"))
    yield Table("With the network cut", ("until", "trusted, ms", "compared, ms", "trusted = 1"), rows)


def made(folder: Path, compares: bool) -> Path:
    """A sealed edition whose worker compares every file that it serves, or none."""
    library = load_library(PROJECT)
    context = BuildContext(library, PROJECT / "site_overrides")
    rng = random.Random(40)
    for artifact in artifacts(context):
        file = folder / artifact.path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(artifact.data)
    (folder / "cab.html").write_text(cab_html(context), encoding="utf-8")
    for number in range(FILLER_FILES):
        (folder / f"filler-{number}.txt").write_bytes(rng.randbytes(FILLER_BYTES))
    worker = (folder / "sw.js").read_text(encoding="utf-8")
    assert worker.count(COMPARED) == 1
    (folder / "sw.js").write_text(worker if compares else worker.replace(COMPARED, TRUSTED), encoding="utf-8")
    seal(folder, {"edition": "a", "date": "2026-11-25", "day": "25 November 2026"}, dt.date(2026, 11, 25))
    return folder


def opened(browser: Browser, folder: Path, rounds: int) -> tuple[float, float]:
    """Median milliseconds to the first paint and to "ready" of a kept edition."""
    paints, readies = [], []
    with serving(SiteServer(folder)) as server:
        context = browser.new_context()
        context.add_init_script(LISTEN)
        page = context.new_page()
        page.goto(server.address + "cab.html")
        page.wait_for_selector(READY, state="attached", timeout=60_000)
        server.dead = True
        for _ in range(rounds):
            session = context.new_cdp_session(page)
            session.send("ServiceWorker.enable")
            session.send("ServiceWorker.stopAllWorkers")
            session.detach()
            page.goto("about:blank")
            page.goto(server.address + "cab.html")
            page.wait_for_selector(READY, state="attached", timeout=60_000)
            paint, ready = page.evaluate(
                "[performance.getEntriesByName('first-contentful-paint')[0].startTime, window.readyAt]"
            )
            paints.append(paint)
            readies.append(ready)
        context.close()
    return statistics.median(paints), statistics.median(readies)
