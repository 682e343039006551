"""Draw the codes on tabs, as outlines: a tab may be cut, and its code stands as text in the card's head.

A tab lies within 4 mm of the trim, where no text may stand, so what is drawn there is no text but a picture
of one, hidden from screen readers and from copying.
"""

from __future__ import annotations

import io
import re
from collections.abc import Collection, Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from forty_paces.drawing.typeface import font_files
from forty_paces.outputs.cards.card_style import TAB_CODE_MM, TAB_HEIGHT_MM
from forty_paces.outputs.cards.faces import PLACING, ROLLING
from forty_paces.outputs.common.context import BuildContext, svg_address

_CLASS = re.compile(r"of-(?P<code>[a-z]+[0-9]+)-(?P<group>[a-z]+)")
_CAP_MM = 1.9
"Height of a capital: 16 minutes of arc at 400 mm."
_LONGEST_MM = 8.2
_INK, _PAPER = "#111", "#fff"


def tab_css(context: BuildContext, used: Collection[str]) -> str:
    """The rules for the codes among the class names that occur."""
    return "\n".join(_rules(context, used))


def _rules(context: BuildContext, used: Collection[str]) -> Iterator[str]:
    for name in sorted(used):
        if match := _CLASS.fullmatch(name):
            svg = code_svg(context.fonts, match["code"].upper(), match["group"])
            yield f".{name}{{background:url({svg_address(svg)}) 0 0/100% 100% no-repeat}}"


@lru_cache(maxsize=512)
def code_svg(fonts: Path, code: str, group: str) -> str:
    """The code from top to bottom, light on the solid tab and dark on the others."""
    paths, width, cap = _outlines(fonts, code)
    scale = min(_CAP_MM / cap, _LONGEST_MM / width)
    band, middle = cap * scale, TAB_CODE_MM / 2
    top = (TAB_HEIGHT_MM - width * scale) / 2
    ground = (
        f'<path d="M{middle - band / 2 - 0.4:.2f} {top - 0.5:.2f}h{band + 0.8:.2f}v{width * scale + 1:.2f}'
        f'h-{band + 0.8:.2f}z" fill="{_PAPER}"/>'
        if group == PLACING
        else ""
    )
    # turned a quarter clockwise: along the tab runs y, and capitals rise toward negative x
    place = f"matrix(0 {scale:.6f} {scale:.6f} 0 {middle - band / 2:.3f} {top:.3f})"
    ink = _PAPER if group == ROLLING else _INK
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {TAB_CODE_MM:g} {TAB_HEIGHT_MM:g}">{ground}'
        f'<path transform="{place}" d="{paths}" fill="{ink}"/></svg>'
    )


@lru_cache(maxsize=256)
def _outlines(fonts: Path, code: str) -> tuple[str, float, float]:
    """Path data in font units with y upward, its width, and the height of a capital."""
    from fontTools.pens.svgPathPen import SVGPathPen
    from fontTools.pens.transformPen import TransformPen

    font = _bold(fonts)
    glyphs, names = font.getGlyphSet(), font.getBestCmap()
    pen = SVGPathPen(glyphs, ntos=lambda value: f"{value:.0f}")
    at = 0.0
    for sign in code:
        name = names[ord(sign)]
        glyphs[name].draw(TransformPen(pen, (1, 0, 0, 1, at, 0)))
        at += font["hmtx"][name][0]
    return pen.getCommands(), at, float(font["OS/2"].sCapHeight)


@lru_cache(maxsize=2)
def _bold(fonts: Path) -> Any:
    from fontTools.ttLib import TTFont  # imported here: a third of a second that few commands need

    return TTFont(io.BytesIO(font_files(fonts)[700]), lazy=True)
