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
from collections.abc import Mapping

from generator.drawing import measures
from generator.drawing.causes import WORDS, Cause
from generator.drawing.formats import FORMATS, Format, Size, label_width
from generator.drawing.painter import Painter, entrances, traffic_line
from generator.drawing.roadway import Markings
from generator.drawing.spacing import Sheet, Stop, hidden_block, spaced
from generator.drawing.text import Block, Line
from generator.geometry.placement import streams
from generator.geometry.records import Placement, RoadKind, RuleSet, Situation, Toward
from generator.geometry.walk import walking_order


def draw_placement(
    placement: Placement,
    rules: RuleSet,
    situation: Situation,
    *,
    prefix: str,
    size: Size = Size.TALL,
    causes: Mapping[Toward, Cause] | None = None,
) -> str:
    """The placement as SVG; every id begins with ``prefix``.

    ``causes`` names what hides the view on a side, and is drawn as a small sign there.
    ``ValueError`` for a prefix that cannot start an id, or a placement and a situation of unlike roads.
    """
    if placement.road is not situation.road:
        raise ValueError(
            f"the placement is for a {placement.road} road, the situation a {situation.road} one"
        )
    form = FORMATS[size]
    traffic = dict.fromkeys(
        streams(placement.road), traffic_line(form, measures.speed(situation.speed_mph, rules))
    )
    named = dict(causes or {})
    painter = Painter(
        sheet=lay_out(placement, rules, situation, form, traffic),
        kind=placement.road,
        prefix=prefix,
        markings=markings(rules),
        keep_left=rules.traffic_keeps == "left",
        traffic=traffic,
        causes={toward: (cause,) for toward, cause in named.items()},
    )
    return painter.draw(title=title(placement.road), desc=describe(placement, rules, situation, named))


def markings(rules: RuleSet) -> Markings:
    """The colors a road is marked in where a rule set holds."""
    return Markings.WHITE if rules.center_line == "white" else Markings.YELLOW_CENTER


def title(kind: RoadKind) -> str:
    """What the drawing is."""
    words = {
        RoadKind.TWO_LANE: "two-lane road",
        RoadKind.DIVIDED: "divided road",
        RoadKind.ONE_WAY: "one-way road",
    }
    return f"Warning devices on a {words[kind]}, seen from above"


def hidden_sides(situation: Situation) -> dict[Toward, float]:
    """Where the view is hidden, for the sides from which traffic comes."""
    hidden = {Toward.BEHIND: situation.hidden_behind_ft, Toward.AHEAD: situation.hidden_ahead_ft}
    return {toward: hidden[toward] for toward in streams(situation.road) if math.isfinite(hidden[toward])}


def describe(
    placement: Placement, rules: RuleSet, situation: Situation, causes: Mapping[Toward, Cause]
) -> str:
    """The drawing in sentences, for those who do not see it."""
    said = ["The vehicle stands on the shoulder. Distances are measured from the vehicle."]
    said += [
        measures.device_sentence(number, device, rules)
        for number, device in enumerate(walking_order(placement.devices), 1)
    ]
    for toward, distance_ft in hidden_sides(situation).items():
        why = f" because of {WORDS[causes[toward]]}" if toward in causes else ""
        said.append(
            f"Drivers coming from {toward} cannot see the vehicle from farther than "
            f"{measures.both(distance_ft, rules)}{why}."
        )
    said.append("Not to scale.")
    return " ".join(said)


def lay_out(
    placement: Placement,
    rules: RuleSet,
    situation: Situation,
    form: Format,
    traffic: Mapping[Toward, Line],
) -> Sheet:
    """Where everything is drawn along the road."""
    width = label_width(form, placement.road)
    stops: dict[Toward, list[Stop]] = {Toward.BEHIND: [], Toward.AHEAD: []}
    for number, device in enumerate(walking_order(placement.devices), 1):
        lines = measures.device_lines(device, rules, sizes=form.sizes, width=width)
        stops[device.toward].append(Stop(device.distance_ft, Block(lines), device, number))
    for toward, distance_ft in hidden_sides(situation).items():
        block = hidden_block(measures.distance(distance_ft, rules), form, width)
        stops[toward].append(Stop(distance_ft, block, slot=f"{toward}-hidden"))
    return spaced(
        stops[Toward.BEHIND],
        stops[Toward.AHEAD],
        form,
        width=width,
        entrance=entrances(form, placement.road, traffic),
    )
