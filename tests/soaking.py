"""How many cases a test tries: a fixed sample in every run, or many at random in `make soak`."""

from __future__ import annotations

import os

SOAK = bool(os.environ.get("FORTYPACES_SOAK"))
"""Whether this is the long run, outside continuous integration."""


def cases(sample: int, soak: int) -> int:
    """How many cases this run tries."""
    return soak if SOAK else sample
