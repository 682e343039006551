"""The sight explorer: a standalone page that shows why the outermost device moves.

Every number is computed at build time; the script computes none. With scripts off, the page is a readable
table.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from forty_paces.drawing import svg
from forty_paces.drawing.schematic import markings
from forty_paces.outputs.classroom import sight_pictures, sight_table
from forty_paces.outputs.classroom.lengths import LengthFormat
from forty_paces.outputs.classroom.sight_pictures import Picture
from forty_paces.outputs.classroom.sight_table import Choices
from forty_paces.outputs.classroom.standalone import standalone_page
from forty_paces.outputs.common.artifact import Artifact
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.self_contained import inline_json


@dataclass(frozen=True, slots=True)
class RoadPicture:
    """One road of the picture, as the template needs it."""

    svg: str
    hedges: tuple[str, ...]


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page under the fleet's rule set; none if that moves no device on a two-lane road."""
    if is_shown(context):
        yield Artifact("classroom/sight.html", sight_html(context))


def is_shown(context: BuildContext) -> bool:
    """Whether the rule set requires a device behind, on a two-lane road, that could move."""
    return bool(sight_table.choices(context.library.rules[context.library.fleet.rules].rule_set).speeds)


def sight_html(context: BuildContext) -> str:
    """The complete page."""
    rules = context.library.rules[context.library.fleet.rules].rule_set
    told = sight_table.choices(rules)
    ft, reach_ft = told.lengths.ft, told.lengths.ft(told.reach)
    offsets_ft = tuple(ft(offset) for offset in told.offsets)
    draw = partial(Picture, keeps_left=rules.traffic_keeps == "left", markings=markings(rules))
    pictures = [draw(ft(radius), reach_ft, offsets_ft) for radius in told.radii]
    pictures.append(draw(None, reach_ft))
    roads = [_road(picture, ft(told.step)) for picture in pictures]
    table = sight_table.table(rules) | {"step": told.step, "roads": roads}
    return standalone_page(
        context,
        "classroom/sight.html.j2",
        styles=("css/classroom.css", "css/classroom-tools.css"),
        scripts=("classroom/measure.js", "classroom/sight.js"),
        lengths=told.lengths,
        table=table,
        table_json=inline_json(table),
        roads=[RoadPicture(p.svg(), _hedges(p)) for p in pictures],
        printed=_printed(told, table),
        stripes=svg.stripes("sight-stripes", "fp-hidden-ground", "fp-hidden-stripe").write(),
        device=sight_pictures.device().write(),
        width=sight_pictures.WIDTH,
        height=sight_pictures.HEIGHT,
    )


def _hedges(picture: Picture) -> tuple[str, ...]:
    return tuple(picture.hedge(offset) for offset in picture.offsets_ft)


def _road(picture: Picture, step_ft: float) -> dict[str, Any]:
    """Page points and sizes with which the script places marks."""
    return {
        "lane": picture.lane_points(step_ft),
        "stand": picture.stand_points(step_ft),
        "flag": picture.flag_points(step_ft),
        "width": svg.number(sight_pictures.LANE_FT * picture.scale),
        "corners": picture.corners(),
    }


def _printed(told: Choices, table: dict[str, Any]) -> list[dict[str, Any]]:
    """Rows of the readable table: the plain hidden distances, in the first light."""
    first = len(told.radii) * len(told.offsets)
    places, speeds = len(table["places"]), len(told.speeds)
    rows = []
    for index, hidden in enumerate(told.hidden, start=first):
        cells = []
        for speed in range(speeds):
            at = 6 * (speed * places + index)
            distance, _, _, ample, _, _ = table["rows"][at : at + 6]
            cells.append(_said(told.lengths, distance) + ("" if ample else " *"))
        rows.append({"place": _said(told.lengths, hidden), "cells": cells})
    return rows


def _said(lengths: LengthFormat, count: int) -> str:
    return lengths.said(lengths.ft(count)) if lengths.rules.metric else f"{count} ft"
