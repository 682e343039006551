"""The scenes that the project ships: realistic roads, every first sight verified by a second method."""

import math
from pathlib import Path

import numpy as np
import pytest
from forty_paces.authoring.binding import plain
from forty_paces.authoring.models.scene import SceneFile
from forty_paces.authoring.yaml_tree import parse_file
from forty_paces.geometry.records import RoadKind, Toward
from forty_paces.geometry.road import Arc
from forty_paces.geometry.scene import Light, Strip
from forty_paces.geometry.sight import EYE_HEIGHT_FT, vehicle_target
from forty_paces.geometry.solver import place_in_scene, solve
from forty_paces.messages.scenes import explain

from tests.geometry.closed_forms import sag_headlight_sight_ft
from tests.geometry.walked_road import Walked, first_lost, seen_in_plan, seen_in_profile, seen_over
from tests.published import published
from tests.rule_files import names, rule_file

FOLDER = Path(__file__).resolve().parents[2] / "content" / "scenes"
NAMES = sorted(file.stem for file in FOLDER.glob("*.yml"))
US = rule_file("us").rule_set
RADII = published("minimum_radius")


def scene_file(name):
    tree, findings = parse_file(FOLDER / f"{name}.yml", name)
    assert not findings
    return SceneFile.model_validate(plain(tree))


SCENES = {name: scene_file(name).scene() for name in NAMES}


def test_there_is_a_scene_of_every_kind():
    kinds = {scene.kind for scene in SCENES.values()}
    assert kinds == set(RoadKind)
    assert {scene.light for scene in SCENES.values()} == set(Light)
    assert len(SCENES) >= 14
    assert any(scene.can_roll for scene in SCENES.values())
    assert any(scene.road.profile.has_crest for scene in SCENES.values())


def test_files_are_named_and_numbered_without_doubles():
    assert [scene.id for scene in SCENES.values()] == NAMES
    assert sorted(scene.position for scene in SCENES.values()) == list(range(1, len(SCENES) + 1))


def test_scenes_teach_different_answers():
    """Devices that stay, that move toward either side, and warnings that fall short all occur."""
    answers = [place_in_scene(US, scene) for scene in SCENES.values()]
    moved = {device.toward for answer in answers for device in answer.placement.devices if device.moved}
    assert moved == {Toward.BEHIND, Toward.AHEAD}
    short = [answer for answer in answers if not all(a.ample for a in answer.placement.approaches)]
    assert 3 <= len(short) < len(answers) / 2
    assert any(answer.roll_ft for answer in answers)
    hiding = {side.hidden_by for answer in answers for side in answer.sides if side.hidden_by}
    assert len(hiding) >= 10


@pytest.mark.parametrize("name", NAMES)
def test_no_bend_is_sharper_than_its_posted_speed_allows(name):
    """AASHTO Green Book, minimum radius V²/(15(e + f)) with the steepest cross slope in snow country."""
    scene = SCENES[name]
    friction = RADII["side_friction"][int(scene.speed_mph)]
    least = scene.speed_mph**2 / (15 * (RADII["highest_cross_slope"] + friction))
    radii = [piece.radius_ft for piece in scene.road.alignment.pieces if isinstance(piece, Arc)]
    assert all(radius >= least for radius in radii)


@pytest.mark.parametrize("name", NAMES)
def test_nothing_that_blocks_the_view_stands_on_the_pavement(name):
    """Except parked vehicles on the shoulder, clear of the lanes."""
    scene = SCENES[name]
    way = scene.road.carriageways[0]
    low, high = way.lanes[0].left_ft, way.lanes[-1].right_ft
    for blocker in scene.blockers:
        offsets = (
            [blocker.offset_ft] if isinstance(blocker, Strip) else [offset for _, offset in blocker.corners]
        )
        clear = [offset for offset in offsets if offset <= low or offset >= high]
        assert clear == offsets
        if isinstance(blocker, Strip):
            assert blocker.offset_ft <= way.left_ft or blocker.offset_ft >= way.right_ft


