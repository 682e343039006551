"""``python -m tests.pictures``: take the README's pictures from a build of the real content.

Writes one PNG for each subject beside this file, small enough to ship.
"""

from __future__ import annotations

import io
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

import pypdfium2
from forty_paces.plugin import build_site
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.walk_taps import to_plan
from tests.browsers import CHROMIUM_ARGUMENTS, find_chromium

FOLDER = Path(__file__).parent
PROJECT = FOLDER.parents[1]
LARGEST_BYTES = 120_000
"""Largest size of one picture in the repository, in bytes."""
TABLET = {"width": 1280, "height": 800}


def start_page(page: Page, site: Path) -> bytes:
    """The start page as a tablet shows it."""
    page.goto((site / "index.html").as_uri())
    return page.screenshot()


def cab_step(page: Page, site: Path) -> bytes:
    """One step at a time in the cab file, by night."""
    page.goto((site / "cab.html").as_uri() + "#tire-fire")
    page.click("[data-look-switch]")
    for _ in range(2):
        page.click("[data-next]")
    return page.screenshot()


def cab_finder(page: Page, site: Path) -> bytes:
    """The plan of the walk for a bend behind the vehicle."""
    page.goto((site / "cab.html").as_uri() + "#find")
    to_plan(page, behind=("bend-left", 5, "unknown"))
    page.evaluate("window.scrollTo(0, 0)")
    return page.screenshot()


def scene_plan(page: Page, site: Path) -> bytes:
    """A scene to scale, with its hidden stretch."""
    page.goto((site / "placing/roads/quarry-bend.html").as_uri())
    return page.locator("figure svg").first.screenshot()


def card_face(page: Page, site: Path) -> bytes:
    """A face of the glovebox cards, as printed."""
    document = pypdfium2.PdfDocument(site / "cards/half-letter-all.pdf")
    face = next(leaf for leaf in document if "Tire smoke or fire" in leaf.get_textpage().get_text_bounded())
    picture = io.BytesIO()
    face.render(scale=2).to_pil().save(picture, "PNG")
    return picture.getvalue()


PICTURES: Mapping[str, tuple[int, Callable[[Page, Path], bytes]]] = {
    "start-page": (1000, start_page),
    "cab-step": (1000, cab_step),
    "cab-finder": (1000, cab_finder),
    "scene-plan": (1000, scene_plan),
    "card-face": (700, card_face),
}
"""Each picture's width in pixels, and the function that takes it."""


def shrunk(png: bytes, width_px: int) -> bytes:
    """The picture at a width, in as many colors as fit the size limit."""
    picture = Image.open(io.BytesIO(png)).convert("RGB")
    height_px = round(picture.height * width_px / picture.width)
    picture = picture.resize((width_px, height_px), Image.Resampling.LANCZOS)
    for colors in (256, 128, 64, 32):
        small = io.BytesIO()
        picture.quantize(colors, Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE).save(
            small, "PNG", optimize=True
        )
        if small.tell() <= LARGEST_BYTES:
            break
    return small.getvalue()


def make(browser: Browser, site: Path) -> None:
    """Write every picture."""
    for name, (width_px, maker) in PICTURES.items():
        page = browser.new_page(viewport=TABLET, device_scale_factor=2)
        file = FOLDER / f"{name}.png"
        file.write_bytes(shrunk(maker(page, site), width_px))
        page.close()
        print(f"{file.relative_to(PROJECT)}  {file.stat().st_size:,} bytes")


def main() -> None:
    """Build the site in a temporary folder and take its pictures."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        site = Path(folder) / "site"
        build_site(PROJECT, site_dir=site)
        browser = playwright.chromium.launch(
            executable_path=find_chromium(playwright), args=CHROMIUM_ARGUMENTS
        )
        make(browser, site)
        browser.close()


if __name__ == "__main__":
    main()
