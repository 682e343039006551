"""Units: conversions round-trip, and whole counts round as they must."""

import pytest
from forty_paces.geometry import units
from forty_paces.messages import quantities
from hypothesis import given
from hypothesis import strategies as st

from tests.published import published

WALKING = published("walking")
LENGTHS = st.floats(min_value=0.001, max_value=1e6)


@given(LENGTHS)
def test_feet_come_back_from_meters(length_ft):
    assert units.m_to_ft(units.ft_to_m(length_ft)) == pytest.approx(length_ft, rel=1e-12)


@given(LENGTHS)
def test_miles_per_hour_come_back_from_kilometers_per_hour(speed_mph):
    assert units.kmh_to_mph(units.mph_to_kmh(speed_mph)) == pytest.approx(speed_mph, rel=1e-12)


@given(st.floats(min_value=0.1, max_value=1e5), st.floats(min_value=0.5, max_value=5))
def test_whole_paces_reach_the_distance_and_not_one_pace_further(distance_ft, pace_ft):
    covered = units.paces(distance_ft, pace_ft) * pace_ft
    assert distance_ft - 1e-5 <= covered < distance_ft + pace_ft


@given(st.integers(min_value=0, max_value=4000))
def test_whole_paces_come_back_from_feet(count):
    assert units.paces(count * 2.5, 2.5) == count


@given(LENGTHS, st.floats(min_value=1, max_value=100))
def test_feet_come_back_from_lane_line_cycles(distance_ft, cycle_ft):
    assert units.cycles(distance_ft, cycle_ft) * cycle_ft == pytest.approx(distance_ft)


@pytest.mark.parametrize(("length_ft", "length_m"), WALKING["meters"])
def test_feet_convert_by_the_exact_foot(length_ft, length_m):
    assert units.ft_to_m(length_ft) == pytest.approx(length_m, abs=1e-9)


@pytest.mark.parametrize(("length_m", "length_ft"), WALKING["feet"])
def test_meters_convert_to_the_printed_tenth_of_a_foot(length_m, length_ft):
    assert round(units.m_to_ft(length_m), 1) == length_ft


@pytest.mark.parametrize(("length_ft", "count", "printed_m"), WALKING["paces"])
def test_the_paces_and_meters_of_the_federal_rule(length_ft, count, printed_m):
    """49 CFR 392.22(b)(1) prints paces, feet and meters side by side."""
    assert units.paces(length_ft, 2.5) == count
    assert quantities.meters(length_ft) == f"{printed_m} m"


@pytest.mark.parametrize(("speed_mph", "distance_ft", "lead_s"), WALKING["lead_time"])
def test_lead_time_of_a_device_at_a_steady_speed(speed_mph, distance_ft, lead_s):
    assert round(units.seconds_at(distance_ft, speed_mph), 2) == lead_s


def test_a_vehicle_at_a_standstill_has_no_travel_time():
    with pytest.raises(ValueError, match="covers no distance"):
        units.seconds_at(100, 0)


@given(st.integers(min_value=0, max_value=10_000), st.sampled_from([1, 5, 10]))
def test_rounding_up_leaves_whole_multiples_alone(count, step):
    assert units.whole_up(count * step, step) == count * step
    assert units.whole_up(count * step + 0.01, step) == (count + 1) * step


@given(st.integers(min_value=0, max_value=10_000), st.sampled_from([1, 5, 10]))
def test_rounding_down_leaves_whole_multiples_alone(count, step):
    assert units.whole_down(count * step, step) == count * step
    assert units.whole_down(count * step + step - 0.01, step) == count * step
