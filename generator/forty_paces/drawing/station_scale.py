"""Lays out labels, devices and the vehicle along a broken-scale road without collisions.

Assigns every mark a station in page units from its true distance and measured label. The
order along the road is kept, the scale is not.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from forty_paces.drawing import symbols
from forty_paces.drawing.formats import MARGIN, Format
from forty_paces.drawing.marks import DEVICE_SIDE
from forty_paces.drawing.text import TextBlock, TextLine, balanced
from forty_paces.geometry.records import Device, Toward
from forty_paces.messages.drawings import DRAWING

BROKEN_FROM_FT = 60.0
"Between two marks farther apart than this the road is drawn with a gap."

BREAK_DEPTH = 12.0
"Extent of a gap along the road."

SIGN_ROOM = symbols.SIGN_SIDE + 6
"Space for a sign before the label of a hidden stretch."

VEHICLE_CLEARANCE = 9.0
"Clear length of road before and behind the vehicle."


@dataclass(frozen=True, slots=True)
class StationMark:
    """A device or the edge of a hidden stretch, on one side of the vehicle."""

    distance_ft: float
    block: TextBlock
    device: Device | None = None
    "None at the edge of a hidden stretch."
    number: int = 0
    "Number of the device; 0 for the edge of a hidden stretch."
    slot: str = ""
    "Hook by which a script finds it."
    station: float = 0.0
    "Station at which it is drawn."
    break_at: float | None = None
    "Station of the scale break just inside it; None without one."

    @property
    def symbol(self) -> float:
        """Half the extent of its symbol along the road."""
        return DEVICE_SIDE / 2 + 4 if self.device else 5.0


@dataclass(frozen=True, slots=True)
class StationScale:
    """The finished layout along the road."""

    form: Format
    behind: tuple[StationMark, ...]
    "Outward from the rear."
    ahead: tuple[StationMark, ...]
    "Outward from the front."
    vehicle: TextBlock
    start: float
    "Station at which the drawn road begins."
    end: float

    def stops(self, toward: Toward) -> tuple[StationMark, ...]:
        """The marks on one side, from the vehicle outward."""
        return self.behind if toward is Toward.BEHIND else self.ahead

    @property
    def hides(self) -> bool:
        """Whether any stretch is hidden."""
        return any(stop.device is None for stop in (*self.behind, *self.ahead))


def hidden_block(distance: str, form: Format, width: float, *, room: str = "", slot: str = "") -> TextBlock:
    """Return the label at the edge of a hidden stretch; ``room`` is the widest distance it must hold."""
    small, beyond = form.sizes[2], DRAWING["hidden-beyond"]
    if not form.upright:
        return TextBlock((TextLine(distance, small, bold=True, lead=f"{beyond} ", room=room, slot=slot),))
    lines = [TextLine(part, small) for part in balanced(beyond, small, width - SIGN_ROOM)]
    return TextBlock((*lines, TextLine(distance, small + 3, bold=True, room=room, slot=slot)))


def vehicle_block(form: Format, width: float, *, measured: bool) -> TextBlock:
    """Return the label at the vehicle: distances are measured from it, or no device is put out."""
    rest = DRAWING["measure-from-here" if measured else "put-none-here"]
    _, middle, small = form.sizes
    own = [TextLine(part, middle, bold=True) for part in balanced(DRAWING["your-vehicle"], middle, width)]
    return TextBlock((*own, *(TextLine(part, small) for part in balanced(rest, small, width))))


def spaced(
    behind: Sequence[StationMark],
    ahead: Sequence[StationMark],
    form: Format,
    *,
    width: float,
    entrance: Mapping[Toward, float],
) -> StationScale:
    """Lay out the marks along the road so that labels, devices and the vehicle do not overlap.

    ``entrance`` is the length of road kept unbroken at each end, for the arrow and text of traffic.
    """
    block = vehicle_block(form, width, measured=any(stop.device for stop in (*behind, *ahead)))
    center = form.vehicle[0] / 2
    half = max(_extent(block, form) / 2, 0.0)
    sides = {Toward.BEHIND: _outward(behind, form, half), Toward.AHEAD: _outward(ahead, form, half)}
    reach = {toward: _reach(stops, form, half, entrance.get(toward, 0.0)) for toward, stops in sides.items()}
    spare = form.length - math.fsum(reach.values())
    gaps = len([stop for stops in sides.values() for stop in stops if stop.break_at is not None])
    if spare > 0 and gaps:
        sides = {toward: _stretched(stops, form, spare / gaps) for toward, stops in sides.items()}
        reach = {
            toward: _reach(stops, form, half, entrance.get(toward, 0.0)) for toward, stops in sides.items()
        }
    elif spare > 0:
        reach = {toward: extent + spare / 2 for toward, extent in reach.items()}
    return StationScale(
        form=form,
        behind=tuple(_turned(stop, center, -1) for stop in sides[Toward.BEHIND]),
        ahead=tuple(_turned(stop, center, 1) for stop in sides[Toward.AHEAD]),
        vehicle=block,
        start=center - reach[Toward.BEHIND],
        end=center + reach[Toward.AHEAD],
    )


def _extent(block: TextBlock, form: Format) -> float:
    return block.height if form.upright else block.width


def _half_label(stop: StationMark, form: Format) -> float:
    """Half the extent of a label beside the road; 0 for a hidden edge on a road running right."""
    if stop.device is None and not form.upright:
        return 0.0
    return _extent(stop.block, form) / 2


def _outward(stops: Sequence[StationMark], form: Format, vehicle_half: float) -> list[StationMark]:
    """Marks, nearest first, with their distance from the vehicle's center as station."""
    placed: list[StationMark] = []
    label_end, symbol_end, distance_ft = vehicle_half, form.vehicle[0] / 2 + VEHICLE_CLEARANCE, 0.0
    for stop in sorted(stops, key=lambda stop: (stop.distance_ft, stop.number)):
        half = _half_label(stop, form)
        broken = stop.distance_ft - distance_ft > BROKEN_FROM_FT
        station = symbol_end + stop.symbol + (BREAK_DEPTH + 4 if broken else 0)
        if half:
            station = max(station, label_end + form.gap + half)
        placed.append(replace(stop, station=station, break_at=0.0 if broken else None))
        label_end, symbol_end, distance_ft = (
            max(label_end, station + half),
            station + stop.symbol,
            stop.distance_ft,
        )
    return _with_breaks(placed, form)


