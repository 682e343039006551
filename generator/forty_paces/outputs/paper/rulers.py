"""Draw two rulers as SVG, to check that the printer did not scale the page."""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.drawing.svg import Element, check_prefix, element
from forty_paces.messages.cards import PAPER
from forty_paces.outputs.paper.sheets import INCH_MM

WIDTH_MM = 78.0
HEIGHT_MM = 17.0
START_MM = 6.0
"""Distance of the first mark of each ruler from the left."""
METRIC_MM = 50.0
INCHES = 2
_METRIC_BASE = 5.2
_INCH_BASE = 13.2


def rulers(prefix: str, *, metric: bool = False) -> str:
    """Rulers of 50 mm and 2 in, or that of 50 mm alone, as an SVG to be printed at 100 %."""
    title = f"{check_prefix(prefix)}-rulers"
    lines = [f"M{START_MM:g} {_METRIC_BASE}h{METRIC_MM:g}", *_metric_marks()]
    words, named = [_words("50 mm", _METRIC_BASE)], PAPER["ruler"]
    if not metric:
        lines += [f"M{START_MM:g} {_INCH_BASE}h{INCHES * INCH_MM:g}", *_inch_marks()]
        words, named = [*words, _words("2 in", _INCH_BASE)], PAPER["rulers"]
    drawn = element(
        "svg",
        "rulers",
        (
            element("title", "", (named,), id=title),
            element("path", "", d="".join(lines), fill="none", stroke="#111", stroke_width=0.2),
            *words,
        ),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {WIDTH_MM:g} {HEIGHT_MM:g}",
        width=f"{WIDTH_MM:g}mm",
        height=f"{HEIGHT_MM:g}mm",
        role="img",
        aria_labelledby=title,
    )
    return drawn.write()


def _metric_marks() -> Iterator[str]:
    for mm in range(int(METRIC_MM) + 1):
        yield _mark(START_MM + mm, _METRIC_BASE, 3.0 if mm % 10 == 0 else 2.0 if mm % 5 == 0 else 1.2)


def _inch_marks() -> Iterator[str]:
    for eighth in range(INCHES * 8 + 1):
        length = 3.0 if eighth % 8 == 0 else 2.2 if eighth % 4 == 0 else 1.4
        yield _mark(START_MM + eighth * INCH_MM / 8, _INCH_BASE, length)


def _mark(x: float, base: float, length: float) -> str:
    place = f"{x:.4f}".rstrip("0").rstrip(".")
    return f"M{place} {base:g}v-{length:g}"


def _words(text: str, base: float) -> Element:
    return element(
        "text",
        "",
        (text,),
        x=START_MM + METRIC_MM + 3.5,
        y=base,
        font_size=3.6,
        font_family="Atkinson Hyperlegible",
        fill="#111",
    )
