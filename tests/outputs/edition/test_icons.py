"""The tablet's icons are the logo at the sizes that tablets ask for, the carrier's own logo included."""

import io

import pytest
from forty_paces.outputs.edition.offline import SIZES_PX, icon_png
from PIL import Image

from tests.projects import PROJECT

LOGO = (PROJECT / "site_overrides/assets/icons/icon.svg").read_text(encoding="utf-8")
INK, RED = (0x11, 0x11, 0x11), (0xD8, 0x3A, 0x2E)


def picture(svg: str, size: int) -> Image.Image:
    return Image.open(io.BytesIO(icon_png(svg, size))).convert("RGBA")


@pytest.mark.parametrize("size", SIZES_PX)
def test_the_logo_fills_a_square_of_the_size_asked_for(size: int) -> None:
    icon = picture(LOGO, size)
    assert (size, size) == icon.size
    assert INK == icon.getpixel((1, 1))[:3]
    # the near triangle's foot: 22.5 to 64.5 units from the left, 80 to 82 from the top
    assert RED == icon.getpixel((round(size * 0.435), round(size * 0.80)))[:3]


def test_a_logo_with_clear_parts_is_painted_on_white() -> None:
    clear = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 10 10"><circle cx="5" cy="5" r="2"/></svg>'
    assert (255, 255, 255, 255) == picture(clear, 180).getpixel((0, 0))


def test_the_same_logo_gives_the_same_bytes() -> None:
    assert icon_png(LOGO, 192) == icon_png(LOGO, 192)


@pytest.mark.parametrize("broken", ["", "no drawing", "<svg", "<html></html>"])
def test_what_is_no_drawing_is_refused(broken: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        icon_png(broken, 180)
