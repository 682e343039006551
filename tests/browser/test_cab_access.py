"""The cab file for every eye, hand and reader: axe-core, sizes, contrast, keyboard, voice, night."""

from __future__ import annotations

import io
import math
import operator
import re
from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.common.families import families
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page

from tests.browser.auditing import (
    AA,
    AA_ENHANCED,
    AAA_AUDIT,
    AAA_GIVEN,
    ALIKE,
    AXE_SOURCE,
    ENHANCED,
    EVERY_VIEW,
    KINDS,
    SMALL,
    VIEWS,
    held_to_aaa,
    violations,
)
from tests.browser.walk_taps import to_plan
from tests.browsers import OpenCab, go, one_page, reload
from tests.soaking import sample

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
NewContext = Callable[..., BrowserContext]
PROJECT = Path(__file__).resolve().parents[2]
VIEWPORTS = ((1280, 800), (800, 1280), (390, 844), (320, 640))

TYPE = """
() => {
  const walker = document.createTreeWalker(
    document.body, NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT,
    (node) => node.nodeType === Node.TEXT_NODE ? NodeFilter.FILTER_ACCEPT
      : getComputedStyle(node).display === "none" ? NodeFilter.FILTER_REJECT : NodeFilter.FILTER_SKIP,
  );
  const small = [];
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const home = node.parentElement;
    if (!node.textContent.trim() || !home.checkVisibility()) continue;
    if (home.closest("script, style, svg, .aside-only")) continue;
    const size = parseFloat(getComputedStyle(home).fontSize);
    const least = home.closest(".step__do, .step__why, .step__measure") ? 24
      : home.closest(".by-heart li") && !home.closest(".why") ? 30
      : home.closest(".strip__paces") && innerWidth > 640 ? 64
      : 16;
    if (size < least) small.push(`${home.className || home.tagName}: ${size} < ${least}`);
  }
  return [...new Set(small)];
}
"""


ON_EVERY_VIEW = """
(views) => {
  const found = {};
  const measure = MEASURE;
  for (const view of views) {
    location.hash = view;
    window.dispatchEvent(new HashChangeEvent("hashchange"));
    const opened = document.querySelector(".screen.is-open").id;
    const wrong = opened === view.split("/")[0] ? measure(view) : [`${opened} is open instead`];
    const wide = document.documentElement.scrollWidth - innerWidth;
    if (wide > 0) wrong.push(`${wide} px too wide`);
    if (wrong.length) found[view] = wrong;
  }
  return found;
}
"""


def on_every_view(page: Page, measure: str = "() => []") -> dict[str, list[str]]:
    """What ``measure``, a JavaScript function, finds on each view, and which are wider than the screen."""
    return dict(page.evaluate(ON_EVERY_VIEW.replace("MEASURE", measure.strip()), VIEWS))


def prepared(page: Page) -> Page:
    """Everything that can be expanded is: clocks run, a view is hidden, the record has lines."""
    go(page, "tire-fire")
    page.click("[data-next]")
    page.click("[data-next]")
    go(page, "find")
    to_plan(page, behind=("hill", 9, "1"))
    go(page, "clock")
    page.locator("[data-due] >> nth=0").locator('[data-due-set="now"]').click()
    return page


@pytest.fixture(scope="module")
def _prepared(chromium: Browser, cab_file: Path) -> Iterator[Page]:
    with one_page(chromium, cab_file.as_uri()) as page:
        yield prepared(page)


@pytest.fixture
def prepared_page(_prepared: Page) -> Page:
    """With everything expanded, by day and with ordinary text, at the start; for tests that only look."""
    _prepared.set_viewport_size({"width": 1280, "height": 800})
    go(_prepared, "start")
    if _prepared.get_attribute("html", "data-look") == "night":
        _prepared.click("[data-look-switch]")
    return _prepared


def audited(page: Page, views: Sequence[str], options: dict[str, Any]) -> dict[str, Any]:
    """What axe-core finds on each view."""
    seen = page.evaluate(EVERY_VIEW, {"views": views, "options": options})
    assert seen["looked"] >= len(views)
    return dict(seen["found"])


