"""Setting labels, devices and the vehicle along a broken-scale road without collision.

In: stops with their true distances and measured labels. Out: a Sheet, in which every
stop has a station in page units. Order along the road is kept, scale is not. It
refuses to know what is drawn at a stop.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from generator.drawing.formats import Format
from generator.drawing.marks import DEVICE_SIDE
from generator.drawing.text import Block, Line, balanced
from generator.geometry.records import Device, Toward

BROKEN_FROM_FT = 60.0
"Between two marks farther apart than this the road is drawn with a gap."


@dataclass(frozen=True, slots=True)
class Stop:
    """Something marked along the road on one side of the vehicle."""

    distance_ft: float
    block: Block
    device: Device | None = None
    number: int = 0
    "Of the device; 0 for the edge of a hidden stretch."
    station: float = 0.0
    "Where it is drawn."


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything settled before drawing."""

    form: Format
    behind: tuple[Stop, ...]
    "Outward from the rear."
    ahead: tuple[Stop, ...]
    "Outward from the front."
    vehicle: Block
    start: float
    "Station at which the drawn road begins."
    end: float

    def stops(self, toward: Toward) -> tuple[Stop, ...]:
        """The stops on one side, outward."""
        return self.behind if toward is Toward.BEHIND else self.ahead


def hidden_lines(distance: str, form: Format, width: float, *, slot: str = "") -> tuple[Line, ...]:
    """The label at the edge of a hidden stretch."""
    _, middle, small = form.sizes
    lines = [Line(part, small) for part in balanced("hidden view beyond", small, width)]
    return (*lines, Line(distance, middle, bold=True, slot=slot))


def vehicle_block(form: Format, width: float) -> Block:
    """The label at the vehicle."""
    _, middle, small = form.sizes
    own = [Line(part, middle, bold=True) for part in balanced("Your vehicle", middle, width)]
    return Block((*own, *(Line(part, small) for part in balanced("measure from here", small, width))))


def spaced(behind: Sequence[Stop], ahead: Sequence[Stop], form: Format, width: float) -> Sheet:
    """Stops set along the road so that labels, devices and the vehicle stay clear of one another."""
    block = vehicle_block(form, width)
    length = form.vehicle[0]
    center, half = length / 2, _extent(block, form) / 2
    out = {
        Toward.BEHIND: _outward(behind, form, clear_from=center + half, symbol_from=center + length / 2),
        Toward.AHEAD: _outward(ahead, form, clear_from=center + half, symbol_from=center + length / 2),
    }
    reach = {toward: _reach(stops, form, center + half) for toward, stops in out.items()}
    spare = form.length - sum(reach.values())
    if spare > 0:
        gaps = sum(_breaks(stops) for stops in out.values())
        if gaps:
            out = {toward: _stretched(stops, spare / gaps) for toward, stops in out.items()}
            reach = {toward: _reach(stops, form, center + half) for toward, stops in out.items()}
        else:
            reach = {toward: extent + spare / 2 for toward, extent in reach.items()}
    return Sheet(
        form=form,
        behind=tuple(replace(stop, station=center - stop.station) for stop in out[Toward.BEHIND]),
        ahead=tuple(replace(stop, station=center + stop.station) for stop in out[Toward.AHEAD]),
        vehicle=block,
        start=center - reach[Toward.BEHIND],
        end=center + reach[Toward.AHEAD],
    )


def _extent(block: Block, form: Format) -> float:
    return block.height if form.upright else block.width


def _outward(stops: Sequence[Stop], form: Format, *, clear_from: float, symbol_from: float) -> list[Stop]:
    """Stops with their distance from the vehicle's middle as station, nearest first."""
    placed: list[Stop] = []
    for stop in sorted(stops, key=lambda stop: (stop.distance_ft, stop.number)):
        half = _extent(stop.block, form) / 2
        symbol = DEVICE_SIDE / 2 + 4 if stop.device else 4
        station = max(clear_from + form.gap + half, symbol_from + symbol)
        placed.append(replace(stop, station=station))
        clear_from, symbol_from = station + half, station + symbol
    return placed


def _reach(stops: Sequence[Stop], form: Format, least: float) -> float:
    if not stops:
        return max(least, form.vehicle[0] / 2) + form.end
    last = stops[-1]
    return last.station + max(_extent(last.block, form) / 2, DEVICE_SIDE / 2 + 4) + form.end


def _breaks(stops: Sequence[Stop]) -> int:
    return sum(is_broken(stops, index) for index in range(len(stops)))


def is_broken(stops: Sequence[Stop], index: int) -> bool:
    """Whether road is left out just inside the stop of that index."""
    before = stops[index - 1].distance_ft if index else 0.0
    return stops[index].distance_ft - before > BROKEN_FROM_FT


def _stretched(stops: Sequence[Stop], by: float) -> list[Stop]:
    """Room given to the gaps, so that the drawing fills its sheet."""
    shift = 0.0
    moved = []
    for index, stop in enumerate(stops):
        shift += by if is_broken(stops, index) else 0.0
        moved.append(replace(stop, station=stop.station + shift))
    return moved
