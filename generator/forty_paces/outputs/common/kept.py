"""Parts of outputs that a preview keeps, so that an edit makes only what depends on it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar, TypeVarTuple, Unpack

Context = TypeVar("Context")
Values = TypeVarTuple("Values")
Part = TypeVar("Part")

EDITION_ID = "edition-id-of-the-preview"
"""Stands in what a preview keeps for the id of the edition, which follows from every file."""


class KeptParts:
    """The parts of the last build, and those of the build that runs.

    A part depends on the values that it is made from, and on the frame, which is the same for all.
    """

    def __init__(self) -> None:
        self._last: dict[Any, list[tuple[Any, Any]]] = {}
        self._now: dict[Any, list[tuple[Any, Any]]] = {}
        self._frame: object = None
        self._edition_id = ""

    def begin(self, frame: object, edition_id: str) -> None:
        """Start a build: everything is forgotten where the frame is another."""
        self._last = self._now if frame == self._frame else {}
        self._now, self._frame, self._edition_id = {}, frame, edition_id

    def made(
        self,
        make: Callable[[Context, Unpack[Values]], Part],
        context: Context,
        values: tuple[*Values],
    ) -> Part:
        """What ``make`` gave for equal values in the last build, or gives now; with the edition's id."""
        known = self._last.get(make, ())
        kept = next((pair for pair in known if pair[0] == values), None)
        pair = kept if kept is not None else (values, make(context, *values))
        self._now.setdefault(make, []).append(pair)
        return _numbered(pair[1], self._edition_id)  # type: ignore[no-any-return]  # of the same type


def _numbered(part: Any, edition_id: str) -> Any:
    """The part with the edition's id in place of the placeholder: a text, or a record or tuple with texts."""
    match part:
        case str():
            return part.replace(EDITION_ID, edition_id)
        case tuple():
            return tuple(_numbered(one, edition_id) for one in part)
        case _ if is_dataclass(part) and not isinstance(part, type):
            texts = {one.name: getattr(part, one.name) for one in fields(part)}
            return replace(part, **{name: _numbered(text, edition_id) for name, text in texts.items()})
        case _:
            return part
