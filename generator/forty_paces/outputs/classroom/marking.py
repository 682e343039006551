"""Marking in feet: the same rules as the exercise's script, and what a lazy strategy earns on a sheet.

On each side, every expected device takes the nearest of the set devices that are right or half right for it;
the remaining ones are compared in order. A device earns points if both its distance and its position across
the road are right.

A situation counts only if every device earns its full point and none is too many: one driver who is warned
too late is one too many, and the walk beside traffic is part of the answer.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from forty_paces.geometry import units
from forty_paces.geometry.placement import candidates_ft, nearest_first
from forty_paces.geometry.records import Toward
from forty_paces.outputs.classroom.placing_tasks import Expected, Task


class Verdict(StrEnum):
    """The result of comparing a distance with the expected one."""

    RIGHT = "right"
    AMPLE = "ample"
    "Farther than the computed distance, within the rule's range, and the warning is sufficient."
    LONG_WALK = "long-walk"
    "Sufficient warning, but much farther away than necessary: half right."
    TOO_NEAR = "too-near"
    TOO_FAR = "too-far"
    MISSING = "missing"
    EXTRA = "extra"


POINTS = {Verdict.RIGHT: 1.0, Verdict.AMPLE: 1.0, Verdict.LONG_WALK: 0.5}


@dataclass(frozen=True, slots=True)
class SetDevice:
    """A device where the learner set it."""

    toward: Toward
    distance_ft: float
    across: str


@dataclass(frozen=True, slots=True)
class DeviceMark:
    """The mark of one device."""

    expected: Expected | None
    "None for an extra device."
    set: SetDevice | None
    "None if the device is missing."
    verdict: Verdict
    across_right: bool

    @property
    def points(self) -> float:
        """Points added to the score."""
        return POINTS.get(self.verdict, 0) if self.across_right else 0


def mark(expected: Sequence[Expected], attempt: Sequence[SetDevice]) -> tuple[DeviceMark, ...]:
    """A mark for every expected device in order, then one for each extra device."""
    marks: list[DeviceMark] = []
    spare: list[DeviceMark] = []
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
        spare += [DeviceMark(None, one, Verdict.EXTRA, False) for one in given]
    return (*marks, *spare)


def counts(marks: Sequence[DeviceMark]) -> bool:
    """Whether the whole situation counts: every expected device in full, and none too many."""
    return all(one.expected is not None and one.points == 1 for one in marks)


def lazy_attempts(task: Task) -> Iterator[tuple[SetDevice, ...]]:
    """What three lazy strategies answer: move nothing; the farthest device of each side always as far as the
    rule lets it; as far as that only where the view is hidden.
    """
    rules = task.lengths.rules
    layout = rules.layout(task.scene.kind, task.scene.speed_mph)
    own: list[SetDevice] = []
    out: list[SetDevice] = []
    hidden: list[SetDevice] = []
    for toward in Toward:
        required = nearest_first(layout, toward)
        answers = [one for one in task.expected if one.toward is toward]
        for rule, answer in zip(required, answers, strict=True):
            stays = SetDevice(toward, rule.distance_ft, answer.across)
            far_ft = (
                max(candidates_ft(rules, rule, hidden_ft=0.0)) if rule is required[-1] else rule.distance_ft
            )
            goes = SetDevice(toward, far_ft, answer.across)
            own.append(stays)
            out.append(goes)
            hidden.append(goes if answer.moved else stays)
    yield from (tuple(own), tuple(out), tuple(hidden))


def verdict(expected: Expected, distance_ft: float) -> Verdict:
    """The verdict on the distance alone, ignoring rounding errors of whole meters in feet."""
    if _between(expected.low_ft, distance_ft, expected.high_ft):
        return Verdict.RIGHT
    step = units.whole_down(distance_ft, expected.step_ft)
    if any(_between(low, step, high) and _between(low, distance_ft, high) for low, high in expected.open_ft):
        return Verdict.AMPLE if distance_ft <= expected.economic_ft + units.FUZZ else Verdict.LONG_WALK
    return Verdict.TOO_NEAR if distance_ft < expected.distance_ft else Verdict.TOO_FAR


def _between(low_ft: float, distance_ft: float, high_ft: float) -> bool:
    return low_ft - units.FUZZ <= distance_ft <= high_ft + units.FUZZ


def _marked(expected: Expected, found: SetDevice | None) -> DeviceMark:
    if found is None:
        return DeviceMark(expected, None, Verdict.MISSING, False)
    return DeviceMark(expected, found, verdict(expected, found.distance_ft), found.across == expected.across)
