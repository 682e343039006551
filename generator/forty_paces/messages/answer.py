"""A placement as plain values, with the keys of the command line's JSON output, and the words of its text.

The cab file's script gives exactly these values too. Feet and seconds are rounded to a
tenth, shortfalls up to the next tenth; whole numbers are given as integers.

How many drivers can stop (the band, the assumptions behind it, and the picture of a hundred) is for people at
a desk and in a classroom, never for a driver at the road.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any

from forty_paces.geometry.records import Approach, Device, Placement, RuleSet, Walk
from forty_paces.geometry.units import mph_to_kmh, whole_up
from forty_paces.messages.languages import Texts
from forty_paces.messages.placement import text, texts
from forty_paces.messages.quantities import number

if TYPE_CHECKING:  # an answer without a chance does not wait for it
    from forty_paces.geometry.chance import Chance, Drivers

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
        "situation": "{road} road, {speed}",
        "scene": "{title}, {place}: {road} road, {speed}",
        "keeps": (
            'Note: traffic keeps {keeps} in this scene, and {other} where the rule set "{rules}" holds.'
        ),
        "both-speeds": "{speed} ({other})",
        "drawn-in": "Drawn in {file}",
    },
)
"""The words around a placement in the text of the command line."""

STOPPING = Texts(
    "stopping",
    {
        "title": "Stopping sight distance at {speed} {unit}, {grade}, {surface} surface",
        "level": "level",
        "up": "{pct} percent up",
        "down": "{pct} percent down",
        "reaction": "reaction",
        "braking": "braking",
        "total": "in all",
        "design": "design",
        "rounded": "(rounded up to the next 5)",
        "formula": "By the AASHTO Green Book's formula for passenger cars; a loaded truck may need more.",
        "friction": "A friction of {friction} is assumed. Real roads differ.",
        "no-decision": (
            "Decision sight distance: the published table runs from 30 to 80 mph (48 to 128 km/h)."
        ),
        "decision": "Decision sight distance: to notice something unexpected, decide, and act unhurried",
        "decision-source": (
            "From the Green Book's table for level roads and good surfaces; the next row up is taken."
        ),
        "maneuver-a": "A  stop, rural road",
        "maneuver-b": "B  stop, urban road",
        "maneuver-c": "C  change lane or speed, rural",
        "maneuver-d": "D  change lane or speed, suburban",
        "maneuver-e": "E  change lane or speed, urban",
        "within": "Within {distance} {unit}, {band}.",
        "parts": "A heavy vehicle at {speed} mph, each part rounded up",
        "part-seeing": "seeing it",
        "part-reacting": "reacting",
        "part-lag": "brake lag",
        "part-braking": "braking",
        "part-total": "in all",
        "parts-note": (
            "The handbook's figures for a heavy vehicle on a good, dry, level road. They rest on other "
            "assumptions than stopping sight distance: do not mix the two."
        ),
    },
)
"""The text of ``fortypaces stopping``."""

CHANCE = Texts(
    "chance",
    {
        "one": "of 100 drivers about {low} can stop",
        "band": "of 100 drivers about {low} to {high} can stop, {middle} by the middle assumptions",
        "cautious": "Cautious",
        "middle": "Middle",
        "favorable": "Favorable",
        "set": "{label}: {assumptions}.",
        "typed": "Typed, and the same in all three: {options}.",
        "assumptions": (
            "half react within {median} s and 95 of 100 within {p95} s; braking {braking} g, SD "
            "{braking_sd}; speed {speed}, SD {speed_sd}"
        ),
        "posted": "the posted one",
        "above": "{speed} {unit} above the posted one",
        "below": "{speed} {unit} below the posted one",
        "source-reaction": (
            "Reaction: Lerner 1993 and 0.487 s more (Wood and Zhang 2020); Fambro and others 1998; Olson and "
            "Sivak 1986."
        ),
        "source-braking": "Braking: Koppa and others 1996; Fambro and others; Wood and Zhang 2020.",
        "source-speed": (
            "Speed: FHWA-HRT-14-020, 2015; NHTSA, National Traffic Speeds Survey III, 2018; Deardoff and "
            "others 2011."
        ),
        "source-met": (
            "Most were met as abstracts: the module forty_paces.geometry.chance says how for each."
        ),
        "limits": (
            "Car drivers who see the warning there and understand it; reaction, braking and speed are taken "
            "as independent. How drivers react to a warning triangle was not measured in any text that was "
            "read. For planning and teaching, not for a driver at the road."
        ),
    },
)
"""How many of 100 drivers can stop, and what that assumes."""


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


HUNDRED = Texts(
    "hundred",
    {
        "title": "Of a hundred drivers",
        "blank": "The page fills this in: how many of a hundred drivers can stop for each distance.",
        "device": "Device at {distance}",
        "warned": "warned from {warning}",
        "count": "{low} to {high} can stop",
        "count-one": "{low} can stop",
        "stops": "Stops, even by the cautious assumptions",
        "open": "Stops only by less cautious ones",
        "hits": "Cannot stop",
        "described": "With the device at {distance}, drivers from {side} are warned from {warning}: {band}.",
    },
)
"""Texts of the picture of a hundred drivers."""


def band_text(chance: Chance) -> str:
    """A band in words: 'of 100 drivers about 61 to 96 can stop, 89 by the middle assumptions'."""
    low, middle, high = chance.percent()
    if low == high:
        return CHANCE["one"].format(low=low)
    return CHANCE["band"].format(low=low, middle=middle, high=high)


def assumption_lines(sets: Sequence[Drivers], speed_unit: str, changed: Sequence[str] = ()) -> Iterator[str]:
    """The assumptions behind a band, one paragraph each: the three sets, the sources, the limits.

    ``changed`` are the options by which somebody typed figures of their own.
    """
    for label, drivers in zip(("cautious", "middle", "favorable"), sets, strict=True):
        yield CHANCE["set"].format(label=CHANCE[label], assumptions=_set_text(drivers, speed_unit))
    if changed:
        yield CHANCE["typed"].format(options=", ".join(changed))
    for source in ("reaction", "braking", "speed", "met"):
        yield CHANCE[f"source-{source}"]
    yield CHANCE["limits"]


def _set_text(drivers: Drivers, speed_unit: str) -> str:
    times = [number(drivers.reaction.percentile_s(share), 1) for share in (0.5, 0.95)]
    speeds: Sequence[float] = (drivers.over_posted_mph.mean, drivers.over_posted_mph.sd)
    if speed_unit == "km/h":
        speeds = [mph_to_kmh(speed) for speed in speeds]
    over = CHANCE["posted"]
    if speeds[0]:
        form = CHANCE["below" if speeds[0] < 0 else "above"]
        over = form.format(speed=number(abs(speeds[0]), 1), unit=speed_unit)
    return CHANCE["assumptions"].format(
        median=times[0],
        p95=times[1],
        braking=number(drivers.deceleration_g.mean, 2),
        braking_sd=number(drivers.deceleration_g.sd, 2),
        speed=over,
        speed_sd=number(speeds[1], 1),
    )
