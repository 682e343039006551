"""Hands free in the cab file: screen kept on, steps read aloud, sound, vibration; off until switched on.

The browser of the tests has no screen to keep on, no voice and no loudspeaker, so each stands in by a script
that writes down what is asked of it.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.common.procedure_view import view_procedure
from playwright.sync_api import BrowserContext, Page

from tests.browsers import open_procedure, reload

pytestmark = pytest.mark.browser

NewContext = Callable[..., BrowserContext]

STAND_INS = """
window.asked = { locks: 0, held: false, spoken: [], tones: [], shaken: [] };
Object.defineProperty(navigator, "wakeLock", { configurable: true, value: {
  request: async () => {
    asked.locks += 1;
    asked.held = true;
    return { released: false, async release() { this.released = true; asked.held = false; } };
  },
} });
const voice = { name: "Local", lang: "en-US", localService: true };
Object.defineProperty(window, "speechSynthesis", { configurable: true, value: {
  speaking: false, getVoices: () => [voice], cancel() {}, speak: (one) => asked.spoken.push(one.text),
  addEventListener() {},
} });
window.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
window.AudioContext = class {
  constructor() { this.state = "running"; this.currentTime = 0; this.destination = {}; }
  async resume() {}
  createGain() { return { gain: {}, connect() {} }; }
  createOscillator() {
    const tone = { frequency: {}, connect() {}, start: (at) => { tone.at = at; } };
    tone.stop = (at) => asked.tones.push([tone.at, at]);
    return tone;
  }
};
Object.defineProperty(navigator, "vibrate", { configurable: true, value: (how) => asked.shaken.push(how) });
Object.defineProperty(navigator, "maxTouchPoints", { configurable: true, value: 5 });
"""
ABSENT = """
for (const [home, name] of [[Navigator.prototype, "wakeLock"], [Navigator.prototype, "vibrate"],
  [Window.prototype, "speechSynthesis"], [window, "speechSynthesis"], [window, "AudioContext"]]) {
  try { delete home[name]; } catch (fault) { /* not there */ }
}
"""
NAMES = ("awake", "aloud", "sound", "shake")


def equipped(new_context: NewContext, cab_file: Path, script: str = STAND_INS) -> Page:
    context = new_context(viewport={"width": 800, "height": 1280})
    context.add_init_script(script)
    page = context.new_page()
    page.clock.install()
    page.goto(cab_file.as_uri() + "#hands")
    return page


def asked(page: Page, what: str) -> Any:
    return page.evaluate(f"window.asked.{what}")


def stopped(page: Page) -> None:
    page.evaluate("location.hash = '#start'")
    open_procedure(page, "tire-fire")
    page.click("[data-next]")


def test_everything_is_off_until_the_driver_switches_it_on(cab_file: Path, new_context: NewContext) -> None:
    page = equipped(new_context, cab_file)
    for name in NAMES:
        button = page.locator(f'[data-hands="{name}"]')
        assert button.is_visible()
        assert button.get_attribute("aria-pressed") == "false"
    stopped(page)
    page.clock.run_for(11 * 60_000)
    quiet = {"locks": 0, "held": False, "spoken": [], "tones": [], "shaken": []}
    assert page.evaluate("window.asked") == quiet


def test_each_switch_is_remembered_and_can_be_switched_off(cab_file: Path, new_context: NewContext) -> None:
    page = equipped(new_context, cab_file)
    for switch in NAMES:
        page.click(f'[data-hands="{switch}"]')
        reload(page)
        pressed = {one: page.get_attribute(f'[data-hands="{one}"]', "aria-pressed") for one in NAMES}
        # The one before was switched off, and that is remembered as well.
        assert pressed == {one: "true" if one == switch else "false" for one in NAMES}
        page.click(f'[data-hands="{switch}"]')
    reload(page)
    assert {page.get_attribute(f'[data-hands="{one}"]', "aria-pressed") for one in NAMES} == {"false"}


def test_a_browser_without_these_abilities_shows_no_switch(cab_file: Path, new_context: NewContext) -> None:
    page = equipped(new_context, cab_file, ABSENT)
    for name in NAMES:
        assert page.locator(f'[data-hands="{name}"]').is_hidden(), name
    assert page.is_visible("[data-hands-none]")


def test_the_screen_is_kept_on_while_a_procedure_is_open_or_the_clock_runs(
    cab_file: Path, new_context: NewContext
) -> None:
    page = equipped(new_context, cab_file)
    page.click('[data-hands="awake"]')
    assert asked(page, "held") is False
    page.evaluate("location.hash = '#start'")
    open_procedure(page, "tire-fire")
    expect_held(page, True)
    page.click(".top__start")
    expect_held(page, False)
    stopped(page)
    page.click(".top__start")  # the clock runs on
    expect_held(page, True)
    page.evaluate("location.hash = '#clock'")
    page.click("[data-ten-out]")
    page.evaluate("location.hash = '#start'")
    expect_held(page, False)


def expect_held(page: Page, held: bool) -> None:
    """The lock is asked for and released by promises, so one turn of the page's own clock is waited for."""
    page.clock.run_for(1000)
    page.evaluate("Promise.resolve()")
    assert asked(page, "held") is held


def test_each_step_is_read_as_it_opens_its_order_alone(
    cab_file: Path, new_context: NewContext, library: Library
) -> None:
    page = equipped(new_context, cab_file)
    page.click('[data-hands="aloud"]')
    page.evaluate("window.asked.spoken.length = 0")
    stopped(page)
    page.click("[data-next]")
    steps = [step for block in view_procedure(library.procedure("tire-fire")).blocks for step in block.steps]
    orders = [f"{step.condition}: {step.step.do}" if step.condition else step.step.do for step in steps[:2]]
    assert asked(page, "spoken") == orders


def test_sound_and_vibration_come_at_five_two_and_no_minutes_left(
    cab_file: Path, new_context: NewContext
) -> None:
    page = equipped(new_context, cab_file)
    page.click('[data-hands="sound"]')
    page.click('[data-hands="shake"]')
    assert len(asked(page, "tones")) == 3  # what it sounds like, when it is switched on
    page.evaluate("window.asked.tones.length = window.asked.shaken.length = 0")
    stopped(page)
    page.clock.run_for(4 * 60_000 + 55_000)
    assert (asked(page, "tones"), asked(page, "shaken")) == ([], [])
    counts = []
    for minutes in (0.2, 3, 2, 5):
        page.clock.run_for(int(minutes * 60_000))
        counts.append((len(asked(page, "tones")), len(asked(page, "shaken"))))
    assert counts == [(3, 1), (5, 2), (6, 3), (6, 3)]


def test_no_signal_comes_once_the_devices_are_out(cab_file: Path, new_context: NewContext) -> None:
    page = equipped(new_context, cab_file)
    page.click('[data-hands="sound"]')
    page.evaluate("window.asked.tones.length = 0")
    stopped(page)
    page.evaluate("location.hash = '#clock'")
    page.click("[data-ten-out]")
    page.clock.run_for(11 * 60_000)
    assert asked(page, "tones") == []
