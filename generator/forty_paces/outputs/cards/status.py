"""Status of every card: current, overdue, or changed since an earlier edition and to be reprinted.

An earlier edition is read from its edition.json, or from the cards.json beside its cards. A string missing
from that record counts as changed.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from forty_paces.authoring.texts import string_hash, string_hashes
from forty_paces.outputs.cards.binding import Kept
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
    sets: Mapping[str, tuple[Kept, ...]] = field(default_factory=dict)
    "The place of each face, by the name of its set; empty in a record that lacks them."

    def kept(self, name: str) -> tuple[Kept, ...]:
        """The places of the faces of a set."""
        return self.sets.get(name, ())


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
    leaf: str
    "Version of its leaf: where it differs from that of the earlier edition, the leaf is printed again."


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
                "leaf": face.leaf,
                "part": part_of(face),
                "entry": face.entry,
            }
            for cards in sets
            for face in cards.faces
        ],
        "strings": string_hashes(
            pair for cards in sets for face in cards.faces for pair in face.strings.items()
        ),
    }


def part_of(face: Face) -> str:
    """Which part of its card a face is: empty, back or notes."""
    if face.kind == "notes":
        return "notes"
    return "back" if face.more else ""


def set_name(cards: CardSet) -> str:
    """Size and owner, such as 'half-letter, all'."""
    return f"{cards.size}, {cards.owner}"


def read_earlier(file: Path) -> EarlierEdition:
    """Read the record of an earlier edition: edition.json, merged with the cards.json that belongs to it.

    In a site that is cards/cards.json, in a folder of printed cards the one beside edition.json.

    Raises :class:`InvalidRecord` with the reason, and ``OSError`` if the file cannot be read.
    """
    record = _json(file)
    strings = dict(_strings(record, file))
    faces = record.get("faces")
    places = (file.parent / "cards" / RECORD, file.parent / RECORD)
    beside = next((one for one in places if one.is_file()), None)
    if file.name != RECORD and beside:
        cards = _json(beside)
        strings |= _strings(cards, beside)
        faces = cards.get("faces")
    edition = record.get("edition")
    if not isinstance(edition, str):
        raise InvalidRecord(f"{file.name} does not name its edition")
    return EarlierEdition(edition, strings, _sets(faces))


def _sets(faces: object) -> dict[str, tuple[Kept, ...]]:
    """The places in a record; none where it is of a version that did not note them."""
    found: dict[str, list[Kept]] = {}
    for face in faces if isinstance(faces, list) else ():
        try:
            kept = Kept(
                str(face["code"]),
                int(face["number"]),
                str(face["part"]),
                int(face["entry"]),
                str(face["leaf"]),
            )
            found.setdefault(str(face["set"]), []).append(kept)
        except (KeyError, TypeError, ValueError):
            return {}
    return {name: tuple(sorted(kept, key=lambda one: one.number)) for name, kept in found.items()}


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


def is_stale(face: Face, name: str, earlier: EarlierEdition) -> bool:
    """Whether the leaf of a face has another version than in the set ``name`` of the earlier edition.

    A record without versions of leaves is compared string by string.
    """
    kept = earlier.kept(name)
    if not kept:
        return bool(changed_keys(face, earlier))
    return face.leaf not in {one.leaf for one in kept if one.number == face.number}


def statuses(
    sets: Iterable[CardSet], today: dt.date, earlier: EarlierEdition | None = None
) -> tuple[FaceStatus, ...]:
    """The status of every face. Without an earlier edition nothing counts as changed."""
    return tuple(_status(cards, face, today, earlier) for cards in sets for face in cards.faces)


def _status(cards: CardSet, face: Face, today: dt.date, earlier: EarlierEdition | None) -> FaceStatus:
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
        changed=changed_keys(face, earlier) if earlier else (),
        reprint=earlier is not None and is_stale(face, set_name(cards), earlier),
        leaf=face.leaf,
    )


def as_json(faces: Iterable[FaceStatus]) -> str:
    """The statuses as JSON text."""
    return json.dumps([asdict(status) for status in faces], indent=1, ensure_ascii=False)
