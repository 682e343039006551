"""The sight explorer: a standalone page that shows why the outermost device moves.

Every number is computed at build time; the script computes none. With scripts off, the page is a readable
table.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from forty_paces.drawing import svg
from forty_paces.drawing.schematic import markings
from forty_paces.drawing.svg import Point, points
from forty_paces.geometry import placement
from forty_paces.geometry.records import RoadKind, RuleSet, Toward
from forty_paces.geometry.scene import Scene
from forty_paces.geometry.solver import solve_scene
from forty_paces.messages.classroom import SIGHT, TASK
from forty_paces.messages.languages import cached_by_language
from forty_paces.outputs.classroom import how_many, sight_pictures, sight_table
from forty_paces.outputs.classroom.sight_pictures import BendPicture, CrestPicture, Picture
from forty_paces.outputs.classroom.sight_table import NOT_HIDDEN, Choices, Row, SightLimit
from forty_paces.outputs.classroom.standalone import standalone_page
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import inline_json


@dataclass(frozen=True, slots=True)
class RoadPicture:
    """One road of the picture, as the template needs it."""

    svg: str
    rocks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class HundredDrivers:
    """How many drivers can stop on one example road, as the template needs it."""

    road: str
    svg: str
    text: str
    assumed: tuple[str, ...]


OPENING_SPEED = 6
"The speed with which the page opens, as an index."
EXAMPLE = (3, 0)
"Radius and rock of the example road, as indexes: those with which the page opens."


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page under the fleet's rule set; none if that moves no device on a two-lane road."""
    if is_shown(context):
        yield Artifact("classroom/sight.html", context.kept(sight_html))


def is_shown(context: BuildContext) -> bool:
    """Whether the rule set requires a device behind, on a two-lane road, that could move."""
    return bool(sight_table.choices(context.library.rules[context.library.fleet.rules].rule_set).speeds)


def sight_html(context: BuildContext) -> str:
    """The complete page."""
    explorer = _explorer(context.library.rules[context.library.fleet.rules].rule_set)
    return standalone_page(
        context,
        "classroom/sight.html.j2",
        styles=("css/classroom.css", "css/classroom-tools.css"),
        scripts=("classroom/measure.js", "classroom/sight.js"),
        lengths=explorer.options.lengths,
        table=explorer.table,
        table_json=explorer.table_json,
        roads=explorer.roads,
        printed=_printed(explorer.options, explorer.table),
        hundred=explorer.hundred,
        stripes=svg.stripes("sight-stripes", "fp-hidden-ground", "fp-hidden-stripe").write(),
        device=sight_pictures.device().write(),
        width=sight_pictures.WIDTH,
        height=sight_pictures.HEIGHT,
    )


@dataclass(frozen=True, slots=True)
class _Explorer:
    """What the page shows under one rule set."""

    options: Choices
    table: dict[str, Any]
    table_json: str
    roads: tuple[RoadPicture, ...]
    hundred: HundredDrivers | None
    "None where no device moves on the example road."


@cached_by_language(maxsize=2)  # a preview builds again after every edit, and few edits change the rules
def _explorer(rules: RuleSet) -> _Explorer:
    options = sight_table.choices(rules)
    pictures = drawn_roads(rules, options)
    table = sight_table.table(rules)
    page = {
        "step": options.step,
        "page": [sight_pictures.WIDTH, sight_pictures.HEIGHT],
        "words": dict(SIGHT),
    }
    data = table | page | _drawn(rules, options, table, pictures)
    roads = tuple(RoadPicture(picture.svg(), picture.rocks()) for picture in pictures)
    return _Explorer(options, table, inline_json(data), roads, _hundred(rules, options))


def _hundred(rules: RuleSet, options: Choices) -> HundredDrivers | None:
    """The example road at the speed and in the light with which the page opens."""
    radius, rock = EXAMPLE
    setting = options.settings[radius * len(options.offsets) + rock]
    speed_mph = options.speeds_mph[min(OPENING_SPEED, len(options.speeds) - 1)]
    solved = solve_scene(rules, options.scene(setting, speed_mph, rules.visibility[0]))
    pair = next(how_many.compared(solved, rules), None)
    if pair is None:
        return None
    bend = TASK["bend"].format(radius=f"{setting.first:,}", offset=setting.second, unit=options.lengths.unit)
    road = TASK["example"].format(
        road=bend, speed=options.lengths.posted(speed_mph), light=rules.visibility[0].title
    )
    drawn = how_many.picture(pair, rules, "hundred")
    return HundredDrivers(road, drawn, how_many.in_words(pair, rules), how_many.assumed(rules))


