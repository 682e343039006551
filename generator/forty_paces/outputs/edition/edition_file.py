"""``edition.json``, the hash and size of every file of an edition, its number, dates and carrier: its seal.

``edition.json`` holds the SHA-256 and the size of every file except itself, its signature and the service
worker. The service worker ``sw.js`` lists every file except itself, ``edition.json`` and its signature
included; ``edition.json`` in turn holds the hash of the worker's code without that list. So each verifies
the other, and every byte of the folder is covered. What ``cards`` and ``worksheet`` write has no worker.
The worker is there a second time, under a name that no other edition has: a browser that has registered it
under that name never takes a broken ``sw.js`` in its place.

There is one way to write the same record (:func:`record_text`), and what is signed is exactly these bytes.
``verification`` compares a folder with its record.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import os
import re
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import Any

from forty_paces.outputs.common.files import naming, read_text
from forty_paces.outputs.edition.signing import SIGNATURE, InvalidKey, PublicKey, SigningKey

RECORD = "edition.json"

WORKER = "sw.js"

FORMAT = 2
"""Format version, incremented when an older reader would misread the file."""

UNLISTED = (RECORD, SIGNATURE, WORKER)
"""The files that the record does not list: it is the first, and the others come after it."""

_COPY = re.compile(r"sw-[0-9a-f]{32}\.js")

_UNSEALED = "const EDITION = null;"
_LIST_START = "const EDITION = "
_PRIVATE_KEY = b"PRIVATE KEY-----"


class CannotSeal(Exception):
    """The folder cannot be made an edition; the message says why in words for a user."""


def sha256_of(data: bytes) -> str:
    """SHA-256 in hexadecimal digits."""
    return hashlib.sha256(data).hexdigest()


def files_below(folder: Path) -> dict[str, Path]:
    """Every file of a folder by its path with forward slashes, sorted; what a link leads to is left out."""
    found = {}
    for at, folders, names in os.walk(folder):
        folders[:] = [name for name in folders if not Path(at, name).is_symlink()]
        for name in names:
            file = Path(at, name)
            if file.is_file() and not file.is_symlink():
                found[file.relative_to(folder).as_posix()] = file
    return dict(sorted(found.items()))


def hashes_below(folder: Path) -> dict[str, str]:
    """SHA-256 of every file of a folder that its record lists. :class:`CannotSeal` where one holds a key."""
    hashes = {}
    for path, file in files_below(folder).items():
        if path in UNLISTED or _COPY.fullmatch(path):
            continue
        data = file.read_bytes()
        if _PRIVATE_KEY in data:
            raise CannotSeal(f"{path} holds a private key, and an edition is for everybody: take it out")
        hashes[path] = sha256_of(data)
    return hashes


def seal(
    site_dir: Path,
    about: Mapping[str, Any],
    day: dt.date,
    *,
    key: SigningKey | None = None,
    installs: bool = True,
) -> None:
    """Write ``edition.json``, its signature and the worker's list; set the times and modes of all files.

    ``about`` holds the other fields of the record: at least ``edition`` (its id), ``date`` and ``day`` (its
    date in words). ``installs`` is False for a folder without a service worker, such as a print run. The
    modification time follows from the edition's date and content, so that a web server that compares only
    times never takes two editions for the same. Raises :class:`CannotSeal` where the service worker is
    missing or has no place for the list, and where a signed edition lacks its number or dates.
    """
    if key is not None:
        _refuse_unnumbered(about)
    code = _worker_code(site_dir) if installs else None
    for earlier in site_dir.glob("sw-*.js"):
        if _COPY.fullmatch(earlier.name):
            earlier.unlink()
    hashes = hashes_below(site_dir)
    record = {
        "format": FORMAT,
        "edition": about["edition"],
        "number": about.get("number", 0),
        "date": about["date"],
        "expires": about.get("expires"),
        **{
            name: value
            for name, value in about.items()
            if name not in ("edition", "number", "date", "expires")
        },
        "signed": {"key": key.public.line} if key is not None else None,
        "worker": {"path": WORKER, "code_sha256": sha256_of(code.encode())} if code is not None else None,
        "files": hashes,
        "sizes": {path: (site_dir / path).stat().st_size for path in hashes},
    }
    try:
        data = record_text(record).encode()
    except UnicodeEncodeError:
        raise CannotSeal("a file has a name that is not UTF-8, which not every system can read") from None
    signature = key.sign(data, _signed_comment(record)).encode() if key is not None else None
    _write(site_dir / RECORD, data)
    if signature is not None:
        _write(site_dir / SIGNATURE, signature)
    else:
        (site_dir / SIGNATURE).unlink(missing_ok=True)
    listed = listing(record, data, signature)
    if code is not None:
        for name in (WORKER, worker_copy(listed["key"])):
            _write(site_dir / name, insert_file_list(code, listed).encode())
    _stamp(site_dir, day, listed["key"])


def _refuse_unnumbered(about: Mapping[str, Any]) -> None:
    """A signature that is good for ever, or for any order of editions, would prove too little."""
    if not about.get("number"):
        raise CannotSeal("a signed edition needs a number that rises: add edition_number to fleet.yml")
    if not about.get("expires"):
        raise CannotSeal("a signed edition needs its last day: add edition_expires to fleet.yml")
    if about["expires"] < about["date"]:
        raise CannotSeal(
            f"the edition of {about['date']} would expire before, on {about['expires']}: correct fleet.yml"
        )


def _worker_code(site_dir: Path) -> str:
    worker = site_dir / WORKER
    if not worker.is_file():
        raise CannotSeal(f"{WORKER} is missing from the site")
    return remove_file_list(read_text(worker))


def _write(file: Path, data: bytes) -> None:
    with naming(file):
        file.write_bytes(data)


def _signed_comment(record: Mapping[str, Any]) -> str:
    """What the signature says in words that other tools show."""
    named = ("edition", "number", "date", "expires")
    return " ".join(f"{name}:{record[name]}" for name in named)


def record_text(record: Mapping[str, Any]) -> str:
    """The one way in which a record is written."""
    return json.dumps(record, indent=1, ensure_ascii=False) + "\n"


def read_record(file: Path) -> tuple[dict[str, Any], bytes]:
    """The validated record and its bytes. Raises ``ValueError`` with a message for users, and ``OSError``."""
    try:
        text = read_text(file)
        record = json.loads(text, object_pairs_hook=_without_doubles)
    except _Doubled as fault:
        raise ValueError(f'names "{fault}" twice: it was edited') from None
    except (ValueError, RecursionError):
        raise ValueError("is not a record of an edition: it was changed or cut short") from None
    if not isinstance(record, dict) or record.get("format") != FORMAT:
        raise ValueError(f"is not a record that this version reads (format {FORMAT})")
    if not _has_its_fields(record):
        raise ValueError("lacks its edition, number, dates, files, sizes or worker")
    if any(not _is_inside(path) for path in record["files"]):
        raise ValueError("names a file outside the folder")
    if record_text(record) != text:
        raise ValueError("is not written as a record is: it was edited")
    return record, text.encode()


def _has_its_fields(record: Mapping[str, Any]) -> bool:
    files, sizes, signed = record.get("files"), record.get("sizes"), record.get("signed")
    numbers = [record.get("number"), *(sizes.values() if isinstance(sizes, dict) else [None])]
    return (
        {"number", "expires", "signed", "worker"} <= record.keys()
        and all(isinstance(record.get(name), str) for name in ("edition", "date", "day"))
        and isinstance(record.get("expires"), str | None)
        and all(type(number) is int and number >= 0 for number in numbers)
        and isinstance(files, dict)
        and isinstance(sizes, dict)
        and all(isinstance(digest, str) for digest in files.values())
        and files.keys() == sizes.keys()
        and isinstance(record.get("worker"), dict | None)
        and (signed is None or signing_key_of(record) is not None)
    )


def signing_key_of(record: Mapping[str, Any]) -> PublicKey | None:
    """The public key that a record names as its signer's; None where it is unsigned or names none."""
    signed = record.get("signed")
    try:
        return PublicKey.parse(signed["key"]) if isinstance(signed, dict) else None
    except (InvalidKey, KeyError, AttributeError):
        return None


