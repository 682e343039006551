"""What stands on a page of a PDF, read by PDFium: the letters and straight strokes as pdfplumber gives them.

The names and the places are pdfplumber's, in points from the top left of the page as it is shown, cut to its
CropBox. PDFium needs a tenth of the time.
"""

from __future__ import annotations

import ctypes
import itertools
from collections.abc import Iterator
from typing import Any

import pypdfium2
from pypdfium2 import raw

Matrix = tuple[float, float, float, float, float, float]
_LINES = (raw.FPDF_SEGMENT_MOVETO, raw.FPDF_SEGMENT_LINETO)
_HYPHEN = 2
"What PDFium gives for a hyphen at the end of a line, which it takes for one that only divides a word."
_NAME_BYTES = 200


def chars_of(page: pypdfium2.PdfPage) -> list[dict[str, Any]]:
    """Each letter and space. Right of its pen a letter's box holds what of it reaches beyond its width."""
    text = page.get_textpage()
    left, low, _, high = page.get_cropbox()
    x, y = ctypes.c_double(), ctypes.c_double()
    box, place = raw.FS_RECTF(), raw.FS_MATRIX()
    styles: dict[int, tuple[str, float, float, tuple[float, ...]]] = {}
    found = []
    for at in range(raw.FPDFText_CountChars(text)):
        if raw.FPDFText_IsGenerated(text, at) == 1:  # a space or line end that is not in the file
            continue
        shown = raw.FPDFText_GetTextObject(text, at)
        key = ctypes.addressof(shown.contents)
        if key not in styles:
            styles[key] = _style(text, at, shown)
        font, size, descent, color = styles[key]
        code = raw.FPDFText_GetUnicode(text, at)
        raw.FPDFText_GetMatrix(text, at, place)
        raw.FPDFText_GetCharOrigin(text, at, x, y)
        raw.FPDFText_GetLooseCharBox(text, at, box)
        a, b, c, d = place.a, place.b, place.c, place.d
        pen_x, pen_y = x.value - left, y.value - low
        upright = a * d > 0 and b * c <= 0
        if upright:
            x0, x1 = (pen_x, box.right - left) if a > 0 else (box.left - left, pen_x)
            y0, y1 = sorted(pen_y + part * size * d for part in (descent, descent + 1))
        else:
            x0, x1 = sorted(pen_x + part * size * c for part in (descent, descent + 1))
            y0, y1 = box.bottom - low, box.top - low
        found.append(
            {
                "x0": x0,
                "x1": x1,
                "top": high - low - y1,
                "bottom": high - low - y0,
                "doctop": high - low - y1,
                "text": "-" if code == _HYPHEN else chr(code),
                "fontname": font,
                "size": y1 - y0 if upright else x1 - x0,
                "upright": upright,
                "matrix": (a, b, c, d, pen_x, pen_y),
                "non_stroking_color": color,
            }
        )
    return found


def _style(text: Any, at: int, shown: Any) -> tuple[str, float, float, tuple[float, ...]]:
    """Name and size of the font of a letter, how far it goes below the line, and its color."""
    name = ctypes.create_string_buffer(_NAME_BYTES)
    raw.FPDFText_GetFontInfo(text, at, name, _NAME_BYTES, None)
    descent = ctypes.c_float()
    raw.FPDFFont_GetDescent(raw.FPDFTextObj_GetFont(shown), 1.0, descent)
    color = [ctypes.c_uint() for _ in range(4)]
    raw.FPDFText_GetFillColor(text, at, *color)
    size = raw.FPDFText_GetFontSize(text, at)
    return name.value.decode(), size, descent.value, tuple(part.value / 255 for part in color[:3])


def strokes_of(page: pypdfium2.PdfPage) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Its upright rectangles, and its straight lines from one point to another."""
    left, low, _, high = page.get_cropbox()
    rects, lines = [], []
    for points in _straight(page.raw, (1.0, 0.0, 0.0, 1.0, -left, -low), top=True):
        (x0, *_, x1), (y0, *_, y1) = (sorted(values) for values in zip(*points, strict=True))
        box = {
            "x0": x0,
            "x1": x1,
            "top": high - low - y1,
            "bottom": high - low - y0,
            "width": x1 - x0,
            "height": y1 - y0,
        }
        if len(set(points)) == 2:
            lines.append(box)
        elif all({x, y} & {x0, x1, y0, y1} and x in (x0, x1) and y in (y0, y1) for x, y in points):
            rects.append(box)
    return rects, lines


def _straight(holder: Any, around: Matrix, *, top: bool = False) -> Iterator[list[tuple[float, float]]]:
    """The corners of each path of straight strokes on a page or in a form."""
    count, get = (
        (raw.FPDFPage_CountObjects, raw.FPDFPage_GetObject)
        if top
        else (raw.FPDFFormObj_CountObjects, raw.FPDFFormObj_GetObject)
    )
    for at in range(count(holder)):
        one = get(holder, at)
        kind = raw.FPDFPageObj_GetType(one)
        if kind not in (raw.FPDF_PAGEOBJ_FORM, raw.FPDF_PAGEOBJ_PATH):
            continue
        own = raw.FS_MATRIX()
        raw.FPDFPageObj_GetMatrix(one, own)
        placed = _within((own.a, own.b, own.c, own.d, own.e, own.f), around)
        if kind == raw.FPDF_PAGEOBJ_FORM:
            yield from _straight(one, placed)
        else:
            yield from _corners(one, placed)


def _corners(path: Any, placed: Matrix) -> Iterator[list[tuple[float, float]]]:
    a, b, c, d, e, f = placed
    segments = [raw.FPDFPath_GetPathSegment(path, at) for at in range(raw.FPDFPath_CountSegments(path))]
    kinds = [raw.FPDFPathSegment_GetType(one) for one in segments]
    starts = [at for at, kind in enumerate(kinds) if kind == raw.FPDF_SEGMENT_MOVETO]
    x, y = ctypes.c_float(), ctypes.c_float()
    for start, end in itertools.pairwise([*starts, len(segments)]):
        if not 2 <= end - start <= 5 or any(kind not in _LINES for kind in kinds[start:end]):
            continue
        points = []
        for one in segments[start:end]:
            raw.FPDFPathSegment_GetPoint(one, x, y)
            points.append((round(a * x.value + c * y.value + e, 3), round(b * x.value + d * y.value + f, 3)))
        if len(set(points)) > 1:
            yield points


def _within(inner: Matrix, outer: Matrix) -> Matrix:
    """Where what is placed by ``inner`` in a form comes to stand, the form being placed by ``outer``."""
    a, b, c, d, e, f = outer

    def turned(x: float, y: float) -> tuple[float, float]:
        return a * x + c * y, b * x + d * y

    right, up = turned(inner[4], inner[5])
    return (*turned(inner[0], inner[1]), *turned(inner[2], inner[3]), right + e, up + f)
