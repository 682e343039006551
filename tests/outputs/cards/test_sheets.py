"""Imposed sheets read back from their PDF: marks, registration, panels, and margins."""

from __future__ import annotations

import io
import re
from typing import Any

import pdfplumber
import pikepdf
import pypdfium2
import pytest
from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.documents import dry_run_document, sheets_document
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.imposition import Imposition, impose
from forty_paces.outputs.paper.sheets import PAPERS
from pdfplumber.pdf import PDF

from tests.outputs.cards.printing import as_shown
from tests.printed import EditionCards, Printed, ReadPage
from tests.reading import chars_of, strokes_of

MM = 25.4 / 72


def opened(html: str, pages: int) -> PDF:
    return pdfplumber.open(io.BytesIO(pdf.to_pdf(html, pages=pages)))


def mark_places(page: ReadPage) -> set[tuple[float, float, float, float]]:
    """Thin dark strokes as left, top, width and height in whole tenths of a millimeter."""
    found = set()
    for rect in (*page.rects, *page.lines):
        box = tuple(round(float(rect[name]) * MM, 1) for name in ("x0", "top", "width", "height"))
        if min(box[2], box[3]) <= 0.25 and 1 < max(box[2], box[3]) <= 8:
            found.add(box)
    return found


def marks_of(plan: Imposition) -> set[tuple[float, float, float, float]]:
    found = set()
    for mark in plan.marks():
        if mark.fold:
            continue
        left, top = min(mark.x1_mm, mark.x2_mm), min(mark.y1_mm, mark.y2_mm)
        width, height = abs(mark.x1_mm - mark.x2_mm), abs(mark.y1_mm - mark.y2_mm)
        found.add((left, top, width, height))
    return found


def near(mark: tuple[float, float, float, float], places: set[tuple[float, float, float, float]]) -> bool:
    return any(all(abs(a - b) <= 0.25 for a, b in zip(mark, one, strict=True)) for one in places)


@pytest.fixture(scope="module")
def plan(half_letter: CardSet) -> Imposition:
    return impose(half_letter.card.paper, PAPERS["letter"])


def test_letters_and_strokes_are_read_as_another_reader_gives_them(
    faces_pdf: Printed, sheets_pdf: Printed
) -> None:
    """By pdfplumber, which shares no code. It gives a level stroke as a rectangle, a line or a curve."""
    for data, at in ((faces_pdf.data, 2), (sheets_pdf.data, 3)):
        cut = io.BytesIO()
        with pikepdf.open(io.BytesIO(data)) as opened:
            while len(opened.pages) > at + 1:
                del opened.pages[-1]
            opened.save(cut)
        page = pypdfium2.PdfDocument(cut.getvalue())[at]
        with pdfplumber.open(io.BytesIO(as_shown(cut.getvalue()))) as other:
            read = other.pages[at]
            chars, boxes, other_boxes = chars_of(page), strokes_of(page), (read.rects, read.lines)
        assert (read.width, read.height) == pytest.approx(page.get_size(), abs=0.01)
        mine, theirs = (sorted(some, key=char_place) for some in (chars, read.chars))
        assert len(mine) == len(theirs) > 100
        for one, two in zip(mine, theirs, strict=True):
            for name in ("text", "fontname", "upright"):
                assert one[name] == two[name], two
            for name in ("x0", "top", "bottom", "size"):
                assert one[name] == pytest.approx(two[name], abs=0.01), two
            assert -0.01 <= one["x1"] - two["x1"] < 1, two
            assert one["non_stroking_color"] == pytest.approx(two["non_stroking_color"], abs=0.01)
        found, wanted = (
            [[float(box[name]) for name in ("x0", "top", "width", "height")] for box in (*rects, *lines)]
            for rects, lines in (boxes, other_boxes)
        )
        assert wanted
        unread = [box for box in wanted if not any(near_all(box, one) for one in found)]
        assert unread == []


def near_all(one: list[float], other: list[float]) -> bool:
    return all(abs(a - b) < 0.05 for a, b in zip(one, other, strict=True))


def char_place(char: dict[str, Any]) -> tuple[float, float, str]:
    return round(char["matrix"][5], 1), round(char["matrix"][4], 1), char["text"]


def test_sheets_have_the_size_of_their_paper(sheets_pdf: Printed) -> None:
    for page in sheets_pdf.pages:
        assert (215.9, 279.4) == pytest.approx((float(page.width) * MM, float(page.height) * MM), abs=0.1)


def test_every_sheet_has_its_crop_marks_and_none_within_a_card(sheets_pdf: Printed, plan: Imposition) -> None:
    left, top = plan.origin_mm
    right, bottom = left + plan.block_mm[0], top + plan.block_mm[1]
    for page in sheets_pdf.pages:
        places = mark_places(page)
        wanted = marks_of(plan)
        assert len(wanted) == 8
        for mark in wanted:
            assert near(mark, places), (page.page_number, mark)
            outside = (
                mark[0] + mark[2] < left or mark[0] > right or mark[1] + mark[3] < top or mark[1] > bottom
            )
            assert outside


