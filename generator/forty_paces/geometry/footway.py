"""Where a person can walk along a scene's road: between the traffic and what stands beside the road.

The way runs on the vehicle's side, from the outer edge of the lanes outward. A strip (a parapet, a cutting,
a hedge) ends it; an outline (a parked truck, a building) may be passed on either side. Lengths in feet.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from forty_paces.geometry.records import Stop, Toward
from forty_paces.geometry.scene import Blocker, Scene, Strip, station_ft, traffic_side
from forty_paces.geometry.walk import LEAST_WIDTH_FT

Gap = tuple[float, float]
"A free strip, as distances outward from the edge of the lanes; the second is inf on open ground."


@dataclass(frozen=True, slots=True)
class _Taken:
    """What one obstruction takes of the width at a station."""

    low: float
    high: float
    title: str


def lane_edge_ft(scene: Scene) -> float:
    """Return the offset of the lanes' edge on the vehicle's side."""
    lanes = scene.road.carriageways[0].lanes
    return lanes[-1].right_ft if traffic_side(scene) < 0 else lanes[0].left_ft


def gaps(scene: Scene, station: float) -> list[Gap]:
    """Return the free strips beside the lanes at a station, nearest to the traffic first."""
    free, edge = [], 0.0
    for taken in sorted(_taken(scene, station), key=lambda one: one.low):
        if taken.low > edge:
            free.append((edge, taken.low))
        edge = max(edge, taken.high)
    if math.isfinite(edge):
        free.append((edge, math.inf))
    return free


def walkway(scene: Scene, station: float, wanted_ft: float) -> float | None:
    """Return the offset at which to walk at a station: the wanted one, or the nearest that is wide enough.

    None where no strip is :data:`LEAST_WIDTH_FT` wide.
    """
    out = -traffic_side(scene)
    wanted = out * (wanted_ft - lane_edge_ft(scene))
    wide = [gap for gap in gaps(scene, station) if gap[1] - gap[0] >= LEAST_WIDTH_FT]
    if not wide:
        return None
    half = LEAST_WIDTH_FT / 2
    fitting = [min(max(wanted, low + half), high - half) for low, high in wide]
    return lane_edge_ft(scene) + out * min(fitting, key=lambda offset: abs(offset - wanted))


def first_stop(scene: Scene, toward: Toward, distance_ft: float) -> Stop | None:
    """Return where a walk of that distance from the vehicle must end; None where it is free throughout.

    Whole feet, and the ends of every outline, are looked at; the last free whole foot is returned.
    """
    distances: set[float] = set()
    for blocker in scene.blockers:
        if _narrows(scene, blocker):
            distances |= _distances_beside(scene, toward, blocker, distance_ft)
    for distance in sorted(distances):
        station = station_ft(scene, toward, distance)
        if walkway(scene, station, lane_edge_ft(scene)) is None:
            room = max((high - low for low, high in gaps(scene, station)), default=0.0)
            beside = min(_taken(scene, station), key=lambda one: one.low).title
            return Stop(toward, max(0.0, math.ceil(distance) - 1.0), room, beside)
    return None


def _narrows(scene: Scene, blocker: Blocker) -> bool:
    """Whether an obstruction leaves less than the least width beside the lanes anywhere."""
    out, edge = -traffic_side(scene), lane_edge_ft(scene)
    offsets = [blocker.offset_ft] if isinstance(blocker, Strip) else [offset for _, offset in blocker.corners]
    outward = [out * (offset - edge) for offset in offsets]
    return max(outward) > 0 and min(outward) < LEAST_WIDTH_FT


def _distances_beside(scene: Scene, toward: Toward, blocker: Blocker, distance_ft: float) -> set[float]:
    """Return the whole feet from the vehicle beside an obstruction, and its corners, up to a distance."""
    if isinstance(blocker, Strip):
        stations = [blocker.from_ft, blocker.to_ft]
    else:
        stations = [station for station, _ in blocker.corners]
    zero, sign = station_ft(scene, toward, 0.0), -1.0 if toward is Toward.BEHIND else 1.0
    along = [sign * (station - zero) for station in stations]
    first, last = max(0.0, min(along)), min(distance_ft, max(along))
    whole = (
        {float(foot) for foot in range(math.ceil(first), math.floor(last) + 1)} if first <= last else set()
    )
    return whole | {distance for distance in along if 0 <= distance <= distance_ft}


def _taken(scene: Scene, station: float) -> list[_Taken]:
    out, edge = -traffic_side(scene), lane_edge_ft(scene)
    widths = []
    for blocker in scene.blockers:
        offsets = [out * (offset - edge) for offset in _offsets(blocker, station)]
        if not offsets or max(offsets) <= 0:
            continue
        high = math.inf if isinstance(blocker, Strip) else max(offsets)
        widths.append(_Taken(max(0.0, min(offsets)), high, blocker.title))
    return widths


def _offsets(blocker: Blocker, station: float) -> list[float]:
    """Return the offsets at which an obstruction crosses a station; empty where it does not."""
    if isinstance(blocker, Strip):
        return [blocker.offset_ft] if blocker.from_ft <= station <= blocker.to_ft else []
    corners = [*blocker.corners, blocker.corners[0]] if blocker.closed else list(blocker.corners)
    crossings = []
    for (a, a_offset), (b, b_offset) in itertools.pairwise(corners):
        if min(a, b) <= station <= max(a, b):
            part = 0.0 if a == b else (station - a) / (b - a)
            crossings += [a_offset, b_offset] if a == b else [a_offset + part * (b_offset - a_offset)]
    return crossings
