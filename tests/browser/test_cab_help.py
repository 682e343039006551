"""Help in the cab file: calls from every screen, the message, and the position, read on demand alone."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.record import Service
from playwright.sync_api import BrowserContext, Page, expect

from tests.browsers import OpenCab, go, reload

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
NewContext = Callable[..., BrowserContext]
SIZES = ((390, 844), (844, 390), (1280, 800), (800, 1280), (320, 640))
SCREENS = (
    "breakdown",
    "breakdown/3",
    "breakdown/list",
    "find",
    "clock",
    "record",
    "phones",
    "way-fire",
    "help",
)


FAR_AWAY = """([screens, numbers]) => screens.flatMap((screen) => {
  location.hash = screen;
  window.dispatchEvent(new HashChangeEvent("hashchange"));
  if (document.querySelector(".screen.is-open").id !== screen.split("/")[0]) return [`${screen} stays shut`];
  return numbers.filter((number) => {
    const [link, ...more] = document.querySelectorAll(`.band [href="tel:${number}"]`);
    const box = link.getBoundingClientRect();
    return more.length || Math.min(box.width, box.height) < 48 || box.top < 0 || box.bottom > innerHeight;
  }).map((number) => `${screen}: ${number}`);
})"""
"""The numbers that are not on these screens as a button large enough and in sight."""


def line(page: Page, name: str) -> str:
    return page.inner_text(f'[data-line="{name}"] dd')


def body(page: Page, number: str) -> str:
    address = page.get_attribute(f'[data-sms="{number}"]', "href")
    assert address is not None
    return parse_qs(urlsplit(address).query)["body"][0]


def log(page: Page) -> list[str]:
    go(page, "record")
    return [one.split("\n", 1)[1] for one in page.locator("[data-log] li").all_inner_texts()]


class TestCalls:
    def test_both_numbers_are_one_tap_away_on_every_screen(self, open_cab: OpenCab, library: Library) -> None:
        numbers = {phone.serves: phone.dial for phone in library.fleet.phones if phone.serves}
        page = open_cab()
        found = {}
        for width, height in SIZES:
            page.set_viewport_size({"width": width, "height": height})
            found[width, height] = page.evaluate(FAR_AWAY, [SCREENS, [numbers[one] for one in Service]])
        assert found == {size: [] for size in SIZES}

    def test_every_step_and_choice_that_says_to_call_has_its_button(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        numbers = {phone.serves: phone.dial for phone in library.fleet.phones if phone.serves}
        page = open_cab()
        shown = page.evaluate(
            "Object.fromEntries(Array.from(document.querySelectorAll('.step')).map((step) =>"
            " [step.dataset.step, Array.from(step.querySelectorAll('.step__calls a')).map("
            "(a) => a.getAttribute('href'))]))"
        )
        rows = page.evaluate(
            "Object.fromEntries(Array.from(document.querySelectorAll('[data-choice]')).map((a) =>"
            " [a.dataset.choice, Array.from(a.closest('tr').querySelectorAll('.call')).map("
            "(one) => one.getAttribute('href'))]))"
        )
        for procedure in library.procedures:
            for block in procedure.blocks:
                for step in block.steps:
                    key = f"{procedure.id}/blocks/{block.id}/steps/{step.id}"
                    assert shown[key] == [f"tel:{numbers[one]}" for one in step.calls], key
            for row in procedure.decision.rows if procedure.decision else ():
                key = f"{procedure.id}/decision/rows/{row.id}"
                assert rows[key] == [f"tel:{numbers[one]}" for one in row.calls], key

    def test_a_call_in_a_choice_dials_and_does_not_choose(self, cab_file: Path, open_page: OpenPage) -> None:
        page = open_page(cab_file.as_uri() + "#breakdown/decision")
        page.evaluate("addEventListener('click', (event) => event.preventDefault())")
        page.click('#breakdown [data-decision] [href="tel:911"]')
        expect(page.locator("#breakdown.is-open [data-decision]")).to_be_visible()

    def test_a_tap_on_a_number_stands_in_the_record_as_a_tap_and_no_more(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file.as_uri() + "#breakdown/3")
        page.evaluate("addEventListener('click', (event) => event.preventDefault())")
        page.click('.band [href="tel:911"]')
        assert log(page) == ["Tapped to call Police, fire and ambulance, 911"]


class TestMessage:
    def test_it_is_filled_from_the_vehicle_and_the_procedure(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab()
        go(page, "vehicle")
        page.click('[data-vehicle-set="tanker"]')
        go(page, "tire-fire/2")
        page.click('.band [href="#help"]')
        assert line(page, "what") == library.procedure("tire-fire").title
        assert line(page, "who") == (
            f"{library.fleet.carrier}, unit 310, Tanker with placards, plate LBF 310"
        )
        assert line(page, "cargo") == "hazardous, with placards"
        assert line(page, "where") == "not known yet"

    def test_what_is_typed_and_chosen_is_read_out_sent_and_kept(self, open_cab: OpenCab) -> None:
        page = open_cab("help")
        page.fill("#help-road", "I 40")
        page.click('[data-choose="direction"] >> text=westbound')
        page.fill("#help-mile", "41.5")
        page.click('[data-choose="hurt"] >> text="3 or more"')
        page.click('[data-choose="hurt"] >> text="1"')
        page.click('[data-choose="need"] >> text=police')
        page.click('[data-choose="need"] >> text=tow')
        page.fill("#help-driver", "Odalys B.")
        reload(page)
        assert line(page, "where") == "I 40, westbound, mile 41.5"
        assert line(page, "hurt") == "1"
        assert line(page, "need") == "police, tow"
        assert page.input_value("#help-road") == "I 40"
        pressed = page.locator('[data-choose][aria-pressed="true"]').all_inner_texts()
        assert pressed == ["westbound", "1", "police", "tow"]
        for number in ("911", "5550110"):
            sent = body(page, number).split("\n")
            assert sent[0] == "Where: I 40, westbound, mile 41.5"
            assert sent[-1].startswith("Who: Odalys B., ")
            assert not any("not known" in one for one in sent)

    def test_a_text_to_the_emergency_number_stands_behind_its_caution(self, open_cab: OpenCab) -> None:
        page = open_cab("help")
        caution = page.locator(".help__caution")
        assert "Not every place takes a text to 911." in caution.inner_text()
        link = page.locator('[data-sms="911"]')
        assert caution.bounding_box()["y"] < link.bounding_box()["y"]

    def test_markup_that_is_typed_stays_text(self, open_cab: OpenCab) -> None:
        page = open_cab("help")
        page.fill("#help-road", "<img src=x onerror=alert(1)>")
        assert line(page, "where") == "<img src=x onerror=alert(1)>"
        assert page.locator("#help img").count() == 0
        assert page.faults == []

    def test_it_goes_with_the_record_when_that_is_erased(self, cab_file: Path, open_page: OpenPage) -> None:
        page = open_page(cab_file.as_uri() + "#help")
        page.fill("#help-road", "I 40")
        go(page, "clear")
        page.click("[data-record-clear]")
        go(page, "help")
        assert line(page, "where") == "not known yet"
        assert page.input_value("#help-road") == ""


STUB = """
  window.asked = [];
  Object.defineProperty(navigator, "geolocation", { value: {
    getCurrentPosition(found, failed, options) {
      window.asked.push(options);
      Object.assign(window, { found, failed });
    },
  } });
