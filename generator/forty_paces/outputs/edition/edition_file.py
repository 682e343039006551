"""``edition.json``, the hashes of every file of an edition: written as its seal, compared to verify it.

``edition.json`` holds the SHA-256 of every file except itself and the service worker.
The service worker ``sw.js`` lists every file except itself, ``edition.json`` included;
``edition.json`` in turn holds the hash of the worker's code without that list.
So each verifies the other, and every byte of the folder is covered.
Verifying compares every file with both lists; nothing is repaired.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path, PurePosixPath
from typing import Any

from forty_paces.outputs.common.files import naming, read_text

RECORD = "edition.json"

WORKER = "sw.js"

FORMAT = 1
"""Format version, incremented when an older reader would misread the file."""

LEFT_BY_SYSTEMS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini", ".nojekyll"})
"""Files that systems, file managers and hosts leave in a folder; no part of any edition."""

LEFT_FOLDERS = frozenset(
    {"System Volume Information", ".Spotlight-V100", ".fseventsd", ".Trashes", "$RECYCLE.BIN"}
)
"""Folders that systems leave at the root of a USB stick."""

_UNSEALED = "const EDITION = null;"
_LIST_START = "const EDITION = "


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


class CannotSeal(Exception):
    """The service worker is missing, or its file list is missing or broken."""


def sha256_of(data: bytes) -> str:
    """SHA-256 in hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def files_below(folder: Path) -> dict[str, Path]:
    """Every file of an edition folder by its path with forward slashes, sorted, without system files."""
    files = {}
    for file in folder.rglob("*"):
        parts = file.relative_to(folder).parts
        left = file.name in LEFT_BY_SYSTEMS or file.name.startswith("._") or LEFT_FOLDERS.intersection(parts)
        if file.is_file() and not left:
            files["/".join(parts)] = file
    return dict(sorted(files.items()))


def hashes_below(folder: Path) -> dict[str, str]:
    """SHA-256 of every file of a folder except ``edition.json`` and the service worker."""
    return {
        path: sha256_of(file.read_bytes())
        for path, file in files_below(folder).items()
        if path not in (RECORD, WORKER)
    }


def seal(site_dir: Path, about: Mapping[str, Any], day: dt.date) -> None:
    """Write ``edition.json`` and the service worker's file list, and set one modification time on all files.

    ``about`` holds the other fields of the record: at least ``edition`` (its id) and ``day`` (its date
    in words). The modification time follows from the edition's date and content, so that a web server
    that compares only times never takes two editions for the same. Raises :class:`CannotSeal` where the
    service worker is missing or has no place for the list.
    """
    worker = site_dir / WORKER
    if not worker.is_file():
        raise CannotSeal(f"{WORKER} is missing from the site")
    code = remove_file_list(read_text(worker))
    record = {
        "format": FORMAT,
        **about,
        "worker": {"path": WORKER, "code_sha256": sha256_of(code.encode())},
        "files": hashes_below(site_dir),
    }
    text = json.dumps(record, indent=1, ensure_ascii=False) + "\n"
    record_file = site_dir / RECORD
    with naming(record_file):
        record_file.write_text(text, encoding="utf-8", newline="\n")
    listed = listing(record, sha256_of(text.encode()))
    with naming(worker):
        worker.write_text(insert_file_list(code, listed), encoding="utf-8", newline="\n")
    _stamp(site_dir, day, listed["key"])


def listing(record: Mapping[str, Any], record_sha256: str) -> dict[str, Any]:
    """The service worker's data: the edition, a key for its list, and every file with its hash."""
    files = record["files"]
    return {
        "id": record["edition"],
        "day": record["day"],
        "key": list_key(files),
        "files": [[path, digest] for path, digest in (*files.items(), (RECORD, record_sha256))],
    }


def list_key(hashes: Mapping[str, str]) -> str:
    """A key of 32 hexadecimal digits for a list of files: equal lists have equal keys."""
    lines = "".join(f"{path}\t{digest}\n" for path, digest in sorted(hashes.items()))
    return sha256_of(lines.encode())[:32]


def insert_file_list(code: str, listed: Mapping[str, Any]) -> str:
    """The service worker's code with the file list inserted."""
    # "<" is escaped, so that the line means the same wherever the text is embedded.
    data = json.dumps(listed, separators=(",", ":")).replace("<", "\\u003c")
    return code.replace(_UNSEALED, f"{_LIST_START}{data};", 1)


def remove_file_list(text: str) -> str:
    """The service worker's code with the file list removed; :class:`CannotSeal` where it has none."""
    if text.count(_LIST_START) != 1:
        raise CannotSeal(f"{WORKER} has no place for the list of files")
    start = text.index(_LIST_START)
    end = text.find(";\n", start)
    if end < 0:
        raise CannotSeal(f"{WORKER} is cut short")
    return text[:start] + _UNSEALED + text[end + 1 :]


def listed_in(text: str) -> dict[str, Any]:
    """The file list of a sealed service worker; :class:`CannotSeal` where it has none."""
    try:
        start = text.index(_LIST_START) + len(_LIST_START)
        listed = json.loads(text[start : text.index(";\n", start)])
    except ValueError:
        raise CannotSeal(f"the list in {WORKER} cannot be read") from None
    if not isinstance(listed, dict):
        raise CannotSeal(f"{WORKER} was never sealed")
    return listed


def _stamp(site_dir: Path, day: dt.date, key: str) -> None:
    midnight = int(dt.datetime.combine(day, dt.time(), tzinfo=dt.UTC).timestamp())
    seconds = max(0, midnight) + int(key[:4], 16)
    folders = (path for path in site_dir.rglob("*") if path.is_dir())
    for path in (*files_below(site_dir).values(), *folders, site_dir):
        os.utime(path, (seconds, seconds))
