"""Faults of writing that name their file."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def naming(file: Path) -> Iterator[None]:
    """Name the file in an ``OSError`` that names none, as that of a full disk, which a write meets."""
    try:
        yield
    except OSError as fault:
        if fault.filename is None:
            fault.filename = str(file)
        raise
