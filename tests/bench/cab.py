"""The cab file beside a stock page of MkDocs and its material theme with the same text.

Both are opened from a folder in one Chromium, in turns, with the processor slowed
six times and every outside host refused. The first step is reached by two taps in
the cab file, and by one tap on the page's own table of contents in the other.

The first paint of the stock page is its top bar; that of the cab file is the whole
start screen. So the largest contentful paint (W3C), when the first screen is complete,
is given as well. Two pages show lower limits that no cab file could beat: one of a single
word, and the start screen's words as plain text, without a style, a drawing or a script.
"""

from __future__ import annotations

import gzip
import shutil
import socket
import statistics
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import yaml
from bs4 import BeautifulSoup
from forty_paces.authoring.library import Library, load_library
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.texts import texts_by_id
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import Browser, CDPSession, Playwright, sync_playwright

from tests.bench.measuring import PROJECT, Table, run
from tests.browsers import CHROMIUM_ARGUMENTS, find_chromium

SLOWDOWN = 6
SILENT_MS = 5000
"How long to wait for a first paint where the network accepts every request and answers none, in ms."
SOUGHT = "tire-fire"

PAINTS = """
() => new Promise((done) => {
  let largest = 0;
  new PerformanceObserver((list) => { for (const one of list.getEntries()) largest = one.startTime; })
    .observe({ type: "largest-contentful-paint", buffered: true });
  setTimeout(
    () => done([performance.getEntriesByName("first-contentful-paint")[0].startTime, largest]), 2500
  );
})
"""
"""First and largest contentful paint, long after either could still change."""

PAINT_IN_SILENCE = """
(most) => new Promise((done) => {
  const seen = () => performance.getEntriesByName("first-contentful-paint")[0];
  const look = () => {
    if (seen() || performance.now() > most) done(seen() ? seen().startTime : most);
    else setTimeout(look, 20);
  };
  look();
})
"""

STEP = """
([taps, wanted]) => new Promise((done) => {
  const begin = performance.now();
  for (const tap of taps) document.querySelector(tap).click();
  const look = () => {
    const box = document.querySelector(wanted).getBoundingClientRect();
    const shown = box.height > 0 && box.top >= 0 && box.top < innerHeight;
    if (shown) requestAnimationFrame(() => setTimeout(() => done(performance.now() - begin)));
    else requestAnimationFrame(look);
  };
  look();
})
"""


@dataclass(frozen=True, slots=True)
class Subject:
    """A page to open, the taps that lead to the first step, and that step, if any."""

    name: str
    file: Path
    taps: tuple[str, ...] = ()
    step: str = ""


@dataclass(frozen=True, slots=True)
class Opened:
    """One opening of a page, in milliseconds and counts."""

    paint_ms: float
    whole_ms: float
    step_ms: float
    work_ms: float
    "Processor time of the page's own thread from the first tap to that step."
    requests: int
    bytes_: int
    packed: int


def markdown(procedure: Procedure) -> str:
    """The same strings as plain Markdown, with a heading of their own before the steps."""
    lines = [f"## {procedure.title} {{: #{procedure.id} }}", ""]
    steps_begun = False
    for key, text in texts_by_id(procedure).items():
        if "/steps/" in key and not steps_begun:
            lines += [f"### Steps {{: #first-{procedure.id} }}", ""]
            steps_begun = True
        lines += [text, ""]
    return "\n".join(lines)


def stock(folder: Path, library: Library) -> Path:
    """A site of MkDocs and its theme as they come, all procedures on one page."""
    (folder / "docs").mkdir(parents=True)
    text = "# Procedures\n\n" + "\n".join(markdown(procedure) for procedure in library.procedures)
    (folder / "docs/index.md").write_text(text, encoding="utf-8")
    settings = {
        "site_name": "Procedures",
        "theme": {"name": "material"},
        "plugins": ["search", "offline"],
        "markdown_extensions": ["attr_list", "toc"],
    }
    (folder / "mkdocs.yml").write_text(yaml.safe_dump(settings), encoding="utf-8")
    run(["-m", "mkdocs", "build", "--quiet"], folder)
    return folder / "site/index.html"


def words_alone(cab: str) -> str:
    """The words of the cab file's start screen, unstyled, and nothing else of it."""
    whole = BeautifulSoup(cab, "html.parser")
    kept = whole.select(".top, .first-line, #start")
    for part in kept:
        for dropped in part.select("svg, .needs-script"):
            dropped.decompose()
    return "<!doctype html><title>Words alone</title>" + "".join(map(str, kept))


def worked_ms(session: CDPSession) -> float:
    """Processor time of the page's own thread so far, in ms."""
    metrics = session.send("Performance.getMetrics")["metrics"]
    return 1000 * next(float(one["value"]) for one in metrics if one["name"] == "TaskDuration")


