"""People walk between the traffic and what stands beside the road, and nowhere without room."""

import math
from dataclasses import replace

import pytest
from forty_paces.geometry.footway import first_stop, gaps, lane_edge_ft, walkway
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import RoadKind, Situation, Toward
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn
from forty_paces.geometry.scene import Outline, Strip
from forty_paces.geometry.solver import place_in_scene, solve
from forty_paces.geometry.walk import LEAST_WIDTH_FT
from forty_paces.messages.answer import as_values
from forty_paces.messages.placement import text, texts
from forty_paces.messages.scenes import explain

from tests.geometry.made_scene import WAYS, made_scene
from tests.rule_files import rule_file

US = rule_file("us").rule_set
EDGE_FT = 6.0
"Right edge of the 12 ft travel lane of the made scene; the shoulder ends at 16 ft."


def beside(*blockers, **explained):
    return made_scene(blockers=blockers, **explained)


def wall(offset_ft, from_ft=-400.0, to_ft=400.0):
    return Strip("the wall", from_ft, to_ft, offset_ft)


def test_the_least_width_is_36_inches():
    """2010 ADA Standards for Accessible Design, 403.5.1: 36 in clear width (met in copies of the text)."""
    assert LEAST_WIDTH_FT == 36 / 12


def test_on_open_ground_people_walk_where_it_is_wanted():
    assert walkway(made_scene(), -50.0, 20.0) == 20.0
    assert gaps(made_scene(), -50.0) == [(0.0, math.inf)]


@pytest.mark.parametrize(
    ("room_ft", "free"), [(2.9, False), (3.0, True), (3.1, True)], ids=["below", "at", "above"]
)
def test_beside_a_wall_there_is_room_from_the_least_width_on(room_ft, free):
    scene = beside(wall(EDGE_FT + room_ft))
    stop = first_stop(scene, Toward.BEHIND, 100.0)
    assert (stop is None) is free
    assert (walkway(scene, -50.0, 20.0) is not None) is free
    if stop is not None:
        assert (stop.distance_ft, stop.beside) == (0.0, "the wall")
        assert stop.room_ft == pytest.approx(room_ft)


def test_the_way_never_runs_through_a_wall_nor_nearer_to_it_than_half_the_least_width():
    for offset_ft in (9.5, 12.0, 16.5, 25.0):
        scene = beside(wall(offset_ft))
        for station in range(-300, 1, 7):
            at = walkway(scene, station, 20.0)
            assert EDGE_FT + LEAST_WIDTH_FT / 2 <= at <= offset_ft - LEAST_WIDTH_FT / 2


def test_a_parked_truck_is_passed_on_its_far_side():
    truck = Outline("the parked truck", ((-80, 6.8), (-80, 15.3), (-40, 15.3), (-40, 6.8)))
    scene = beside(truck)
    assert walkway(scene, -60.0, 12.0) == pytest.approx(15.3 + LEAST_WIDTH_FT / 2)
    assert walkway(scene, -100.0, 12.0) == 12.0
    assert first_stop(scene, Toward.BEHIND, 500.0) is None


def test_a_truck_against_a_wall_ends_the_walk_where_it_begins():
    truck = Outline("the parked truck", ((-80.5, 6.8), (-80.5, 15.3), (-40.5, 15.3), (-40.5, 6.8)))
    stop = first_stop(beside(truck, wall(17.0)), Toward.BEHIND, 500.0)
    assert (stop.distance_ft, stop.beside) == (40.0, "the parked truck")


def test_a_wall_on_the_other_side_of_the_road_ends_no_walk():
    assert first_stop(beside(wall(-19.0)), Toward.BEHIND, 500.0) is None


def test_the_mirror_image_has_the_same_room():
    scene = beside(wall(EDGE_FT + 2.0, -400.0, -150.0))
    stops = [first_stop(one, Toward.BEHIND, 500.0) for one in (scene, scene.mirrored())]
    assert stops[0] == stops[1]
    assert stops[0].distance_ft == 149.0
    assert lane_edge_ft(scene.mirrored()) == -lane_edge_ft(scene)


def test_ahead_of_the_vehicle_distances_count_from_its_front():
    stop = first_stop(beside(wall(EDGE_FT + 2.0, 70.0 + 60.0, 400.0)), Toward.AHEAD, 500.0)
    assert (stop.toward, stop.distance_ft) == (Toward.AHEAD, 59.0)


