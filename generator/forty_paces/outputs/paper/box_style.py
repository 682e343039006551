"""Box styles that are used both to measure printed boxes and to write their CSS."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Literal


@dataclass(frozen=True, slots=True)
class BoxStyle:
    """The properties that determine an element's size. A field left out is inherited or zero."""

    display: Literal["block", "inline", "row", "aside"] | None = None
    "row: children side by side; aside: absolutely positioned, takes no space in the flow."
    size_pt: float | None = None
    lead_pt: float | None = None
    "Line spacing, baseline to baseline."
    bold: bool | None = None
    above_mm: float = 0.0
    "Top padding. The four paddings are the only distances between boxes; there are no margins."
    right_mm: float = 0.0
    below_mm: float = 0.0
    left_mm: float = 0.0
    border_mm: float = 0.0
    "Border width on all four sides."
    height_mm: float | None = None
    "Minimum height, including padding and border."
    shares: tuple[float, ...] = ()
    "For a row: each child's share of the width."

    def declarations(self) -> str:
        """This style as CSS declarations."""
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
    """The styles as CSS rules for classes below ``within``; ``root`` is the class of that element itself."""
    rules = []
    for name, style in styles.items():
        if text := style.declarations():
            rules.append(f"{within}{{{text}}}" if name == root else f"{within} .{name}{{{text}}}")
        for place, share in enumerate(style.shares, 1):
            rules.append(f"{within} .{name}>:nth-child({place}){{width:{_number(share * 100)}%}}")
    return "\n".join(rules)


def overlaid(under: BoxStyle, over: BoxStyle) -> BoxStyle:
    """``under`` overridden by every field that ``over`` sets."""
    values = {}
    for field in fields(BoxStyle):
        value = getattr(over, field.name)
        values[field.name] = getattr(under, field.name) if value in (None, 0.0, ()) else value
    return BoxStyle(**values)


def _number(value: float) -> str:
    if not math.isfinite(value):
        raise ValueError(f"{value} is no length")
    return f"{value:.4f}".rstrip("0").rstrip(".") or "0"
