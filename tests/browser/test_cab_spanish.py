"""The cab file in Spanish in three engines: procedure, guided walk, help, record, phones; the switch."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.library import Library
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import HiddenBy, RoadKind, Situation
from forty_paces.messages.cab import WORDS
from forty_paces.outputs.cab.screens import screen_before
from forty_paces.outputs.common.families import families
from forty_paces.outputs.common.procedure_view import ProcedureView, view_procedure
from forty_paces.outputs.common.translations import Translated
from playwright.sync_api import Browser, Page, expect
from selenium import webdriver

from tests.browser.test_cab_firefox import report_of
from tests.browser.test_cab_webkit import started as started_in_webkit
from tests.browser.test_cab_webkit import tap, visible, wait_for
from tests.browser.walk_taps import step_of, to_plan
from tests.browsers import (
    anew,
    go,
    kept_value,
    one_page,
    open_procedure,
    progress,
    reload,
    started,
    written,
)
from tests.projects import step_count
from tests.spanish import cab_files, in_spanish

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
PROCEDURE = "tire-fire"

VOICES = """
window.spoken = [];
const voices = [["en-US", true], ["es-ES", true], ["es_US", true], ["es-MX", false]]
  .map(([lang, localService]) => ({ name: lang, lang, localService }));
Object.defineProperty(window, "speechSynthesis", { configurable: true, value: {
  speaking: false, getVoices: () => voices, cancel() {}, addEventListener() {},
  speak: (one) => window.spoken.push([one.lang, one.text]),
} });
window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
"""


@pytest.fixture(scope="module")
def spanish(library: Library, tmp_path_factory: pytest.TempPathFactory) -> Translated:
    return in_spanish(library, tmp_path_factory.mktemp("catalog"))


@pytest.fixture(scope="module")
def files(
    library: Library, spanish: Translated, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, Path]:
    """The English and the Spanish cab file beside each other."""
    return cab_files(library, spanish, tmp_path_factory.mktemp("two-languages"))


@pytest.fixture(scope="module")
def _spanish_page(files: tuple[Path, Path], chromium: Browser) -> Iterator[Page]:
    told = {"locale": "en-US", "timezone_id": "America/Denver"}
    with one_page(chromium, files[1].as_uri(), **told) as page:
        yield page


@pytest.fixture
def page(_spanish_page: Page) -> Page:
    """The Spanish cab file with nothing kept, at its start, on a tablet that is set to English."""
    anew(_spanish_page)
    _spanish_page.faults.clear()
    return _spanish_page


@pytest.fixture(scope="module")
def view(spanish: Translated) -> ProcedureView:
    return view_procedure(spanish.library.procedure(PROCEDURE))


def paces_hidden_at_300_ft(library: Library) -> list[str]:
    """By the engine, which knows no language."""
    rules = library.rules["us"].rule_set
    told = Situation(RoadKind.TWO_LANE, 55.0, rules.detection_ft(), 300.0, hidden_by=(HiddenBy.CURVE,))
    return [str(device.paces) for device in place(rules, told).devices]


class TestChromium:
    def test_a_procedure_is_walked_in_spanish_and_its_marks_are_kept(
        self, page: Page, spanish: Translated, view: ProcedureView
    ) -> None:
        assert page.get_attribute("html", "lang") == "es-US"
        tiles = page.locator(".family")
        assert tiles.count() == len(families(spanish.library.procedures))
        dial = page.locator(".dial__call").all_inner_texts()
        assert dial == ["Marque 911", "Llame a despacho"]
        open_procedure(page, PROCEDURE)
        ways = page.locator(".band__way").all_inner_texts()
        assert ways == [way.button for way in spanish.library.ways_out]
        page.click("[data-next]")
        for block in view.blocks:
            for step in block.steps:
                expect(page.locator(".is-open .step.is-now")).to_have_attribute("data-step", step.key)
                assert step.step.do in page.inner_text(".is-open .step.is-now")
                number = f"{step.number} de {step_count(view)}"
                assert number in progress(page)
                page.click("[data-next]")
        page.click(f'.is-open .go[href="#{PROCEDURE}/finished"]')
        expect(page.locator(f'[data-key="{PROCEDURE}/finished"]')).to_have_text(
            spanish.library.procedure(PROCEDURE).finished
        )
        page.click("[data-next]")
        expect(tiles.first).to_be_visible()
        go(page, "record")
        first = next(iter(view.blocks)).steps[0].step.do
        assert first in page.inner_text("[data-log]")
        reload(page)
        assert first in page.inner_text("[data-log]")
        assert page.faults == []

    def test_the_guided_walk_gives_the_numbers_of_the_engine(
        self, page: Page, library: Library, spanish: Translated
    ) -> None:
        go(page, "find")
        to_plan(page, behind=("bend-right", 7, "unknown"))
        assert page.locator(".strip__paces").all_inner_texts() == paces_hidden_at_300_ft(library)
        assert {"pasos"} == set(page.locator(".strip__unit").all_inner_texts())
        go(page, step_of(library, "behind"))
        assert "310 ft (124 pasos)" in page.inner_text(".step.is-now .step__do")

    def test_who_answers_and_the_police_read_english_and_beneath_it_the_drivers_language(
        self, page: Page, library: Library, spanish: Translated
    ) -> None:
        english, own = library.after_event, spanish.library.after_event
        assert english is not None
        assert own is not None
        go(page, "phones")
        lines = page.locator(".calls > li")
        for at in (0, 5):
            say = lines.nth(at).locator("[lang]")
            assert say.get_attribute("lang") == "en-US"
            assert say.inner_text() in [call.say for call in english.calls]
            beneath = lines.nth(at).locator(".in-own-language")
            assert beneath.inner_text() in [call.say for call in own.calls]
            assert say.bounding_box()["y"] < beneath.bounding_box()["y"]
        go(page, "vehicle")
        page.click('[data-vehicle-set="coach"]')
        go(page, "help")
        page.click('[data-choose="direction"][data-english="northbound"]')
        page.fill("#help-road", "I 40")
        where = page.locator('[data-line="where"]')
        assert where.locator("dd[lang=en-US]").inner_text() == "I 40, northbound"
        assert where.locator(".script__own").inner_text().startswith("Dónde: I 40, ")
        who = page.locator('[data-line="who"]')
        assert "Coach" in who.locator("dd[lang=en-US]").inner_text()
        assert "Autobús" in who.locator(".script__own").inner_text()

        go(page, "record")
        shown = [item.id for item in english.record if item.shown]
        assert shown == ["others", "police"]
        for item in english.record:
            label = page.locator(f'label[for="field-{item.id}"]')
            assert label.locator("[lang=en-US]").count() == (item.id in shown)
            if item.id in shown:
                assert label.locator("[lang=en-US]").inner_text() == item.write
        page.fill("#field-police", "Sgt. Ward, 4471")
        with page.expect_download() as coming:
            page.click("[data-record-save]")
        text = Path(coming.value.path()).read_text(encoding="utf-8")
        for item, translated in zip(english.record, own.record, strict=True):
            if f"{item.write}:" in text:  # one that concerns another vehicle is left out
                line = text.splitlines().index(next(x for x in text.splitlines() if x.startswith(item.write)))
                assert text.splitlines()[line + 1] == f"  ({translated.write})"
        assert f"{english.record[11].write}:\n  ({own.record[11].write})\n  > Sgt. Ward, 4471\n" in text
        assert "\nPlace:\n" in text
        assert "\n  I 40, northbound\n" in text
        beneath = spanish.catalog.text("cab.script.record_filled", "")
        assert f"== {WORDS.english['record_filled']} ==\n  ({beneath})" in text
        assert "Vehicle: Coach" in text

    def test_titles_of_sources_are_marked_as_english_but_common_practice_is_not(self, page: Page) -> None:
        titles = page.locator('a[href^="#source-"], [id^="source-"] > :first-child')
        found = titles.evaluate_all("all => all.map((one) => [one.closest('[lang]').lang, one.textContent])")
        assert {language for language, _ in found} == {"en-US", "es-US"}
        own = {words.rstrip(".") for language, words in found if language == "es-US"}
        assert own == {"Práctica común del oficio", "La regla propia de la empresa"}
        assert page.locator('a[href^="#source-"]').count() > 100

    def test_days_and_times_are_in_the_language_of_the_page(self, page: Page) -> None:
        """The tablet is set to English, so a time without the page's language would end in AM or PM."""
        assert page.evaluate("Intl.DateTimeFormat().resolvedOptions().locale") == "en-US"
        go(page, "clock")
        page.click("[data-ten-start]")
        expect(page.locator("[data-ten-words]")).to_have_text(re.compile(r"\b[ap]\.\s?m\."))

    def test_it_reads_aloud_in_a_voice_of_each_lines_language(
        self, files: tuple[Path, Path], new_context: Callable[..., Any]
    ) -> None:
        context = new_context()
        context.add_init_script(VOICES)
        page = context.new_page()
        page.goto(f"{files[1].as_uri()}#phones")
        page.click("[data-voice]")
        spoken = page.evaluate("window.spoken")
        assert ["es_US", page.inner_text("#phones-title")] in spoken
        assert {lang for lang, _ in spoken} == {"es_US", "en-US"}
        english = page.locator(".calls [lang=en-US]").all_inner_texts()
        assert [text for lang, text in spoken if lang == "en-US"] == english


