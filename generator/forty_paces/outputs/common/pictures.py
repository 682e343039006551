"""Set the printed size of SVG drawings."""

from __future__ import annotations

import re

from markupsafe import Markup

_VIEW_BOX = re.compile(r'viewBox="[-\d.]+ [-\d.]+ ([\d.]+) ([\d.]+)"')
_SIZE = re.compile(r' (?:width|height)="[^"]*"')


def view_box(svg: str) -> tuple[float, float]:
    """Width and height of a drawing in its own units. Raises ``ValueError`` if it has no viewBox."""
    box = _VIEW_BOX.search(str(svg).partition(">")[0])
    if box is None:
        raise ValueError("a drawing without a view box cannot be sized")
    return float(box[1]), float(box[2])


def sized(svg: str, width_mm: float) -> Markup:
    """The drawing at ``width_mm``, its height in proportion. Raises ``ValueError`` if it has no viewBox."""
    width, height = view_box(svg)
    head, bracket, rest = str(svg).partition(">")
    bare = _SIZE.sub("", head)
    return Markup(  # the drawing is escaped where it is made
        f'{bare} width="{width_mm:g}mm" height="{width_mm * height / width:.3f}mm"{bracket}{rest}'
    )
