"""First sight on random roads against an independent reckoning.

Independent of the engine throughout: the road is walked in one-foot steps of its
heading, walls are polylines of those steps, and shapely (the GEOS library)
decides whether the line of sight crosses one. In profile the surface is a
polyline too, and shapely decides whether the line of sight dips into it.
"""

import cmath
import math
import random

import numpy as np
import pytest
import shapely

from generator.geometry.profile import Profile, Pvi
from generator.geometry.road import Alignment, Arc, Road, Tangent, Turn
from generator.geometry.scene import Outline, Strip
from generator.geometry.sight import Target, Viewer, first_sight, hidden_intervals
from generator.geometry.walls import walls

LIMIT_FT = 900
CLOSE_FT = 1.0


def random_road(chance):
    """A winding road of four to six pieces round station 0."""
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
    """Two to four grades, up and down in turn, with vertical curves that do not overlap."""
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


class Walked:
    """A road as points one foot apart, from its pieces alone."""

    def __init__(self, alignment, low, high):
        self.low = low
        heading, point = self._to(alignment, low)
        self.points, self.headings = [point], [heading]
        for station in range(low, high):
            bend = self._turned(alignment, station, station + 1)
            point += cmath.exp(1j * (heading + bend / 2))
            heading += bend
            self.points.append(point)
            self.headings.append(heading)

    @staticmethod
    def _turned(alignment, begin, end):
        """How far the heading turns between two stations."""
        turned, at = 0.0, alignment.start_ft
        for piece in alignment.pieces:
            shared = min(end, at + piece.length_ft) - max(begin, at)
            if isinstance(piece, Arc) and shared > 0:
                turned += (1 if piece.turn is Turn.LEFT else -1) * shared / piece.radius_ft
            at += piece.length_ft
        return turned

    def _to(self, alignment, low):
        return -self._turned(alignment, low, 0), 0j

    def at(self, station, offset):
        """The point at a station between two of the steps."""
        index = station - self.low
        whole = int(index)
        rest = index - whole
        heading = self.headings[whole] + rest * (
            self.headings[min(whole + 1, len(self.headings) - 1)] - self.headings[whole]
        )
        point = self.points[whole] + rest * cmath.exp(1j * heading)
        point += offset * cmath.exp(1j * (heading - math.pi / 2))
        return point.real, point.imag


def wall_lines(walked, blockers):
    lines = []
    for blocker in blockers:
        if isinstance(blocker, Strip):
            inner = range(math.ceil(blocker.from_ft), math.floor(blocker.to_ft) + 1)
            stations = [blocker.from_ft, *inner, blocker.to_ft]
            lines.append(shapely.LineString([walked.at(station, blocker.offset_ft) for station in stations]))
        else:
            corners = [walked.at(station, offset) for station, offset in blocker.corners]
            lines.append(shapely.LineString([*corners, corners[0]]))
    return shapely.union_all(lines)


def seen_in_plan(walked, blockers, target, lane, forward):
    """For every whole distance whether shapely finds the line of sight free."""
    lines = wall_lines(walked, blockers)
    shapely.prepare(lines)
    way = -1 if forward else 1
    eyes = [walked.at(target.station_ft + way * at, lane) for at in range(1, LIMIT_FT + 1)]
    aim = walked.at(target.station_ft, target.offset_ft)
    sights = shapely.linestrings([[aim, eye] for eye in eyes])
    return ~shapely.intersects(lines, sights)


def seen_in_profile(profile, target, eye_ft, forward):
    """For every whole distance whether shapely finds the line of sight above the surface."""
    way = -1 if forward else 1
    low, high = target.station_ft - LIMIT_FT - 1, target.station_ft + LIMIT_FT + 1
    stations = np.arange(low, high + 1)
    slopes = np.array([profile.grade_pct(station + 0.5) / 100 for station in stations[:-1]])
    levels = np.concatenate([[0], np.cumsum(slopes)])
    ground = shapely.Polygon([(low, -1e4), *zip(stations, levels, strict=True), (high, -1e4)])
    shapely.prepare(ground)
    seen = []
    for at in range(1, LIMIT_FT + 1):
        eye = target.station_ft + way * at
        ends = [
            (target.station_ft, np.interp(target.station_ft, stations, levels) + target.height_ft),
            (eye, np.interp(eye, stations, levels) + eye_ft),
        ]
        seen.append(not ground.intersects(shapely.LineString(ends)))
    return np.array(seen)


def first_lost(seen):
    """First sight on whole feet: the last distance before the view is lost for the first time."""
    lost = np.flatnonzero(~seen)
    return float(lost[0]) if lost.size else math.inf


@pytest.mark.parametrize("seed", range(12))
def test_first_sight_on_random_roads_agrees_with_shapely(seed):
    """GEOS, by way of shapely, on roads walked step by step: the same first sight within a foot."""
    chance = random.Random(seed)
    hidden = 0
    for _ in range(50):
        alignment, blockers = random_road(chance), random_walls(chance)
        target = Target(float(chance.randint(-150, 150)), chance.uniform(-2, 9.5), 2.0)
        lane, forward = chance.choice([0.0, -3.0, 5.0]), chance.random() < 0.5
        road = Road(alignment)
        viewer = Viewer(road, walls(road, blockers), lane, 3.5, forward)
        engine = first_sight(viewer, target, LIMIT_FT + 1).distance_ft
        seen = seen_in_plan(Walked(alignment, -1200, 1300), blockers, target, lane, forward)
        expected = first_lost(seen)
        if math.isinf(expected):
            assert engine == math.inf or engine > LIMIT_FT - CLOSE_FT
        else:
            hidden += 1
            assert engine == pytest.approx(expected + 0.5, abs=CLOSE_FT)
        gone = hidden_intervals(viewer, target, LIMIT_FT)
        covered = sum(high - low for low, high in gone)
        assert covered == pytest.approx(np.count_nonzero(~seen), abs=3 * (len(gone) + 1))
    assert hidden >= 15


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
        expected = first_lost(seen_in_profile(profile, target, eye_ft, forward))
        if math.isinf(expected):
            assert engine == math.inf or engine > LIMIT_FT - CLOSE_FT
        else:
            hidden += 1
            assert engine == pytest.approx(expected + 0.5, abs=CLOSE_FT)
    assert hidden >= 8
