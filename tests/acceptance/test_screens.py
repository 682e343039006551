"""Points 11, 13 to 15, 18 and 23 to 26 on the screen: the cab file and the site in Chromium."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup, Tag
from playwright.sync_api import Page

from generator.authoring.library import Library
from generator.outputs.card_faces import INDEX_CODE
from tests.acceptance import screens
from tests.acceptance.screens import CONTENT, LINES, TARGETS
from tests.drawing.test_tokens import contrast

pytestmark = [pytest.mark.browser, pytest.mark.xdist_group("built-site")]

OpenPage = Callable[..., Page]
TABLETS = [(800, 1280), (1280, 800)]
CAB_SCREENS = (
    "",
    "#tire-fire",
    "#tire-fire/2",
    "#tire-fire/list",
    "#tire-fire/finished",
    "#find",
    "#clock",
    "#record",
    "#phones",
    "#vehicle",
)
SITE_PAGES = (
    "index.html",
    "procedures/tire-fire.html",
    "procedures/warning-devices.html",
    "placing/two-lane.html",
    "placing/tables.html",
    "before-trip.html",
    "after-event.html",
    "reference/stopping.html",
    "review.html",
)
PRESSED = "a, button, summary, textarea, .tick, label:has(> input[type=checkbox])"
READ = {"p", "li", "dd", "td"}


def visit(page: Page, file: Path, address: str = "", *, night: bool = False) -> None:
    """Open an address of a built file, in the look wanted."""
    page.goto(f"{file.as_uri()}{address}")
    if night:
        page.evaluate(
            "document.documentElement.hasAttribute('data-look')"
            " ? document.documentElement.setAttribute('data-look', 'night')"
            " : document.body.setAttribute('data-md-color-scheme', 'slate')"
        )


def everywhere(page: Page, built_site: Path, *, night: bool = False) -> Iterator[tuple[str, str]]:
    """Every screen and page looked at: its name and the selector of its words."""
    for address in CAB_SCREENS:
        visit(page, built_site / "cab.html", address, night=night)
        yield f"cab.html{address}", "body"
    for name in SITE_PAGES:
        visit(page, built_site / name, night=night)
        yield name, "article"


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


@pytest.mark.parametrize(("width", "height"), TABLETS)
def test_point_13_two_taps_lead_from_the_cab_start_screen_to_step_1_of_every_procedure(
    built_site: Path, open_page: OpenPage, library: Library, width: int, height: int
) -> None:
    """The ten seconds and the wrong choices are for people with a watch; the taps are counted here."""
    page = open_page(built_site / "cab.html", width=width, height=height, has_touch=True)
    page.evaluate("localStorage.clear()")
    for procedure in library.procedures:
        page.goto(f"{(built_site / 'cab.html').as_uri()}#start")
        tile = page.locator(f'.tile[href="#{procedure.id}"]')
        box = tile.bounding_box()
        assert box is not None
        assert min(box["x"], box["y"]) >= 0
        assert box["x"] + box["width"] <= width
        assert box["y"] + box["height"] <= height, f"{procedure.id} needs scrolling"
        tile.tap()
        page.locator("[data-next]").tap()
        first = procedure.blocks[0].steps[0]
        key = f"{procedure.id}/blocks/{procedure.blocks[0].id}/steps/{first.id}/do"
        assert page.locator(f'[data-key="{key}"]').is_visible()


def test_point_13_one_tap_leads_from_the_site_start_to_every_page_and_one_tab_to_every_card(
    built_site: Path, open_page: OpenPage, library: Library, cards: Mapping[str, Tag]
) -> None:
    page = open_page(built_site / "index.html")
    for procedure in library.procedures:
        page.goto((built_site / "index.html").as_uri())
        page.click(f'a.tile[href="procedures/{procedure.id}.html"]')
        assert procedure.title == page.locator("h1").inner_text()
    listed = {
        cell.select_one(".index-code").get_text(): cell for cell in cards[INDEX_CODE].select(".index-cell p")
    }
    for procedure in library.procedures:
        assert procedure.tile == listed[procedure.code].get_text().removeprefix(procedure.code)
        assert cards[procedure.code].select_one(".tab") is not None


def test_point_14_facts_stand_in_labelled_clusters_that_can_be_reached_from_the_contents(
    library: Library, pages: Mapping[str, Tag], built_site: Path
) -> None:
    """The seven seconds are for people with a watch; what makes them possible is tested here."""
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
        whole = BeautifulSoup(
            (built_site / f"procedures/{procedure.id}.html").read_text("utf-8"), "html.parser"
        )
        assert whole.select('nav.md-nav--secondary a[href="#facts"]')


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_point_15_steps_reach_7_to_1_and_every_other_text_4_5_to_1(
    built_site: Path, open_page: OpenPage, night: bool
) -> None:
    page = open_page(built_site / "index.html", width=800, height=1280)
    acted = re.compile(r"/(by_heart|blocks)/.*/do$")
    count = 0
    for name, root in everywhere(page, built_site, night=night):
        for text in page.evaluate(CONTENT, root):
            needed = 7.0 if acted.search(text["key"]) else 3.0 if screens.large(text) else 4.5
            assert screens.ratio(text) >= needed, (name, text)
            count += bool(acted.search(text["key"]))
    assert count > 30


BORDERS = """
() => [".by-heart", ".finished", ".step__tick", ".tile", "input[type=checkbox]", ".decision td"]
  .flatMap((selector) => Array.from(document.querySelectorAll(selector)))
  .filter((e) => e.checkVisibility() && getComputedStyle(e).borderTopStyle !== "none"
    && parseFloat(getComputedStyle(e).borderTopWidth) > 0)
  .map((e) => {
    let ground = null;
    for (let at = e.parentElement; at && !ground; at = at.parentElement) {
      const color = getComputedStyle(at).backgroundColor;
      if (!/^rgba\\(.*, 0\\)$|transparent/.test(color)) ground = color;
    }
    return [e.className, getComputedStyle(e).borderTopColor, ground || "rgb(255, 255, 255)"];
  })
