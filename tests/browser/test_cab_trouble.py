"""The cab file in shaking hands: double taps, odd URLs, no storage, two pages, long texts, no script."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from playwright.sync_api import BrowserContext, Page, expect

from tests.browsers import (
    OpenCab,
    go,
    kept_value,
    open_procedure,
    progress,
    put_row,
    put_rows,
    reload,
    written,
)
from tests.soaking import sample

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
NewContext = Callable[..., BrowserContext]
TOOLS = ("find", "clock", "record", "phones", "vehicle", "index", "clear")
FULL = """
  IDBObjectStore.prototype.put = () => { throw new DOMException("full", "QuotaExceededError"); };
  Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); };
"""
BLOCKED = """
  for (const name of ["localStorage", "indexedDB", "BroadcastChannel"]) {
    Object.defineProperty(window, name, { get() { throw new DOMException("no", "SecurityError"); } });
  }
"""
MISSING = """
  for (const name of ["localStorage", "indexedDB", "BroadcastChannel"]) {
    Object.defineProperty(window, name, { value: undefined });
  }
"""
REFUSED = """
  IDBFactory.prototype.open = () => {
    const request = { error: new DOMException("no", "UnknownError") };
    setTimeout(() => request.onerror());
    return request;
  };
"""


def hold_the_clock(page: Page, at: str = "2026-11-25T14:00:00-07:00") -> None:
    """Stop the page's clock: a busy machine may send the second of two quick taps a second late."""
    page.clock.set_fixed_time(at)


class TestDoubleTaps:
    def test_two_quick_taps_of_a_finger_mark_one_step(self, cab_file: Path, open_page: OpenPage) -> None:
        page = open_page(cab_file.as_uri() + "#tire-fire/1", width=390, height=844, has_touch=True)
        hold_the_clock(page)
        box = page.locator("[data-next]").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.touchscreen.tap(x, y)
        page.touchscreen.tap(x + 6, y - 9)
        assert progress(page).startswith("Step 2 of")

    def test_a_double_click_marks_one_step(self, cab_file: Path, open_page: OpenPage) -> None:
        page = open_page(cab_file.as_uri() + "#tire-fire/1")
        hold_the_clock(page)
        page.dblclick("[data-next]")
        assert progress(page).startswith("Step 2 of")

    def test_a_double_tap_on_a_family_does_not_open_the_procedure_that_comes_under_the_finger(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file, width=800, height=1280, has_touch=True)
        hold_the_clock(page)
        family = page.locator('.family[href="#family-fire"]').bounding_box()
        x, y = family["x"] + 20, family["y"] + 60
        page.touchscreen.tap(x, y)
        assert page.is_visible("#family-fire.is-open")
        tile = page.locator('.tile[href="#engine-fire"]').bounding_box()
        assert tile["x"] < x < tile["x"] + tile["width"]
        assert tile["y"] < y < tile["y"] + tile["height"]
        page.touchscreen.tap(x + 6, y + 6)
        assert page.is_visible("#family-fire.is-open")
        hold_the_clock(page, "2026-11-25T14:00:02-07:00")  # the same tap two seconds later is meant
        page.touchscreen.tap(x + 6, y + 6)
        assert page.is_visible("#engine-fire.is-open")

    def test_a_second_tap_elsewhere_and_every_key_act_at_once(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file.as_uri() + "#tire-fire/1", width=800, height=1280, has_touch=True)
        page.tap("[data-next]")
        page.tap("[data-back]")
        assert progress(page).startswith("Step 1 of")
        page.focus("[data-next]")
        for _ in range(2):
            page.keyboard.press("Enter")
            page.focus("[data-next]")
        assert progress(page).startswith("Step 3 of")

    def test_quick_taps_that_change_no_screen_all_count(self, cab_file: Path, open_page: OpenPage) -> None:
        page = open_page(cab_file.as_uri() + "#clock", width=800, height=1280, has_touch=True)
        crash = page.locator("[data-due] >> nth=0")
        crash.locator('[data-due-set="now"]').tap()
        written(page)
        before = kept_value(page, "events", "event-1")
        for _ in range(3):
            crash.locator('[data-due-set="-5"]').tap()
        written(page)
        after = kept_value(page, "events", "event-1")
        assert before - after == 15 * 60_000


