"""Bar diagrams of computed figures: stopping distance by parts, following gap.

SVG, 400 units wide, each drawn to its own scale; the figures are computed elsewhere.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from forty_paces.drawing import labels, marks, svg
from forty_paces.drawing.svg import Element
from forty_paces.drawing.text import TextBlock, TextLine, balanced
from forty_paces.geometry.heavy_vehicle import StoppingParts
from forty_paces.messages.drawings import DRAWING
from forty_paces.messages.quantities import feet, meters, number

WIDTH = 400.0
EDGE = 12.0
SMALL, BOLD = 15.0, 17.0
BAR = 34.0
GAP = 8.0


@dataclass(frozen=True, slots=True)
class BarSegment:
    """One segment of a bar."""

    name: str
    length: float
    figure: str
    "The length as text, with its unit."
    classes: str


def draw_stopping(parts: StoppingParts, *, prefix: str, title: str, metric: bool = False) -> str:
    """Draw a stopping distance as a bar of its parts, as SVG text; its figures in feet, or in meters.

    ``ValueError`` for a prefix that cannot start an id.
    """
    written = meters if metric else feet
    stretches = [
        BarSegment(DRAWING["bar-seeing"], parts.perception_ft, written(parts.perception_ft), "fp-bar"),
        BarSegment(DRAWING["bar-foot"], parts.reaction_ft, written(parts.reaction_ft), "fp-bar-grey"),
        BarSegment(DRAWING["bar-lag"], parts.lag_ft, written(parts.lag_ft), "fp-bar-light"),
        BarSegment(DRAWING["bar-braking"], parts.braking_ft, written(parts.braking_ft), "fp-bar-solid"),
    ]
    shown = [stretch for stretch in stretches if stretch.length > 0]
    described = (DRAWING["bar-part"].format(part=one.name, length=one.figure) for one in shown)
    total = written(parts.total_ft)
    desc = DRAWING["bar-description"].format(parts=", ".join(described), total=total)
    return _bar(shown, DRAWING["bar-total"].format(total=total), prefix=prefix, title=title, desc=desc)


def draw_gap(seconds: int, *, prefix: str, title: str) -> str:
    """Draw a following gap as a road with a mark for every second between two vehicles.

    ``ValueError`` for less than one second, or a prefix that cannot start an id.
    """
    if seconds < 1:
        raise ValueError(f"a following gap is a second or more, not {seconds}")
    top, road = 10.0, 34.0
    run = WIDTH - 2 * EDGE
    truck, car = 78.0, 36.0
    rear, front = EDGE + truck, WIDTH - EDGE - car
    step = (front - rear) / seconds
    middle = top + road / 2
    foot = top + road
    children: list[Element] = [
        svg.rect(EDGE - 4, top, run + 8, road, "fp-road"),
        marks.vehicle((EDGE, middle), (EDGE + truck, middle), 22, fine=True),
        marks.vehicle((front, middle), (front + car, middle), 18, cab=0.5, fine=True),
        svg.line((rear, foot + 12), (front, foot + 12), "fp-ruler"),
    ]
    for second in range(seconds + 1):
        x = rear + step * second
        children.append(svg.line((x, foot + 5), (x, foot + 19), "fp-ruler"))
        if second and step >= 26:
            line = TextBlock((TextLine(number(second), SMALL),))
            children += line.draw(x - step / 2, foot + 20, "middle")
    words = DRAWING["gap-second" if seconds == 1 else "gap-seconds"].format(n=number(seconds))
    children += TextBlock((TextLine(words, BOLD, bold=True),)).draw((rear + front) / 2, foot + 40, "middle")
    height = foot + 66
    children.insert(0, svg.rect(0, 0, WIDTH, height, "fp-plate"))
    desc = DRAWING["gap-description"].format(gap=words)
    return svg.drawing(WIDTH, height, children, prefix=prefix, title=title, desc=desc, classes="fp-gap-bar")


def _bar(parts: Sequence[BarSegment], total: str, *, prefix: str, title: str, desc: str) -> str:
    run = WIDTH - 2 * EDGE
    whole = math.fsum(part.length for part in parts)
    blocks = [
        TextBlock(
            (
                *(TextLine(word, SMALL) for word in balanced(part.name, SMALL, 92)),
                TextLine(part.figure, BOLD, bold=True),
            )
        )
        for part in parts
    ]
    starts = [
        EDGE + run * math.fsum(part.length for part in parts[:index]) / whole for index in range(len(parts))
    ]
    widths = [run * part.length / whole for part in parts]
    wanted = [start + width / 2 for start, width in zip(starts, widths, strict=True)]
    middles = labels.spread(wanted, [block.width for block in blocks], GAP)
    over = max(0.0, middles[-1] + blocks[-1].width / 2 - (WIDTH - EDGE / 2))
    middles = [middle - over for middle in middles]
    under = max(0.0, EDGE / 2 - (middles[0] - blocks[0].width / 2))
    middles = [middle + under for middle in middles]
    deepest = max(block.height for block in blocks)
    top = deepest + 26
    children: list[Element] = []
    for part, start, width, want, middle, block in zip(
        parts, starts, widths, wanted, middles, blocks, strict=True
    ):
        foot = deepest + 6
        children += block.draw(middle, deepest - block.height + 4, "middle")
        children.append(svg.line((middle, foot + 2), (want, top), "fp-leader-fine"))
        children.append(svg.rect(start, top, width, BAR, part.classes))
    below = top + BAR + 12
    children += [
        svg.polyline(
            [(EDGE, below - 6), (EDGE, below), (EDGE + run, below), (EDGE + run, below - 6)], "fp-ruler"
        ),
        *TextBlock((TextLine(total, BOLD, bold=True),)).draw(WIDTH / 2, below + 4, "middle"),
    ]
    height = below + 32
    children.insert(0, svg.rect(0, 0, WIDTH, height, "fp-plate"))
    return svg.drawing(WIDTH, height, children, prefix=prefix, title=title, desc=desc, classes="fp-parts-bar")
