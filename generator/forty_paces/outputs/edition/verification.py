"""Compare a folder with its own record, and its signature with a key. Nothing is repaired, nothing raised.

Everything below the folder is seen, whatever its name: files, links, pipes, permissions. Nothing is read
beyond the size that the record gives. What systems leave behind is listed by itself, as long as no browser
could open it.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import os
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path, PurePosixPath
from typing import Any

from forty_paces.outputs.common.files import read_text
from forty_paces.outputs.edition.edition_file import (
    RECORD,
    WORKER,
    CannotSeal,
    insert_file_list,
    listed_in,
    listing,
    order_of,
    read_record,
    remove_file_list,
    sha256_of,
    signing_key_of,
    worker_copy,
)
from forty_paces.outputs.edition.signing import SIGNATURE, InvalidSignature, PublicKey, Signature, check

LEFT_BY_SYSTEMS = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})
"""Files that systems and file managers leave in any folder."""

LEFT_FOLDERS = frozenset(
    {"System Volume Information", ".Spotlight-V100", ".fseventsd", ".Trashes", "$RECYCLE.BIN"}
)
"""Folders that systems leave at the root of a USB stick."""

EMPTY_MARK = ".nojekyll"
"""An empty file that some hosts want at the root."""

APPLE_DOUBLE = b"\x00\x05\x16\x07"
"""How a ``._name`` file begins that macOS writes beside ``name`` (RFC 1740)."""

OPENED_BY_BROWSERS = frozenset({".html", ".htm", ".xhtml", ".xht", ".shtml", ".xml", ".svg"}) | frozenset(
    {".js", ".mjs", ".css", ".json", ".pdf", ".wasm"}
)
_CHUNK_BYTES = 1024 * 1024


class DifferenceKind(StrEnum):
    """How a file differs from the edition, or the edition from what was asked for."""

    CHANGED = "changed"
    MISSING = "missing"
    EXTRA = "extra"
    RENAMED = "renamed"
    UNREADABLE = "unreadable"
    LINK = "link"
    SPECIAL = "special"
    MODE = "mode"
    SIGNATURE = "signature"
    OLDER = "older"
    EXPIRED = "expired"


NOT_OF_FILES = frozenset({DifferenceKind.SIGNATURE, DifferenceKind.OLDER, DifferenceKind.EXPIRED})
"""Findings about a whole edition: its files are as they were made."""


class Signed(StrEnum):
    """What is known of a signature."""

    UNSIGNED = "unsigned"
    UNCHECKED = "unchecked"
    VERIFIED = "verified"
    REFUSED = "refused"


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
    "Number of files of the edition, ``edition.json``, its signature and both copies of the worker included."
    differences: tuple[Difference, ...]
    number: int = 0
    expires: str = ""
    signed: Signed = Signed.UNSIGNED
    key: str = ""
    "Id of the key that the record names; empty where it is unsigned."
    beside: tuple[str, ...] = ()
    "Files and folders that a system left there."

    @property
    def whole(self) -> bool:
        """True if every file is there and unchanged, and there are no others."""
        return all(difference.kind in NOT_OF_FILES for difference in self.differences)


@dataclass(slots=True)
class _Seen:
    """What lies below a folder."""

    sizes: dict[str, int] = field(default_factory=dict)
    modes: dict[str, int] = field(default_factory=dict)
    findings: list[Difference] = field(default_factory=list)
    beside: list[str] = field(default_factory=list)


def verify(
    folder: Path,
    *,
    key: PublicKey | None = None,
    newer_than: tuple[int, str] | None = None,
    today: dt.date | None = None,
) -> VerificationResult:
    """Compare a folder with its own record, whatever the files contain.

    ``key`` is the key that has to have signed it; with ``newer_than`` the number and date have to be higher
    than these; with ``today`` an edition past its last day is a finding. Raises nothing but ``ImportError``
    where ``key`` is given and the extra for signatures is missing.
    """
    try:
        record, data = read_record(folder / RECORD)
    except (OSError, ValueError) as fault:
        kind = DifferenceKind.MISSING if not (folder / RECORD).exists() else DifferenceKind.UNREADABLE
        words = "is not there, so nothing can be compared" if kind is DifferenceKind.MISSING else str(fault)
        return VerificationResult("", "", 0, (Difference(RECORD, kind, words),))
    signature = _read_signature(folder) if record["signed"] else None
    workers = [WORKER, _copy_name(folder, record, data, signature)] if record["worker"] else []
    listed = (RECORD, *workers, *([SIGNATURE] if record["signed"] else []))
    seen = _Seen()
    _look(folder, "", seen, frozenset((*record["files"], *listed)))
    status, refused = _signature_status(data, signature, record, key)
    differences = [
        *seen.findings,
        *_compare(folder, record, seen, listed),
        *_modes(seen),
        *(_check_workers(folder, record, data, signature, workers[1], seen) if workers else ()),
        *refused,
        *_order(record, newer_than, today),
    ]
    signer = signing_key_of(record)
    return VerificationResult(
        record["edition"],
        record["date"],
        len(record["files"]) + len(listed),
        tuple(sorted(set(differences))),
        number=record["number"],
        expires=record["expires"] or "",
        signed=status,
        key=signer.name if signer else "",
        beside=tuple(seen.beside),
    )


def _look(folder: Path, prefix: str, seen: _Seen, known: frozenset[str], left: bool = False) -> None:
    """Collect everything below a folder; ``left`` for a folder that a system left there."""
    try:
        with os.scandir(folder) as found:
            entries = sorted(found, key=lambda entry: entry.name)
    except OSError as fault:
        if not left:
            words = f"cannot be read: {fault.strerror}"
            seen.findings.append(Difference(prefix.rstrip("/"), DifferenceKind.UNREADABLE, words))
        return
    for entry in entries:
        path = prefix + entry.name
        try:
            status = entry.stat(follow_symlinks=False)
        except OSError as fault:
            words = f"cannot be read: {fault.strerror}"
            seen.findings.append(Difference(path, DifferenceKind.UNREADABLE, words))
            continue
        if entry.is_symlink():
            words = "is a link, and an edition has none: what it leads to can change at any time"
            seen.findings.append(Difference(path, DifferenceKind.LINK, words))
        elif stat.S_ISDIR(status.st_mode):
            systems = not prefix and entry.name in LEFT_FOLDERS
            if systems:
                seen.beside.append(f"{path}/")
            _look(Path(entry.path), f"{path}/", seen, known, left or systems)
        elif not stat.S_ISREG(status.st_mode):
            words = "is a pipe, a socket or a device, and an edition has none"
            seen.findings.append(Difference(path, DifferenceKind.SPECIAL, words))
        elif path not in known and _is_left(Path(entry.path), path, status.st_size, known, left):
            if not left:
                seen.beside.append(path)
        else:
            seen.sizes[path], seen.modes[path] = status.st_size, stat.S_IMODE(status.st_mode)


def _is_left(file: Path, path: str, size: int, known: frozenset[str], left: bool) -> bool:
    """Whether a system left this file there, and no browser would open it."""
    parts = PurePosixPath(path)
    beside = str(parts.with_name(parts.name[2:])) if len(parts.name) > 2 else ""
    if parts.name.startswith("._") and beside in known:
        try:
            with file.open("rb") as opened:
                return opened.read(len(APPLE_DOUBLE)) == APPLE_DOUBLE
        except OSError:
            return False
    if path == EMPTY_MARK:
        return size == 0
    return parts.name in LEFT_BY_SYSTEMS or (left and parts.suffix.lower() not in OPENED_BY_BROWSERS)


def _compare(
    folder: Path, record: Mapping[str, Any], seen: _Seen, listed: tuple[str, ...]
) -> Iterator[Difference]:
    wanted, sizes = record["files"], record["sizes"]
    named = {finding.path for finding in seen.findings}
    for path in wanted:
        if path not in seen.sizes:
            continue
        if seen.sizes[path] != sizes[path]:
            words = (
                f"was changed since the edition was made: {seen.sizes[path]} bytes in place of {sizes[path]}"
            )
            yield Difference(path, DifferenceKind.CHANGED, words)
            continue
        try:
            if _hash(folder / path, sizes[path]) != wanted[path]:
                yield Difference(path, DifferenceKind.CHANGED, "was changed since the edition was made")
        except OSError as fault:
            yield Difference(path, DifferenceKind.UNREADABLE, f"cannot be read: {fault.strerror}")
    missing = [path for path in wanted if path not in seen.sizes and path not in named]
    extra = {path: size for path, size in seen.sizes.items() if path not in wanted and path not in listed}
    lost = {sizes[path] for path in missing}
    hashes = {path: _hash_or_none(folder / path, size) for path, size in extra.items() if size in lost}
    for path in missing:
        now = next((other for other, digest in hashes.items() if digest == wanted[path]), None)
        if now is None:
            yield Difference(path, DifferenceKind.MISSING, "is missing")
        else:
            del hashes[now], extra[now]
            yield Difference(path, DifferenceKind.RENAMED, f"was renamed to {now}", now)
    for path in extra:
        yield Difference(path, DifferenceKind.EXTRA, "is no part of the edition")


def _hash(file: Path, size: int) -> str:
    """SHA-256 of a file, read no further than one byte beyond ``size``."""
    digest, rest = hashlib.sha256(), size + 1
    with file.open("rb") as opened:
        while rest and (part := opened.read(min(rest, _CHUNK_BYTES))):
            digest.update(part)
            rest -= len(part)
    return digest.hexdigest()


def _hash_or_none(file: Path, size: int) -> str | None:
    try:
        return _hash(file, size)
    except OSError:
        return None


def _modes(seen: _Seen) -> Iterator[Difference]:
    """Every file of an edition has the same permissions, where the system has any."""
    if os.name == "nt" or RECORD not in seen.modes:
        return
    usual = seen.modes[RECORD]
    for path, mode in seen.modes.items():
        if mode != usual:
            words = f"has the permissions {mode:04o}, where {RECORD} has {usual:04o}"
            yield Difference(path, DifferenceKind.MODE, words)


def _check_worker(
    folder: Path, record: Mapping[str, Any], data: bytes, signature: bytes | None
) -> Iterator[Difference]:
    """The service worker must have the edition's code and list exactly its files, record and signature."""
    changed = Difference(WORKER, DifferenceKind.CHANGED, "was changed since the edition was made")
    if (folder / WORKER).is_symlink():
        return  # a finding already
    try:
        text = read_text(folder / WORKER)
        code, listed = remove_file_list(text), listed_in(text)
    except FileNotFoundError:
        yield Difference(WORKER, DifferenceKind.MISSING, "is missing")
        return
    except (OSError, ValueError, CannotSeal):
        yield changed
        return
    if sha256_of(code.encode()) != record["worker"].get("code_sha256"):
        yield changed
    elif text != insert_file_list(code, listing(record, data, signature)):
        files = listed.get("files", [])
        if files[: len(record["files"])] != [
            [path, digest, record["sizes"][path]] for path, digest in record["files"].items()
        ]:
            yield changed
            return
        as_listed = [RECORD, sha256_of(data), len(data)] in files
        path = SIGNATURE if as_listed and record["signed"] else RECORD
        words = "does not agree with the worker's list: one of the two was changed"
        yield Difference(path, DifferenceKind.CHANGED, words)


