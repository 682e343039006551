"""JSON Schema for editors: completion and hints while a content file is written.

In: the models. Out: one schema a kind of file. Refuses to be the judge: an
editor's schema knows one file at a time, ``fortypaces check`` knows them all.

Every scalar reaches the models as the text it was written as, so a schema that
says "number" means digits. Where a procedure may hold a record, ``{use: ID}``
may stand for it.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel

from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip
from forty_paces.authoring.models.fleet import Fleet
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.models.lesson import Lesson
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.models.scene import SceneFile
from forty_paces.authoring.models.sources import SourceFile

KINDS: Mapping[str, tuple[str, type[BaseModel]]] = MappingProxyType(
    {
        "procedure": ("content/procedures/*.yml", Procedure),
        "rules": ("content/rules/*.yml", RuleFile),
        "scene": ("content/scenes/*.yml", SceneFile),
        "lesson": ("content/lessons/*.yml", Lesson),
        "fleet": ("content/fleet.yml", Fleet),
        "sources": ("content/sources.yml", SourceFile),
        "glossary": ("content/glossary.yml", Glossary),
        "before_trip": ("content/before_trip.yml", BeforeTrip),
        "after_event": ("content/after_event.yml", AfterEvent),
    }
)
"""Kind of file -> the files it describes, and the model that reads them."""

DRAFT = "https://json-schema.org/draft/2020-12/schema"
"""The name of the schema language; nothing is fetched from there."""

_USE = {
    "type": "object",
    "description": "A passage of content/shared.yml, by its id.",
    "properties": {"use": {"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"}},
    "required": ["use"],
    "additionalProperties": False,
}


def json_schema(kind: str) -> dict[str, Any]:
    """The schema of one kind of file; ``KeyError`` for a kind that KINDS does not list."""
    files, model = KINDS[kind]
    schema: dict[str, Any] = _with_numbers(model.model_json_schema())
    if model is Procedure:
        schema = _with_use(schema)
        schema["$defs"]["Use"] = _USE
    return {
        "$schema": DRAFT,
        "title": f"{kind}: {files}",
        **{k: v for k, v in schema.items() if k != "title"},
    }


def _with_numbers(node: Any) -> Any:
    """Every text may be a bare number: an edition of 2025, a version 1.0. The models read both as text."""
    if isinstance(node, list):
        return [_with_numbers(item) for item in node]
    if not isinstance(node, dict):
        return node
    if node.get("type") == "string" and not node.keys() & {"format", "enum", "const"}:
        node = {**node, "type": ["string", "number"]}
    return {key: _with_numbers(value) for key, value in node.items()}


def _with_use(node: Any) -> Any:
    """Every pointer to a record also admits ``{use: ID}``."""
    if isinstance(node, list):
        return [_with_use(item) for item in node]
    if not isinstance(node, dict):
        return node
    if "$ref" in node and node["$ref"].rsplit("/", 1)[1] not in _ENUMS:
        pointer = {"$ref": node["$ref"]}
        others = {key: value for key, value in node.items() if key != "$ref"}
        return {**others, "anyOf": [pointer, {"$ref": "#/$defs/Use"}]}
    return {key: _with_use(value) for key, value in node.items()}


_ENUMS = frozenset({"Group", "Signal", "Unit", "Condition"})
"""Records can be shared, single words cannot."""
