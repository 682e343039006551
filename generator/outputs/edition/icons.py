"""The tablet's icon: three warning triangles standing back along a road.

In: a size in pixels. Out: the icon as SVG text or as PNG bytes, both from the
same shapes, without a picture library. Refuses to know where it is shown.

The PNG is filled by the even-odd rule with each pixel cut into 4 by 4 samples,
so that the same bytes come out on every machine.
"""

from __future__ import annotations

import itertools
import struct
import zlib
from dataclasses import dataclass

Point = tuple[float, float]
Color = tuple[int, int, int]

INK: Color = (0x11, 0x11, 0x11)
ROAD: Color = (0x4A, 0x4A, 0x4A)
LINE: Color = (0xFF, 0xD2, 0x3F)
RED: Color = (0xD8, 0x3A, 0x2E)
WHITE: Color = (0xFF, 0xFF, 0xFF)

_SAMPLES = 4


@dataclass(frozen=True, slots=True)
class Shape:
    """Closed outlines filled by the even-odd rule, in a square 100 units wide."""

    color: Color
    outlines: tuple[tuple[Point, ...], ...]


def _triangle(center: float, foot: float, side: float, band: float) -> tuple[Shape, Shape]:
    """A hollow triangle on its base: a white rim under a red band, so that it shows on any ground."""

    def outline(grown: float) -> tuple[Point, ...]:
        height = (side + grown * 3.4641) * 0.8660
        base = foot + grown
        half = side / 2 + grown * 1.7321
        return ((center, base - height), (center + half, base), (center - half, base))

    rim = Shape(WHITE, (outline(band * 0.34), outline(-band * 1.3)))
    return rim, Shape(RED, (outline(0), outline(-band)))


SHAPES: tuple[Shape, ...] = (
    Shape(ROAD, (((52, 20), (64, 20), (100, 92), (100, 100), (22, 100)),)),
    Shape(LINE, (((60.2, 20), (61.2, 20), (96, 92), (100, 100), (93, 100)),)),
    *_triangle(57.0, 28, 8, 1.2),
    *_triangle(53.5, 44, 18, 2.6),
    *_triangle(43.5, 82, 45, 6.2),
)
"""On a ground of INK. The triangles stay inside the middle 80 %, so a round mask cuts only ground."""


def icon_svg() -> str:
    """The icon as a standalone SVG file."""
    paths = [f'<path fill="#{bytes(INK).hex()}" d="M0 0 L100 0 L100 100 L0 100 Z"/>']
    for shape in SHAPES:
        outlines = " ".join(
            "M" + " L".join(f"{x:.2f} {y:.2f}" for x, y in outline) + " Z" for outline in shape.outlines
        )
        paths.append(f'<path fill="#{bytes(shape.color).hex()}" fill-rule="evenodd" d="{outlines}"/>')
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100" role="img" aria-label="Forty Paces">'
        + "".join(paths)
        + "</svg>\n"
    )


def icon_png(size_px: int) -> bytes:
    """The icon as an opaque PNG, ``size_px`` square."""
    rows = [bytearray(bytes(INK) * size_px) for _ in range(size_px)]
    for shape in SHAPES:
        levels = [y * size_px / 100 for outline in shape.outlines for _, y in outline]
        for y in range(int(min(levels)), min(size_px, int(max(levels)) + 1)):
            _paint(rows[y], shape, y, size_px)
    raw = b"".join(b"\0" + row for row in rows)
    header = struct.pack(">IIBBBBB", size_px, size_px, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        _chunk(kind, data)
        for kind, data in ((b"IHDR", header), (b"IDAT", zlib.compress(raw, 9)), (b"IEND", b""))
    )


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _paint(row: bytearray, shape: Shape, y: int, size_px: int) -> None:
    """Lay ``shape`` over row ``y``: whole where all 16 samples of a pixel lie inside, else by their share."""
    change: dict[int, int] = {}
    for sub in range(_SAMPLES):
        for run in _runs(shape, (y + (sub + 0.5) / _SAMPLES) * 100 / size_px, size_px):
            # A run's edge within a pixel: some samples of that one, and all those of the ones after it.
            for edge, sign in zip(run, (1, -1), strict=True):
                pixel, before = divmod(edge, _SAMPLES)
                change[pixel] = change.get(pixel, 0) + sign * (_SAMPLES - before)
                change[pixel + 1] = change.get(pixel + 1, 0) + sign * before
    inside = 0
    for pixel, after in itertools.pairwise(sorted(change)):
        inside += change[pixel]
        _fill(row, shape.color, pixel, after, inside)


def _runs(shape: Shape, level: float, size_px: int) -> list[tuple[int, int]]:
    """From which sample to which the line at ``level`` runs inside ``shape``."""
    width = size_px * _SAMPLES
    crossings = []
    for outline in shape.outlines:
        x0, y0 = outline[-1]
        for x1, y1 in outline:
            if (y0 <= level) != (y1 <= level):
                crossings.append(x0 + (level - y0) * (x1 - x0) / (y1 - y0))
            x0, y0 = x1, y1
    crossings.sort()
    return [
        (max(0, round(left * width / 100)), min(width, round(right * width / 100)))
        for left, right in zip(crossings[::2], crossings[1::2], strict=True)
    ]


def _fill(row: bytearray, color: Color, start: int, end: int, count: int) -> None:
    """Pixels that are all covered alike: wholly, or not at all."""
    if count == _SAMPLES * _SAMPLES:
        row[3 * start : 3 * end] = bytes(color) * (end - start)
    elif count:
        for pixel in range(start, end):
            _blend(row, color, pixel, count)


def _blend(row: bytearray, color: Color, pixel: int, count: int) -> None:
    whole = _SAMPLES * _SAMPLES
    for at, new in enumerate(color, 3 * pixel):
        row[at] = (row[at] * (whole - count) + new * count) // whole
