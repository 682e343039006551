"""Measure the height and line breaks of HTML in a column, without a layout engine.

Supports only what our templates use: blocks one below another, rows of columns with fixed shares, and
paragraphs of regular and bold text, with line breaks by the Unicode line breaking algorithm (UAX 14). Styles
have padding and never margins, so nothing collapses. The style sheet is written from the same styles
(:func:`.box_style.style_sheet`), so the measured layout is the printed one. Used for cards and worksheets
alike.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from forty_paces.drawing.text import unbreakable_parts
from forty_paces.drawing.typeface import Typeface
from forty_paces.outputs.paper.box_style import BoxStyle, Styles, overlaid
from forty_paces.outputs.paper.elements import HtmlElement, parsed, strings_of

PT_MM = 25.4 / 72
"""One point in millimeters."""

SLACK_MM = 0.02
"Lines count as full this much before their end: engines round lengths, and may or may not wrap there."


@dataclass(frozen=True, slots=True)
class Paragraph:
    """The lines of a run of inline content."""

    keys: tuple[str, ...]
    "Ids of the strings in it, in order."
    lines: tuple[str, ...]
    lead_mm: float
    width_mm: float

    @property
    def last_letters(self) -> int:
        """Number of characters on the last line."""
        return len(self.lines[-1]) if self.lines else 0


@dataclass(frozen=True, slots=True)
class Measured:
    """The result of a measurement."""

    height_mm: float
    paragraphs: tuple[Paragraph, ...]
    strings: dict[str, str]
    "Every text that has a string id, by that id."


_INLINE = frozenset({"span", "strong", "b", "a", "abbr", "small", "time"})
_BOLD = frozenset({"strong", "b", "h1", "h2", "h3", "h4", "th", "dt"})
_ROWS = frozenset({"tr"})


def measure(
    html: str, styles: Styles, width_mm: float, typeface: Typeface, *, slack_mm: float = SLACK_MM
) -> Measured:
    """Lay ``html`` out in a column ``width_mm`` wide.

    Raises ``ValueError`` if tags are not closed in the order in which they were opened, or if the layout is
    not supported, and :class:`TooNarrow` if a word is wider than its column.
    """
    root = parsed(html)
    block = _layout(styles, typeface, slack_mm).block(root, _Setting(12.0, 15.6, False), width_mm)
    return Measured(block.height_mm, block.paragraphs, strings_of(root))


@dataclass(frozen=True, slots=True)
class _Setting:
    size_pt: float
    lead_pt: float
    bold: bool

    def within(self, style: BoxStyle) -> _Setting:
        return _Setting(
            self.size_pt if style.size_pt is None else style.size_pt,
            self.lead_pt if style.lead_pt is None else style.lead_pt,
            self.bold if style.bold is None else style.bold,
        )


@dataclass(frozen=True, slots=True)
class _Run:
    text: str
    setting: _Setting
    key: str
    pad_mm: float = 0.0
    "Padding before or after inline text; the text of such a run is empty."


@dataclass(frozen=True, slots=True)
class _MeasuredBlock:
    """Height of a block, and the paragraphs in it."""

    height_mm: float
    paragraphs: tuple[Paragraph, ...]


_KEPT_LAYOUTS, _KEPT_BLOCKS = 32, 16_384
_layouts: dict[tuple[int, int, float], _Measurer] = {}
"By the identities of styles and typeface, which a layout holds, so that no others can have the same."


def _layout(styles: Styles, typeface: Typeface, slack_mm: float) -> _Measurer:
    """The layout for these styles, with the blocks that it has measured before."""
    key = (id(styles), id(typeface), slack_mm)
    if key not in _layouts:
        if len(_layouts) >= _KEPT_LAYOUTS:
            _layouts.clear()
        _layouts[key] = _Measurer(styles, typeface, slack_mm)
    return _layouts[key]


class _Measurer:
    def __init__(self, styles: Styles, typeface: Typeface, slack_mm: float) -> None:
        self.styles = styles
        self.typeface = typeface
        self.slack_mm = slack_mm
        self.resolved: dict[tuple[str, tuple[str, ...], bool], BoxStyle] = {}
        self.blocks: dict[tuple[HtmlElement, _Setting, float], _MeasuredBlock] = {}

    def style(self, element: HtmlElement) -> BoxStyle:
        """The tag's default style, overridden by the style of each class in the order of ``styles``."""
        key = (element.tag, element.classes, bool(element.height_mm))
        if key not in self.resolved:
            self.resolved[key] = self._resolved(element)
        return self.resolved[key]

    def _resolved(self, element: HtmlElement) -> BoxStyle:
        display: Literal["block", "inline", "row", "aside"] = "block"
        if element.tag in _INLINE:
            display = "inline"
        elif element.tag in _ROWS:
            display = "row"
        elif element.tag == "svg" and not element.height_mm:
            display = "aside"
        style = BoxStyle(display=display, bold=True if element.tag in _BOLD else None)
        for name in self.styles:
            if name in element.classes:
                style = overlaid(style, self.styles[name])
        return style

    def block(self, element: HtmlElement, around: _Setting, width_mm: float) -> _MeasuredBlock:
        key = (element, around, width_mm)
        if (known := self.blocks.get(key)) is not None:
            return known
        if len(self.blocks) >= _KEPT_BLOCKS:
            self.blocks.clear()
        paragraphs: list[Paragraph] = []
        self.blocks[key] = block = _MeasuredBlock(
            self._height(element, around, width_mm, paragraphs), tuple(paragraphs)
        )
        return block

    def _height(
        self, element: HtmlElement, around: _Setting, width_mm: float, paragraphs: list[Paragraph]
    ) -> float:
        if element.tag == "svg":
            return element.height_mm
        style = self.style(element)
        setting = around.within(style)
        inner = width_mm - style.left_mm - style.right_mm - 2 * style.border_mm
        content = self._content(element, style, setting, inner, paragraphs)
        whole = content + style.above_mm + style.below_mm + 2 * style.border_mm
        return max(whole, style.height_mm or 0.0)

    def _content(
        self,
        element: HtmlElement,
        style: BoxStyle,
        setting: _Setting,
        width_mm: float,
        paragraphs: list[Paragraph],
    ) -> float:
        if style.display == "row":
            return self._row(element, style, setting, width_mm, paragraphs)
        height = 0.0
        runs: list[_Run] = []  # inline content collected until a block ends it
        for child in element.children:
            if isinstance(child, str):
                runs.append(_Run(child, setting, element.key))
                continue
            display = self.style(child).display
            if display == "aside":
                continue
            if display == "inline":
                runs += self._inline(child, setting)
                continue
            height += self._paragraph(runs, setting, width_mm, paragraphs)
            runs = []
            block = self.block(child, setting, width_mm)
            paragraphs += block.paragraphs
            height += block.height_mm
        return height + self._paragraph(runs, setting, width_mm, paragraphs)

    def _row(
        self,
        element: HtmlElement,
        style: BoxStyle,
        setting: _Setting,
        width_mm: float,
        paragraphs: list[Paragraph],
    ) -> float:
        cells = [child for child in element.children if isinstance(child, HtmlElement)]
        if len(cells) != len(style.shares):
            raise ValueError(f"a row of {len(cells)} cells has {len(style.shares)} widths: {element.classes}")
        blocks = [
            self.block(cell, setting, width_mm * share)
            for cell, share in zip(cells, style.shares, strict=True)
        ]
        for block in blocks:
            paragraphs += block.paragraphs
        return max(block.height_mm for block in blocks)

    def _inline(self, element: HtmlElement, around: _Setting) -> Iterator[_Run]:
        style = self.style(element)
        setting = around.within(style)
        if style.left_mm:
            yield _Run("", setting, "", style.left_mm)
        for child in element.children:
            if isinstance(child, str):
                yield _Run(child, setting, element.key)
            elif self.style(child).display == "inline":
                yield from self._inline(child, setting)
            elif self.style(child).display != "aside":
                raise ValueError(f"<{child.tag}> stands inside a line")
        if style.right_mm:
            yield _Run("", setting, "", style.right_mm)

    def _paragraph(
        self, runs: Sequence[_Run], setting: _Setting, width_mm: float, paragraphs: list[Paragraph]
    ) -> float:
        if not runs:
            return 0.0
        lines = _lines(tuple(runs), width_mm, self.slack_mm, self.typeface)
        if not lines:
            return 0.0
        keys = tuple(dict.fromkeys(run.key for run in runs if run.key))
        lead = setting.lead_pt * PT_MM
        paragraphs.append(Paragraph(keys, lines, lead, width_mm))
        return len(lines) * lead


