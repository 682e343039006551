"""The authors' manual: every key of the content files, made from the pydantic models and the wording rules.

Keys are described in the models' own words alone, so that the page cannot differ from what the build accepts.
"""

from __future__ import annotations

import datetime as dt
import types
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from forty_paces.authoring.checks import NAMED_CHECKS
from forty_paces.authoring.models.fleet import Fleet
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.models.layers import LibraryFile
from forty_paces.authoring.models.lesson import Lesson
from forty_paces.authoring.models.procedure import LABEL_LETTERS, Procedure
from forty_paces.authoring.models.record import OwnCondition
from forty_paces.authoring.models.scenario import Scenario
from forty_paces.authoring.models.scene import SceneFile
from forty_paces.authoring.models.sources import SourceFile
from forty_paces.authoring.wording.misread import LIST
from forty_paces.authoring.wording.registry import RULES
from forty_paces.drawing.symbols import NAMES as SYMBOLS
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact

FILES: tuple[tuple[str, type[BaseModel]], ...] = (
    ("content/procedures/ID.yml", Procedure),
    ("content/scenes/ID.yml", SceneFile),
    ("content/lessons/ID.yml", Lesson),
    ("content/scenarios/ID.yml", Scenario),
    ("content/sources.yml", SourceFile),
    ("content/fleet.yml", Fleet),
    ("content/library.yml", LibraryFile),
    ("content/glossary.yml", Glossary),
)
"""The files an author edits most, with the model that reads each."""


_PLAIN_KINDS: dict[type, str] = {
    str: "text",
    int: "whole number",
    float: "number",
    bool: "yes or no",
    dt.date: "day",
    OwnCondition: "a condition of your own",
}


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One key that an author may write."""

    key: str
    needed: bool
    kind: str
    about: str


@dataclass(frozen=True, slots=True)
class RecordTable:
    """The keys of one record."""

    anchor: str
    title: str
    about: str
    rows: tuple[KeyRow, ...]


@dataclass(frozen=True, slots=True)
class FileManual:
    """Everything that one kind of file may contain."""

    path: str
    tables: tuple[RecordTable, ...]


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page ``writing.html``."""
    procedures = context.library.procedures
    codes = sorted({(one.family, one.code.rstrip("0123456789")) for one in procedures})
    yield context.kept(_page, codes)


def _page(context: BuildContext, families: list[tuple[str, str]]) -> Artifact:
    manuals = tuple(FileManual(path, tuple(_tables(model))) for path, model in FILES)
    return context.page(
        "writing",
        "pages/writing",
        manuals=manuals,
        rules=RULES,
        checks=NAMED_CHECKS,
        misread=LIST,
        families=families,
        symbols=SYMBOLS,
        label_letters=sorted(LABEL_LETTERS),
    )


def _tables(root: type[BaseModel]) -> Iterator[RecordTable]:
    """Tables of the root record and every record inside it, each once, in order of first use."""
    queue, seen = [root], {root}
    while queue:
        model = queue.pop(0)
        for info in model.model_fields.values():
            for inner in _records_in(info.annotation):
                if inner not in seen:
                    seen.add(inner)
                    queue.append(inner)
        yield RecordTable(
            anchor=f"{root.__name__}-{model.__name__}".lower(),
            title=_spaced(model.__name__),
            about=(model.__doc__ or "").strip().splitlines()[0],
            rows=tuple(_row(name, info) for name, info in model.model_fields.items()),
        )


def _row(name: str, info: FieldInfo) -> KeyRow:
    return KeyRow(info.alias or name, info.is_required(), _kind(info.annotation), info.description or "")


def _records_in(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for argument in get_args(annotation):
        yield from _records_in(argument)


def _kind(annotation: Any) -> str:
    """The type of a value, in words for authors."""
    origin, arguments = get_origin(annotation), get_args(annotation)
    if origin in (Union, types.UnionType):
        return " or ".join(_kind(a) for a in arguments if a is not type(None))
    if origin is tuple:
        return f"list of: {_kind(arguments[0])}"
    if origin is not None and arguments:
        return _kind(arguments[0])
    if isinstance(annotation, type):
        if issubclass(annotation, Enum):
            return "one of: " + ", ".join(str(member.value) for member in annotation)
        if issubclass(annotation, BaseModel):
            return _spaced(annotation.__name__).lower()
        return _PLAIN_KINDS.get(annotation, annotation.__name__)
    return str(annotation)


def _spaced(name: str) -> str:
    return "".join(f" {c}" if c.isupper() and i else c for i, c in enumerate(name)).capitalize()
