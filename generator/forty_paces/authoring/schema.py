"""What authors are given, made from the models: JSON Schema for editors, and skeletons of new files.

One schema per kind of file. A schema sees one file at a time; ``fortypaces check`` also checks references
between files. Every scalar reaches the models as the string in the file, so a schema that says "number"
means digits. In a procedure and in ways_out.yml, ``{use: ID}`` is allowed in place of any record.

A skeleton leaves required values empty, so that ``check`` reports them until they are filled in. Its lines
that begin with ``#`` and no space are optional keys; removing the ``#`` enables them.
"""

from __future__ import annotations

import datetime as dt
import textwrap
from collections.abc import Iterator, Mapping
from enum import Enum
from types import MappingProxyType
from typing import Any, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from forty_paces.authoring.binding import members
from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip, WaysOut
from forty_paces.authoring.models.fleet import Fleet, Vehicle
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.models.layers import EditionFile, LibraryFile
from forty_paces.authoring.models.lesson import Lesson
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.models.scenario import Scenario
from forty_paces.authoring.models.scene import SceneFile
from forty_paces.authoring.models.sources import SourceFile

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


HOW = """\
# Lines with '# ' explain the key below them. Fill in what is empty.
# Keys with '#' right before them may stay out: take the '#' away to use them.
"""
ASK = "# Run 'fortypaces check' as often as you like: it says what is still missing, and where.\n"

HEADS = {
    "procedure": "# A new procedure. "
    + HOW.removeprefix("# ")
    + "# A passage that other procedures hold too stands in content/shared.yml: write {use: ID}.\n"
    + ASK,
    "scene": "# A new scene: a road on which the classroom places devices.\n" + HOW + ASK,
    "lesson": "# A new lesson.\n" + HOW + ASK,
    "scenario": "# A new scenario: moments, choices, what follows. Every path ends, and none leads back.\n"
    "# Lengths, seconds and speeds are figures: write their names in braces, such as {walk}.\n" + HOW + ASK,
    "rules": "# A new rule set. Take every figure from the text of the rule, with its citation, and work\n"
    "# the examples out by hand: an example copied from what the tool answers proves nothing.\n" + HOW + ASK,
    "vehicle": "# A vehicle: put these lines below 'vehicles:' in content/fleet.yml.\n" + HOW,
}
"""What stands at the head of each kind of skeleton."""

MODELS: dict[str, type[BaseModel]] = {
    "procedure": Procedure,
    "scene": SceneFile,
    "lesson": Lesson,
    "scenario": Scenario,
    "rules": RuleFile,
    "vehicle": Vehicle,
}


def skeleton(name: str, today: dt.date, kind: str = "procedure") -> str:
    """The YAML text of a new file, dated ``today``; of a vehicle, the lines of one entry of fleet.yml."""
    given = {"id": name}
    if kind in ("procedure", "lesson", "scenario"):
        given |= {"version": '"1.0"', "effective": today.isoformat()}
    if kind == "procedure":
        given |= {
            "next_review": _a_year_later(today).isoformat(),
            "changes.version": '"1.0"',
            "changes.day": today.isoformat(),
            "changes.what": "First edition.",
        }
    if kind == "vehicle":
        return HEADS[kind] + "\n".join(["  -", *_lines(kind, "    ", given)]) + "\n"
    return HEADS[kind] + "\n".join(["", *_lines(kind, "", given)]) + "\n"


def _lines(kind: str, indent: str, given: dict[str, str]) -> Iterator[str]:
    return (line.rstrip() for line in _keys(MODELS[kind], indent, False, "", given))


def _a_year_later(day: dt.date) -> dt.date:
    try:
        return day.replace(year=day.year + 1)
    except ValueError:  # February 29
        return day.replace(year=day.year + 1, day=28)


def _keys(model: type[BaseModel], indent: str, idle: bool, path: str, given: dict[str, str]) -> Iterator[str]:
    """The lines of one record; ``idle`` if the whole record is optional."""
    for name, field in model.model_fields.items():
        here = f"{path}.{name}" if path else name
        wanted = field.is_required() or any(key == here or key.startswith(f"{here}.") for key in given)
        out = idle or not wanted
        yield from _comment(field, indent)
        yield from _value(name, field.annotation, indent, out, here, given)


def _comment(field: FieldInfo, indent: str) -> Iterator[str]:
    words = field.description or ""
    for choice in members(field.annotation):
        item = next(iter(members(get_args(choice)[0]))) if get_origin(choice) is tuple else choice
        if _is_choice(item):
            words += f" One of: {', '.join(str(member.value) for member in item)}."
    for line in textwrap.wrap(words, 96 - len(indent), break_long_words=False, break_on_hyphens=False):
        yield f"{indent}# {line}"


def _value(
    name: str, annotation: Any, indent: str, out: bool, path: str, given: dict[str, str]
) -> Iterator[str]:
    mark = "#" if out else ""
    inner = next(iter(members(annotation)))
    if get_origin(inner) is tuple:
        item = next(iter(members(get_args(inner)[0])))
        if _is_record(item):
            yield f"{indent}{mark}{name}:"
            yield f"{indent}  {mark}-"
            yield from _keys(item, f"{indent}    ", out, path, given)
        elif name in ("source", "when", "roads", "has", "has_not"):
            yield f"{indent}{mark}{name}: []"
        else:
            yield f"{indent}{mark}{name}:"
            yield f"{indent}  {mark}- "
    elif _is_record(inner):
        yield f"{indent}{mark}{name}:"
        yield from _keys(inner, f"{indent}  ", out, path, given)
    else:
        shown = given.get(path, "")
        yield f"{indent}{mark}{name}: {shown}"


def _is_record(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, BaseModel)


def _is_choice(annotation: Any) -> bool:
    return isinstance(annotation, type) and issubclass(annotation, Enum)
