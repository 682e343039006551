"""Who is told how far long work has come.

In: how many steps there are, and each as it is done. Out: nothing. Refuses to know how it is shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Protocol, TypeVar

Thing = TypeVar("Thing")


class ProgressListener(Protocol):
    """What long work tells as it goes on."""

    def expect(self, steps: int) -> None:
        """So many more steps are to be done."""

    def step(self) -> None:
        """One of them is done."""


@dataclass(frozen=True, slots=True)
class NoProgress:
    """Nobody is told."""

    def expect(self, steps: int) -> None:
        """Steps are not counted."""

    def step(self) -> None:
        """Steps are not counted."""


NO_PROGRESS = NoProgress()


def track(things: Iterable[Thing], number: int, watch: ProgressListener) -> Iterator[Thing]:
    """The same ``number`` of things, each of them told as it comes."""
    watch.expect(number)
    for thing in things:
        yield thing
        watch.step()
