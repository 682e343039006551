"""The walk to set out the devices: order, distance and time.

The length of the vehicle is left out, because every distance is measured from its nearer end.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

from forty_paces.geometry.explanation import DIRECTIONS, LEGS, length, length_down, paced
from forty_paces.geometry.records import Device, DeviceRule, RuleSet, Stop, Toward, Walk

Stood = TypeVar("Stood", Device, DeviceRule)
"A placed device or a device rule: both give direction, distance and position across the road."

WALKING_SPEED_FPS = 3.5
"Feet per second: the MUTCD's walking speed for signal timing (2009 edition)."

LEAST_WIDTH_FT = 3.0
"""The least width to walk in: 36 in, the clear width of walking surfaces in the 2010 ADA Standards, 403.5.1.

Met in copies of the text. That standard is for accessible routes; at a road's edge it is taken as the least.
"""

LEAST_WIDTH_SOURCE = "36 in, 2010 ADA Standards, 403.5.1"


def walk(
    rules: RuleSet,
    devices: Iterable[Device],
    stops: Iterable[Stop] = (),
    left_s: float | None = None,
) -> Walk:
    """Return the walk out and back in each direction: behind the vehicle first, nearer devices first.

    ``stops`` are where there is no room to walk on. ``left_s`` is the time that is left of the rule's own.
    """
    ordered, stops = walking_order(devices), tuple(stops)
    distance_ft = walking_distance_ft(device for device in ordered if device.reached)
    walking_s = walking_seconds(distance_ft)
    limit_s = rules.time_limit_s if left_s is None else left_s
    return Walk(
        distance_ft=distance_ft,
        seconds=walking_s,
        order=tuple(_legs_with_stops(rules, ordered, stops)),
        limit_s=limit_s,
        share_of_limit=walking_s / limit_s if limit_s else None,
        stops=stops,
    )


def _legs_with_stops(rules: RuleSet, ordered: tuple[Device, ...], stops: tuple[Stop, ...]) -> Iterator[str]:
    """Yield the legs to the devices that can be reached, then where to walk no farther."""
    numbered = list(enumerate(ordered, start=1))
    reached = [(number, device) for number, device in numbered if device.reached]
    yield from _legs(reached, lambda device: paced(rules, device.distance_ft))
    for stop in stops:
        first = next((n for n, d in numbered if d.toward is stop.toward and not d.reached), None)
        if first is not None:
            yield LEGS["stop" if stop.distance_ft else "stop-here"].format(
                direction=DIRECTIONS[stop.toward],
                distance=length_down(rules, stop.distance_ft),
                beside=stop.beside,
                room=length_down(rules, stop.room_ft),
                least=length(rules, LEAST_WIDTH_FT),
                number=first,
            )


def walking_order(devices: Iterable[Stood]) -> tuple[Stood, ...]:
    """Return the devices in the order they are set out; device 1 is the first of them."""
    return tuple(sorted(devices, key=lambda device: (device.toward is Toward.AHEAD, device.distance_ft)))


def walking_distance_ft(devices: Iterable[Stood]) -> float:
    """Return twice the distance of the farthest device in each direction, summed."""
    farthest = dict.fromkeys(Toward, 0.0)
    for device in devices:
        farthest[device.toward] = max(farthest[device.toward], device.distance_ft)
    return 2 * math.fsum(farthest.values())


def walking_seconds(distance_ft: float) -> int:
    """Return the walking time for a distance, in whole seconds."""
    return round(distance_ft / WALKING_SPEED_FPS)


def legs(ordered: Iterable[Stood], written: Callable[[Stood], str]) -> tuple[str, ...]:
    """Return one sentence per leg; ``written`` formats each device's distance."""
    return _legs(enumerate(ordered, start=1), written)


def _legs(numbered: Iterable[tuple[int, Stood]], written: Callable[[Stood], str]) -> tuple[str, ...]:
    sentences: list[str] = []
    out_on: Toward | None = None
    for number, device in numbered:
        if out_on not in (None, device.toward):
            sentences.append(LEGS["back"])
            out_on = None
        if not device.distance_ft:
            leg = "beside"
        else:
            leg = "next" if out_on is device.toward else "first"
            out_on = device.toward
        sentences.append(
            LEGS[leg].format(
                number=number,
                across=device.across,
                direction=DIRECTIONS[device.toward],
                distance=written(device),
            )
        )
    if out_on is not None:
        sentences.append(LEGS["back"])
    return tuple(sentences)
