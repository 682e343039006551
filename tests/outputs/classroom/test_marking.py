"""Marking: right, wrong, at the limits of the tolerance, missing, and extra devices."""

import itertools

import pytest
from forty_paces.geometry.records import Toward
from forty_paces.messages.classroom import VERDICTS, WRONG_ACROSS
from forty_paces.outputs.classroom.marking import SetDevice, Verdict, mark, verdict
from forty_paces.outputs.classroom.placing_tasks import Expected
from hypothesis import given
from hypothesis import strategies as st

from tests.outputs.classroom.dealing import score

SIDE, CENTER = "traffic side", "center of lane or shoulder"


def expected(toward, distance, across, low, high, open_ft=()):
    paces, economic = distance * 2 // 5, distance * 1.5
    return Expected(toward, distance, paces, across, low, high, open_ft, economic, 10, bool(open_ft), "", "")


TWO_LANE = (
    expected(Toward.BEHIND, 10, SIDE, 8, 12),
    expected(Toward.BEHIND, 310, CENTER, 310, 341, ((310, 400), (450, 500))),
    expected(Toward.AHEAD, 100, CENTER, 90, 110),
)


def attempt(*devices):
    return [SetDevice(Toward(toward), distance, across) for toward, distance, across in devices]


def verdicts(marks):
    return [one.verdict.value for one in marks]


def test_the_computed_placement_is_all_right():
    marks = mark(TWO_LANE, attempt(("behind", 10, SIDE), ("behind", 310, CENTER), ("ahead", 100, CENTER)))
    assert ["right", "right", "right"] == verdicts(marks)
    assert (3, 3) == score(marks)


def test_the_order_in_which_they_were_set_does_not_matter():
    devices = [("behind", 10, SIDE), ("behind", 310, CENTER), ("ahead", 100, CENTER)]
    for order in itertools.permutations(devices):
        assert (3, 3) == score(mark(TWO_LANE, attempt(*order)))


@pytest.mark.parametrize(
    ("distance", "said"),
    [(89, "too-near"), (90, "right"), (110, "right"), (111, "too-far")],
)
def test_the_tolerance_has_a_sharp_edge_on_both_sides(distance, said):
    assert said == verdict(TWO_LANE[2], distance).value


@pytest.mark.parametrize(
    ("distance", "said"),
    [
        (309, "too-near"),
        (310, "right"),
        (341, "right"),
        (342, "ample"),
        (400, "ample"),
        (401, "too-far"),
        (449, "too-far"),
        (450, "ample"),
        (465, "ample"),
        (466, "long-walk"),
        (500, "long-walk"),
        (501, "too-far"),
    ],
)
def test_a_moved_device_is_right_wherever_the_rule_lets_it_stand_and_the_warning_is_ample(distance, said):
    assert said == verdict(TWO_LANE[1], distance).value


def test_ample_warning_beyond_one_and_a_half_times_the_computed_distance_earns_half():
    near, ahead = ("behind", 10, SIDE), ("ahead", 100, CENTER)
    scores = [score(mark(TWO_LANE, attempt(near, ("behind", d, CENTER), ahead)))[0] for d in (465, 466, 500)]
    assert [3, 2.5, 2.5] == scores
    wrong_place = mark(TWO_LANE, attempt(near, ("behind", 500, SIDE), ahead))
    assert (2, 3) == score(wrong_place)


def test_within_a_distance_nearer_is_right_and_farther_is_not():
    within = expected(Toward.BEHIND, 10, SIDE, 0, 10)
    assert ["right", "right", "too-far"] == [verdict(within, distance).value for distance in (0, 10, 11)]


def test_a_device_on_the_wrong_side_is_missing_there_and_one_too_many_here():
    marks = mark(TWO_LANE, attempt(("behind", 10, SIDE), ("behind", 310, CENTER), ("behind", 100, CENTER)))
    assert ["right", "right", "missing", "extra"] == verdicts(marks)
    assert (1, 3) == score(marks)


def test_the_right_distance_in_the_wrong_place_across_does_not_count():
    marks = mark(TWO_LANE, attempt(("behind", 10, CENTER), ("behind", 310, CENTER), ("ahead", 100, CENTER)))
    assert ["right", "right", "right"] == verdicts(marks)
    assert not marks[0].points
    assert (2, 3) == score(marks)


def test_nothing_set_is_all_missing_and_scores_nothing():
    marks = mark(TWO_LANE, [])
    assert ["missing"] * 3 == verdicts(marks)
    assert (0, 3) == score(marks)


@given(st.integers(0, 600), st.integers(0, 600), st.integers(0, 600))
def test_moving_every_device_to_the_other_side_never_scores_better_than_setting_it_right(near, far, ahead):
    best = score(
        mark(TWO_LANE, attempt(("behind", 10, SIDE), ("behind", 310, CENTER), ("ahead", 100, CENTER)))
    )
    other = attempt(("ahead", near, SIDE), ("ahead", far, CENTER), ("behind", ahead, CENTER))
    assert score(mark(TWO_LANE, other))[0] < best[0]


@given(st.integers(0, 1000))
def test_every_distance_has_one_verdict(distance):
    assert verdict(TWO_LANE[1], distance) in set(Verdict) - {Verdict.MISSING, Verdict.EXTRA}


def test_every_verdict_has_words_and_another_for_a_wrong_place_across():
    assert {verdict.value for verdict in Verdict} == set(VERDICTS)
    assert set(WRONG_ACROSS) == set(VERDICTS) - {"missing", "extra"}, "these have nothing to compare with"