def opened(browser: Browser, subject: Subject, slowdown: int) -> Opened:
    """Open once, cold, and reach the first step."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.route(
        "**/*", lambda route: route.abort() if route.request.url.startswith("http") else route.continue_()
    )
    session = context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": slowdown})
    session.send("Performance.enable", {"timeDomain": "threadTicks"})
    page.goto(subject.file.as_uri())
    paint_ms, whole_ms = page.evaluate(PAINTS)
    begun_ms = worked_ms(session)
    step_ms = page.evaluate(STEP, [list(subject.taps), subject.step]) if subject.taps else 0.0
    work_ms = worked_ms(session) - begun_ms
    context.close()
    own = [Path(url.removeprefix("file://").split("?")[0]) for url in asked if url.startswith("file://")]
    bodies = [file.read_bytes() for file in own if file.is_file()]
    size, packed = sum(map(len, bodies)), sum(len(gzip.compress(body)) for body in bodies)
    return Opened(paint_ms, whole_ms, step_ms, work_ms, len(asked), size, packed)


def opened_in_turns(
    playwright: Playwright, subjects: Sequence[Subject], rounds: int, slowdown: int = SLOWDOWN
) -> dict[str, list[Opened]]:
    """Open each subject in each round, so that what slows the machine slows all of them alike."""
    browser = playwright.chromium.launch(
        executable_path=find_chromium(playwright, whole=True), args=CHROMIUM_ARGUMENTS
    )
    found: dict[str, list[Opened]] = {subject.name: [] for subject in subjects}
    for _ in range(rounds):
        for subject in subjects:
            found[subject.name].append(opened(browser, subject, slowdown))
    browser.close()
    return found


def in_silence(browser: Browser, subject: Subject) -> float:
    """First contentful paint with outside requests left hanging; ``SILENT_MS`` where there was none."""
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    page = context.new_page()
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
    page.goto(subject.file.as_uri(), wait_until="commit")
    paint_ms = float(page.evaluate(PAINT_IN_SILENCE, SILENT_MS))
    context.close()
    return paint_ms


@contextmanager
def silent_network() -> Iterator[str]:
    """The browser option that maps every host to a port that accepts and never answers."""
    with socket.socket() as deaf:
        deaf.bind(("127.0.0.1", 0))
        deaf.listen(128)
        yield f"--host-resolver-rules=MAP * 127.0.0.1:{deaf.getsockname()[1]}"


def tables(rounds: int) -> Iterator[Table]:
    """One row for each measure: the stock page, the cab file, the ratio."""
    library = load_library(PROJECT)
    with tempfile.TemporaryDirectory() as top, sync_playwright() as playwright:
        lone = Path(top) / "lone"
        lone.mkdir()
        cab = lone / "cab.html"
        cab.write_text(cab_html(BuildContext(library, PROJECT / "site_overrides")), encoding="utf-8")
        word = lone / "word.html"
        word.write_text("<!doctype html><title>One word</title><p>Word", encoding="utf-8")
        words = lone / "words.html"
        words.write_text(words_alone(cab.read_text(encoding="utf-8")), encoding="utf-8")
        subjects = (
            Subject("word", word),
            Subject("words", words),
            Subject(
                "stock",
                stock(Path(top) / "stock", library),
                (f'.md-nav a[href="#first-{SOUGHT}"]',),
                f"#first-{SOUGHT} + p",
            ),
            Subject(
                "cab",
                cab,
                ('.family[href="#family-fire"]', f'.tile[href="#{SOUGHT}"]', "[data-next]"),
                f"#{SOUGHT} .step.is-now .step__do",
            ),
        )
        found = opened_in_turns(playwright, subjects, rounds)
        with silent_network() as option:
            deaf = playwright.chromium.launch(
                executable_path=find_chromium(playwright, whole=True), args=[*CHROMIUM_ARGUMENTS, option]
            )
            silent = [
                statistics.median(in_silence(deaf, one) for _ in range(min(rounds, 3))) for one in subjects
            ]
            deaf.close()
        shutil.rmtree(lone)
    rows = []
    for title, measure in (
        ("first contentful paint, ms", "paint_ms"),
        ("first screen whole (largest contentful paint), ms", "whole_ms"),
        ("taps to first step in sight, ms", "step_ms"),
        ("requests", "requests"),
        ("bytes", "bytes_"),
        ("bytes, gzipped", "packed"),
    ):
        figures = [statistics.median(getattr(one, measure) for one in of) for of in found.values()]
        rows.append((title, *(f"{one:,.0f}" for one in figures), f"{figures[-1] / figures[-2]:.2f}"))
    hung = (f"{one:,.0f}" if one < SILENT_MS else f"none in {SILENT_MS:,}" for one in silent)
    limit = "at most " if silent[-2] >= SILENT_MS else ""
    ratio = f"{limit}{silent[-1] / silent[-2]:.2f}"
    rows.insert(2, ("first contentful paint, outside hosts silent, ms", *hung, ratio))
    yield Table(
        f"Cold, from a folder, processor slowed {SLOWDOWN} times; median of {rounds}",
        ("measure", "one word", "start screen's words", "stock page", "cab file", "cab to stock"),
        rows,
        "The stock page holds the procedures only; the cab file the finder, its table and drawings, "
        "clocks, record and typeface as well.",
    )
