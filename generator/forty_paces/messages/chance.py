"""How many drivers can stop, in words: the band, the assumptions behind it, and the picture of a hundred.

For people at a desk and in a classroom, never for a driver at the road.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from forty_paces.geometry.units import mph_to_kmh
from forty_paces.messages.answer import CHANCE
from forty_paces.messages.languages import Texts
from forty_paces.messages.quantities import number

if TYPE_CHECKING:  # an answer without a chance does not wait for it
    from forty_paces.geometry.chance import Chance, Drivers

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
