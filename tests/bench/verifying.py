"""What it costs to compare every file with its hash whenever it is served, in a browser without a network.

Three editions are kept: the cab file with four megabytes of filler under a worker that trusts its store,
under the one that compares, and the latter signed. They are opened in turns, each by a worker that has just
started. Wall times: only the ratios count.
"""

from __future__ import annotations

import datetime as dt
import random
import statistics
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

from forty_paces.authoring.library import load_library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.edition.edition_file import seal
from forty_paces.outputs.edition.offline import artifacts
from forty_paces.outputs.edition.signing import new_key, read_signing_key
from playwright.sync_api import Browser, sync_playwright

from tests.bench.measuring import PROJECT, Table
from tests.browser.serving import SiteServer, serving
from tests.browsers import CHROMIUM_ARGUMENTS, find_chromium

EDITIONS = ("trusted", "compared", "signed")
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
    """Medians of each, opened in turns, and their ratios."""
    with tempfile.TemporaryDirectory() as top, sync_playwright() as playwright, ExitStack() as stack:
        browser = playwright.chromium.launch(
            executable_path=find_chromium(playwright), args=CHROMIUM_ARGUMENTS
        )
        kept = [Kept(browser, stack, made(Path(top), name)) for name in EDITIONS]
        for _ in range(rounds):
            for one in kept:
                one.open_again()
        browser.close()
    rows = []
    for title, medians in (
        ("first paint", [statistics.median(one.paints) for one in kept]),
        ("ready", [statistics.median(one.readies) for one in kept]),
    ):
        ratios = [f"{median / medians[0]:.2f}" for median in medians[1:]]
        rows.append((title, *(f"{median:.0f}" for median in medians), *ratios))
    yield Table(
        f"With the network cut, in turns; median of {rounds}",
        ("until", *(f"{name}, ms" for name in EDITIONS), *(f"{name}, trusted = 1" for name in EDITIONS[1:])),
        rows,
    )


def made(top: Path, name: str) -> Path:
    """A sealed edition of one of the kinds."""
    folder = top / name
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
    if name == "trusted":
        (folder / "sw.js").write_text(worker.replace(COMPARED, TRUSTED), encoding="utf-8")
    about = {"edition": "a", "date": "2026-11-25", "day": "25 November 2026"}
    key = None
    if name == "signed":
        new_key(top / "key")
        key = read_signing_key(top / "key")
        about |= {"number": 1, "expires": "2099-01-01"}
    seal(folder, about, dt.date(2026, 11, 25), key=key)
    return folder


class Kept:
    """One edition on a tablet of its own, and what its openings took in milliseconds."""

    def __init__(self, browser: Browser, stack: ExitStack, folder: Path) -> None:
        self.server = stack.enter_context(serving(SiteServer(folder)))
        self.paints: list[float] = []
        self.readies: list[float] = []
        context = browser.new_context()
        context.add_init_script(LISTEN)
        self.page = context.new_page()
        self._open()
        self.server.dead = True

    def _open(self) -> None:
        self.page.goto(self.server.address + "cab.html")
        self.page.wait_for_selector(READY, state="attached", timeout=60_000)

    def open_again(self) -> None:
        """Open it by a worker that has just started, without a network."""
        session = self.page.context.new_cdp_session(self.page)
        session.send("ServiceWorker.enable")
        session.send("ServiceWorker.stopAllWorkers")
        session.detach()
        self.page.goto("about:blank")
        self._open()
        paint, ready = self.page.evaluate(
            "[performance.getEntriesByName('first-contentful-paint')[0].startTime, window.readyAt]"
        )
        self.paints.append(paint)
        self.readies.append(ready)