"""


FOCUS = """
() => {
  const e = document.activeElement;
  const look = getComputedStyle(e);
  let ground = null;
  for (let at = e.parentElement; at && !ground; at = at.parentElement) {
    const color = getComputedStyle(at).backgroundColor;
    if (!/^rgba\\(.*, 0\\)$|transparent/.test(color)) ground = color;
  }
  ground = ground || "rgb(255, 255, 255)";
  return [look.outlineColor, look.outlineStyle, parseFloat(look.outlineWidth), ground];
}
"""


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_point_15_icons_lines_and_focus_reach_3_to_1(
    built_site: Path, open_page: OpenPage, night: bool
) -> None:
    page = open_page(built_site / "index.html")
    seen = 0
    for name, _ in everywhere(page, built_site, night=night):
        for what, line, ground in page.evaluate(BORDERS):
            assert contrast(screens.hex_of(line), screens.hex_of(ground)) >= 3, (name, what)
            seen += 1
        page.keyboard.press("Tab")
        outline, style, width, ground = page.evaluate(FOCUS)
        assert style != "none", f"{name}: the focus cannot be seen"
        assert width >= 2, name
        assert contrast(screens.hex_of(outline), screens.hex_of(ground)) >= 3, name
    assert seen > 50


@pytest.mark.parametrize("width", [1280, 800, 390])
def test_point_18_lines_are_set_at_1_5_ragged_unhyphenated_and_at_most_80_characters_long(
    built_site: Path, open_page: OpenPage, width: int
) -> None:
    page = open_page(built_site / "index.html", width=width, height=900)
    for name, root in everywhere(page, built_site):
        for text in page.evaluate(CONTENT, root):
            assert text["align"] != "justify", (name, text)
            assert text["hyphens"] != "auto", (name, text)
            assert text["slant"] == "normal", (name, text)
            if text["tag"] in READ and text["key"]:
                assert text["leading"] >= 1.5 - 0.001, (name, text)
                assert text["align"] in {"start", "left"}, (name, text)
        long = [line for line in page.evaluate(LINES, root) if len(line) > 80]
        assert [] == long, name


def boxes(page: Page, selector: str) -> list[dict[str, Any]]:
    return [one for one in page.evaluate(TARGETS, selector) if one["width"] > 1]


@pytest.mark.parametrize(("width", "height"), [*TABLETS, (390, 844)])
def test_point_23_tiles_and_step_ticks_are_96_px_and_8_px_apart(
    built_site: Path, open_page: OpenPage, width: int, height: int
) -> None:
    page = open_page(built_site / "cab.html", width=width, height=height)
    places = (
        ("cab.html", "", ".tile"),
        ("cab.html", "#tire-fire/list", ".tick"),
        ("cab.html", "#tire-fire/2", "[data-next]"),
        ("index.html", "", ".tiles a.tile"),
        ("procedures/tire-fire.html", "", ".step__check"),
    )
    for name, address, selector in places:
        visit(page, built_site / name, address)
        found = boxes(page, selector)
        assert found, name
        for one in found:
            assert min(one["width"], one["height"]) >= 96 - 0.5, (name, one)
        if "tick" not in selector:  # a row's tick is the whole row; a line divides it from the next
            assert_apart(found, 8, name)


def assert_apart(found: list[dict[str, Any]], least: float, name: str) -> None:
    for at, one in enumerate(found):
        for other in found[at + 1 :]:
            across = max(other["left"] - one["right"], one["left"] - other["right"])
            down = max(other["top"] - one["bottom"], one["top"] - other["bottom"])
            assert max(across, down) >= least - 0.5, (name, one["what"], other["what"])


INLINE = """
(selector) => Array.from(document.querySelectorAll(selector)).filter((e) => e.checkVisibility()
  && getComputedStyle(e).display.startsWith("inline") && !getComputedStyle(e).display.includes("flex")
  && e.tagName === "A").map((e) => (e.innerText || "").trim().slice(0, 40))
