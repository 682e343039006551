"""The walk to set out the devices: order, distance and time.

The length of the vehicle is left out, because every distance is measured from its nearer end.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import TypeVar

from forty_paces.geometry.records import (
    Device,
    DeviceRule,
    Figure,
    Message,
    RuleSet,
    Sentences,
    Stop,
    Toward,
    Walk,
)

Stood = TypeVar("Stood", Device, DeviceRule)
"A placed device or a device rule: both give direction, distance and position across the road."

WALKING_SPEED_FPS = 3.5
"Feet per second: the MUTCD's walking speed for signal timing (2009 edition)."

LEAST_WIDTH_FT = 3.0
"""The least width to walk in: 36 in, the clear width of walking surfaces in the 2010 ADA Standards, 403.5.1.

Met in copies of the text. That standard is for accessible routes; at a road's edge it is taken as the least.
"""


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
        order=tuple(_legs_with_stops(ordered, stops)),
        limit_s=limit_s,
        share_of_limit=walking_s / limit_s if limit_s else None,
        stops=stops,
    )


def _legs_with_stops(ordered: tuple[Device, ...], stops: tuple[Stop, ...]) -> Iterator[Sentences]:
    """Yield the legs to the devices that can be reached, then where to walk no farther."""
    numbered = list(enumerate(ordered, start=1))
    yield from _legs((number, device) for number, device in numbered if device.reached)
    for stop in stops:
        first = next((n for n, d in numbered if d.toward is stop.toward and not d.reached), None)
        if first is not None:
            figures: dict[str, Figure] = {
                "direction": stop.toward,
                "walkable_ft": stop.distance_ft,
                "beside": stop.beside,
                "room_ft": stop.room_ft,
                "least_ft": LEAST_WIDTH_FT,
                "number": first,
            }
            yield (Message("legs.stop" if stop.distance_ft else "legs.stop-here", figures),)


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


def _legs(numbered: Iterable[tuple[int, Device]]) -> Iterator[Sentences]:
    out_on: Toward | None = None
    for number, device in numbered:
        if out_on not in (None, device.toward):
            yield (Message("legs.back"),)
            out_on = None
        leg = "beside"
        if device.distance_ft:
            leg = "next" if out_on is device.toward else "first"
            out_on = device.toward
        figures: dict[str, Figure] = {
            "number": number,
            "across": device.across,
            "direction": device.toward,
            "distance_ft": device.distance_ft,
        }
        yield (Message(f"legs.{leg}", figures),)
    if out_on is not None:
        yield (Message("legs.back"),)
