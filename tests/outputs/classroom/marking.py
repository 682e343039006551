"""Marks a placement in feet, apart from the exercise's script: what tests hold the script to.

On each side, every expected device takes the nearest-in set device that is right or half right
for it; what is left over is compared in order. A device earns points when its distance
and its place across the road are both right.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from forty_paces.geometry import units
from forty_paces.geometry.records import Toward
from forty_paces.outputs.classroom.placing_tasks import Expected, Verdict

POINTS = {Verdict.RIGHT: 1.0, Verdict.AMPLE: 1.0, Verdict.LONG_WALK: 0.5}


@dataclass(frozen=True, slots=True)
class SetDevice:
    """A device where the learner set it."""

    toward: Toward
    distance_ft: float
    across: str


@dataclass(frozen=True, slots=True)
class Mark:
    """The mark for one device."""

    expected: Expected | None
    "None for one too many."
    set: SetDevice | None
    "None where it is missing."
    verdict: Verdict
    across_right: bool

    @property
    def points(self) -> float:
        """What it adds to the score."""
        return POINTS.get(self.verdict, 0) if self.across_right else 0


def mark(expected: Sequence[Expected], attempt: Sequence[SetDevice]) -> tuple[Mark, ...]:
    """A mark for every expected device in its order, then one for each device too many."""
    marks: list[Mark] = []
    spare: list[Mark] = []
    for toward in Toward:
        wanted = [one for one in expected if one.toward is toward]
        given = sorted((one for one in attempt if one.toward is toward), key=lambda one: one.distance_ft)
        taken: dict[int, SetDevice] = {}
        for number, one in enumerate(wanted):
            fit = next((d for d in given if verdict(one, d.distance_ft) in POINTS), None)
            if fit is not None:
                taken[number] = fit
                given.remove(fit)
        for number, one in enumerate(wanted):
            found = taken.get(number) or (given.pop(0) if given else None)
            marks.append(_marked(one, found))
        spare += [Mark(None, one, Verdict.EXTRA, False) for one in given]
    return (*marks, *spare)


def score(marks: Sequence[Mark]) -> tuple[float, int]:
    """How many count, out of how many expected; each device too many takes one off."""
    right = sum(one.points for one in marks) - sum(one.expected is None for one in marks)
    return max(0, right), sum(one.expected is not None for one in marks)


def verdict(expected: Expected, distance_ft: float) -> Verdict:
    """The distance alone, blind to the float noise that whole meters have in feet."""
    if _between(expected.low_ft, distance_ft, expected.high_ft):
        return Verdict.RIGHT
    step = units.whole_down(distance_ft, expected.step_ft)
    if any(_between(low, step, high) and _between(low, distance_ft, high) for low, high in expected.open_ft):
        return Verdict.AMPLE if distance_ft <= expected.economic_ft + units.FUZZ else Verdict.LONG_WALK
    return Verdict.TOO_NEAR if distance_ft < expected.distance_ft else Verdict.TOO_FAR


def _between(low_ft: float, distance_ft: float, high_ft: float) -> bool:
    return low_ft - units.FUZZ <= distance_ft <= high_ft + units.FUZZ


def _marked(expected: Expected, found: SetDevice | None) -> Mark:
    if found is None:
        return Mark(expected, None, Verdict.MISSING, False)
    return Mark(expected, found, verdict(expected, found.distance_ft), found.across == expected.across)
