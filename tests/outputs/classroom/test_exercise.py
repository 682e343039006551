"""The placing exercise's table: what the script looks up is what the engine computed."""

import json
import math

import pytest
from bs4 import BeautifulSoup
from forty_paces.drawing.scene_blank import SCREEN, blank_plan
from forty_paces.geometry.records import Toward
from forty_paces.outputs.classroom.exercise import exercise_html, reach_of, table
from forty_paces.outputs.classroom.forms import (
    SITE_FORMS,
    SITE_NUMBER,
    RoadPurpose,
    difficulty,
    form_tasks,
    kind_of,
)
from forty_paces.outputs.classroom.marking import counts, lazy_attempts, mark
from forty_paces.outputs.classroom.placing_tasks import situations, tasks
from forty_paces.outputs.common.context import BuildContext

from tests.outputs.classroom.dealing import ROUND, lazy_in, sequence
from tests.outputs.classroom.lesson_samples import PROJECT, real_library

LIBRARY = real_library()
RULES = LIBRARY.rules["us"].rule_set
STEP_FT, REACH_FT = 10, 550
SCENES = ("quarry-bend", "drover-crest", "basin-highway-right", "mercer-street")


@pytest.fixture(scope="module")
def groups():
    return tasks(RULES, situations(RULES, [LIBRARY.scenes[name] for name in SCENES]))


@pytest.fixture(scope="module")
def data(groups):
    plans = [blank_plan(group[0].solved, RULES, prefix="p", room=SCREEN) for group in groups]
    return table(RULES, groups, plans)


@pytest.fixture(scope="module")
def html():
    return exercise_html(BuildContext(LIBRARY, PROJECT / "site_overrides"))


def test_every_task_carries_its_expected_devices(groups, data):
    for group, found in zip(groups, data["tasks"], strict=True):
        for task, one in zip(group, found, strict=True):
            assert task.id == one["id"]
            assert [
                (e.toward.value, e.distance_ft, e.paces, e.across, e.low_ft, e.high_ft, e.why)
                for e in task.expected
            ] == [
                (
                    e["toward"],
                    e["distance"],
                    e["paces"],
                    data["across"][e["across"]],
                    e["low"],
                    e["high"],
                    data["whys"][e["why"]],
                )
                for e in one["expected"]
            ]


def test_every_warning_is_the_engines_for_a_device_tried_there(groups, data):
    for group, found in zip(groups, data["tasks"], strict=True):
        for task, one in zip(group, found, strict=True):
            for side in one["sides"]:
                toward = Toward(side["toward"])
                approach = task.solved.placement.approach(toward)
                seen = task.side(toward)
                curve = {
                    ft: min(lane.warning_ft([(ft, across)]) for lane in seen.view.lanes)
                    for ft, across in seen.tried
                }
                assert math.ceil(approach.needed_ft - 1e-6) == side["needed"]
                assert math.floor(approach.vehicle_only_ft) >= side["needed"] or not side["alone_ample"]
                for place, feet in enumerate(data["curves"][side["curve"]], start=1):
                    assert math.floor(curve[place * STEP_FT] + 1e-6) == feet
                    ample = feet >= side["needed"]
                    assert ("1" if ample else "0") == side["ample"][place - 1]


def test_every_curve_runs_over_the_same_distances(data):
    assert {len(curve) for curve in data["curves"]} == {50}


def test_a_device_can_be_set_a_tenth_beyond_the_farthest_that_the_rule_moves_one(data):
    """49 CFR 392.22(b)(2)(iv): 100 to 500 feet."""
    assert REACH_FT == reach_of(RULES) == data["reach"]
    assert STEP_FT == data["step"]


