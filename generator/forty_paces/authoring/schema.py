"""JSON Schema for editors: completion and hints while a content file is written.

One schema per kind of file, generated from the models. A schema sees one file at a time;
``fortypaces check`` also checks references between files.

Every scalar reaches the models as the string in the file, so a schema that says "number"
means digits. In a procedure and in ways_out.yml, ``{use: ID}`` is allowed in place of any record.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel

from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip
from forty_paces.authoring.models.edition import EditionFile
from forty_paces.authoring.models.fleet import Fleet
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.models.layers import LibraryFile
from forty_paces.authoring.models.lesson import Lesson
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.models.scenario import Scenario
from forty_paces.authoring.models.scene import SceneFile
from forty_paces.authoring.models.sources import SourceFile
from forty_paces.authoring.models.ways_out import WaysOut

KINDS: Mapping[str, tuple[str, type[BaseModel]]] = MappingProxyType(
    {
        "procedure": ("content/procedures/*.yml", Procedure),
        "rules": ("content/rules/*.yml", RuleFile),
        "scene": ("content/scenes/*.yml", SceneFile),
        "lesson": ("content/lessons/*.yml", Lesson),
        "scenario": ("content/scenarios/*.yml", Scenario),
        "fleet": ("content/fleet.yml", Fleet),
        "library": ("content/library.yml", LibraryFile),
        "edition": ("content/editions/*.yml", EditionFile),
        "sources": ("content/sources.yml", SourceFile),
        "glossary": ("content/glossary.yml", Glossary),
        "before_trip": ("content/before_trip.yml", BeforeTrip),
        "after_event": ("content/after_event.yml", AfterEvent),
        "ways_out": ("content/ways_out.yml", WaysOut),
    }
)
"""Kind of file -> the files it describes, and their model."""

DRAFT = "https://json-schema.org/draft/2020-12/schema"
"""Identifier of the JSON Schema dialect; nothing is fetched from there."""

_USE = {
    "type": "object",
    "description": "A passage of content/shared.yml, by its id.",
    "properties": {"use": {"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"}},
    "required": ["use"],
    "additionalProperties": False,
}


def json_schema(kind: str) -> dict[str, Any]:
    """The schema of one kind of file; ``KeyError`` for a kind not in :data:`KINDS`."""
    files, model = KINDS[kind]
    schema: dict[str, Any] = _with_numbers(model.model_json_schema())
    if model in (Procedure, WaysOut):
        schema = _with_use(schema)
        schema["$defs"]["Use"] = _USE
    return {
        "$schema": DRAFT,
        "title": f"{kind}: {files}",
        **{k: v for k, v in schema.items() if k != "title"},
    }


def _with_numbers(node: Any) -> Any:
    """Allow an unquoted number wherever a string is expected, such as an edition of 2025 or a version 1.0."""
    if isinstance(node, list):
        return [_with_numbers(item) for item in node]
    if not isinstance(node, dict):
        return node
    if node.get("type") == "string" and not node.keys() & {"format", "enum", "const"}:
        node = {**node, "type": ["string", "number"]}
    return {key: _with_numbers(value) for key, value in node.items()}


def _with_use(node: Any) -> Any:
    """Allow ``{use: ID}`` wherever a record is referenced."""
    if isinstance(node, list):
        return [_with_use(item) for item in node]
    if not isinstance(node, dict):
        return node
    if "$ref" in node and node["$ref"].rsplit("/", 1)[1] not in _ENUMS:
        pointer = {"$ref": node["$ref"]}
        others = {key: value for key, value in node.items() if key != "$ref"}
        return {**others, "anyOf": [pointer, {"$ref": "#/$defs/Use"}]}
    return {key: _with_use(value) for key, value in node.items()}


_ENUMS = frozenset({"Group", "Signal", "Unit", "Condition", "Service"})
"""Enumerations: ``{use: ID}`` stands for records only."""
