"""The texts of a finished SVG and the boxes that they fill."""

from __future__ import annotations

from dataclasses import dataclass
from xml.etree import ElementTree

from forty_paces.drawing.svg import Point
from forty_paces.drawing.text import Anchor, Box, text_width
from forty_paces.drawing.typeface import load_typeface


def line_box(
    text: str, x: float, y: float, size: float, *, bold: bool = False, anchor: Anchor = "start"
) -> Box:
    """The box of one line whose baseline starts, centers or ends at ``x``, ``y``."""
    width = text_width(text, size, bold=bold)
    left = x - {"start": 0.0, "middle": width / 2, "end": width}[anchor]
    font = load_typeface().weight(bold)
    return Box(left, y - font.ascent * size * 0.0008, left + width, y + font.descent * size * 0.00085)


@dataclass(frozen=True, slots=True)
class TextBox:
    """A text in an SVG and its measured box."""

    text: str
    box: Box
    size: float
    shown: bool
    "False inside any element with display none."
    classes: str


def text_boxes(svg: str) -> tuple[TextBox, ...]:
    """Every text element of an SVG with its measured box; translate transforms are applied."""
    boxes: list[TextBox] = []
    _collect(ElementTree.fromstring(svg), True, (0.0, 0.0), boxes)
    return tuple(boxes)


def view_box(svg: str) -> Box:
    """The view box of an SVG."""
    left, top, width, height = (float(part) for part in ElementTree.fromstring(svg).attrib["viewBox"].split())
    return Box(left, top, left + width, top + height)


def _collect(element: ElementTree.Element, shown: bool, shift: Point, found: list[TextBox]) -> None:
    shown = shown and element.get("display") != "none"
    moved = element.get("transform", "")
    if moved.startswith("translate("):
        x, y = (float(part) for part in moved.removeprefix("translate(").rstrip(")").split(","))
        shift = (shift[0] + x, shift[1] + y)
    if element.tag.endswith("}text"):
        words = "".join(element.itertext())
        size = float(element.get("font-size", "16"))
        anchor = element.get("text-anchor", "start")
        box = line_box(
            words,
            float(element.get("x", "0")) + shift[0],
            float(element.get("y", "0")) + shift[1],
            size,
            bold=element.get("font-weight") == "700",
            anchor="middle" if anchor == "middle" else "end" if anchor == "end" else "start",
        )
        found.append(TextBox(words, box, size, shown, element.get("class", "")))
    for child in element:
        _collect(child, shown, shift, found)