@lru_cache(maxsize=65_536)  # vehicles and splits of a card repeat paragraphs
def _lines(runs: tuple[_Run, ...], width_mm: float, slack_mm: float, typeface: Typeface) -> tuple[str, ...]:
    """The lines that the runs fill; none if there is nothing but white space."""
    lines: list[str] = []
    reach = 0.0
    for piece in _pieces(runs):
        width = _width(piece, typeface)
        gap = _width(piece[:1], typeface) if piece[0].text == " " else 0.0
        word = "".join(run.text for run in piece)
        if lines and reach + width <= width_mm - slack_mm:
            lines[-1] += word
            reach += width
        else:
            lines.append(word.lstrip(" "))
            reach = width - gap
            if reach > width_mm:
                raise TooNarrow(word.strip(), width_mm)
    return tuple(lines)


def _width(piece: Sequence[_Run], typeface: Typeface) -> float:
    return math.fsum(
        typeface.weight(run.setting.bold).width(run.text) * run.setting.size_pt / 1000 * PT_MM + run.pad_mm
        for run in piece
    )


class TooNarrow(ValueError):
    """A word is wider than its column."""

    def __init__(self, word: str, width_mm: float) -> None:
        super().__init__(f'"{word}" is wider than its column of {width_mm:.1f} mm')
        self.word = word