"""


class TestPosition:
    @pytest.fixture
    def page(self, cab_file: Path, new_context: NewContext) -> Page:
        context = new_context()
        context.add_init_script(STUB)
        page = context.new_page()
        page.goto(cab_file.as_uri() + "#help")
        return page

    def test_the_receiver_is_asked_by_the_button_and_by_nothing_else(self, page: Page) -> None:
        for screen in ("start", "breakdown/2", "find", "clock", "record", "help"):
            go(page, screen)
        reload(page)
        assert page.evaluate("window.asked.length") == 0
        page.click("[data-position]")
        assert page.evaluate("window.asked") == [
            {"enableHighAccuracy": True, "maximumAge": 0, "timeout": 30000}
        ]
        expect(page.locator("[data-position-said]")).to_contain_text("Asking the receiver")
        expect(page.locator("[data-position]")).to_be_disabled()

    def test_a_position_is_shown_with_accuracy_and_time_sent_and_kept(self, page: Page) -> None:
        page.click("[data-position]")
        page.evaluate(
            "window.found({ coords: { latitude: 35.0844, longitude: -106.6504, accuracy: 12.2 },"
            " timestamp: Date.now() })"
        )
        said = page.locator("[data-position-said]")
        expect(said).to_contain_text("35.08440, -106.65040, within 41 ft (13 m), read at ")
        assert "Position: 35.08440, -106.65040" in body(page, "5550110")
        reload(page)
        assert line(page, "position").startswith("35.08440, -106.65040, within 41 ft (13 m)")
        assert page.evaluate("window.asked.length") == 0
        assert any(one.startswith("Position read: 35.08440") for one in log(page))

    def test_an_old_position_says_its_age(self, page: Page) -> None:
        page.click("[data-position]")
        page.evaluate(
            "window.found({ coords: { latitude: 35, longitude: -106, accuracy: 5 },"
            " timestamp: Date.now() - 6 * 60000 })"
        )
        expect(page.locator("[data-position-said]")).to_contain_text("Read 6 min ago")

    @pytest.mark.parametrize(
        ("code", "said"),
        [(1, "not allowed"), (2, "gives no position here"), (3, "did not answer in time")],
    )
    def test_each_refusal_is_said_in_words_and_the_message_works_without(
        self, page: Page, code: int, said: str
    ) -> None:
        page.click("[data-position]")
        page.evaluate("(code) => window.failed({ code })", code)
        expect(page.locator("[data-position-said]")).to_contain_text(said)
        expect(page.locator("[data-position]")).to_be_enabled()
        page.fill("#help-road", "I 40")
        assert line(page, "where") == "I 40"
        assert page.locator('[data-line="position"]').count() == 0

    def test_a_browser_without_a_receiver_says_so(self, cab_file: Path, new_context: NewContext) -> None:
        context = new_context()
        context.add_init_script("Object.defineProperty(navigator, 'geolocation', { value: undefined })")
        page = context.new_page()
        page.goto(cab_file.as_uri() + "#help")
        page.click("[data-position]")
        expect(page.locator("[data-position-said]")).to_contain_text("no way to read the position")


def test_every_control_is_large_and_nothing_is_wider_than_the_screen(open_cab: OpenCab) -> None:
    page = open_cab("help")
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        sizes = page.locator("#help :is(a, button, input)").evaluate_all(
            "all => all.map((one) => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])"
            ".map(([name, box]) => [name, box.width, box.height])"
        )
        assert len(sizes) > 10
        assert [one for one in sizes if min(one[1:]) < 48] == [], (width, height)