class TestAddresses:
    @pytest.mark.soak
    def test_an_unknown_address_is_the_start(self, open_cab: OpenCab) -> None:
        page = open_cab("clock")
        opened = "Array.from(document.querySelectorAll('.screen.is-open'), (one) => one.id)"
        unknown = (
            "#__proto__",
            "#constructor",
            "#toString/3",
            "#nonsense",
            "#%E0%A4%A",
            "#%",
            "#/1",
            "#source-nothing",
            "#//",
            "#group-stopped",
            "#<b>x",
        )
        for hash_ in unknown:
            go(page, "clock")
            assert page.is_visible("#clock.is-open"), hash_
            page.goto(page.url.split("#")[0] + hash_)
            assert page.evaluate(opened) == ["start"], f"{hash_} gone to"
        # What opens the file reads the address as what goes to it does.
        for hash_ in sample(unknown, 4):
            page.goto(page.url.split("#")[0] + hash_)
            page.reload()
            assert page.evaluate(opened) == ["start"], f"{hash_} opened"
        assert page.faults == []

    @pytest.mark.soak
    def test_an_unknown_view_of_a_procedure_is_its_first(self, open_cab: OpenCab) -> None:
        unknown = ("99", "0", "-1", "1.5", "x", "decision/x", "list/2", "finished/")
        for view in unknown:
            page = open_cab(f"tire-fire/{view}")
            assert page.is_visible("#tire-fire .part--first"), view
            if view in sample(unknown, 3):
                page.reload()
                assert page.is_visible("#tire-fire .part--first"), view
            page.click("[data-next]")
            assert progress(page).startswith("Step 1 of"), view
            assert page.faults == []

    @pytest.mark.soak
    def test_back_from_every_view_of_every_procedure_leads_to_its_family_or_the_start(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab()
        stuck = page.evaluate(
            """(ids) => {
              const stuck = [];
              for (const id of ids) {
                const last = document.querySelectorAll(`#${id} .step:not([hidden])`).length;
                for (const view of ["", "/1", `/${last}`, "/decision", "/finished", "/list"]) {
                  history.replaceState(null, "", "#start");
                  window.dispatchEvent(new HashChangeEvent("hashchange"));
                  history.replaceState(null, "", `#${id}${view}`);
                  window.dispatchEvent(new HashChangeEvent("hashchange"));
                  let taps = 0;
                  while (!document.querySelector(".is-open:is(#start, .listing)") && taps < 40) {
                    document.querySelector("[data-back]").click();
                    taps += 1;
                  }
                  if (taps > last + 3 || taps === 0) stuck.push(id + view + ": " + taps);
                }
              }
              return stuck;
            }""",
            [procedure.id for procedure in sample(library.procedures, 3)],
        )
        assert stuck == []
        for tool in TOOLS:
            go(page, "" + tool)
            page.click(".top__start")
            assert page.is_visible("#start.is-open"), tool

    def test_the_list_leads_back_to_the_step_it_was_opened_from(self, open_cab: OpenCab) -> None:
        page = open_cab("tire-fire/3")
        page.click("[data-list]")
        page.click("[data-back]")
        assert progress(page).startswith("Step 3 of")


class TestStorage:
    @pytest.mark.parametrize(
        "trouble", [FULL, BLOCKED, MISSING, REFUSED], ids=["full", "blocked", "missing", "refused"]
    )
    def test_without_storage_everything_works_until_the_page_is_closed_and_that_is_said(
        self, cab_file: Path, new_context: NewContext, trouble: str
    ) -> None:
        context = new_context()
        context.add_init_script(trouble)
        page = context.new_page()
        faults: list[str] = []
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.goto(cab_file.as_uri())
        open_procedure(page, "tire-fire")
        page.click("[data-next]")
        page.click("[data-next]")
        page.click("[data-look-switch]")
        go(page, "find")
        page.click('[data-axis="road"][data-place="0"]')
        go(page, "record")
        expect(page.locator("#record [data-not-kept]")).to_be_visible()
        page.fill("#field-place", "Route 9")
        go(page, "tire-fire")
        assert page.inner_text("[data-next]") == "Go on: step 2"
        go(page, "record")
        assert page.input_value("#field-place") == "Route 9"
        assert page.locator("[data-log] li").count() == 2
        assert faults == []

    def test_with_storage_nothing_is_said_of_it(self, open_cab: OpenCab) -> None:
        page = open_cab("record")
        page.fill("#field-place", "Route 9")
        assert page.is_hidden("#record [data-not-kept]")

    def test_two_pages_write_into_one_record(self, cab_file: Path, open_page: OpenPage) -> None:
        one = open_page(cab_file.as_uri() + "#record")
        two = one.context.new_page()
        two.goto(cab_file.as_uri() + "#record")
        one.fill("#field-place", "Route 9")
        expect(two.locator("#field-place")).to_have_value("Route 9")
        two.fill("#field-driver", "A. Driver")
        expect(one.locator("#field-driver")).to_have_value("A. Driver")
        reload(one)
        assert (one.input_value("#field-place"), one.input_value("#field-driver")) == ("Route 9", "A. Driver")

    def test_a_page_that_was_put_aside_reads_what_others_wrote(self, open_cab: OpenCab) -> None:
        page = open_cab("record")
        page.fill("#field-place", "here")
        written(page)
        put_row(page, "", "fields", "place", "there")
        page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
        expect(page.locator("#field-place")).to_have_value("there")

    def test_marks_of_another_page_move_neither_the_focus_nor_the_view(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        one = open_page(cab_file.as_uri() + "#crash-scene/list")
        two = one.context.new_page()
        two.goto(cab_file.as_uri() + "#crash-scene/list")
        two.evaluate("window.scrollTo(0, 600)")
        two.focus("#crash-scene [data-tick] >> nth=3")
        top = "document.activeElement.getBoundingClientRect().top"
        at = two.evaluate(top)
        one.click(".is-open .step >> nth=0")
        expect(two.locator("#crash-scene [data-tick]").first).to_be_checked()
        assert two.evaluate(top) == pytest.approx(at, abs=1)
        assert two.evaluate("document.activeElement.matches('[data-tick]')")


class TestRecordUnderLoad:
    LONG = "Wet road \U0001f327\ufe0f, ‘quoted’ <b>\n" * 60 + "x" * 900

    def test_long_text_and_emoji_are_kept_shown_whole_and_saved(self, open_cab: OpenCab) -> None:
        page = open_cab("record", width=320, height=568)
        text = self.LONG[:4000]
        page.fill("#field-place", text)
        reload(page)
        assert page.input_value("#field-place") == text
        assert page.evaluate("document.documentElement.scrollWidth") <= 320
        with page.expect_download() as saving:
            page.click("[data-record-save]")
        saved = Path(saving.value.path()).read_text(encoding="utf-8").split("\n")
        assert [line for line in saved if line.startswith("  > ")] == [
            f"  > {line}" for line in text.split("\n")
        ]
        assert page.faults == []

    def test_a_field_grows_with_what_is_written_in_it(self, open_cab: OpenCab) -> None:
        page = open_cab("record")
        before = page.locator("#field-place").bounding_box()["height"]
        page.fill("#field-place", "one\ntwo\nthree\nfour\nfive\nsix")
        fits = "(e) => e.scrollHeight <= e.clientHeight"
        assert page.locator("#field-place").bounding_box()["height"] > before
        assert page.eval_on_selector("#field-place", fits)
        reload(page)
        assert page.eval_on_selector("#field-place", fits)

    def test_a_thousand_marks_are_listed_and_the_oldest_go(self, open_cab: OpenCab) -> None:
        page = open_cab()
        ids = [f"{at + 1:09}-a" for at in range(1000)]
        entries = [{"id": id_, "at": at + 1, "what": "out", "words": f"x{at}"} for at, id_ in enumerate(ids)]
        put_rows(page, "", "log", dict(zip(ids, entries, strict=True)))
        reload(page)
        go(page, "clock")
        page.click("[data-ten-start]")
        go(page, "record")
        lines = page.locator("[data-log] li")
        assert lines.count() == 1000
        assert lines.nth(0).inner_text().endswith("x1")
        assert lines.nth(999).inner_text().endswith("Stopped")


class TestNoScript:
    def test_every_line_is_there_and_nothing_stands_over_anything(
        self, cab_file: Path, new_context: NewContext, library: Library
    ) -> None:
        page = new_context(java_script_enabled=False, viewport={"width": 390, "height": 844}).new_page()
        page.goto(cab_file.as_uri())
        text = page.inner_text("body")
        for procedure in library.procedures:
            assert procedure.finished in text
        assert page.locator(".needs-script >> visible=true").count() == 0
        tall = page.locator(".top").bounding_box()
        assert tall["height"] < 130