"""
"""Links that run in a text, which WCAG 2.5.8 exempts."""


@pytest.mark.parametrize(("width", "height"), [*TABLETS, (390, 844)])
def test_point_23_every_other_control_is_48_px(
    built_site: Path, open_page: OpenPage, width: int, height: int
) -> None:
    page = open_page(built_site / "cab.html", width=width, height=height)
    for address in CAB_SCREENS:
        visit(page, built_site / "cab.html", address)
        inline = page.evaluate(INLINE, "a")
        small = [
            one
            for one in boxes(page, "a, button, summary, textarea, .tick")
            if min(one["width"], one["height"]) < 48 - 0.5 and one["what"] not in inline
        ]
        assert [] == small, address
    for name in SITE_PAGES:
        visit(page, built_site / name)
        inline = page.evaluate(INLINE, "a")
        small = [
            one
            for one in boxes(
                page, f"article :is({PRESSED}), .md-nav__link[href], .md-tabs__link, .md-header__button"
            )
            if min(one["width"], one["height"]) < 48 - 0.5 and one["what"] not in inline
        ]
        assert [] == small, name


def test_point_24_step_text_is_24_px_in_cab_view_and_nothing_is_below_16(
    built_site: Path, open_page: OpenPage
) -> None:
    for width, height in (*TABLETS, (390, 844), (320, 640)):
        page = open_page(built_site / "cab.html", width=width, height=height)
        seen = 0
        for name, root in everywhere(page, built_site):
            for text in page.evaluate(CONTENT, root):
                assert text["size"] >= 16, (name, width, text)
                if name.startswith("cab.html") and re.search(
                    r"/blocks/.*/(do|how|otherwise|why)$", text["key"]
                ):
                    assert text["size"] >= 24, (name, width, text)
                    seen += 1
        assert seen > 10


def scripts_of(built_site: Path) -> dict[str, str]:
    """The scripts that a driver meets: the site's own, and those inside the cab file."""
    own = {file.name: file.read_text("utf-8") for file in (built_site / "assets/js").rglob("*.js")}
    soup = BeautifulSoup((built_site / "cab.html").read_text("utf-8"), "html.parser")
    own["cab"] = "\n".join(tag.get_text() for tag in soup.select("script:not([type='application/json'])"))
    assert len(own["cab"]) > 10_000
    return own


