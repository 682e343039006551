"""The order in which the exercise's script deals situations, by the generator that worksheets use."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypeVar

from forty_paces.outputs.classroom.seeded_random import SeededRandom

T = TypeVar("T")


def choice(random: SeededRandom, items: Sequence[T]) -> T:
    """A random item."""
    return items[random.below(len(items))]


def sequence(groups: Sequence[Sequence[T]], number: int, count: int) -> tuple[T, ...]:
    """The first ``count`` situations of an exercise number: every scene occurs once before any is repeated.

    ``groups`` holds the situations grouped by scene.
    """
    random = SeededRandom(number)
    dealt: list[T] = []
    while len(dealt) < count:
        for place in random.shuffled(range(len(groups))):
            dealt.append(choice(random, groups[place]))
    return tuple(dealt[:count])
