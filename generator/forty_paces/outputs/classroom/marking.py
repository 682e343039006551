"""Marking a placement: what a learner set against what the engine computed.

In: the right answer of a task and what was set, both in feet. Out: a mark for each
device and for each one too many, with a verdict and the reason. Refuses to know where either
came from. The exercise's script holds the same few comparisons; a test deals both
the same attempts.

On each side, every expected device takes the nearest-in set device that is right
for it; what is left over is compared in order. A device counts when its distance
and its place across the road are both right.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from forty_paces.geometry import units
from forty_paces.geometry.records import Toward
from forty_paces.outputs.classroom.placing_tasks import Expected


class Verdict(StrEnum):
    """How a distance stands to the right one."""

    RIGHT = "right"
    AMPLE = "ample"
    "Not the computed one, but it gives ample warning within the rule's range."
    TOO_NEAR = "too-near"
    TOO_FAR = "too-far"
    MISSING = "missing"
    EXTRA = "extra"


VERDICT_WORDS = {
    Verdict.RIGHT: "Right",
    Verdict.AMPLE: "Right: ample warning, with a longer walk than needed",
    Verdict.TOO_NEAR: "Too near the vehicle",
    Verdict.TOO_FAR: "Too far from the vehicle",
    Verdict.MISSING: "Missing on this side",
    Verdict.EXTRA: "One too many on this side",
}


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
    def counts(self) -> bool:
        """Whether it adds to the score."""
        return self.verdict in (Verdict.RIGHT, Verdict.AMPLE) and self.across_right


def mark(expected: Sequence[Expected], attempt: Sequence[SetDevice]) -> tuple[Mark, ...]:
    """A mark for every expected device in its order, then one for each device too many."""
    marks: list[Mark] = []
    spare: list[Mark] = []
    for toward in Toward:
        wanted = [one for one in expected if one.toward is toward]
        given = sorted((one for one in attempt if one.toward is toward), key=lambda one: one.distance_ft)
        taken: dict[int, SetDevice] = {}
        for number, one in enumerate(wanted):
            fit = next((d for d in given if is_right(verdict(one, d.distance_ft))), None)
            if fit is not None:
                taken[number] = fit
                given.remove(fit)
        for number, one in enumerate(wanted):
            found = taken.get(number) or (given.pop(0) if given else None)
            marks.append(_marked(one, found))
        spare += [Mark(None, one, Verdict.EXTRA, False) for one in given]
    return (*marks, *spare)


def score(marks: Sequence[Mark]) -> tuple[int, int]:
    """How many count, out of how many expected; each device too many takes one off."""
    right = sum(one.counts for one in marks) - sum(one.expected is None for one in marks)
    return max(0, right), sum(one.expected is not None for one in marks)


def verdict(expected: Expected, distance_ft: float) -> Verdict:
    """The distance alone, blind to the float noise that whole meters have in feet."""
    if _between(expected.low_ft, distance_ft, expected.high_ft):
        return Verdict.RIGHT
    step = units.whole_down(distance_ft, expected.step_ft)
    if any(_between(low, step, high) and _between(low, distance_ft, high) for low, high in expected.open_ft):
        return Verdict.AMPLE
    return Verdict.TOO_NEAR if distance_ft < expected.distance_ft else Verdict.TOO_FAR


def is_right(found: Verdict) -> bool:
    """Whether the distance is right, by tolerance or by ample warning."""
    return found in (Verdict.RIGHT, Verdict.AMPLE)


def _between(low_ft: float, distance_ft: float, high_ft: float) -> bool:
    return low_ft - units.FUZZ <= distance_ft <= high_ft + units.FUZZ


def _marked(expected: Expected, found: SetDevice | None) -> Mark:
    if found is None:
        return Mark(expected, None, Verdict.MISSING, False)
    return Mark(expected, found, verdict(expected, found.distance_ft), found.across == expected.across)