def _with_breaks(stops: Sequence[StationMark], form: Format) -> list[StationMark]:
    inner = form.vehicle[0] / 2 + VEHICLE_CLEARANCE
    set_out = []
    for stop in stops:
        middle = (inner + stop.station - stop.symbol) / 2
        set_out.append(stop if stop.break_at is None else replace(stop, break_at=middle))
        inner = stop.station + stop.symbol
    return set_out


def _reach(stops: Sequence[StationMark], form: Format, vehicle_half: float, entrance: float) -> float:
    ends = [vehicle_half, form.vehicle[0] / 2]
    breaks = [form.vehicle[0] / 2]
    for stop in stops:
        ends += [stop.station + _half_label(stop, form), stop.station + stop.symbol]
        if stop.device is None and not form.upright:
            # Its label is across the road, between the vehicle's center and the end of the drawing.
            ends.append(stop.block.width + SIGN_ROOM + 2 * MARGIN - form.end)
        if stop.break_at is not None:
            breaks.append(stop.break_at + BREAK_DEPTH)
    return max(max(ends) + form.end, max(breaks) + entrance)


def _stretched(stops: Sequence[StationMark], form: Format, by: float) -> list[StationMark]:
    """Distribute spare length over the gaps, so that the drawing fills its format."""
    shift = 0.0
    moved = []
    for stop in stops:
        shift += by if stop.break_at is not None else 0.0
        moved.append(replace(stop, station=stop.station + shift))
    return _with_breaks(moved, form)


def _turned(stop: StationMark, center: float, sign: int) -> StationMark:
    """Convert a distance from the vehicle's center to a station along the road."""
    break_at = None if stop.break_at is None else center + sign * stop.break_at
    return replace(stop, station=center + sign * stop.station, break_at=break_at)
