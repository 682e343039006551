"""An independent computation of sight distance: roads sampled every foot, GEOS to find crossings.

Shares no formula with the engine: headings are summed step by step, walls are
polylines of those steps, the surface is a polyline of summed grades, and shapely
(the GEOS library) decides whether a line of sight crosses one of them.
"""

import math

import numpy as np
import shapely
from forty_paces.geometry.road import Arc, Turn
from forty_paces.geometry.scene import Strip


class Walked:
    """A road as points one foot apart, computed from its pieces alone."""

    def __init__(self, alignment, low, high):
        self.low = low
        steps = np.arange(low, high)
        bends = self._turned(alignment, steps, steps + 1)
        # Its place is free, but not its heading: station 0 points along the axis.
        self.headings = np.cumsum([-self._turned(alignment, low, 0), *bends])
        self.points = np.cumsum([0j, *np.exp(1j * (self.headings[:-1] + bends / 2))])

    @staticmethod
    def _turned(alignment, begin, end):
        """Change of heading between two stations, or between each two of them."""
        turned, at = 0.0, alignment.start_ft
        for piece in alignment.pieces:
            shared = np.maximum(np.minimum(end, at + piece.length_ft) - np.maximum(begin, at), 0.0)
            if isinstance(piece, Arc):
                turned = turned + (1 if piece.turn is Turn.LEFT else -1) * shared / piece.radius_ft
            at += piece.length_ft
        return turned + np.zeros_like(begin, dtype=float)

    def at(self, station, offset):
        """The point at a station between two of the steps; of many stations an array of points."""
        index = np.asarray(station, dtype=float) - self.low
        assert np.all(index >= 0)
        whole = index.astype(int)
        rest = index - whole
        begun = self.headings[whole]
        heading = begun + rest * (self.headings[np.minimum(whole + 1, len(self.headings) - 1)] - begun)
        point = (
            self.points[whole] + rest * np.exp(1j * heading) + offset * np.exp(1j * (heading - math.pi / 2))
        )
        return np.stack([point.real, point.imag], axis=-1)


def wall_line(walked, blocker):
    """The polyline of one wall, and the station of each of its points."""
    if isinstance(blocker, Strip):
        inner = range(math.ceil(blocker.from_ft), math.floor(blocker.to_ft) + 1)
        stations = [blocker.from_ft, *inner, blocker.to_ft]
        return shapely.LineString(walked.at(stations, blocker.offset_ft)), stations
    ends = [*blocker.corners, blocker.corners[0]] if blocker.closed else list(blocker.corners)
    return shapely.LineString([walked.at(*corner) for corner in ends]), [station for station, _ in ends]


def seen_in_plan(walked, blockers, target, lane, forward, limit_ft):
    """For every whole distance whether shapely finds the line of sight clear."""
    lines = shapely.union_all([wall_line(walked, blocker)[0] for blocker in blockers])
    shapely.prepare(lines)
    way = -1 if forward else 1
    eyes = walked.at(target.station_ft + way * np.arange(1, limit_ft + 1), lane)
    aim = np.broadcast_to(walked.at(target.station_ft, target.offset_ft), eyes.shape)
    sights = shapely.linestrings(np.stack([aim, eyes], axis=1))
    return ~shapely.intersects(lines, sights)


def seen_over(walked, profile, blocker, target, lane, eye_ft, forward, limit_ft):
    """The same for one wall of finite height: clear too where every crossing passes above its top."""
    line, stations = wall_line(walked, blocker)
    corners = np.array(line.coords)
    way = -1 if forward else 1
    aim = np.array(walked.at(target.station_ft, target.offset_ft))
    seen = seen_in_plan(walked, [blocker], target, lane, forward, limit_ft)
    for index in np.flatnonzero(~seen):
        station = target.station_ft + way * (index + 1)
        eye = np.array(walked.at(station, lane))
        crossing = shapely.get_coordinates(line.intersection(shapely.LineString([aim, eye])))
        parts = np.hypot(*(crossing - aim).T) / np.hypot(*(eye - aim))
        rise = (
            profile.elevation_ft(station)
            + eye_ft
            - profile.elevation_ft(target.station_ft)
            - target.height_ft
        )
        above = profile.elevation_ft(target.station_ft) + target.height_ft + parts * rise
        feet = [stations[int(np.argmin(np.hypot(*(corners - point).T)))] for point in crossing]
        tops = [profile.elevation_ft(foot) + blocker.height_ft for foot in feet]
        seen[index] = bool(np.all(above >= tops))
    return seen


def seen_in_profile(profile, target, eye_ft, forward, limit_ft):
    """For every whole distance whether shapely finds the line of sight above the surface."""
    way = -1 if forward else 1
    low, high = target.station_ft - limit_ft - 1, target.station_ft + limit_ft + 1
    stations = np.arange(low, high + 1)
    slopes = np.array([profile.grade_pct(station + 0.5) / 100 for station in stations[:-1]])
    levels = np.concatenate([[0], np.cumsum(slopes)])
    ground = shapely.Polygon([(low, -1e4), *zip(stations, levels, strict=True), (high, -1e4)])
    shapely.prepare(ground)
    eyes = target.station_ft + way * np.arange(1, limit_ft + 1)
    ends = np.column_stack([eyes, np.interp(eyes, stations, levels) + eye_ft])
    aim = (target.station_ft, np.interp(target.station_ft, stations, levels) + target.height_ft)
    sights = shapely.linestrings(np.stack([np.broadcast_to(aim, ends.shape), ends], axis=1))
    return ~shapely.intersects(ground, sights)


def first_lost(seen):
    """First sight on whole feet: the last distance before the view is lost for the first time."""
    lost = np.flatnonzero(~seen)
    return float(lost[0]) if lost.size else math.inf
