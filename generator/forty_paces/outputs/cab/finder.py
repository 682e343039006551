"""The distance finder of the cab file: choices, the lookup table, and drawings that the script relabels.

Every distance and its wording come from the table; the script computes none.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from markupsafe import Markup

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.worked_examples import placement_table
from forty_paces.drawing.causes import WORDS, Cause
from forty_paces.drawing.finder import draw_finder
from forty_paces.drawing.formats import Size
from forty_paces.geometry import units
from forty_paces.geometry.records import RoadKind
from forty_paces.outputs.cab.tables import ROAD_WORDS

SIZES = (Size.WIDE, Size.TALL)
"""Wide for tablets, tall for phones."""

USUAL_SPEED_MPH = 55.0
"""The speed selected at first; any other is one tap away."""

SIDE_WORDS = {"behind": "drivers behind you", "ahead": "drivers ahead of you"}

CAUSE_BUTTONS = {
    Cause.BEND_RIGHT: "Right bend",
    Cause.BEND_LEFT: "Left bend",
    Cause.HILL: "Hill",
    Cause.OBSTRUCTION: "Something else",
}


@dataclass(frozen=True, slots=True)
class FinderOption:
    """One button: its index on the axis, its label and, for a distance, the same in other counts."""

    place: int
    words: str
    counts: tuple[tuple[str, str], ...] = ()
    "Pairs such as ('paces', '40 paces')."
    chosen: bool = False


@dataclass(frozen=True, slots=True)
class FinderDrawing:
    """The SVG template for one kind of road, one layout and one size."""

    road: str
    layout: int
    size: str
    prefix: str
    svg: Markup


@dataclass(frozen=True, slots=True)
class FinderView:
    """Everything the finder's screen needs."""

    roads: tuple[FinderOption, ...]
    speeds: tuple[FinderOption, ...]
    visibilities: tuple[FinderOption, ...]
    grades: tuple[FinderOption, ...]
    hidden: tuple[FinderOption, ...]
    causes: tuple[tuple[str, str], ...]
    "Ids and labels of what may hide the vehicle."
    sides: tuple[tuple[str, str], ...]
    counts: tuple[tuple[str, str], ...]
    "Ways to count a hidden distance: ids and labels."
    drawings: tuple[FinderDrawing, ...]
    values: dict[str, Any]
    "The table and related values, for the script."


def finder_view(rule_file: RuleFile, vehicles: Iterable[Vehicle]) -> FinderView:
    """The finder for a rule set, with trailer lengths for vehicles whose trailer is measured."""
    table = json.loads(_table_text(rule_file))
    axes = table["axes"]
    trailers = _trailers(table, vehicles)
    speeds = axes["speed"]["mph"]
    usual_speed = min(range(len(speeds)), key=lambda place: abs(speeds[place] - USUAL_SPEED_MPH))
    level = axes["grade"]["pct"].index(0)
    default = axes["visibility"]["default"]
    chosen = {"road": 0, "speed": usual_speed, "visibility": default, "grade": level}
    counts = [("paces", "Paces")]
    if any(table["lengths"]["lines"]):
        counts.append(("lines", "Lane lines"))
    if trailers:
        counts.append(("trailers", "Trailer lengths"))
    return FinderView(
        roads=_choices((ROAD_WORDS[RoadKind(road)] for road in axes["road"]), chosen["road"]),
        speeds=_choices(axes["speed"]["text"], chosen["speed"]),
        visibilities=_choices(axes["visibility"]["text"], chosen["visibility"]),
        grades=_choices((words.capitalize() for words in axes["grade"]["text"]), chosen["grade"]),
        hidden=tuple(_hidden(table)),
        causes=tuple((cause.value, CAUSE_BUTTONS[cause]) for cause in Cause),
        sides=tuple(SIDE_WORDS.items()),
        counts=tuple(counts),
        drawings=tuple(_drawings(rule_file, table)),
        values={
            "table": table,
            "chosen": chosen,
            "causes": {cause.value: words for cause, words in WORDS.items()},
            "trailers": trailers,
        },
    )


@lru_cache(maxsize=4)
def _table_text(rule_file: RuleFile) -> str:
    """The lookup table of a rule file as JSON, computed once for all the files of an edition."""
    return placement_table(rule_file)


def _choices(words: Iterable[str], chosen: int) -> tuple[FinderOption, ...]:
    return tuple(FinderOption(place, each, chosen=place == chosen) for place, each in enumerate(words))


def _hidden(table: dict[str, Any]) -> Iterable[FinderOption]:
    """The hidden distances; the axis' entry for a view that is not hidden has another button."""
    lengths = table["lengths"]
    for place, length in enumerate(table["axes"]["hidden"]["length"]):
        if length >= 0:
            counts = (("paces", lengths["paces_text"][length]), ("lines", lengths["lines"][length]))
            yield FinderOption(place, lengths["text"][length], tuple(pair for pair in counts if pair[1]))


def _trailers(table: dict[str, Any], vehicles: Iterable[Vehicle]) -> dict[str, list[str]]:
    """Every length of the table in trailer lengths, for each vehicle whose trailer is measured."""
    return {
        vehicle.id: [units.in_trailers(length_ft, vehicle.trailer_ft) for length_ft in table["lengths"]["ft"]]
        for vehicle in vehicles
        if vehicle.trailer_ft
    }


def _drawings(rule_file: RuleFile, table: dict[str, Any]) -> Iterable[FinderDrawing]:
    """One template for each road, layout used on it, and size; none where devices are forbidden."""
    speeds = table["axes"]["speed"]["mph"]
    for road in table["axes"]["road"]:
        for layout in dict.fromkeys(table["layout"][road]):
            if not table["layouts"][layout]["devices"]:
                continue
            speed_mph = speeds[table["layout"][road].index(layout)]
            for size in SIZES:
                prefix = f"finder-{road}-{layout}-{size.value}"
                svg = draw_finder(
                    rule_file.rule_set, RoadKind(road), speed_mph=speed_mph, prefix=prefix, size=size
                )
                yield FinderDrawing(road, layout, size.value, prefix, Markup(svg))
