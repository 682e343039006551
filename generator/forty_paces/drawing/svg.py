"""The small set of SVG elements that every drawing is built from.

:func:`drawing` writes a finished SVG as text. Colors and line styles come from the class table
in presentation.py, and no style attribute is ever written, so that the drawings pass a strict
content security policy.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from forty_paces.drawing.presentation import FONT_FAMILY, PAINT

Point = tuple[float, float]

UNSEEN = 0.1
"How far a drawn line may lie off its corners, in page units; the thinnest line is 1.3 wide."

_PREFIX = re.compile(r"[a-z][a-z0-9-]*")
_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_SPECIAL = re.compile("[&<>\"'\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")


def number(value: float) -> str:
    """Format a coordinate with at most two decimals, no trailing zeros; ``ValueError`` unless finite."""
    if not math.isfinite(value):
        raise ValueError(f"a drawing cannot hold the coordinate {value!r}")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def escape(text: str) -> str:
    """Escape text for element content and double-quoted attributes."""
    if not _SPECIAL.search(text):  # most texts are numbers and class names
        return text
    text = _FORBIDDEN.sub("\ufffd", text)
    for raw, safe in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;"), ("'", "&#39;")):
        text = text.replace(raw, safe)
    return text


@dataclass(frozen=True, slots=True)
class Element:
    """One SVG element, its attributes in writing order."""

    tag: str
    attributes: tuple[tuple[str, str], ...] = ()
    children: tuple[Element | str, ...] = ()
    "Elements, or plain text not yet escaped."

    def write(self) -> str:
        """Return the element as SVG text."""
        attributes = "".join(f' {name}="{escape(value)}"' for name, value in self.attributes)
        if not self.children:
            return f"<{self.tag}{attributes}/>"
        inner = "".join(
            child.write() if isinstance(child, Element) else escape(child) for child in self.children
        )
        return f"<{self.tag}{attributes}>{inner}</{self.tag}>"


def element(
    tag: str,
    classes: str = "",
    children: Iterable[Element | str] = (),
    /,
    **attributes: str | float | None,
) -> Element:
    """Return an element of class ``classes`` with the presentation attributes of those classes.

    Attribute names take an underscore for a hyphen; None leaves the attribute out.
    """
    written: dict[str, str] = {}
    if classes:
        written["class"] = classes
        for name in classes.split():
            written.update(PAINT.get(name, {}))
    for key, value in attributes.items():
        if value is not None:
            written[key.rstrip("_").replace("_", "-")] = value if isinstance(value, str) else number(value)
    return Element(tag, tuple(written.items()), tuple(children))


def group(
    children: Iterable[Element], classes: str = "", *, id: str | None = None, shown: bool = True
) -> Element:
    """Group elements; ``shown`` is False where a stylesheet or script shows them later."""
    return element("g", classes, children, id=id, display=None if shown else "none")


def rect(
    x: float, y: float, width: float, height: float, classes: str, *, rx: float | None = None
) -> Element:
    """A rectangle by its top left corner."""
    return element("rect", classes, x=x, y=y, width=width, height=height, rx=rx)


def circle(x: float, y: float, radius: float, classes: str) -> Element:
    """A circle by its center."""
    return element("circle", classes, cx=x, cy=y, r=radius)


def line(start: Point, end: Point, classes: str) -> Element:
    """A straight line."""
    return element("line", classes, x1=start[0], y1=start[1], x2=end[0], y2=end[1])


def points(corners: Iterable[Point]) -> str:
    """Format corners as the value of a ``points`` attribute."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in corners)


def thinned(corners: Iterable[Point]) -> list[Point]:
    """The corners without those that lie on the line between others, to within ``UNSEEN``.

    By Douglas and Peucker (Cartographica 10(2), 1973). The ends stay.
    """
    line = list(corners)
    kept = {0, len(line) - 1}
    spans = [(0, len(line) - 1)]
    while spans:
        first, last = spans.pop()
        if last - first < 2:
            continue
        away, far = max((_off(line[at], line[first], line[last]), at) for at in range(first + 1, last))
        if away > UNSEEN:
            kept.add(far)
            spans += [(first, far), (far, last)]
    return [corner for at, corner in enumerate(line) if at in kept]


