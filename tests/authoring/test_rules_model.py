"""Rule files: required keys, invalid values and consistency."""

import copy

import pytest
import yaml
from forty_paces.authoring.models.device_layout import LengthFt, SpeedMph
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.geometry.records import RoadKind
from forty_paces.geometry.units import kmh_to_mph, m_to_ft
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError

from tests.rule_files import PROJECT, names, rule_file

LENGTH = TypeAdapter(LengthFt)
SPEED = TypeAdapter(SpeedMph)


def texts(name="us"):
    """A rule file as strings, as the YAML reader returns it."""
    file = PROJECT / "content" / "rules" / f"{name}.yml"
    return yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)


@pytest.fixture
def us():
    return copy.deepcopy(texts())


def fault_of(fields):
    """The only error message for these values."""
    with pytest.raises(ValidationError) as caught:
        RuleFile.model_validate(fields)
    (only,) = caught.value.errors()
    return ".".join(map(str, only["loc"])), only["msg"].removeprefix("Value error, ")


@pytest.mark.parametrize(
    ("written", "length_ft"), [("100 ft", 100), ("0 ft", 0), ("2.5 ft", 2.5), ("45 m", m_to_ft(45))]
)
def test_lengths_are_held_in_feet(written, length_ft):
    assert LENGTH.validate_python(written) == length_ft


@pytest.mark.parametrize(("written", "speed_mph"), [("55 mph", 55), ("80 km/h", kmh_to_mph(80))])
def test_speeds_are_held_in_miles_per_hour(written, speed_mph):
    assert SPEED.validate_python(written) == speed_mph


@given(st.integers(min_value=0, max_value=3000))
def test_whole_meters_come_through_exactly_as_converted(length_m):
    assert LENGTH.validate_python(f"{length_m} m") == m_to_ft(float(length_m))


@pytest.mark.parametrize(
    "written",
    ["100", "100ft", "100 feet", "ft", "", "-10 ft", "1e3 ft", "nan ft", "100 mph", "1,000 ft", "٣ ft"],
)
def test_a_length_without_its_unit_is_refused(written):
    with pytest.raises(ValidationError, match="is not a length with its unit; write it like"):
        LENGTH.validate_python(written)


@pytest.mark.parametrize("written", ["55", "55 ft", "55 kmh", "fast"])
def test_a_speed_without_its_unit_is_refused(written):
    with pytest.raises(ValidationError, match="is not a speed with its unit; write it like"):
        SPEED.validate_python(written)


def test_a_length_beyond_all_roads_is_refused():
    with pytest.raises(ValidationError, match="less than or equal to 10000"):
        LENGTH.validate_python("99999 ft")


@pytest.mark.parametrize("name", names())
def test_every_rule_file_says_what_is_not_certain(name):
    """Every rule file lists what its rule leaves open and what is assumed."""
    rules = rule_file(name)
    assert rules.id == name
    assert rules.silent
    assert len(rules.examples) >= 3
    assert all(entry.assumption for entry in rules.visibility)


def test_the_federal_file_has_eight_examples_and_more():
    assert len(rule_file("us").examples) >= 8


def test_the_whole_of_the_federal_passage_is_carried():
    """49 CFR 392.22(b): every paragraph has a text and a citation."""
    cited = {text.citation for text in rule_file("us").texts}
    for paragraph in [
        "(a)",
        "(b)(1)",
        *(f"(b)(2)({number})" for number in ("i", "ii", "iii", "iv", "v", "vi")),
    ]:
        assert f"49 CFR 392.22{paragraph}" in cited


@pytest.mark.parametrize("name", names())
@pytest.mark.parametrize("road", list(RoadKind))
@pytest.mark.parametrize("speed_mph", [1, 30, 49.7, 49.71, 75, 120])
def test_every_road_has_a_layout_at_every_posted_speed(name, road, speed_mph):
    layout = rule_file(name).rule_set.layout(road, speed_mph)
    assert layout.road is road
    assert bool(layout.devices) != bool(layout.forbidden)


@pytest.mark.parametrize("name", names())
def test_every_device_carries_its_citation(name):
    rules = rule_file(name).rule_set
    for layout in rules.layouts:
        assert layout.source
        assert all(device.source for device in layout.devices)


@pytest.mark.parametrize("name", names())
def test_by_night_every_rule_set_has_two_reaches_the_shorter_one_in_force_and_both_with_their_source(name):
    """Low beams reach about 250 ft (CDL manuals, section 2.11); 500 ft of a reflector is an assumption."""
    filed = rule_file(name)
    nights = [entry for entry in filed.visibility if entry.reflecting is not None]
    assert filed.default_visibility in [entry.id for entry in nights]
    for night in nights:
        assert night.reach < night.reflecting
        assert night.assumption
        assert len(night.source) > 1
        assert 240 < night.reach < 255, "75 m or 250 ft"
        assert 490 < night.reflecting < 501, "150 m or 500 ft"


