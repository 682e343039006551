"""Draws a placement in plan at broken scale: what a driver looks at to put devices out.

Distances keep their order but not their scale; zigzag gaps mark where road is left out.
Spacing follows from the measured labels, so that texts cannot overlap.

Stations here are page units: 0 at the vehicle's rear, rising in its direction of
travel. Devices are numbered in walking order.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from forty_paces.drawing import labels
from forty_paces.drawing.formats import FORMATS, Format, Size, label_width
from forty_paces.drawing.roadway import Markings
from forty_paces.drawing.schematic_layout import SchematicLayout
from forty_paces.drawing.schematic_renderer import SchematicRenderer, entrances, traffic_line
from forty_paces.drawing.station_scale import StationMark, StationScale, hidden_block, spaced
from forty_paces.drawing.surroundings import PANEL_HEIGHT, hill_panel
from forty_paces.drawing.svg import Element, element
from forty_paces.drawing.svg import number as number_text
from forty_paces.drawing.symbols import Cause
from forty_paces.drawing.text import TextBlock, TextLine
from forty_paces.geometry.placement import streams
from forty_paces.geometry.records import Placement, RuleSet, Situation, Toward
from forty_paces.geometry.road import Turn
from forty_paces.geometry.walk import walking_order
from forty_paces.messages.drawings import describe_placement, placement_title
from forty_paces.messages.quantities import length, posted_speed


def draw_placement(
    placement: Placement,
    rules: RuleSet,
    situation: Situation,
    *,
    prefix: str,
    size: Size = Size.TALL,
    causes: Mapping[Toward, Cause] | None = None,
    shaped: bool = False,
    street: bool = False,
) -> str:
    """Draw the placement as SVG; every id begins with ``prefix``.

    ``causes`` names the obstruction on a side, drawn as a small sign there. ``shaped``
    also gives the road its shape: bends bend, a hill is shown in profile above the plan, an
    obstruction is drawn beside the road; such drawings want the tall or the wide size. ``street``
    draws the far side of a town street.
    ``ValueError`` for a prefix that cannot start an id, or where placement and situation have different
    kinds of road.
    """
    if placement.road is not situation.road:
        raise ValueError(
            f"the placement is for a {placement.road} road, the situation a {situation.road} one"
        )
    form = FORMATS[size]
    named = {toward: cause for toward, cause in (causes or {}).items() if toward in hidden_sides(situation)}
    bends = {toward: _turn(toward, cause) for toward, cause in named.items() if shaped and cause in _BENDS}
    line = traffic_line(form, posted_speed(rules, situation.speed_mph))
    crowded = _hidden_past_devices(placement, situation) if size is Size.CARD else frozenset()
    traffic = {toward: line for toward in streams(placement.road) if toward not in crowded}
    hills = [toward for toward, cause in named.items() if shaped and cause is Cause.HILL]

    def ground_on(form: Format) -> SchematicLayout:
        return SchematicLayout(
            sheet=lay_out(placement, rules, situation, form, traffic),
            kind=placement.road,
            markings=markings(rules),
            keep_left=rules.traffic_keeps == "left",
            bends=bends,
            blocks=frozenset(
                toward for toward, cause in named.items() if shaped and cause is Cause.OBSTRUCTION
            ),
            street=street,
            panel=PANEL_HEIGHT * len(hills),
        )

    ground = ground_on(form)
    while not ground.clear:
        form = replace(form, gap=form.gap + 6)
        ground = ground_on(form)
    painter = SchematicRenderer(
        ground=ground,
        prefix=prefix,
        traffic=traffic,
        causes={toward: (cause,) for toward, cause in named.items()},
        panel=[
            panel
            for index, toward in enumerate(hills)
            for panel in _hill(placement, situation, ground, toward, index * PANEL_HEIGHT)
        ],
    )
    return painter.draw(
        title=placement_title(placement.road),
        desc=describe_placement(placement, rules, hidden_sides(situation), named),
    )


def _hidden_past_devices(placement: Placement, situation: Situation) -> frozenset[Toward]:
    """Sides whose hidden stretch begins beyond every device: a card has no space for more text there."""
    outermost = dict.fromkeys(Toward, 0.0)
    for device in placement.devices:
        outermost[device.toward] = max(outermost[device.toward], device.distance_ft)
    return frozenset(t for t, hidden_ft in hidden_sides(situation).items() if hidden_ft > outermost[t])


_BENDS = (Cause.BEND_RIGHT, Cause.BEND_LEFT)


def _turn(toward: Toward, cause: Cause) -> Turn:
    """The road's turn in the vehicle's direction of travel: for traffic from ahead it is the opposite."""
    right = (cause is Cause.BEND_RIGHT) is (toward is Toward.BEHIND)
    return Turn.RIGHT if right else Turn.LEFT


def _hill(
    placement: Placement, situation: Situation, ground: SchematicLayout, toward: Toward, top: float
) -> list[Element]:
    """The profile panel of a hill, with the device on the approaching driver's side of the crest."""
    hidden_ft = hidden_sides(situation)[toward]
    numbers = [
        number
        for number, device in enumerate(walking_order(placement.devices), 1)
        if device.toward is toward and device.distance_ft >= hidden_ft
    ]
    shapes = hill_panel(
        min(ground.page[0], 560.0),
        from_behind=toward is Toward.BEHIND,
        number=numbers[-1] if numbers else None,
        sizes=ground.form.sizes,
    )
    return [element("g", "", shapes, transform=f"translate(0,{number_text(top)})")] if top else shapes


def markings(rules: RuleSet) -> Markings:
    """Return the marking colors of the roads where a rule set applies."""
    return Markings.WHITE if rules.center_line == "white" else Markings.YELLOW_CENTER


def hidden_sides(situation: Situation) -> dict[Toward, float]:
    """Return where the view ends, for the sides from which traffic comes and something hides the vehicle."""
    hidden = {Toward.BEHIND: situation.hidden_behind_ft, Toward.AHEAD: situation.hidden_ahead_ft}
    return {toward: hidden[toward] for toward in streams(situation.road) if math.isfinite(hidden[toward])}


def lay_out(
    placement: Placement,
    rules: RuleSet,
    situation: Situation,
    form: Format,
    traffic: Mapping[Toward, TextLine],
) -> StationScale:
    """Lay out devices and hidden stretches along the road."""
    width = label_width(form, placement.road)
    stops: dict[Toward, list[StationMark]] = {Toward.BEHIND: [], Toward.AHEAD: []}
    for number, device in enumerate(walking_order(placement.devices), 1):
        lines = labels.device_lines(device, rules, sizes=form.sizes, width=width)
        stops[device.toward].append(StationMark(device.distance_ft, TextBlock(lines), device, number))
    for toward, distance_ft in hidden_sides(situation).items():
        block = hidden_block(length(rules, distance_ft), form, width)
        stops[toward].append(StationMark(distance_ft, block, slot=f"{toward}-hidden"))
    return spaced(
        stops[Toward.BEHIND],
        stops[Toward.AHEAD],
        form,
        width=width,
        entrance=entrances(form, placement.road, traffic),
    )
