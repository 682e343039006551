"""Verify that a copied edition is complete and unchanged.

Compares every file with ``edition.json`` and the service worker's list. Nothing is repaired.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path, PurePosixPath
from typing import Any

from forty_paces.outputs.common.files import read_text
from forty_paces.outputs.edition.edition_file import (
    FORMAT,
    RECORD,
    WORKER,
    CannotSeal,
    files_below,
    insert_file_list,
    listed_in,
    listing,
    remove_file_list,
    sha256_of,
)


class DifferenceKind(StrEnum):
    """How a file differs from the edition."""

    CHANGED = "changed"
    MISSING = "missing"
    EXTRA = "extra"
    RENAMED = "renamed"
    UNREADABLE = "unreadable"


@dataclass(frozen=True, slots=True, order=True)
class Difference:
    """One file that differs from the edition."""

    path: str
    kind: DifferenceKind
    words: str
    "What is wrong, in one sentence."
    now: str = ""
    "The new path of a renamed file."


@dataclass(frozen=True, slots=True)
class VerificationResult:
    """The result of verifying a folder."""

    edition: str
    "Empty where the record cannot be read."
    date: str
    files: int
    "Number of files of the edition, ``edition.json`` and the service worker included."
    differences: tuple[Difference, ...]

    @property
    def whole(self) -> bool:
        """True if every file is there and unchanged, and there are no others."""
        return not self.differences


def verify(folder: Path) -> VerificationResult:
    """Compare a folder with its own record. Raises nothing, whatever the files contain."""
    try:
        record = _read_record(folder / RECORD)
    except (OSError, ValueError) as fault:
        kind = DifferenceKind.MISSING if not (folder / RECORD).exists() else DifferenceKind.UNREADABLE
        words = "is not there, so nothing can be compared" if kind is DifferenceKind.MISSING else str(fault)
        return VerificationResult("", "", 0, (Difference(RECORD, kind, words),))
    wanted: dict[str, str] = record["files"]
    hashes, unreadable = _hash_all(folder)
    differences = [*unreadable, *_compare(wanted, hashes, {d.path for d in unreadable})]
    if not any(d.path == WORKER for d in unreadable):
        differences += _check_worker(folder, record)
    return VerificationResult(record["edition"], record["date"], len(wanted) + 2, tuple(sorted(differences)))


def _read_record(file: Path) -> dict[str, Any]:
    """The validated record. Raises ``ValueError`` with a message for users where it is not one."""
    try:
        record = json.loads(read_text(file))
    except (ValueError, RecursionError):
        raise ValueError("is not a record of an edition: it was changed or cut short") from None
    if not isinstance(record, dict) or record.get("format") != FORMAT:
        raise ValueError(f"is not a record that this version reads (format {FORMAT})")
    files, worker = record.get("files"), record.get("worker")
    texts = all(isinstance(record.get(name), str) for name in ("edition", "date", "day"))
    listed = isinstance(files, dict) and all(isinstance(digest, str) for digest in files.values())
    if not texts or not listed or not isinstance(worker, dict):
        raise ValueError("lacks its edition, date, files or worker")
    if any(not _is_inside(path) for path in record["files"]):
        raise ValueError("names a file outside the folder")
    return record


def _is_inside(path: str) -> bool:
    parts = PurePosixPath(path).parts
    return bool(parts) and not path.startswith("/") and ".." not in parts and "\\" not in path


def _hash_all(folder: Path) -> tuple[dict[str, str], list[Difference]]:
    hashes, unreadable = {}, []
    for path, file in files_below(folder).items():
        try:
            hashes[path] = sha256_of(file.read_bytes())
        except OSError as fault:
            unreadable.append(
                Difference(path, DifferenceKind.UNREADABLE, f"cannot be read: {fault.strerror}")
            )
    return hashes, unreadable


def _compare(wanted: Mapping[str, str], hashes: Mapping[str, str], skip: set[str]) -> Iterator[Difference]:
    missing = [path for path in wanted if path not in hashes and path not in skip]
    extra = {
        path: digest for path, digest in hashes.items() if path not in wanted and path not in (RECORD, WORKER)
    }
    for path in wanted:
        if path in hashes and hashes[path] != wanted[path]:
            yield Difference(path, DifferenceKind.CHANGED, "was changed since the edition was made")
    for path in missing:
        now = next((other for other, digest in extra.items() if digest == wanted[path]), None)
        if now is None:
            yield Difference(path, DifferenceKind.MISSING, "is missing")
        else:
            del extra[now]
            yield Difference(path, DifferenceKind.RENAMED, f"was renamed to {now}", now)
    for path in extra:
        yield Difference(path, DifferenceKind.EXTRA, "is no part of the edition")


def _check_worker(folder: Path, record: Mapping[str, Any]) -> Iterator[Difference]:
    """The service worker must have the edition's code and list exactly its files and record."""
    changed = Difference(WORKER, DifferenceKind.CHANGED, "was changed since the edition was made")
    try:
        text = read_text(folder / WORKER)
        code, listed = remove_file_list(text), listed_in(text)
    except FileNotFoundError:
        yield Difference(WORKER, DifferenceKind.MISSING, "is missing")
        return
    except (OSError, UnicodeDecodeError, CannotSeal):
        yield changed
        return
    if sha256_of(code.encode()) != record["worker"].get("code_sha256"):
        yield changed
    elif text != insert_file_list(code, listing(record, sha256_of((folder / RECORD).read_bytes()))):
        same_files = listed.get("files", [])[:-1] == [
            [path, digest] for path, digest in record["files"].items()
        ]
        words = "does not agree with the worker's list: one of the two was changed"
        yield Difference(RECORD, DifferenceKind.CHANGED, words) if same_files else changed
