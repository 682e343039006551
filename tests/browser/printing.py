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
    rows: list[list[tuple[float, float, float, float]]] = []
    boxes = (text.get_rect(at) for at in range(text.count_rects()))
    for box in sorted(boxes, key=lambda box: box[1]):
        if rows and box[1] - rows[-1][0][1] < LEVEL_PT:
            rows[-1].append(box)
        elif len(rows) < 2:
            rows.append([box])
        else:
            break  # the text of all other lines is not asked for
    return ["".join(_letters(text.get_text_bounded(*box)) for box in sorted(row)) for row in rows]


def _letters(text: str) -> str:
    return re.sub(r"[\s¶]", "", text)
