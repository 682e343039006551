"""Placing tasks: all possible, all solved, with the answers of the engine."""

from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from forty_paces.geometry.records import Toward
from forty_paces.geometry.solver import place_in_scene
from forty_paces.outputs.classroom.marking import (
    POINTS,
    SetDevice,
    Verdict,
    counts,
    lazy_attempts,
    mark,
    verdict,
)
from forty_paces.outputs.classroom.placing_tasks import (
    FASTEST_MPH,
    SLOWEST_MPH,
    is_possible,
    scene_task,
    situations,
    tasks,
    tolerance_ft,
)

from tests.outputs.classroom.dealing import ROUND, sequence
from tests.outputs.classroom.lesson_samples import real_library
from tests.soaking import sample

LIBRARY = real_library()
RULES = LIBRARY.rules["us"].rule_set
GROUPS = situations(RULES, LIBRARY.scenes.values())


@pytest.fixture(scope="module")
def solved():
    return [task for group in tasks(RULES, GROUPS) for task in group]


def test_every_scene_is_among_the_situations_but_the_one_without_room_to_walk():
    """On Gorge Bridge 1.5 ft are left between lane and parapet: nobody is taught to place a device there."""
    asked = [group[0].id for group in GROUPS]
    assert asked == [name for name in LIBRARY.scenes if name != "gorge-bridge"]


def test_a_scene_is_never_shown_in_a_better_light_than_its_own():
    for group in GROUPS:
        own = LIBRARY.scenes[group[0].id]
        if own.detection_ft is None:
            reach = RULES.detection_ft(own.visibility)
            assert all(RULES.detection_ft(one.visibility) <= reach for one in group)
        else:
            assert {own.detection_ft} == {one.detection_ft for one in group}


@pytest.mark.soak
def test_every_answer_is_the_engines(solved):
    for task in sample(solved, 50):
        placement = place_in_scene(RULES, task.scene).placement
        assert sorted(
            (d.toward, d.distance_ft, d.paces, d.across, d.moved) for d in placement.devices
        ) == sorted((one.toward, one.distance_ft, one.paces, one.across, one.moved) for one in task.expected)


def test_the_engines_answer_scores_full_marks_in_every_situation(solved):
    for task in solved:
        attempt = [SetDevice(one.toward, one.distance_ft, one.across) for one in task.expected]
        assert counts(mark(task.expected, attempt))


def test_the_tolerance_is_a_tenth_and_never_less_than_a_pace():
    assert RULES.pace_ft == tolerance_ft(RULES, 10)
    assert (10, 20, 31) == tuple(round(tolerance_ft(RULES, distance), 6) for distance in (100, 200, 310))


def test_a_moved_device_is_never_right_nearer_than_the_computed_place(solved):
    moved = [one for task in solved for one in task.expected if one.moved]
    for one in moved:
        assert {Verdict.TOO_NEAR} == {verdict(one, ft) for ft in range(int(one.distance_ft))}
        assert Verdict.RIGHT is verdict(one, one.distance_ft)
    assert len(moved) > 50


def test_no_situation_with_a_moved_device_counts_for_whoever_moves_nothing(solved):
    moved = [task for task in solved if any(one.moved for one in task.expected)]
    for task in moved:
        stayed, _, _ = lazy_attempts(task)
        assert not counts(mark(task.expected, stayed)), task.id
    assert len(solved) >= 130
    assert len(moved) >= 60


def lazy_shares(tasks):
    """The share of situations that count, by strategy of lazy_attempts, from 0 to 1."""
    every = [[counts(mark(task.expected, attempt)) for attempt in lazy_attempts(task)] for task in tasks]
    return tuple(sum(by_strategy) / len(every) for by_strategy in zip(*every, strict=True))


def test_whoever_always_goes_as_far_as_the_rule_allows_fails(solved):
    """500 ft for the farthest device of every side; for the last share, only where the view is hidden."""
    moved = [task for task in solved if any(one.moved for one in task.expected)]
    assert 0.3 > lazy_shares(solved)[1]
    assert 0 == lazy_shares(moved)[0]
    assert 0.3 > max(lazy_shares(moved))
    for task in solved:
        _, out, _ = lazy_attempts(task)
        far = [one.distance_ft for one in out if one.distance_ft > 200]
        assert far
        assert {500} == set(far)


def test_a_situation_counts_only_with_every_device_in_full_and_none_too_many(solved):
    task = next(task for task in solved if len(task.expected) == 3)
    right = [SetDevice(one.toward, one.distance_ft, one.across) for one in task.expected]
    assert counts(mark(task.expected, right))
    assert not counts(mark(task.expected, right[:2]))
    assert not counts(mark(task.expected, [*right, right[0]]))
    assert not counts(mark(task.expected, [replace(right[0], across="elsewhere"), *right[1:]]))


RANGES_LEFT_OPEN = ("us", "australia-sa", "australia-tas")
"""Rule sets with so many right distances that three situations of a scene are enough: in the best light,
in the worst, and one between."""


