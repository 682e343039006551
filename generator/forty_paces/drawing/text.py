"""Measures, wraps and draws blocks of text.

Widths are those of the typeface that every output embeds (:mod:`.typeface`), without kerning: a label's box
must be large enough in every engine.

Lines break by Unicode line breaking (UAX 14), as the library uniseg implements it. A shortcut handles what
its rules cannot change: a space between two letters or digits is always a break opportunity (LB18), and no
rule looks past such a space, so the stretches between them are processed separately and cached.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from uniseg.linebreak import line_break_units

from forty_paces.drawing.svg import Element, element
from forty_paces.drawing.typeface import load_typeface

Anchor = Literal["start", "middle", "end"]

LEADING = 1.22
"Line height over type size inside a drawing."

_PLAIN_SPACE = re.compile(r"(?<=[A-Za-z0-9.,:;]) (?=[A-Za-z0-9])")
_PLAIN_WORD = re.compile(r"[A-Za-z0-9]+[.,:;]?")


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """Width of one line of text in the units of ``size``."""
    return load_typeface().weight(bold).width(text, kerned=False) * size / 1000


@dataclass(frozen=True, slots=True)
class Box:
    """An axis-aligned rectangle."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Horizontal extent."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Vertical extent."""
        return self.bottom - self.top

    def overlaps(self, other: Box, margin: float = 0) -> bool:
        """Whether the two share any area, each side grown by ``margin`` / 2."""
        return (
            self.left < other.right + margin
            and other.left < self.right + margin
            and self.top < other.bottom + margin
            and other.top < self.bottom + margin
        )

    def inside(self, other: Box) -> bool:
        """Whether this box lies within the other."""
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.top >= other.top
            and self.bottom <= other.bottom
        )

    def grown(self, margin: float) -> Box:
        """The box with ``margin`` added on every side."""
        return Box(self.left - margin, self.top - margin, self.right + margin, self.bottom + margin)


def bounding_box(corners: Iterable[tuple[float, float]]) -> Box:
    """The smallest box containing every corner; ``ValueError`` when there is none."""
    xs, ys = zip(*corners, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True, slots=True)
class TextLine:
    """One line of a text block."""

    text: str
    size: float
    bold: bool = False
    lead: str = ""
    "Fixed words before ``text``, with the space that ends them."
    room: str = ""
    "The longest text that may later be shown here; its width is reserved where it is wider than ``text``."
    slot: str = ""
    "If set, the id suffix by which a script may change the text."
    shown: bool = True
    "False where a stylesheet or script shows the line later."
    hook: str = ""
    "An additional class for stylesheets."

    @property
    def width(self) -> float:
        """Width of the text, or of the longest text that may be shown here."""
        sayings = (self.text, self.room)
        return max(text_width(self.lead + words, self.size, bold=self.bold) for words in sayings)


@dataclass(frozen=True, slots=True)
class TextBlock:
    """Lines stacked as one label."""

    lines: tuple[TextLine, ...]

    @property
    def width(self) -> float:
        """Width of the longest line."""
        return max((line.width for line in self.lines), default=0.0)

    @property
    def height(self) -> float:
        """Height from the top of the first line to the bottom of the last."""
        return math.fsum(line.size * LEADING for line in self.lines)

    def box(self, x: float, top: float, anchor: Anchor = "start") -> Box:
        """The box of the block when drawn at ``x`` with its top at ``top``."""
        left = x - {"start": 0.0, "middle": self.width / 2, "end": self.width}[anchor]
        return Box(left, top, left + self.width, top + self.height)

    def draw(self, x: float, top: float, anchor: Anchor = "start", *, prefix: str = "") -> list[Element]:
        """Return the lines as text elements; a line with a slot gets the id ``prefix-slot``."""
        drawn = []
        y = top
        for line in self.lines:
            baseline = y + line.size * LEADING / 2 + line.size * 0.33
            drawn.append(_set(line, x, baseline, anchor, f"{prefix}-{line.slot}" if line.slot else None))
            y += line.size * LEADING
        return drawn


def _set(line: TextLine, x: float, y: float, anchor: Anchor, id: str | None) -> Element:
    words: tuple[Element | str, ...] = (line.text,)
    if line.lead:
        words = (line.lead, element("tspan", "", words, id=id)) if id else (line.lead + line.text,)
    return set_line(
        words,
        x,
        y,
        line.size,
        bold=line.bold,
        anchor=anchor,
        classes=f"fp-text {line.hook}".strip(),
        id=None if line.lead else id,
        shown=line.shown,
    )


def set_line(
    words: tuple[Element | str, ...],
    x: float,
    y: float,
    size: float,
    *,
    bold: bool = False,
    anchor: Anchor = "start",
    classes: str = "fp-text",
    id: str | None = None,
    shown: bool = True,
) -> Element:
    """One line of text with its baseline at ``y``."""
    return element(
        "text",
        classes,
        words,
        id=id,
        display=None if shown else "none",
        x=x,
        y=y,
        font_size=size,
        font_weight="700" if bold else None,
        text_anchor=None if anchor == "start" else anchor,
    )


def wrap(text: str, size: float, width: float, *, bold: bool = False) -> tuple[str, ...]:
    """Break text into lines no wider than ``width``, at break opportunities where possible.

    A word wider than a whole line is broken inside.
    """
    lines: list[str] = []
    for part in _parts(text, size, width, bold):
        if lines and text_width(f"{lines[-1]}{part}".rstrip(" "), size, bold=bold) <= width:
            lines[-1] += part
        else:
            lines.append(part)
    return tuple(line.rstrip(" ") for line in lines)


def _parts(text: str, size: float, width: float, bold: bool) -> list[str]:
    """Unbreakable parts of the text; a part wider than ``width`` is cut into pieces of one letter or more."""
    parts = []
    for part in unbreakable_parts(text):
        while text_width(part.rstrip(" "), size, bold=bold) > width and len(part.rstrip(" ")) > 1:
            most = next(n for n in range(len(part) - 1, 0, -1) if _holds(part[:n], size, width, bold))
            parts.append(part[:most])
            part = part[most:]
        parts.append(part)
    return parts


def _holds(piece: str, size: float, width: float, bold: bool) -> bool:
    return len(piece) == 1 or text_width(piece, size, bold=bold) <= width


def balanced(text: str, size: float, width: float, *, bold: bool = False) -> tuple[str, ...]:
    """Like `wrap`, in as few lines, with the longest line as short as possible."""
    lines = wrap(text, size, width, bold=bold)
    parts = _parts(text, size, width, bold)
    if len(lines) < 2 or len(parts) > 14:
        return lines
    best = lines
    for cuts in itertools.combinations(range(1, len(parts)), len(lines) - 1):
        tried = tuple("".join(parts[a:b]).rstrip(" ") for a, b in itertools.pairwise((0, *cuts, len(parts))))
        if _longest(tried, size, bold) < _longest(best, size, bold):
            best = tried
    return best


def _longest(lines: Sequence[str], size: float, bold: bool) -> float:
    return max(text_width(line, size, bold=bold) for line in lines)


def unbreakable_parts(text: str) -> Iterator[str]:
    """Yield the text split at every break opportunity; a space belongs to the part before it."""
    stretches = _PLAIN_SPACE.split(text)
    for number, stretch in enumerate(stretches, 1):
        *before, last = _units(stretch)
        yield from before
        yield last if number == len(stretches) else f"{last} "


@lru_cache(maxsize=20_000)  # the same words appear on many drawings and cards
def _units(stretch: str) -> tuple[str, ...]:
    if _PLAIN_WORD.fullmatch(stretch):
        return (stretch,)
    return tuple(line_break_units(stretch)) or ("",)
