"""The guided walk on the tablet: its plan against the placement engine, and its screens one after another."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import HiddenBy, RoadKind, Situation, Surface, Toward
from forty_paces.messages.placement import text, texts
from playwright.sync_api import Locator, Page, expect

from tests.browser.walk_taps import (
    FEWER_SITUATIONS,
    OpenPage,
    answer_side,
    placement_data_of,
    situations,
    tapped,
    to_plan,
    walk_under,
)
from tests.browsers import OpenCab, go, kept_value, reload, started, written

pytestmark = pytest.mark.browser

SEED = 392_22

READ = """
(figure) => {
  const text = (selector, from) => (from.querySelector(selector) || { textContent: "" }).textContent;
  const shows = (one) => [one, one.parentNode].every((g) => getComputedStyle(g).display !== "none");
  return {
    strip: many("[data-strip] li").map((li) => [
      text(".strip__paces", li), text(".strip__where", li), li.dataset.moved === "yes",
    ]),
    listed: many(".devices li").map((li) => [
      text(".devices__paces", li), text(".devices__counts", li),
      text(".devices__across", li), text(".devices__why", li),
    ]),
    gets: many(".gets").map((one) => one.innerText.split("\\n").filter(Boolean)),
    walk: many("[data-answer] > ol:not(.devices) li").map((li) => li.textContent),
    cautions: many("[data-answer] > ul li").map((li) => li.textContent),
    said: one("[data-finder-said]").textContent,
    none: text(".strip__none", home),
    drawn: figure && {
      label: many("[id$=-distance]", figure).map((text) => text.textContent),
      moved: many(".fp-stop[data-moved=yes]", figure).length,
      behind: figure.querySelector("svg").dataset.behind,
      ahead: figure.querySelector("svg").dataset.ahead,
      cause: figure.querySelector("svg").dataset.behindCause || "",
      signs: many(".fp-cause", figure).filter(shows).length,
    },
  };
}
"""


@pytest.fixture(scope="module")
def table(cab_file: Path) -> dict:
    html = cab_file.read_text(encoding="utf-8")
    data = html.split('id="cab-data">', 1)[1].split("</script>", 1)[0]
    return json.loads(data)["placement"]


KINDS = {"bend-right": HiddenBy.CURVE, "bend-left": HiddenBy.CURVE}


def situation(table: dict, at: dict) -> Situation:
    road = list(table["roads"])[at["road"]]
    lengths = (math.inf, *table["lengths"]["sight"])
    hidden = {side: lengths[at[side]] for side in table["roads"][road]}
    seen = table["visibility"][at["visibility"]]
    end_ft = {"unknown": None, "within": 0.0}.get(at["end"], ...)
    if end_ft is ...:
        end_ft = table["lengths"]["near"][int(at["end"]) - 1]
    beside = at["cause"] == "obstruction"
    return Situation(
        RoadKind(road),
        table["speeds"][at["speed"]]["mph"],
        seen["detection_ft"],
        reflecting_ft=seen["reflecting_ft"],
        hidden_by=(KINDS.get(at["cause"]) or HiddenBy(at["cause"]),),
        hidden_behind_ft=hidden["behind"],
        hidden_ahead_ft=hidden.get("ahead", math.inf),
        hidden_from_ft=None if beside else end_ft,
        hidden_to_ft=end_ft if beside else None,
        grade_pct=table["grades"][at["grade"]]["pct"],
        surface=Surface(table["surfaces"][at["surface"]]["id"]),
    )


@pytest.fixture(scope="module")
def rounds(chromium, cab_file: Path, table: dict) -> list[tuple[dict, dict]]:
    """Each situation entered on the page, with everything that the page then shows."""
    page = chromium.new_page()
    page.goto(cab_file.as_uri() + "#find")
    started(page)
    wanted = situations(table, SEED)
    read = tapped(page, wanted, READ)
    page.close()
    return list(zip(wanted, read, strict=True))


def at_what_hides(open_cab: OpenCab) -> Page:
    """The walk on an undivided road, its conditions as they stand, at the question what hides the vehicle."""
    page = open_cab("find")
    page.click('[data-axis="road"][data-place="0"]')
    page.click("[data-walk-next]")
    return page


class TestAgainstTheEngine:
    def test_devices_stand_where_the_engine_puts_them(self, rounds, table, library: Library) -> None:
        rules = library.rules["us"].rule_set
        assert len(rounds) >= 60
        moved = 0
        for at, shown in rounds:
            answer = place(rules, situation(table, at))
            expected = [
                [str(d.paces), f"{d.toward.value}, {d.distance_ft:g} ft", d.moved] for d in answer.devices
            ]
            assert shown["strip"] == expected, at
            moved += sum(d.moved for d in answer.devices)
        assert moved > 15

    def test_the_reasons_and_places_across_are_the_engines(self, rounds, table, library: Library) -> None:
        rules = library.rules["us"].rule_set
        for at, shown in rounds:
            answer = place(rules, situation(table, at))
            for device, (_, _, across, why) in zip(answer.devices, shown["listed"], strict=True):
                assert why == f"{text(rules, device.reason)} ({device.source})", at
                assert device.across in across

    def test_what_drivers_get_is_the_engines(self, rounds, table, library: Library) -> None:
        rules = library.rules["us"].rule_set
        for at, shown in rounds:
            answer = place(rules, situation(table, at))
            assert len(shown["gets"]) == len(answer.approaches)
            for approach, lines in zip(answer.approaches, shown["gets"], strict=True):
                needed, warning = math.ceil(approach.needed_ft - 1e-6), math.floor(approach.warning_ft + 1e-6)
                alone = math.floor(approach.vehicle_only_ft + 1e-6)
                expected = (
                    f"To stop takes {needed:,} ft. They get about {warning:,} ft of warning, "
                    f"{alone:,} ft without devices."
                )
                if approach.reflecting_warning_ft is not None:
                    reflecting = f"{approach.reflecting_warning_ft:,.0f} ft"
                    expected += f" If a reflector is seen from 500 ft: {reflecting}."
                assert lines[:2] == [f"Drivers from {approach.toward.value}", expected], at
                assert (len(lines) == 2) == approach.ample, at
                assert "enough" not in " ".join(lines)

    def test_the_walk_and_the_cautions_are_the_engines(self, rounds, table, library: Library) -> None:
        rules = library.rules["us"].rule_set
        for at, shown in rounds:
            answer = place(rules, situation(table, at))
            assert shown["walk"] == list(texts(rules, answer.walk.order)), at
            assert shown["cautions"] == list(texts(rules, answer.cautions)), at

    def test_the_drawing_carries_the_same_distances(self, rounds, table, library: Library) -> None:
        rules = library.rules["us"].rule_set
        for at, shown in rounds:
            where = situation(table, at)
            answer = place(rules, where)
            drawn = shown["drawn"]
            assert drawn["label"] == [f"{d.distance_ft:g} ft" for d in answer.devices], at
            assert drawn["moved"] == sum(d.moved for d in answer.devices)
            for side, hidden_ft in (
                (Toward.BEHIND, where.hidden_behind_ft),
                (Toward.AHEAD, where.hidden_ahead_ft),
            ):
                if answer.approach(side) is None:
                    continue
                outermost = max(d.distance_ft for d in answer.devices if d.toward is side)
                expected = "clear" if math.isinf(hidden_ft) else "near" if hidden_ft <= outermost else "far"
                assert drawn[side.value] == expected, at
            hiding = sum(math.isfinite(ft) for ft in (where.hidden_behind_ft, where.hidden_ahead_ft))
            assert drawn["signs"] == hiding, at

    def test_the_spoken_answer_names_every_device(self, rounds, table, library: Library) -> None:
        rules = library.rules["us"].rule_set
        for at, shown in rounds:
            for number, device in enumerate(place(rules, situation(table, at)).devices, 1):
                side = "behind the vehicle" if device.toward is Toward.BEHIND else "ahead of the vehicle"
                expected = f"Device {number}: {device.distance_ft:g} ft ({device.paces} paces) {side}"
                assert expected in shown["said"]


NUMBERED = "[data-strip] li, .devices li, .walk__big, [data-walk-devices] li"


def shown_part(page: Page, part: str) -> Locator:
    return page.locator(f'[data-part="{part}"]')


EACH_VIEW = """() => {
  const wrong = [];
  const views = "road conditions behind behind-sight behind-end ahead plan device-1 device-2".split(" ");
  for (const view of views) {
    location.hash = `find/${view}`;
    window.dispatchEvent(new HashChangeEvent("hashchange"));
    const part = document.querySelector(`[data-part="${view.startsWith("device") ? "device" : view}"]`);
    const stop = document.querySelector("[data-walk-stop]").getBoundingClientRect();
    if (!part.checkVisibility()) wrong.push(`${view} does not come`);
    if (stop.top < 0 || stop.bottom > innerHeight) wrong.push(`${view}: it ends at ${stop.bottom}`);
    if (Math.min(stop.width, stop.height) < 48) wrong.push(`${view}: ${stop.width}x${stop.height}`);
    const wide = document.documentElement.scrollWidth;
    if (wide > innerWidth) wrong.push(`${view} is ${wide} px wide`);
  }
  return wrong;
}"""


class TestQuestions:
    """What hides the vehicle is asked first, then how far off and where it begins; no number before."""

    @pytest.mark.parametrize("cause", ["bend-right", "bend-left", "hill", "obstruction"])
    @pytest.mark.parametrize("side", ["behind", "ahead"])
    def test_no_number_is_shown_until_every_question_of_a_hidden_side_is_answered(
        self, open_cab: OpenCab, cause: str, side: str
    ) -> None:
        page = at_what_hides(open_cab)
        if side == "ahead":
            answer_side(page, "behind", None)
        question = page.locator(f'[data-ask-side="{side}"]')
        for press in (f'[data-cause="{cause}"]', '[data-hidden="7"]'):
            question.locator(press).click()
            assert page.locator(f"{NUMBERED} >> visible=true").count() == 0
            go(page, "find/plan")
            expect(shown_part(page, "plan")).to_be_hidden()
        question.locator('[data-end="unknown"] >> visible=true').click()
        if side == "behind":
            answer_side(page, "ahead", None)
        expect(page.locator("[data-strip] .strip__paces")).to_have_count(3)

    def test_the_plan_for_a_bend_at_300_ft_comes_only_with_the_300_ft(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab("find")
        to_plan(page, behind=("bend-right", 7, "unknown"))
        situation = Situation(RoadKind.TWO_LANE, 55.0, 250.0, hidden_behind_ft=300.0, reflecting_ft=500.0)
        expected = place(library.rules["us"].rule_set, situation).devices
        shown = page.locator("[data-strip] .strip__paces").all_inner_texts()
        assert shown == [str(device.paces) for device in expected] == ["4", "124", "40"]

    def test_a_bend_whose_beginning_is_known_is_placed_and_counted_as_the_rule_file_works_it_out(
        self, open_cab: OpenCab
    ) -> None:
        # The worked example "curve-ahead" of the federal rule file: 300 ft ahead, beginning at 50 ft.
        page = open_cab("find")
        to_plan(page, ahead=("bend-left", 7, "1"))
        assert page.locator("[data-strip] .strip__paces").all_inner_texts() == ["4", "40", "100"]
        assert "They get about 500 ft of warning" in page.locator(".gets").nth(1).inner_text()

    def test_another_cause_asks_again_how_far(self, open_cab: OpenCab) -> None:
        page = open_cab("find")
        to_plan(page, behind=("bend-right", 7, "unknown"))
        go(page, "find/behind")
        page.click('[data-ask-side="behind"] [data-cause="hill"]')
        expect(shown_part(page, "behind-sight")).to_be_visible()
        assert page.locator('[data-ask-side="behind"] [data-hidden][aria-pressed=true]').count() == 0

    def test_an_open_question_is_still_open_after_a_reload(self, open_cab: OpenCab) -> None:
        page = at_what_hides(open_cab)
        page.click('[data-ask-side="behind"] [data-cause="hill"]')
        reload(page)
        expect(shown_part(page, "behind-sight")).to_be_visible()
        assert page.get_attribute('[data-ask-side="behind"] [data-cause="hill"]', "aria-pressed") == "true"

    def test_with_speed_and_light_remembered_six_taps_lead_from_a_step_to_the_numbers(
        self, open_cab: OpenCab
    ) -> None:
        page = open_cab("find")
        to_plan(page)
        go(page, "clear")
        page.click("[data-record-clear]")
        go(page, "warning-devices/8")
        ask = '[data-ask-side="behind"]'
        taps = [
            ".step.is-now .step__tool a",
            '[data-axis="road"][data-place="0"]',
            f'{ask} [data-cause="bend-right"]',
            f'{ask} [data-hidden="7"]',
            f'{ask} [data-end-of="near"] [data-end="unknown"]',
            '[data-ask-side="ahead"] [data-cause=""]',
        ]
        for tap in taps:
            expect(shown_part(page, "plan")).to_be_hidden()
            page.click(tap)
        expect(page.locator("[data-strip] .strip__paces")).to_have_count(3)

    def test_the_beginning_of_a_bend_is_never_offered_beyond_the_end_of_the_view(
        self, open_cab: OpenCab
    ) -> None:
        page = at_what_hides(open_cab)
        page.click('[data-ask-side="behind"] [data-cause="hill"]')
        page.click('[data-ask-side="behind"] [data-hidden="4"]')
        offered = page.locator('[data-ask-side="behind"] [data-end] >> visible=true')
        assert [text.split("\n")[0] for text in offered.all_inner_texts()] == [
            "I stand in it", "50 ft", "100 ft", "I don't know",
        ]  # fmt: skip

    @pytest.mark.parametrize(("position", "words"), [(3, "left shoulder"), (4, "intersection")])
    def test_where_the_rule_says_nothing_the_plan_says_so(
        self, open_cab: OpenCab, position: int, words: str
    ) -> None:
        page = open_cab("find")
        page.click(f'[data-axis="road"][data-place="{position}"]')
        page.click('[data-kind="divided"]')
        page.click("[data-walk-next]")
        answer_side(page, "behind", None)
        expect(page.locator(".walk__note")).to_contain_text("This rule has no distances of its own")
        expect(page.locator(".walk__note")).to_contain_text(words)
        assert page.locator("[data-strip] .strip__paces").all_inner_texts() == ["4", "40", "80"]

    def test_every_screen_keeps_not_safe_to_go_in_sight_and_never_scrolls_sideways(
        self, open_cab: OpenCab
    ) -> None:
        page = open_cab("find")
        to_plan(page, behind=("hill", 7, "1"))
        found = {}
        for size in ("ordinary", "large"):
            for width, height in ((390, 844), (1280, 800), (844, 390), (320, 568), (800, 1280)):
                page.set_viewport_size({"width": width, "height": height})
                found[size, width, height] = page.evaluate(EACH_VIEW)
            page.evaluate("document.querySelector('[data-text-switch]').click()")  # on a phone: at the start
        assert {given: faults for given, faults in found.items() if faults} == {}


class TestDevices:
    """One screen for each device, in the order of the walk."""

    def at_device(self, page: Page, number: int) -> None:
        for _ in range(number):
            page.click("[data-walk-next]")

    def test_each_device_has_a_screen_with_its_number_its_side_and_its_place(
        self, open_cab: OpenCab, library: Library
    ) -> None:
        page = open_cab("find")
        to_plan(page)
        page.click("[data-walk-next]")
        placed = place(library.rules["us"].rule_set, Situation(RoadKind.TWO_LANE, 55.0, 250.0))
        for number, device in enumerate(placed.devices, 1):
            box = page.locator("[data-device]")
            expect(box.locator("h3")).to_have_text(f"Device {number} of 3")
            expect(box.locator(".walk__big")).to_have_text(f"{device.paces} paces")
            expect(box).to_contain_text(
                f"{device.toward} {'of ' if device.toward == 'ahead' else ''}the vehicle"
            )
            expect(box.locator(".walk__leg")).to_contain_text(device.across)
            now = page.locator('[data-drawing]:not([hidden]) .fp-stop[data-now="yes"] >> visible=true')
            expect(now).to_have_count(1)
            expect(now).to_contain_text(f"{device.distance_ft:g} ft")
            expect(page.locator("[data-walk-next]")).to_have_text("It stands")
            page.click("[data-walk-next]")
        expect(shown_part(page, "back")).to_be_visible()
        expect(page.locator("[data-walk-back-text]")).to_contain_text("Walk back to the vehicle")

    def test_a_moved_device_is_looked_back_from_before_it_stands(self, open_cab: OpenCab) -> None:
        page = open_cab("find")
        to_plan(page, behind=("bend-right", 7, "1"))
        self.at_device(page, 2)
        # 492.5 ft to stop, less 250 ft: 243 ft, and at 55 mph 3.01 s, so 3½ s by night.
        expect(page.locator(".look-back__figure")).to_have_text("3½ s or more")
        expect(page.locator("[data-walk-next]")).to_have_text("I see it")
        page.click("[data-walk-next]")
        expect(page.locator(".look-back")).to_contain_text("You see it.")
        expect(page.locator("[data-walk-next]")).to_have_text("It stands")
        expect(page.locator("[data-walk-other]")).to_be_hidden()

    def test_by_day_the_look_back_is_a_distance_in_paces_and_lane_lines(self, open_cab: OpenCab) -> None:
        page = open_cab("find")
        page.click('[data-axis="road"][data-place="0"]')
        page.click('[data-axis="visibility"][data-place="1"]')
        page.click("[data-walk-next]")
        answer_side(page, "behind", ("bend-right", 7, "1"))
        answer_side(page, "ahead", None)
        self.at_device(page, 2)
        expect(page.locator(".look-back__figure")).to_have_text("243 ft (98 paces, 6¼ lane lines)")

    def test_who_sees_less_goes_on_by_ten_feet_up_to_the_limit_and_then_tells_911(
        self, open_cab: OpenCab
    ) -> None:
        page = open_cab("find")
        to_plan(page, behind=("hill", 10, "unknown"))  # a hill at 450 ft: the device goes to 460 ft
        self.at_device(page, 2)
        big = page.locator(".walk__big")
        for paces in ("184 paces", "188 paces", "192 paces", "196 paces", "200 paces"):
            expect(big).to_have_text(paces)
            expect(page.locator("[data-walk-other]")).to_contain_text("I see less")
            page.click("[data-walk-other]")
        expect(big).to_have_text("200 paces")  # 500 ft is as far as the rule goes
        expect(page.locator(".look-back__limit")).to_contain_text("Tell 911")
        expect(page.locator(".look-back__limit")).to_contain_text("stay clear")
        expect(page.locator("[data-walk-other]")).to_be_hidden()
        page.click("[data-walk-next]")
        expect(page.locator("[data-device] h3")).to_have_text("Device 3 of 3")

    def test_a_device_can_be_left_out_and_taken_up_again(self, open_cab: OpenCab) -> None:
        page = open_cab("find")
        to_plan(page)
        self.at_device(page, 3)
        page.click("[data-walk-leave]")
        expect(page.locator("[data-walk-back-text]")).to_contain_text("left out")
        page.click("[data-walk-previous]")
        page.click("[data-walk-next]")
        expect(page.locator("[data-walk-back-text]")).to_contain_text(
            "Device 3: 100 ft (40 paces) ahead of the vehicle, stands"
        )

    def test_not_safe_to_go_ends_the_walk_at_once_and_is_kept(self, open_cab: OpenCab) -> None:
        page = open_cab("find")
        to_plan(page)
        page.click("[data-walk-next]")
        page.click("[data-walk-stop]")
        stop = shown_part(page, "stop")
        expect(stop).to_contain_text("Stay in, with seat belts and flashers on.")
        expect(stop.locator('a[href="tel:911"]')).to_be_visible()
        reload(page)
        expect(stop).to_be_visible()
        page.click("[data-walk-resume]")
        expect(shown_part(page, "stop")).to_be_hidden()
        go(page, "record")
        expect(page.locator("[data-log]")).to_contain_text("Not safe to go")

    def test_the_walk_is_measured_against_the_time_that_is_left(self, cab_file: Path, new_context) -> None:
        page = new_context().new_page()
        page.clock.install(time="2026-11-25T14:00:00")
        page.goto(cab_file.as_uri() + "#clock")
        page.click("[data-ten-start]")
        page.goto(cab_file.as_uri() + "#find")
        to_plan(page)
        line = page.locator("[data-walk-time]")
        # Twice 100 ft and twice 100 ft at 3.5 ft/s: 114 s.
        expect(line).to_contain_text("The walk takes about 1 min 54 s.")
        expect(line).not_to_contain_text("leave out")
        page.clock.fast_forward("08:30")
        expect(line).to_contain_text("are left.")
        expect(line).to_contain_text(
            "Life goes before the rule: the first device to leave out is the one ahead"
        )

    def test_the_last_device_stops_the_ten_minutes_and_every_one_stands_in_the_record(
        self, open_cab: OpenCab
    ) -> None:
        page = open_cab("clock")
        page.click("[data-ten-start]")
        go(page, "find")
        to_plan(page, behind=("bend-right", 7, "1"))
        self.at_device(page, 5)
        expect(shown_part(page, "back")).to_be_visible()
        written(page)
        assert kept_value(page, "out") is not None
        go(page, "record")
        lines = page.locator("[data-stop] li").filter(has_text=re.compile(r"^Device \d set"))
        expect(lines).to_have_count(3)
        expect(lines.nth(1)).to_contain_text("Device 2 set 250 ft (100 paces) behind the vehicle, ")
        with page.expect_download() as saving:
            page.click("[data-record-save]")
        text = Path(saving.value.path()).read_text(encoding="utf-8")
        section = text.split("== Written, or known to the tablet ==")[1].split("\n==")[0]
        assert section.count("Device 2 set 250 ft (100 paces) behind the vehicle, ") == 1
        assert text.count("Device 2 set") == 1

    def test_a_device_that_is_only_planned_is_not_in_the_record(self, open_cab: OpenCab) -> None:
        page = open_cab("find")
        to_plan(page, behind=("bend-right", 7, "1"))
        go(page, "record")
        expect(page.locator("#record")).to_be_visible()
        assert "Device" not in page.inner_text("[data-stop]")
        with page.expect_download() as saving:
            page.click("[data-record-save]")
        assert "Device 2" not in Path(saving.value.path()).read_text(encoding="utf-8")

    def test_a_device_taken_back_leaves_the_list_and_a_line_in_the_log(self, open_cab: OpenCab) -> None:
        page = open_cab("find")
        to_plan(page)
        self.at_device(page, 2)
        page.click("[data-walk-previous]")
        page.get_by_role("button", name="It does not stand: take it back").click()
        go(page, "record")
        expect(page.locator("[data-log]")).to_contain_text("Device 1 does not stand: taken back")
        assert "Device 1 set" not in page.inner_text("[data-stop]")

    def test_a_new_walk_asks_for_the_road_again_and_shows_no_old_number(self, open_cab: OpenCab) -> None:
        page = open_cab("find")
        to_plan(page)
        self.at_device(page, 4)
        page.click("[data-walk-new]")
        expect(shown_part(page, "road")).to_be_visible()
        expect(page.locator("[data-walk-devices] li")).to_have_count(0)
        expect(page.locator("[data-computed]")).to_have_count(0)

    def test_each_vehicle_has_a_walk_of_its_own(self, open_cab: OpenCab) -> None:
        page = open_cab("vehicle")
        page.click('[data-vehicle-set="coach"]')
        go(page, "find")
        to_plan(page)
        go(page, "vehicle")
        page.click('[data-vehicle-set="tanker"]')
        go(page, "find")
        expect(shown_part(page, "road")).to_be_visible()

    def test_the_whole_walk_goes_by_keyboard(self, open_cab: OpenCab) -> None:
        page = open_cab("find")

        def press(selector: str) -> None:
            """Reach a control by Tab alone, and press it."""
            for _ in range(60):
                page.keyboard.press("Tab")
                if page.evaluate("(wanted) => document.activeElement.matches(wanted)", selector):
                    page.keyboard.press("Enter")
                    return
            raise AssertionError(f"Tab never reaches {selector}")

        press('[data-axis="road"][data-place="0"]')
        press("[data-walk-next]")
        press('[data-cause="hill"]')
        press('[data-hidden="7"]')
        press('[data-end="within"]')
        press('[data-cause=""]')
        for _ in range(2):
            press("[data-walk-next]")
        press("[data-walk-next]")  # I see it
        press("[data-walk-next]")  # It stands
        press("[data-walk-next]")
        expect(shown_part(page, "back")).to_be_visible()


class TestUse:
    def test_distances_are_counted_in_paces_lane_lines_or_trailer_lengths(self, open_cab: OpenCab) -> None:
        page = open_cab("vehicle")
        page.click('[data-vehicle-set="tractor-trailer"]')
        go(page, "find")
        page.click('[data-axis="road"][data-place="0"]')
        page.click("[data-walk-next]")
        page.click('[data-ask-side="behind"] [data-cause="hill"]')
        button = '[data-ask-side="behind"] [data-hidden="7"]'
        said = []
        for count in ("paces", "lines", "trailers"):
            page.locator(f'[data-ask-side="behind"] [data-count="{count}"] >> visible=true').click()
            said.append(page.inner_text(button).split("\n")[-1])
        # 300 ft: 120 paces of 2.5 ft, 7.5 cycles of 40 ft, 5.66 trailers of 53 ft.
        assert page.inner_text(button).split("\n")[0] == "300 ft"
        assert said == ["120 paces", "7½ lane lines", "5¾ trailer lengths"]

    def test_trailer_lengths_are_not_offered_without_a_trailer(self, open_cab: OpenCab) -> None:
        page = at_what_hides(open_cab)
        page.click('[data-ask-side="behind"] [data-cause="hill"]')
        expect(page.locator('[data-ask-side="behind"] [data-count="paces"] >> visible=true')).to_have_count(1)
        expect(
            page.locator('[data-ask-side="behind"] [data-count="trailers"] >> visible=true')
        ).to_have_count(0)

    def test_the_answers_survive_reload_and_the_side_ahead_goes_with_a_divided_road(
        self, open_cab: OpenCab
    ) -> None:
        page = open_cab("find")
        to_plan(page, ahead=("hill", 9, "unknown"))
        moved = page.inner_text("[data-strip]")
        reload(page)
        assert page.inner_text("[data-strip]") == moved
        go(page, "find/road")
        page.click('[data-axis="road"][data-place="1"]')
        expect(shown_part(page, "plan")).to_be_visible()
        expect(page.locator(".gets")).to_have_count(1)
        go(page, "find/road")
        page.click('[data-axis="road"][data-place="0"]')
        expect(shown_part(page, "ahead")).to_be_visible()

    def test_speed_and_light_of_yesterday_are_asked_again(self, cab_file: Path, new_context) -> None:
        page = new_context().new_page()
        page.clock.install(time="2026-11-25T08:00:00")
        page.goto(cab_file.as_uri() + "#find")
        page.click('[data-axis="road"][data-place="0"]')
        page.click('[data-axis="speed"][data-place="0"]')
        page.click("[data-walk-next]")
        written(page)
        page.clock.fast_forward("13:00:00")
        page.goto(cab_file.as_uri() + "#find")
        reload(page)
        expect(shown_part(page, "road")).to_be_visible()
        page.click('[data-axis="road"][data-place="0"]')
        expect(shown_part(page, "conditions")).to_be_visible()
        assert page.get_attribute('[data-axis="speed"][data-place="0"]', "aria-pressed") == "false"

    def test_grade_and_surface_are_folded_away_until_they_are_changed(self, open_cab: OpenCab) -> None:
        page = open_cab("find")
        page.click('[data-axis="road"][data-place="0"]')
        expect(page.locator('[data-axis="surface"][data-place="2"]')).to_be_hidden()
        page.click("[data-more] summary")
        page.click('[data-axis="surface"][data-place="2"]')
        page.click("[data-walk-next]")
        expect(page.locator("[data-walk-conditions]")).to_contain_text("ice surface")
        page.click("[data-walk-change]")
        expect(page.locator('[data-axis="surface"][data-place="2"]')).to_be_visible()

    @pytest.mark.soak
    @pytest.mark.parametrize("rules_id", ["uk", "australia-sa", "germany"])
    def test_other_rule_sets_answer_in_their_own_units_and_bans(
        self, library: Library, open_page: OpenPage, tmp_path: Path, rules_id: str
    ) -> None:
        page = walk_under(rules_id, library, open_page, tmp_path)
        rules = library.rules[rules_id].rule_set
        table = placement_data_of(page)
        wanted = situations(table, SEED, FEWER_SITUATIONS)
        for at, shown in zip(wanted, tapped(page, wanted, READ), strict=True):
            answer = place(rules, situation(table, at))
            if not answer.devices:
                assert shown["none"] == "Place no device here"
                assert shown["cautions"][0] == text(rules, answer.cautions[0])
                continue
            assert [row[0] for row in shown["strip"]] == [str(d.paces or "") for d in answer.devices], at
        assert page.faults == []
