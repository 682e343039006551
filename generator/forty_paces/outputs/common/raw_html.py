"""Keep finished HTML out of the Markdown converter, and drawings out of the search plugin.

Generated pages are mostly HTML blocks with a few Markdown headings between them. The converter would parse
the tags of each block and then copy it character by character, which on a page with drawings is most of
the work. The search plugin parses the page again, including figures that it is told to exclude. Blocks are
therefore replaced by placeholders before each of these steps and restored afterwards.

Only unambiguous blocks are extracted: one starts at the left margin after an empty line or another block,
and ends with the line that closes its first element.
"""

from __future__ import annotations

import re

_OPENING = re.compile(
    r"<(div|section|article|figure|table|nav|ul|ol|dl|p|details|svg|main|header|aside)[\s>]"
)
_MARK = "data-block="
_UNSEARCHED = re.compile(r"<figure\b[^>]* data-search-exclude>.*?</figure>", re.DOTALL)
_STAND_IN = re.compile(rf'<div {_MARK}"(\d+)"></div>')


def extract_html_blocks(markdown: str) -> tuple[str, tuple[str, ...]]:
    """Replace each whole HTML block by a placeholder; returns the text and the blocks.

    A text that already contains a placeholder's mark is left as it is.
    """
    if _MARK in markdown:
        return markdown, ()
    blocks: list[str] = []
    kept: list[str] = []
    lines = markdown.split("\n")
    at, free = 0, True
    while at < len(lines):
        end = _block_end(lines, at) if free else None
        if end is None:
            kept.append(lines[at])
            free = not lines[at].strip()
            at += 1
            continue
        kept.append(_stand_in(len(blocks)))
        blocks.append("\n".join(lines[at:end]))
        at, free = end, True
    return "\n".join(kept), tuple(blocks)


def extract_figures(html: str) -> tuple[str, tuple[str, ...]]:
    """Replace each figure excluded from search by a placeholder; returns the HTML and the figures.

    HTML that already contains a placeholder's mark is left as it is.
    """
    if _MARK in html:
        return html, ()
    figures: list[str] = []

    def stand_in(match: re.Match[str]) -> str:
        figures.append(match[0])
        return _stand_in(len(figures) - 1)

    return _UNSEARCHED.sub(stand_in, html), tuple(figures)


def restore_blocks(html: str, blocks: tuple[str, ...]) -> str:
    """The HTML with every placeholder replaced by its block."""
    return _STAND_IN.sub(lambda match: blocks[int(match[1])], html) if blocks else html


def _stand_in(number: int) -> str:
    return f'<div {_MARK}"{number}"></div>'


def _block_end(lines: list[str], start: int) -> int | None:
    """Index of the line after the block that starts here; None where no block starts or it shares a line."""
    opening = _OPENING.match(lines[start])
    if opening is None:
        return None
    tags = re.compile(rf"<(/?){opening[1]}(?=[\s>])")
    depth = 0
    for at in range(start, len(lines)):
        depth += sum(-1 if match[1] else 1 for match in tags.finditer(lines[at]))
        if depth == 0:
            alone = lines[at].rstrip().endswith(f"</{opening[1]}>")
            after = lines[at + 1] if at + 1 < len(lines) else ""
            last = not after.strip() or _OPENING.match(after)
            return at + 1 if alone and last else None
    return None