def _copy_name(folder: Path, record: Mapping[str, Any], data: bytes, signature: bytes | None) -> str:
    """The worker's lasting name as its own list has it, or as the record has it where that is unreadable."""
    try:
        return worker_copy(str(listed_in(read_text(folder / WORKER))["key"]))
    except (OSError, ValueError, KeyError, CannotSeal):
        return worker_copy(listing(record, data, signature)["key"])


def _check_workers(
    folder: Path,
    record: Mapping[str, Any],
    data: bytes,
    signature: bytes | None,
    copy: str,
    seen: _Seen,
) -> Iterator[Difference]:
    """The worker, and the same bytes under its lasting name."""
    found = list(_check_worker(folder, record, data, signature))
    yield from found
    if any(one.path == WORKER for one in found) or any(one.path in (copy, WORKER) for one in seen.findings):
        return
    try:
        if copy not in seen.sizes:
            yield Difference(copy, DifferenceKind.MISSING, "is missing")
        elif read_text(folder / copy) != read_text(folder / WORKER):
            yield Difference(copy, DifferenceKind.CHANGED, f"is not the same as {WORKER}")
    except (OSError, ValueError):
        yield Difference(copy, DifferenceKind.CHANGED, f"is not the same as {WORKER}")


def _read_signature(folder: Path) -> bytes | None:
    try:
        return read_text(folder / SIGNATURE).encode()
    except (OSError, ValueError):
        return None