_WHITE = re.compile(r"[ \t\r\n\f]+")
"""White space that collapses; a no-break space does not."""


def _pieces(runs: Sequence[_Run]) -> Iterator[list[_Run]]:
    """Runs split at line break opportunities; a piece after white space starts with a space of its own."""
    collapsed = list(_collapsed(runs))
    cuts = _cuts("".join(run.text for run in collapsed))
    piece: list[_Run] = []
    at = 0
    for run in collapsed:
        if run.pad_mm:
            piece.append(run)
            continue
        start = at
        at += len(run.text)
        edges = [start, *sorted(cut for cut in cuts if start < cut < at), at]
        for a, b in itertools.pairwise(edges):
            if a in cuts and piece:
                yield piece
                piece = []
            piece += _with_space_apart(run, run.text[a - start : b - start])
    if piece:
        yield piece


def _collapsed(runs: Sequence[_Run]) -> Iterator[_Run]:
    """Runs with each stretch of white space collapsed to one space, and trimmed at both ends."""
    space: _Run | None = None
    started = False
    for run in runs:
        if run.pad_mm:
            if space is not None and started:
                yield space
            space, started = None, True
            yield run
        for number, words in enumerate(_WHITE.split(run.text)):
            if number:
                space = space or _Run(" ", run.setting, "")
            if words:
                if space is not None and started:
                    yield space
                space, started = None, True
                yield _Run(words, run.setting, run.key)


def _cuts(text: str) -> frozenset[int]:
    """Offsets of line break opportunities, each before the space that disappears at a line end."""
    cuts, at = set(), 0
    for part in unbreakable_parts(text):
        at += len(part)
        cuts.add(at - (part[-1:] == " "))
    return frozenset(cuts)


def _with_space_apart(run: _Run, text: str) -> Iterator[_Run]:
    if text.startswith(" "):
        yield _Run(" ", run.setting, "")
        text = text[1:]
    if text:
        yield _Run(text, run.setting, run.key)
