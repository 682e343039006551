"""Lengths in whole units of a rule set: texts, and conversion in both directions."""

import pytest
from forty_paces.outputs.classroom.lengths import LengthFormat
from hypothesis import given
from hypothesis import strategies as st

from tests.rule_files import names, rule_file

US = LengthFormat(rule_file("us").rule_set)
GERMANY = LengthFormat(rule_file("germany").rule_set)
UK = LengthFormat(rule_file("uk").rule_set)
HUNDRED_M_FT = 100 / 0.3048
FUZZ_FT = 1e-5


def test_feet_stand_alone_where_the_rule_is_written_in_feet():
    assert US.text(100) == "100 ft"
    assert US.paced(100, 40) == "100 ft (40 paces)"
    assert US.pace() == "2.5 ft"


def test_meters_stand_alone_where_the_rule_is_written_in_meters():
    """StVO section 15: about 100 m; 134 paces of 0.75 m, rounded up."""
    assert GERMANY.text(HUNDRED_M_FT) == "100 m"
    assert GERMANY.paced(HUNDRED_M_FT, 134) == "100 m (134 paces)"
    assert GERMANY.pace() == "0.75 m"


def test_one_pace_is_not_said_to_be_paces():
    assert US.paced(2, 1) == "2 ft (1 pace)"


@pytest.mark.parametrize(
    ("lengths", "speed_mph", "posted", "count"),
    [
        (US, 55.0, "55 mph", 55),
        (GERMANY, 100 / 1.609344, "100 km/h", 100),
        # Lengths in meters, signs in miles per hour.
        (UK, 60.0, "60 mph", 60),
    ],
)
def test_a_speed_is_reported_as_its_sign_says_it(lengths, speed_mph, posted, count):
    assert lengths.posted(speed_mph) == posted
    assert lengths.posted_count(speed_mph) == count


def test_a_script_is_reported_nothing_where_it_is_feet_and_miles_an_hour():
    assert US.for_script(550) == {}
    unit_data = UK.for_script(165)["measure"]
    assert (unit_data["unit"], unit_data["name"], unit_data["posted"]) == ("m", "meters", "mph")
    assert unit_data["paces"][45] == 60


@pytest.mark.parametrize("name", names())
@given(length_ft=st.floats(0, 5000))
def test_whole_units_enclose_a_length(name, length_ft):
    lengths = LengthFormat(rule_file(name).rule_set)
    low, high = lengths.down(length_ft), lengths.up(length_ft)
    assert lengths.ft(low) <= length_ft + FUZZ_FT
    assert length_ft <= lengths.ft(high) + FUZZ_FT
    assert high - low in (0, 1)


@pytest.mark.parametrize("name", names())
@given(count=st.integers(0, 2000))
def test_a_count_turned_into_feet_is_the_same_count_again(name, count):
    lengths = LengthFormat(rule_file(name).rule_set)
    assert (
        lengths.up(lengths.ft(count))
        == lengths.down(lengths.ft(count))
        == lengths.own(lengths.ft(count))
        == count
    )
