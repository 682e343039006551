"""Obstruction signs: small symbols, 28 units square, beside the label of a hidden stretch."""

from __future__ import annotations

from enum import StrEnum

from forty_paces.drawing.svg import Element, element, group, number

SIDE = 28.0
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