class TestAxe:
    def test_no_view_has_a_violation_at_aa_and_all_reach_7_to_1_by_day_and_by_night(
        self, prepared_page: Page
    ) -> None:
        page = prepared_page
        page.evaluate(AXE_SOURCE.read_text(encoding="utf-8"))
        by_day = audited(page, KINDS, AA_ENHANCED)
        page.click("[data-look-switch]")
        # Of the rules at AA the night can break but one, and 7 to 1 holds that too.
        assert (by_day, audited(page, sample(KINDS, 7), ENHANCED)) == ({}, {})

    def test_the_whole_text_without_its_script_has_none_either(
        self, cab_file: Path, open_page: OpenPage, tmp_path: Path
    ) -> None:
        # The file's policy blocks a changed script, so this is the page as it is without one.
        html = cab_file.read_text(encoding="utf-8")
        (tmp_path / "cab.html").write_text(
            html.replace('"use strict";', '"use strict"; ', 1), encoding="utf-8"
        )
        page = open_page(tmp_path / "cab.html")
        assert page.evaluate("document.documentElement.className") == ""
        # Axe takes minutes for the whole page; one procedure, one family and the tools are a sample of it.
        page.evaluate(
            """() => document.querySelectorAll(
              ".procedure:not(#cargo-spill), .sources, .listing:not(#family-fire), .needs-script"
            ).forEach((one) => {
              if (one.matches(".needs-script") && one.checkVisibility()) throw new Error(one.outerHTML);
              one.remove();
            })"""
        )
        page.evaluate(f"{ALIKE.strip()}.forEach((one) => one.remove())")
        assert violations(page, AA) == []

    def test_steps_decisions_and_ways_out_reach_aaa_contrast_and_target_size(self, open_cab: OpenCab) -> None:
        page = open_cab()
        page.evaluate(AXE_SOURCE.read_text(encoding="utf-8"))
        held_to_aaa(page.evaluate(AAA_AUDIT, AAA_GIVEN))

    @pytest.mark.long
    @pytest.mark.soak
    def test_every_step_of_every_procedure_has_none_at_aa_and_reaches_7_to_1_by_day_and_by_night(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab()
        page.evaluate(AXE_SOURCE.read_text(encoding="utf-8"))
        views = [f"{procedure.id}/list" for procedure in sample(library.procedures, 3)]
        found = [audited(page, views, AA_ENHANCED)]
        page.click("[data-look-switch]")
        found.append(audited(page, sample(views, 2), ENHANCED))
        assert found == [{}, {}]

    def test_the_checker_is_not_dead(self, open_page: OpenPage, tmp_path: Path) -> None:
        pale = "<p style='color:#ccc;background:#fff'>pale</p>"
        (tmp_path / "bad.html").write_text(f"<title></title><img src=x>{pale}<button></button>")
        assert len(violations(open_page(tmp_path / "bad.html"), AA)) >= 3


class TestSizes:
    def test_targets_type_and_reflow_on_every_view(self, prepared_page: Page) -> None:
        page = prepared_page
        found = {}
        for width, height in VIEWPORTS:
            page.set_viewport_size({"width": width, "height": height})
            found[width, height] = on_every_view(page, f"() => [...({SMALL})(), ...({TYPE})()]")
        assert found == {size: {} for size in VIEWPORTS}

    @pytest.mark.parametrize(("width", "height"), [(1280, 800), (800, 1280)])
    def test_a_ten_inch_tablet_shows_the_whole_start_screen_either_way_up(
        self, open_cab: OpenCab, library: Library, width: int, height: int
    ) -> None:
        page = open_cab(width=width, height=height)
        assert page.evaluate("document.documentElement.scrollHeight") <= height
        tiles = page.eval_on_selector_all(
            ".family, .tool",
            "all => all.map(one => { const b = one.getBoundingClientRect();"
            " return [one.className, b.left, b.top, b.right, b.bottom]; })",
        )
        assert len(tiles) == len(families(library.procedures)) + 4
        for name, left, top, right, bottom in tiles:
            assert left >= 8
            assert right <= width - 8
            assert bottom <= height - 8
            assert bottom - top >= (96 if "family" in name else 72)
        for first, second in pairwise(tiles):
            assert first[3] + 8 <= second[1] or first[4] + 8 <= second[2] or second[2] < first[2]

    def test_tiles_keep_their_places_whatever_was_done(self, open_cab: OpenCab) -> None:
        page = open_cab()
        where = "all => all.map(one => [one.getAttribute('href'), one.offsetLeft, one.offsetTop])"
        before = page.eval_on_selector_all(".family", where)
        prepared(page)
        go(page, "start")
        assert page.eval_on_selector_all(".family", where) == before

    def test_wide_letter_and_line_spacing_cuts_nothing(self, cab_file: Path, new_context: NewContext) -> None:
        # WCAG 1.4.12: line height 1.5, paragraphs 2, letters 0.12, words 0.16 of the type size.
        page = new_context(viewport={"width": 800, "height": 1280}, bypass_csp=True).new_page()
        page.goto(cab_file.as_uri())
        page.add_style_tag(
            content="* { line-height: 1.5 !important; letter-spacing: 0.12em !important;"
            " word-spacing: 0.16em !important; } p { margin-bottom: 2em !important; }"
        )
        cut = """() => Array.from(document.querySelectorAll(".tile, .tool, button, .strip li"))
          .filter((one) => one.checkVisibility() && (one.scrollHeight > one.clientHeight + 2
            || one.scrollWidth > one.clientWidth + 2)).map((one) => one.textContent)"""
        assert on_every_view(page, cut) == {}

    def test_at_four_hundred_percent_nothing_is_lost(self, open_cab: OpenCab) -> None:
        page = open_cab(width=320, height=256)
        assert on_every_view(page) == {}
        go(page, "tire-fire/2")
        # In a window as low as this, nothing covers the text.
        assert page.evaluate("getComputedStyle(document.querySelector('[data-bar]')).position") == "static"

    def test_large_text_grows_everything_by_a_quarter(self, open_cab: OpenCab) -> None:
        page = open_cab("tire-fire/2")
        size = "parseFloat(getComputedStyle(document.querySelector('.step.is-now .step__do')).fontSize)"
        before = page.evaluate(size)
        page.click("[data-text-switch]")
        assert page.evaluate(size) == pytest.approx(1.25 * before)
        reload(page)
        assert page.evaluate(size) == pytest.approx(1.25 * before)
        assert on_every_view(page) == {}


def linear(level: int) -> float:
    """The light of a channel at one of its 256 levels (IEC 61966-2-1), from 0 to 1."""
    at = level / 255
    return at / 12.92 if at <= 0.04045 else ((at + 0.055) / 1.055) ** 2.4


LIGHT = [weight * linear(level) for weight in (0.2126, 0.7152, 0.0722) for level in range(256)]
"""What each entry of a picture's histogram adds to its relative luminance (WCAG 2.2)."""


class TestLook:
    def test_the_night_view_is_dim_on_every_screen(self, prepared_page: Page) -> None:
        page = prepared_page
        page.click("[data-look-switch]")
        brightness = {}
        for view in VIEWS:
            go(page, view)
            picture = Image.open(io.BytesIO(page.screenshot(type="jpeg", quality=90))).convert("RGB")
            brightness[view] = sum(map(operator.mul, picture.histogram(), LIGHT)) / math.prod(picture.size)
        assert {view: mean for view, mean in brightness.items() if mean > 0.10} == {}
        assert min(brightness.values()) > 0

    def test_only_the_driver_switches_and_it_is_remembered(
        self, cab_file: Path, new_context: NewContext
    ) -> None:
        page = new_context(color_scheme="dark").new_page()
        page.goto(cab_file.as_uri())
        look = "document.documentElement.dataset.look"
        assert page.evaluate(look) == "day"
        page.click("[data-look-switch]")
        page.emulate_media(color_scheme="light")
        reload(page)
        assert page.evaluate(look) == "night"
        assert page.get_attribute("[data-look-switch]", "aria-pressed") == "true"

    def test_nothing_moves_by_itself(self) -> None:
        for name in ("cab-start", "cab"):
            style = (PROJECT / f"site_overrides/assets/css/{name}.css").read_text(encoding="utf-8")
            assert not re.search(r"animation|transition|@keyframes|scroll-behavior|blink|marquee", style)

    def test_single_taps_are_all_it_listens_for(self) -> None:
        for script in (PROJECT / "site_overrides/assets/js/cab").glob("*.js"):
            kinds = set(
                re.findall(r'\b(?:addEventListener|on)\((?:\w+, )?"(\w[\w-]*)"', script.read_text("utf-8"))
            )
            assert kinds <= {
                "click",
                "change",
                "input",
                "submit",
                "blur",
                "hashchange",
                "visibilitychange",
                "voiceschanged",
                "DOMContentLoaded",
                "cab-read",
                "cab-started",
                "cab-failed",
            }, script.name


class TestKeyboardAndReader:
    def test_a_walk_by_keyboard_alone(self, open_cab: OpenCab) -> None:
        page = open_cab()
        page.focus('.family[href="#family-fire"]')
        page.keyboard.press("Enter")
        page.focus('.tile[href="#tire-fire"]')
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.id") == "tire-fire-title"
        page.focus("[data-next]")
        page.keyboard.press("Enter")
        assert page.evaluate("document.activeElement.classList.contains('is-now')")
        page.focus("[data-next]")
        page.keyboard.press("Space")
        assert page.inner_text(".is-open .progress").startswith("Step 2 of")

    def test_tab_reaches_every_tile_and_nothing_hidden(self, open_cab: OpenCab) -> None:
        page = open_cab()
        page.evaluate("document.activeElement.blur()")
        reached = []
        for _ in range(60):
            page.keyboard.press("Tab")
            at = page.evaluate(
                "[document.activeElement.getAttribute('href'), document.activeElement.checkVisibility()]"
            )
            assert at[1]
            if at[0] in reached[:1]:
                break
            reached.append(at[0])
        tiles = page.eval_on_selector_all(".family", "all => all.map(one => one.getAttribute('href'))")
        assert [one for one in reached if one in tiles] == tiles

    def test_the_focus_is_plain_to_see(self, open_cab: OpenCab) -> None:
        page = open_cab()
        page.keyboard.press("Tab")
        outline = page.evaluate("getComputedStyle(document.activeElement).outline")
        assert "solid 4px" in outline

    def test_each_screen_starts_at_its_heading(self, open_cab: OpenCab) -> None:
        page = open_cab()
        for screen in ("find", "clock", "record", "phones", "index", "crash-scene"):
            go(page, screen)
            assert page.evaluate("document.activeElement.id") == f"{screen}-title"
            assert page.title().endswith(", Forty Paces")

    def test_the_plan_is_said_politely_and_each_question_has_the_focus(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file.as_uri() + "#find")
        assert page.get_attribute("[data-finder-said]", "aria-live") == "polite"
        assert page.inner_text("[data-finder-said]") == ""
        page.click('[data-axis="road"][data-place="1"]')
        assert page.evaluate("document.activeElement.textContent") == "How far can drivers see?"
        page.click("[data-walk-next]")
        page.click('[data-ask-side="behind"] [data-cause=""]')
        assert "Device 3: 200 ft (80 paces) behind the vehicle" in page.inner_text("[data-finder-said]")

    VOICES = """
      window.said = [];
      const voices = %s;
      Object.defineProperty(window, "speechSynthesis", { value: {
        speaking: false, getVoices: () => voices, cancel() {}, addEventListener() {},
        speak(one) { window.said.push([one.voice.name, one.text]); },
      } });
      window.SpeechSynthesisUtterance = function (text) { this.text = text; };
    """

    def test_it_reads_aloud_with_a_voice_of_the_tablet(self, cab_file: Path, new_context: NewContext) -> None:
        context = new_context()
        context.add_init_script(
            self.VOICES % "[{name: 'far', lang: 'en-US', localService: false},"
            " {name: 'near', lang: 'en-US', localService: true}]"
        )
        page = context.new_page()
        page.goto(cab_file.as_uri() + "#tire-fire/2")
        page.click("[data-voice]")
        said = page.evaluate("window.said")
        assert {voice for voice, _ in said} == {"near"}
        assert any("DANGER" in text for _, text in said)
        assert any("Lead everyone off the road" in text for _, text in said)

    def test_with_far_voices_only_it_offers_none(self, cab_file: Path, new_context: NewContext) -> None:
        context = new_context()
        context.add_init_script(self.VOICES % "[{name: 'far', lang: 'en-US', localService: false}]")
        page = context.new_page()
        page.goto(cab_file.as_uri())
        assert page.is_hidden("[data-voice]")
