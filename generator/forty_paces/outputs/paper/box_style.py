"""Printed boxes by class name: what decides the room they take, and the same as CSS.

In: sizes in points and millimeters. Out: styles, and a style sheet made of them, so
that what is measured is what is printed. Refuses to know how words flow.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Literal


@dataclass(frozen=True, slots=True)
class BoxStyle:
    """What decides the room that an element takes. A field left out is inherited or nothing."""

    display: Literal["block", "inline", "row", "aside"] | None = None
    "row: children side by side; aside: placed by hand, takes no room in the flow."
    size_pt: float | None = None
    lead_pt: float | None = None
    "Distance from baseline to baseline."
    bold: bool | None = None
    above_mm: float = 0.0
    "Padding above; the four together are the only distances between boxes."
    right_mm: float = 0.0
    below_mm: float = 0.0
    left_mm: float = 0.0
    border_mm: float = 0.0
    "Width of the border on all four sides."
    height_mm: float | None = None
    "A least height, its padding and border counted in."
    shares: tuple[float, ...] = ()
    "For a row: what part of its width each child takes."

    def declarations(self) -> str:
        """This style as CSS."""
        parts = []
        if self.size_pt is not None:
            parts.append(f"font-size:{_number(self.size_pt)}pt")
        if self.lead_pt is not None:
            parts.append(f"line-height:{_number(self.lead_pt)}pt")
        if self.bold is not None:
            parts.append(f"font-weight:{700 if self.bold else 400}")
        edges = (self.above_mm, self.right_mm, self.below_mm, self.left_mm)
        if any(edges):
            parts.append("padding:" + " ".join(f"{_number(edge)}mm" for edge in edges))
        if self.border_mm:
            parts.append(f"border-width:{_number(self.border_mm)}mm")
        if self.height_mm is not None:
            parts.append(f"min-height:{_number(self.height_mm)}mm")
        return ";".join(parts)


Styles = Mapping[str, BoxStyle]
"""Styles by class name."""


def style_sheet(styles: Styles, within: str, root: str = "") -> str:
    """The styles as CSS rules for classes below ``within``; ``root`` is the class that it stands on."""
    rules = []
    for name, style in styles.items():
        if text := style.declarations():
            rules.append(f"{within}{{{text}}}" if name == root else f"{within} .{name}{{{text}}}")
        for place, share in enumerate(style.shares, 1):
            rules.append(f"{within} .{name}>:nth-child({place}){{width:{_number(share * 100)}%}}")
    return "\n".join(rules)


def overlaid(under: BoxStyle, over: BoxStyle) -> BoxStyle:
    """``under`` with every field that ``over`` sets."""
    values = {}
    for one in fields(BoxStyle):
        value = getattr(over, one.name)
        values[one.name] = getattr(under, one.name) if value in (None, 0.0, ()) else value
    return BoxStyle(**values)


def _number(value: float) -> str:
    if not math.isfinite(value):
        raise ValueError(f"{value} is no length")
    return f"{value:.4f}".rstrip("0").rstrip(".") or "0"
