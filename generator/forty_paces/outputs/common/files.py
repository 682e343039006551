"""Files: those that outputs make, in memory, and the safe reading and writing of those on disk."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

LARGEST_TEXT_BYTES = 32 * 1024 * 1024
"""Larger files are refused; the record of the largest edition so far has about a fiftieth of this."""


def read_text(file: Path) -> str:
    """Read a file as UTF-8, line endings unchanged.

    Raises ``ValueError`` where it is not a regular file (a device never ends), too large, or not UTF-8.
    """
    if not file.is_file():
        if not file.exists():
            raise FileNotFoundError(errno.ENOENT, "No such file or directory", str(file))
        raise ValueError(f"{file.name} is not a regular file")
    with file.open("rb") as opened:
        raw = opened.read(LARGEST_TEXT_BYTES + 1)
    if len(raw) > LARGEST_TEXT_BYTES:
        raise ValueError(f"{file.name} has more than {LARGEST_TEXT_BYTES:,} bytes")
    return raw.decode("utf-8")


@contextmanager
def naming(file: Path) -> Iterator[None]:
    """Set ``filename`` on an ``OSError`` raised without one, such as that of a full disk."""
    try:
        yield
    except OSError as fault:
        if fault.filename is None:
            fault.filename = str(file)
        raise


@dataclass(frozen=True, slots=True)
class Artifact:
    """A file to be written: ``path`` uses forward slashes and is relative to the site."""

    path: str
    content: str | bytes

    @property
    def data(self) -> bytes:
        """The content as bytes, text in UTF-8."""
        return self.content.encode() if isinstance(self.content, str) else self.content
