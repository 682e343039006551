"""Heavy-vehicle figures against the commercial driver's manual and NASA's formula."""

import math

import pytest
from forty_paces.geometry import heavy_vehicle
from forty_paces.geometry.heavy_vehicle import BrakeSystem, StoppingParts, stopping_parts
from forty_paces.geometry.stopping import stopping_sight
from hypothesis import given
from hypothesis import strategies as st

from tests.published import published

MANUAL = published("heavy_vehicle")
WATER = published("hydroplaning")
HEADLIGHTS = published("headlights")


def test_the_manuals_example_at_55_mph():
    """CDL manual 2.6.1: each part is rounded up before adding."""
    example = MANUAL["stopping"]
    parts = stopping_parts(example["speed_mph"], BrakeSystem.HYDRAULIC).rounded_up()
    expected = StoppingParts(example["perception_ft"], example["reaction_ft"], 0, example["braking_ft"])
    assert parts == expected
    assert parts.total_ft == example["total_ft"]


def test_unrounded_parts_add_up_to_a_foot_less_than_the_manual_prints():
    assert stopping_parts(55, BrakeSystem.HYDRAULIC).total_ft == pytest.approx(417.7, abs=0.05)


def test_air_brakes_add_their_lag():
    """CDL manual 5.4."""
    air = MANUAL["air"]
    parts = stopping_parts(air["speed_mph"])
    assert round(parts.lag_ft) == air["lag_ft"]
    assert parts.rounded_up().total_ft > air["total_above_ft"]


@pytest.mark.parametrize(("speeds", "distances"), MANUAL["braking_ratio"])
def test_braking_grows_with_the_square_of_the_speed(speeds, distances):
    """California commercial driver handbook."""
    assert heavy_vehicle.braking_ratio(speeds * 20, 20) == distances
    assert stopping_parts(20 * speeds).braking_ft == pytest.approx(stopping_parts(20).braking_ft * distances)


@pytest.mark.parametrize(("length_ft", "speed_mph", "gap_s"), MANUAL["following_gap"])
def test_the_following_gap_of_the_manual(length_ft, speed_mph, gap_s):
    """CDL manual 2.7.1."""
    assert heavy_vehicle.following_gap_s(length_ft, speed_mph) == gap_s


@pytest.mark.parametrize(("length_ft", "gap_s"), [(69.9, 8), (70, 8), (70.1, 9)])
def test_a_part_of_ten_feet_counts_as_a_whole_second(length_ft, gap_s):
    assert heavy_vehicle.following_gap_s(length_ft, 55) == gap_s


@pytest.mark.parametrize(("speed_mph", "gap_s"), [(39.9, 6), (40, 6), (40.1, 7)])
def test_the_extra_second_starts_above_forty(speed_mph, gap_s):
    assert heavy_vehicle.following_gap_s(60, speed_mph) == gap_s


@pytest.mark.parametrize(("pressure_psi", "speed_mph"), WATER["rows"] + WATER["truck_pressures"])
def test_hydroplaning_onset_by_the_nasa_formula(pressure_psi, speed_mph):
    """NASA TN D-2056."""
    assert heavy_vehicle.hydroplaning_mph(pressure_psi) == pytest.approx(
        speed_mph, abs=WATER["tolerance_mph"]
    )


@given(st.floats(min_value=1, max_value=200))
def test_the_formula_in_knots_is_the_same_formula(pressure_psi):
    """NASA TN D-2056 gives nine times the root of the pressure in knots: equal within 0.1 percent."""
    mph = WATER["knots_factor"] * math.sqrt(pressure_psi) * 1.852 / 1.609344
    assert heavy_vehicle.hydroplaning_mph(pressure_psi) == pytest.approx(mph, rel=0.001)


def test_the_formula_is_no_safe_speed_for_trucks():
    """TRR 1084: trucks were seen to hydroplane far below what the formula gives at truck pressures."""
    assert heavy_vehicle.hydroplaning_mph(100) > WATER["seen_to_mph"] > WATER["seen_from_mph"]


def test_low_beams_are_overdriven_above_about_35_mph():
    """CDL manual 2.11 for the reach, the Green Book for the distance."""
    speed_mph = heavy_vehicle.headlight_speed_mph(HEADLIGHTS["low_beam_ft"])
    assert round(speed_mph, 1) == 35.4
    assert stopping_sight(speed_mph).total == pytest.approx(HEADLIGHTS["low_beam_ft"])


@given(st.floats(min_value=0, max_value=120), st.floats(min_value=0, max_value=120))
def test_more_speed_never_needs_less_of_any_part(one_mph, other_mph):
    slower, faster = (stopping_parts(speed) for speed in sorted((one_mph, other_mph)))
    assert slower.perception_ft <= faster.perception_ft
    assert slower.reaction_ft <= faster.reaction_ft
    assert slower.lag_ft <= faster.lag_ft
    assert slower.braking_ft <= faster.braking_ft


def test_the_lag_is_four_tenths_of_a_second_of_travel():
    """60 mph is 88 ft/s."""
    assert stopping_parts(60).lag_ft == pytest.approx(88 * 0.4)


@pytest.mark.parametrize("bad", [-1, math.nan, math.inf])
def test_numbers_that_mean_nothing_are_refused(bad):
    calls = [
        lambda: stopping_parts(bad),
        lambda: heavy_vehicle.following_gap_s(bad, 55),
        lambda: heavy_vehicle.following_gap_s(60, bad),
        lambda: heavy_vehicle.hydroplaning_mph(bad),
    ]
    for call in calls:
        with pytest.raises(ValueError, match="must be a number from 0 up"):
            call()
