"""Points 11, 13 to 15 and 18 on the screen: finding, reading and seeing, in Chromium."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag
from forty_paces.authoring.library import Library
from forty_paces.outputs.cards.faces import INDEX_CODE
from playwright.sync_api import Page

from tests.acceptance import screens
from tests.acceptance.screens import PHONE, TABLETS, Everywhere, show
from tests.drawing.test_tokens import contrast
from tests.soaking import sample

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
READ = {"p", "li", "dd", "td"}


OUTSIDE = re.compile(
    r"""(?:src|href|action|data-src)\s*=\s*["']?(?:https?:)?//|url\(["']?(?:https?:)?//|@import""", re.I
)


def test_point_11_no_file_of_the_edition_refers_to_anything_outside_it(built_site: Path) -> None:
    found = []
    for file in sorted(built_site.rglob("*")):
        if file.suffix in {".html", ".css", ".svg", ".webmanifest"}:
            found += [
                f"{file.relative_to(built_site)}: {m.group()}"
                for m in OUTSIDE.finditer(file.read_text("utf-8"))
            ]
    assert [] == found
    assert OUTSIDE.search('<script src="https://example.org/x.js">')


def test_point_11_pages_work_and_ask_nobody_with_the_network_off(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "index.html")
    page.context.set_offline(True)
    names = (
        "cab.html",
        "procedures/fog.html",
        "cards/half-letter-all.html",
        "classroom/fire.html",
        "placing/crest.html",
    )
    for name in names:
        page.goto((built_site / name).as_uri())
        assert page.locator("h1, h2").first.inner_text()
    assert [] == [url for url in page.requests if not url.startswith((built_site.as_uri(), "data:", "blob:"))]
    assert [] == page.faults


TILES = """
async () => {
  const found = {};
  const open = (view) => {
    location.hash = view;
    window.dispatchEvent(new HashChangeEvent("hashchange"));
  };
  const families = Array.from(document.querySelectorAll("#start .family"), (e) => e.hash.slice(1));
  for (const view of ["start", ...families.filter((id) => id.startsWith("family-"))]) {
    open(view);
    for (const e of document.getElementById(view).querySelectorAll(".family, .tile")) {
      const { left, top, right, bottom } = e.getBoundingClientRect();
      found[e.hash] = [left, top + scrollY, e.checkVisibility() ? right : Infinity, bottom + scrollY];
    }
  }
  open("start");
  return found;
}
"""
"""Where every tile of the start screen and of every family lies when its screen is opened, by its target."""


@pytest.mark.soak
@pytest.mark.parametrize(("width", "height"), TABLETS)
def test_point_13_two_taps_lead_from_the_cab_start_screen_to_the_first_lines_of_every_procedure(
    built_site: Path, open_page: OpenPage, library: Library, width: int, height: int
) -> None:
    """The ten seconds and the wrong choices need people with a watch; the taps are counted here.

    Family, then procedure: forty tiles that a gloved hand hits do not fit one screen. The third tap says
    "I have stopped" and shows step 1.
    """
    page = open_page(built_site / "cab.html", width=width, height=height, has_touch=True)
    tiles = page.evaluate(TILES)
    within = {
        href: min(left, top) >= 0 and right <= width and bottom <= height
        for href, (left, top, right, bottom) in tiles.items()
    }
    assert {f"#{procedure.id}" for procedure in library.procedures} <= set(within)
    assert [] == [href for href, fits in within.items() if not fits], "these need scrolling"
    for procedure in sample(library.procedures, 5):
        page.goto(f"{(built_site / 'cab.html').as_uri()}#start")
        family = page.get_attribute(f"#{procedure.id}", "data-before")
        taps = [f'.tile[href="#{procedure.id}"]']
        if family != "start":
            taps.insert(0, f'.family[href="#{family}"]')
        for selector in taps:
            page.locator(selector).tap()
        assert page.locator(f"#{procedure.id} .part--first").is_visible()
        page.locator("[data-next]").tap()
        first = procedure.blocks[0].steps[0]
        key = f"{procedure.id}/blocks/{procedure.blocks[0].id}/steps/{first.id}/do"
        assert page.locator(f'[data-key="{key}"]').is_visible()


@pytest.mark.soak
def test_point_13_one_tap_leads_from_the_site_start_to_every_page_and_one_tab_to_every_card(
    built_site: Path,
    open_page: OpenPage,
    library: Library,
    pages: Mapping[str, Tag],
    cards: Mapping[str, Tag],
) -> None:
    start = BeautifulSoup((built_site / "index.html").read_text("utf-8"), "html.parser")
    tiles = {tile["href"] for tile in start.select("a.tile")}
    assert {f"procedures/{procedure.id}.html" for procedure in library.procedures} <= tiles
    assert {procedure.id: procedure.title for procedure in library.procedures} == {
        name: page.h1.get_text() for name, page in pages.items()
    }
    page = open_page(built_site / "index.html")
    for procedure in sample(library.procedures, 3):
        page.goto((built_site / "index.html").as_uri())
        page.click(f'a.tile[href="procedures/{procedure.id}.html"]')
        assert procedure.title == page.locator("h1").inner_text()
    listed = {
        cell.select_one(".index-code").get_text(): cell for cell in cards[INDEX_CODE].select(".index-cell p")
    }
    for procedure in library.procedures:
        assert procedure.tile == listed[procedure.code].get_text().removeprefix(procedure.code)
        assert cards[procedure.code].select_one(".tab") is not None


