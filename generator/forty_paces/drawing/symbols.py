"""Pictograms and signal symbols as small SVGs, 64 units square, and obstruction signs of 28.

They take the color of the surrounding text and are hidden from screen readers, because
each appears beside its words. The four signal words differ by border (double, thick, thin,
dotted), so that they are distinct in grayscale; the alert triangle is on DANGER, WARNING
and CAUTION only (ANSI Z535.4). An obstruction sign stands beside the label of a hidden stretch.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from enum import StrEnum

from forty_paces.drawing.pictograms import PICTOGRAMS
from forty_paces.drawing.svg import Element, element, group, number

NAMES: tuple[str, ...] = tuple(PICTOGRAMS)
"The names of all symbols."

SIGNALS: tuple[str, ...] = ("danger", "warning", "caution", "notice")
"Signal words by decreasing severity; their symbols are named signal-<word>."


def symbol_svg(name: str) -> str:
    """Return the symbol as SVG text; ``LookupError`` for a name that is not in NAMES."""
    return element(
        "svg",
        f"fp-symbol fp-symbol-{name}",
        _shapes(name),
        xmlns="http://www.w3.org/2000/svg",
        viewBox="0 0 64 64",
        width=64,
        height=64,
        **_PEN,
        aria_hidden="true",
        focusable="false",
    ).write()


def symbol_definitions(names: Iterable[str]) -> str:
    """One hidden SVG that defines these symbols for :func:`symbol_reference` on the same page."""
    defined = tuple(
        element("symbol", "", _shapes(name), id=f"symbol-{name}", viewBox="0 0 64 64", **_PEN)
        for name in names
    )
    return element("svg", "", defined, hidden="hidden", aria_hidden="true", focusable="false").write()


def symbol_reference(name: str) -> str:
    """The symbol as SVG text of a few bytes, drawn by the definition that the page holds."""
    _shapes(name)
    drawn = (element("use", "", href=f"#symbol-{name}"),)
    return element(
        "svg",
        f"fp-symbol fp-symbol-{name}",
        drawn,
        width=64,
        height=64,
        aria_hidden="true",
        focusable="false",
    ).write()


_PEN: dict[str, str | float] = {
    "fill": "none",
    "stroke": "currentColor",
    "stroke_width": 4,
    "stroke_linejoin": "round",
    "stroke_linecap": "round",
}


def _shapes(name: str) -> tuple[Element, ...]:
    if name not in PICTOGRAMS:
        near = difflib.get_close_matches(name, NAMES, n=1)
        if near:
            raise LookupError(f"there is no symbol named {name!r}; the closest is {near[0]!r}")
        raise LookupError(f"there is no symbol named {name!r}")
    return tuple(_stroke(code) for code in PICTOGRAMS[name])


def _stroke(code: str) -> Element:
    if code.startswith("#"):
        return element("path", "", d=code[1:], fill="currentColor", fill_rule="evenodd", stroke="none")
    if code.startswith(":"):
        return element("path", "", d=code[1:], stroke_width=4, stroke_dasharray="0.1 7.25")
    if width := re.match(r"~([\d.]+)", code):
        return element(
            "path", "", d=code[width.end() :], stroke_width=float(width[1]), stroke_linejoin="miter"
        )
    return element("path", "", d=code)


SIGN_SIDE = 28.0
"Side of the square that a sign fills."


class Cause(StrEnum):
    """Why drivers on a stretch of road cannot see the vehicle."""

    BEND_RIGHT = "bend-right"
    "The road bends right for the approaching traffic."
    BEND_LEFT = "bend-left"
    HILL = "hill"
    OBSTRUCTION = "obstruction"


def sign(cause: Cause, left: float, top: float, *, shown: bool = True) -> Element:
    """Draw the sign of a cause with its top left corner at a point."""

    def at(x: float, y: float) -> str:
        return f"{number(left + x)} {number(top + y)}"

    if cause is Cause.HILL:
        d = f"M{at(0, 26)}C{at(8, 26)} {at(8, 6)} {at(14, 6)}S{at(20, 26)} {at(28, 26)}Z"
        shapes = [element("path", "fp-sign-solid", d=d)]
    elif cause is Cause.OBSTRUCTION:
        d = f"M{at(2, 26)}V{number(top + 10)}H{number(left + 13)}V{number(top + 26)}Z"
        d += f"M{at(15, 26)}V{number(top + 3)}H{number(left + 26)}V{number(top + 26)}Z"
        shapes = [element("path", "fp-sign-solid", d=d)]
    else:
        foot, end = (7, 20) if cause is Cause.BEND_RIGHT else (21, 8)
        tip = 28 if cause is Cause.BEND_RIGHT else 0
        curve = f"M{at(foot, 27)}C{at(foot, 14)} {at(foot, 9)} {at(end, 9)}"
        head = f"M{at(tip, 9)}L{at(end, 1)}V{number(top + 17)}Z"
        shapes = [element("path", "fp-sign-line", d=curve), element("path", "fp-sign-solid", d=head)]
    return group(shapes, f"fp-cause fp-cause-{cause}", shown=shown)
