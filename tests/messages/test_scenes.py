"""A solved scene in words: the figures are those of the answer, rounded to the safe side."""

import re

import pytest
from forty_paces.geometry.records import RoadKind, Toward
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn, divided, two_lane
from forty_paces.geometry.scene import Stands, StoppedVehicle, Strip
from forty_paces.geometry.solver import place_in_scene
from forty_paces.messages.placement import text, texts
from forty_paces.messages.scenes import explain, yardsticks

from tests.geometry.made_scene import WAYS, made_scene
from tests.rule_files import rule_file

US = rule_file("us").rule_set


def scene(**fields):
    """A right bend in a cut, 45 mph, detection range 900 ft; with the given fields replaced."""
    values = {
        "road": Road(Alignment(-900, (Arc(1000, 760, Turn.RIGHT), Tangent(500))), carriageways=WAYS),
        "vehicle": StoppedVehicle(70, 8.5, 11, Stands.SHOULDER, trailer_ft=53),
        "speed_mph": 45.0,
        "detection_ft": 900.0,
        "blockers": (Strip("the cut slope", -850, 60, 18),),
    }
    return made_scene(**{**values, **fields})


def fields(here):
    solved = place_in_scene(US, here)
    return solved, explain(US, solved)


def feet(sentence):
    """Every length in a sentence, in feet."""
    return [float(figure.replace(",", "")) for figure in re.findall(r"([0-9,]+) ft", sentence)]


def test_every_device_and_every_side_is_reported():
    solved, words = fields(scene())
    assert [device.number for device in words.devices] == [1, 2, 3]
    assert [side.toward for side in words.sides] == [Toward.BEHIND, Toward.AHEAD]
    reasons = [text(US, placed.device.reason) for placed in solved.devices]
    assert [device.why for device in words.devices] == reasons
    legs = texts(US, solved.placement.walk.order)
    assert words.walk[: len(legs)] == legs


def test_what_hides_the_vehicle_is_named():
    _, words = fields(scene())
    assert words.sides[0].view.endswith("From farther away it is hidden by the cut slope.")
    assert "hidden by the cut slope" in words.devices[1].seen
    assert words.sides[1].view.endswith("Nothing hides it; from farther away nobody can make it out.")


def test_warnings_are_rounded_down_and_needs_rounded_up():
    solved, words = fields(scene())
    for side, approach in zip(words.sides, solved.placement.approaches, strict=True):
        assert 0 <= approach.vehicle_only_ft - feet(side.without)[0] < 1
        assert 0 <= approach.warning_ft - feet(side.gained)[0] < 1
        assert 0 <= feet(side.needed)[0] - approach.needed_ft < 1


def test_a_gain_is_reported_in_feet_and_seconds():
    """(W with devices less W without) over the speed in feet a second, 45 mph being 66 ft/s."""
    solved, words = fields(scene())
    gain = solved.placement.approaches[0].gain_ft
    (written,) = re.findall(r"([0-9.]+) s more", words.sides[0].gained)
    assert 0 <= gain / 66 - float(written) < 0.1


def test_the_posted_speed_is_reported_in_the_unit_it_is_posted_in():
    assert fields(scene())[1].sides[0].needed.startswith("At 45 mph they need 360 ft to stop.")
    germany = rule_file("germany").rule_set
    words = explain(germany, place_in_scene(germany, scene()))
    assert words.sides[0].needed.startswith("At 72 km/h they need 111 m to stop.")


def test_what_is_missing_comes_with_what_else_to_do():
    solved, words = fields(scene(detection_ft=150.0, blockers=()))
    side, approach = words.sides[0], solved.placement.approaches[0]
    assert "are missing" in side.needed
    assert 0 <= feet(side.needed)[1] - approach.shortfall_ft < 1
    assert any("traffic control" in line for line in side.otherwise)
    assert fields(scene(blockers=()))[1].sides[0].otherwise == ()


def test_how_far_to_roll_is_reported_where_the_vehicle_can():
    far_trees = scene(
        road=Road(
            Alignment(-1700, (Tangent(500), Arc(1100, 1680, Turn.RIGHT), Tangent(900))),
            carriageways=two_lane(12, 10, 8),
        ),
        blockers=(Strip("the trees", -1250, -60, 24),),
        speed_mph=65.0,
        detection_ft=1000.0,
        can_roll=True,
    )
    solved, words = fields(far_trees)
    assert feet(words.sides[0].otherwise[0]) == [solved.roll_ft]
    _, hopeless = fields(scene(detection_ft=150.0, blockers=(), can_roll=True))
    assert hopeless.sides[0].otherwise[0] == (
        "Rolling on a little way does not bring the warning up to the stopping distance here."
    )


def test_a_view_that_is_lost_again_is_reported():
    shed = Strip("the shed", -300, -260, 17)
    _, words = fields(scene(blockers=(shed,)))
    assert re.search(r"It shows beyond [0-9]+ ft too, but is lost again\.$", words.sides[0].view)


def test_a_hiding_place_out_of_range_is_reported_as_such():
    _, words = fields(scene(detection_ft=200.0))
    assert "nobody can make it out; beyond" in words.sides[0].view
    assert words.sides[0].view.endswith("it would be hidden by the cut slope.")


@pytest.mark.parametrize(
    ("lane_lines", "trailer_ft", "expected"),
    [
        (False, None, ("100 ft", "40 paces")),
        (True, None, ("100 ft", "40 paces", "2½ lane lines")),
        (True, 53, ("100 ft", "40 paces", "2½ lane lines", "2 trailer lengths")),
    ],
)
def test_distances_are_reported_in_every_yardstick_there_is(lane_lines, trailer_ft, expected):
    """40 paces for 100 ft: 49 CFR 392.22(b)(1). Line 10 ft, gap 30 ft: MUTCD part 3."""
    standing = StoppedVehicle(70, 8.5, 11, Stands.SHOULDER, trailer_ft=trailer_ft)
    assert yardsticks(US, scene(lane_lines=lane_lines, vehicle=standing), 100.0) == expected


def test_a_device_at_the_vehicle_is_reported_without_a_distance():
    """South Australia has one device beside the vehicle."""
    rules = rule_file("australia-sa").rule_set
    words = explain(rules, place_in_scene(rules, scene(speed_mph=60.0)))
    assert words.devices[0].where == "Beside the vehicle."


def test_the_walk_is_reported_with_its_share_of_the_time_allowed():
    """10, 100 and 100 ft: out and back 400 ft, 114 s at 3.5 ft/s (MUTCD), 19 percent of 600 s."""
    _, words = fields(scene(blockers=()))
    assert words.walk[-1] == (
        "In all 400 ft or 160 paces, about 114 s on foot. That is 19 percent of the 10 minutes allowed."
    )


def test_on_a_divided_road_three_devices_are_reported_and_one_side():
    ways = divided(2, 12, 10, 4, 40)
    here = scene(kind=RoadKind.DIVIDED, road=Road(carriageways=ways), blockers=())
    _, words = fields(here)
    assert [feet(device.where)[0] for device in words.devices] == [10, 100, 200]
    assert len(words.sides) == 1