CONTENTS = re.compile(r'<nav class="md-nav md-nav--secondary".*?</nav>', re.DOTALL)


def test_point_14_facts_stand_in_labelled_clusters_that_can_be_reached_from_the_contents(
    library: Library, pages: Mapping[str, Tag], built_site: Path
) -> None:
    """The seven seconds need people with a watch; what makes them possible is tested here."""
    for procedure in library.procedures:
        clusters = pages[procedure.id].select("section.facts")
        assert clusters, procedure.id
        for cluster in clusters:
            (title,) = cluster.select("h3")
            assert title.get_text(strip=True)
            pairs = cluster.select("dl > div")
            assert 1 <= len(pairs) <= 9
            for pair in pairs:
                assert [one.name for one in pair.find_all(recursive=False)] == ["dt", "dd"]
                assert len(pair.dt.get_text().split()) <= 7, pair.dt.get_text()
        whole = (built_site / f"procedures/{procedure.id}.html").read_text("utf-8")
        contents = CONTENTS.findall(whole)
        assert contents, procedure.id
        for listing in contents:
            assert BeautifulSoup(listing, "html.parser").select('a[href="#facts"]'), procedure.id


@pytest.mark.soak
@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_point_15_steps_reach_7_to_1_and_every_other_text_4_5_to_1(
    everywhere: Everywhere, night: bool
) -> None:
    acted = re.compile(r"/(by_heart|blocks)/.*/do$")
    count = 0
    for screen in everywhere(800, 1280, night=night):
        for text in screen.texts:
            needed = 7.0 if acted.search(text["key"]) else 3.0 if screens.large(text) else 4.5
            assert screens.ratio(text) >= needed, (screen.name, text)
            count += bool(acted.search(text["key"]))
    assert count > 30


NOTICES = """
() => {
  const one = document.querySelector(".notice");
  let ground = null;
  for (let at = one.parentElement; at && !ground; at = at.parentElement) {
    const color = getComputedStyle(at).backgroundColor;
    if (!/^rgba\\(.*, 0\\)$|transparent/.test(color)) ground = color;
  }
  return ["danger", "warning", "caution", "notice"].map((signal) => {
    const made = one.cloneNode(true);
    made.className = `notice notice--${signal}`;
    one.after(made);
    const look = getComputedStyle(made);
    const edge = look.outlineStyle === "none" ? look.borderTopColor : look.outlineColor;
    made.remove();
    return [signal, edge, ground || "rgb(255, 255, 255)"];
  });
}
"""


@pytest.mark.parametrize(
    ("name", "address"), [("procedures/tire-fire.html", ""), ("cab.html", "#tire-fire/2")]
)
def test_point_15_the_edge_of_every_notice_reaches_3_to_1(
    built_site: Path, open_page: OpenPage, name: str, address: str
) -> None:
    page = open_page(f"{(built_site / name).as_uri()}{address}")
    for night in (False, True):
        show(page, night=night)
        for signal, edge, ground in page.evaluate(NOTICES):
            assert contrast(screens.hex_of(edge), screens.hex_of(ground)) >= 3, (signal, night)


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_point_15_icons_lines_and_focus_reach_3_to_1(everywhere: Everywhere, night: bool) -> None:
    seen = 0
    for screen in everywhere(800, 1280, night=night):
        for what, line, ground in screen.borders:
            assert contrast(screens.hex_of(line), screens.hex_of(ground)) >= 3, (screen.name, what)
            seen += 1
        outline, style, width, ground = screen.focus
        assert style != "none", f"{screen.name}: the focus cannot be seen"
        assert width >= 2, screen.name
        assert contrast(screens.hex_of(outline), screens.hex_of(ground)) >= 3, screen.name
    assert seen > 50


@pytest.mark.soak
@pytest.mark.parametrize(("width", "height"), [*TABLETS, PHONE])
def test_point_18_lines_are_set_at_1_5_ragged_unhyphenated_and_at_most_80_characters_long(
    everywhere: Everywhere, width: int, height: int
) -> None:
    for screen in everywhere(width, height):
        for text in screen.texts:
            assert text["align"] != "justify", (screen.name, text)
            assert text["hyphens"] != "auto", (screen.name, text)
            assert text["slant"] == "normal", (screen.name, text)
            if text["tag"] in READ and text["key"]:
                assert text["leading"] >= 1.5 - 0.001, (screen.name, text)
                assert text["align"] in {"start", "left"}, (screen.name, text)
        assert [] == [line for line in screen.lines if len(line) > 80], screen.name
