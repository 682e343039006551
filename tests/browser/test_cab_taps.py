"""How many taps the three things take that cannot wait: a distance, a call, an answer to a danger."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.record import Service
from forty_paces.outputs.common.procedure_view import view_procedure
from playwright.sync_api import Browser, Page, expect

from tests.browser.walk_taps import UNDER_THE_FINGER, OpenPage, step_of
from tests.browsers import OpenCab, anew, go, one_page

pytestmark = pytest.mark.browser

SIZE = {"width": 390, "height": 844}
MOST_TAPS_TO_DISTANCES = 6
MOST_TAPS_TO_AN_ANSWER = 2
MOST_SCROLLS_TO_DISTANCES = 2
READING_MS = 450
"""A moment between two taps; two on one spot that come faster are one double tap."""


class Finger:
    """Taps what is in sight; counts its taps, and how often something had to be scrolled into sight."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.taps = 0
        self.scrolls = 0

    def tap(self, selector: str) -> None:
        target = self.page.locator(selector).locator("visible=true").first
        expect(target).to_be_visible()
        if not target.evaluate(UNDER_THE_FINGER):
            target.evaluate("(one) => one.scrollIntoView({ block: 'center' })")
            self.scrolls += 1
        box = target.bounding_box()
        assert box is not None
        if self.taps:
            self.page.wait_for_timeout(READING_MS)
        self.page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        self.taps += 1


@pytest.fixture(scope="module")
def phone(chromium: Browser, cab_file: Path) -> Iterator[Page]:
    """The cab file on a phone, for all tests of this module."""
    with one_page(chromium, cab_file.as_uri(), viewport=SIZE, has_touch=True) as page:
        yield page


def remember_speed_and_light(page: Page) -> None:
    """On an earlier stop the conditions were confirmed; a new one asks for the road and what hides it."""
    go(page, "clock")
    page.click("[data-ten-start]")
    go(page, "find")
    page.click('[data-axis="road"][data-place="0"]')
    page.click("[data-walk-next]")
    go(page, "clock")
    page.click("[data-ten-start]")
    page.click("[data-sure]")


def test_the_distances_for_a_bend_are_six_taps_from_a_step_on_a_phone(phone: Page, library: Library) -> None:
    anew(phone)
    remember_speed_and_light(phone)
    go(phone, step_of(library, "devices-out", "breakdown"))
    finger = Finger(phone)
    finger.tap(".step.is-now .step__tool [href='#find']")
    finger.tap('[data-axis="road"][data-place="0"]')
    finger.tap('[data-ask-side="behind"] [data-cause="bend-right"]')
    finger.tap('[data-ask-side="behind"] [data-hidden="7"]')
    finger.tap('[data-ask-side="behind"] [data-end="unknown"]')
    finger.tap('[data-ask-side="ahead"] [data-cause=""]')
    expect(phone.locator(".strip__paces")).to_have_text(["4", "124", "40"])
    assert finger.taps <= MOST_TAPS_TO_DISTANCES
    assert finger.scrolls <= MOST_SCROLLS_TO_DISTANCES
    box = phone.locator("[data-strip]").bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= SIZE["height"]


def test_the_emergency_number_is_one_tap_from_every_screen_and_every_step(
    cab_file: Path, open_page: OpenPage, library: Library
) -> None:
    dial = next(phone.dial for phone in library.fleet.phones if phone.serves is Service.EMERGENCY)
    page = open_page(cab_file, **SIZE, has_touch=True)
    page.evaluate("addEventListener('click', (event) => event.preventDefault())")
    screens = page.eval_on_selector_all(".screen", "all => all.map((one) => one.id)")
    steps = [
        f"{procedure.id}/{step.number}"
        for procedure in library.procedures
        for block in view_procedure(procedure).blocks
        for step in block.steps
    ]
    hidden = page.evaluate(
        """([views, dial]) => views.filter((view) => {
          history.replaceState(null, "", "#" + view);
          window.dispatchEvent(new HashChangeEvent("hashchange"));
          return !Array.from(document.querySelectorAll(`a[href="tel:${dial}"]`)).some((link) => {
            if (!link.checkVisibility()) return false;
            const box = link.getBoundingClientRect();
            const x = box.left + box.width / 2;
            const y = box.top + box.height / 2;
            const there = document.elementFromPoint(x, y);
            return box.height >= 48 && there && link.contains(there);
          });
        })""",
        [[*screens, *steps], dial],
    )
    assert len(screens) > 40
    assert len(steps) > 300
    assert hidden == []


@pytest.mark.parametrize("way", ["fire", "leak", "hurt", "not-safe"])
@pytest.mark.parametrize(("procedure", "step"), [("breakdown", 3), ("crash-scene", 1), ("tire-fire", 2)])
def test_a_danger_is_answered_two_taps_from_a_step(phone: Page, way: str, procedure: str, step: int) -> None:
    anew(phone, f"{procedure}/{step}")
    finger = Finger(phone)
    finger.tap(f'[data-way="{way}"]')
    answer = ".is-open :is(.by-heart li, .way__lines strong, .notice strong)"
    expect(phone.locator(answer).locator("visible=true").first).to_be_in_viewport()
    if way == "fire":  # it asks what burns
        finger.tap(".is-open .way__opens a")
        expect(phone.locator(".is-open .by-heart li").first).to_be_in_viewport()
    assert finger.taps <= MOST_TAPS_TO_AN_ANSWER


def test_a_crash_that_burns_is_two_taps_from_its_question_to_the_right_fire(
    open_cab: OpenCab, library: Library
) -> None:
    decision = library.procedure("crash-scene").decision
    assert decision is not None
    fire = next(row for row in decision.rows if row.id == "fire")
    for opened in fire.opens:
        page = open_cab("crash-scene/decision", width=390, height=844)
        link = page.locator(f'.is-open [data-choice][href="#{opened}"]')
        box = link.bounding_box()
        assert box is not None
        assert box["height"] >= 48
        link.click()
        expect(page.locator(f"#{opened}.is-open .by-heart")).to_be_visible()
        page.click("[data-back]")
        expect(page.locator("#crash-scene.is-open [data-decision]")).to_be_visible()