@pytest.mark.soak
@pytest.mark.parametrize(
    "name",
    ["us", *(pytest.param(name, marks=pytest.mark.long) for name in sorted(set(LIBRARY.rules) - {"us"}))],
)
def test_no_answer_marked_right_leaves_drivers_less_warning_than_they_need(name):
    """Each device at the worst of its right distances; if none is ample, no worse than the computed one."""
    rules = LIBRARY.rules[name].rule_set
    tried = 0
    asked = situations(rules, LIBRARY.scenes.values())
    if name in RANGES_LEFT_OPEN:
        asked = [sample(group, 3) for group in asked]
    for task in (task for group in tasks(rules, asked) for task in group):
        for approach in task.solved.placement.approaches:
            worst = approach.vehicle_only_ft
            for one in (one for one in task.expected if one.toward is approach.toward):
                right_ft = [ft for ft in whole_units_ft(task.lengths, rules) if verdict(one, ft) in POINTS]
                view = task.side(one.toward).view
                worst = max(worst, min(view.warning_ft([(ft, one.across)]) for ft in right_ft))
                tried += len(right_ft)
            needed = min(rules.up_ft(approach.needed_ft), approach.warning_ft)
            assert rules.down_ft(worst) >= needed - 1e-6, task.id
    assert tried > 600


@cache
def whole_units_ft(lengths, rules):
    return [lengths.ft(count) for count in range(lengths.down(1.1 * rules.farthest_ft) + 1)]


def test_the_farthest_ample_place_earns_half_where_a_much_shorter_walk_warns_as_well(solved):
    """Setting 500 ft everywhere gives enough warning, with needless walking beside traffic."""
    ranges = [(one, one.open_ft[-1][1]) for task in solved for one in task.expected if one.open_ft]
    far = [(one, farthest) for one, farthest in ranges if farthest > 1.5 * one.distance_ft]
    assert {Verdict.LONG_WALK} == {verdict(one, farthest) for one, farthest in far}
    assert Verdict.LONG_WALK not in {verdict(one, one.economic_ft) for one, _ in far}
    assert len(far) > len(ranges) / 2


def test_an_open_range_is_ample_at_every_step_and_in_no_step_beside_it(solved):
    """The marking agrees with the warning distance that the engine computes for a device there."""
    tried = 0
    for task in solved:
        for one in task.expected:
            if not one.open_ft:
                continue
            side, approach = task.side(one.toward), task.solved.placement.approach(one.toward)
            others = [p for p in task.solved.devices if p.device.toward is one.toward]
            others = [p for p in others if round(p.device.distance_ft) != one.distance_ft]
            fixed = max([approach.vehicle_only_ft, *(p.sight.warning_ft for p in others if p.sight)])
            base = 200 if len(others) == 2 else 100
            for point in side.curve:
                if point.distance_ft % 10 or not base <= point.distance_ft <= 500:
                    continue
                ample = RULES.down_ft(max(fixed, point.warning_ft)) >= RULES.up_ft(approach.needed_ft)
                inside = any(low <= point.distance_ft <= high for low, high in one.open_ft)
                assert ample is inside, (task.id, point.distance_ft)
                tried += 1
    assert tried > 500


def test_a_device_that_the_rule_fixes_has_no_open_range(solved):
    for task in solved:
        for one in task.expected:
            if one.distance_ft == 10:
                assert one.open_ft == ()
                assert verdict(one, 20) is Verdict.TOO_FAR


def test_devices_move_in_many_situations_and_stay_in_many_others(solved):
    moved = sum(any(one.moved for one in task.expected) for task in solved)
    assert len(solved) * 0.2 < moved < len(solved) * 0.8


NOWHERE_LAZY = [[0] * len(group) for group in GROUPS]
"""No strategy of doing nothing, or of always going far, is right anywhere."""


def test_a_number_deals_every_scene_once_before_any_comes_again():
    dealt = [scene for scene, _ in sequence(NOWHERE_LAZY, 17, ROUND * len(GROUPS))]
    whole_rounds = len(GROUPS) // ROUND * ROUND
    assert len(set(dealt[:whole_rounds])) == whole_rounds
    assert Counter(dealt) == dict.fromkeys(range(len(GROUPS)), ROUND)
    assert sequence(NOWHERE_LAZY, 17, 20) == sequence(NOWHERE_LAZY, 17, 20)
    assert sequence(NOWHERE_LAZY, 17, 20) != sequence(NOWHERE_LAZY, 18, 20)


def test_a_thousand_numbers_give_no_impossible_situation():
    for number in range(1000):
        for scene, variant in sequence(NOWHERE_LAZY, number, 20):
            assert variant in range(len(GROUPS[scene]))
    for group in GROUPS:
        for scene in group:
            assert is_possible(RULES, scene)
            assert SLOWEST_MPH <= scene.speed_mph <= FASTEST_MPH


def test_every_device_stands_on_the_described_road_or_its_straight_end(solved):
    for task in solved:
        for one in task.expected:
            assert 0 < one.distance_ft <= 500
            assert one.low_ft <= one.distance_ft <= one.high_ft


def test_a_divided_road_asks_for_no_device_ahead(solved):
    for task in solved:
        ahead = [one for one in task.expected if one.toward is Toward.AHEAD]
        assert bool(ahead) is (task.scene.kind.value == "two-lane")


def test_the_authors_own_scene_is_a_task_too():
    task = scene_task(RULES, LIBRARY.scenes["drover-crest"])
    assert [10, 210, 100] == [one.distance_ft for one in task.expected]
