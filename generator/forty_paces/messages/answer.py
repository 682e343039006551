"""A placement as plain values, with the keys of the command line's JSON output, and the words of its text.

The cab file's script gives exactly these values too. Feet and seconds are rounded to a
tenth, shortfalls up to the next tenth; whole numbers are given as integers.
"""

from __future__ import annotations

from typing import Any

from forty_paces.geometry.records import Approach, Device, Placement, RuleSet, Walk
from forty_paces.geometry.units import whole_up
from forty_paces.messages.languages import Texts
from forty_paces.messages.placement import text, texts

ANSWER = Texts(
    "answer",
    {
        "title": "Warning devices: {title}. {rules}.",
        "no-device": "No device is placed here.",
        "approaches": "What approaching drivers get",
        "approach": "From {side}: {margin}",
        "walk": "The walk: {walk}",
        "cautions": "Mind this",
        "toward": "toward",
        "paces": "paces",
        "lane-lines": "lane lines",
        "trailers": "trailers",
        "across": "across the road",
        "moved-out": "{across}, moved out",
        "margin": "drivers get about {warning}; to stop takes {needed}.",
        "margin-truck": "drivers get about {warning}; to stop takes {needed} for a truck.",
        "reflector": "With the reach of a reflector: {reflecting}.",
        "missing": "{shortfall} are missing, or {shortfall_s}.",
        "no-gain": "The devices add nothing to what the vehicle itself gives.",
        "gain": "The devices add {gain}, or {gain_s}.",
        "decision": (
            "To notice, decide and change lanes unhurried takes {rural} on a rural road, {urban} in a town "
            "(decision sight distance, AASHTO Green Book)."
        ),
        "nobody-walks": "nobody walks.",
        "on-foot": "{distance} in all, about {seconds} s.",
        "on-foot-of-rule": (
            "{distance} in all, about {seconds} s: {share} percent of the {limit} the rule gives."
        ),
        "on-foot-of-left": "{distance} in all, about {seconds} s: {share} percent of the {limit} left.",
        "chance": "How many can stop",
        "chance-side": "From {side}: within {distance}, {band}.",
        "chance-reflector": "With the reach of a reflector, {distance}: {band}.",
        "assumptions": "What this assumes",
    },
)
"""The words around a placement in the text of the command line."""


def tenths(value: float) -> float:
    """Round to the nearest tenth; never returns minus zero."""
    return round(value, 1) + 0.0


def tenths_up(value: float) -> float:
    """Round up to the next tenth, so that a shortfall is never shown as zero."""
    return tenths(whole_up(value, 0.1))


def plain(value: float) -> float | int:
    """Round to the nearest tenth; an integer where the result is whole."""
    rounded = tenths(value)
    return int(rounded) if rounded.is_integer() else rounded


def as_values(rules: RuleSet, placement: Placement) -> dict[str, Any]:
    """Return the placement as a dictionary with the keys of the command line's JSON output."""
    return {
        "rules": placement.rules,
        "road": str(placement.road),
        "devices": [_device_values(rules, device) for device in placement.devices],
        "approach": {str(side.toward): _approach_values(side) for side in placement.approaches},
        "walk": _walk_values(rules, placement.walk),
        "cautions": list(texts(rules, placement.cautions)),
    }


def _device_values(rules: RuleSet, device: Device) -> dict[str, Any]:
    """Return one device as plain values."""
    return {
        "toward": str(device.toward),
        "distance_ft": plain(device.distance_ft),
        "paces": device.paces,
        "across": device.across,
        "moved": device.moved,
        "reason": text(rules, device.reason),
        "source": device.source,
        "reached": device.reached,
    }


def _approach_values(side: Approach) -> dict[str, Any]:
    """Return one approach direction as plain values."""
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


def _walk_values(rules: RuleSet, walk: Walk) -> dict[str, Any]:
    """Return the walk out and back as plain values."""
    return {
        "distance_ft": plain(walk.distance_ft),
        "seconds": walk.seconds,
        "order": list(texts(rules, walk.order)),
        "limit_s": None if walk.limit_s is None else plain(walk.limit_s),
        "stops": [
            {
                "toward": str(stop.toward),
                "distance_ft": plain(stop.distance_ft),
                "room_ft": plain(stop.room_ft),
                "beside": stop.beside,
            }
            for stop in walk.stops
        ],
    }
