"""Status of every card: current, overdue, or changed since an earlier edition and to be reprinted.

An earlier edition is read from its edition.json, or from the cards.json beside its cards. A string missing
from that record counts as changed.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from forty_paces.authoring.texts import string_hash, string_hashes
from forty_paces.outputs.cards.card_set import CardSet, Face
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import read_text

RECORD = "cards.json"
"""Name of the record beside the printed cards: every face, and the hashes of the strings."""


class InvalidRecord(ValueError):
    """The file is not the record of an edition; the message says why."""


@dataclass(frozen=True, slots=True)
class EarlierEdition:
    """The record of an earlier edition."""

    edition: str
    strings: Mapping[str, str]
    "First 12 hexadecimal digits of each string's SHA-256, by string id."


@dataclass(frozen=True, slots=True)
class FaceStatus:
    """Status of one face, compared with an earlier edition if one is given."""

    set: str
    "Size and owner, such as 'half-letter, all'."
    code: str
    title: str
    version: str
    effective: str
    next_review: str
    reviewed: str
    number: int
    of: int
    type_size: str
    overdue: bool
    changed: tuple[str, ...]
    "Ids of strings that are new or changed."
    reprint: bool


def face_record(context: BuildContext, sets: Iterable[CardSet]) -> dict[str, Any]:
    """The content of cards.json."""
    edition = context.library.edition
    return {
        "edition": edition.id,
        "date": edition.date.isoformat(),
        "faces": [
            {
                "set": set_name(cards),
                "code": face.code,
                "version": face.version,
                "effective": face.effective.isoformat(),
                "next_review": face.next_review.isoformat(),
                "number": face.number,
                "of": face.of,
            }
            for cards in sets
            for face in cards.faces
        ],
        "strings": string_hashes(
            pair for cards in sets for face in cards.faces for pair in face.strings.items()
        ),
    }


def set_name(cards: CardSet) -> str:
    """Size and owner, such as 'half-letter, all'."""
    return f"{cards.size}, {cards.owner}"


def read_earlier(file: Path) -> EarlierEdition:
    """Read the record of an earlier edition: edition.json, merged with cards/cards.json if that is beside it.

    Raises :class:`InvalidRecord` with the reason, and ``OSError`` if the file cannot be read.
    """
    record = _json(file)
    strings = dict(_strings(record, file))
    beside = file.parent / "cards" / RECORD
    if file.name != RECORD and beside.is_file():
        strings |= _strings(_json(beside), beside)
    edition = record.get("edition")
    if not isinstance(edition, str):
        raise InvalidRecord(f"{file.name} does not name its edition")
    return EarlierEdition(edition, strings)


def _json(file: Path) -> dict[str, Any]:
    try:
        record = json.loads(read_text(file))
    except (ValueError, RecursionError):
        raise InvalidRecord(f"{file.name} is not the record of an edition: it is no JSON") from None
    if not isinstance(record, dict):
        raise InvalidRecord(f"{file.name} is not the record of an edition")
    return record


def _strings(record: Mapping[str, Any], file: Path) -> Mapping[str, str]:
    strings = record.get("strings")
    if not isinstance(strings, dict) or not all(isinstance(value, str) for value in strings.values()):
        raise InvalidRecord(f'{file.name} has no hashes of strings under "strings"')
    return strings


def changed_keys(face: Face, earlier: EarlierEdition) -> tuple[str, ...]:
    """Ids of the face's strings that are missing from the earlier edition or differ from it."""
    return tuple(key for key, text in face.strings.items() if earlier.strings.get(key) != string_hash(text))


def statuses(
    sets: Iterable[CardSet], today: dt.date, earlier: EarlierEdition | None = None
) -> tuple[FaceStatus, ...]:
    """The status of every face. Without an earlier edition nothing counts as changed."""
    return tuple(
        _status(cards, face, today, changed_keys(face, earlier) if earlier else ())
        for cards in sets
        for face in cards.faces
    )


def _status(cards: CardSet, face: Face, today: dt.date, changed: tuple[str, ...]) -> FaceStatus:
    return FaceStatus(
        set=set_name(cards),
        code=face.code,
        title=face.title + face.more,
        version=face.version,
        effective=face.effective.isoformat(),
        next_review=face.next_review.isoformat(),
        reviewed=face.reviewed,
        number=face.number,
        of=face.of,
        type_size=face.composition,
        overdue=face.next_review < today,
        changed=changed,
        reprint=bool(changed),
    )


def as_json(faces: Iterable[FaceStatus]) -> str:
    """The statuses as JSON text."""
    return json.dumps([asdict(status) for status in faces], indent=1, ensure_ascii=False)
