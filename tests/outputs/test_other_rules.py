"""Rule sets of shapes that no file here has can be put in force: every output has an answer or says none."""

from __future__ import annotations

import copy
import itertools
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards.placement_faces import placement_faces
from forty_paces.outputs.cards.poster import poster_document
from forty_paces.outputs.classroom import exercise, forms, lessons, sight_page, sight_table
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.pages import placing, scenes
from forty_paces.outputs.paper.sheets import PAPERS

PROJECT = Path(__file__).resolve().parents[2]
BAN = "No device may stand in the road here."


def banned(layout: dict[str, Any], **band: str) -> dict[str, Any]:
    """A ban for the same roads, within a band of speeds."""
    return {**{key: layout[key] for key in ("citation", "source", "roads")}, "forbidden": BAN, **band}


def banned_in_town(layouts: list[Any]) -> None:
    layouts.append(banned(layouts[0], speed_below="30 mph"))
    layouts[0]["speed_from"] = "30 mph"


def banned_on_fast_roads(layouts: list[Any]) -> None:
    layouts.append(banned(layouts[0], speed_from="50 mph"))
    layouts[0]["speed_below"] = "50 mph"


def banned_everywhere(layouts: list[Any]) -> None:
    layouts[:] = [banned(layout) for layout in layouts]


def only_ahead(layouts: list[Any]) -> None:
    layouts[0]["devices"] = [device for device in layouts[0]["devices"] if device["toward"] == "ahead"]


def one_behind(layouts: list[Any]) -> None:
    for layout in layouts:
        layout["devices"] = [device for device in layout["devices"] if device["distance"] == "100 ft"][:1]


def a_pair_at_one_distance(layouts: list[Any]) -> None:
    far = layouts[0]["devices"][1]
    layouts[0]["devices"].append({**far, "across": "traffic side"})


SHAPES: tuple[Callable[[list[Any]], None], ...] = (
    banned_in_town,
    banned_on_fast_roads,
    banned_everywhere,
    only_ahead,
    one_behind,
    a_pair_at_one_distance,
)


SCENES = (
    "sawmill-straight",
    "quarry-bend",
    "drover-crest",
    "basin-highway-right",
    "ferris-ramp",
    "gorge-bridge",
)
"""Of each kind of road, straight, in a bend and over a crest; on the last nobody can walk."""


@pytest.fixture(params=SHAPES, ids=lambda shape: shape.__name__)
def context(request: pytest.FixtureRequest, library: Library) -> BuildContext:
    """The real content for a carrier under the federal rules, changed to that shape."""
    file = PROJECT / "content" / "rules" / "us.yml"
    fields = copy.deepcopy(yaml.load(file.read_text(encoding="utf-8"), Loader=yaml.BaseLoader))
    request.param(fields["layouts"])
    rules = {**library.rules, "us": RuleFile.model_validate(fields)}
    return BuildContext(replace(library, rules=rules), PROJECT / "site_overrides")


def few_of(values: tuple[int, ...]) -> tuple[int, ...]:
    return (values[0], values[2], values[-1])


@pytest.mark.long
def test_pages_and_classroom_can_be_made(context: BuildContext, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(forms, "SITE_FORMS", 1)  # each form is drawn alike, in many tries
    # All speeds, lights and radii, but of the other axes three values each, the ends among them: the shapes
    # differ by speed and device, and test_sight_table.py holds every row of the whole table to the engine.
    for axis in ("OFFSETS", "CURVES"):
        ends = {unit: few_of(values) for unit, values in getattr(sight_table, axis).items()}
        monkeypatch.setattr(sight_table, axis, ends)
    monkeypatch.setattr(sight_table, "GRADES_PCT", few_of(sight_table.GRADES_PCT))
    few = {name: context.library.scenes[name] for name in SCENES}
    on_few_roads = replace(context, library=replace(context.library, scenes=few))
    made = [part.artifacts(context) for part in (placing, scenes, sight_page)]
    for artifact in itertools.chain(*made, exercise.artifacts(on_few_roads)):
        assert artifact.data
    assert lessons.decks(context)


def test_the_cab_file_can_be_made(context: BuildContext) -> None:
    assert "</html>" in cab_html(context)


def test_cards_show_a_table_of_moved_devices_only_where_one_can_move(context: BuildContext) -> None:
    rules = context.library.rules["us"].rule_set
    shown = [face for face in placement_faces(rules) if face.kind == "moved"]
    placed = [device for layout in rules.layouts for device in layout.devices]
    assert bool(shown) == any(device.toward == "behind" for device in placed)
    for face in shown:
        assert face.table is not None
        assert all(cell.paces for row in face.table.views for cell in row.cells if cell)


def test_the_poster_sends_nobody_to_a_card_that_is_not_there(context: BuildContext) -> None:
    """Bans have no drawing on the poster, but a card of their own, and so a number."""
    faces = placement_faces(context.library.rules["us"].rule_set)
    moved = {face.code for face in faces if face.kind == "lookout"}
    poster = poster_document(context, PAPERS["tabloid"], "poster")
    assert (poster is None) == (not any(face.kind == "placement" and face.drawing for face in faces))
    assert set(re.findall(r"card (PLC[0-9]+)", poster.html if poster else "")) == moved
