"""Crests and braking stretches in closed form against the foot-by-foot walk, over random roads."""

import random

import pytest
from forty_paces.geometry import sight
from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.records import Surface, Toward
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn, two_lane
from forty_paces.geometry.scene import Eye, Strip
from forty_paces.geometry.sight import DEVICE_TARGET_FT, TAIL_LAMP_FT, Target
from forty_paces.geometry.solver import braking_grade_pct
from forty_paces.geometry.stopping import CannotStop, needed_sight_ft

from tests.geometry.made_scene import made_scene
from tests.geometry.slow_walk import walked_braking_grade_pct, walked_intervals

SEEDS = range(60)


def random_profile(chance):
    """One to four curves or sharp breaks within 1,500 ft of the vehicle."""
    pvis, reached = [], chance.uniform(-1500, -500)
    for _ in range(chance.randint(1, 4)):
        curve = chance.choice([0.0, chance.uniform(20, 200), chance.uniform(200, 1500)])
        station = reached + curve / 2 + chance.uniform(1, 400)
        pvis.append(Pvi(station, chance.uniform(-9, 9), curve))
        reached = station + curve / 2
    return Profile(chance.uniform(-9, 9), tuple(pvis))


def random_scene(chance):
    """A random profile, half of the time on a bend with a rock face, so that both hide."""
    alignment, blockers = Alignment(), ()
    if chance.random() < 0.5:
        radius, turn = chance.uniform(400, 3000), chance.choice(list(Turn))
        alignment = Alignment(-1200, (Arc(900, radius, turn), Tangent(300), Arc(900, radius, turn)))
        offset = chance.uniform(27, 70) * (-1 if turn is Turn.LEFT else 1)
        blockers = (Strip("the rock", -1200, 900, offset),)
    road = Road(alignment, random_profile(chance), two_lane(12, 10, 8))
    return made_scene(
        road=road,
        blockers=blockers,
        eye=chance.choice(list(Eye)),
        speed_mph=5.0 * chance.randint(4, 15),
        surface=chance.choice([*Surface, Surface.NORMAL, Surface.NORMAL]),
    )


def at_least_a_foot(runs):
    """Stretches less than a foot apart joined, and those shorter than a foot left out."""
    joined = []
    for low, high in runs:
        if joined and low - joined[-1][1] < 1:
            joined[-1] = (joined[-1][0], high)
        else:
            joined.append((low, high))
    return [(low, high) for low, high in joined if high - low >= 1]


@pytest.mark.parametrize("seed", SEEDS)
def test_hidden_stretches_are_those_of_the_walk_to_a_tenth_of_a_foot(seed):
    chance = random.Random(seed)
    scene = random_scene(chance)
    toward = chance.choice(list(Toward))
    watch = sight.viewers(scene, toward)[0]
    target = Target(chance.uniform(-500, 500), 8.5, chance.choice([TAIL_LAMP_FT, DEVICE_TARGET_FT]))
    limit = chance.uniform(100, 1500)
    walked = at_least_a_foot(walked_intervals(watch, target, limit))
    solved = at_least_a_foot(sight.hidden_intervals(watch, target, limit))
    assert len(solved) == len(walked)
    for (low, high), (walked_low, walked_high) in zip(solved, walked, strict=True):
        assert low == pytest.approx(walked_low, abs=0.1)
        assert high == pytest.approx(walked_high, abs=0.1)


def test_the_random_roads_hide_something_often_enough_to_compare():
    hidden = []
    for seed in SEEDS:
        chance = random.Random(seed)
        scene = random_scene(chance)
        watch = sight.viewers(scene, Toward.BEHIND)[0]
        hidden.append(sight.hidden_intervals(watch, sight.vehicle_target(scene, Toward.BEHIND), 1500))
    assert sum(map(bool, hidden)) > len(hidden) / 2
    assert any(len(runs) > 1 for runs in hidden)


@pytest.mark.parametrize("metric", [False, True])
@pytest.mark.parametrize("seed", SEEDS)
def test_the_needed_distance_is_that_of_the_walk_to_a_tenth_of_a_foot(seed, metric):
    scene = random_scene(random.Random(seed))
    for toward in Toward:
        walked = walked_braking_grade_pct(scene, toward, metric)
        if walked is None:
            with pytest.raises(CannotStop):
                braking_grade_pct(scene, toward, metric=metric)
            continue
        needed = (
            needed_sight_ft(scene.speed_mph, grade_pct, scene.surface, metric=metric)
            for grade_pct in (walked, braking_grade_pct(scene, toward, metric=metric))
        )
        assert next(needed) == pytest.approx(next(needed), abs=0.1)


def test_a_crest_hides_from_where_the_tangent_over_it_meets_the_eye():
    """Computed by hand: up 4 percent, down 4 percent, 400 ft of curve; a target 2 ft up where it begins.

    The surface is 0.04 x - x²/10,000. The line from the target that touches it does so where x² = 20,000,
    at a slope of 0.04 - 141.42/5,000 = 0.011716. An eye 3.5 ft up meets that line where
    x²/10,000 - 0.028284 x - 1.5 = 0, at 328.51 ft.
    """
    profile = Profile(4.0, (Pvi(200.0, -4.0, 400.0),))
    hidden = profile.hidden_intervals(0.0, 2.0, 3.5, forward=False, limit_ft=1000)
    assert hidden == [(pytest.approx(328.51, abs=0.01), 1000)]


def test_both_directions_over_a_symmetric_crest_are_alike():
    profile = Profile(5.0, (Pvi(0.0, -5.0, 600.0),))
    forward = profile.hidden_intervals(250.0, 2.0, 3.5, forward=True, limit_ft=2000)
    backward = profile.hidden_intervals(-250.0, 2.0, 3.5, forward=False, limit_ft=2000)
    assert forward == [(pytest.approx(backward[0][0]), 2000)]
    assert len(backward) == 1
