"""The one Chromium that all tests of a session share.

It is looked for in this order: the file named by FORTYPACES_CHROMIUM; the system's headless shell (the same
engine without windows, tabs and menus, which opens a page with a third of the processor time); the one that
Playwright installed for itself; one that the system has. Where none is found the test is skipped with a hint
what to install; where CI is set it fails, because a skipped browser test proves nothing.

Playwright can be started only once in a process, so tests of every package use this module.
"""

from __future__ import annotations

import datetime as dt
import os
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, expect, sync_playwright

from tests.missing import missing
from tests.selectors import native_selectors

OpenPage = Callable[..., Page]
OpenCab = Callable[..., Page]
CHROMIUM_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--font-render-hinting=none",  # a whole browser sets no hinted widths either
]
# The default of 5 s is short for a busy machine; the expected state ends the wait at once.
expect.set_options(timeout=20_000)
HEADLESS_SHELL = "chromium-headless-shell"
SYSTEM_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")


def find_chromium(playwright: Playwright, *, whole: bool = False) -> str:
    """The Chromium to drive, a ``whole`` browser or a headless shell; fails the test where there is none."""
    named = os.environ.get("FORTYPACES_CHROMIUM")
    installed = [playwright.chromium.executable_path, *SYSTEM_NAMES]
    candidates = [named] if named else installed if whole else [HEADLESS_SHELL, *installed]
    for candidate in candidates:
        found = shutil.which(candidate)
        if found:
            return found
    return missing(
        "no Chromium found: run `playwright install chromium`, install your system's chromium, "
        "or name one in FORTYPACES_CHROMIUM"
    )


def started(page: Page) -> None:
    """Wait until the cab assistant has read its stored data; other pages need no waiting."""
    page.locator("html.is-starting").wait_for(state="detached")


def written(page: Page) -> None:
    """Wait until the cab assistant reports that every mark is on the disk; other pages report nothing."""
    page.locator("html[data-kept=writing]").wait_for(state="detached")


def open_procedure(page: Page, procedure: str, press: Callable[[str], None] | None = None) -> None:
    """Open a procedure of the cab file from its start screen: by its family's tile, then by its own.

    ``press`` acts on a selector; by default it clicks.
    """
    act = press or page.click
    family = page.get_attribute(f"#{procedure}", "data-before")
    if family != "start":
        act(f'.family[href="#{family}"]')
    act(f'.tile[href="#{procedure}"]')


def go(page: Page, view: str) -> None:
    """Open a view of the cab file by its address, such as ``tire-fire/2``."""
    page.goto(page.url.split("#")[0] + "#" + view)


def anew(page: Page, view: str = "start") -> None:
    """The cab file as on a tablet that has kept nothing, at a view.

    What is kept is erased as by another page, once all of it is written. To open the file again would take
    five times as long.
    """
    page.evaluate(ANEW, view)


ANEW = """async (view) => {
  const open = (hash) => {
    location.hash = hash;
    window.dispatchEvent(new HashChangeEvent("hashchange"));
  };
  const request = indexedDB.open("forty-paces", 1);
  await new Promise((done, failed) => { request.onsuccess = done; request.onerror = failed; });
  const within = (act) => new Promise((done) => {
    const transaction = request.result.transaction("kept", "readwrite");
    act(transaction.objectStore("kept"));
    transaction.oncomplete = done;
  });
  const turn = () => new Promise((done) => {
    const { port1, port2 } = new MessageChannel();  // no timer: a test may hold the clock
    port1.onmessage = done;
    port2.postMessage(null);
  });
  const idle = async () => {
    while (document.documentElement.dataset.kept === "writing") await turn();
  };
  await idle();
  if (document.querySelector("html[data-practice]")) document.querySelector("[data-practice-end]").click();
  open("start");
  document.querySelector("[data-record-clear]").click();
  open("start");
  await idle();
  localStorage.clear();
  await within((rows) => rows.clear());
  document.dispatchEvent(new Event("visibilitychange"));
  await turn();  // The page has asked for all rows: whoever writes after that waits until it has them.
  await within((rows) => rows.count());
  await turn();
  request.result.close();
  if (view !== "start") open(view);
}"""
"""What ``anew`` does, for whichever engine runs it."""


def progress(page: Page) -> str:
    """The line that says which step of a procedure is open, and whether it is done."""
    return page.inner_text(".is-open .progress")


def page_at(
    new_context: Callable[..., BrowserContext], cab_file: Path, time: str, zone: str = "America/Denver"
) -> Page:
    """The cab file at a time, with its offset, of a zone; the clock stands until the test moves it."""
    page = new_context(locale="en-US", timezone_id=zone).new_page()
    hold_clock(page, time)
    page.goto(cab_file.as_uri())
    return page


def hold_clock(page: Page, time: str) -> None:
    """Begin the page's clock, before it is opened, at a time with its offset; it stands until it is moved."""
    page.clock.install(time=dt.datetime.fromisoformat(time) - dt.timedelta(hours=1))
    page.clock.pause_at(time)


def kept_rows(page: Page) -> list[list[Any]]:
    """The rows of the cab assistant's database: carrier, vehicle, key, entry and value of each."""
    return list(page.evaluate(KEPT_ROWS))


def kept_value(page: Page, key: str, entry: str = "") -> Any:
    """One value of the cab assistant's database, or None."""
    return next((row[4] for row in kept_rows(page) if row[2:4] == [key, entry]), None)


def put_row(page: Page, vehicle: str, key: str, entry: str, value: object) -> None:
    """Write a row without the page's knowledge; it is read when the page is next opened."""
    put_rows(page, vehicle, key, {entry: value})


