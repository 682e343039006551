"""Stopping sight distance against the published tables, and invariants."""

import math

import pytest
from forty_paces.geometry import stopping
from forty_paces.geometry.records import Surface
from forty_paces.geometry.stopping import CannotStop, metric_stopping_sight, stopping_sight
from hypothesis import given
from hypothesis import strategies as st

from tests.published import published

US = published("stopping_us")
METRIC = published("stopping_metric")
GRADES = published("stopping_grades")
HEADLIGHTS = published("headlights")

SPEEDS = st.floats(min_value=1, max_value=120)
HOLDING_GRADES = st.floats(min_value=-20, max_value=20)


def green_book_grades(table):
    """(speed, grade, published distance) for every cell to check."""
    return [
        (speed, grade, distance)
        for speed, row in GRADES[table].items()
        for grade, distance in zip(GRADES["columns_pct"], row, strict=True)
        if distance is not None
    ]


def test_the_constants_are_those_of_the_green_book():
    assert US["reaction_s"] == stopping.REACTION_S
    assert US["deceleration_fps2"] == stopping.DECELERATION_FPS2


@pytest.mark.parametrize(("speed_mph", "reaction_ft", "braking_ft", "total_ft", "design_ft"), US["rows"])
def test_every_row_of_the_us_table(speed_mph, reaction_ft, braking_ft, total_ft, design_ft):
    """AASHTO Green Book, stopping sight distance on level roadways, US customary."""
    sight = stopping_sight(speed_mph)
    assert sight.reaction == pytest.approx(reaction_ft, abs=US["tolerance_ft"])
    assert sight.braking == pytest.approx(braking_ft, abs=US["tolerance_ft"])
    assert sight.total == pytest.approx(total_ft, abs=US["tolerance_ft"])
    assert sight.design == design_ft


@pytest.mark.parametrize(("speed_mph", "design_ft"), US["between"] + US["buffer"] + US["potential_stop"])
def test_design_values_of_other_manuals(speed_mph, design_ft):
    """Ohio DOT Location and Design Manual; MUTCD 2009 table 6C-2; MUTCD 2023 table 2C-3."""
    assert stopping_sight(speed_mph).design == design_ft


@pytest.mark.parametrize(("speed_kmh", "design_m"), METRIC["rows"])
def test_every_row_of_the_metric_table(speed_kmh, design_m):
    """AASHTO Green Book, stopping sight distance on level roadways, metric."""
    assert metric_stopping_sight(speed_kmh).design == design_m


@pytest.mark.parametrize(("speed_kmh", "reaction_m", "braking_m", "total_m"), METRIC["parts"])
def test_the_parts_of_every_row_of_the_metric_table(speed_kmh, reaction_m, braking_m, total_m):
    """The same table."""
    sight = metric_stopping_sight(speed_kmh)
    assert sight.reaction == pytest.approx(reaction_m, abs=METRIC["tolerance_m"])
    assert sight.braking == pytest.approx(braking_m, abs=METRIC["tolerance_m"])
    assert sight.total == pytest.approx(total_m, abs=METRIC["tolerance_m"])


@pytest.mark.parametrize(("speed_mph", "grade_pct", "design_ft"), GRADES["county"])
def test_worked_values_on_grades(speed_mph, grade_pct, design_ft):
    """County crest and sag design sheets."""
    assert stopping_sight(speed_mph, grade_pct).design == design_ft


@pytest.mark.parametrize(("speed_mph", "grade_pct", "distance_ft"), green_book_grades("us"))
def test_every_cell_of_the_us_grade_table(speed_mph, grade_pct, distance_ft):
    """AASHTO Green Book, stopping sight distance on grades, US customary."""
    assert stopping_sight(speed_mph, grade_pct).total == pytest.approx(
        distance_ft, abs=GRADES["tolerance_ft"]
    )


@pytest.mark.parametrize(("speed_kmh", "grade_pct", "distance_m"), green_book_grades("metric"))
def test_every_cell_of_the_metric_grade_table(speed_kmh, grade_pct, distance_m):
    """AASHTO Green Book, stopping sight distance on grades, metric."""
    actual = metric_stopping_sight(speed_kmh, grade_pct).total
    assert actual == pytest.approx(distance_m, abs=GRADES["tolerance_m"])


@pytest.mark.parametrize("table", ["us", "metric"])
def test_the_grade_tables_hold_every_row_of_the_level_tables_that_they_share(table):
    level = [row[0] for row in (US if table == "us" else METRIC)["rows"]]
    assert set(GRADES[table]) <= set(level)
    if table == "us":
        assert list(GRADES[table]) == level


