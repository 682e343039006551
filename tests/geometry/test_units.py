"""Units: conversions round-trip, and counts are formatted as a driver reads them."""

import pytest
from forty_paces.geometry import units
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
    assert units.meters(length_ft) == f"{printed_m} m"


@pytest.mark.parametrize(("speed_mph", "distance_ft", "lead_s"), WALKING["lead_time"])
def test_lead_time_of_a_device_at_a_steady_speed(speed_mph, distance_ft, lead_s):
    assert round(units.seconds_at(distance_ft, speed_mph), 2) == lead_s


def test_a_vehicle_at_a_standstill_has_no_travel_time():
    with pytest.raises(ValueError, match="covers no distance"):
        units.seconds_at(100, 0)


@pytest.mark.parametrize(
    ("value", "decimals", "written"),
    [(0, 0, "0"), (999, 0, "999"), (1000, 0, "1,000"), (1234567.891, 1, "1,234,567.9"), (-0.04, 1, "0.0")],
)
def test_numbers_are_written_with_commas_and_never_as_minus_zero(value, decimals, written):
    assert units.number(value, decimals) == written


@pytest.mark.parametrize(
    ("count", "written"),
    [(0, "0"), (0.12, "0"), (0.13, "¼"), (0.25, "¼"), (0.99, "1"), (2.5, "2½"), (12.75, "12¾")],
)
def test_quarters_are_written_as_fractions(count, written):
    assert units.quarters(count) == written


@pytest.mark.parametrize(
    ("distance_ft", "written"),
    [(10, "¼ lane line"), (40, "1 lane line"), (100, "2½ lane lines"), (500, "12½ lane lines")],
)
def test_lane_lines_count_one_line_and_the_gap_after_it(distance_ft, written):
    assert units.in_cycles(distance_ft, 40) == written


@pytest.mark.parametrize(
    ("value_s", "up", "down"),
    [
        (0.0, "0.0 s", "0.0 s"),
        (0.04, "0.1 s", "0.0 s"),
        (1.2, "1.2 s", "1.2 s"),
        (1.2000000001, "1.2 s", "1.2 s"),
        (1.19, "1.2 s", "1.1 s"),
        (1.21, "1.3 s", "1.2 s"),
    ],
)
def test_missing_time_rounds_up_and_gained_time_rounds_down(value_s, up, down):
    assert (units.seconds_up(value_s), units.seconds_down(value_s)) == (up, down)


def test_trailer_lengths_to_the_nearest_quarter():
    assert units.in_trailers(100, 53) == "2 trailer lengths"
    assert units.in_trailers(53, 53) == "1 trailer length"


def test_one_pace_is_not_written_in_the_plural():
    assert units.in_paces(2.5, 2.5) == "1 pace"
    assert units.in_paces(2.6, 2.5) == "2 paces"


@given(st.integers(min_value=0, max_value=10_000), st.sampled_from([1, 5, 10]))
def test_rounding_up_leaves_whole_multiples_alone(count, step):
    assert units.whole_up(count * step, step) == count * step
    assert units.whole_up(count * step + 0.01, step) == (count + 1) * step


@given(st.integers(min_value=0, max_value=10_000), st.sampled_from([1, 5, 10]))
def test_rounding_down_leaves_whole_multiples_alone(count, step):
    assert units.whole_down(count * step, step) == count * step
    assert units.whole_down(count * step + step - 0.01, step) == count * step
