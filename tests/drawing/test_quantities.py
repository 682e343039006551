"""Figures as pages print them: what is needed rounds up, what is given rounds down."""

from __future__ import annotations

import math

import pytest
from forty_paces.drawing import quantities
from forty_paces.geometry.records import Layout, RoadKind
from hypothesis import given
from hypothesis import strategies as st


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
    assert up == quantities.feet_up(length_ft)
    assert down == quantities.feet_down(length_ft)


@given(st.floats(0, 5000))
def test_no_print_flatters(length_ft: float) -> None:
    def value(text: str) -> float:
        return float(text.removesuffix(" ft").replace(",", ""))

    assert value(quantities.feet_up(length_ft)) >= length_ft - 1e-5
    assert value(quantities.feet_down(length_ft)) <= length_ft + 1e-5


def test_the_rules_own_unit_stands_first() -> None:
    assert "100 ft (30 m)" == quantities.both_lengths(100, metric=False)
    assert "30 m (98 ft)" == quantities.both_lengths(98.4252, metric=True)


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
    layout = Layout(RoadKind.TWO_LANE, (), speed_from_mph=low, speed_below_mph=high)
    assert words == quantities.speed_band(layout, "mph")
