"""The icon's own PNG writer, read back by an independent picture library, and what it left in the assets."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET

import pytest
from forty_paces.outputs.edition.icons import INK, RED, SHAPES, SIZES_PX, icon_png, icon_svg
from PIL import Image

from tests.projects import PROJECT

ASSETS = PROJECT / "site_overrides/assets/icons"


def pixels(png: bytes) -> bytes:
    """What a picture shows: how it was packed is zlib's own affair, and differs between its versions."""
    return Image.open(io.BytesIO(png)).tobytes()


@pytest.mark.parametrize("size", SIZES_PX)
def test_the_icon_in_the_assets_is_the_one_painted_from_the_shapes(size: int) -> None:
    assert pixels((ASSETS / f"icon-{size}.png").read_bytes()) == pixels(icon_png(size)), "run: make icons"


def test_the_assets_hold_these_icons_and_no_other() -> None:
    names = {"icon.svg", *(f"icon-{size}.png" for size in SIZES_PX)}
    assert names == {file.name for file in ASSETS.iterdir()}
    assert icon_svg() == (ASSETS / "icon.svg").read_text(encoding="utf-8"), "run: make icons"


@pytest.mark.parametrize("size", [32, 180, 192])
def test_another_library_reads_the_png_at_its_size(size: int) -> None:
    picture = Image.open(io.BytesIO(icon_png(size)))
    picture.load()
    assert ("PNG", "RGB", (size, size)) == (picture.format, picture.mode, picture.size)


def test_the_middle_of_a_band_is_red_and_the_corner_is_ground() -> None:
    picture = Image.open(io.BytesIO(icon_png(200)))
    # The foot of the near triangle: its base lies at 82 of 100, its band is 6.2 thick.
    assert picture.getpixel((87, 2 * 79)) == RED
    assert picture.getpixel((1, 1)) == INK


def test_the_hole_of_the_near_triangle_shows_the_road() -> None:
    picture = Image.open(io.BytesIO(icon_png(200)))
    road = SHAPES[0].color
    assert road == picture.getpixel((87, 2 * 71))


def test_edges_are_smoothed() -> None:
    picture = Image.open(io.BytesIO(icon_png(96)))
    assert len(picture.getcolors(maxcolors=10_000)) > 20


def test_the_same_bytes_come_out_every_time() -> None:
    assert icon_png(48) == icon_png(48)


def test_all_triangles_stay_inside_the_circle_that_a_mask_keeps() -> None:
    # W3C manifest: the safe zone of a maskable icon is a circle of 40 % of its size around the middle.
    for shape in SHAPES[2:]:
        for x, y in (point for outline in shape.outlines for point in outline):
            assert ((x - 50) ** 2 + (y - 50) ** 2) ** 0.5 <= 50


def test_the_svg_is_well_formed_and_has_a_name() -> None:
    root = ET.fromstring(icon_svg())
    assert root.get("aria-label") == "Forty Paces"
    assert len(SHAPES) + 1 == len(root)