class TestSwitch:
    def test_one_tap_leads_to_the_other_language_and_back_and_is_remembered_and_nothing_is_lost(
        self, files: tuple[Path, Path], open_page: OpenPage, spanish: Translated, library: Library
    ) -> None:
        english, other = (file.as_uri() for file in files)
        page = open_page(files[0])
        open_procedure(page, PROCEDURE)
        page.click("[data-next]")
        page.click("[data-next]")
        written(page)
        step = page.get_attribute(".is-open .step.is-now", "data-step")
        where = page.url.split("#")[1]

        page.click("[data-language]")
        expect(page.locator("html")).to_have_attribute("lang", "es-US")
        started(page)
        assert page.url == f"{other}#{where}"
        assert page.get_attribute(".is-open .step.is-now", "data-step") == step
        ticks = kept_value(
            page, "ticks", next(iter(view_procedure(library.procedure(PROCEDURE)).blocks)).steps[0].key
        )
        assert isinstance(ticks, int | float)
        go(page, "record")
        steps = view_procedure(spanish.library.procedure(PROCEDURE)).blocks[0].steps
        assert steps[0].step.do in page.inner_text("[data-log]")

        page.goto(english)
        expect(page.locator("html")).to_have_attribute("lang", "es-US")
        started(page)
        page.click("[data-look-switch]")
        go(page, "clear")
        page.click("[data-record-clear]")
        written(page)
        page.goto(english)
        expect(page.locator("html")).to_have_attribute("lang", "es-US")
        started(page)
        assert page.get_attribute("html", "data-look") == "night"
        go(page, "record")
        assert page.is_visible("[data-log-empty]")

        page.click("[data-language]")
        expect(page.locator("html")).to_have_attribute("lang", "en-US")
        started(page)
        page.goto(other)
        expect(page.locator("html")).to_have_attribute("lang", "en-US")
        assert page.faults == []

    def test_a_file_of_the_other_language_that_is_not_there_is_asked_for_once(
        self, files: tuple[Path, Path], tmp_path: Path, open_page: OpenPage
    ) -> None:
        alone = tmp_path / "cab.html"
        alone.write_bytes(files[0].read_bytes())
        page = open_page(alone)
        page.evaluate("localStorage.setItem('forty-paces/language', '\"es-US\"')")
        page.goto("about:blank")
        with page.expect_event("requestfailed", lambda request: request.url.endswith("/cab.es.html")):
            page.goto(alone.as_uri(), wait_until="commit")
        again = page.context.new_page()
        again.goto(alone.as_uri())
        assert again.get_attribute("html", "lang") == "en-US"
        assert again.evaluate("localStorage.getItem('forty-paces/language')") is None


