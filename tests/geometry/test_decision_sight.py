"""Decision sight distance against the published table and what other manuals make of it."""

import pytest
from forty_paces.geometry.stopping import DECISION_SIGHT_FT, Maneuver, decision_sight_ft, stopping_sight
from forty_paces.geometry.units import ft_to_m, kmh_to_mph

from tests.published import published

TABLE = published("decision_sight")


@pytest.mark.parametrize(("speed_mph", "a", "b", "c", "d", "e"), TABLE["rows"])
def test_every_row_of_the_table(speed_mph, a, b, c, d, e):
    """AASHTO Green Book, in the Texas DOT's reprint."""
    assert decision_sight_ft(speed_mph) == dict(zip("abcde", (a, b, c, d, e), strict=True))


def test_no_row_is_added_to_the_published_ones():
    assert list(DECISION_SIGHT_FT) == [row[0] for row in TABLE["rows"]]


@pytest.mark.parametrize("speed_mph", list(DECISION_SIGHT_FT))
@pytest.mark.parametrize("maneuver", [Maneuver.STOP_RURAL, Maneuver.STOP_URBAN])
def test_the_stops_follow_from_the_times_that_the_table_names(maneuver, speed_mph):
    """1.47·V·t + 1.075·V²/a, rounded to 5 ft."""
    time_s, _ = TABLE["times_s"][maneuver]
    computed_ft = 1.47 * speed_mph * time_s + stopping_sight(speed_mph).braking
    assert decision_sight_ft(speed_mph)[maneuver] == pytest.approx(computed_ft, abs=5)


@pytest.mark.parametrize("speed_mph", list(DECISION_SIGHT_FT))
@pytest.mark.parametrize("maneuver", [Maneuver.CHANGE_RURAL, Maneuver.CHANGE_SUBURBAN, Maneuver.CHANGE_URBAN])
def test_the_changes_of_path_lie_within_the_times_that_the_table_names(maneuver, speed_mph):
    """1.47·V·t, rounded to 5 ft."""
    shortest_s, longest_s = TABLE["times_s"][maneuver]
    distance_ft = decision_sight_ft(speed_mph)[maneuver]
    assert 1.47 * speed_mph * shortest_s - 5 <= distance_ft <= 1.47 * speed_mph * longest_s + 5


@pytest.mark.parametrize(("speed_mph", "distance_ft"), TABLE["california"])
def test_california_prints_the_rural_change_of_path(speed_mph, distance_ft):
    """California Highway Design Manual, table 201.7."""
    assert decision_sight_ft(speed_mph)[Maneuver.CHANGE_RURAL] == distance_ft


@pytest.mark.parametrize(("speed_mph", "placement_ft"), TABLE["mutcd"])
def test_the_advance_placement_of_signs_rests_on_the_urban_change_of_path(speed_mph, placement_ft):
    """MUTCD, 11th edition, table 2C-3: less the legibility distance, and with 14.5 s at the longest."""
    table_ft = decision_sight_ft(speed_mph)[Maneuver.CHANGE_URBAN]
    longest_ft = 1.47 * speed_mph * TABLE["times_s"]["e"][1]
    sight_ft = placement_ft + TABLE["mutcd_legible_ft"]
    assert table_ft - TABLE["mutcd_rounding_ft"] <= sight_ft <= longest_ft + TABLE["mutcd_rounding_ft"]


@pytest.mark.parametrize(("speed_kmh", "a", "b", "c", "d", "e"), TABLE["metric"])
def test_metric_speeds_get_no_less_than_the_metric_table_but_for_its_rounding(speed_kmh, a, b, c, d, e):
    answer = decision_sight_ft(kmh_to_mph(speed_kmh))
    for maneuver, distance_m in zip(Maneuver, (a, b, c, d, e), strict=True):
        assert ft_to_m(answer[maneuver]) >= distance_m - TABLE["metric_rounding_m"]


@pytest.mark.parametrize(
    ("speed_mph", "row"), [(29.9, None), (30, 30), (30.1, 35), (54.9, 55), (80, 80), (80.1, None)]
)
def test_a_speed_between_two_rows_takes_the_row_above_it_and_none_beyond_the_table(speed_mph, row):
    expected = None if row is None else dict(zip("abcde", DECISION_SIGHT_FT[row], strict=True))
    assert decision_sight_ft(speed_mph) == expected
