"""The table of published facts, and every text of the content by its stable id."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

import yaml
from forty_paces.authoring.library import Library
from forty_paces.authoring.texts import DriverText, texts

from tests.content.checklist_texts import after_event_texts, before_trip_texts

TABLE = Path(__file__).parent.parent / "published" / "content_facts.yml"


@cache
def published() -> dict[str, Any]:
    """The whole of tests/published/content_facts.yml."""
    return yaml.safe_load(TABLE.read_text(encoding="utf-8"))


_said: list[tuple[Library, Mapping[str, DriverText]]] = []
"""The last library asked about and its texts: hundreds of rows ask of the same one, which never changes."""


def said_by_id(library: Library) -> Mapping[str, DriverText]:
    """Procedures by their id, the two lists as 'before-trip' and 'after-event'."""
    if not _said or _said[0][0] is not library:
        _said[:] = [(library, MappingProxyType(_read(library)))]
    return _said[0][1]


def _read(library: Library) -> dict[str, DriverText]:
    assert library.before_trip is not None
    assert library.after_event is not None
    parts = {one.id: texts(one) for one in library.procedures}
    parts["before-trip"] = before_trip_texts(library.before_trip)
    parts["after-event"] = after_event_texts(library.after_event)
    return {f"{owner}/{said.address}": said for owner, found in parts.items() for said in found}


def said_at(library: Library, where: str) -> list[DriverText]:
    """The text of that id, or all texts of the record it begins."""
    start = where.rstrip("/") + "/"
    return [said for name, said in said_by_id(library).items() if name == where or name.startswith(start)]
