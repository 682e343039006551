"""The start screen of the cab file: families in fixed places, two taps to any of fifty procedures."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.families import families
from playwright.sync_api import Browser, Page

from tests.browsers import OpenCab, anew, go, one_page
from tests.fifty import fifty

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
PROJECT = Path(__file__).resolve().parents[2]
TABLETS = ((1280, 800), (800, 1280))

BOXES = """(selector) => Array.from(document.querySelectorAll(selector))
  .filter((one) => one.checkVisibility())
  .map((one) => {
    const { left, top, right, bottom } = one.getBoundingClientRect();
    const cut = one.scrollHeight > one.clientHeight + 1 || one.scrollWidth > one.clientWidth + 1;
    return { name: one.getAttribute("href"), left, top, right, bottom, cut };
  })"""


@pytest.fixture(scope="module")
def fifty_file(library: Library, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cab file of fifty procedures."""
    file = tmp_path_factory.mktemp("fifty") / "cab.html"
    file.write_text(cab_html(BuildContext(fifty(library), PROJECT / "site_overrides")), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def _fifty_page(chromium: Browser, fifty_file: Path) -> Iterator[Page]:
    with one_page(chromium, fifty_file.as_uri()) as page:
        yield page


@pytest.fixture
def fifty_page(_fifty_page: Page) -> Page:
    """The cab file of fifty procedures with nothing kept, at its start."""
    _fifty_page.set_viewport_size({"width": 1280, "height": 800})
    anew(_fifty_page)
    return _fifty_page


def dress(page: Page, look: str, text: str) -> None:
    if look == "night":
        page.click("[data-look-switch]")
    if text == "large":
        page.click("[data-text-switch]")


def in_sight(page: Page, selector: str) -> list[dict[str, Any]]:
    """The boxes of what is shown; each must lie within the window, uncut."""
    size = page.viewport_size
    boxes: list[dict[str, Any]] = page.evaluate(BOXES, selector)
    for box in boxes:
        inside = box["left"] >= 0 and box["top"] >= 0
        inside = inside and box["right"] <= size["width"] and box["bottom"] <= size["height"]
        assert inside, box
        assert not box["cut"], box
    return boxes


WALK = """() => {
  const shown = () => document.querySelector(".screen.is-open");
  const wrong = [];
  const measured = (tile) => {
    const { left, top, right, bottom } = tile.getBoundingClientRect();
    const inside = left >= 0 && top >= 0 && right <= innerWidth && bottom <= innerHeight;
    const cut = tile.scrollHeight > tile.clientHeight + 1 || tile.scrollWidth > tile.clientWidth + 1;
    const small = right - left < 96 || bottom - top < 96;
    if (!inside || cut || small || scrollY) wrong.push(tile.getAttribute("href"));
    tile.click();
  };
  const opened = [];
  for (const procedure of document.querySelectorAll(".procedure")) {
    document.querySelector(".top__start").click();
    const before = procedure.dataset.before;
    if (before !== "start") measured(document.querySelector(`#start .family[href="#${before}"]`));
    measured(shown().querySelector(`.tile[href="#${procedure.id}"]`));
    if (shown() === procedure && procedure.dataset.view === "first" && !scrollY) opened.push(procedure.id);
  }
  return [opened, wrong];
}"""
"""Opens every procedure by its tiles; which were opened, and which tiles were out of sight, cut or small."""


@pytest.mark.parametrize(("look", "text"), [("day", ""), ("night", "large")])
def test_two_taps_open_any_of_fifty_procedures_on_a_tablet_without_scrolling(
    fifty_page: Page, library: Library, look: str, text: str
) -> None:
    dress(fifty_page, look, text)
    for width, height in TABLETS:
        fifty_page.set_viewport_size({"width": width, "height": height})
        go(fifty_page, "start")
        tiles = in_sight(fifty_page, "#start .family")
        assert len(tiles) == len(families(fifty(library).procedures)) == 12
        assert min(min(b["right"] - b["left"], b["bottom"] - b["top"]) for b in tiles) >= 96
        in_sight(fifty_page, "#start :is(.tool, .dial__call)")
        opened, wrong = fifty_page.evaluate(WALK)
        assert wrong == [], (width, height)
        assert opened == [procedure.id for procedure in fifty(library).procedures]
        assert len(opened) == 50


def test_no_family_stands_alone_in_a_part_of_its_row(open_cab: OpenCab) -> None:
    page = open_cab()
    for width, height in ((390, 844), (844, 390), *TABLETS):
        page.set_viewport_size({"width": width, "height": height})
        boxes = page.evaluate(BOXES, "#start .family")
        last = [box for box in boxes if box["top"] == boxes[-1]["top"]]
        assert last[-1]["right"] > 0.9 * width, (width, last)


@pytest.mark.parametrize("text", ["", "large"])
def test_on_a_phone_every_family_tool_and_call_is_on_the_first_screen(
    open_cab: OpenCab, fifty_page: Page, text: str
) -> None:
    for page in (open_cab(), fifty_page):
        page.set_viewport_size({"width": 390, "height": 844})
        dress(page, "day", text)
        tiles = in_sight(page, "#start .family")
        assert min(min(b["right"] - b["left"], b["bottom"] - b["top"]) for b in tiles) >= 96
        assert len(in_sight(page, "#start .tool")) == 4
        assert [one["name"] for one in in_sight(page, "#start .dial__call")] == ["tel:911", "tel:5550110"]


def test_the_families_keep_their_places_in_every_look_and_whatever_comes_up(
    fifty_page: Page,
) -> None:
    page = fifty_page
    order = [one["name"] for one in page.evaluate(BOXES, "#start .family")]
    before = page.evaluate(BOXES, "#start .family")
    page.click("[data-look-switch]")
    assert page.evaluate(BOXES, "#start .family") == before
    page.set_viewport_size({"width": 390, "height": 844})
    assert [one["name"] for one in page.evaluate(BOXES, "#start .family")] == order


def test_without_scripts_every_procedure_is_reached_by_links(
    fifty_file: Path, open_page: OpenPage, library: Library
) -> None:
    page = open_page(fifty_file, java_script_enabled=False)
    unreached = page.evaluate(
        """(ids) => ids.filter((id) => {
          const [tile, ...more] = document.querySelectorAll(`.tile[href="#${id}"]`);
          const step = document.querySelector(`#${id} .step`);
          const shown = tile.getClientRects().length && tile.checkVisibility() && step.checkVisibility();
          return more.length || !shown;
        })""",
        [procedure.id for procedure in fifty(library).procedures],
    )
    assert unreached == []
    page.click('.family[href="#family-people"]')
    page.click('.tile[href="#sick-at-wheel"]')
    assert page.url.endswith("#sick-at-wheel")
    for family in families(fifty(library).procedures):
        assert page.is_visible(f'.family[href="#{family.screen}"]')
        assert page.is_visible(f"#{family.screen} h2")


def test_the_browsers_own_back_leads_from_procedure_to_family_to_start(
    fifty_page: Page,
) -> None:
    page = fifty_page
    page.click('.family[href="#family-people"]')
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # the first tile follows the heading
    assert page.get_attribute(".screen.is-open", "data-before") == "family-people"
    page.go_back()
    assert page.is_visible("#family-people.is-open")
    page.go_back()
    assert page.is_visible("#start.is-open")
