"""How much a test tries: a fixed sample in every run, or everything and at random in `make soak`."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TypeVar

_Item = TypeVar("_Item")

SOAK = bool(os.environ.get("FORTYPACES_SOAK"))
"""Whether this is the long run, outside continuous integration."""


def cases(sample: int, soak: int) -> int:
    """How many cases this run tries."""
    return soak if SOAK else sample


def sample(items: Sequence[_Item], count: int) -> list[_Item]:
    """``count`` of the items in equal steps, the first and the last among them; all of them in `make soak`.

    For what browsers repeat over many pages that come from one template.
    """
    if SOAK or len(items) <= count:
        return list(items)
    last = len(items) - 1
    return [items[round(at * last / (count - 1))] for at in range(count)]
