"""What stands on the pages that a browser prints."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pypdfium2
from playwright.sync_api import Page

HEADINGS = """() => [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')]
  .filter((heading) => heading.getClientRects().length)
  .map((heading) => heading.textContent)"""


def feet(printed: pypdfium2.PdfDocument) -> list[str]:
    """The foot of each page: the line with its number."""
    return [_lines(sheet)[0] for sheet in printed]


def stranded_headings(page: Page, printed: pypdfium2.PdfDocument) -> Iterator[tuple[int, str]]:
    """Each page that ends with a heading, and that heading; ``page`` shows what was printed."""
    page.emulate_media(media="print")
    headings = [_letters(text) for text in page.evaluate(HEADINGS)]
    page.emulate_media(media="screen")
    for number, sheet in enumerate(printed, 1):
        lines = _lines(sheet)
        last = _letters(lines[1]) if len(lines) > 1 else ""
        if last and any(heading.endswith(last) for heading in headings):
            yield number, lines[1]


def _lines(sheet: pypdfium2.PdfPage) -> list[str]:
    """The lowest lines of a page, from the foot upward; what stands at one height is one line."""
    text = sheet.get_textpage()
    boxes = sorted(text.get_rect(at) for at in range(text.count_rects()))
    rows: dict[int, list[str]] = {}
    for left, bottom, right, top in boxes:
        row = next((row for row in rows if abs(row - bottom) < 4), round(bottom))
        rows.setdefault(row, []).append(text.get_text_bounded(left, bottom, right, top))
    return [" ".join(" ".join(rows[row]).split()) for row in sorted(rows)[:2]]


def _letters(text: str) -> str:
    return re.sub(r"[\s¶]", "", text)