def test_fronts_and_backs_are_in_register_within_2_mm(
    half_letter: CardSet, sheets_pdf: Printed, plan: Imposition
) -> None:
    """Flipped on its long edge, the trim of each back coincides with the trim of its front."""
    pages = sheets_pdf.pages
    for front, back in zip(pages[::2], pages[1::2], strict=True):
        width = float(front.width) * MM
        mirrored = {
            (round(width - left - across, 1), top, across, down)
            for left, top, across, down in mark_places(back)
        }
        for mark in marks_of(plan):
            assert near(mark, mark_places(front))
            assert near(mark, mirrored)


def test_letters_of_each_card_keep_5_mm_inside_its_trim_and_the_bound_edge_is_one_edge(
    half_letter: CardSet, sheets_pdf: Printed, plan: Imposition
) -> None:
    left, top = plan.origin_mm
    right, bottom = left + plan.block_mm[0], top + plan.block_mm[1]
    for page in sheets_pdf.pages:
        number = page.page_number - 1
        inside = [
            char
            for char in page.chars
            if top < char["top"] * MM < bottom and left < char["x0"] * MM < right and char["text"].strip()
        ]
        assert inside, number
        assert min(char["x0"] * MM for char in inside) >= left + (15 if number % 2 == 0 else 5) - 0.1
        assert max(char["x1"] * MM for char in inside) <= right - (5 if number % 2 == 0 else 15) + 0.1
        assert min(char["top"] * MM for char in inside) >= top + 5 - 0.1
        assert max(char["bottom"] * MM for char in inside) <= bottom - 5 + 0.1


def test_each_sheet_says_which_it_is_how_to_turn_it_and_at_what_size_to_print(sheets_pdf: Printed) -> None:
    sides = len(pypdfium2.PdfDocument(sheets_pdf.data))
    assert sides == sheets_pdf.pages[-1].page_number
    total = (sides + 1) // 2
    for page in sheets_pdf.pages:
        number = page.page_number - 1
        side = "back" if number % 2 else "front"
        text = page.extract_text(x_tolerance=1.5)
        assert f"Sheet {number // 2 + 1} of {total}, {side}." in text
        assert "Print on both sides at 100 %, flip on the long edge." in text
        assert "50 mm" in text


def test_a_face_on_a_sheet_has_the_words_of_the_face_alone(half_letter: CardSet, sheets_pdf: Printed) -> None:
    for page in sheets_pdf.pages:
        face = half_letter.faces[page.page_number - 1]
        found = "".join(page.extract_text().split())
        for key, text in face.strings.items():
            for word in text.replace("\u00a0", " ").split():
                assert word in found, (face.code, key, word)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_test_sheet_shows_front_and_back_of_each_card_in_register(
    context: BuildContext, wallet: CardSet, paper: str
) -> None:
    printed = dry_run_document(context, wallet, PAPERS[paper], "t")
    plan = impose(wallet.card.paper, PAPERS[paper])
    with opened(printed.html, 2) as read:
        front, back = read.pages
        count = plan.cards_a_sheet
        width = float(front.width) * MM
        crosses = []
        for page, word in ((front, "Front"), (back, "Back")):
            text = page.extract_text(x_tolerance=1.5)
            assert all(f"{word} {number}" in text for number in range(1, count + 1))
            upright = [
                (float(one["x0"]) + float(one["x1"])) / 2 * MM
                for one in (*page.rects, *page.lines)
                if float(one["height"]) * MM > 50 and float(one["width"]) * MM < 0.5
            ]
            crosses.append(sorted({round(x, 1) for x in upright}))
        for x in crosses[0]:
            assert min(abs(x - (width - other)) for other in crosses[1]) <= 0.5


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_wallet_cards_lie_beside_their_backs_with_a_dashed_mark_to_fold_along(
    edition_cards: EditionCards, wallet: CardSet, paper: str
) -> None:
    plan = impose(wallet.card.paper, PAPERS[paper], folded=True)
    folds = {mark.x1_mm for mark in plan.marks() if mark.fold}
    assert folds
    for page in edition_cards.printed(f"wallet-all-fold-{paper}").pages:
        text = page.extract_text(x_tolerance=1.5)
        assert "Print on one side at 100 %." in text
        assert "fold outward at the dashed marks" in text
        for char in page.chars:
            middle = (char["top"] + char["bottom"]) / 2 * MM
            if char["text"].strip() and plan.origin_mm[1] < middle < plan.origin_mm[1] + plan.block_mm[1]:
                for fold in folds:  # at least 4 mm clear on each side of a fold
                    assert char["x1"] * MM <= fold - 4 or char["x0"] * MM >= fold + 4


def test_fold_marks_are_dashed_and_crop_marks_are_not(context: BuildContext, wallet: CardSet) -> None:
    plan = impose(wallet.card.paper, PAPERS["letter"], folded=True)
    html = sheets_document(context, wallet, plan, PAPERS["letter"], "w").html
    rules = re.findall(r"\.mark-\d+\{[^}]*mm (dashed|solid) #111\}", html)
    assert sum(mark.fold for mark in plan.marks()) == rules.count("dashed") == 2
    assert sum(not mark.fold for mark in plan.marks()) == rules.count("solid")
