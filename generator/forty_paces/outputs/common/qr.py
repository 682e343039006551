"""Draw text as a QR code, in SVG and in the operators of PDF.

There is no quiet zone; the white paper around serves as one. Text that looks like a web address is
rejected: a scanned code is read, not opened, so it works without a signal.
"""

from __future__ import annotations

import re
from functools import lru_cache

import segno

from forty_paces.drawing.svg import check_prefix, escape

_MASK = 0
"""One of the eight masks of ISO/IEC 18004, each of which every reader reads.

The standard takes the one of the fewest lookalike patterns; weighing them took nine tenths of the time.
"""
_ADDRESS = re.compile(r"[a-z]{2,}:|//|www\.", re.IGNORECASE)


def qr_svg(text: str, *, prefix: str) -> str:
    """The QR code as SVG, one unit for each module; its title is the text.

    Raises ``ValueError`` for text that a phone would take for an address.
    """
    rows = _rows(text)
    side = len(rows)
    runs = "".join(_runs(row, y) for y, row in enumerate(rows))
    title = f"{check_prefix(prefix)}-qr"
    return (
        f'<svg class="qr-code" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" role="img" '
        f'aria-labelledby="{title}"><title id="{title}">{escape(text)}</title>'
        f'<path d="{runs}" fill="none" stroke="#000"/></svg>'
    )


def qr_operators(text: str, side_pt: float, left_pt: float, bottom_pt: float) -> bytes:
    """The QR code in PDF operators, the same strokes as in SVG. Raises what :func:`qr_svg` raises."""
    rows = _rows(text)
    module = side_pt / len(rows)
    strokes = [
        f"{run.start()} {y}.5 m {run.end()} {y}.5 l"
        for y, row in enumerate(rows)
        for run in re.finditer(b"\x01+", row)
    ]
    place = f"{module:.5f} 0 0 {-module:.5f} {left_pt:.4f} {bottom_pt + side_pt:.4f} cm"
    return "\n".join(("q", place, "0 0 0 RG 1 w 0 J", *strokes, "S", "Q")).encode()


@lru_cache(maxsize=1024)  # the HTML of a card and its PDF show the same code
def _rows(text: str) -> tuple[bytes, ...]:
    """The modules of the code by rows; 1 is dark. Raises ``ValueError`` for what looks like an address."""
    if _ADDRESS.search(text):
        raise ValueError(f"{text!r} looks like an address")
    code = segno.make(text, error="m", micro=False, boost_error=False, mask=_MASK)
    return tuple(bytes(row) for row in code.matrix)


def _runs(row: bytes, y: int) -> str:
    """Path data that joins adjacent dark modules of a row into one stroke, to avoid hairlines in print."""
    drawn = f"M0 {y}.5"
    at = 0
    for run in re.finditer(b"\x01+", row):
        skipped, length = run.start() - at, run.end() - run.start()
        drawn += (f"m{skipped} 0" if skipped else "") + f"h{length}"
        at = run.end()
    return drawn
