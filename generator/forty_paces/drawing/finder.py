"""Draws the finder: a placement drawing whose texts and hidden stretches a script can change.

One SVG per rule set, road and posted speed. Space is reserved for every text that may be
shown, so that nothing moves when the texts change.

The complete list of what a script may do (``P`` is the prefix):

* set the text of ``P-d1-distance``, ``P-d1-paces``, and likewise
  for every device, numbered in walking order; set ``data-moved="yes"`` on ``P-d1``,
  and ``data-now="yes"`` on the device that the driver is carrying;
* set ``data-behind`` and ``data-ahead`` on the svg to ``clear``, ``near`` (the hidden stretch
  begins nearer than or at the outermost device of that side) or ``far`` (beyond it), and the
  text of ``P-behind-near``, ``P-behind-far``, ``P-ahead-near``, ``P-ahead-far`` to its distance;
* set ``data-behind-cause`` and ``data-ahead-cause`` to a value of Cause, or remove them;
* show one of the vehicles: set ``display`` of the group ``P-vehicle`` and of every ``P-vehicle-SLOT`` to
  ``none``, and remove it from the one chosen (SLOT as VehicleShape.slot gives it);
* set the text of ``P-speed-behind`` and ``P-speed-ahead`` (not in the card size);
* set the text of ``P-desc`` to the same in sentences, as the text alternative.
"""

from __future__ import annotations

from collections.abc import Sequence

from forty_paces.drawing.formats import FORMATS, Format, Size, label_width
from forty_paces.drawing.schematic import markings
from forty_paces.drawing.schematic_layout import SchematicLayout
from forty_paces.drawing.schematic_renderer import (
    SchematicRenderer,
    VehicleShape,
    entrances,
    traffic_line,
)
from forty_paces.drawing.station_scale import StationMark, hidden_block, spaced
from forty_paces.drawing.symbols import Cause
from forty_paces.drawing.text import TextBlock, TextLine, balanced
from forty_paces.geometry.placement import streams
from forty_paces.geometry.records import Device, DeviceRule, RoadKind, RuleSet, Toward
from forty_paces.geometry.units import paces
from forty_paces.geometry.walk import walking_order
from forty_paces.messages import quantities
from forty_paces.messages.drawings import DRAWING, describe_layout, placement_title
from forty_paces.messages.quantities import length, posted_speed
from forty_paces.messages.terms import across_words

ROOM_FT = 2000.0
"Space is reserved for the label of a hidden stretch that begins up to this far away."
ROOM_MPH = 100.0


def draw_finder(
    rules: RuleSet,
    road: RoadKind,
    *,
    speed_mph: float,
    prefix: str = "finder",
    size: Size = Size.WIDE,
    vehicles: Sequence[VehicleShape] = (),
) -> str:
    """Draw the template for the layout in force at a posted speed, showing the rule's own distances.

    ``vehicles`` are the shapes that a script may show in place of the plain vehicle.
    ``LookupError`` where the rule set has no layout for it, ``ValueError`` for an invalid prefix.
    """
    form = FORMATS[size]
    layout = rules.layout(road, speed_mph)
    speed, widest = (posted_speed(rules, mph) for mph in (speed_mph, ROOM_MPH))
    traffic = {
        toward: traffic_line(form, speed, room=widest, slot=f"speed-{toward}") for toward in streams(road)
    }
    width = label_width(form, road)
    stops = {toward: _stops(rules, layout.devices, toward, form, width) for toward in Toward}
    for toward in streams(road):
        stops[toward] += _hidden(rules, stops[toward], toward, form, width)
    sheet = spaced(
        stops[Toward.BEHIND],
        stops[Toward.AHEAD],
        form,
        width=width,
        entrance=entrances(form, road, traffic),
    )
    painter = SchematicRenderer(
        ground=SchematicLayout(sheet, road, markings(rules), keep_left=rules.traffic_keeps == "left"),
        prefix=prefix,
        traffic=traffic,
        causes=dict.fromkeys(streams(road), tuple(Cause)),
        template=True,
        data={toward.value: "clear" for toward in streams(road)},
        vehicles=vehicles,
    )
    devices = [_as_set(rules, rule) for rule in layout.devices]
    return painter.draw(title=placement_title(road), desc=describe_layout(devices, rules))


def _as_set(rules: RuleSet, rule: DeviceRule) -> Device:
    count = paces(rule.distance_ft, rules.pace_ft)
    return Device(rule.toward, rule.distance_ft, count, rule.across, False, (), rule.source)


def _stops(
    rules: RuleSet, layout: Sequence[DeviceRule], toward: Toward, form: Format, width: float
) -> list[StationMark]:
    """The devices of one side, each with space for the farthest distance it may move to."""
    farthest = {(rule.toward, rule.distance_ft): _farthest_ft(rules, rule, layout) for rule in layout}
    stops = []
    for number, device in enumerate(walking_order(_as_set(rules, rule) for rule in layout), 1):
        if device.toward is toward:
            lines = _lines(rules, device, number, farthest[toward, device.distance_ft], form, width)
            stops.append(StationMark(device.distance_ft, TextBlock(lines), device, number, slot=f"d{number}"))
    return stops


def _farthest_ft(rules: RuleSet, rule: DeviceRule, layout: Sequence[DeviceRule]) -> float:
    reach = max(rule.distance_ft, rule.at_most_ft or 0.0)
    outermost = max(other.distance_ft for other in layout if other.toward is rule.toward)
    if rules.hidden is not None and rule.distance_ft == outermost:
        reach = max(reach, rules.hidden.to_ft)
    return reach


def _lines(
    rules: RuleSet, device: Device, number: int, farthest_ft: float, form: Format, width: float
) -> tuple[TextLine, ...]:
    big, middle, small = form.sizes
    slot = f"d{number}"
    farthest = length(rules, farthest_ft)
    most = quantities.paces(paces(farthest_ft, rules.pace_ft))
    distance = length(rules, device.distance_ft)
    lines = [
        TextLine(distance, big, bold=True, room=farthest, slot=f"{slot}-distance"),
        TextLine(quantities.paces(device.paces), middle, bold=True, room=most, slot=f"{slot}-paces"),
    ]
    lines += [TextLine(part, small) for part in balanced(across_words(device.across), small, width)]
    if farthest_ft > device.distance_ft:
        lines.append(TextLine(DRAWING["moved-out"], small, bold=True, hook="fp-moved-note", shown=False))
    return tuple(lines)


def _hidden(
    rules: RuleSet, devices: Sequence[StationMark], toward: Toward, form: Format, width: float
) -> list[StationMark]:
    """Two possible starts of a hidden stretch: just before the outermost device, and just beyond it."""
    outermost = max((stop.distance_ft for stop in devices), default=0.0)
    room = length(rules, ROOM_FT)
    return [
        StationMark(
            outermost + shift,
            hidden_block("", form, width, room=room, slot=f"{toward}-{case}"),
            slot=f"{toward}-{case}",
        )
        for case, shift in (("near", -0.01), ("far", 0.01))
    ]
