"""Scenarios in browsers, from a folder: by keys, by taps, after a reload, without scripts."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path

import pytest
from forty_paces.outputs.classroom import scenarios
from forty_paces.outputs.classroom.scenario_view import ScenarioView
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import Page, expect
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

from tests.browser.auditing import violations
from tests.browser.classroom_pages import READ_WALL, SIZES, OpenPage
from tests.missing import missing, node
from tests.projects import PROJECT
from tests.sharing import real_library

pytestmark = pytest.mark.browser

CONTEXT = BuildContext(real_library(), PROJECT / "site_overrides")
VIEWS = {view.id: view for view in scenarios.views(CONTEXT)}
SHORT = "bridge-lane"


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("scenarios")
    for view in VIEWS.values():
        (folder / f"{view.id}.html").write_text(scenarios.scenario_html(CONTEXT, view), encoding="utf-8")
    return folder


def best_keys(view: ScenarioView) -> list[str]:
    """From the opening to the last screen by the best choices."""
    letters = [moment.best.letter.lower() for moment in view.best_path()]
    return ["PageDown", *(key for letter in letters for key in (letter, "PageDown")), "PageDown", "PageDown"]


def now(page: Page) -> str:
    return str(page.locator(".slide.is-now").get_attribute("id"))


READ_EACH = f"""() => {{
  const slides = [...document.querySelectorAll('.slide')];
  return slides.map(slide => {{
    slides.forEach(one => one.classList.toggle('is-now', one === slide));
    return ({READ_WALL})();
  }});
}}"""
"""What is projected of each slide, one after another."""


@pytest.mark.walk
def test_every_scenario_is_played_by_keys_to_its_safe_end_and_fits_the_wall(
    pages: Path, open_page: OpenPage
) -> None:
    page = open_page(pages / f"{SHORT}.html", width=1280, height=720)
    for view in VIEWS.values():
        page.goto((pages / f"{view.id}.html").as_uri())
        for key in best_keys(view):
            page.keyboard.press(key)
            if now(page) == f"end-{view.best_end().id}":
                expect(page.locator(".is-now .outcome--safe")).to_be_visible()
        assert now(page) == "debrief", view.id
        page.keyboard.press("ArrowLeft")
        assert now(page) == "mine"
        expect(page.locator("#mine-said")).to_contain_text("You took the best choice each time.")
        for width, height in SIZES:
            page.set_viewport_size({"width": width, "height": height})
            for read in page.evaluate(READ_EACH):
                assert max(0, read["down"]) == max(0, read["across"]) == 0, (view.id, width, read)
                assert read["share"] <= 30, (view.id, width, read)
    assert [] == page.faults


def test_a_worse_choice_by_taps_is_kept_over_a_reload_and_compared_with_the_best(
    pages: Path, open_page: OpenPage
) -> None:
    view = VIEWS["night-bend"]
    page = open_page(pages / "night-bend.html", width=390, height=780)
    page.click(".is-now .go")
    for moment in view.best_path()[:3]:
        page.click(f".is-now .choice:has-text('{moment.best.do[:30]}')")
        page.click(".is-now .go")
    far = next(moment for moment in view.moments if moment.id == "far-one")
    long_walk = next(choice for choice in far.choices if choice.seconds > far.best.seconds)
    page.click(f".is-now .choice:has-text('{long_walk.do[:20]}')")
    expect(page.locator(".is-now")).to_contain_text(f"{long_walk.seconds} s in place of {far.best.seconds} s")
    page.reload()
    assert now(page) == f"n{long_walk.number}"
    page.click("[data-do='back']")
    assert now(page) == "moment-far-one"
    page.click(f".is-now .choice:has-text('{long_walk.do[:20]}')")
    page.click(".is-now .go")
    wait = next(moment for moment in view.moments if moment.id == "where-wait")
    page.click(f".is-now .choice:has-text('{wait.best.do[:20]}')")
    page.click(".is-now .go")
    page.click(".is-now .go")
    said = page.locator("#mine-said")
    expect(said).to_contain_text("You left the best path at question 4.")
    expect(said).to_contain_text(f"your path {long_walk.seconds} s, the best path {far.best.seconds} s")
    expect(said).to_contain_text("Choices taken back: 1.")
    page.click("[data-do='on']")
    expect(page.locator("#one")).to_contain_text(f"Better: {far.best.do}")
    expect(page.locator("#one")).to_contain_text(far.best.line.text)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert [] == violations(page)
    page.click("[data-do='again']")
    assert now(page) == "story"
    assert [] == page.faults


def test_without_scripts_the_page_is_the_booklet(pages: Path, open_page: OpenPage) -> None:
    page = open_page(pages / f"{SHORT}.html", java_script_enabled=False)
    view = VIEWS[SHORT]
    page.click("#story .go")
    assert page.url.endswith(f"#moment-{view.scenario.start}")
    best = view.best_path()[0].best
    page.click(f"#moment-{view.scenario.start} .choice:has-text('{best.do[:20]}')")
    assert page.url.endswith(f"#n{best.number}")
    expect(page.locator(f"#n{best.number}")).to_contain_text(f"Go on at {best.to_number}")
    expect(page.locator("#mine")).to_be_hidden()


def test_a_scenario_is_played_in_webkit(webkit: webdriver.WebKitGTK, pages: Path) -> None:
    view = VIEWS[SHORT]
    webkit.get((pages / f"{SHORT}.html").as_uri())
    body = webkit.find_element(By.TAG_NAME, "body")
    names = {"PageDown": Keys.PAGE_DOWN}
    for key in best_keys(view):
        body.send_keys(names.get(key, key))
    assert "debrief" == webkit.find_element(By.CSS_SELECTOR, ".slide.is-now").get_attribute("id")


def test_a_scenario_is_played_in_firefox_and_goes_on_after_a_reload(pages: Path) -> None:
    named = os.environ.get("FORTYPACES_FIREFOX")
    found = next(filter(None, map(shutil.which, (named,) if named else ("firefox-esr", "firefox"))), None)
    if found is None or not (PROJECT / "node_modules/puppeteer-core").is_dir():
        missing("no Firefox found, or puppeteer-core is not installed")
    view = VIEWS[SHORT]
    first = view.best_path()[0]
    given = [str(found), (pages / f"{SHORT}.html").as_uri(), f"PageDown,{first.best.letter.lower()}"]
    ran = subprocess.run(
        [node(), "tests/firefox/scenario.mjs", *given],
        capture_output=True,
        text=True,
        timeout=240,
        cwd=PROJECT,
    )
    assert ran.returncode == 0, ran.stderr
    report = json.loads(ran.stdout.splitlines()[-1])
    best_answer = f"n{first.best.number}"
    start = f"moment-{view.scenario.start}"
    assert report == {"seen": ["story", start, best_answer, best_answer, start], "faults": []}
