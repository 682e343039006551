"""The tablet's icon: three warning triangles standing back along a road.

In: the shapes below. Out: the icon as SVG text or as PNG bytes, both from the
same shapes, without a picture library. Refuses to know where it is shown.

``make icons`` writes them among the assets, from where every edition takes them:
a build paints nothing, and zlib's version has no say in an edition's bytes. The
PNG is filled by the even-odd rule with each pixel cut into 4 by 4 samples.
"""

from __future__ import annotations

import itertools
import struct
import sys
import zlib
from dataclasses import dataclass
from pathlib import Path

Point = tuple[float, float]
Color = tuple[int, int, int]

INK: Color = (0x11, 0x11, 0x11)
ROAD: Color = (0x4A, 0x4A, 0x4A)
LINE: Color = (0xFF, 0xD2, 0x3F)
RED: Color = (0xD8, 0x3A, 0x2E)
WHITE: Color = (0xFF, 0xFF, 0xFF)

SIZES_PX = (180, 192, 512)
"""180 for the home screen of an iPad, 192 and 512 for the rest."""

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
        crossings = _crossings(shape, size_px)
        for y in sorted({line // _SAMPLES for line in crossings}):
            lines = range(y * _SAMPLES, (y + 1) * _SAMPLES)
            _paint(rows[y], shape.color, [crossings[line] for line in lines if line in crossings])
    raw = b"".join(b"\0" + row for row in rows)
    header = struct.pack(">IIBBBBB", size_px, size_px, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        _chunk(kind, data)
        for kind, data in ((b"IHDR", header), (b"IDAT", zlib.compress(raw, 9)), (b"IEND", b""))
    )


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _crossings(shape: Shape, size_px: int) -> dict[int, list[int]]:
    """By line of samples from the top: the samples, in no order, at which it enters or leaves ``shape``."""
    unit = size_px * _SAMPLES / 100
    width = size_px * _SAMPLES
    found: dict[int, list[int]] = {}
    for outline in shape.outlines:
        for (x0, y0), (x1, y1) in zip((outline[-1], *outline), outline, strict=False):
            low, high = sorted((y0, y1))
            # One line more at either end, since division rounds: which of them count is asked exactly.
            for line in range(max(0, int(low * unit) - 1), min(width, int(high * unit) + 2)):
                level = (line + 0.5) / unit
                if low <= level < high:
                    sample = round((x0 + (level - y0) * (x1 - x0) / (y1 - y0)) * width / 100)
                    found.setdefault(line, []).append(min(max(sample, 0), width))
    return found


def _paint(row: bytearray, color: Color, lines: list[list[int]]) -> None:
    """Lay a shape over a row: whole where all 16 samples of a pixel lie inside, else by their share."""
    change: dict[int, int] = {}
    for crossings in lines:
        for edge, sign in zip(sorted(crossings), itertools.cycle((1, -1)), strict=False):
            # Some samples of the pixel that the edge runs through, and all those of the ones after it.
            pixel, before = divmod(edge, _SAMPLES)
            change[pixel] = change.get(pixel, 0) + sign * (_SAMPLES - before)
            change[pixel + 1] = change.get(pixel + 1, 0) + sign * before
    inside = 0
    for pixel, after in itertools.pairwise(sorted(change)):
        inside += change[pixel]
        _fill(row, color, pixel, after, inside)


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


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    (folder / "icon.svg").write_text(icon_svg(), encoding="utf-8")
    for size in SIZES_PX:
        (folder / f"icon-{size}.png").write_bytes(icon_png(size))
