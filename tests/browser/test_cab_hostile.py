"""Hostile content in a real browser: text in every field tries to become script, and stays text."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import Page, expect

from tests.browser.walk_taps import to_plan
from tests.browsers import open_procedure, put_row, reload
from tests.outputs.hostile import HOSTILE, poisoned

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
PROJECT = Path(__file__).resolve().parents[2]
VIEWS = ("", "/1", "/2", "/decision", "/finished", "/list")


@pytest.fixture(scope="module")
def poisoned_file(library: Library, tmp_path_factory: pytest.TempPathFactory) -> Path:
    file = tmp_path_factory.mktemp("poisoned") / "cab.html"
    context = BuildContext(poisoned(library), PROJECT / "site_overrides")
    file.write_text(cab_html(context), encoding="utf-8")
    return file


def test_no_script_runs_on_any_screen(poisoned_file: Path, open_page: OpenPage, library: Library) -> None:
    page = open_page(poisoned_file)
    screens = [*(p.id + view for p in library.procedures[:4] for view in VIEWS)]
    for screen in [*screens, "find", "clock", "record", "phones", "vehicle", "index"]:
        page.evaluate("(hash) => { location.hash = hash; }", "#" + screen)
    page.click(".top__start")
    open_procedure(page, library.procedures[0].id)
    page.click("[data-next]")
    page.click("[data-next]")
    page.evaluate("location.hash = '#find'")
    to_plan(page, behind=("hill", 7, "unknown"))
    page.click("[data-walk-next]")
    page.click("[data-walk-next]")
    page.evaluate("location.hash = '#vehicle'")
    page.click("[data-vehicle-set] >> nth=1")
    page.evaluate("location.hash = '#record'")
    page.wait_for_selector("[data-log] li")
    assert HOSTILE in page.text_content("[data-log]")
    assert page.evaluate("window.hacked") is None
    assert page.evaluate("document.querySelectorAll('img, iframe, object, embed').length") == 0
    assert page.requests == [poisoned_file.as_uri()]
    assert page.faults == []


def test_what_the_driver_types_stays_text(cab_file: Path, open_page: OpenPage) -> None:
    page = open_page(cab_file.as_uri() + "#record")
    page.fill("#field-place", HOSTILE)
    page.evaluate("window.print = () => { window.paper = document.querySelector('[data-paper]').innerHTML; }")
    page.click("[data-record-print]")
    reload(page)
    assert page.input_value("#field-place") == HOSTILE
    assert page.evaluate("window.hacked") is None
    assert page.faults == []


def test_what_stands_in_storage_is_not_trusted(cab_file: Path, open_page: OpenPage) -> None:
    page = open_page(cab_file)
    put_row(page, "", "log", "1", {"id": "1", "at": 1, "what": HOSTILE, "words": HOSTILE})
    put_row(page, "", "log", "2", {"id": "2", "at": 2, "what": 'x"] , *', "words": ""})
    put_row(page, "", "log", "3", {"id": "3", "at": 1e300, "what": "out", "words": "no time of day"})
    put_row(page, "", "log", "4", {"at": 4, "what": "out", "words": "no id"})
    put_row(page, "", "log", HOSTILE, None)
    put_row(page, "", "fields", "place", HOSTILE)
    put_row(page, "", "fields", HOSTILE, HOSTILE)
    put_row(page, "", "look", "", HOSTILE)
    put_row(page, "", "text", "", [HOSTILE])
    put_row(page, "", "finder", "", {"time": 4e12, "edition": "x", "at": {"grade": HOSTILE, "speed": -1}})
    put_row(
        page, "", "walk", "", {"time": 4e12, "edition": "x", "walk": {"place": HOSTILE, "stood": HOSTILE}}
    )
    put_row(page, "", "events", "event-1", HOSTILE)
    put_row(page, "", "stopped", "", HOSTILE)
    put_row(page, "", HOSTILE, HOSTILE, HOSTILE)
    for hash_ in ("#record", "#clock", "#find", "#tire-fire"):
        page.goto(cab_file.as_uri() + hash_)
        reload(page)
        assert page.is_visible(".screen.is-open h2")
    assert page.evaluate("window.hacked") is None
    assert page.evaluate("document.documentElement.dataset.look") == "day"
    page.goto(cab_file.as_uri() + "#record")
    assert page.locator("[data-log] li").count() == 2  # the lines with a time and a name
    page.goto(cab_file.as_uri() + "#clock")
    page.click("[data-ten-start]")  # and what is written next is kept
    expect(page.locator("html")).to_have_attribute("data-kept", "kept")
    assert page.faults == []
