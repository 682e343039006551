"""The ten-minute clock on the way through a stop, and where the time of day itself jumps."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Tool
from forty_paces.outputs.common.procedure_view import view_procedure
from playwright.sync_api import BrowserContext, Page, expect

from tests.browsers import (
    OpenCab,
    go,
    kept_value,
    open_procedure,
    page_at,
    progress,
    put_row,
    reload,
    written,
)

pytestmark = pytest.mark.browser

NewContext = Callable[..., BrowserContext]


TOOL_AND_BACK = """(views) => views.map((view) => {
  location.hash = view;
  window.dispatchEvent(new HashChangeEvent("hashchange"));
  const tap = (selector) => {
    const link = document.querySelector(selector);
    if (!link.checkVisibility()) throw new Error(`${view}: ${selector} is hidden`);
    link.click();
  };
  tap(".is-open .step.is-now .step__tool:not(.step__calls) a");
  const tool = document.querySelector(".screen.is-open").id;
  tap("[data-return] a");
  return [tool, document.querySelector(".is-open .progress").innerText];
})"""
"""The screen that the tool of each step opens, and the step that the way back leads to."""


class TestTime:
    def test_ten_minutes_run_on_over_midnight(self, cab_file: Path, new_context: NewContext) -> None:
        page = page_at(new_context, cab_file, "2026-11-25T23:55:00-07:00")
        go(page, "clock")
        page.click("[data-ten-start]")
        assert "Devices out by 12:05 AM, Thursday, November 26." in page.inner_text("[data-ten-words]")
        page.clock.run_for(6 * 60_000)
        assert page.inner_text("[data-ten-left]") == "4 min 0 s left"
        words = page.inner_text("[data-ten-words]")
        assert words == "Stopped at 11:55 PM, Wednesday, November 25. Devices out by 12:05 AM."

    @pytest.mark.parametrize(
        ("at", "due"),
        [
            # 15 U.S.C. 260a: daylight saving ends on the first Sunday of November, and begins on
            # the second of March, at 2 in the morning.
            ("2026-11-01T01:55:00-06:00", "1:05 AM"),
            ("2027-03-14T01:55:00-07:00", "3:05 AM"),
        ],
    )
    def test_ten_minutes_are_ten_where_the_clocks_change(
        self, cab_file: Path, new_context: NewContext, at: str, due: str
    ) -> None:
        page = page_at(new_context, cab_file, at)
        go(page, "clock")
        page.click("[data-ten-start]")
        assert f"Devices out by {due}." in page.inner_text("[data-ten-words]")
        page.clock.run_for(9 * 60_000)
        assert page.inner_text("[data-ten-left]") == "1 min 0 s left"

    def test_another_time_zone_changes_no_count(self, cab_file: Path, new_context: NewContext) -> None:
        start = "2026-11-25T14:00:00-07:00"
        left = []
        for zone in ("America/Denver", "Asia/Kolkata"):
            page = page_at(new_context, cab_file, "2026-11-25T14:04:00-07:00", zone)
            put_row(page, "", "stopped", "", page.evaluate("(at) => Date.parse(at)", start))
            reload(page)
            go(page, "clock")
            left.append(page.inner_text("[data-ten-left]"))
        assert left == ["6 min 0 s left"] * 2

    def test_a_clock_set_back_never_shows_more_than_the_limit(
        self, cab_file: Path, new_context: NewContext
    ) -> None:
        page = page_at(new_context, cab_file, "2026-11-25T14:00:00-07:00")
        go(page, "clock")
        page.click("[data-ten-start]")
        page.clock.pause_at("2026-11-25T14:01:00-07:00")
        written(page)
        put_row(page, "", "stopped", "", page.evaluate("Date.now() + 7200000"))
        reload(page)
        assert page.inner_text("[data-ten-left]") == "10 min 0 s left"
        assert page.inner_text("[data-clock-shown]") == "Devices: 10 min left"
        page.click("[data-ten-out]")
        assert page.inner_text("[data-ten-left]") == "0 min"


class TestDevicesAndClock:
    @pytest.fixture
    def at_devices(self, open_cab: OpenCab, library: Library) -> Page:
        """A breakdown walked up to the step that has the devices put out, its clock running."""
        page = open_cab()
        open_procedure(page, "breakdown")
        page.click("[data-next]")
        steps = [s for block in view_procedure(library.procedure("breakdown")).blocks for s in block.steps]
        go(page, f"breakdown/{next(s.number for s in steps if s.step.devices_out)}")
        return page

    def test_the_finder_is_one_tap_from_the_step_and_the_step_one_tap_back(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab()
        steps = {
            f"{procedure.id}/{step.number}": f"Step {step.number} of"
            for procedure in library.procedures
            for block in view_procedure(procedure).blocks
            for step in block.steps
            if step.step.opens not in (None, Tool.DECISION)
            if not (step.step.opens is Tool.PHONES and step.step.calls)  # its number is in the step
        }
        assert len(steps) >= 10
        seen = page.evaluate(TOOL_AND_BACK, list(steps))
        for (view, words), (tool, back) in zip(steps.items(), seen, strict=True):
            assert tool in ("find", "phones", "record"), view
            assert back.startswith(words), view
        last = list(steps)[-1]
        go(page, last)  # and one by the mouse
        page.click(".is-open .step.is-now .step__tool:not(.step__calls) a")
        page.wait_for_selector("#find.is-open, #phones.is-open, #record.is-open")
        page.click("[data-return] a")
        assert progress(page).startswith(steps[last])

    def test_every_step_that_puts_devices_out_opens_the_finder(self, library: Library) -> None:
        for procedure in library.procedures:
            for block in procedure.blocks:
                for step in block.steps:
                    if step.devices_out:
                        assert step.opens == "distances", (procedure.id, step.id)

    def test_marking_the_step_stops_the_clock_and_taking_it_back_lets_it_run(self, at_devices: Page) -> None:
        page = at_devices
        assert page.is_visible("[data-clock-shown]")
        page.click("[data-next]")
        assert page.is_hidden("[data-clock-shown]")
        page.click("[data-back]")
        assert " · done at " in progress(page)
        page.click(".is-open .block.is-now [data-restart]")
        page.click("[data-sure]")
        assert page.is_visible("[data-clock-shown]")

    def test_a_second_procedure_of_the_same_stop_starts_no_clock_once_devices_are_out(
        self, at_devices: Page
    ) -> None:
        page = at_devices
        written(page)
        stopped = kept_value(page, "stopped")
        assert stopped is not None
        page.click("[data-next]")
        go(page, "warning-devices")
        page.click("[data-next]")
        written(page)
        assert kept_value(page, "stopped") == stopped
        assert page.is_hidden("[data-clock-shown]")

    @pytest.mark.parametrize("procedure", ["power-line", "dust"])
    def test_where_nobody_goes_out_with_devices_no_time_runs_for_them(
        self, open_cab: OpenCab, procedure: str
    ) -> None:
        page = open_cab()
        open_procedure(page, procedure)
        page.click("[data-next]")
        written(page)
        assert page.is_hidden("[data-clock-shown]")
        go(page, "clock")
        assert "Devices out by" not in page.inner_text("[data-ten-words]")
        go(page, "breakdown")
        page.click("[data-next]")
        expect(page.locator("[data-clock-shown]")).to_have_text("Devices: 10 min left")

    def test_after_a_finished_stop_the_next_one_starts_a_new_clock(self, at_devices: Page) -> None:
        page = at_devices
        page.click("[data-next]")
        go(page, "breakdown/finished")
        page.click("[data-next]")
        open_procedure(page, "rear-tire-blowout")
        page.click("[data-next]")
        assert page.is_visible("[data-clock-shown]")

    def test_the_clock_stays_in_sight_while_a_long_step_is_read(self, open_cab: OpenCab) -> None:
        for width, height in ((1280, 800), (800, 1280), (390, 844), (320, 568)):
            page = open_cab(width=width, height=height)
            open_procedure(page, "crash-scene")
            page.click("[data-next]")
            go(page, "crash-scene/list")
            page.evaluate("window.scrollTo(0, 900)")
            box = page.locator("[data-clock-shown]").bounding_box()
            assert 0 <= box["y"] < 60, (width, box)
            rows = 1 if width > 1000 else 2
            assert page.locator("[data-head]").bounding_box()["height"] < 62 + (rows - 1) * 56

    def test_the_way_back_is_found_after_a_reload_and_ends_with_the_procedure(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        title = library.procedure("tire-fire").title
        page = open_cab("tire-fire/1")
        page.click("[data-next]")
        go(page, "phones")
        assert page.inner_text("[data-return]").strip() == f"Back to {title}, step 2"
        reload(page)
        assert page.inner_text("[data-return]").strip() == f"Back to {title}"
        go(page, "tire-fire/finished")
        page.click("[data-next]")
        go(page, "phones")
        assert page.is_hidden("[data-return]")


class TestCalls:
    def test_a_call_that_was_made_stands_in_the_record_with_its_time(
        self, cab_file: Path, new_context: NewContext
    ) -> None:
        page = page_at(new_context, cab_file, "2026-11-25T14:00:00-07:00")
        go(page, "phones")
        page.click(".calls li >> nth=0 >> .row--called")
        go(page, "record")
        assert page.locator("[data-log] li").all_inner_texts() == [
            "2:00 PM\nCalled Police, fire and ambulance"
        ]
        with page.expect_download() as saving:
            page.click("[data-record-save]")
        text = Path(saving.value.path()).read_text(encoding="utf-8")
        assert "[x] Police, fire and ambulance, 11/25/2026, 2:00:00 PM" in text
        go(page, "phones")
        page.click(".calls li >> nth=0 >> .row--called")
        go(page, "record")
        assert page.locator("[data-log] li").count() == 0
