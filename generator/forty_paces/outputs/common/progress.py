"""Progress reporting for long operations.

How progress is displayed is up to the listener; ``commands.progress`` has those of the command line.
"""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Protocol, TypeVar

Thing = TypeVar("Thing")

SELDOM = 50_000
"""Allocations between two garbage collections: little of what a build allocates is freed before its end."""


class ProgressListener(Protocol):
    """Receives the progress of a long operation."""

    def expect(self, steps: int) -> None:
        """Add ``steps`` to the expected total."""

    def step(self) -> None:
        """Count one step as done."""


@dataclass(frozen=True, slots=True)
class NoProgress:
    """A listener that ignores progress."""

    def expect(self, steps: int) -> None:
        """Ignored."""

    def step(self) -> None:
        """Ignored."""


NO_PROGRESS = NoProgress()


def track(items: Iterable[Thing], number: int, watch: ProgressListener) -> Iterator[Thing]:
    """Yield the items and report each as a step; ``number`` is how many there are."""
    watch.expect(number)
    for item in items:
        yield item
        watch.step()


@contextmanager
def rare_collection() -> Iterator[None]:
    """Run the garbage collector rarely while a site is built."""
    before = gc.get_threshold()
    gc.set_threshold(SELDOM, *before[1:])
    try:
        yield
    finally:
        gc.set_threshold(*before)
