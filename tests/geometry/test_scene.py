"""Scenes: positions of vehicle, lanes and devices, and rejected inconsistent descriptions."""

import math
from dataclasses import replace

import pytest
from forty_paces.geometry.records import RoadKind, Toward
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn, divided, one_way, two_lane
from forty_paces.geometry.scene import (
    Outline,
    Stands,
    StoppedVehicle,
    Strip,
    approach_lane,
    center_offset_ft,
    station_ft,
    traffic_side_offset_ft,
    vehicle_corners,
)

from tests.geometry.made_scene import WAYS, made_scene
from tests.geometry.turned_round import turned_scene

WINDING = Alignment(-800, (Tangent(500), Arc(600, 700, Turn.LEFT), Tangent(300)))


def scene(ways=None, alignment=None, **fields):
    road = Road(alignment or WINDING, carriageways=ways or WAYS)
    return made_scene(**{"road": road, **fields})


def test_distances_count_from_the_nearer_end_of_the_vehicle():
    assert station_ft(scene(), Toward.BEHIND, 100) == -100
    assert station_ft(scene(), Toward.AHEAD, 100) == 170


def test_traffic_from_ahead_comes_in_the_other_lane():
    assert approach_lane(scene(), Toward.BEHIND).center_ft == 0
    assert approach_lane(scene(), Toward.AHEAD).center_ft == -12


def test_drivers_on_a_road_of_many_lanes_come_up_in_the_one_nearest_the_vehicle():
    ways = one_way(3, 12, 10, 4)
    assert approach_lane(scene(ways, kind=RoadKind.ONE_WAY), Toward.BEHIND).center_ft == 0


def test_nobody_comes_from_ahead_on_a_divided_road():
    with pytest.raises(LookupError, match="no lane carries traffic from ahead"):
        approach_lane(scene(divided(2, 12, 10, 4, 40), kind=RoadKind.DIVIDED), Toward.AHEAD)


def test_on_the_shoulder_devices_stand_in_its_center_or_in_line_with_the_side_traffic_passes():
    assert center_offset_ft(scene()) == 11
    assert traffic_side_offset_ft(scene()) == 6.75


def test_in_the_lane_devices_stand_in_its_center():
    standing = scene(two_lane(12, 0, 0), vehicle=StoppedVehicle(26, 8, 0, Stands.LANE))
    assert center_offset_ft(standing) == 0
    assert traffic_side_offset_ft(standing) == -4


def test_where_traffic_keeps_left_everything_lies_on_the_other_side():
    mirror = scene().mirrored()
    assert center_offset_ft(mirror) == -11
    assert traffic_side_offset_ft(mirror) == -6.75
    assert approach_lane(mirror, Toward.AHEAD).center_ft == 12


@pytest.mark.parametrize("alignment", [Alignment(), WINDING, Alignment(-50, (Arc(400, 300, Turn.RIGHT),))])
def test_the_vehicle_is_a_box_of_its_own_size_with_its_rear_at_station_zero(alignment):
    standing = scene(alignment=alignment)
    rear_left, rear_right, front_right, front_left = vehicle_corners(standing)
    assert math.dist(rear_left, rear_right) == pytest.approx(8.5)
    assert math.dist(rear_right, front_right) == pytest.approx(70)
    assert math.dist(rear_left, front_right) == pytest.approx(math.hypot(8.5, 70))
    middle = tuple((a + b) / 2 for a, b in zip(rear_left, rear_right, strict=True))
    assert middle == pytest.approx(standing.road.position(0, 11))
    assert front_left[0] > rear_left[0]


def test_on_a_straight_the_box_lies_along_the_road():
    corners = vehicle_corners(scene(alignment=Alignment()))
    assert [pytest.approx(corner) for corner in corners] == [
        (0, -6.75),
        (0, -15.25),
        (70, -15.25),
        (70, -6.75),
    ]


def test_a_scene_mirrored_or_turned_round_twice_is_itself():
    bank = (Strip("the bank", -300, -20, 22, 6.0), Outline("the shed", ((10, 20), (30, 20), (30, 40))))
    here = scene(blockers=bank)
    assert here.mirrored().mirrored() == here
    again = turned_scene(turned_scene(here))
    assert again.blockers == here.blockers
    assert again.vehicle == here.vehicle
    assert again.road.carriageways == here.road.carriageways
    assert again.road.alignment.start_ft == pytest.approx(here.road.alignment.start_ft)


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"road": Road()}, "the road has no lanes"),
        ({"ways": one_way(2, 12, 10, 4)}, "a two-lane road needs a lane for traffic from ahead"),
        ({"vehicle": StoppedVehicle(0, 8, 11, Stands.SHOULDER)}, "a length and a width above 0"),
        ({"visibility": "night"}, "not both"),
        ({"blockers": (Strip("the hedge", 0, 0, 20),)}, "the hedge must end at a higher station"),
        ({"blockers": (Strip("the hedge", 0, 50, 20, 0),)}, "the hedge needs a height above 0"),
        ({"blockers": (Outline("the shed", ((0, 20),)),)}, "the shed needs two corners"),
        ({"blockers": (Strip("the far bank", -400, 0, -800),)}, "beyond the center of the bend"),
        ({"blockers": (Outline("the shed", ((-200, -690), (-200, -710))),)}, "the shed lies beyond"),
        ({"alignment": Alignment(-99, (Arc(60, 26, Turn.LEFT),))}, "the road's left edge lies beyond"),
        ({"alignment": Alignment(-99, (Arc(40, 16, Turn.RIGHT),))}, "the road's right edge lies beyond"),
    ],
)
def test_what_does_not_fit_together_is_refused(fields, message):
    with pytest.raises(ValueError, match=message):
        scene(**fields)


def test_a_bend_may_be_as_tight_as_the_road_is_wide_inside_it():
    """The paved edges of the road are 26 ft left and 16 ft right of the lane's center."""
    for radius_ft, turn in ((26.01, Turn.LEFT), (16.01, Turn.RIGHT)):
        assert scene(alignment=Alignment(-99, (Arc(20, radius_ft, turn),))).kind is RoadKind.TWO_LANE


def test_a_strip_beyond_a_center_is_fine_where_the_road_does_not_bend():
    straight = Strip("the far bank", -800, -320, -800)
    assert replace(scene(), blockers=(straight,)).blockers == (straight,)
