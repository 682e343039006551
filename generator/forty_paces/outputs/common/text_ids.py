"""The driver-facing texts of a procedure by stable id, and what changed between two editions.

``{"fog/by_heart/low-beams/do": "Turn the low beams on."}``. Page, card, cab file and classroom show these
very strings. An edition stores their hashes, so that a later one can list the lines that changed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping

from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.texts import texts


def texts_by_id(procedure: Procedure) -> dict[str, str]:
    """The texts of one procedure by id, in reading order."""
    return {f"{procedure.id}/{text.address}": text.text for text in texts(procedure)}


def string_hash(text: str) -> str:
    """First twelve hexadecimal digits of the text's SHA-256, as recorded by editions."""
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def string_hashes(strings: Iterable[tuple[str, str]]) -> dict[str, str]:
    """The hash of each text by its id, to detect changes since an edition."""
    return {key: string_hash(text) for key, text in sorted(strings)}


def changed_texts(before: Mapping[str, str], now: Mapping[str, str]) -> dict[str, str]:
    """Compare two mappings of id to hash: 'new', 'changed' or 'gone' by id, without unchanged ones."""
    changes: dict[str, str] = {}
    for name in sorted({*before, *now}):
        if name not in before:
            changes[name] = "new"
        elif name not in now:
            changes[name] = "gone"
        elif before[name] != now[name]:
            changes[name] = "changed"
    return changes
