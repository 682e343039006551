"""Points 16 to 22 on paper: the built card PDFs read back, and pages printed by Chromium."""

from __future__ import annotations

import itertools
import re
from collections import Counter
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pdfplumber
import pypdfium2
import pytest
from bs4 import BeautifulSoup, Tag
from forty_paces.authoring.library import Library
from forty_paces.authoring.texts import texts_by_id
from forty_paces.drawing.typeface import load_typeface
from playwright.sync_api import Page

from tests.acceptance import screens
from tests.acceptance.reading import said
from tests.acceptance.screens import CONTENT
from tests.drawing.test_tokens import contrast
from tests.printed import EditionCards, Printed

pytestmark = pytest.mark.browser

OpenPage = Callable[..., Page]
OVERRIDES = Path(__file__).resolve().parents[2] / "site_overrides"
MM = 25.4 / 72
CARD_MM = (139.7, 215.9)
"""Half letter, 5.5 by 8.5 in: ANSI/ASME Y14.1 A size, halved."""
SHEET_MM = (215.9, 279.4)


@pytest.fixture(scope="module")
def faces(edition_cards: EditionCards) -> Printed:
    return edition_cards.printed("half-letter-all")


@pytest.fixture(scope="module")
def sheets(edition_cards: EditionCards) -> Printed:
    return edition_cards.printed("half-letter-all-sheets-letter")


@pytest.mark.parametrize("size", ["half-letter", "wallet"])
def test_the_pdfs_read_below_are_those_of_the_pages_of_the_edition(
    edition_cards: EditionCards, built_site: Path, size: str
) -> None:
    for document in edition_cards.documents(size):
        path = f"cards/{document.printed.path}.html"
        assert document.printed.html == (built_site / path).read_text("utf-8"), path


def letters(text: str) -> str:
    return re.sub(r"\s", "", text.replace("\u00a0", ""))


def inked(page: Any) -> list[dict[str, Any]]:
    return [char for char in page.chars if not char["text"].isspace()]


def codes_of_faces(cards: Mapping[str, Tag], *only: str) -> list[str]:
    """The code of each face in the order of printing, of these cards or of all; a back has its front's."""
    return [
        code
        for code, card in cards.items()
        if not only or code in only
        for _ in range(1 + len(card.select("section.face")))
    ]


NOTICE_BORDERS = """
() => {
  const one = document.querySelector(".notice");
  return ["danger", "warning", "caution", "notice"].map((signal) => {
    const made = one.cloneNode(true);
    made.className = `notice notice--${signal}`;
    one.after(made);
    const look = getComputedStyle(made);
    const found = [look.borderTopStyle, parseFloat(look.borderTopWidth)];
    made.remove();
    return found;
  });
}
"""


@pytest.mark.parametrize("name", ["procedures/warning-devices.html", "cab.html#warning-devices/list"])
def test_point_16_the_four_levels_differ_by_border_without_any_color(
    built_site: Path, open_page: OpenPage, name: str
) -> None:
    file, _, anchor = name.partition("#")
    page = open_page(f"{(built_site / file).as_uri()}{'#' + anchor if anchor else ''}")
    page.emulate_media(media="print")
    borders = [tuple(one) for one in page.evaluate(NOTICE_BORDERS)]
    assert 4 == len(set(borders)), borders
    assert "none" not in {style for style, _ in borders}


def linear(color: str) -> list[float]:
    parts = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    return [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]


SIGHTS = {
    "grey": [[0.2126, 0.7152, 0.0722]] * 3,
    "red lamp": [[1.0, 0.0, 0.0]] * 3,
    "no red cones": [[0.152, 1.053, -0.205], [0.115, 0.786, 0.099], [-0.004, -0.048, 1.052]],
    "no green cones": [[0.367, 0.861, -0.228], [0.280, 0.673, 0.047], [-0.012, 0.043, 0.969]],
    "no blue cones": [[1.256, -0.077, -0.179], [-0.078, 0.931, 0.148], [0.005, 0.691, 0.304]],
}
"""Linear colors as they are seen. The last three: Machado and others 2009, at full strength, from memory."""


