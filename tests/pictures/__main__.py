"""``python -m tests.pictures``: take the README's pictures and those of the guide for carriers.

Writes one PNG for each subject, small enough to ship: those of the README, from a build of the real content,
beside this file; those of the guide, from a project as it says to begin one, into the assets of the site.
"""

from __future__ import annotations

import io
import tempfile
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

import pypdfium2
from click.testing import CliRunner
from forty_paces.authoring.library import load_library
from forty_paces.authoring.models.fleet import NOT_ENTERED
from forty_paces.cli import main as main_of_verbs
from forty_paces.commands.project import find_overrides
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.cards.documents import faces_document
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.pdf import to_pdf
from forty_paces.plugin import build_site
from PIL import Image
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.walk_taps import to_plan
from tests.browsers import CHROMIUM_ARGUMENTS, find_chromium

FOLDER = Path(__file__).parent
PROJECT = FOLDER.parents[1]
YOURS_FOLDER = PROJECT / "site_overrides/assets/pictures"
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


LOGO = (
    '<svg viewBox="0 0 300 120"><path fill="#0a4d3c" d="M10 10h280v100h-280z"/>'
    '<path fill="#f2b233" d="M40 85l40-55 40 55z"/>'
    '<path fill="#fff" d="M140 40h120v14h-120zM140 66h90v14h-90z"/></svg>'
)
"""The logo of an invented carrier."""


def begun(folder: Path) -> BuildContext:
    """A project of an invented carrier, begun as the guide says."""
    CliRunner().invoke(main_of_verbs, ["init", str(folder)], catch_exceptions=False)
    fleet = folder / "content/fleet.yml"
    text = fleet.read_text(encoding="utf-8").replace("carrier: Our carrier", "carrier: Ridge Line Haulage")
    text += 'looks: {logo: logo.svg, color: "#0a4d3c", night_color: "#f2b233"}\n'
    fleet.write_text(text.replace(NOT_ENTERED, "'911'", 1), encoding="utf-8")
    (folder / "content/logo.svg").write_text(LOGO, encoding="utf-8")
    return BuildContext(load_library(folder), find_overrides(folder))


def yours_cab(page: Page, context: BuildContext, folder: Path) -> bytes:
    """The start screen of a carrier's own cab file."""
    file = folder / "cab.html"
    file.write_text(cab_html(context), encoding="utf-8")
    page.goto(file.as_uri())
    return page.screenshot()


def yours_card(page: Page, context: BuildContext, folder: Path) -> bytes:
    """A carrier's own card in gray, as an office printer prints it."""
    cards = card_set(context, "half-letter", only=("FLM2",))
    document = pypdfium2.PdfDocument(to_pdf(faces_document(context, cards, "card").html))
    face = next(leaf for leaf in document if "Tire smoke or fire" in leaf.get_textpage().get_text_bounded())
    picture = io.BytesIO()
    face.render(scale=2).to_pil().convert("L").save(picture, "PNG")
    return picture.getvalue()


YOURS: Mapping[str, tuple[int, Callable[[Page, BuildContext, Path], bytes]]] = {
    "yours-cab": (1000, yours_cab),
    "yours-card": (600, yours_card),
}
"""The same of the pictures in the guide for carriers."""


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


def make(browser: Browser, folder: Path, taken: Mapping[str, tuple[int, Callable[[Page], bytes]]]) -> None:
    """Write every picture into the folder."""
    for name, (width_px, maker) in taken.items():
        page = browser.new_page(viewport=TABLET, device_scale_factor=2)
        file = folder / f"{name}.png"
        file.write_bytes(shrunk(maker(page), width_px))
        page.close()
        print(f"{file.relative_to(PROJECT)}  {file.stat().st_size:,} bytes")


def make_yours(browser: Browser) -> None:
    """Write the pictures of the guide; they need no built site."""
    with tempfile.TemporaryDirectory() as folder:
        context = begun(Path(folder) / "carrier")
        taken = {
            name: (width_px, partial(maker, context=context, folder=Path(folder)))
            for name, (width_px, maker) in YOURS.items()
        }
        make(browser, YOURS_FOLDER, taken)


def main() -> None:
    """Build the site in a temporary folder and take its pictures."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        site = Path(folder) / "site"
        build_site(PROJECT, site_dir=site)
        browser = playwright.chromium.launch(
            executable_path=find_chromium(playwright), args=CHROMIUM_ARGUMENTS
        )
        make(
            browser, FOLDER, {name: (px, partial(maker, site=site)) for name, (px, maker) in PICTURES.items()}
        )
        make_yours(browser)
        browser.close()


if __name__ == "__main__":
    main()
