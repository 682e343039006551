"""Points 23 to 26 on the screen: hands, type, movement and light, in Chromium."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup
from playwright.sync_api import Page

from tests.acceptance import screens
from tests.acceptance.screens import (
    LOW,
    NARROW,
    PHONE,
    TABLETS,
    Everywhere,
    boxes,
    visit,
)
from tests.browsers import come_back, reload, settle
from tests.drawing.test_tokens import contrast

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
READ = {"p", "li", "dd", "td"}


def test_point_23_tiles_and_step_ticks_are_96_px_and_8_px_apart(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "cab.html")
    places = (
        ("cab.html", "", ".tile"),
        ("cab.html", "#family-fire", ".tile"),
        ("cab.html", "#tire-fire/list", ".tick"),
        ("cab.html", "#tire-fire/2", "[data-next]"),
        ("index.html", "", ".tiles a.tile"),
        ("procedures/tire-fire.html", "", ".step__check"),
    )
    for name, address, selector in places:
        visit(page, built_site / name, address)
        for width, height in (*TABLETS, PHONE):
            page.set_viewport_size({"width": width, "height": height})
            settle(page)
            found, where = boxes(page, selector), f"{name}{address} at {width} px"
            assert found, where
            for one in found:
                assert min(one["width"], one["height"]) >= 96 - 0.5, (where, one)
            if "tick" not in selector:  # a row's tick is the whole row; a line divides it from the next
                assert_apart(found, 8, where)


def assert_apart(found: list[dict[str, Any]], least: float, name: str) -> None:
    for at, one in enumerate(found):
        for other in found[at + 1 :]:
            across = max(other["left"] - one["right"], one["left"] - other["right"])
            down = max(other["top"] - one["bottom"], one["top"] - other["bottom"])
            assert max(across, down) >= least - 0.5, (name, one["what"], other["what"])


@pytest.mark.parametrize(("width", "height"), [*TABLETS, PHONE])
def test_point_23_every_other_control_is_48_px(everywhere: Everywhere, width: int, height: int) -> None:
    for screen in everywhere(width, height):
        assert [] == screen.small_targets, screen.name


@pytest.mark.soak
@pytest.mark.parametrize(("width", "height"), [*TABLETS, PHONE, NARROW])
def test_point_24_step_text_is_24_px_in_cab_view_and_nothing_is_below_16(
    everywhere: Everywhere, width: int, height: int
) -> None:
    seen = 0
    for screen in everywhere(width, height):
        for text in screen.texts:
            assert text["size"] >= 16, (screen.name, text)
            if screen.name.startswith("cab.html") and re.search(
                r"/blocks/.*/(do|how|otherwise|why)$", text["key"]
            ):
                assert text["size"] >= 24, (screen.name, text)
                seen += 1
    assert seen > 10


def scripts_of(built_site: Path) -> dict[str, str]:
    """The scripts that run for a driver: the site's own, and those inside the cab file."""
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


def test_point_25_nothing_moves_and_no_page_changes_by_itself(everywhere: Everywhere) -> None:
    for screen in everywhere(800, 1280):
        assert [] == screen.moving, screen.name
        assert [] == screen.restless, screen.name


@pytest.mark.parametrize(("width", "height"), [NARROW, LOW, *TABLETS])
def test_point_25_it_reflows_at_320_px_and_in_both_orientations(
    everywhere: Everywhere, width: int, height: int
) -> None:
    for screen in everywhere(width, height):
        assert screen.overflow_px <= 0, screen.name


@pytest.mark.parametrize("night", [False, True], ids=["day", "night"])
def test_point_26_night_is_dim_and_day_is_dark_on_light(everywhere: Everywhere, night: bool) -> None:
    for screen in everywhere(800, 1280, night=night):
        assert screen.light is not None
        assert screen.light <= 0.1 if night else screen.light >= 0.5, (screen.name, screen.light)
        found = screen.texts
        body = next((text for text in found if text["tag"] in READ | {"h1", "h2"}), found[0])
        ink, ground = (screens.hex_of(body[key]) for key in ("color", "ground"))
        lighter = contrast(ink, "#000000") > contrast(ground, "#000000")
        assert lighter is night, (screen.name, ink, ground)


def test_point_26_the_driver_alone_switches_and_the_choice_is_kept(
    built_site: Path, open_page: OpenPage
) -> None:
    page = open_page(built_site / "cab.html", color_scheme="dark")
    assert "day" == page.evaluate("document.documentElement.dataset.look")
    page.click("[data-look-switch]")
    assert "night" == page.evaluate("document.documentElement.dataset.look")
    page.emulate_media(color_scheme="light")
    reload(page)
    assert "night" == page.evaluate("document.documentElement.dataset.look")
    site = open_page(built_site / "procedures/fog.html", color_scheme="dark")
    scheme = "document.body.getAttribute('data-md-color-scheme')"
    assert "default" == site.evaluate(scheme)
    site.click("label[title='Switch to night view']")
    assert "slate" == site.evaluate(scheme)
    come_back(site, lambda: site.goto((built_site / "procedures/ice.html").as_uri()))
    assert "slate" == site.evaluate(scheme)
