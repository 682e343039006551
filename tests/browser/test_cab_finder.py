"""The finder on the tablet against the placement engine, figure by figure."""

from __future__ import annotations

import json
import math
import re
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import HiddenBy, RoadKind, Situation, Toward

from tests.browser.finder_taps import OpenPage, finder_under, placement_data_of, situations, tapped
from tests.browsers import reload, started

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
    return Situation(
        RoadKind(road),
        table["speeds"][at["speed"]]["mph"],
        seen["detection_ft"],
        reflecting_ft=seen["reflecting_ft"],
        hidden_by=(KINDS.get(at["cause"]) or HiddenBy(at["cause"]),),
        hidden_behind_ft=hidden["behind"],
        hidden_ahead_ft=hidden.get("ahead", math.inf),
        grade_pct=table["grades"][at["grade"]]["pct"],
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


class TestAgainstTheEngine:
    def test_devices_stand_where_the_engine_puts_them(self, rounds, table, library: Library) -> None:
        rules = library.rules["us"].rule_set
        assert len(rounds) >= 100
        moved = 0
        for at, shown in rounds:
            answer = place(rules, situation(table, at))
            expected = [
                [str(d.paces), f"{d.toward.value}, {d.distance_ft:g} ft", d.moved] for d in answer.devices
            ]
            assert shown["strip"] == expected, at
            moved += sum(d.moved for d in answer.devices)
        assert moved > 50

    def test_the_reasons_and_places_across_are_the_engines(self, rounds, table, library: Library) -> None:
        rules = library.rules["us"].rule_set
        for at, shown in rounds:
            answer = place(rules, situation(table, at))
            for device, (_, _, across, why) in zip(answer.devices, shown["listed"], strict=True):
                assert why == f"{device.reason} ({device.source})", at
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
            assert shown["walk"] == list(answer.walk.order), at
            assert shown["cautions"] == list(answer.cautions), at

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


NUMBERS = re.compile(r"\d+ (?:ft|paces?|m|lane lines?)\b|\bpaces\b")
SHOWN_OF_A_SIDE = """
(side) => {
  const many = (selector) => Array.from(document.querySelectorAll(selector));
  const figure = document.querySelector("[data-drawing]:not([hidden])");
  const strip = many("[data-strip] li").map((one) => one.innerText).filter((text) => text.includes(side));
  const places = many("[data-strip] li").flatMap((one, at) => (one.innerText.includes(side) ? [at] : []));
  const listed = many(".devices li").map((one) => one.innerText);
  const named = (slot) => document.getElementById(`${figure.dataset.prefix}-${slot}`);
  const drawn = (slot) => (named(slot) || { textContent: "" }).textContent;
  const labels = places.flatMap((at) =>
    ["distance", "paces", "feet"].map((slot) => drawn(`d${at + 1}-${slot}`)));
  const spoken = document.querySelector("[data-finder-said]").textContent;
  const sentences = spoken.match(/Device [^]*?(?=Device|$)/g);
  const gets = many(".gets").map((one) => one.innerText).filter((text) => text.includes(`from ${side}`));
  return {
    strip, labels, gets, listed: places.map((at) => listed[at]), spoken: places.map((at) => sentences[at]),
    read: drawn("desc").match(/Device [^]*?(?=Device|$)/g).filter((_, at) => places.includes(at)),
    walk: many("[data-answer] > ol:not(.devices) li").map((one) => one.innerText),
    cautions: many("[data-answer] > ul li").map((one) => one.innerText),
    chosen: many(`[data-ask-side="${side}"] [data-hidden][aria-pressed=true]`).length,
  };
}
"""


class TestHowFar:
    """What hides the vehicle is entered first, how far off second: in between that side has no distance."""

    @pytest.mark.parametrize("cause", ["bend-right", "bend-left", "hill", "obstruction"])
    @pytest.mark.parametrize("side", ["behind", "ahead"])
    def test_a_hidden_side_shows_no_number_until_how_far_is_answered(
        self, cab_file: Path, open_page: OpenPage, cause: str, side: str
    ) -> None:
        page = open_page(cab_file.as_uri() + "#find")
        page.click(f'[data-ask-side="{side}"] [data-cause="{cause}"]')
        shown = page.evaluate(SHOWN_OF_A_SIDE, side)
        assert shown["chosen"] == 0
        assert shown["strip"]
        assert all("How far?" in text for text in shown["strip"])
        assert all("how far?" in text for text in shown["spoken"])
        texts = [
            text for kind in ("strip", "labels", "gets", "listed", "spoken", "read") for text in shown[kind]
        ]
        assert [] == [text for text in texts if NUMBERS.search(text)]
        # The walk passes every device, and the cautions are about the whole result.
        assert (shown["walk"], shown["cautions"]) == ([], [])

    def test_the_answer_for_a_bend_at_300_ft_comes_only_with_the_300_ft(
        self, cab_file: Path, open_page: OpenPage, library: Library
    ) -> None:
        page = open_page(cab_file.as_uri() + "#find")
        page.click('[data-ask-side="behind"] [data-cause="bend-right"]')
        paces = page.locator("[data-strip] .strip__paces")
        assert paces.all_inner_texts() == ["40"]  # ahead, in full sight
        page.click('[data-ask-side="behind"] [data-hidden="6"]')
        situation = Situation(RoadKind.TWO_LANE, 55.0, 250.0, hidden_behind_ft=300.0)
        expected = place(library.rules["us"].rule_set, situation).devices
        assert paces.all_inner_texts() == [str(device.paces) for device in expected]
        assert page.locator(".asks").count() == 0

    def test_another_cause_asks_again_how_far(self, cab_file: Path, open_page: OpenPage) -> None:
        page = open_page(cab_file.as_uri() + "#find")
        page.click('[data-ask-side="behind"] [data-cause="bend-right"]')
        page.click('[data-ask-side="behind"] [data-hidden="6"]')
        page.click('[data-ask-side="behind"] [data-cause="hill"]')
        assert page.evaluate(SHOWN_OF_A_SIDE, "behind")["chosen"] == 0
        page.click('[data-ask-side="behind"] [data-cause=""]')
        assert page.locator("[data-strip] [data-asks]").count() == 0

    def test_an_open_question_is_still_open_after_a_reload(self, cab_file: Path, open_page: OpenPage) -> None:
        page = open_page(cab_file.as_uri() + "#find")
        page.click('[data-ask-side="behind"] [data-cause="hill"]')
        reload(page)
        assert page.locator("[data-strip] [data-asks]").count() == 2
        assert page.get_attribute('[data-ask-side="behind"] [data-cause="hill"]', "aria-pressed") == "true"

    @pytest.mark.parametrize(("width", "height"), [(390, 844), (1280, 800), (844, 390), (320, 568)])
    @pytest.mark.parametrize("large", [False, True], ids=["ordinary", "large"])
    def test_the_question_is_brought_into_sight_below_the_strip(
        self, cab_file: Path, open_page: OpenPage, width: int, height: int, large: bool
    ) -> None:
        page = open_page(cab_file.as_uri() + "#find", width=width, height=height)
        if large:
            page.evaluate("document.querySelector('[data-text-switch]').click()")  # on a phone: at the start
        page.click('[data-ask-side="behind"] [data-cause="bend-right"]')
        strip = page.locator("[data-strip]").bounding_box()
        asked = page.locator('[data-ask-side="behind"] .ask__far').bounding_box()
        first = page.locator('[data-ask-side="behind"] [data-hidden] >> nth=0').bounding_box()
        assert strip["y"] + strip["height"] <= asked["y"]
        assert first["y"] + first["height"] <= height
        # The result is far below on a phone; one tap leads there.
        page.click("[data-lead-to=behind]")
        again = page.locator('[data-ask-side="behind"] .ask__far').bounding_box()
        assert abs(again["y"] - asked["y"]) < 2

    def test_the_second_tap_of_a_double_tap_answers_nothing(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file.as_uri() + "#find", width=390, height=844, has_touch=True)
        page.clock.set_fixed_time("2026-11-25T14:00:00-07:00")
        bend = page.locator('[data-ask-side="behind"] [data-cause="bend-right"]')
        bend.evaluate("one => window.scrollBy(0, one.getBoundingClientRect().top - 280)")
        box = bend.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.touchscreen.tap(x, y)
        below = page.evaluate(
            "([x, y]) => Boolean(document.elementFromPoint(x, y).closest('[data-hidden]'))", [x, y]
        )
        assert below  # a distance lies under the finger now
        page.touchscreen.tap(x, y)
        assert page.evaluate(SHOWN_OF_A_SIDE, "behind")["chosen"] == 0


class TestUse:
    def test_the_answer_stands_before_anything_is_tapped(self, cab_file: Path, open_page: OpenPage) -> None:
        page = open_page(cab_file.as_uri() + "#find")
        assert page.locator("[data-strip] li").count() == 3
        assert page.inner_text("[data-strip] li >> nth=1").replace("\n", " ") == "2 40 paces behind, 100 ft"

    def test_distances_are_counted_in_paces_lane_lines_or_trailer_lengths(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file.as_uri() + "#vehicle")
        page.click('[data-vehicle-set="tractor-trailer"]')
        page.goto(cab_file.as_uri() + "#find")
        page.click('[data-ask-side="behind"] [data-cause="hill"]')
        button = '[data-ask-side="behind"] [data-hidden="6"]'
        said = []
        for count in ("paces", "lines", "trailers"):
            page.click(f'[data-ask-side="behind"] [data-count="{count}"]')
            said.append(page.inner_text(button).split("\n")[-1])
        # 300 ft: 120 paces of 2.5 ft, 7.5 cycles of 40 ft, 5.66 trailers of 53 ft.
        assert page.inner_text(button).split("\n")[0] == "300 ft"
        assert said == ["120 paces", "7½ lane lines", "5¾ trailer lengths"]

    def test_the_trailer_of_a_remembered_vehicle_is_offered_at_once(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file.as_uri() + "#vehicle")
        page.click('[data-vehicle-set="tanker"]')
        page.goto(cab_file.as_uri() + "#find")
        reload(page)
        page.click('[data-ask-side="behind"] [data-cause="hill"]')
        page.click('[data-ask-side="behind"] [data-count="trailers"]')
        # 43 ft of trailer: 300 ft is 6.98 of them.
        assert page.inner_text('[data-ask-side="behind"] [data-hidden="6"]') == "300 ft\n7 trailer lengths"

    def test_trailer_lengths_are_not_offered_without_a_trailer(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file.as_uri() + "#find")
        page.click('[data-ask-side="behind"] [data-cause="hill"]')
        assert page.is_hidden('[data-ask-side="behind"] [data-count="trailers"]')

    def test_the_choice_survives_reload_and_the_side_ahead_goes_with_a_divided_road(
        self, cab_file: Path, open_page: OpenPage
    ) -> None:
        page = open_page(cab_file.as_uri() + "#find")
        page.click('[data-ask-side="ahead"] [data-cause="hill"]')
        page.click('[data-ask-side="ahead"] [data-hidden="8"]')
        moved = page.inner_text("[data-strip]")
        reload(page)
        assert page.inner_text("[data-strip]") == moved
        page.click('[data-axis="road"][data-place="1"]')
        assert page.is_hidden('[data-ask-side="ahead"]')
        page.click('[data-axis="road"][data-place="0"]')
        assert page.get_attribute('[data-ask-side="ahead"] [data-cause=""]', "aria-pressed") == "true"

    def test_a_choice_of_yesterday_is_forgotten(self, cab_file: Path, new_context) -> None:
        page = new_context().new_page()
        page.clock.install(time="2026-11-25T08:00:00")
        page.goto(cab_file.as_uri() + "#find")
        page.click('[data-axis="speed"][data-place="0"]')
        page.clock.fast_forward("13:00:00")
        reload(page)
        assert page.get_attribute('[data-axis="speed"][data-place="0"]', "aria-pressed") == "false"

    @pytest.mark.parametrize("rules_id", ["uk", "australia-sa", "germany"])
    def test_other_rule_sets_answer_in_their_own_units_and_bans(
        self, library: Library, open_page: OpenPage, tmp_path: Path, rules_id: str
    ) -> None:
        page = finder_under(rules_id, library, open_page, tmp_path)
        rules = library.rules[rules_id].rule_set
        table = placement_data_of(page)
        for at in situations(table, SEED)[:40]:
            (shown,) = tapped(page, [at], READ)
            answer = place(rules, situation(table, at))
            if not answer.devices:
                assert page.inner_text("[data-strip]") == "Place no device here"
                assert shown["cautions"][0] == answer.cautions[0]
                continue
            assert [row[0] for row in shown["strip"]] == [str(d.paces or "") for d in answer.devices], at
        assert page.faults == []