@pytest.mark.parametrize(("distance_ft", "speed_mph"), HEADLIGHTS["rows"])
def test_the_speed_that_stops_within_a_distance(distance_ft, speed_mph):
    assert round(stopping.max_speed_mph(distance_ft), 1) == speed_mph


def test_the_printed_constants_decide_the_75_mph_row():
    """With 1.0733 in place of the printed 1.075 the row would be 815."""
    exact = 1.47 * 75 * 2.5 + 1.0733 * 75**2 / 11.2
    assert stopping.design_value(exact) == 815
    assert stopping_sight(75).design == 820


@pytest.mark.parametrize(("distance", "design"), [(0, 0), (0.1, 5), (5, 5), (5.0000000001, 5), (5.001, 10)])
def test_design_values_round_up_but_not_for_float_noise(distance, design):
    assert stopping.design_value(distance) == design


@given(SPEEDS, SPEEDS, HOLDING_GRADES)
def test_more_speed_never_needs_less_distance(one_mph, other_mph, grade_pct):
    slower, faster = sorted((one_mph, other_mph))
    assert stopping_sight(slower, grade_pct).total <= stopping_sight(faster, grade_pct).total


@given(SPEEDS, HOLDING_GRADES, st.floats(min_value=0.1, max_value=10))
def test_a_steeper_descent_never_needs_less_distance(speed_mph, grade_pct, steeper_pct):
    gentler = stopping_sight(speed_mph, grade_pct).total
    assert stopping_sight(speed_mph, grade_pct - steeper_pct).total >= gentler


@given(SPEEDS)
def test_snow_needs_more_than_normal_and_ice_more_than_snow(speed_mph):
    totals = [stopping_sight(speed_mph, surface=surface).total for surface in Surface]
    assert list(Surface) == [Surface.NORMAL, Surface.SNOW, Surface.ICE]
    assert totals == sorted(totals)
    assert totals[0] < totals[1] < totals[2]


@given(SPEEDS, HOLDING_GRADES)
def test_the_inverse_finds_the_speed_again(speed_mph, grade_pct):
    distance_ft = stopping.stopping_sight(speed_mph, grade_pct).total
    assert stopping.max_speed_mph(distance_ft, grade_pct) == pytest.approx(speed_mph, abs=1e-6)


@given(st.floats(min_value=10, max_value=120), st.floats(min_value=-8, max_value=8))
def test_the_two_systems_of_units_agree_within_their_printed_rounding(speed_mph, grade_pct):
    us_m = stopping.stopping_sight(speed_mph, grade_pct).total * 0.3048
    metric_m = metric_stopping_sight(speed_mph * 1.609344, grade_pct).total
    assert metric_m == pytest.approx(us_m, rel=0.012)


@pytest.mark.parametrize(
    ("grade_pct", "surface"),
    [(-35, Surface.NORMAL), (-15, Surface.SNOW), (-15.5, Surface.SNOW), (-7, Surface.ICE)],
)
def test_where_the_slope_wins_there_is_a_clear_error(grade_pct, surface):
    for compute in (stopping_sight, metric_stopping_sight, stopping.max_speed_mph):
        with pytest.raises(CannotStop, match=rf"at a grade of {grade_pct} percent a vehicle cannot stop"):
            compute(55, grade_pct, surface)


def test_just_before_the_slope_wins_the_distance_is_long_but_finite():
    distance_ft = stopping.stopping_sight(55, -6.9, Surface.ICE).total
    assert math.isfinite(distance_ft)
    assert distance_ft > 50_000


@pytest.mark.parametrize("speed_mph", [-1, math.nan, math.inf])
def test_a_speed_that_is_no_speed_is_refused(speed_mph):
    with pytest.raises(ValueError, match="a speed must be a number from 0 up"):
        stopping_sight(speed_mph)


@pytest.mark.parametrize("grade_pct", [math.nan, math.inf, -math.inf])
def test_a_grade_that_is_no_number_is_refused(grade_pct):
    with pytest.raises(ValueError, match="a grade must be a number"):
        stopping_sight(55, grade_pct)


@pytest.mark.parametrize("distance_ft", [-1, math.nan, math.inf])
def test_a_distance_that_is_no_distance_is_refused(distance_ft):
    with pytest.raises(ValueError, match="a distance must be a number"):
        stopping.max_speed_mph(distance_ft)


def test_the_surface_assumptions_are_friction_times_gravity():
    assert stopping.deceleration_fps2(Surface.NORMAL) == 11.2
    assert stopping.deceleration_fps2(Surface.SNOW) == pytest.approx(0.15 * 32.2)
    assert stopping.deceleration_mps2(Surface.ICE) == pytest.approx(0.07 * 9.81)
