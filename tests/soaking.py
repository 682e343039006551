"""How much a test tries: a sample that is the same in every run, or at random and for long in `make soak`."""

from __future__ import annotations

import os

SOAK = bool(os.environ.get("FORTYPACES_SOAK"))
"""Whether this is the long run outside continuous integration."""


def cases(sample: int, soak: int) -> int:
    """How many cases this run tries."""
    return soak if SOAK else sample
