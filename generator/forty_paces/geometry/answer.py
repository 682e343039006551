"""A placement as plain values, rounded once for everybody.

In: a Placement. Out: the dictionary that the command line prints as JSON and that
the lookup table must reproduce: feet and seconds to a tenth, what is missing to the
next one, whole numbers where they are whole. Refuses to know words, files and JSON text.
"""

from __future__ import annotations

from typing import Any

from forty_paces.geometry.records import Approach, Device, Placement, Walk
from forty_paces.geometry.units import whole_up


def tenths(value: float) -> float:
    """To the nearest tenth, never minus zero."""
    return round(value, 1) + 0.0


def tenths_up(value: float) -> float:
    """To the next tenth: what is missing is never told as nothing."""
    return tenths(whole_up(value, 0.1))


def plain(value: float) -> float | int:
    """To a tenth, and a whole number where nothing is left behind the point."""
    rounded = tenths(value)
    return int(rounded) if rounded.is_integer() else rounded


def as_values(placement: Placement) -> dict[str, Any]:
    """The placement in the keys of the command line's JSON."""
    return {
        "rules": placement.rules,
        "road": str(placement.road),
        "devices": [device_values(device) for device in placement.devices],
        "approach": {str(side.toward): approach_values(side) for side in placement.approaches},
        "walk": walk_values(placement.walk),
        "cautions": list(placement.cautions),
    }


def device_values(device: Device) -> dict[str, Any]:
    """One device."""
    return {
        "toward": str(device.toward),
        "distance_ft": plain(device.distance_ft),
        "paces": device.paces,
        "across": device.across,
        "moved": device.moved,
        "reason": device.reason,
        "source": device.source,
    }


def approach_values(side: Approach) -> dict[str, Any]:
    """What the drivers from one side get."""
    return {
        "needed_ft": tenths(side.needed_ft),
        "warning_ft": tenths(side.warning_ft),
        "ample": side.ample,
        "shortfall_ft": tenths_up(side.shortfall_ft),
        "shortfall_s": tenths_up(side.shortfall_s),
        "look_ft": tenths(side.look_ft),
        "look_s": side.look_s,
        "warning_reflecting_ft": None
        if side.reflecting_warning_ft is None
        else tenths(side.reflecting_warning_ft),
        "needed_by": side.needed_by,
    }


def walk_values(walk: Walk) -> dict[str, Any]:
    """The walk out and back."""
    return {"distance_ft": plain(walk.distance_ft), "seconds": walk.seconds, "order": list(walk.order)}
