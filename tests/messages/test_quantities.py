"""Figures as pages print them: what is needed rounds up, what is given rounds down."""

from __future__ import annotations

import math

import pytest
from forty_paces.geometry.records import DeviceLayout, RoadKind
from forty_paces.messages import quantities
from hypothesis import given
from hypothesis import strategies as st

from tests.rule_files import rule_file

US = rule_file("us").rule_set


@pytest.mark.parametrize(
    ("length_ft", "up", "down"),
    [
        (492.47, "493 ft", "492 ft"),
        (500.0, "500 ft", "500 ft"),
        (499.9999999, "500 ft", "500 ft"),
        (0, "0 ft", "0 ft"),
    ],
)
def test_needed_rounds_up_and_given_rounds_down(length_ft: float, up: str, down: str) -> None:
    assert up == quantities.length_up(US, length_ft)
    assert down == quantities.length_down(US, length_ft)


@given(st.floats(0, 5000))
def test_no_print_flatters(length_ft: float) -> None:
    def value(text: str) -> float:
        return float(text.removesuffix(" ft").replace(",", ""))

    assert value(quantities.length_up(US, length_ft)) >= length_ft - 1e-5
    assert value(quantities.length_down(US, length_ft)) <= length_ft + 1e-5


def test_meters_stand_beside_feet_and_alone_under_a_metric_rule() -> None:
    assert "100 ft (30 m)" == quantities.printed_length(100, metric=False)
    assert "30 m" == quantities.printed_length(98.4252, metric=True)


@pytest.mark.parametrize(
    ("seconds", "words"), [(0, "0 s"), (59, "59 s"), (60, "1 min 0 s"), (113.2, "1 min 54 s")]
)
def test_times_are_said_as_a_watch_shows_them(seconds: float, words: str) -> None:
    assert words == quantities.clock(seconds)


@pytest.mark.parametrize(
    ("hours", "words"), [(2, "2 h"), (8, "8 h"), (32, "32 h"), (48, "48 h"), (72, "3 days"), (360, "15 days")]
)
def test_deadlines_are_said_in_hours_until_days_are_plainer(hours: float, words: str) -> None:
    assert words == quantities.span_of_hours(hours)


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (0, math.inf, "any speed"),
        (0, 50, "below 50 mph"),
        (50, math.inf, "from 50 mph"),
        (30, 50, "30 mph to 50 mph"),
    ],
)
def test_a_band_of_speeds_is_said_in_words(low: float, high: float, words: str) -> None:
    layout = DeviceLayout(RoadKind.TWO_LANE, (), speed_from_mph=low, speed_below_mph=high)
    assert words == quantities.speed_band(layout, "mph")


@pytest.mark.parametrize(
    ("value", "decimals", "written"),
    [(0, 0, "0"), (999, 0, "999"), (1000, 0, "1,000"), (1234567.891, 1, "1,234,567.9"), (-0.04, 1, "0.0")],
)
def test_numbers_are_written_with_commas_and_never_as_minus_zero(value, decimals, written):
    assert quantities.number(value, decimals) == written


@pytest.mark.parametrize(
    ("count", "written"),
    [(0, "0"), (0.12, "0"), (0.13, "¼"), (0.25, "¼"), (0.99, "1"), (2.5, "2½"), (12.75, "12¾")],
)
def test_quarters_are_written_as_fractions(count, written):
    assert quantities.quarters(count) == written


@pytest.mark.parametrize(
    ("distance_ft", "written"),
    [(10, "¼ lane line"), (40, "1 lane line"), (100, "2½ lane lines"), (500, "12½ lane lines")],
)
def test_lane_lines_count_one_line_and_the_gap_after_it(distance_ft, written):
    assert quantities.in_cycles(distance_ft, 40) == written


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
    assert (quantities.seconds_up(value_s), quantities.seconds_down(value_s)) == (up, down)


def test_trailer_lengths_to_the_nearest_quarter():
    assert quantities.in_trailers(100, 53) == "2 trailer lengths"
    assert quantities.in_trailers(53, 53) == "1 trailer length"


def test_one_pace_is_not_written_in_the_plural():
    assert quantities.in_paces(2.5, 2.5) == "1 pace"
    assert quantities.in_paces(2.6, 2.5) == "2 paces"
