"""Bind fitted cards into a set: the side of a leaf that each takes, its tab, and the version of each leaf.

A new set is bound in order. Against the record of an earlier set every card keeps its number, its side and
its tab, so that a leaf printed again takes the place of the old one: a new card, or one that now needs both
faces, goes on a leaf of its own at the end.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from forty_paces.outputs.cards.card_style import Composition
from forty_paces.outputs.cards.faces import FaceContent, ListedCard, notes_draft

VERSION_SIGNS = 8
"""Hexadecimal digits of a leaf's version, the first of a SHA-256."""


@dataclass(frozen=True, slots=True)
class Fit:
    """A card and the faces it takes: one, or both of one leaf."""

    parts: tuple[FaceContent, ...]
    composition: Composition | None
    "None for a card that does not fit: it keeps its number."

    @property
    def code(self) -> str:
        """The card's code."""
        return self.parts[0].code


@dataclass(frozen=True, slots=True)
class Position:
    """A face in its position in the set."""

    draft: FaceContent
    composition: Composition | None
    number: int
    entry: int
    "Row in the index, from 1; 0 on the cover."


@dataclass(frozen=True, slots=True)
class Kept:
    """The place of a face in an earlier set, from its record."""

    code: str
    number: int
    part: str
    "Empty, back or notes."
    entry: int
    leaf: str
    "The version of its leaf."


@dataclass(frozen=True, slots=True)
class Gone:
    """A leaf of an earlier set that has no place in this one."""

    number: int
    codes: tuple[str, ...]


def leaf_of(number: int) -> int:
    """The leaf of a face by its number; both from 1."""
    return (number + 1) // 2


def entries_of(codes: Sequence[str], kept: Sequence[Kept]) -> dict[str, int]:
    """The row in the index of each card; a card that an earlier set lacks comes after those that it has."""
    old = {one.code: one.entry for one in kept if one.entry}
    found = {code: old[code] for code in codes if code in old}
    after = max(old.values(), default=0)
    new = [code for code in codes if code not in old]
    return found | {code: after + at for at, code in enumerate(new, 1)}


def bind(fits: Sequence[Fit], entries: Mapping[str, int], kept: Sequence[Kept]) -> list[Position]:
    """The faces by number.

    A card of two faces begins on a front. Where a card's back would stay empty it is for notes.
    """
    sides: dict[int, tuple[FaceContent, Composition | None]] = {}
    new = [fit for fit in fits if not _put_back(fit, kept, sides)]
    for one in kept:
        front = sides.get(one.number - 1)
        if front and one.number % 2 == 0 and one.number not in sides:
            sides[one.number] = (notes_draft(front[0]), front[1])
    number = max((one.number for one in kept), default=0)
    number += number % 2
    for fit in new:
        if len(fit.parts) == 2 and number % 2:
            number += 1
            sides[number] = _notes(sides[number - 1])
        for part in fit.parts:
            number += 1
            sides[number] = (part, fit.composition)
    if number % 2 and number in sides:
        sides[number + 1] = _notes(sides[number])
    return [
        Position(draft, composition, number, entries.get(draft.code, 0))
        for number, (draft, composition) in sorted(sides.items())
    ]


def _notes(front: tuple[FaceContent, Composition | None]) -> tuple[FaceContent, Composition | None]:
    return notes_draft(front[0]), front[1]


def _put_back(
    fit: Fit, kept: Sequence[Kept], sides: dict[int, tuple[FaceContent, Composition | None]]
) -> bool:
    """Put a card where it was, if it was there and its leaf has room for it."""
    number = next((one.number for one in kept if one.code == fit.code and not one.part), 0)
    if not number:
        return False
    behind = {one.code for one in kept if one.number == number + 1}
    if len(fit.parts) == 2 and (number % 2 == 0 or behind - {fit.code}):
        return False
    for at, part in enumerate(fit.parts):
        sides[number + at] = (part, fit.composition)
    return True


def gone_from(places: Sequence[Position], kept: Sequence[Kept]) -> Iterator[Gone]:
    """The leaves of an earlier set on which nothing is left."""
    here = {leaf_of(place.number) for place in places}
    for leaf in sorted({leaf_of(one.number) for one in kept} - here):
        codes = dict.fromkeys(one.code for one in kept if leaf_of(one.number) == leaf)
        yield Gone(leaf, tuple(codes))


def leaf_versions(places: Sequence[Position], said: Mapping[str, str]) -> dict[int, str]:
    """The version of each leaf, by leaf: a hash of what both its faces say. ``said`` is by face id."""
    leaves: dict[int, list[str]] = {}
    for place in places:
        leaves.setdefault(leaf_of(place.number), []).append(said[place.draft.id])
    return {leaf: version_of(texts) for leaf, texts in leaves.items()}


def version_of(texts: Sequence[str]) -> str:
    """A short hash of texts in order."""
    return hashlib.sha256("\f".join(texts).encode()).hexdigest()[:VERSION_SIGNS]


def listed(places: Sequence[Position], versions: Mapping[int, str]) -> tuple[ListedCard, ...]:
    """Each card with its number and the version of its leaf, in the order of the set."""
    return tuple(
        ListedCard(place.number, place.draft.code, versions[leaf_of(place.number)], place.draft.family)
        for place in places
        if place.entry and not place.draft.more
    )


def with_list(places: Sequence[Position], draft: FaceContent) -> list[Position]:
    """The same places with another list of leaves."""
    return [replace(place, draft=draft) if place.draft.lists_leaves else place for place in places]