class TestWebKit:
    def test_it_is_walked_in_spanish_to_the_end_with_the_numbers_of_the_engine(
        self,
        webkit: webdriver.WebKitGTK,
        files: tuple[Path, Path],
        view: ProcedureView,
        library: Library,
        spanish: Translated,
    ) -> None:
        webkit.get(files[1].as_uri())
        started_in_webkit(webkit)
        assert webkit.execute_script("return document.documentElement.lang") == "es-US"
        tap(webkit, f'.family[href="#{screen_before(families(library.procedures))[PROCEDURE]}"]')
        tap(webkit, f'.tile[href="#{PROCEDURE}"]')
        tap(webkit, "[data-next]")
        for block in view.blocks:
            for step in block.steps:
                (shown,) = visible(webkit, ".is-open .step")
                assert step.step.do in shown.text
                tap(webkit, "[data-next]")
        tap(webkit, f'.is-open [href="#{PROCEDURE}/finished"]')
        assert visible(webkit, f'[data-key="{PROCEDURE}/finished"]')
        webkit.execute_script("location.hash = '#find'")
        wait_for(lambda: visible(webkit, '[data-part="road"]'))
        webkit.execute_script(
            """
            const one = (selector) => document.querySelector(selector);
            one('[data-axis="road"][data-place="0"]').click();
            one("[data-walk-next]").click();
            const behind = (selector) => one(`[data-ask-side="behind"] ${selector}`).click();
            behind('[data-cause="bend-right"]');
            behind('[data-hidden="7"]');
            behind('[data-end-of="near"] [data-end="unknown"]');
            one('[data-ask-side="ahead"] [data-cause=""]').click();
            """
        )
        assert [one.text for one in visible(webkit, ".strip__paces")] == paces_hidden_at_300_ft(library)
        webkit.execute_script("location.hash = '#phones'")
        wait_for(lambda: visible(webkit, ".calls [lang='en-US']"))
        webkit.execute_script("location.hash = '#record'")
        wait_for(lambda: visible(webkit, "[data-log] li"))
        assert view.blocks[0].steps[0].step.do in visible(webkit, "[data-log]")[0].text


