"""The clocks and the record: by the time of day, printed, saved, and erased only on purpose."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from pathlib import Path

import pypdfium2
import pytest
from forty_paces.authoring.library import Library
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.printing import feet, stranded_headings
from tests.browser.walk_taps import to_plan
from tests.browsers import (
    OpenCab,
    come_back,
    go,
    kept_rows,
    open_procedure,
    put_row,
    reload,
    written,
)

pytestmark = pytest.mark.browser

NewContext = Callable[..., BrowserContext]
OpenPage = Callable[..., Page]


@pytest.fixture
def page(cab_at_two: Page) -> Page:
    return cab_at_two


def stored(page: Page) -> list[str]:
    """The stored keys, whether with one row or many."""
    written(page)
    return sorted({row[2] for row in kept_rows(page)})


class TestTenMinutes:
    def test_the_stopped_tap_starts_it_and_ten_minutes_is_the_rules_limit(
        self, page: Page, library: Library
    ) -> None:
        # 49 CFR 392.22(b)(1): within 10 minutes of stopping.
        assert library.rules["us"].rule_set.time_limit_s == 600
        open_procedure(page, "breakdown")
        page.click("[data-next]")
        assert page.inner_text("[data-clock-shown]") == "Devices: 10 min left"
        page.click("[data-clock-shown]")
        assert page.inner_text("[data-ten-words]") == "Stopped at 2:00 PM. Devices out by 2:10 PM."

    def test_it_counts_by_the_time_of_day_through_sleep_reload_and_rotation(self, page: Page) -> None:
        go(page, "clock")
        page.click("[data-ten-start]")
        page.clock.run_for(60_000)
        assert page.inner_text("[data-ten-left]") == "9 min 0 s left"
        page.clock.pause_at("2026-11-25T14:07:30-07:00")  # as after a sleep: no tick came between
        reload(page)
        page.set_viewport_size({"width": 800, "height": 1280})
        assert page.inner_text("[data-ten-left]") == "2 min 30 s left"

    def test_past_the_limit_it_says_so_and_changes_no_screen(self, page: Page) -> None:
        open_procedure(page, "breakdown")
        page.click("[data-next]")
        page.clock.run_for(11 * 60_000)
        assert page.inner_text("[data-clock-shown]") == "Devices: time is over"
        assert page.inner_text(".is-open .progress").startswith("Step 1 of")
        page.click("[data-clock-shown]")
        assert page.inner_text("[data-ten-left]") == "Time is over"
        assert "The time ended at 2:10 PM." in page.inner_text("[data-ten-words]")

    def test_devices_out_stops_it_and_stands_in_the_record(self, page: Page) -> None:
        go(page, "clock")
        page.click("[data-ten-start]")
        page.clock.run_for(7 * 60_000)
        page.click("[data-ten-out]")
        assert page.inner_text("[data-ten-left]") == "7 min"
        assert page.is_hidden("[data-clock-shown]")
        go(page, "record")
        assert page.locator("[data-log] li").all_inner_texts() == [
            "2:00 PM\nStopped",
            "2:07 PM\nDevices are out",
        ]

    def test_a_second_procedure_of_the_same_stop_does_not_start_it_again(self, page: Page) -> None:
        open_procedure(page, "tire-fire")
        page.click("[data-next]")
        page.clock.run_for(4 * 60_000)
        go(page, "extinguisher")
        page.click("[data-next]")
        assert page.inner_text("[data-clock-shown]") == "Devices: 6 min left"

    def test_reading_the_whole_list_before_a_trip_starts_nothing(self, page: Page) -> None:
        open_procedure(page, "breakdown")
        page.click("[data-list]")
        assert page.is_hidden("[data-clock-shown]")
        assert stored(page) == []

    def test_a_clock_that_was_set_back_shows_no_nonsense(self, page: Page) -> None:
        go(page, "clock")
        page.click("[data-ten-start]")
        written(page)
        put_row(page, "", "stopped", "", page.evaluate("Date.now() + 7200000"))
        reload(page)
        assert "left" in page.inner_text("[data-ten-left]")


class TestDeadlines:
    def test_each_is_due_its_hours_after_the_event(self, page: Page, library: Library) -> None:
        # 49 CFR 382.303: alcohol aim 2 h, end 8 h; drugs end 32 h.
        hours = {d.id: d.hours for d in library.after_event.deadlines}
        assert (hours["alcohol-aim"], hours["alcohol-limit"], hours["drug-limit"]) == (2, 8, 32)
        go(page, "clock")
        crash = page.locator("[data-due] >> nth=0")
        assert crash.locator("[data-due-at]").all_inner_texts()[0] == ""
        crash.locator('[data-due-set="now"]').click()
        due = crash.locator("[data-due-at]").all_inner_texts()
        assert due[0] == "By 4:00 PM: 2 h 0 min left"
        assert "By 10:00 PM: 8 h 0 min left" in due
        assert "By 10:00 PM, Thursday, November 26: 32 h 0 min left" in due

    def test_the_time_is_set_right_by_taps_and_the_past_is_said(self, page: Page) -> None:
        go(page, "clock")
        crash = page.locator("[data-due] >> nth=0")
        crash.locator('[data-due-set="now"]').click()
        for _ in range(3):
            crash.locator('[data-due-set="-60"]').click()
        crash.locator('[data-due-set="5"]').click()
        assert crash.locator("[data-due-when]").inner_text() == "Set to 11:05 AM."
        first = crash.locator(".deadline >> nth=0")
        assert first.locator("[data-due-at]").inner_text() == "Over since 1:05 PM"
        assert "is-past" in first.get_attribute("class")

    def test_it_runs_on_while_the_page_is_closed(self, page: Page) -> None:
        go(page, "clock")
        page.locator("[data-due] >> nth=0").locator('[data-due-set="now"]').click()

        def away_for_a_while() -> None:
            page.goto("about:blank")
            page.clock.pause_at("2026-11-25T15:30:00-07:00")
            page.go_back()

        come_back(page, away_for_a_while)
        due = page.locator("[data-due] >> nth=0").locator("[data-due-at]").all_inner_texts()
        assert due[0] == "By 4:00 PM: 30 min left"


class TestRecord:
    def fill(self, page: Page) -> None:
        open_procedure(page, "tire-fire")
        page.click("[data-next]")
        page.clock.run_for(90_000)
        page.click("[data-next]")
        go(page, "record")
        page.fill("#field-place", "Route 9, mile 41,\nnorth of Alder Gap")
        page.locator("[data-mark] >> nth=0").check(force=True)

    def test_each_mark_is_written_with_its_time_and_its_words(self, page: Page, library: Library) -> None:
        self.fill(page)
        tire_fire = library.procedure("tire-fire")
        step = tire_fire.blocks[0].steps[0].do
        expected = ["2:00 PM\nStopped", f"2:01 PM\n{tire_fire.title}: {step}"]
        assert page.locator("[data-log] li").all_inner_texts() == expected

    def test_what_was_typed_and_ticked_survives_reload(self, page: Page) -> None:
        self.fill(page)
        reload(page)
        assert page.input_value("#field-place") == "Route 9, mile 41,\nnorth of Alder Gap"
        assert page.locator("[data-mark] >> nth=0").is_checked()
        assert page.locator("[data-log] li").count() == 2

    def test_a_decision_and_a_finish_are_written_too(self, page: Page, library: Library) -> None:
        decision = library.procedure("tire-fire").decision
        go(page, "tire-fire/decision")
        page.click('.is-open [href="#tire-fire/finished"] >> nth=0')
        page.click("[data-next]")
        go(page, "record")
        lines = page.locator("[data-log] li").all_inner_texts()
        assert f"Decided: {decision.rows[0].see}" in lines[0]
        assert "Finished: " in lines[1]

    def test_it_is_saved_as_a_file_that_holds_everything(self, page: Page, library: Library) -> None:
        self.fill(page)
        with page.expect_download() as saving:
            page.click("[data-record-save]")
        assert saving.value.suggested_filename == "record-2026-11-25-14-01.txt"
        text = Path(saving.value.path()).read_text(encoding="utf-8")
        for item in library.after_event.record:
            assert item.write in text
        for picture in library.after_event.pictures:
            assert picture.show in text
        assert "\n  > Route 9, mile 41,\n  > north of Alder Gap\n" in text
        assert f"[x] {library.after_event.pictures[0].show}" in text
        assert library.procedure("tire-fire").blocks[0].steps[0].do in text
        expect(page.locator("[data-record-told]")).to_contain_text("Saved as record-")
        tire_fire = library.procedure("tire-fire")
        assert f"\n== {tire_fire.title}, version {tire_fire.version} ==\n" in text
        assert f"\nEdition {library.edition.id} of " in text
        above, _, digest = text.rstrip("\n").rpartition("SHA-256 of all that stands above this line: ")
        assert hashlib.sha256(above.encode()).hexdigest() == digest

    def test_it_names_the_vehicle_where_one_is_chosen(self, page: Page) -> None:
        texts = []
        for vehicle in ("", "tanker"):
            go(page, "vehicle")
            page.click(f'[data-vehicle-set="{vehicle}"]')
            go(page, "record")
            with page.expect_download() as saving:
                page.click("[data-record-save]")
            lines = Path(saving.value.path()).read_text(encoding="utf-8").split("\n")
            texts.append(next(line for line in lines if line.startswith("Vehicle")))
        empty = f"Vehicle: {'_' * 16}"
        assert texts == [empty, "Vehicle: Tanker with placards, unit 310, LBF 310"]

    def test_it_prints_alone(self, page: Page) -> None:
        self.fill(page)
        page.evaluate(
            "window.print = () => { window.printed = [document.querySelector('[data-paper]').innerText,"
            " document.documentElement.className]; }"
        )
        page.click("[data-record-print]")
        text, look = page.evaluate("window.printed")
        assert "Route 9, mile 41," in text
        assert "paper-only" in look
        assert page.is_hidden("[data-paper]")

    def test_nothing_leaves_the_tablet(self, page: Page) -> None:
        asked: list[str] = []
        page.on("request", lambda request: asked.append(request.url))
        self.fill(page)
        page.click("[data-record-print]")
        assert [url for url in asked if not url.startswith("file:")] == []

    def test_it_is_erased_by_two_taps_on_two_screens_and_nothing_else_is(self, page: Page) -> None:
        page.click("[data-look-switch]")
        go(page, "vehicle")
        page.click('[data-vehicle-set="coach"]')
        go(page, "find")
        to_plan(page)
        go(page, "start")
        self.fill(page)
        go(page, "clock")
        page.click("[data-ten-out]")
        page.locator("[data-due] >> nth=0").locator('[data-due-set="now"]').click()
        kept = ["finder", "look", "vehicle"]
        record = ["events", "expiry", "fields", "log", "marks", "out", "stopped", "ticks", "walk"]
        assert stored(page) == sorted([*kept, *record])
        go(page, "record")
        page.click('.is-open [href="#clear"]')
        assert page.is_visible("#field-place") is False
        assert len(stored(page)) == 12  # the first tap erases nothing
        page.click('.is-open [href="#record"]')
        assert len(stored(page)) == 12
        page.click('.is-open [href="#clear"]')
        page.click("[data-record-clear]")
        assert stored(page) == kept
        assert page.input_value("#field-place") == ""
        assert page.locator("[data-log] li").count() == 0
        assert not page.locator("[data-mark] >> nth=0").is_checked()
        reload(page)
        assert page.input_value("#field-place") == ""
        go(page, "tire-fire/list")
        assert not page.locator("#tire-fire [data-tick] >> nth=0").is_checked()

    def test_no_dialog_is_ever_opened(self, page: Page) -> None:
        opened: list[str] = []
        page.on("dialog", lambda dialog: (opened.append(dialog.message), dialog.dismiss()))
        self.fill(page)
        page.click('.is-open [href="#clear"]')
        page.click("[data-record-clear]")
        assert opened == []


class TestPrint:
    def test_a_procedure_prints_whole_and_alone(
        self, cab_file: Path, open_page: OpenPage, library: Library, tmp_path: Path
    ) -> None:
        page = open_page(cab_file.as_uri() + "#tire-fire/2")
        page.pdf(path=str(tmp_path / "one.pdf"), format="Letter")
        document = pypdfium2.PdfDocument(tmp_path / "one.pdf")
        text = " ".join(" ".join(sheet.get_textpage().get_text_range() for sheet in document).split())
        procedure = library.procedure("tire-fire")
        for block in procedure.blocks:
            for step in block.steps:
                assert step.do in text
        assert procedure.finished in text
        assert library.procedure("crash-scene").title not in text
        assert len(document) <= 4
        carrier = library.fleet.carrier.replace(" ", "")
        for number, foot in enumerate(feet(document), 1):
            assert f"{carrier},unit____" in foot
            assert f"edition{library.edition.id}" in foot
            assert f"Page{number}of{len(document)}" in foot
        assert [] == list(stranded_headings(page, document))
        page = open_page(cab_file.as_uri() + "#record")
        record = pypdfium2.PdfDocument(page.pdf(format="Letter"))
        assert all(f"{carrier},unit____" in foot for foot in feet(record))
        assert [] == list(stranded_headings(page, record))

    def test_the_plan_of_a_walk_prints_without_its_questions(
        self, cab_file: Path, open_page: OpenPage, tmp_path: Path
    ) -> None:
        page = open_page(cab_file.as_uri() + "#find")
        to_plan(page)
        page.pdf(path=str(tmp_path / "answer.pdf"), format="Letter")
        document = pypdfium2.PdfDocument(tmp_path / "answer.pdf")
        text = " ".join(" ".join(sheet.get_textpage().get_text_range() for sheet in document).split())
        assert "40 paces behind" in text
        assert "Walk in this order" in text
        assert "What hides you" not in text

    def test_the_night_view_prints_in_black_on_white(self, cab_file: Path, open_page: OpenPage) -> None:
        page = open_page(cab_file.as_uri() + "#tire-fire")
        page.click("[data-look-switch]")
        page.emulate_media(media="print")
        colors = page.evaluate(
            "[getComputedStyle(document.documentElement).backgroundColor,"
            " getComputedStyle(document.querySelector('.is-open h2')).color]"
        )
        assert colors == ["rgb(255, 255, 255)", "rgb(17, 17, 17)"]


class TestParts:
    def test_one_tap_leads_to_each_part_of_the_long_record(self, open_cab: OpenCab) -> None:
        page = open_cab("record", width=390, height=844)
        for part in ("write", "photos", "mechanic", "fit", "keep"):
            go(page, "record")
            page.click(f'.jumps [href="#record/{part}"]')
            heading = page.locator(f'[id="record/{part}"]')
            assert 0 <= heading.bounding_box()["y"] < 844 - 48, part
            assert heading.evaluate("one => one === document.activeElement"), part
            if part in ("write", "keep"):  # the first and the last
                reload(page)
                assert 0 <= heading.bounding_box()["y"] < 844 - 48, part
