"""The yard plan: marks on the ground for practicing the paces.

The distances marked are those that the rule set requires, on any kind of road, with no view hidden.
"""

from __future__ import annotations

from dataclasses import dataclass

from forty_paces.drawing import svg
from forty_paces.drawing.svg import Element
from forty_paces.drawing.text import TextBlock, TextLine
from forty_paces.geometry import units
from forty_paces.geometry.records import RuleSet, Toward
from forty_paces.messages import quantities
from forty_paces.messages.classroom import TASK
from forty_paces.messages.quantities import length
from forty_paces.messages.terms import side_words

LEAST_WIDTH, HEIGHT = 640.0, 172.0
EDGE = 16.0
BASE = 76.0
TRUCK = 96.0
GAP = 96.0
"Width between two marks: the plan is not to scale."
COUNTS = range(34, 48)
"Possible pace counts over the paced stretch, from long legs to short ones."


@dataclass(frozen=True, slots=True)
class YardMark:
    """One mark on the ground."""

    toward: Toward
    distance_ft: float
    feet: str
    meters: str
    paces: int
    roads: str
    "The kinds of road for which it is required."

    def lengths(self, rules: RuleSet) -> tuple[str, ...]:
        """Feet and meters; meters alone where the rule set is written in them."""
        return (self.meters,) if rules.metric else (self.feet, self.meters)


def yard_marks(rules: RuleSet) -> tuple[YardMark, ...]:
    """Every distance of the rule set that is walked: behind first, nearest first."""
    marks: dict[tuple[Toward, float], list[str]] = {}
    for layout in rules.layouts:
        for device in layout.devices:
            if not device.distance_ft:
                continue
            key = (device.toward, device.distance_ft)
            marks.setdefault(key, [])
            if layout.road.value not in marks[key]:
                marks[key].append(layout.road.value)
    ordered = sorted(marks, key=lambda key: (key[0] is Toward.AHEAD, key[1]))
    return tuple(
        YardMark(
            toward,
            distance,
            quantities.feet(distance),
            quantities.meters(distance),
            units.paces(distance, rules.pace_ft),
            ", ".join(marks[toward, distance]),
        )
        for toward, distance in ordered
    )


def paced_ft(rules: RuleSet) -> float:
    """Length in feet of the stretch over which drivers count their own paces: 100 ft, or 30 m."""
    return units.m_to_ft(30) if rules.metric else 100.0


def own_paces(rules: RuleSet) -> list[dict[str, str]]:
    """For each pace count over the paced stretch, the number of paces to each distance of the rule."""
    distances = sorted({mark.distance_ft for mark in yard_marks(rules)})
    rows = []
    for count in COUNTS:
        cells = {
            length(rules, distance): f"{units.paces(distance, paced_ft(rules) / count)}"
            for distance in distances
        }
        rows.append({"count": str(count), **cells})
    return rows


def draw_yard(rules: RuleSet, *, prefix: str) -> str:
    """The marked yard from above, not to scale, as SVG."""
    marks = yard_marks(rules)
    behind = [mark for mark in marks if mark.toward is Toward.BEHIND]
    ahead = [mark for mark in marks if mark.toward is Toward.AHEAD]
    width = max(LEAST_WIDTH, 2 * EDGE + TRUCK + GAP * (max(1, len(behind)) + max(1, len(ahead)) + 0.6))
    rear = EDGE + GAP * (max(1, len(behind)) + 0.3)
    front = rear + TRUCK
    drawn: list[Element] = [
        svg.rect(0, 0, width, HEIGHT, "fp-plate"),
        svg.line((EDGE, BASE), (rear, BASE), "fp-ruler"),
        svg.line((front, BASE), (width - EDGE, BASE), "fp-ruler"),
        svg.rect(rear, BASE - 19, TRUCK, 38, "fp-vehicle"),
        *TextBlock((TextLine(TASK["yard-rear"], 15),)).draw(rear - 6, BASE - 62, "end"),
        *TextBlock((TextLine(TASK["yard-front"], 15),)).draw(front + 6, BASE - 62),
        svg.line((rear, BASE - 64), (rear, BASE + 26), "fp-outline"),
        svg.line((front, BASE - 64), (front, BASE + 26), "fp-outline"),
    ]
    for side, sign, zero in ((behind, -1, rear), (ahead, 1, front)):
        for place, mark in enumerate(side, start=1):
            drawn += _mark(mark, marks.index(mark) + 1, zero + sign * GAP * place, rules)
    described = (
        TASK["yard-mark"].format(
            distance=mark.lengths(rules)[0], paces=mark.paces, side=side_words(mark.toward)
        )
        for mark in marks
    )
    return svg.drawing(
        width,
        HEIGHT,
        drawn,
        prefix=prefix,
        title=TASK["yard-title"],
        desc=TASK["yard-description"].format(marks="; ".join(described)),
    )


def _mark(mark: YardMark, number: int, x: float, rules: RuleSet) -> list[Element]:
    """One mark, numbered as in the table below the drawing."""
    paces = quantities.paces(mark.paces)
    own, *others = mark.lengths(rules)
    lines = [TextLine(own, 19, bold=True), TextLine(paces, 16, bold=True)]
    lines += [TextLine(other, 15) for other in others]
    return [
        svg.line((x, BASE - 13), (x, BASE + 13), "fp-ruler"),
        *TextBlock((TextLine(str(number), 16, bold=True),)).draw(x, BASE - 38, "middle"),
        *TextBlock(tuple(lines)).draw(x, BASE + 22, "middle"),
    ]
