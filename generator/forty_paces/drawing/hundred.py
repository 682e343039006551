"""A hundred drivers in a ten by ten grid: who can stop, who might, who cannot. One grid for each distance.

SVG for the classroom. The three kinds differ by shape and not by color alone, so they survive gray paper.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from forty_paces.drawing import svg
from forty_paces.drawing.svg import Element
from forty_paces.drawing.text import TextBlock, TextLine, balanced
from forty_paces.geometry.chance import Chance
from forty_paces.messages.answer import HUNDRED

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


@dataclass(frozen=True, slots=True)
class Glyph:
    """One shape of a kind of driver, within the driver's cell."""

    kind: str
    "'stops', 'open' or 'hits'."
    classes: str
    x: float
    y: float
    path: str
    "From there on, by relative commands."


_BOX = "h17v17h-17z"
MARKS = (
    Glyph("stops", "fp-bar-solid", 3, 3, _BOX),
    Glyph("open", "fp-bar", 3, 3, _BOX),
    Glyph("open", "fp-ruler-mark", 9, 11.5, "a2.5 2.5 0 1 0 5 0a2.5 2.5 0 1 0-5 0z"),
    Glyph("hits", "fp-cross", 4, 4, "l15 15m0-15l-15 15"),
)
"""A full square, an open one with a dot, and a cross."""


def draw_hundreds(grids: Sequence[Hundred], *, prefix: str, desc: str) -> str:
    """Draw the grids side by side with their key, as SVG text.

    ``ValueError`` for a prefix that cannot start an id.
    """
    drawn = [
        _grid((grid.title, grid.warned, _count(grid.band)), grid.band, place)
        for place, grid in enumerate(grids)
    ]
    return _drawing(drawn, prefix, desc)


def blank_hundreds(*, prefix: str) -> str:
    """Two grids whose words and drivers a script fills in, by :func:`script_values`."""
    return _drawing([_grid(("", "", ""), None, place) for place in range(2)], prefix, HUNDRED["blank"])


def script_values() -> dict[str, Any]:
    """What a script needs to fill in a blank drawing: the cells, and the shapes in drawing order."""
    return {
        "cell": CELL,
        "top": HEAD,
        "lefts": [_left(place) for place in range(2)],
        "marks": [[mark.kind, mark.x, mark.y, mark.path] for mark in MARKS],
    }


def _drawing(grids: Sequence[Element], prefix: str, desc: str) -> str:
    left = _left(len(grids))
    width, height = left + KEY + EDGE, HEAD + GRID + FOOT + EDGE
    children = [svg.rect(0, 0, width, height, "fp-plate"), *grids, *_key(left)]
    return svg.drawing(
        width, height, children, prefix=prefix, title=HUNDRED["title"], desc=desc, classes="fp-hundred"
    )


def _left(place: int) -> float:
    return EDGE + place * (GRID + GAP)


def _count(band: Chance) -> str:
    low, middle, high = band.percent()
    return HUNDRED["count-one" if low == high else "count"].format(low=low, high=high, middle=middle)


def _grid(words: tuple[str, str, str], band: Chance | None, place: int) -> Element:
    """One grid: its two head lines, its drivers, and how many can stop."""
    title, warned, count = words
    left = _left(place)
    heads = TextBlock((TextLine(title, BOLD, bold=True), TextLine(warned, SMALL)))
    foot = TextBlock((TextLine(count, BOLD, bold=True),))
    return svg.group(
        [
            *heads.draw(left, EDGE),
            *(svg.path("" if band is None else _drivers(mark, band, left), mark.classes) for mark in MARKS),
            *foot.draw(left, HEAD + GRID + 8),
        ],
        "fp-hundred-grid",
    )


def _drivers(mark: Glyph, band: Chance, left: float) -> str:
    """The shape for each driver of its kind: the first of the hundred stop, the last do not."""
    low, _, high = band.percent()
    numbers = {"stops": range(low), "open": range(low, high), "hits": range(high, 100)}[mark.kind]
    return "".join(_at(mark, left + number % 10 * CELL, HEAD + number // 10 * CELL) for number in numbers)


def _at(mark: Glyph, x: float, y: float) -> str:
    return f"M{svg.number(x + mark.x)} {svg.number(y + mark.y)}{mark.path}"


def _key(left: float) -> list[Element]:
    drawn: list[Element] = []
    top = HEAD
    for kind in ("stops", "open", "hits"):
        lines = balanced(HUNDRED[kind], SMALL, KEY - CELL - 12)
        block = TextBlock(tuple(TextLine(line, SMALL) for line in lines))
        drawn += [svg.path(_at(mark, left, top), mark.classes) for mark in MARKS if mark.kind == kind]
        drawn += block.draw(left + CELL + 10, top - 1)
        top += block.height + 22
    return drawn