@pytest.mark.parametrize("name", names())
def test_wherever_several_devices_are_to_be_placed_one_is_named_to_leave_out_first(name):
    several = [layout for layout in rule_file(name).layouts if len(layout.devices) > 1]
    assert [layout.roads for layout in several if not layout.leave_out_first] == []
    assert bool(several) is (name in ("us", "ontario", "australia-sa", "australia-tas"))


def test_texts_marked_so_become_cautions_with_their_citation():
    rules = rule_file("us")
    wanted = [text for text in rules.texts if text.with_every_placement]
    assert len(rules.rule_set.cautions) == len(wanted) == 4
    for caution, text in zip(rules.rule_set.cautions, wanted, strict=True):
        assert caution == f"{text.text[:-1]} ({text.citation})."


def test_an_unknown_key_is_refused(us):
    us["layouts"][0]["devices"][0]["colour"] = "red"
    assert fault_of(us) == ("layouts.0.devices.0.colour", "Extra inputs are not permitted")


def test_a_figure_without_its_source_is_refused(us):
    del us["layouts"][0]["devices"][1]["source"]
    assert fault_of(us) == ("layouts.0.devices.1.source", "Field required")


def test_a_figure_without_its_citation_is_refused(us):
    del us["hidden_view"]["citation"]
    assert fault_of(us) == ("hidden_view.citation", "Field required")


def test_fewer_than_three_examples_are_refused(us):
    us["examples"] = us["examples"][:2]
    assert fault_of(us)[0] == "examples"


def test_a_road_without_a_layout_is_refused(us):
    us["layouts"][1]["roads"] = ["divided"]
    assert fault_of(us)[1] == "no layout covers a one-way road; add one, with devices or with the ban"


def test_two_layouts_for_the_same_road_and_speed_are_refused(us):
    us["layouts"][1]["roads"] = ["divided", "one-way", "two-lane"]
    assert "the layouts for a two-lane road leave or double posted speeds near 0 mph" in fault_of(us)[1]


def test_a_gap_between_speed_bands_is_refused():
    fields = copy.deepcopy(texts("australia-sa"))
    fields["layouts"][2]["speed_below"] = "70 km/h"
    assert "the layouts for a two-lane road leave or double posted speeds" in fault_of(fields)[1]


def test_a_last_band_that_ends_is_refused(us):
    us["layouts"][0]["speed_below"] = "65 mph"
    assert "no layout covers a two-lane road from 65 mph on" in fault_of(us)[1]


def test_devices_and_a_ban_together_are_refused(us):
    us["layouts"][0]["forbidden"] = "Not here."
    assert 'a layout has either "devices" or "forbidden"' in fault_of(us)[1]


def test_neither_devices_nor_a_ban_are_refused(us):
    us["layouts"][0]["devices"] = []
    assert 'a layout has either "devices" or "forbidden"' in fault_of(us)[1]


def test_a_range_that_runs_inward_is_refused(us):
    us["hidden_view"]["farthest"] = "100 ft"
    assert fault_of(us)[1] == '"farthest" is not farther than "nearest"; turn the two round'
    us["hidden_view"]["farthest"] = "500 ft"
    us["layouts"][0]["devices"][0]["at_most"] = "10 ft"
    assert '"at_most" is not farther than "distance"' in fault_of(us)[1]


def test_a_step_without_a_range_is_refused(us):
    us["layouts"][0]["devices"][0]["step"] = "10 ft"
    assert '"step" stands without "at_most"' in fault_of(us)[1]


def test_a_visibility_class_that_does_not_exist_is_refused(us):
    us["default_visibility"] = "dusk"
    assert fault_of(us)[1] == (
        'there is no visibility class "dusk" in this file; name one of: night, daylight, fog'
    )
    us["default_visibility"] = "night"
    us["examples"][0]["situation"]["visibility"] = "dawn"
    assert 'there is no visibility class "dawn"' in fault_of(us)[1]


@pytest.mark.parametrize(
    ("part", "what"), [("examples", "example"), ("texts", "text"), ("silent", "silent entry")]
)
def test_two_entries_of_one_name_are_refused(us, part, what):
    us[part].append(us[part][0])
    assert f'two {what} entries are called "{us[part][0]["id"]}"' in fault_of(us)[1]
