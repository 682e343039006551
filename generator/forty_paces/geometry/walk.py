"""The walk to set out the devices: order, distance and time.

The length of the vehicle is left out, because every distance is measured from its nearer end.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from typing import TypeVar

from forty_paces.geometry.explanation import DIRECTIONS, LEGS, paced
from forty_paces.geometry.records import Device, DeviceRule, RuleSet, Toward, Walk

Stood = TypeVar("Stood", Device, DeviceRule)
"A placed device or a device rule: both give direction, distance and position across the road."

WALKING_SPEED_FPS = 3.5
"Feet per second: the MUTCD's walking speed for signal timing (2009 edition)."


def walk(rules: RuleSet, devices: Iterable[Device]) -> Walk:
    """Return the walk out and back in each direction: behind the vehicle first, nearer devices first."""
    ordered = walking_order(devices)
    distance_ft = walking_distance_ft(ordered)
    walking_s = walking_seconds(distance_ft)
    limit_s = rules.time_limit_s
    return Walk(
        distance_ft=distance_ft,
        seconds=walking_s,
        order=legs(ordered, lambda device: paced(rules, device.distance_ft)),
        limit_s=limit_s,
        share_of_limit=None if limit_s is None else walking_s / limit_s,
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
    sentences: list[str] = []
    out_on: Toward | None = None
    for number, device in enumerate(ordered, start=1):
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