class TestFirefox:
    def test_it_is_walked_in_spanish_to_the_end_with_the_numbers_of_the_engine(
        self,
        firefox: str,
        files: tuple[Path, Path],
        view: ProcedureView,
        library: Library,
        spanish: Translated,
    ) -> None:
        family = screen_before(families(library.procedures))[PROCEDURE]
        seen = report_of(
            "walk.mjs", firefox, files[1].as_uri(), PROCEDURE, family, step_of(library, "behind"), "", "", ""
        )
        assert "fault" not in seen, (seen.get("fault"), seen.get("screen"))
        assert (seen["faults"], seen["language"]) == ([], "es-US")
        steps = [step for block in view.blocks for step in block.steps]
        assert [one["key"] for one in seen["steps"]] == [step.key for step in steps]
        for step, shown in zip(steps, seen["steps"], strict=True):
            assert step.step.do in shown["text"]
            assert f"{step.number} de {len(steps)}" in shown["progress"]
        assert seen["paces"] == paces_hidden_at_300_ft(library)
        assert "310 ft (124 pasos)" in seen["placing"]
        assert len(seen["stand"]) == 3
        assert seen["kept"]["place"] == "Route 9, mile 12"
        assert seen["kept"]["log"] == seen["log"]
        assert library.after_event is not None
        assert seen["phones"] == [call.say for call in library.after_event.calls]
        assert "Where" in seen["help"]