def bend(room_ft):
    """A bend of 500 ft radius with rock along it, and from 120 ft behind the vehicle on little room."""
    road = Road(Alignment(-700, (Arc(700, 500, Turn.RIGHT), Tangent(500))), carriageways=WAYS)
    rocks = (Strip("the rock", -120, 30, 22), Strip("the rock", -700, -120, EDGE_FT + room_ft))
    return made_scene(road=road, blockers=rocks, visibility="daylight", detection_ft=None)


def test_a_device_moves_no_farther_than_there_is_room_to_walk():
    free, held = (solve(US, bend(room_ft))[0] for room_ft in (12.0, 2.0))

    def farthest(solved):
        return max(one.distance_ft for one in solved.devices if one.toward is Toward.BEHIND)

    assert farthest(free) > 120
    assert farthest(held) <= 120 - 1
    assert all(device.reached for device in held.devices)


def test_a_device_that_nobody_can_walk_to_warns_nobody():
    scene = beside(wall(EDGE_FT + 2.0, -400.0, -60.0))
    solved, views = solve(US, scene)
    reached = {(one.toward, one.distance_ft): one.reached for one in solved.devices}
    assert reached == {(Toward.BEHIND, 10): True, (Toward.BEHIND, 100): False, (Toward.AHEAD, 100): True}
    view = views[Toward.BEHIND]
    counted = [(one.distance_ft, one.across) for one in solved.devices[:1]]
    assert solved.approach(Toward.BEHIND).warning_ft == US.down_ft(view.warning_ft(counted))


def test_nobody_is_sent_past_the_end_of_the_room_in_text_values_and_scene_page():
    scene = beside(wall(EDGE_FT + 2.0, -400.0, -60.0))
    solved = place_in_scene(US, scene)
    values = as_values(US, solved.placement)
    assert values["walk"]["stops"] == [
        {"toward": "behind", "distance_ft": 59, "room_ft": 2, "beside": "the wall"}
    ]
    assert [one["reached"] for one in values["devices"]] == [True, False, True]
    walked = " ".join(values["walk"]["order"])
    assert "Do not walk back from the rear farther than 59 ft." in walked
    assert "100 ft (40 paces) from the vehicle. Set device 2" not in walked
    assert values["walk"]["distance_ft"] == 2 * (10 + 100)
    assert any("no room to walk clear of the traffic to device 2" in said for said in values["cautions"])
    explained = explain(US, solved)
    assert "Nobody walks there" in explained.devices[1].seen
    assert any("Do not walk back" in sentence for sentence in explained.walk)


def test_where_nobody_can_walk_at_all_nobody_is_reported_to_carry_or_to_hurry():
    solved, _ = solve(US, beside(wall(EDGE_FT + 1.0)))
    assert solved.walk.distance_ft == 0
    said = " ".join(texts(US, solved.cautions))
    assert "Hold each triangle" not in said
    assert "Have the devices out" not in said
    assert "Life goes before the rule" in said


TWO_LANE = Situation(RoadKind.TWO_LANE, 55, 500.0)


@pytest.mark.parametrize(
    ("left_s", "late"), [(114.9, False), (114.0, False), (113.9, True)], ids=["above", "at", "below"]
)
def test_the_walk_is_set_against_the_time_that_is_left(left_s, late):
    """400 ft at 3.5 ft/s (MUTCD walking speed) is 114 s."""
    placed = place(US, TWO_LANE, left_s)
    assert placed.walk.seconds == 114
    assert as_values(US, placed)["walk"]["limit_s"] == pytest.approx(left_s)
    said = [caution for caution in texts(US, placed.cautions) if "longer than" in caution]
    assert bool(said) is late
    if late:
        assert "Life goes before the rule" in said[0]
        assert US.layout(RoadKind.TWO_LANE, 55).leave_out_first in said[0]


def test_without_time_left_told_the_walk_is_set_against_the_rules_ten_minutes():
    """49 CFR 392.22(b)(1)."""
    assert place(US, TWO_LANE).walk.limit_s == 600
    assert place(replace(US, time_limit_s=100.0), TWO_LANE).walk.share_of_limit > 1


def test_a_scene_on_the_other_side_of_the_road_says_so_with_its_answer():
    here, there = made_scene(), made_scene().mirrored()
    wrong = "Traffic keeps left on this road, and right under this rule set."
    assert "Traffic keeps" not in " ".join(texts(US, solve(US, here)[0].cautions))
    assert text(US, solve(US, there)[0].cautions[-1]).startswith(wrong)
    uk = rule_file("uk").rule_set
    assert "Traffic keeps" not in " ".join(texts(uk, solve(uk, there)[0].cautions))
