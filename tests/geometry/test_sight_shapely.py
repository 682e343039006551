"""First sight on random roads against an independent computation.

walked_road.py samples the roads step by step and uses shapely (the GEOS library) to decide
whether a line of sight crosses a wall or dips into the ground.
"""

import math
import random

import numpy as np
import pytest
from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn
from forty_paces.geometry.scene import Outline, Strip
from forty_paces.geometry.sight import Target, Viewer, first_sight, hidden_intervals
from forty_paces.geometry.walls import walls

from tests.geometry.walked_road import Walked, first_lost, seen_in_plan, seen_in_profile

LIMIT_FT = 900
CLOSE_FT = 1.0


def random_road(chance):
    """A winding road of four to six pieces around station 0."""
    pieces = []
    for _ in range(chance.randint(4, 6)):
        length = chance.uniform(150, 500)
        if chance.random() < 0.35:
            pieces.append(Tangent(length))
        else:
            radius = chance.uniform(260, 2500)
            pieces.append(Arc(length, radius, chance.choice(list(Turn))))
    return Alignment(-chance.uniform(500, 1200), tuple(pieces))


def random_profile(chance):
    """Two to four grades, alternately up and down, with vertical curves that do not overlap."""
    pvis, at, rising = [], -chance.uniform(100, 600), chance.random() < 0.7
    first = chance.uniform(0, 7) if rising else chance.uniform(-7, 0)
    for _ in range(chance.randint(1, 3)):
        rising = not rising
        grade = chance.uniform(0, 7) if rising else chance.uniform(-7, 0)
        pvis.append(Pvi(at, grade, chance.uniform(60, 380)))
        at += 400
    return Profile(first, tuple(pvis))


def random_walls(chance):
    """Strips and boxes beside the road, none of them on the lanes."""
    found = []
    for number in range(chance.randint(2, 6)):
        side = chance.choice([-1, 1])
        start = chance.uniform(-800, 300)
        if chance.random() < 0.6:
            offset = side * chance.uniform(10, 35)
            found.append(Strip(f"strip {number}", start, start + chance.uniform(40, 700), offset))
        else:
            near, deep, long = (
                side * chance.uniform(10, 50),
                side * chance.uniform(5, 40),
                chance.uniform(15, 80),
            )
            corners = ((start, near), (start + long, near), (start + long, near + deep), (start, near + deep))
            found.append(Outline(f"box {number}", corners))
    return found


@pytest.mark.parametrize("seed", range(12))
def test_first_sight_on_random_roads_agrees_with_shapely(seed):
    """GEOS (shapely) on roads sampled step by step: the same first sight within a foot."""
    chance = random.Random(seed)
    hidden = 0
    for _ in range(50):
        alignment, blockers = random_road(chance), random_walls(chance)
        target = Target(float(chance.randint(-150, 150)), chance.uniform(-2, 9.5), 2.0)
        lane, forward = chance.choice([0.0, -3.0, 5.0]), chance.random() < 0.5
        road = Road(alignment)
        viewer = Viewer(road, walls(road, blockers), lane, 3.5, forward)
        engine = first_sight(viewer, target, LIMIT_FT + 1).distance_ft
        seen = seen_in_plan(Walked(alignment, -1200, 1300), blockers, target, lane, forward, LIMIT_FT)
        expected = first_lost(seen)
        if math.isinf(expected):
            assert engine == math.inf or engine > LIMIT_FT - CLOSE_FT
        else:
            hidden += 1
            assert engine == pytest.approx(expected + 0.5, abs=CLOSE_FT)
        gone = hidden_intervals(viewer, target, LIMIT_FT)
        covered = sum(high - low for low, high in gone)
        assert covered == pytest.approx(np.count_nonzero(~seen), abs=3 * (len(gone) + 1))
    assert hidden >= 12


@pytest.mark.parametrize("seed", range(3))
def test_first_sight_over_random_crests_agrees_with_shapely(seed):
    """The same for the profile: shapely decides whether the line of sight meets the ground."""
    chance = random.Random(1000 + seed)
    hidden = 0
    for _ in range(40):
        profile, forward = random_profile(chance), chance.random() < 0.5
        target = Target(float(chance.randint(-300, 300)), 0.0, chance.choice([2.0, 0.6]))
        eye_ft = chance.choice([3.5, 7.6])
        viewer = Viewer(Road(profile=profile), (), 0.0, eye_ft, forward)
        engine = first_sight(viewer, target, LIMIT_FT + 1).distance_ft
        expected = first_lost(seen_in_profile(profile, target, eye_ft, forward, LIMIT_FT))
        if math.isinf(expected):
            assert engine == math.inf or engine > LIMIT_FT - CLOSE_FT
        else:
            hidden += 1
            assert engine == pytest.approx(expected + 0.5, abs=CLOSE_FT)
    assert hidden >= 8