def order_of(record: Mapping[str, Any]) -> tuple[int, str]:
    """What says which of two editions is the older: the number, then the date."""
    return record["number"], record["date"]


def refuse_used_number(made: Path, replaced: Path) -> None:
    """:class:`CannotSeal` where the folder to be replaced holds a signed edition that is not older.

    Tablets would refuse the new one. The same edition again, byte for byte, is allowed.
    """
    try:
        before, data = read_record(replaced / RECORD)
    except (OSError, ValueError):
        return
    record, new = read_record(made / RECORD)
    if not before["signed"] or data == new or order_of(before)[0] < order_of(record)[0]:
        return
    raise CannotSeal(
        f"{replaced.name} holds a signed edition with the number {before['number']}, and this one has "
        f"{record['number']}: raise edition_number in fleet.yml, or tablets refuse it"
    )


class _Doubled(Exception):
    """A key that stands twice in one object; readers differ in which one they take."""


def _without_doubles(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for name, value in pairs:
        if name in found:
            raise _Doubled(name[:60])
        found[name] = value
    return found


def _is_inside(path: str) -> bool:
    parts = PurePosixPath(path).parts
    return bool(parts) and not path.startswith("/") and ".." not in parts and "\\" not in path


def listing(record: Mapping[str, Any], data: bytes, signature: bytes | None) -> dict[str, Any]:
    """The service worker's data: the edition, a key for its list, and every file with its hash and size."""
    files, sizes = record["files"], record["sizes"]
    listed = [[path, digest, sizes[path]] for path, digest in files.items()]
    listed.append([RECORD, sha256_of(data), len(data)])
    if signature is not None:
        listed.append([SIGNATURE, sha256_of(signature), len(signature)])
    key = list_key({**files, RECORD: sha256_of(data)})
    return {"id": record["edition"], "day": record["day"], "key": key, "files": listed}


def worker_copy(key: str) -> str:
    """The name that no other edition's worker has, from the key of its list: ``nameOf`` in sw.js."""
    return f"sw-{key}.js"


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
    for path in files_below(site_dir).values():
        path.chmod(0o644)  # whatever the umask was: a host has to read it
        os.utime(path, (seconds, seconds))
    for path in (*(path for path in site_dir.rglob("*") if path.is_dir()), site_dir):
        path.chmod(0o755)
        os.utime(path, (seconds, seconds))
