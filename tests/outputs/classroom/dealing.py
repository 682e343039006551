"""What the exercise's script does: in which order it deals situations, and how it counts points."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import TypeVar

from forty_paces.outputs.classroom.marking import DeviceMark
from forty_paces.outputs.classroom.seeded_random import SeededRandom

T = TypeVar("T")

ROUND = 4
"Situations of which a lazy strategy is right in one at most."


def choice(random: SeededRandom, items: Sequence[T]) -> T:
    """A random item."""
    return items[random.below(len(items))]


def sequence(lazy: Sequence[Sequence[int]], number: int, count: int) -> list[tuple[int, int]]:
    """The first ``count`` situations of a practice sheet, as scene and variant.

    ``lazy`` says of every variant of every scene whether a lazy strategy is right there.
    """
    random = SeededRandom(number)
    easy = _pile(lazy, random, wanted=True)
    other = _pile(lazy, random, wanted=False) or easy
    dealt: list[tuple[int, int]] = []
    while len(dealt) < count:
        first = [next(easy)] if easy else []
        round_ = first + [next(other) for _ in range(ROUND - len(first))]
        dealt += random.shuffled(round_)
    return dealt[:count]


def lazy_in(html: str) -> list[list[int]]:
    """What the page of the exercise says of each practice situation."""
    data = json.loads(html.split('<script type="application/json" id="table">')[1].split("</script>")[0])
    return [[one["lazy"] for one in group] for group in data["tasks"][: data["practice"]]]


def _pile(
    lazy: Sequence[Sequence[int]], random: SeededRandom, *, wanted: bool
) -> Iterator[tuple[int, int]] | None:
    fitting = [
        [(scene, variant) for variant, one in enumerate(variants) if bool(one) is wanted]
        for scene, variants in enumerate(lazy)
    ]
    scenes = [one for one in fitting if one]
    return _without_end(scenes, random) if scenes else None


def _without_end(scenes: list[list[tuple[int, int]]], random: SeededRandom) -> Iterator[tuple[int, int]]:
    while True:
        yield from [choice(random, one) for one in random.shuffled(scenes)]


def score(marks: Sequence[DeviceMark]) -> tuple[float, int]:
    """Points, and the number of expected devices, as js/classroom/marking.js has them."""
    right = sum(one.points for one in marks) - sum(one.expected is None for one in marks)
    return max(0, right), sum(one.expected is not None for one in marks)
