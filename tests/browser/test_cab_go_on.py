"""Going on in the cab file: from the start screen, and in a procedure that another one led to."""

from __future__ import annotations

import pytest
from forty_paces.authoring.library import Library
from playwright.sync_api import Page, expect

from tests.browsers import OpenCab, go, kept_rows, reload, written

pytestmark = pytest.mark.browser


class TestStart:
    def test_after_reopening_one_tap_leads_to_the_next_step(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab("tire-fire")
        page.click("[data-next]")
        page.click("[data-not-here]")
        page.click("[data-next]")
        go(page, "start")
        reload(page)
        link = page.locator("[data-go-on]")
        expect(link).to_have_text(f"Go on: {library.procedure('tire-fire').title}, step 3")
        box = link.bounding_box()
        assert box["height"] >= 48
        link.click()
        assert page.inner_text(".is-open .progress").startswith("Step 3 of")

    def test_with_nothing_begun_or_everything_finished_it_offers_nothing(self, open_cab: OpenCab) -> None:
        page = open_cab()
        expect(page.locator("[data-go-on]")).to_be_hidden()
        go(page, "tire-fire")
        page.click("[data-next]")
        page.click("[data-next]")
        go(page, "tire-fire/finished")
        page.click("[data-next]")
        expect(page.locator("#start.is-open")).to_be_visible()
        expect(page.locator("[data-go-on]")).to_be_hidden()
        reload(page)
        expect(page.locator("[data-go-on]")).to_be_hidden()

    def test_the_band_of_the_start_screen_is_as_high_with_it_as_without(self, open_cab: OpenCab) -> None:
        page = open_cab()
        before = page.locator("[data-band]").bounding_box()
        go(page, "tire-fire")
        page.click("[data-next]")
        page.click("[data-next]")
        go(page, "start")
        expect(page.locator("[data-go-on]")).to_be_visible()
        assert page.locator("[data-band]").bounding_box() == before


class TestChained:
    @pytest.fixture
    def page(self, open_cab: OpenCab) -> Page:
        """A breakdown walked by Done to its decision."""
        page = open_cab("breakdown")
        page.click("[data-next]")
        while not page.is_visible("#breakdown [data-decision]"):
            page.click("[data-next]")
        return page

    def shared(self, library: Library, one: str, other: str) -> list[str]:
        """Steps that two procedures have in common, by their words."""
        words = [
            {step.id: step.do for block in library.procedure(name).blocks for step in block.steps}
            for name in (one, other)
        ]
        return [do for name, do in words[1].items() if words[0].get(name) == do]

    def test_what_the_first_procedure_had_done_is_not_asked_again(self, page: Page, library: Library) -> None:
        other = "warning-devices"
        choice = page.locator(f'#breakdown [data-choice][href="#{other}"]').first
        common = self.shared(library, "breakdown", other)
        assert len(common) >= 2
        choice.click()
        line = page.inner_text(f"#{other} [data-earlier]")
        for words in common:
            assert words in line
        assert page.inner_text("[data-next]").startswith("Go on")
        page.click("[data-next]")
        asked = []
        while page.is_visible(f"#{other} .step.is-now"):
            asked.append(page.inner_text(f"#{other} .step.is-now .step__do"))
            page.click("[data-next]")
        assert asked
        assert [words for words in asked if words.split(": ")[-1] in common] == []

    def test_the_list_shows_them_as_done_earlier_and_the_record_has_each_once(
        self, page: Page, library: Library
    ) -> None:
        other = "warning-devices"
        choice = page.locator(f'#breakdown [data-choice][href="#{other}"]').first
        common = self.shared(library, "breakdown", other)
        choice.click()
        page.click("[data-list]")
        shown = page.locator(f"#{other} .step.is-earlier")
        assert shown.count() == len(common)
        assert "done earlier in this stop, " in shown.first.inner_text()
        go(page, "record")
        log = page.inner_text("[data-log]")
        assert [log.count(words) for words in common] == [1] * len(common)

    def test_a_procedure_opened_from_the_start_screen_asks_everything(
        self, page: Page, library: Library
    ) -> None:
        other = "warning-devices"
        page.click(".top__start")
        go(page, other)
        expect(page.locator(f"#{other} [data-earlier]")).to_be_hidden()
        page.click("[data-next]")
        assert page.inner_text(".is-open .progress").startswith("Step 1 of")
        written(page)
        assert [row for row in kept_rows(page) if row[2] == "earlier"] == []
