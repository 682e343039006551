"""A placement seen from above, at broken scale: what a driver looks at to put devices out.

In: a Placement with its rule set and situation. Out: SVG. Distances keep their
order but not their scale; zigzag gaps say where road is left out. Spacing follows
from the measured labels, so words cannot run into one another. It refuses to
compute any distance.

Stations here are page units: 0 at the vehicle's rear, rising in its direction of
travel. Devices carry the number of their place in ``placement.devices``.
"""

from __future__ import annotations

import math

from generator.drawing import measures
from generator.drawing.formats import FORMATS, Format, Size, label_width
from generator.drawing.painter import Painter
from generator.drawing.roadway import Markings
from generator.drawing.spacing import Sheet, Stop, hidden_lines, spaced
from generator.drawing.text import Block
from generator.geometry.records import Placement, RoadKind, RuleSet, Situation, Toward


def draw_placement(
    placement: Placement,
    rules: RuleSet,
    situation: Situation,
    *,
    prefix: str,
    size: Size = Size.TALL,
    markings: Markings = Markings.YELLOW_CENTER,
    keep_left: bool = False,
) -> str:
    """The placement as SVG; every id begins with ``prefix``.

    ``ValueError`` for a prefix that cannot start an id, or a placement and a situation of unlike roads.
    """
    if placement.road is not situation.road:
        raise ValueError(
            f"the placement is for a {placement.road} road, the situation a {situation.road} one"
        )
    form = FORMATS[size]
    sheet = lay_out(placement, rules, situation, form)
    painter = Painter(
        sheet=sheet,
        kind=placement.road,
        prefix=prefix,
        markings=markings,
        keep_left=keep_left,
        traffic=traffic_words(placement.road, measures.speed(situation.speed_mph, rules)),
    )
    return painter.draw(title=title(placement.road), desc=describe(placement, rules, situation))


def title(kind: RoadKind) -> str:
    """What the drawing is."""
    words = {
        RoadKind.TWO_LANE: "two-lane road",
        RoadKind.DIVIDED: "divided road",
        RoadKind.ONE_WAY: "one-way road",
    }
    return f"Warning devices on a {words[kind]}, seen from above"


def describe(placement: Placement, rules: RuleSet, situation: Situation) -> str:
    """The drawing in sentences, for those who do not see it."""
    said = ["The vehicle stands on the shoulder. Distances are measured from the vehicle."]
    said += [
        measures.device_sentence(number, device, rules) for number, device in enumerate(placement.devices, 1)
    ]
    for where, distance_ft in (("behind", situation.hidden_behind_ft), ("ahead", situation.hidden_ahead_ft)):
        if math.isfinite(distance_ft):
            said.append(
                f"Drivers coming from {where} cannot see the vehicle from farther than "
                f"{measures.both(distance_ft, rules)}."
            )
    said.append("Not to scale.")
    return " ".join(said)


def traffic_words(kind: RoadKind, speed: str) -> dict[Toward, tuple[str, ...]]:
    """What is written at each stream of traffic."""
    words: dict[Toward, tuple[str, ...]] = {Toward.BEHIND: ("Traffic", speed)}
    if kind is RoadKind.TWO_LANE:
        words[Toward.AHEAD] = ("Traffic", speed)
    return words


def lay_out(placement: Placement, rules: RuleSet, situation: Situation, form: Format) -> Sheet:
    """Where everything is drawn along the road."""
    stops: dict[Toward, list[Stop]] = {Toward.BEHIND: [], Toward.AHEAD: []}
    for number, device in enumerate(placement.devices, 1):
        lines = measures.device_lines(
            device, rules, sizes=form.sizes, width=label_width(form, placement.road)
        )
        stops[device.toward].append(Stop(device.distance_ft, Block(lines), device, number))
    hidden = {Toward.BEHIND: situation.hidden_behind_ft, Toward.AHEAD: situation.hidden_ahead_ft}
    for toward, distance_ft in hidden.items():
        if math.isfinite(distance_ft):
            block = Block(
                hidden_lines(measures.distance(distance_ft, rules), form, label_width(form, placement.road))
            )
            stops[toward].append(Stop(distance_ft, block))
    return spaced(stops[Toward.BEHIND], stops[Toward.AHEAD], form, label_width(form, placement.road))
