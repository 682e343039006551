"""Add the file's name to write errors that lack it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def naming(file: Path) -> Iterator[None]:
    """Set ``filename`` on an ``OSError`` raised without one, such as that of a full disk."""
    try:
        yield
    except OSError as fault:
        if fault.filename is None:
            fault.filename = str(file)
        raise
