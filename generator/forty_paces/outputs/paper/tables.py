"""A printed table on as many pages as it needs: as many rows on each as fit, every row measured."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from forty_paces.drawing.typeface import Typeface
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces
from forty_paces.outputs.paper.box_style import BoxStyle, style_sheet
from forty_paces.outputs.paper.flow import TooNarrow, measure
from forty_paces.outputs.paper.sheets import SHEET_MARGINS, PaperSize

_RULE_MM = 0.25
"The line below each row."
_HAIR_MM = 1.5
"Left free, so that rounding in a layout engine, or the rule of a line to write on, starts no other page."
_MANY = 88
"Page number assumed while the head of a page is measured."

_STYLES = {
    "table-page": BoxStyle(size_pt=12.0, lead_pt=15.6, bold=False),
    "table-title": BoxStyle(size_pt=16.0, lead_pt=20.8, bold=True),
    "table-words": BoxStyle(above_mm=2.0),
    "table-rows": BoxStyle(above_mm=3.0),
    "table-cell": BoxStyle(above_mm=1.2, right_mm=2.0, below_mm=1.2),
    "table-cell-to-write": BoxStyle(above_mm=1.2, right_mm=2.0, below_mm=1.2, height_mm=10.5),
    "table-line": BoxStyle(above_mm=9.0),
}
"What stands on a page with a table, beside its columns."


@dataclass(frozen=True, slots=True)
class Table:
    """A table in parts, as HTML with the class names of this module and of its own columns."""

    columns: Mapping[str, BoxStyle]
    "The classes of its rows, with each column's share of the width."
    head: Callable[[int, int], str]
    "What stands above it on a page, by the page's number and the number of pages."
    names: str
    "The row with the names of its columns."
    rows: Sequence[str]
    every: str = ""
    "What stands below it on every page."
    last: str = ""
    "What stands below it on the last page, which has a row at least."

    @property
    def css(self) -> str:
        """The rules for its pages."""
        rules = style_sheet({**_STYLES, **self.columns}, ".table-page", root="table-page")
        below = ",".join(f".table-page {what}" for what in ("td", "th", ".table-line"))
        ruled = f"{below}{{border-bottom:{_RULE_MM:g}mm solid #111}}"
        return f"{rules}\n.table-page{{overflow-wrap:anywhere}}{ruled}"

    def pages(self, paper: PaperSize, typeface: Typeface) -> list[str]:
        """The table on sheets of ``paper``, a section a page."""
        spread = self._spread(paper, typeface)
        return [
            f'<section class="page table-page">{self.head(page, len(spread))}{self._table(rows)}'
            f"{self.every}{self.last if page == len(spread) else ''}</section>"
            for page, rows in enumerate(spread, 1)
        ]

    def _table(self, rows: Sequence[str]) -> str:
        body = f"<tbody>{''.join(rows)}</tbody>" if rows else ""
        return f'<table class="table-rows"><thead>{self.names}</thead>{body}</table>'

    def _spread(self, paper: PaperSize, typeface: Typeface) -> list[list[str]]:
        """The rows of each page."""
        width = paper.width_mm - SHEET_MARGINS.left_mm - SHEET_MARGINS.right_mm
        styles = {**_STYLES, **self.columns}

        def height_mm(html: str) -> float:
            whole = html_with_no_break_spaces(f'<section class="table-page">{html}</section>')
            try:
                return measure(whole, styles, width, typeface).height_mm
            except TooNarrow as narrow:  # printed, it is broken where its column ends
                half = len(narrow.word) // 2
                if not half or narrow.word not in html:
                    raise
                return height_mm(html.replace(narrow.word, f"{narrow.word[:half]} {narrow.word[half:]}"))

        every = height_mm(f"{self.head(_MANY, _MANY)}{self._table(())}{self.every}") + _RULE_MM
        room = paper.height_mm - SHEET_MARGINS.top_mm - SHEET_MARGINS.bottom_mm - _HAIR_MM - every
        pages: list[list[str]] = []
        left = 0.0
        for place, row in enumerate(self.rows, 1):
            needed = height_mm(row) + _RULE_MM
            below = height_mm(self.last) if place == len(self.rows) else 0.0
            if not pages or needed + below > left:
                pages.append([])
                left = room
            pages[-1].append(row)
            left -= needed
        return pages