def put_rows(page: Page, vehicle: str, key: str, values: Mapping[str, object]) -> None:
    """Write the value of each entry without the page's knowledge, in one transaction."""
    page.evaluate(_PUT_ROWS, [vehicle, key, list(values.items())])


KEPT_ROWS = Path(__file__).with_name("browser").joinpath("kept_rows.js").read_text(encoding="utf-8").strip()
"""A script that returns the rows that the cab file has stored."""

_PUT_ROWS = """([vehicle, key, values]) => new Promise((done, failed) => {
  const carrier = JSON.parse(document.getElementById("cab-data").textContent).carrier;
  const request = indexedDB.open("forty-paces", 1);
  request.onupgradeneeded = () => request.result.createObjectStore("kept");
  request.onerror = () => failed(request.error);
  request.onsuccess = () => {
    const writing = request.result.transaction("kept", "readwrite");
    const rows = writing.objectStore("kept");
    for (const [entry, value] of values) rows.put(value, [carrier, vehicle, key, entry]);
    writing.oncomplete = () => { request.result.close(); done(); };
  };
})"""


MOST_OPENINGS = 50
"""Times a page is opened until its local storage has arrived; the second was nearly always enough."""


def settle(page: Page) -> None:
    """Wait until the page has painted twice and has nothing left to do."""
    page.evaluate(_SETTLE)


_SETTLE = """() => new Promise((done) => {
  requestAnimationFrame(() => requestAnimationFrame(() => requestIdleCallback(() => done())));
})"""


def come_back(page: Page, go: Callable[[], object]) -> None:
    """Leave the page and open one of the same origin, as a driver would see it a moment later.

    The cab assistant reports when its marks are on the disk; only that is waited for.

    The classroom's score sheet and the site's look are in local storage, which reports nothing: Chromium
    may start the new page before the old one's last writes have arrived. A test that reads the screen would
    then see an older state, so the page is opened again until the writes were there when it started. That is
    checked before its own scripts run, because they may arrive by the time a test can ask.
    """
    written(page)
    stored = "JSON.stringify(Object.entries(localStorage).sort())"
    kept = page.evaluate(stored)
    page.add_init_script(
        f"try {{ window.storedAtStart = {stored}; }} catch (nowhere) {{ /* about:blank */ }}"
    )
    for _ in range(MOST_OPENINGS if kept != "[]" else 1):
        go()
        started(page)
        stored_at_start = page.evaluate("window.storedAtStart")
        if stored_at_start == kept:
            return
    raise AssertionError(f"stored was {kept}, and the page began with {stored_at_start}")


def reload(page: Page) -> None:
    """Reload, and find what was stored."""
    come_back(page, page.reload)


def _start_with_every_page(page: Page) -> None:
    """Let ``goto`` and ``reload`` return when the page has started, unless told to return earlier."""

    def patient(go: Callable[..., Any]) -> Callable[..., Any]:
        def gone(*where: Any, **how: Any) -> Any:
            answer = go(*where, **how)
            if how.get("wait_until") != "commit":
                started(page)
            return answer

        return gone

    page.goto = patient(page.goto)
    page.reload = patient(page.reload)


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as started, native_selectors(started):
        yield started


@pytest.fixture(scope="session")
def chromium(playwright: Playwright) -> Iterator[Browser]:
    """One Chromium for the whole session."""
    browser = playwright.chromium.launch(executable_path=find_chromium(playwright), args=CHROMIUM_ARGUMENTS)
    yield browser
    browser.close()


@pytest.fixture
def new_context(chromium: Browser) -> Iterator[Callable[..., BrowserContext]]:
    """Creates fresh contexts (own storage, own service workers), closed after the test."""
    opened: list[BrowserContext] = []

    def make(**options: object) -> BrowserContext:
        options.setdefault("viewport", {"width": 1280, "height": 800})
        context = chromium.new_context(**options)
        context.on("page", _start_with_every_page)
        opened.append(context)
        return context

    yield make
    for context in opened:
        context.close()


def _watched(page: Page) -> Page:
    """With lists of its ``faults`` and of its ``requests``."""
    page.faults = []
    page.requests = []
    page.on("pageerror", lambda error: page.faults.append(str(error)))
    page.on("console", lambda line: page.faults.append(line.text) if line.type == "error" else None)
    page.on("request", lambda request: page.requests.append(request.url))
    return page


@contextmanager
def one_page(chromium: Browser, where: str, *, time: str = "", **options: Any) -> Iterator[Page]:
    """An address in a context of its own, for several tests; with ``faults`` and ``requests``.

    With a ``time`` its clock stands there.
    """
    options.setdefault("viewport", {"width": 1280, "height": 800})
    context = chromium.new_context(**options)
    context.on("page", _start_with_every_page)
    page = _watched(context.new_page())
    if time:
        hold_clock(page, time)
    page.goto(where)
    yield page
    context.close()


@pytest.fixture
def open_page(new_context: Callable[..., BrowserContext]) -> OpenPage:
    """Opens an address or a file in a fresh context: ``open_page(where, width=..., height=..., **options)``.

    The page gets two lists: ``faults`` (uncaught errors and console errors) and
    ``requests`` (every requested address).
    """

    def opened(where: str | Path, *, width: int = 1280, height: int = 800, **options: object) -> Page:
        page = _watched(new_context(viewport={"width": width, "height": height}, **options).new_page())
        page.goto(where.as_uri() if isinstance(where, Path) else where)
        return page

    return opened
