"""The distance finder of the cab file: choices, placement data, and drawings that the script relabels.

The script computes every distance from the placement data, by the model of the placement engine.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from markupsafe import Markup

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.drawing.causes import WORDS, Cause
from forty_paces.drawing.finder import draw_finder
from forty_paces.drawing.formats import Size
from forty_paces.geometry import units
from forty_paces.geometry.explanation import length
from forty_paces.geometry.records import RoadKind, RuleSet
from forty_paces.outputs.cab.placement_data import placement_data, speeds
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
    "What stands chosen at first, the words for what hides the vehicle, and trailers, for the script."
    placement: dict[str, Any]
    "The placement data, for the script."


def finder_view(rule_file: RuleFile, vehicles: Iterable[Vehicle]) -> FinderView:
    """The finder for a rule set, with trailer lengths for vehicles whose trailer is measured."""
    rules = rule_file.rule_set
    data = _placement_data(rule_file)
    trailers = {vehicle.id: vehicle.trailer_ft for vehicle in vehicles if vehicle.trailer_ft}
    usual = min(range(len(data["speeds"])), key=lambda at: abs(data["speeds"][at]["mph"] - USUAL_SPEED_MPH))
    chosen = {
        "road": 0,
        "speed": usual,
        "visibility": data["default_visibility"],
        "grade": [grade["pct"] for grade in data["grades"]].index(0),
    }
    counts = [("paces", "Paces")]
    if rules.lane_line_ft:
        counts.append(("lines", "Lane lines"))
    if trailers:
        counts.append(("trailers", "Trailer lengths"))
    return FinderView(
        roads=_choices((ROAD_WORDS[RoadKind(road)] for road in data["roads"]), chosen["road"]),
        speeds=_choices((speed["text"] for speed in data["speeds"]), chosen["speed"]),
        visibilities=_choices((entry["title"] for entry in data["visibility"]), chosen["visibility"]),
        grades=_choices((grade_words(grade["pct"]) for grade in data["grades"]), chosen["grade"]),
        hidden=tuple(_lengths(rules, data["lengths"]["sight"])),
        causes=tuple((cause.value, CAUSE_BUTTONS[cause]) for cause in Cause),
        sides=tuple(SIDE_WORDS.items()),
        counts=tuple(counts),
        drawings=tuple(_drawings(rules)),
        values={
            "chosen": chosen,
            "causes": {cause.value: words for cause, words in WORDS.items()},
            "trailers": trailers,
        },
        placement=data,
    )


@lru_cache(maxsize=4)
def _placement_data(rule_file: RuleFile) -> dict[str, Any]:
    """The placement data of a rule file, computed once for all the files of an edition."""
    return placement_data(rule_file)


def grade_words(pct: float) -> str:
    """A grade as drivers meet it: 'Level', '3 percent downhill'."""
    return "Level" if not pct else f"{abs(pct):g} percent {'uphill' if pct > 0 else 'downhill'}"


def _choices(words: Iterable[str], chosen: int) -> tuple[FinderOption, ...]:
    return tuple(FinderOption(place, each, chosen=place == chosen) for place, each in enumerate(words))


def _lengths(rules: RuleSet, lengths_ft: Iterable[float]) -> Iterable[FinderOption]:
    """Distances to choose from; 0 is left to the answer that nothing hides the vehicle."""
    for place, length_ft in enumerate(lengths_ft, 1):
        counts = [("paces", units.in_paces(length_ft, rules.pace_ft))]
        if rules.lane_line_ft:
            counts.append(("lines", units.in_cycles(length_ft, rules.lane_line_ft)))
        yield FinderOption(place, length(rules, length_ft), tuple(counts))


def _drawings(rules: RuleSet) -> Iterable[FinderDrawing]:
    """One template for each road, layout used on it, and size; none where devices are forbidden."""
    for road in RoadKind:
        drawn = set()
        for speed_mph in speeds(rules):
            layout = rules.layouts.index(rules.layout(road, speed_mph))
            if layout in drawn or not rules.layouts[layout].devices:
                continue
            drawn.add(layout)
            for size in SIZES:
                prefix = f"finder-{road}-{layout}-{size.value}"
                svg = draw_finder(rules, road, speed_mph=speed_mph, prefix=prefix, size=size)
                yield FinderDrawing(road, layout, size.value, prefix, Markup(svg))
