"""Which cards are current, which have changed since an edition, which must be printed again.

In: card sets of today, and the record of an earlier edition (edition.json, or the
cards.json beside its cards). Out: a status of every face, as plain values. Refuses
to guess: where an earlier record does not tell, the face counts as changed.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from forty_paces.outputs.cards.card_set import CardSet, Face
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.edition.edition_file import read_text

RECORD = "cards.json"
"""The record beside the printed cards: every face with the hashes of its strings."""


class InvalidRecord(ValueError):
    """The file is not the record of an edition; the message says what is wrong with it."""


@dataclass(frozen=True, slots=True)
class EarlierEdition:
    """What is known of an earlier edition."""

    edition: str
    strings: Mapping[str, str]
    "First 12 hexadecimal digits of each string's SHA-256, by key."


@dataclass(frozen=True, slots=True)
class FaceStatus:
    """One face today, against an earlier edition where one was given."""

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
    "Keys of strings that are new or differ."
    reprint: bool


def string_hash(text: str) -> str:
    """First 12 hexadecimal digits of the text's SHA-256, as editions record it."""
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def face_record(context: BuildContext, sets: Iterable[CardSet]) -> dict[str, Any]:
    """What cards.json holds."""
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
        "strings": dict(
            sorted(
                (key, string_hash(text))
                for cards in sets
                for face in cards.faces
                for key, text in face.strings.items()
            )
        ),
    }


def set_name(cards: CardSet) -> str:
    """'half-letter, all'."""
    return f"{cards.size}, {cards.owner}"


def read_earlier(file: Path) -> EarlierEdition:
    """The record of an earlier edition: edition.json, joined by cards/cards.json where that lies beside it.

    Raises :class:`InvalidRecord`, with what is wrong, and ``OSError`` where the file cannot be read.
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
    """Keys of the face's strings that the earlier edition has not, or has otherwise."""
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


def as_json(found: Iterable[FaceStatus]) -> str:
    """The statuses as JSON text."""
    return json.dumps([asdict(one) for one in found], indent=1, ensure_ascii=False)
