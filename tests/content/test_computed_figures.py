"""Figures that the content prints as computed, worked out again from their published formulas."""

from __future__ import annotations

import math
import re

import pytest
from forty_paces.authoring.library import Library

from tests.content.published import said_by_id

FT_PER_S_IN_MPH = 5280 / 3600
"""Exact."""


def test_air_brake_lag_of_four_tenths_of_a_second_is_about_32_ft_at_55_mph(library: Library) -> None:
    said = said_by_id(library)["brakes-fading/facts/stopping-length/items/air-lag/value"].text
    printed = float(re.search(r"(\d+) ft", said)[1])  # type: ignore[index]
    assert pytest.approx(printed, abs=0.5) == 0.4 * 55 * FT_PER_S_IN_MPH


def test_the_speed_that_stops_within_low_beams_is_about_35_mph(library: Library) -> None:
    # Green Book stopping sight distance (2.5 s, 11.2 ft/s2): 1.47*V*2.5 + 1.075*V^2/11.2 = 250 ft
    a, b, c = 1.075 / 11.2, 1.47 * 2.5, -250.0
    speed = (-b + math.sqrt(b * b - 4 * a * c)) / (2 * a)
    said = said_by_id(library)["fog/facts/seeing/items/low-beam-speed/value"].text
    printed = float(re.search(r"(\d+) mph", said)[1])  # type: ignore[index]
    assert math.floor(speed) == printed


def test_200_ft_pass_in_about_2_s_at_highway_speed(library: Library) -> None:
    said = said_by_id(library)["warning-devices/blocks/place/steps/far-behind/why"].text
    assert "200 ft is gone in about 2 s" in said
    assert round(200 / (65 * FT_PER_S_IN_MPH)) == 2


@pytest.mark.parametrize("distance", [100, 200])
def test_walking_times_are_those_of_the_national_walking_speed(library: Library, distance: int) -> None:
    # MUTCD 2009: 3.5 ft/s.
    said = said_by_id(library)[f"warning-devices/facts/walking/items/walk-{distance}/value"].text
    assert said == f"About {round(distance / 3.5)} s"


def test_the_wet_speed_is_two_thirds_of_the_dry_one(library: Library) -> None:
    # Driver manual 2.6.2: cut by one third on a wet road.
    said = said_by_id(library)["ice/facts/surface-speed/items/wet/value"].text
    wet, dry = (int(speed) for speed in re.findall(r"(\d+) mph", said))
    assert 3 * wet == 2 * dry


def test_the_braking_example_on_a_grade_is_5_mph_below_the_safe_speed(library: Library) -> None:
    # Driver manual 5.4.6: on reaching the safe speed, brake for about 3 s to 5 mph below it, and again.
    said = said_by_id(library)["brakes-fading/facts/before-grade/items/brake-in-turns/value"].text
    safe, low, again = (int(speed) for speed in re.findall(r"(\d+) mph", said))
    assert (safe - 5, safe) == (low, again)
    assert "about 3 s" in said


def test_the_gap_example_follows_the_gap_rule(library: Library) -> None:
    # Driver manual 2.7.1: 1 s for each 10 ft, 1 s more above 40 mph.
    said = said_by_id(library)["fog/facts/following-gap/items/gap-example/value"].text
    length_ft = 50
    assert f"{length_ft // 10} s up to 40 mph, {length_ft // 10 + 1} s above" == said


PAIR = re.compile(r"(\d[\d,.]*) ft \((\d[\d.]*) m\)")
RULE_METERS = {10.0: 3.0, 100.0: 30.0}
"""49 CFR 392.22(b)(1) itself prints 3 m and 30 m; everything else is the exact foot, 0.3048 m, rounded."""


def test_feet_and_meters_agree(library: Library) -> None:
    wrong = []
    for name, said in said_by_id(library).items():
        for feet, meters in PAIR.findall(said.text):
            ft = float(feet.replace(",", ""))
            exact = ft * 0.3048
            places = len(meters.partition(".")[2])
            expected = RULE_METERS.get(ft, round(exact, places))
            if float(meters) != expected:
                wrong.append((name, said.text, expected))
    assert wrong == []


PACES = re.compile(r"(\d+) paces")


def test_paces_are_two_and_a_half_feet_each(library: Library) -> None:
    wrong = []
    for procedure in library.procedures:
        for block in procedure.blocks:
            for step in block.steps:
                if step.measure is None or step.measure.unit.value != "ft":
                    continue
                found = PACES.search(step.measure.how)
                if found and abs(int(found[1]) * 2.5 - step.measure.value) > 1:
                    wrong.append((procedure.id, step.id, step.measure.how))
    assert wrong == []
