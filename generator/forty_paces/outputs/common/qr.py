"""Draw text as a QR code in SVG.

The SVG has no quiet zone; the white paper around it serves as one. Text that looks like a web address is
rejected: a scanned code is read, not opened, so it works without a signal.
"""

from __future__ import annotations

import re

import segno

from forty_paces.drawing.svg import check_prefix, escape

_ADDRESS = re.compile(r"[a-z]{2,}:|//|www\.", re.IGNORECASE)


def qr_svg(text: str, *, prefix: str) -> str:
    """The QR code as SVG, one unit for each module; its title is the text.

    Raises ``ValueError`` for text that a phone would take for an address.
    """
    if _ADDRESS.search(text):
        raise ValueError(f"{text!r} looks like an address")
    rows = [bytes(row) for row in segno.make(text, error="m", micro=False, boost_error=False).matrix]
    side = len(rows)
    runs = "".join(_runs(row, y) for y, row in enumerate(rows))
    title = f"{check_prefix(prefix)}-qr"
    return (
        f'<svg class="qr-code" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {side} {side}" role="img" '
        f'aria-labelledby="{title}"><title id="{title}">{escape(text)}</title>'
        f'<path d="{runs}" fill="none" stroke="#000"/></svg>'
    )


def _runs(row: bytes, y: int) -> str:
    """Path data that joins adjacent dark modules of a row into one stroke, to avoid hairlines in print."""
    drawn = f"M0 {y}.5"
    at = 0
    for run in re.finditer(b"\x01+", row):
        skipped, length = run.start() - at, run.end() - run.start()
        drawn += (f"m{skipped} 0" if skipped else "") + f"h{length}"
        at = run.end()
    return drawn
