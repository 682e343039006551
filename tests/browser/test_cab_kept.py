"""Storage on the tablet: on the disk when the page says so, separate by carrier and vehicle, never lost.

Why not local storage: Chromium holds it in a process of its own and writes it seconds later. Where that
process ends, by a crash or for want of memory, everything that it had not written is lost, while the
page goes on. A database transaction that asks for strict durability is complete when the disk has it
(Indexed Database API 3.0, "durability hint").
"""

from __future__ import annotations

import dataclasses
import json
import os
import signal
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from forty_paces.authoring.library import load_library
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext
from playwright.sync_api import BrowserContext, Page, Playwright, expect

from tests.browser.serving import SiteServer, serving
from tests.browsers import (
    CHROMIUM_ARGUMENTS,
    OpenCab,
    find_chromium,
    kept_rows,
    kept_value,
    put_row,
    reload,
    started,
    written,
)
from tests.projects import small_project
from tests.selectors import unaware
from tests.soaking import SOAK, cases

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
NewContext = Callable[..., BrowserContext]
PROJECT = Path(__file__).resolve().parents[2]
DEADLINE_S = 60
KILLS = cases(1, soak=20)
KILLED_AFTER_S = (0.5, 1.0, 2.0) if SOAK else (0.5,)


@dataclasses.dataclass
class OwnChromium:
    """A separate Chromium with a profile on the disk, which a test may kill."""

    process: subprocess.Popen[bytes]
    profile: Path
    page: Page

    def kill(self) -> None:
        """Kill all of its processes at once."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def kill_storage(self) -> None:
        """Kill the process that holds local storage; the browser starts another one when it is needed."""
        found = subprocess.run(
            ["ps", "-ww", "-eo", "pid,args"], capture_output=True, text=True, check=True
        ).stdout.splitlines()[1:]
        mine = [
            int(pid)
            for pid, words in (line.split(None, 1) for line in found)
            if f"--user-data-dir={self.profile} " in words + " " and "=storage.mojom.StorageService" in words
        ]
        assert mine
        for pid in mine:
            os.kill(pid, signal.SIGKILL)


@contextmanager
def own_chromium(playwright: Playwright, profile: Path, where: Path) -> Iterator[OwnChromium]:
    port = profile / "DevToolsActivePort"
    port.unlink(missing_ok=True)
    process = subprocess.Popen(
        [
            find_chromium(playwright, whole=True),
            *CHROMIUM_ARGUMENTS,
            "--headless=new",
            "--no-default-browser-check",
            "--remote-debugging-port=0",
            f"--user-data-dir={profile}",
            "about:blank",
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        end = time.monotonic() + DEADLINE_S
        while not (port.exists() and port.read_text().count("\n")):
            assert time.monotonic() < end, "Chromium did not start"
            time.sleep(0.05)
        browser = playwright.chromium.connect_over_cdp(f"http://127.0.0.1:{port.read_text().split()[0]}")
        unaware.add(browser.contexts[0])
        page = browser.contexts[0].new_page()
        page.goto(where.as_uri() + "#tire-fire/list")
        started(page)
        yield OwnChromium(process, profile, page)
    finally:
        if process.poll() is None:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()


def tap_two(page: Page, first: int) -> list[str]:
    """Mark two steps one after another, from this one on; returns their keys."""
    steps = page.locator("#tire-fire .step:not([hidden])")
    for at in range(first, first + 2):
        steps.nth(at).click()
    return [str(steps.nth(at).get_attribute("data-step")) for at in range(first, first + 2)]


def marks_and_log(page: Page) -> tuple[set[str], set[str]]:
    rows = kept_rows(page)
    return {row[3] for row in rows if row[2] == "ticks"}, {
        row[4]["what"].removesuffix("/do") for row in rows if row[2] == "log"
    }


class TestNothingIsLost:
    @pytest.mark.soak
    @pytest.mark.parametrize("turn", range(KILLS))
    def test_marks_outlive_a_killed_browser_and_the_end_of_the_process_that_holds_local_storage(
        self,
        playwright: Playwright,
        cab_file: Path,
        tmp_path: Path,
        turn: int,
        record_property: Callable[[str, object], None],
    ) -> None:
        # One profile, whose browser is killed again and again; each one opened anew marks two steps more.
        with own_chromium(playwright, tmp_path, cab_file) as browser:
            marked = set(tap_two(browser.page, 0))
            expect(browser.page.locator("html")).to_have_attribute("data-kept", "kept")
            browser.kill()
        said: str | None = "kept"
        for seconds in (*KILLED_AFTER_S, None):
            with own_chromium(playwright, tmp_path, cab_file) as browser:
                ticks, log = marks_and_log(browser.page)
                # What one tap changes is written together: a mark without its line would be a false record.
                assert ticks == log
                # A machine so loaded that it has not written yet has not said so either.
                assert (ticks, said) == (marked, "kept") or said == "writing"
                assert browser.page.locator("#tire-fire [data-tick]:checked").count() == len(ticks)
                if seconds is None:
                    self.storage_killed(browser, ticks)
                    return
                marked = ticks | set(tap_two(browser.page, len(ticks)))
                time.sleep(seconds)
                said = browser.page.get_attribute("html", "data-kept")
                record_property("kept", said)
                browser.kill()

    def storage_killed(self, browser: OwnChromium, before: set[str]) -> None:
        page = browser.page
        page.evaluate("localStorage.setItem('another', 'lost with that process')")
        marked = before | set(tap_two(page, len(before)))
        written(page)
        browser.kill_storage()
        page.reload()
        started(page)
        assert marks_and_log(page) == (marked, marked)
        assert page.locator("#tire-fire [data-tick]:checked").count() == len(marked)
        assert page.evaluate("localStorage.getItem('another')") is None  # the fault has occurred

    def test_every_write_asks_for_strict_durability_and_one_tap_is_one_transaction(
        self, cab_file: Path, new_context: NewContext
    ) -> None:
        context = new_context()
        context.add_init_script(
            """
            window.asked = [];
            const plain = IDBDatabase.prototype.transaction;
            IDBDatabase.prototype.transaction = function (names, mode, options) {
              const made = plain.call(this, names, mode, options);
              if (mode === "readwrite") window.asked.push(made.durability);
              return made;
            };
            """
        )
        page = context.new_page()
        page.goto(cab_file.as_uri() + "#tire-fire/list")
        page.locator("#tire-fire .step:not([hidden])").first.click()
        expect(page.locator("html")).to_have_attribute("data-kept", "kept")
        assert page.evaluate("window.asked") == ["strict"]

    def test_a_mark_counts_as_kept_when_the_transaction_is_complete_and_not_before(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file.as_uri() + "#tire-fire/list")
        states = page.evaluate(
            """() => new Promise((done) => {
              const states = [];
              const plain = IDBObjectStore.prototype.put;
              IDBObjectStore.prototype.put = function (...all) {
                this.transaction.addEventListener("complete", () => states.push("complete"));
                IDBObjectStore.prototype.put = plain;
                return plain.apply(this, all);
              };
              new MutationObserver(() => {
                const state = document.documentElement.dataset.kept;
                states.push(state);
                if (state === "kept") done(states);
              }).observe(document.documentElement, { attributeFilter: ["data-kept"] });
              document.querySelector("#tire-fire [data-tick]").click();
            })"""
        )
        assert [state for state in states if state != "writing"] == ["complete", "kept"]
        assert states[0] == "writing"

    def test_two_pages_that_write_in_the_same_moment_take_nothing_from_each_other(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        one = open_page(cab_file.as_uri() + "#tire-fire/list")
        two = one.context.new_page()
        two.goto(cab_file.as_uri() + "#tire-fire/list")
        tick = (
            "(from) => Array.from(document.querySelectorAll('#tire-fire [data-tick]')).slice(from, from + 3)"
        )
        tick += ".forEach((one) => one.click())"
        one.evaluate("window.setTimeout(() => (" + tick + ")(0), 200)")
        two.evaluate("window.setTimeout(() => (" + tick + ")(3), 200)")
        for page in (one, two):
            expect(page.locator("#tire-fire [data-tick]:checked")).to_have_count(6)
            written(page)
        ticks, log = marks_and_log(one)
        assert (len(ticks), len(log)) == (6, 6)

    def test_a_write_that_failed_is_said_and_made_up_for_by_the_next_one(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file.as_uri() + "#record")
        page.evaluate(
            """() => {
              window.plain = IDBObjectStore.prototype.put;
              IDBObjectStore.prototype.put = () => { throw new DOMException("full", "QuotaExceededError"); };
            }"""
        )
        page.fill("#field-place", "Route 9")
        expect(page.locator("#record [data-not-kept]")).to_be_visible()
        page.evaluate("() => { IDBObjectStore.prototype.put = window.plain; }")
        page.fill("#field-driver", "A. Driver")
        expect(page.locator("#record [data-not-kept]")).to_be_hidden()
        assert (kept_value(page, "fields", "place"), kept_value(page, "fields", "driver")) == (
            "Route 9",
            "A. Driver",
        )


@pytest.fixture(scope="module")
def host(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SiteServer]:
    """The files of two vehicles, of the whole fleet and of another carrier on one host.

    With one procedure: how marks are kept does not depend on the rest, and these tests open them often.
    """
    library = load_library(small_project(tmp_path_factory.mktemp("small"), ["tire-fire"]))
    folder = tmp_path_factory.mktemp("host")
    context = BuildContext(library, PROJECT / "site_overrides")
    named = {vehicle.id: vehicle for vehicle in library.fleet.vehicles}
    (folder / "cab.html").write_text(cab_html(context), encoding="utf-8")
    for id_ in ("coach", "tanker"):
        (folder / f"{id_}.html").write_text(cab_html(context, named[id_], root="./"), encoding="utf-8")
    fleet = library.fleet.model_copy(update={"carrier": "Another Carrier"})
    other = BuildContext(dataclasses.replace(library, fleet=fleet), PROJECT / "site_overrides")
    (folder / "other.html").write_text(cab_html(other, named["coach"], root="./"), encoding="utf-8")
    with serving(SiteServer(folder)) as running:
        yield running


class TestByCarrierAndVehicle:
    def test_no_vehicles_record_stands_in_the_file_of_another(
        self, host: SiteServer, new_context: NewContext
    ) -> None:
        page = new_context().new_page()
        page.goto(host.address + "coach.html#record")
        page.fill("#field-place", "31 passengers, names in the log")
        page.goto(host.address + "coach.html#clock")
        page.click("[data-ten-start]")
        written(page)
        for other in ("tanker", "other", "cab"):
            page.goto(f"{host.address}{other}.html?again#record")
            assert page.input_value("#field-place") == "", other
            assert page.locator("[data-log] li").count() == 0, other
            assert page.is_hidden("[data-clock-shown]"), other
            assert page.is_hidden("[data-unclaimed]"), other
        page.goto(host.address + "coach.html?again#record")
        assert page.input_value("#field-place") == "31 passengers, names in the log"
        assert page.locator("[data-log] li").count() == 1

    def test_the_record_is_kept_by_vehicle_and_not_by_edition(
        self, host: SiteServer, new_context: NewContext
    ) -> None:
        page = new_context().new_page()
        page.goto(host.address + "coach.html#record")
        page.fill("#field-place", "Route 9")
        written(page)
        edition = json.loads(page.inner_text("#cab-data"))["edition"]
        (row,) = [row for row in kept_rows(page) if row[2] == "fields"]
        assert row == ["Larkspur Basin Freight", "coach", "fields", "place", "Route 9"]
        assert edition not in json.dumps(row)

    def test_in_the_file_of_the_fleet_each_vehicle_has_its_own_record(
        self, host: SiteServer, new_context: NewContext
    ) -> None:
        page = new_context().new_page()
        page.goto(host.address + "cab.html#vehicle")
        page.click('[data-vehicle-set="coach"]')
        page.goto(host.address + "cab.html#record")
        page.fill("#field-place", "the coach")
        page.goto(host.address + "cab.html#vehicle")
        page.click('[data-vehicle-set="tanker"]')
        page.goto(host.address + "cab.html#record")
        assert page.input_value("#field-place") == ""
        page.fill("#field-place", "the tanker")
        reload(page)
        assert page.input_value("#field-place") == "the tanker"
        page.goto(host.address + "cab.html#vehicle")
        page.click('[data-vehicle-set="coach"]')
        page.goto(host.address + "cab.html#record")
        assert page.input_value("#field-place") == "the coach"

    def test_a_record_begun_before_the_vehicle_was_named_goes_with_it(
        self, host: SiteServer, new_context: NewContext
    ) -> None:
        page = new_context().new_page()
        page.goto(host.address + "cab.html#record")
        page.fill("#field-place", "Route 9")
        page.goto(host.address + "cab.html#vehicle")
        page.click('[data-vehicle-set="coach"]')
        page.goto(host.address + "cab.html#record")
        assert page.input_value("#field-place") == "Route 9"
        page.goto(host.address + "cab.html#vehicle")
        page.click('[data-vehicle-set=""]')
        page.goto(host.address + "cab.html#record")
        assert page.input_value("#field-place") == ""

    def test_erasing_takes_the_record_of_this_vehicle_and_of_no_other(
        self, host: SiteServer, new_context: NewContext
    ) -> None:
        page = new_context().new_page()
        for id_ in ("coach", "tanker"):
            page.goto(f"{host.address}{id_}.html#record")
            page.fill("#field-place", id_)
            written(page)
        page.goto(host.address + "tanker.html#clear")
        page.click("[data-record-clear]")
        written(page)
        rows = [row[1:] for row in kept_rows(page)]
        assert [row for row in rows if row[1] != "expiry"] == [["coach", "fields", "place", "coach"]]
        assert {row[0] for row in rows} == {"coach"}


EARLIER = {
    "look": "night",
    "ticks": {"tire-fire/blocks/get-clear/steps/passengers-out": 1795600000000},
    "log": [
        {"at": 1795600000000, "what": "stopped", "words": "Stopped"},
        {"at": 1795600060000, "what": "out", "words": "Devices are out"},
    ],
    "fields": {"place": "Route 9"},
    "stopped": 1795600000000,
}


def keep_as_earlier_editions_did(page: Page, more: dict[str, object]) -> None:
    page.evaluate(
        "(all) => Object.keys(all).forEach((key) =>"
        " localStorage.setItem('forty-paces/' + key, JSON.stringify(all[key])))",
        {**EARLIER, **more},
    )


def test_a_look_that_local_storage_has_lost_is_there_again_for_the_next_opening(open_cab: OpenCab) -> None:
    page = open_cab()
    page.click("[data-look-switch]")
    written(page)
    page.evaluate("localStorage.clear()")
    page.reload()
    expect(page.locator("html")).to_have_attribute("data-look", "night")
    assert page.evaluate("localStorage.getItem('forty-paces/look')") == '"night"'


class TestTakenOver:
    def test_what_earlier_editions_kept_in_local_storage_is_taken_over_once(
        self, host: SiteServer, new_context: NewContext
    ) -> None:
        page = new_context().new_page()
        page.goto(host.address + "cab.html")
        keep_as_earlier_editions_did(page, {"vehicle": "coach"})
        page.goto(host.address + "cab.html?again#record")
        written(page)
        assert page.input_value("#field-place") == "Route 9"
        words = page.locator("[data-log] li span").all_inner_texts()
        assert words == ["Stopped", "Devices are out"]
        assert page.get_attribute("html", "data-look") == "night"
        rows = {tuple(row[1:4]) for row in kept_rows(page)}
        assert {("coach", "fields", "place"), ("coach", "stopped", ""), ("", "vehicle", "")} < rows
        expect(page.locator("html")).to_have_attribute("data-kept", "kept")
        # The look stays where the first paint reads it; everything else has moved.
        assert page.evaluate("Object.keys(localStorage)") == ["forty-paces/look"]
        page.fill("#field-place", "")
        reload(page)
        assert page.input_value("#field-place") == ""

    def test_a_record_that_names_no_vehicle_is_shown_in_a_vehicles_file_when_the_driver_says_so(
        self, host: SiteServer, new_context: NewContext
    ) -> None:
        page = new_context().new_page()
        page.goto(host.address + "coach.html")
        keep_as_earlier_editions_did(page, {})
        page.goto(host.address + "coach.html?again#record")
        assert page.input_value("#field-place") == ""
        page.click("[data-claim]")
        assert page.input_value("#field-place") == "Route 9"
        assert page.is_hidden("[data-unclaimed]")
        reload(page)
        assert page.input_value("#field-place") == "Route 9"

    def test_what_was_kept_of_another_vehicle_is_not_offered(
        self, host: SiteServer, new_context: NewContext
    ) -> None:
        page = new_context().new_page()
        page.goto(host.address + "coach.html")
        keep_as_earlier_editions_did(page, {"vehicle": "tanker"})
        page.goto(host.address + "coach.html?again#record")
        assert page.input_value("#field-place") == ""
        assert page.is_hidden("[data-unclaimed]")
        page.goto(host.address + "tanker.html#record")
        assert page.input_value("#field-place") == "Route 9"

    def test_a_newer_record_is_not_overwritten_by_an_older_one(
        self, host: SiteServer, new_context: NewContext
    ) -> None:
        page = new_context().new_page()
        page.goto(host.address + "cab.html")
        put_row(page, "", "fields", "place", "newer")
        keep_as_earlier_editions_did(page, {})
        page.goto(host.address + "cab.html?again#record")
        assert page.input_value("#field-place") == "newer"


class TestLook:
    def test_no_white_page_flashes_up_where_the_database_is_silent(
        self, cab_file: Path, new_context: NewContext
    ) -> None:
        context = new_context()
        page = context.new_page()
        page.goto(cab_file.as_uri())
        page.click("[data-look-switch]")
        page.click("[data-text-switch]")
        context.add_init_script("IDBFactory.prototype.open = () => ({});")
        reload(page)
        assert page.get_attribute("html", "data-look") == "night"
        assert page.get_attribute("html", "data-text") == "large"
        assert page.get_attribute("[data-look-switch]", "aria-pressed") == "true"
