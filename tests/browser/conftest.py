"""Shared by browser tests: the cab file alone in a folder, WebKit, one a session, and where Firefox is.

Chromium is in tests/browsers.py, where tests of other packages find it too.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import Browser, Page
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.webkitgtk.options import Options as WebKitOptions
from selenium.webdriver.webkitgtk.service import Service as WebKitService

from tests.browsers import OpenCab, anew, one_page
from tests.missing import missing

MINIBROWSERS = (
    "/usr/lib/x86_64-linux-gnu/webkit2gtk-4.1/MiniBrowser",
    "/usr/lib/aarch64-linux-gnu/webkit2gtk-4.1/MiniBrowser",
    "/usr/libexec/webkit2gtk-4.1/MiniBrowser",
)

FIREFOX_NAMES = ("firefox-esr", "firefox")
PROJECT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="session")
def cab_file(library: Library, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The cab assistant as a lone file in an empty folder."""
    file = tmp_path_factory.mktemp("lone") / "cab.html"
    file.write_text(cab_html(BuildContext(library, PROJECT / "site_overrides")), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def _tablet(chromium: Browser, cab_file: Path) -> Iterator[Page]:
    with one_page(chromium, cab_file.as_uri()) as page:
        yield page


@pytest.fixture
def open_cab(_tablet: Page) -> OpenCab:
    """The cab file with nothing kept, at a view: ``open_cab("clock", width=..., height=...)``.

    One page serves all tests of a module, so whoever changes more of it than its record, its choices and its
    size takes ``open_page``.
    """

    def opened(view: str = "start", *, width: int = 1280, height: int = 800) -> Page:
        size = {"width": width, "height": height}
        if _tablet.viewport_size != size:
            _tablet.set_viewport_size(size)
        anew(_tablet, view)
        _tablet.faults.clear()
        _tablet.requests.clear()
        return _tablet

    return opened


AT_TWO = "2026-11-25T14:00:00-07:00"
"""When ``cab_at_two`` begins."""


@pytest.fixture(scope="module")
def _tablet_at_two(chromium: Browser, cab_file: Path) -> Iterator[Page]:
    told = {"locale": "en-US", "timezone_id": "America/Denver"}
    with one_page(chromium, cab_file.as_uri(), time=AT_TWO, **told) as page:
        yield page


@pytest.fixture
def cab_at_two(_tablet_at_two: Page) -> Page:
    """The cab file with nothing kept, at its start, its clock standing at two in the afternoon in Denver.

    One page serves all tests of a module, as with ``open_cab``.
    """
    page = _tablet_at_two
    if page.viewport_size != {"width": 1280, "height": 800}:
        page.set_viewport_size({"width": 1280, "height": 800})
    page.clock.set_system_time(AT_TWO)
    anew(page)
    return page


@pytest.fixture(scope="session")
def display() -> Iterator[str]:
    """A virtual screen for browsers without a headless mode."""
    if shutil.which("Xvfb") is None:
        missing("no Xvfb found: install xvfb from your system")
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
def webkit_binary() -> str:
    """WebKitGTK's own browser."""
    binary = next((path for path in MINIBROWSERS if Path(path).exists()), None)
    if binary is None:
        missing("no WebKitGTK found: install webkit2gtk-driver (and xvfb) from your system")
    return binary


@pytest.fixture(scope="session")
def webkit(display: str, webkit_binary: str) -> Iterator[webdriver.WebKitGTK]:
    """That browser, driven by its own driver."""
    driver = shutil.which("WebKitWebDriver")
    if driver is None:
        missing("no WebKitWebDriver found: install webkit2gtk-driver from your system")
    options = WebKitOptions()
    options.binary_location = webkit_binary
    options.add_argument("--automation")
    service = WebKitService(executable_path=driver, env={**os.environ, "DISPLAY": display})
    browser = webdriver.WebKitGTK(options=options, service=service)
    browser.set_window_size(1280, 900)
    yield browser
    browser.quit()


@pytest.fixture(scope="session")
def firefox() -> str:
    """The Firefox to drive: the one named by FORTYPACES_FIREFOX, or the system's."""
    named = os.environ.get("FORTYPACES_FIREFOX")
    found = next(filter(None, map(shutil.which, (named,) if named else FIREFOX_NAMES)), None)
    if found is None:
        missing("no Firefox found: install firefox-esr from your system, or name one in FORTYPACES_FIREFOX")
    if not (PROJECT / "node_modules/puppeteer-core").is_dir():
        missing("puppeteer-core is not installed: run `npm ci` in the project")
    return str(found)


def texts(browser: webdriver.WebKitGTK, selector: str) -> list[str]:
    """The visible texts of the elements that match, in WebKit."""
    return [element.text for element in browser.find_elements(By.CSS_SELECTOR, selector)]