def drawn_roads(rules: RuleSet, options: Choices) -> list[Picture]:
    """A drawing for each radius, with every rock that may stand there, then one for each crest."""
    reach_ft, seen = options.lengths.ft(options.reach), rules.visibility[0]
    scenes = dict(zip(options.settings, options.scenes(options.speeds_mph[0], seen), strict=True))
    bends: dict[int, list[Scene]] = {}
    crests: list[Picture] = []
    for setting, scene in scenes.items():
        if setting.cause is SightLimit.BEND:
            bends.setdefault(setting.first, []).append(scene)
        else:
            crests.append(CrestPicture(scene, reach_ft))
    return [*(BendPicture(bend, reach_ft, markings(rules)) for bend in bends.values()), *crests]


def rows_of(table: dict[str, Any], place: int) -> list[Row]:
    """Every row of one road: at each speed in each light."""
    width, places = len(Row._fields), table["places"]
    starts = range(place * width, len(table["rows"]), places * width)
    return [Row(*table["rows"][start : start + width]) for start in starts]


def _drawn(
    rules: RuleSet, options: Choices, table: dict[str, Any], pictures: list[Picture]
) -> dict[str, list[Any]]:
    """For each place its drawing, and for each drawing the page points of every distance in its rows."""
    ft, step_ft = options.lengths.ft, options.lengths.ft(options.step)
    outermost = placement.nearest_first(
        rules.layout(RoadKind.TWO_LANE, options.speeds_mph[0]), Toward.BEHIND
    )[-1]
    across, roads = outermost.across, []
    bends, rocks = len(options.radii), len(options.offsets)
    drawn = [
        place // rocks if setting.cause is SightLimit.BEND else place - bends * rocks + bends
        for place, setting in enumerate(options.settings)
    ]

    def spots(counts: Iterable[int], at: Callable[[float], Point]) -> dict[int, str]:
        return {count: points([at(ft(count))]) for count in sorted(set(counts))}

    for index, picture in enumerate(pictures):
        rows = [
            row for place, drawing in enumerate(drawn) if drawing == index for row in rows_of(table, place)
        ]
        bases = table["base"] if isinstance(table["base"], list) else [table["base"]]
        stood = {*bases, *(row.distance for row in rows)}
        roads.append(
            {
                "eyes": spots([n for row in rows for n in (row.alone, row.seen)], picture.eye),
                "hidden": spots([row.hidden for row in rows if row.hidden != NOT_HIDDEN], picture.road),
                "stands": spots(stood, partial(picture.stand, across=across)),
                "flags": spots(stood, partial(picture.flag, across=across)),
                "aims": spots(stood, partial(picture.aim, across=across)),
                "vehicle": points([picture.vehicle()]),
                "lane": points(list(sight_pictures.along(picture, ft(options.reach), step_ft))),
                "width": svg.number(picture.width),
                "heights": picture.heights,
                "corners": picture.corners(),
            }
        )
    return {"drawn": drawn, "roads": roads}


def _printed(options: Choices, table: dict[str, Any]) -> list[dict[str, Any]]:
    """Rows of the readable table: every road, in the first light."""
    unit, rows = options.lengths.unit, []
    for place, setting in enumerate(options.settings):
        road_rows = rows_of(table, place)[: len(options.speeds)]
        if setting.cause is SightLimit.BEND:
            road = TASK["bend"].format(radius=f"{setting.first:,}", offset=setting.second, unit=unit)
        else:
            road = TASK["crest"].format(grade=setting.first, length=f"{setting.second:,}", unit=unit)
        cells = [_length(options, row.distance) + ("" if row.ample else " *") for row in road_rows]
        hidden = min((row.hidden for row in road_rows if row.hidden != NOT_HIDDEN), default=None)
        rows.append(
            {
                "road": road,
                "hidden": _length(options, hidden) if hidden else TASK["not-hidden"],
                "cells": cells,
            }
        )
    return rows


def _length(options: Choices, count: int) -> str:
    return options.lengths.text(options.lengths.ft(count))
