"""What stands on the pages that a browser prints."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pypdfium2
from playwright.sync_api import Page

HEADINGS = """() => [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')]
  .filter((heading) => heading.getClientRects().length)
  .map((heading) => heading.textContent)"""


LEVEL_PT = 5.0
"""Letters with and without descenders stand on one line."""


def feet(printed: pypdfium2.PdfDocument) -> list[str]:
    """The foot of each page, without white space: the lowest line, with the page's number."""
    return [_lines(sheet)[0] for sheet in printed]


def stranded_headings(page: Page, printed: pypdfium2.PdfDocument) -> Iterator[tuple[int, str]]:
    """Each page that ends with a heading above its foot, and the letters of that heading."""
    page.emulate_media(media="print")
    headings = [_letters(text) for text in page.evaluate(HEADINGS)]
    page.emulate_media(media="null")  # as before: prints would follow what is emulated
    for number, sheet in enumerate(printed, 1):
        _, *above = _lines(sheet)
        if any(heading.endswith(last) for heading in headings for last in above):
            yield number, *above


def _lines(sheet: pypdfium2.PdfPage) -> list[str]:
    """The two lowest lines of a page, from below, without white space; what stands level is one line."""
    text = sheet.get_textpage()
    rows: dict[float, str] = {}
    for left, bottom, right, top in sorted(text.get_rect(at) for at in range(text.count_rects())):
        row = next((row for row in rows if abs(row - bottom) < LEVEL_PT), bottom)
        rows[row] = rows.get(row, "") + _letters(text.get_text_bounded(left, bottom, right, top))
    return [rows[row] for row in sorted(rows)[:2]]


def _letters(text: str) -> str:
    return re.sub(r"[\s¶]", "", text)