def seen_contrast(ink: str, ground: str, sight: list[list[float]]) -> float:
    def light(color: str) -> float:
        parts = linear(color)
        seen = [min(1.0, max(0.0, sum(a * b for a, b in zip(row, parts, strict=True)))) for row in sight]
        return 0.2126 * seen[0] + 0.7152 * seen[1] + 0.0722 * seen[2]

    bright, dark = sorted((light(ink), light(ground)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("name", ["procedures/tire-fire.html", "procedures/warning-devices.html", "cab.html"])
def test_point_16_every_word_is_read_in_grey_by_red_lamp_and_by_every_kind_of_eye(
    built_site: Path, open_page: OpenPage, name: str
) -> None:
    page = open_page(built_site / name)
    texts = page.evaluate(CONTENT, "article" if name.startswith("proc") else "body")
    assert len(texts) > 20
    lost = []
    for text in texts:
        pair = screens.hex_of(text["color"]), screens.hex_of(text["ground"])
        signal = "notice__word" in text["classes"]  # large and bold, on its own background
        least = 2.5 if signal else 4.5
        lost += [(sight, text) for sight, seen in SIGHTS.items() if seen_contrast(*pair, seen) < least]
    assert [] == lost


def test_point_16_no_ink_of_a_card_vanishes_in_grey_or_under_a_red_lamp(faces: Printed) -> None:
    document = pypdfium2.PdfDocument(faces.data)
    for number in range(len(document)):
        picture = document[number].render(scale=1.5).to_pil().convert("RGB")
        red, grey = np.asarray(picture.getchannel("R")), np.asarray(picture.convert("L"))
        dark = red[grey < 110]
        lost = np.count_nonzero(dark > 215)
        assert lost <= 0.02 * dark.size, (number + 1, lost, dark.size)


def test_point_17_print_is_10_pt_or_more_headings_12_by_heart_14_with_an_x_height_of_2_5_mm(
    faces: Printed, cards: Mapping[str, Tag], library: Library, edition_cards: EditionCards
) -> None:
    wallet = edition_cards.printed("wallet-all")
    for page in (*faces.pages, *wallet.pages):
        assert min(char["size"] for char in inked(page)) >= 10 - 0.01, page.page_number
        names = {char["fontname"].split("+")[1] for char in page.chars}
        assert names <= {"Atkinson-Hyperlegible", "Atkinson-Hyperlegible-Bold"}  # sans, upright, one family
        assert all(char["upright"] for char in inked(page))
    x_height = load_typeface().regular.x_height / 1000
    texts = [letters(page.extract_text()) for page in faces.pages]
    for procedure in library.procedures:
        # A long card takes both faces of a leaf; the by-heart box stands on the first.
        numbers = [at for at, text in enumerate(texts) if f"{procedure.code}version" in text]
        assert len(numbers) == len(codes_of_faces(cards, procedure.code)), procedure.code
        sizes = {char["size"] for char in inked(faces.pages[numbers[0]])}
        by_heart = {size for size in sizes if size >= 14 - 0.01}
        assert any(size * MM * x_height >= 2.5 for size in by_heart), procedure.code
        lines = [line for number in numbers for line in faces.pages[number].extract_text_lines()]
        headings = [heading.get_text() for heading in cards[procedure.code].select("h2.heading")]
        assert headings, procedure.code
        for heading in headings:
            line = next(one for one in lines if letters(one["text"]) == letters(heading))
            assert min(char["size"] for char in line["chars"]) >= 12 - 0.01, (procedure.code, heading)


def test_point_17_nothing_is_scaled_slanted_or_set_in_capitals(
    built_site: Path, cards: Mapping[str, Tag]
) -> None:
    html = (built_site / "cards/half-letter-all.html").read_text("utf-8")
    style = "".join(re.findall(r"<style>(.*?)</style>", html, re.S))
    assert not re.search(
        r"\bscale\(|\bzoom\s*:|font-style\s*:\s*(?:italic|oblique)|text-transform\s*:", style
    )
    for face in cards.values():
        assert [] == face.select("em, i, u")
        for text in said(face).values():
            assert not re.search(r"(?:\b[A-Z]{2,}\b\W+){3}", text), text


def test_point_18_printed_lines_stand_1_3_apart_ragged_and_at_most_80_characters_long(
    faces: Printed, built_site: Path
) -> None:
    style = (built_site / "cards/half-letter-all.html").read_text("utf-8")
    assert not re.search(r"text-align\s*:\s*justify|hyphens\s*:\s*auto", style)
    seen = 0
    for page in faces.pages:
        for one, other in itertools.pairwise(page.extract_text_lines(x_tolerance=1.5)):
            assert len(one["text"]) <= 80, one["text"]
            sizes = {round(char["size"], 1) for char in (*one["chars"], *other["chars"])}
            if len(sizes) != 1 or abs(one["x0"] - other["x0"]) > 0.5:
                continue  # only lines of one column and one size show the leading
            apart = other["chars"][0]["bottom"] - one["chars"][0]["bottom"]
            assert apart >= 1.3 * sizes.pop() - 0.1, (page.page_number, one["text"])
            seen += 1
    assert seen > 200


def test_point_19_no_procedure_exceeds_one_leaf_and_every_line_of_it_is_on_that_leaf(
    faces: Printed, cards: Mapping[str, Tag], library: Library
) -> None:
    counts = Counter(codes_of_faces(cards))
    assert sum(counts.values()) == len(faces.pages)
    assert set(counts.values()) <= {1, 2}
    number = 0
    for code in cards:
        pages = faces.pages[number : number + counts[code]]
        assert counts[code] == 1 or number % 2 == 0, f"{code} does not begin on a front"
        number += counts[code]
        found = letters("".join(page.extract_text() for page in pages))
        for key, text in said(cards[code]).items():
            assert all(letters(word) in found for word in text.split()), (code, key)
    assert {procedure.code for procedure in library.procedures} <= set(cards)


WHOLE = """
() => [".step", ".notice", "tr", "figure", ".by-heart", ".decision"].flatMap((selector) =>
  Array.from(document.querySelectorAll(selector)).map((e) => [selector, getComputedStyle(e).breakInside]))
"""


def test_point_19_printed_from_the_site_no_step_notice_row_or_figure_splits(
    built_site: Path, open_page: OpenPage, library: Library, tmp_path: Path
) -> None:
    for name in ("warning-devices", "tire-fire", "crash-scene"):
        page = open_page(built_site / f"procedures/{name}.html")
        page.emulate_media(media="print")
        assert [] == [one for one in page.evaluate(WHOLE) if one[1] != "avoid"]
        file = tmp_path / f"{name}.pdf"
        page.pdf(path=file, format="Letter", prefer_css_page_size=True)
        procedure = library.procedure(name)
        assert procedure is not None
        with pdfplumber.open(file) as printed:
            sheets = [letters(one.extract_text()) for one in printed.pages]
        assert len(sheets) > 1
        for block in procedure.blocks:
            for step in block.steps:
                parts = [step.do, step.why]
                if step.notice:
                    parts = [step.notice.hazard, step.notice.avoid, *parts]
                together = [at for at, s in enumerate(sheets) if all(letters(part) in s for part in parts)]
                assert together, f"{name}: {step.id} is split"
        assert procedure.decision is not None
        table = " ".join(f"{row.see} {row.do}" for row in procedure.decision.rows).split()
        assert any(all(letters(word) in sheet for word in table) for sheet in sheets), name


def test_point_20_a_card_page_is_the_finished_size_with_its_text_5_mm_inside(faces: Printed) -> None:
    for page in faces.pages:
        assert CARD_MM == pytest.approx((float(page.width) * MM, float(page.height) * MM), abs=0.1)
        for char in inked(page):
            edges = (char["x0"], page.width - char["x1"], char["top"], page.height - char["bottom"])
            assert min(float(edge) * MM for edge in edges) >= 5 - 0.05, (page.page_number, char["text"])


def strokes(page: Any) -> list[tuple[float, float, float, float]]:
    """Thin upright or level strokes as left, top, right, bottom in millimetres."""
    found = []
    for one in (*page.rects, *page.lines):
        box = tuple(float(one[name]) * MM for name in ("x0", "top", "x1", "bottom"))
        if min(box[2] - box[0], box[3] - box[1]) <= 0.3:
            found.append(box)
    return found


def test_point_20_sheets_have_a_50_mm_ruler_crop_marks_outside_and_backs_behind_their_fronts(
    sheets: Printed, faces: Printed
) -> None:
    left, top = ((sheet - card) / 2 for sheet, card in zip(SHEET_MM, CARD_MM, strict=True))
    trim = {"x": (left, left + CARD_MM[0]), "y": (top, top + CARD_MM[1])}
    for page in sheets.pages:
        assert SHEET_MM == pytest.approx((float(page.width) * MM, float(page.height) * MM), abs=0.1)
        lines = strokes(page)
        assert any(abs(box[2] - box[0] - 50) <= 0.5 or abs(box[3] - box[1] - 50) <= 0.5 for box in lines)
        assert "50 mm" in page.extract_text(x_tolerance=1.5)
        assert "at 100 %" in page.extract_text(x_tolerance=1.5)
        for axis, edge in itertools.product("xy", (0, 1)):
            at = trim[axis][edge]
            marks = [
                box
                for box in lines
                if abs((box[0] + box[2] if axis == "x" else box[1] + box[3]) / 2 - at) <= 0.3
                and 1 < max(box[2] - box[0], box[3] - box[1]) <= 10
            ]
            across = 1 if axis == "x" else 0
            low, high = trim["y" if axis == "x" else "x"]
            outside = [box for box in marks if box[across + 2] <= low or box[across] >= high]
            assert len(outside) >= 2, (page.page_number, axis, at)
    # The card lies in the middle of the sheet, so turned over its long edge each back covers its front.
    for page in sheets.pages:
        face = faces.pages[page.page_number - 1]
        alone = {(char["text"], round(float(char["x0"]) * MM)) for char in inked(face)}
        moved = {
            (char["text"], round(float(char["x0"]) * MM - left + shift))
            for char in inked(page)
            for shift in (-0.3, 0, 0.3)
        }
        assert alone <= moved, page.page_number


def test_point_21_the_page_on_laminating_says_matte_film_and_an_edge_sealed_3_mm_all_round(
    built_site: Path,
) -> None:
    """Whether such a card is read without error at 400 mm is for three readers over 45 to test."""
    page = BeautifulSoup((built_site / "cards.html").read_text("utf-8"), "html.parser").article
    rows = {row.td.get_text(): row.get_text(" ") for row in page.select("tr") if row.td}
    assert "matte" in rows["Film"]
    assert "3 mm (1/8 in) or more all round" in rows["Sealed edge"]
    assert "5 mil (125 µm) a side or more" in rows["Thickness"]
    assert "3 mm" in rows["Corners"]


def test_point_22_every_face_shows_code_version_date_and_n_of_n(
    faces: Printed, cards: Mapping[str, Tag], library: Library
) -> None:
    by_code = {procedure.code: procedure for procedure in library.procedures}
    for number, (code, page) in enumerate(zip(codes_of_faces(cards), faces.pages, strict=True), 1):
        text = letters(page.extract_text(x_tolerance=1.5))
        assert f".{number}of{len(faces.pages)}" in text, code
        assert "reviewby" in text
        if code in by_code:
            one = by_code[code]
            day = f"{one.effective.day} {one.effective:%b} {one.effective.year}"
            assert letters(f"{code} version {one.version} of {day}") in text


def test_point_22_steps_on_card_page_and_cab_are_the_same_strings(
    library: Library,
    pages: Mapping[str, Tag],
    cab_procedures: Mapping[str, Tag],
    cards: Mapping[str, Tag],
) -> None:
    for procedure in library.procedures:
        wanted = {
            key: text
            for key, text in texts_by_id(procedure).items()
            if re.search(r"/(?:by_heart|blocks)/.*/(?:do|how|otherwise|hazard|consequence|avoid)$", key)
        }
        assert wanted
        for shown in (
            said(pages[procedure.id]),
            said(cab_procedures[procedure.id]),
            said(cards[procedure.code]),
        ):
            assert wanted == {key: shown[key] for key in wanted}


def test_the_sights_used_above_dim_what_they_should() -> None:
    assert seen_contrast("#ff0000", "#ffffff", SIGHTS["red lamp"]) == pytest.approx(1)
    assert seen_contrast("#9b2423", "#ffffff", SIGHTS["grey"]) == pytest.approx(
        contrast("#9b2423", "#ffffff")
    )
    red, green = "#c00000", "#6c6c00"  # plain to most eyes, alike to one without red or green cones
    assert seen_contrast(red, green, SIGHTS["no green cones"]) < 1.6
