"""Reads text files within limits, and names the file in write errors that lack its name."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
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
