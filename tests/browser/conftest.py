"""Real browsers for the tests that need them: one Chromium and one WebKit a session.

Chromium is looked for in this order: the file named by FORTYPACES_CHROMIUM, the
one that Playwright installed for itself, one that the system has. Where none is
found the test says what to install, and is left out; in continuous integration
(CI is set) it fails: a browser test that is left out proves nothing.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NoReturn

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, sync_playwright
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.webkitgtk.options import Options as WebKitOptions
from selenium.webdriver.webkitgtk.service import Service as WebKitService

from generator.authoring.library import Library
from generator.outputs.cab import cab_html
from generator.outputs.press import Press

CHROMIUM_ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SYSTEM_NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
MINIBROWSERS = (
    "/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser",
    "/usr/lib/aarch64-linux-gnu/webkit2gtk-4.1/MiniBrowser",
    "/usr/libexec/webkit2gtk-4.1/MiniBrowser",
)

OpenPage = Callable[..., Page]
PROJECT = Path(__file__).resolve().parents[2]


def _missing(message: str) -> NoReturn:
    """Leave the test out, saying why; fail it where tests may not be left out."""
    if os.environ.get("CI"):
        pytest.fail(message)
    pytest.skip(message)


def find_chromium(playwright: Playwright) -> str:
    """The Chromium to drive; fails the test where there is none."""
    named = os.environ.get("FORTYPACES_CHROMIUM")
    candidates = [named] if named else [playwright.chromium.executable_path, *SYSTEM_NAMES]
    for candidate in candidates:
        found = shutil.which(candidate)
        if found:
            return found
    _missing(
        "no Chromium found: run `playwright install chromium`, install your system's chromium, "
        "or name one in FORTYPACES_CHROMIUM"
    )


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def chromium(playwright: Playwright) -> Iterator[Browser]:
    """One Chromium for the whole session."""
    browser = playwright.chromium.launch(executable_path=find_chromium(playwright), args=CHROMIUM_ARGUMENTS)
    yield browser
    browser.close()


@pytest.fixture
def new_context(chromium: Browser) -> Iterator[Callable[..., BrowserContext]]:
    """Makes fresh contexts (own storage, own workers), closed after the test."""
    opened: list[BrowserContext] = []

    def make(**options: object) -> BrowserContext:
        options.setdefault("viewport", {"width": 1280, "height": 800})
        opened.append(chromium.new_context(**options))
        return opened[-1]

    yield make
    for context in opened:
        context.close()


@pytest.fixture
def open_page(new_context: Callable[..., BrowserContext]) -> OpenPage:
    """Opens an address or a file in a fresh context: ``open_page(where, width=..., height=..., **options)``.

    The page gets two lists: ``faults`` (uncaught errors and console errors) and
    ``requests`` (every address asked for).
    """

    def opened(where: str | Path, *, width: int = 1280, height: int = 800, **options: object) -> Page:
        context = new_context(viewport={"width": width, "height": height}, **options)
        page = context.new_page()
        page.faults = []
        page.requests = []
        page.on("pageerror", lambda error: page.faults.append(str(error)))
        page.on("console", lambda line: page.faults.append(line.text) if line.type == "error" else None)
        page.on("request", lambda request: page.requests.append(request.url))
        page.goto(where.as_uri() if isinstance(where, Path) else where)
        return page

    return opened


@pytest.fixture(scope="session")
def cab_file(library: Library, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The cab assistant as a lone file in an empty folder."""
    file = tmp_path_factory.mktemp("lone") / "cab.html"
    file.write_text(cab_html(Press(library, PROJECT / "site_overrides")), encoding="utf-8")
    return file


@pytest.fixture(scope="session")
def display() -> Iterator[str]:
    """A screen for browsers that have no headless way."""
    if shutil.which("Xvfb") is None:
        _missing("no Xvfb found: install xvfb from your system")
    reading, writing = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(writing), "-screen", "0", "1400x1400x24", "-nolisten", "tcp"],
        pass_fds=(writing,),
        stderr=subprocess.DEVNULL,
    )
    os.close(writing)
    with os.fdopen(reading) as answer:
        number = answer.readline().strip()
    yield f":{number}"
    server.terminate()
    server.wait()


@pytest.fixture(scope="session")
def webkit(display: str) -> Iterator[webdriver.WebKitGTK]:
    """WebKitGTK's own browser, driven by its own driver."""
    binary = next((path for path in MINIBROWSERS if Path(path).exists()), None)
    driver = shutil.which("WebKitWebDriver")
    if binary is None or driver is None:
        _missing("no WebKitGTK found: install webkit2gtk-driver (and xvfb) from your system")
    options = WebKitOptions()
    options.binary_location = binary
    options.add_argument("--automation")
    service = WebKitService(executable_path=driver, env={**os.environ, "DISPLAY": display})
    browser = webdriver.WebKitGTK(options=options, service=service)
    browser.set_window_size(1280, 900)
    yield browser
    browser.quit()


def texts(browser: webdriver.WebKitGTK, selector: str) -> list[str]:
    """The visible texts of the elements that match, in WebKit."""
    return [element.text for element in browser.find_elements(By.CSS_SELECTOR, selector)]