def _off(point: Point, start: Point, end: Point) -> float:
    """How far a point lies from a stretch of a line."""
    wide, high = end[0] - start[0], end[1] - start[1]
    squared = wide * wide + high * high
    along = ((point[0] - start[0]) * wide + (point[1] - start[1]) * high) / squared if squared else 0.0
    share = min(1.0, max(0.0, along))
    return math.hypot(point[0] - start[0] - share * wide, point[1] - start[1] - share * high)


def polyline(corners: Iterable[Point], classes: str) -> Element:
    """An open sequence of straight lines."""
    return element("polyline", classes, points=points(thinned(corners)))


def polygon(corners: Iterable[Point], classes: str, *, fill: str | None = None) -> Element:
    """A closed shape; ``fill`` names a pattern as ``url(#id)``."""
    return element("polygon", classes, points=points(thinned(corners)), fill=fill)


def path(d: str, classes: str) -> Element:
    """A path by its commands."""
    return element("path", classes, d=d)


def stripes(id: str, ground: str, stripe: str, *, pitch: float = 10) -> Element:
    """A pattern of slanted stripes, to be used as ``fill="url(#id)"``."""
    half = pitch / 2
    d = f"M{number(-half)} {number(half)}L{number(half)} {number(-half)}"
    d += f"M0 {number(pitch)}L{number(pitch)} 0"
    d += f"M{number(half)} {number(pitch + half)}L{number(pitch + half)} {number(half)}"
    return element(
        "pattern",
        "",
        (rect(0, 0, pitch, pitch, ground), path(d, stripe)),
        id=id,
        patternUnits="userSpaceOnUse",
        width=pitch,
        height=pitch,
    )


def check_prefix(prefix: str) -> str:
    """Return the prefix; ``ValueError`` where it could not start an id."""
    if not _PREFIX.fullmatch(prefix):
        raise ValueError(f"an id prefix is lower-case letters, digits and hyphens, not {prefix!r}")
    return prefix


def drawing(
    width: float,
    height: float,
    children: Iterable[Element],
    *,
    prefix: str,
    title: str,
    desc: str,
    corner: Point = (0.0, 0.0),
    classes: str = "",
    patterns: Iterable[Element] = (),
    data: Mapping[str, str] | None = None,
) -> str:
    """Return a finished SVG: named by its title, described by its desc, all ids beginning with ``prefix``.

    ``corner`` is the page's upper left corner in the units of the shapes.
    """
    check_prefix(prefix)
    defs = tuple(patterns)
    inner: list[Element | str] = [
        element("title", "", (title,), id=f"{prefix}-title"),
        element("desc", "", (desc,), id=f"{prefix}-desc"),
    ]
    if defs:
        inner.append(element("defs", "", defs))
    inner.extend(children)
    attributes: dict[str, str] = {
        "xmlns": "http://www.w3.org/2000/svg",
        "class": f"fp-drawing {classes}".strip(),
        "viewBox": " ".join(number(part) for part in (*corner, width, height)),
        "width": number(width),
        "height": number(height),
        "role": "img",
        "aria-labelledby": f"{prefix}-title {prefix}-desc",
        "font-family": FONT_FAMILY,
    }
    attributes.update({f"data-{name}": value for name, value in (data or {}).items()})
    return Element("svg", tuple(attributes.items()), tuple(inner)).write()


def standalone(svg: str, stylesheet: str = "") -> str:
    """Return a drawing as a standalone file with the given CSS text (tokens and styles) embedded."""
    css = stylesheet.replace("]]>", "")
    style = f"<style><![CDATA[{css}]]></style>" if css.strip() else ""
    head, _, rest = svg.partition(">")
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{head}>{style}{rest}\n'