def test_points_are_given_for_every_step_on_both_sides(data):
    for scene in data["scenes"]:
        for side in (*scene["stand"], *scene["flag"]):
            assert 2 * (REACH_FT // STEP_FT + 1) == len(side)


def test_every_device_that_can_be_set_is_drawn_within_the_picture_of_its_road(html):
    """A triangle is 32 wide and 27 high, from 16 above its point; points are given in tenths."""
    page = BeautifulSoup(html, "html.parser")
    data = json.loads(page.find("script", id="table").string)
    for scene, road in zip(data["scenes"], page.select(".stage__above svg"), strict=True):
        left, top, width, height = map(float, road["viewbox"].split())
        sides = scene["flag"] if scene["road"].startswith("two-lane") else scene["flag"][:1]
        for points in sides:
            on_road = [
                at for at in zip(points[::2], points[1::2], strict=True) if left < at[0] < left + width
            ]
            assert len(on_road) > 10
            for x, y in on_road:
                assert left <= x - 16
                assert x + 16 <= left + width
                assert top <= y - 16
                assert y + 11 <= top + height + 0.1


def test_the_page_stands_alone(html):
    assert "default-src &#39;none&#39;" in html
    assert " style=" not in html
    data = html.split('<script type="application/json" id="table">')[1].split("</script>")[0]
    found = json.loads(data)
    assert len(situations(RULES, LIBRARY.scenes.values())) == found["practice"]
    assert found["practice"] + 4 * SITE_FORMS == len(found["scenes"]) == len(found["tasks"])


def test_the_tests_are_those_on_paper_with_the_same_marks_and_their_difficulty(html):
    data = json.loads(html.split('<script type="application/json" id="table">')[1].split("</script>")[0])
    assert [form["name"] for form in data["forms"]] == ["1 A", "1 B", "1 C", "1 D"]
    for variant, form in enumerate(data["forms"]):
        for task, scene in zip(form_tasks(RULES, SITE_NUMBER, variant), form["scenes"], strict=True):
            (found,) = data["tasks"][scene]
            assert (found["id"], data["scenes"][scene]["title"]) == (task.id, task.scene.title)
            assert difficulty(task) in data["scenes"][scene]["place"]
            assert [(one["distance"], one["low"], one["high"]) for one in found["expected"]] == [
                (one.distance_ft, one.low_ft, one.high_ft) for one in task.expected
            ]
            assert bool(found["lazy"]) is (kind_of(task) is RoadPurpose.STRAIGHT)


def test_a_practice_situation_is_lazy_where_to_move_nothing_or_everything_counts(groups, data):
    seen = set()
    for group, found in zip(groups, data["tasks"], strict=True):
        for task, one in zip(group, found, strict=True):
            never, always, _ = lazy_attempts(task)
            right = tuple(counts(mark(task.expected, attempt)) for attempt in (never, always))
            assert bool(one["lazy"]) is any(right)
            seen.add(right)
    assert {(True, False), (False, True), (False, False)} == seen


def test_of_every_four_situations_in_a_row_a_lazy_strategy_is_right_in_one_at_most(html):
    """25 percent, on every sheet, whichever of the two strategies it is."""
    lazy = lazy_in(html)
    seen = set()
    for number in range(300):
        dealt = sequence(lazy, number, 40)
        seen.update(dealt)
        for at in range(0, len(dealt), ROUND):
            assert sum(lazy[scene][variant] for scene, variant in dealt[at : at + ROUND]) == 1, number
    assert seen == {(scene, variant) for scene, one in enumerate(lazy) for variant in range(len(one))}


def test_a_road_that_rises_and_falls_is_drawn_from_the_side_too_and_the_need_is_stated(html):
    page = BeautifulSoup(html, "html.parser")
    scenes = situations(RULES, LIBRARY.scenes.values())
    roads = page.select(".stage__road")
    for (scene, *_), road in zip(scenes, roads[: len(scenes)], strict=True):
        assert bool(scene.road.profile.pvis) is (road.select_one(".stage__side svg.fp-profile") is not None)
        assert [] == road.select(".fp-device-place, .fp-sight, .fp-hidden")
    data = json.loads(page.find("script", id="table").string)
    for group in data["tasks"]:
        for task in group:
            for side in task["sides"]:
                assert f"{side['needed']} ft" in data["needs"][task["need"]]


def test_without_scripts_every_scene_of_the_exercise_is_there_with_its_answer_folded_away(html):
    plain = html.split("<noscript>")[1].split("</noscript>")[0]
    assert len(situations(RULES, LIBRARY.scenes.values())) == plain.count("<details>")
    assert "open" not in plain.split("<details")[1].split(">")[0]