def _signature_status(
    data: bytes, signature: bytes | None, record: Mapping[str, Any], key: PublicKey | None
) -> tuple[Signed, list[Difference]]:
    """What is known of the signature, and what is wrong with it."""

    def refused(words: str) -> tuple[Signed, list[Difference]]:
        return Signed.REFUSED, [Difference(SIGNATURE, DifferenceKind.SIGNATURE, words)]

    signer = signing_key_of(record)
    if signer is None:
        if key is None:
            return Signed.UNSIGNED, []
        return refused(f"is not there: this edition is unsigned, and should be signed by {key.name}")
    if signature is None:
        return refused(f"is missing or unreadable, though {RECORD} says that it is signed by {signer.name}")
    try:
        found = Signature.parse(signature.decode())
        if found.key_id != signer.key_id:
            return refused(f"is not by the key that {RECORD} names, {signer.name}")
        if key is None:
            return Signed.UNCHECKED, []
        check(data, signature.decode(), key)
    except InvalidSignature as fault:
        return refused(str(fault))
    return Signed.VERIFIED, []


def _order(
    record: Mapping[str, Any], newer_than: tuple[int, str] | None, today: dt.date | None
) -> Iterator[Difference]:
    if newer_than is not None and order_of(record) <= newer_than:
        number, date = newer_than
        than = f"number {number}" if date in ("", "9999") else f"number {number} of {date}"
        words = f"has the number {record['number']} and is of {record['date']}: not newer than {than}"
        yield Difference(RECORD, DifferenceKind.OLDER, words)
    if today is not None and record["expires"] and today.isoformat() > record["expires"]:
        words = f"says that this edition expired on {record['expires']}: get a newer one"
        yield Difference(RECORD, DifferenceKind.EXPIRED, words)
