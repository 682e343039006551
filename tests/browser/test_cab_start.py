"""The cab file while it is still loading: its start screen comes first, and taps count at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.common.families import families
from playwright.sync_api import BrowserContext, Page

from tests.browser.serving import Fault, SiteServer, serving
from tests.browsers import settle

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
NewContext = Callable[..., BrowserContext]

SHOWN = "all => all.filter(one => one.checkVisibility()).map(one => one.id)"


@pytest.fixture
def server(cab_file: Path) -> Iterator[SiteServer]:
    held = SiteServer(cab_file.parent, plan=lambda path: Fault.HELD if path == "cab.html" else None)
    with serving(held) as running:
        yield running


def opened_as_far_as(server: SiteServer, new_context: NewContext, mark: str) -> Page:
    """The page while nothing after ``mark`` has arrived."""
    server.held_behind = mark.encode()
    page = new_context().new_page()
    page.goto(server.address + "cab.html", wait_until="commit")
    page.wait_for_selector(".tools .tool >> nth=3")
    return page


def let_go(server: SiteServer, page: Page) -> None:
    server.released.set()
    page.wait_for_selector("html:not(.is-starting)")


class TestHalfRead:
    def test_the_start_screen_is_there_whole_and_alone(
        self, server: SiteServer, new_context: NewContext, library: Library
    ) -> None:
        page = opened_as_far_as(server, new_context, 'id="tire-fire"')
        assert page.eval_on_selector_all(".screen", SHOWN) == ["start"]
        tiles = page.eval_on_selector_all(".tile", "all => all.map(one => one.getAttribute('href').slice(1))")
        listed = families(library.procedures)
        screens = [family.screen for family in listed if not family.only]
        assert sorted(tiles) == sorted([*screens, *(procedure.id for procedure in library.procedures)])
        assert page.locator(".family").count() == len(listed)
        places = "[...document.querySelectorAll('.family, .tool')].map(one => one.getBoundingClientRect().y)"
        before = page.evaluate(places)
        let_go(server, page)
        assert page.evaluate(places) == pytest.approx(before, abs=1)

    def test_a_tile_leads_to_its_procedure_before_the_script_has_come(
        self, server: SiteServer, new_context: NewContext
    ) -> None:
        page = opened_as_far_as(server, new_context, 'id="cab-data">')
        page.click('.family[href="#family-fire"]')
        page.wait_for_selector("#family-fire.is-open")
        page.click('.tile[href="#tire-fire"]')
        page.wait_for_selector("#tire-fire.is-open")
        assert page.eval_on_selector_all(".screen", SHOWN) == ["tire-fire"]
        assert page.is_visible("#tire-fire .by-heart")
        assert not page.is_visible("#tire-fire .step >> nth=0")
        assert page.evaluate("scrollY") == 0
        let_go(server, page)
        assert page.eval_on_selector_all(".screen", SHOWN) == ["tire-fire"]
        page.click("[data-next]")
        assert page.inner_text(".is-open .progress").startswith("Step 1 of")

    def test_a_tap_on_what_has_not_come_yet_is_kept_until_it_has(
        self, server: SiteServer, new_context: NewContext
    ) -> None:
        page = opened_as_far_as(server, new_context, 'id="behind-start">')
        page.click('.tool[href="#phones"]')
        assert page.eval_on_selector_all(".screen", SHOWN) == ["start"]
        let_go(server, page)
        assert page.eval_on_selector_all(".screen", SHOWN) == ["phones"]

    @pytest.mark.parametrize(("button", "look"), [("look", "night"), ("text", "large")])
    def test_a_tap_on_a_button_at_the_top_is_done_as_soon_as_it_can_be(
        self, server: SiteServer, new_context: NewContext, button: str, look: str
    ) -> None:
        page = opened_as_far_as(server, new_context, 'id="tire-fire"')
        page.click(f"[data-{button}-switch]")
        let_go(server, page)
        assert page.get_attribute("html", f"data-{button}") == look
        assert page.get_attribute(f"[data-{button}-switch]", "aria-pressed") == "true"

    def test_the_look_of_last_time_is_there_before_the_first_paint(
        self, server: SiteServer, new_context: NewContext
    ) -> None:
        # A white page in a dark cab ruins the driver's night vision.
        context = new_context()
        context.add_init_script(
            "for (const [key, value] of [['look', 'night'], ['text', 'large']])"
            " localStorage.setItem('forty-paces/' + key, JSON.stringify(value));"
        )
        server.held_behind = b"<body"
        page = context.new_page()
        page.goto(server.address + "cab.html", wait_until="commit")
        page.wait_for_selector("html.is-starting", state="attached")
        assert page.get_attribute("html", "data-look") == "night"
        assert page.get_attribute("html", "data-text") == "large"
        assert not page.evaluate("performance.getEntriesByType('paint').length")
        let_go(server, page)
        assert page.get_attribute("html", "data-look") == "night"
        assert page.get_attribute("html", "data-text") == "large"

    def test_once_the_script_has_come_a_tap_is_done_once(
        self, server: SiteServer, new_context: NewContext
    ) -> None:
        page = opened_as_far_as(server, new_context, 'id="tire-fire"')
        let_go(server, page)
        page.click("[data-look-switch]")
        settle(page)
        assert page.get_attribute("html", "data-look") == "night"


class TestScriptThatDoesNotCome:
    def test_a_script_that_may_not_run_leaves_everything_to_read(
        self, cab_file: Path, open_page: OpenPage, tmp_path: Path, library: Library
    ) -> None:
        html = cab_file.read_text(encoding="utf-8")
        last = html.rindex("<script>") + len("<script>")
        (tmp_path / "cab.html").write_text(html[:last] + " " + html[last:], encoding="utf-8")
        page = open_page(tmp_path / "cab.html")
        page.evaluate("localStorage.setItem('forty-paces/look', '\"night\"')")
        page.reload(wait_until="load")
        assert page.get_attribute("html", "data-look") == "day", "nothing could switch it back"
        assert any("Content Security Policy" in fault for fault in page.faults)
        shown = page.eval_on_selector_all(".screen", SHOWN)
        assert {procedure.id for procedure in library.procedures} < set(shown)
        assert page.eval_on_selector_all(".needs-script", SHOWN) == []

    def test_a_file_cut_short_shows_all_that_it_holds(
        self, cab_file: Path, open_page: OpenPage, tmp_path: Path
    ) -> None:
        html = cab_file.read_text(encoding="utf-8")
        (tmp_path / "cab.html").write_text(html[: html.index('id="find"')], encoding="utf-8")
        page = open_page(tmp_path / "cab.html")
        assert page.is_visible("#start")
        assert page.is_visible("#tire-fire .step >> nth=0")

    def test_where_one_screen_at_a_time_cannot_start_everything_is_shown(
        self, cab_file: Path, new_context: NewContext, library: Library
    ) -> None:
        context = new_context()
        context.add_init_script("Element.prototype.closest = () => { throw new Error('no'); };")
        page = context.new_page()
        page.goto(cab_file.as_uri())
        shown = set(page.eval_on_selector_all(".screen", SHOWN))
        assert {procedure.id for procedure in library.procedures} < shown
        assert not re.search(r"one-screen|is-starting", page.get_attribute("html", "class") or "")
