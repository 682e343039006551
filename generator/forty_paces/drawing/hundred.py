"""A hundred drivers in a ten by ten grid: who can stop, who might, who cannot. One grid for each distance.

SVG for the classroom. The three kinds differ by shape and not by color alone, so they survive gray paper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from forty_paces.drawing import svg
from forty_paces.drawing.svg import Element
from forty_paces.drawing.text import TextBlock, TextLine, balanced
from forty_paces.geometry.chance import Chance
from forty_paces.messages.chance import HUNDRED

CELL = 24.0
GRID = 10 * CELL
GAP = 50.0
EDGE = 14.0
KEY = 210.0
"Width of the key beside the grids."
SMALL, BOLD = 20.0, 23.0
HEAD = 66.0
FOOT = 44.0


@dataclass(frozen=True, slots=True)
class Hundred:
    """One grid: the drivers who are warned at one distance."""

    title: str
    "Such as 'Device at 100 ft'."
    warned: str
    "Such as 'warned from 258 ft'."
    band: Chance


def draw_hundreds(grids: Sequence[Hundred], *, prefix: str, desc: str) -> str:
    """Draw the grids side by side with their key, as SVG text.

    ``ValueError`` for a prefix that cannot start an id.
    """
    children: list[Element] = []
    left = EDGE
    for grid in grids:
        children += _grid(grid, left)
        left += GRID + GAP
    children += _key(left)
    width, height = left + KEY + EDGE, HEAD + GRID + FOOT + EDGE
    children.insert(0, svg.rect(0, 0, width, height, "fp-plate"))
    return svg.drawing(
        width, height, children, prefix=prefix, title=HUNDRED["title"], desc=desc, classes="fp-hundred"
    )


def _grid(grid: Hundred, left: float) -> list[Element]:
    low, middle, high = grid.band.percent()
    heads = TextBlock((TextLine(grid.title, BOLD, bold=True), TextLine(grid.warned, SMALL)))
    drawn = heads.draw(left, EDGE)
    for number in range(100):
        row, column = divmod(number, 10)
        kind = "stops" if number < low else "open" if number < high else "hits"
        drawn += _driver(kind, left + column * CELL, HEAD + row * CELL)
    count = HUNDRED["count-one" if low == high else "count"].format(low=low, high=high, middle=middle)
    return [*drawn, *TextBlock((TextLine(count, BOLD, bold=True),)).draw(left, HEAD + GRID + 8)]


def _driver(kind: str, x: float, y: float) -> list[Element]:
    """One driver: a full square, an open one with a dot, or a cross."""
    near, far, middle = 3.0, CELL - 4.0, (CELL - 1) / 2
    if kind == "stops":
        return [svg.rect(x + near, y + near, far - near, far - near, "fp-bar-solid")]
    if kind == "open":
        box = svg.rect(x + near, y + near, far - near, far - near, "fp-bar")
        return [box, svg.circle(x + middle, y + middle, 2.5, "fp-ruler-mark")]
    ends = ((x + near + 1, x + far - 1), (x + far - 1, x + near + 1))
    return [svg.line((a, y + near + 1), (b, y + far - 1), "fp-cross") for a, b in ends]


def _key(left: float) -> list[Element]:
    drawn: list[Element] = []
    top = HEAD
    for kind in ("stops", "open", "hits"):
        lines = balanced(HUNDRED[kind], SMALL, KEY - CELL - 12)
        block = TextBlock(tuple(TextLine(line, SMALL) for line in lines))
        drawn += _driver(kind, left, top)
        drawn += block.draw(left + CELL + 10, top - 1)
        top += block.height + 22
    return drawn
