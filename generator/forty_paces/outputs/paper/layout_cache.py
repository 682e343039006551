"""Layouts that are kept from one build to the next.

Laying out cards and papers takes most of the processor time of a build, and most of them are the same in the
next one. A layout follows from its job and from the libraries that make it, so it is kept in the user's cache
folder under a hash of both: what is read back is what would be laid out again, byte for byte. A file that was
damaged is not read. Without a writable cache folder, or with ``FORTYPACES_NO_CACHE`` in the environment,
every build lays out everything.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import platform
import zlib
from collections.abc import Iterator
from contextvars import ContextVar
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from forty_paces.package import PACKAGE

OFF = "FORTYPACES_NO_CACHE"
"""Environment variable: nothing is kept or read back where it is set."""

ENGINE = ("weasyprint", "pydyf", "tinycss2", "tinyhtml5", "cssselect2", "fonttools", "pyphen", "pillow")
"""Packages whose versions decide how a document is laid out, beside Pango."""

MAKERS = ("outputs/paper/pdf.py", "outputs/paper/layout_cache.py")
"""Modules that decide how a job is done."""

MOST_KEPT_BYTES = 96_000_000
"""The files not used for the longest time go first. A fleet of four vehicles takes a sixth of it."""


_IN_USE: ContextVar[bool] = ContextVar("_IN_USE", default=True)


@contextlib.contextmanager
def left_alone(asked: bool = True) -> Iterator[None]:
    """Nothing is kept or read back meanwhile, if that is ``asked``.

    For an edition that is signed: what it prints then comes from its content alone, and not from a folder
    that others may have written to.
    """
    before = _IN_USE.set(in_use() and not asked)
    try:
        yield
    finally:
        _IN_USE.reset(before)


def in_use() -> bool:
    """Whether layouts are kept and read back."""
    return _IN_USE.get() and not os.environ.get(OFF)


def engine_state(pango: int) -> str:
    """Everything but the job itself that decides the bytes of a layout."""
    parts = [platform.python_version(), platform.machine(), zlib.ZLIB_RUNTIME_VERSION, str(pango)]
    for name in ENGINE:
        with contextlib.suppress(PackageNotFoundError):
            parts.append(f"{name} {version(name)}")
    parts += [hashlib.sha256((PACKAGE / module).read_bytes()).hexdigest() for module in MAKERS]
    return "\n".join(parts)


def key_of(engine: str, *job: str) -> str:
    """The name under which the result of a job is kept."""
    return hashlib.sha256(repr((engine, job)).encode()).hexdigest()


def read(key: str) -> tuple[bytes, str] | None:
    """The PDF kept under a key, and the notes with it; None where there is none, or a damaged one."""
    file = _folder() / key
    if not in_use():
        return None
    try:
        head, _, data = file.read_bytes().partition(b"\n")
        digest, notes = json.loads(head)
        os.utime(file)  # the oldest go first
    except (OSError, ValueError, TypeError):
        return None
    return (data, notes) if digest == _digest(data, notes) else None


def keep(key: str, data: bytes, notes: str) -> None:
    """Keep a PDF. It is written aside and then renamed: another build never reads half a file."""
    file = _folder() / key
    if not in_use():
        return
    aside = file.with_suffix(f".{os.getpid()}")
    with contextlib.suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        aside.write_bytes(json.dumps([_digest(data, notes), notes]).encode() + b"\n" + data)
        aside.replace(file)


def forget_oldest() -> None:
    """Remove what has not been used for the longest time, beyond :data:`MOST_KEPT_BYTES`."""
    with contextlib.suppress(OSError):
        room = MOST_KEPT_BYTES
        states = ((file, file.stat()) for file in _folder().iterdir())
        for file, state in sorted(states, key=lambda one: -one[1].st_mtime_ns):
            room -= state.st_size
            if room < 0:
                file.unlink()


def _digest(data: bytes, notes: str) -> str:
    return hashlib.sha256(data + notes.encode()).hexdigest()


def _folder() -> Path:
    from platformdirs import user_cache_path

    return user_cache_path("forty-paces", appauthor=False) / "layouts"