def test_point_25_no_script_waits_for_anything_but_taps_and_keys_or_opens_anything(built_site: Path) -> None:
    more = r"touch\w*|drag\w*|drop|dblclick|contextmenu|mouse\w*|pointer(?!down\b|up\b)\w*|wheel|gesture\w*"
    heard = re.compile(rf"""(?:addEventListener|\bon)\(\s*(?:\w+,\s*)?["'](?:{more})["']""")
    opened = re.compile(r"\b(?:alert|confirm|prompt)\(|window\.open\(|showModal\(|new Notification\(")
    for name, text in scripts_of(built_site).items():
        assert not heard.search(text), (name, heard.search(text))
        assert not opened.search(text), (name, opened.search(text))
    assert heard.search("thing.addEventListener('touchmove', f)")


MOVING = """
() => Array.from(document.querySelectorAll("*")).filter((e) => {
  const look = getComputedStyle(e);
  const times = `${look.transitionDuration},${look.animationDuration}`.split(",");
  return times.some((time) => parseFloat(time) > 0) || look.scrollBehavior === "smooth";
}).map((e) => `${e.tagName}.${e.className}`.slice(0, 80)).slice(0, 5)
"""


def test_point_25_nothing_moves_and_no_page_changes_by_itself(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "cab.html")
    for name, _ in everywhere(page, built_site):
        assert [] == page.evaluate(MOVING), name
        assert (
            0 == page.locator("meta[http-equiv=refresh], marquee, blink, video, audio, dialog[open]").count()
        )


@pytest.mark.parametrize(("width", "height"), [(320, 640), (640, 320), (800, 1280), (1280, 800)])
def test_point_25_it_reflows_at_320_px_and_in_both_orientations(
    built_site: Path, open_page: OpenPage, width: int, height: int
) -> None:
    page = open_page(built_site / "cab.html", width=width, height=height)
    for name, _ in everywhere(page, built_site):
        over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert over <= 0, name


def test_point_26_night_is_dim_and_day_is_dark_on_light(built_site: Path, open_page: OpenPage) -> None:
    page = open_page(built_site / "cab.html", width=800, height=1280)
    for night in (False, True):
        for name, root in everywhere(page, built_site, night=night):
            light = screens.mean_light(page)
            assert light <= 0.1 if night else light >= 0.5, (name, night, light)
            found = page.evaluate(CONTENT, root)
            body = next((text for text in found if text["tag"] in READ | {"h1", "h2"}), found[0])
            ink, ground = (screens.hex_of(body[key]) for key in ("color", "ground"))
            lighter = contrast(ink, "#000000") > contrast(ground, "#000000")
            assert lighter is night, (name, ink, ground)


def test_point_26_the_driver_alone_switches_and_the_choice_is_kept(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "cab.html", color_scheme="dark")
    assert "day" == page.evaluate("document.documentElement.dataset.look")
    page.click("[data-look-switch]")
    assert "night" == page.evaluate("document.documentElement.dataset.look")
    page.emulate_media(color_scheme="light")
    page.reload()
    assert "night" == page.evaluate("document.documentElement.dataset.look")
    site = open_page(built_site / "procedures/fog.html", color_scheme="dark")
    scheme = "document.body.getAttribute('data-md-color-scheme')"
    assert "default" == site.evaluate(scheme)
    site.click("label[title='Switch to night view']")
    assert "slate" == site.evaluate(scheme)
    site.goto((built_site / "procedures/ice.html").as_uri())
    assert "slate" == site.evaluate(scheme)