@pytest.mark.parametrize("name", NAMES)
def test_the_vehicle_stands_on_the_pavement_and_the_road_is_described_around_it(name):
    scene = SCENES[name]
    way = scene.road.carriageways[0]
    half = scene.vehicle.width_ft / 2
    assert way.left_ft <= scene.vehicle.offset_ft - half
    assert scene.vehicle.offset_ft + half <= way.right_ft
    assert scene.road.alignment.start_ft <= -600
    assert scene.road.alignment.end_ft >= scene.vehicle.length_ft + 500


@pytest.mark.parametrize("name", NAMES)
def test_the_hiding_place_of_every_scene_agrees_with_shapely(name):
    """GEOS (shapely) on the road sampled foot by foot: walls, low walls and crests together."""
    scene = SCENES[name]
    walked = Walked(scene.road.alignment, -1600, 1600)
    eye_ft = EYE_HEIGHT_FT[scene.eye]
    for toward, view in solve(US, scene)[1].items():
        for lane_view in view.lanes:
            assert_agrees(scene, walked, eye_ft, toward, lane_view)


def assert_agrees(scene, walked, eye_ft, toward, view):
    """Compare the available sight distance of one lane with a road sampled foot by foot."""
    target, lane = vehicle_target(scene, toward), view.watch.offset_ft
    limit = math.floor(view.horizon_ft)
    forward = toward is Toward.BEHIND
    seen = seen_in_profile(scene.road.profile, target, eye_ft, forward, limit)
    for blocker in scene.blockers:
        if math.isinf(blocker.height_ft):
            seen = seen & seen_in_plan(walked, [blocker], target, lane, forward, limit)
        else:
            profile = scene.road.profile
            seen = seen & seen_over(walked, profile, blocker, target, lane, eye_ft, forward, limit)
    expected = first_lost(np.asarray(seen))
    if math.isinf(expected):
        assert view.vehicle.distance_ft > limit - 1
    else:
        assert view.vehicle.distance_ft == pytest.approx(expected + 0.5, abs=1.5)


@pytest.mark.parametrize("name", NAMES)
def test_every_sentence_of_every_scene_can_be_said(name):
    words = explain(US, place_in_scene(US, SCENES[name]))
    said = [part for device in words.devices for part in (device.where, device.why, device.seen)]
    said += [part for side in words.sides for part in (side.view, side.without, side.gained, side.needed)]
    assert all(part.endswith(".") and "{" not in part and "inf" not in part for part in said)


@pytest.mark.parametrize("rules", [rule_file(name).rule_set for name in names()], ids=names())
def test_every_rule_set_has_an_answer_for_every_scene(rules):
    """With traffic on the rule set's side and on the other; a carrier may change the rules in force."""
    for scene in SCENES.values():
        for here in (scene, scene.mirrored()):
            solved = place_in_scene(rules, here)
            words = explain(rules, solved)
            assert len(words.devices) == len(solved.placement.devices)
            assert len(words.sides) == len(solved.placement.approaches) >= 1


def test_headlights_reach_as_far_into_the_dip_as_the_file_says():
    """AASHTO Green Book, sag curves by headlight: the detection range is the reach, rounded down to 5 ft."""
    dip = SCENES["millrace-dip"]
    (pvi,) = dip.road.profile.pvis
    rate = pvi.curve_ft / (pvi.grade_out_pct - dip.road.profile.first_grade_pct)
    assert 0 <= sag_headlight_sight_ft(rate) - dip.detection_ft < 5


def test_an_older_crest_is_sharper_than_its_speed_asks_for():
    """Green Book K 114 at 55 mph: verifies the comment in the file."""
    crest = SCENES["drover-crest"].road.profile
    (pvi,) = crest.pvis
    assert pvi.curve_ft / (crest.first_grade_pct - pvi.grade_out_pct) == pytest.approx(58, abs=0.5)
