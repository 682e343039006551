"""The cab file opened in every way that a tablet may open it, without asking for any other file."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.texts import texts_by_id
from forty_paces.outputs.cab.placement_data import VERSION as PLACEMENT_VERSION
from playwright.sync_api import Browser, BrowserContext, Page, expect

from tests.browser.serving import SiteServer, serving
from tests.browsers import OpenCab, open_procedure

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
NewContext = Callable[..., BrowserContext]


def change_data(html: str, change: Callable[[dict], None]) -> str:
    """The file with its embedded data changed; the policy does not cover data."""
    found = re.search(r'(<script type="application/json" id="cab-data">)(.*?)(</script>)', html, re.DOTALL)
    data = json.loads(found[2])
    change(data)
    return html.replace(found[2], json.dumps(data).replace("<", "\\u003c"))


class TestWays:
    def test_a_lone_file_in_an_empty_folder_asks_for_itself_only(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        assert [file.name for file in cab_file.parent.iterdir()] == ["cab.html"]
        page = open_page(cab_file)
        open_procedure(page, "tire-fire")
        page.click("[data-next]")
        assert page.inner_text(".is-open .progress").startswith("Step 1 of")
        assert page.requests == [cab_file.as_uri()]
        assert page.faults == []

    def test_a_path_with_spaces_and_signs_is_no_matter(
        self, cab_file: Path, open_page: OpenPage, tmp_path: Path
    ) -> None:
        folder = tmp_path / "cab 100% #7 ä"
        folder.mkdir()
        shutil.copy(cab_file, folder / "my cab.html")
        page = open_page(folder / "my cab.html")
        open_procedure(page, "tire-fire")
        assert page.inner_text(".is-open h2") == "Tire smoke or fire"
        assert page.faults == []

    def test_from_a_server_in_a_subpath_it_asks_for_itself_and_for_what_keeps_it(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        with serving(SiteServer(cab_file.parent, "/yard/box/")) as server:
            page = open_page(server.address + "cab.html")
            open_procedure(page, "tire-fire")
            assert page.inner_text(".is-open h2") == "Tire smoke or fire"
            expect(page.locator("[data-edition-status]")).to_have_attribute("data-state", "unsaved")
            asked = set(server.paths())
        # The service worker and the icons belong to the site; a lone copy on a server works without.
        assert asked <= {"cab.html", "sw.js", "manifest.webmanifest", "assets/icons/icon-180.png"}
        assert "cab.html" in asked

    def test_with_the_network_cut_everything_goes_on(self, cab_file: Path, open_page: OpenPage) -> None:
        page = open_page(cab_file)
        page.context.set_offline(True)
        for screen in ("find", "clock", "record", "phones", "index", "crash-scene"):
            page.goto(f"{cab_file.as_uri()}#{screen}")
            assert page.inner_text(".is-open h2")
        assert page.faults == []

    def test_an_address_of_a_step_opens_that_step(self, open_cab: OpenCab) -> None:
        page = open_cab("tire-fire/3")
        assert page.inner_text(".is-open .progress").startswith("Step 3 of")

    @pytest.mark.parametrize(
        "hash_", ["#nowhere", "#tire-fire/99", "#%E0%A4%A", "#/", "#constructor", "#__proto__"]
    )
    def test_an_address_of_nothing_does_no_harm(
        self, cab_file: Path, open_page: OpenPage, hash_: str
    ) -> None:
        page = open_page(cab_file.as_uri() + hash_)
        assert page.is_visible(".screen.is-open")
        page.locator('.top__start, .family[href="#family-fire"]').locator("visible=true").first.click()
        assert page.faults == []

    def test_a_source_opens_in_the_index(self, open_cab: OpenCab) -> None:
        page = open_cab("tire-fire/list")
        page.click(".is-open .sources summary")
        page.click(".is-open .sources a >> nth=0")
        page.locator("#index.is-open").wait_for()
        assert page.evaluate("document.activeElement.id").startswith("source-")


@pytest.fixture(scope="module")
def scriptless(cab_file: Path, chromium: Browser) -> Iterator[Page]:
    """The cab file where scripts are off."""
    page = chromium.new_page(java_script_enabled=False, viewport={"width": 800, "height": 1280})
    page.goto(cab_file.as_uri())
    yield page
    page.close()


class TestWithoutScripts:
    def test_every_procedure_and_every_string_is_on_the_page(
        self, scriptless: Page, library: Library
    ) -> None:
        visible = scriptless.eval_on_selector_all(
            "[data-key]", "all => all.filter(one => one.checkVisibility()).map(one => one.dataset.key)"
        )
        expected = {key for procedure in library.procedures for key in texts_by_id(procedure)}
        assert expected - set(visible) == set()

    def test_it_reads_in_order_start_procedures_distances(self, scriptless: Page, library: Library) -> None:
        order = [
            box["y"]
            for id_ in ("start", "steer-tire-blowout", "cargo-spill", "find", "record", "index")
            if (box := scriptless.locator(f"#{id_}").bounding_box())
        ]
        assert len(order) == 6
        assert order == sorted(order)

    def test_the_printed_distances_are_open(self, scriptless: Page) -> None:
        assert scriptless.locator("[data-printed] table").first.is_visible()
        assert "100 ft (30 m)" in scriptless.locator("[data-printed] table").first.inner_text()

    def test_nothing_that_needs_the_script_is_shown(self, scriptless: Page) -> None:
        shown = scriptless.eval_on_selector_all(
            ".needs-script", "all => all.filter((one) => one.checkVisibility()).map((one) => one.outerHTML)"
        )
        assert shown == []

    def test_a_tile_leads_to_its_procedure(self, scriptless: Page) -> None:
        open_procedure(scriptless, "crash-scene")
        top = scriptless.locator("#crash-scene h2").bounding_box()["y"]
        assert -5 <= top <= 200

    def test_boxes_can_still_be_ticked(self, scriptless: Page) -> None:
        scriptless.locator("#tire-fire [data-tick]").first.check(force=True)
        assert scriptless.locator("#tire-fire [data-tick]").first.is_checked()


class TestPartsFailAlone:
    @pytest.fixture
    def altered(self, cab_file: Path, tmp_path: Path) -> Callable[..., Path]:
        def write(change: Callable[[dict], None] | None = None, *, data: str | None = None) -> Path:
            html = cab_file.read_text(encoding="utf-8")
            if change is not None:
                html = change_data(html, change)
            else:
                html = re.sub(r'(id="cab-data">).*?(</script>)', rf"\1{data}\2", html, flags=re.DOTALL)
            (tmp_path / "cab.html").write_text(html, encoding="utf-8")
            return tmp_path / "cab.html"

        return write

    def finder_is_off(self, page: Page) -> bool:
        page.goto(page.url.split("#")[0] + "#find")
        return (
            not page.is_visible("[data-finder]")
            and page.is_visible("[data-finder-off]")
            and page.is_visible("[data-printed] table")
        )

    def test_one_worked_example_that_comes_out_otherwise_turns_the_finder_off(
        self, altered, open_page: OpenPage
    ) -> None:
        def spoil(data: dict) -> None:
            example = next(e for e in data["placement"]["examples"] if e["devices"])
            example["devices"][0]["distance"] += 10

        page = open_page(altered(spoil))
        assert self.finder_is_off(page)
        page.goto(page.url.split("#")[0] + "#tire-fire/1")
        assert page.is_visible(".is-open .step.is-now")

    def test_any_spoiled_answer_that_an_example_meets_turns_it_off(
        self, altered, open_page: OpenPage
    ) -> None:
        def spoil(data: dict) -> None:
            data["placement"]["layouts"][0]["devices"][1]["distance_ft"] = 110

        assert self.finder_is_off(open_page(altered(spoil)))

    def test_data_of_another_version_are_not_guessed_at(self, altered, open_page: OpenPage) -> None:
        another = 1 + PLACEMENT_VERSION
        assert self.finder_is_off(open_page(altered(lambda data: data["placement"].update(version=another))))

    def test_no_examples_means_no_trust(self, altered, open_page: OpenPage) -> None:
        assert self.finder_is_off(open_page(altered(lambda data: data["placement"].update(examples=[]))))

    def test_unreadable_data_leaves_the_procedures_and_the_clock(self, altered, open_page: OpenPage) -> None:
        page = open_page(altered(data='{"cut short'))
        assert self.finder_is_off(page)
        page.goto(page.url.split("#")[0] + "#tire-fire")
        page.click("[data-next]")
        assert page.inner_text(".is-open .progress").startswith("Step 1 of")
        page.goto(page.url.split("#")[0] + "#clock")
        assert "Stopped at" in page.inner_text("[data-ten-words]")

    def test_without_its_words_the_page_stays_whole_as_it_was_built(
        self, cab_file: Path, tmp_path: Path, open_page: OpenPage
    ) -> None:
        html = cab_file.read_text(encoding="utf-8")
        cut = re.sub(r'(id="cab-words">).*?(</script>)', r'\1{"cut short\2', html, flags=re.DOTALL)
        assert cut != html
        (tmp_path / "cab.html").write_text(cut, encoding="utf-8")
        page = open_page(tmp_path / "cab.html")
        assert page.is_visible("#tire-fire .step >> nth=1")
        assert page.is_visible("#find table >> nth=0")

    @pytest.mark.parametrize(
        "sabotage",
        [
            "Object.defineProperty(window, 'localStorage', { get() { throw new Error('denied'); } });",
            "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };",
            "Object.defineProperty(window, 'indexedDB', { get() { throw new Error('denied'); } });",
            "IDBObjectStore.prototype.put = () => { throw new DOMException('full', 'QuotaExceededError'); };",
            "IDBFactory.prototype.open = () => ({});",
            "for (const key of ['ticks','log','stopped','fields','finder','walk','vehicle','look','events'])"
            " localStorage.setItem('forty-paces/' + key, '{\"\\u003cbroken');",
            "for (const key of ['ticks','log','stopped','fields','finder','walk','vehicle','look','events'])"
            " localStorage.setItem('forty-paces/' + key, '[[[1]]]');",
            "Object.defineProperty(window, 'speechSynthesis', { value: undefined });",
            "window.scrollTo = () => { throw new Error('no'); };",
            "history.pushState = history.replaceState = () => { throw new Error('no'); };",
        ],
        ids=[
            "denied",
            "full",
            "no-database",
            "full-database",
            "silent-database",
            "broken",
            "foreign",
            "no-voice",
            "no-scroll",
            "no-history",
        ],
    )
    def test_a_browser_that_lacks_something_still_walks(
        self, cab_file: Path, new_context: NewContext, sabotage: str
    ) -> None:
        context = new_context()
        context.add_init_script(sabotage)
        page = context.new_page()
        page.goto(cab_file.as_uri())
        open_procedure(page, "tire-fire")
        page.click("[data-next]")
        page.click("[data-next]")
        assert page.inner_text(".is-open .progress").startswith("Step 2 of")
        page.goto(cab_file.as_uri() + "#record")
        assert page.is_visible("[data-log] li")
