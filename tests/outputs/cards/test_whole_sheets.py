"""Sheets that cards cover: one straight cut, bound edges outside, piles in order; read back from the PDF."""

from __future__ import annotations

import io
import itertools
from dataclasses import replace

import numpy as np
import pikepdf
import pypdfium2
import pytest
from forty_paces.outputs.cards import card_style
from forty_paces.outputs.cards.binding import leaf_of
from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.documents import set_documents
from forty_paces.outputs.cards.pieces import card_pdfs
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.imposition import Imposition, impose_whole
from forty_paces.outputs.paper.sheets import PAPERS

from tests.printed import ReadPage, read_pages

MM = 25.4 / 72
UNPRINTED_MM = 4.2
"""What desktop printers leave blank at an edge at most: common practice, no source."""
PAIRS = {
    ("half-letter", "letter"): (2, 1),
    ("a5", "a4"): (2, 1),
    ("half-letter", "tabloid"): (2, 2),
    ("a5", "a3"): (2, 2),
}


def whole(card: str, paper: str) -> Imposition:
    plan = impose_whole(PAPERS[card], PAPERS[paper])
    assert plan is not None
    return plan


@pytest.mark.parametrize(("pair", "laid"), PAIRS.items())
def test_two_cards_cover_a_sheet_and_four_one_of_twice_the_size(
    pair: tuple[str, str], laid: tuple[int, int]
) -> None:
    plan = whole(*pair)
    assert laid == (plan.columns, plan.rows)
    left, top = plan.origin_mm
    assert 0 <= left <= 0.5
    assert 0 <= top <= 0.5


@pytest.mark.parametrize(("card", "paper"), [("half-letter", "a4"), ("a5", "letter"), ("3x5", "letter")])
def test_a_card_that_leaves_waste_has_no_such_sheet(card: str, paper: str) -> None:
    assert impose_whole(PAPERS[card], PAPERS[paper]) is None


@pytest.mark.parametrize("pair", PAIRS)
@pytest.mark.parametrize("faces", [2, 7, 8, 9, 50])
def test_every_back_lies_behind_its_front_and_every_bound_edge_at_the_edge_of_the_sheet(
    pair: tuple[str, str], faces: int
) -> None:
    plan = whole(*pair)
    width = plan.paper.width_mm
    places = {cell.face: (side.sheet, side.back, cell) for side in plan.sides(faces) for cell in side.cells}
    assert set(range(faces)) == set(places)
    for face, (sheet, back, cell) in places.items():
        assert back == bool(face % 2)
        bound_left = (
            face % 2 == 0
        ) != cell.turned  # a front is bound at its left, unless it lies upside down
        outer = cell.left_mm < width / 2 - 1
        assert bound_left == outer, "the bound edge is the outer one"
        if face % 2:
            front_sheet, _, front = places[face - 1]
            assert front_sheet == sheet
            assert front.top_mm == cell.top_mm
            assert front.turned == cell.turned
            assert front.left_mm == pytest.approx(width - cell.left_mm - plan.card.width_mm, abs=0.001)


@pytest.mark.parametrize("pair", PAIRS)
def test_cut_piles_laid_on_one_another_are_in_order(pair: tuple[str, str]) -> None:
    plan = whole(*pair)
    fronts = [side for side in plan.sides(50) if not side.back]
    piles = [
        [side.cells[place].face // 2 for side in fronts if place < len(side.cells)]
        for place in range(plan.cards_a_sheet)
    ]
    assert list(range(25)) == [leaf for pile in piles for leaf in pile]


@pytest.mark.parametrize("pair", PAIRS)
def test_a_mark_stands_at_both_ends_of_every_cut_and_nowhere_else(pair: tuple[str, str]) -> None:
    plan = whole(*pair)
    upright = {mark.x1_mm for mark in plan.marks() if mark.x1_mm == mark.x2_mm}
    level = {mark.y1_mm for mark in plan.marks() if mark.y1_mm == mark.y2_mm}
    assert upright == {plan.corner_mm(1, 0)[0]}
    assert level == ({plan.corner_mm(0, 1)[1]} if plan.rows > 1 else set())
    assert len(plan.marks()) == 2 * (plan.columns + plan.rows - 2)


@pytest.fixture(scope="module")
def some(half_letter: CardSet) -> CardSet:
    """Four leaves of the set, procedures and drawings among them."""
    return half_letter.leaves_with(lambda face: leaf_of(face.number) in (1, 2, 3, 46))


@pytest.fixture(scope="module")
def made(context: BuildContext, some: CardSet) -> dict[str, bytes]:
    """Faces, whole sheets and sheets with one card, as PDF by kind."""
    entries = tuple(set_documents(context, some, ("letter",)))
    return {e.kind: data for e, data in zip(entries, card_pdfs(context, entries, processes=1), strict=True)}


@pytest.fixture(scope="module")
def faces(made: dict[str, bytes]) -> list[ReadPage]:
    return read_pages(made["faces"])


@pytest.fixture(scope="module")
def sheets(made: dict[str, bytes]) -> list[ReadPage]:
    return read_pages(made["cut"])


def letters(
    chars: list[dict], left: float, turned: bool, paper: tuple[float, float]
) -> set[tuple[str, int, int]]:
    """Letters with the start of their baseline in tenths of a millimeter from the card's top left corner."""
    _, height = paper
    found = set()
    for char in chars:
        x, y = char["matrix"][4] * MM, height - char["matrix"][5] * MM
        if turned:
            x, y = left + 139.7 - (x - left), height - y
        found.add((char["text"], round((x - left) * 5), round(y * 5)))
    return found


def test_each_face_stands_on_the_sheet_as_it_stands_alone_upright_or_turned(
    faces: list[ReadPage], sheets: list[ReadPage], some: CardSet
) -> None:
    plan = whole("half-letter", "letter")
    sides = plan.sides(len(some.sides))
    assert len(sheets) == 2 + len(sides), "the sheet that is printed first, and those of the set"
    shown = 0
    for side, page in zip(sides, sheets[2:], strict=True):
        size = (page.width * MM, page.height * MM)
        assert size == pytest.approx((279.4, 215.9), abs=0.1)
        for cell in side.cells:
            right = cell.left_mm + plan.card.width_mm
            inside = [
                char
                for char in page.chars
                if cell.left_mm - 0.1 < (char["x0"] + char["x1"]) / 2 * MM < right + 0.1
                and char["text"].strip()
            ]
            alone = [char for char in faces[cell.face].chars if char["text"].strip()]
            mine = letters(inside, cell.left_mm, cell.turned, size)
            theirs = letters(alone, 0.0, False, (139.7, 215.9))
            near = {(text, x + dx, y + dy) for text, x, y in mine for dx in (-1, 0, 1) for dy in (-1, 0, 1)}
            assert theirs <= near, cell.face
            shown += 1
    assert shown == len(some.faces)


def test_no_letter_and_no_code_stands_where_a_printer_leaves_the_edge_blank(sheets: list[ReadPage]) -> None:
    for page in sheets:
        for char in page.chars:
            if char["text"].strip():
                edges = (char["x0"], page.width - char["x1"], char["top"], page.height - char["bottom"])
                assert min(edges) * MM >= UNPRINTED_MM, char["text"]
    assert card_style.SHEET_EDGE_MM >= UNPRINTED_MM


def test_the_first_sheet_has_rulers_crosses_and_how_to_print_and_cut(sheets: list[ReadPage]) -> None:
    for page, side in zip(sheets[:2], ("front", "back"), strict=True):
        text = page.extract_text(x_tolerance=1.5)
        assert "flip on the short edge" in text
        assert "50 mm" in text
        assert f"Pile 1, {side}" in text
        rules = [one for one in (*page.rects, *page.lines) if abs(one["width"] * MM - 50) < 0.3]
        assert rules, "the ruler is 50 mm long"


def test_trim_and_bleed_boxes_are_those_of_the_cards(made: dict[str, bytes]) -> None:
    """ISO 32000-1, 14.11.2."""

    def boxes(
        data: bytes, page: int, names: tuple[str, ...] = ("/TrimBox", "/BleedBox")
    ) -> list[list[object]]:
        with pikepdf.open(io.BytesIO(data)) as read:
            return [
                [pytest.approx(float(edge) * MM, abs=0.1) for edge in read.pages[page][name]]
                for name in names
            ]

    assert boxes(made["sheets"], 0) == [[38.1, 31.8, 177.8, 247.7], [35.1, 28.8, 180.8, 250.7]]
    assert boxes(made["cut"], 2) == [[0.0, 0.0, 279.4, 215.9]] * 2
    assert boxes(made["faces"], 0) == [[0.0, 0.0, 139.7, 215.9], [-3.0, -3.0, 142.7, 218.9]]
    # Viewers show the finished card, and the paper of a press has room for the bleed.
    assert boxes(made["faces"], 0, ("/CropBox", "/MediaBox")) == boxes(made["faces"], 0)


def test_a_tab_of_the_one_face_file_runs_3_mm_over_the_trim(made: dict[str, bytes]) -> None:
    """A cut that strays by as much shows no white."""
    with pikepdf.open(io.BytesIO(made["faces"])) as read:
        for page in read.pages:
            page.cropbox = page.mediabox
        whole = io.BytesIO()
        read.save(whole)
    front = pypdfium2.PdfDocument(whole.getvalue())[4].render(scale=300 / 72).to_pil().convert("L")
    strip = front.crop((front.width - round(2.8 / 25.4 * 300), 0, front.width, front.height))
    dark = [at for at, grey in enumerate(strip.tobytes()) if grey < 128]
    assert dark
    assert len({at % strip.width for at in dark}) == strip.width


def test_no_ink_crosses_the_cut(made: dict[str, bytes], context: BuildContext, some: CardSet) -> None:
    """Tabs bleed over the trim, which here would be onto the next card."""
    with pikepdf.open(io.BytesIO(made["cut"])) as read:
        for page in read.pages[2:]:
            shows = page.Contents.read_bytes().decode().splitlines()
            faces = [line for line in shows if not line.startswith("/Artifact")]
            assert faces
            assert all(" re W n " in line for line in faces)


def test_headings_begin_at_level_1_and_skip_none(made: dict[str, bytes]) -> None:
    """ISO 14289-1, 7.4.2."""
    for kind, data in made.items():
        with pikepdf.open(io.BytesIO(data)) as read:
            levels: list[int] = []

            def walk(element: pikepdf.Object, levels: list[int] = levels) -> None:
                name = str(element.S)
                if name[:2] == "/H" and name[2:].isdigit():
                    levels.append(int(name[2:]))
                for kid in element.K:
                    if "/S" in kid:
                        walk(kid, levels)

            walk(read.Root.StructTreeRoot.K[0])
        assert levels[0] == 1, kind
        assert all(after <= before + 1 for before, after in itertools.pairwise(levels)), kind


def test_the_code_of_a_tab_keeps_a_millimeter_from_the_trim(
    context: BuildContext, some: CardSet, made: dict[str, bytes]
) -> None:
    number = next(at for at, face in enumerate(some.faces) if face.code == "FLM1" and face.number % 2)
    dots = 300 / 25.4
    page = np.asarray(
        pypdfium2.PdfDocument(made["faces"])[number].render(scale=300 / 72).to_pil().convert("L")
    )
    entry = some.faces[number].entry
    top = 14.0 + 10.3 * (entry - 1)
    band = page[round((top + 1) * dots) : round((top + 8.8) * dots)]
    right = band.shape[1]
    assert (band[:, right - round(0.95 * dots) :] > 200).all(), "nothing within a millimeter of the trim"
    assert (band[:, right - round(3.4 * dots) : right - round(1 * dots)] < 100).any(), (
        "and the code beyond it"
    )


def test_a_set_of_one_leaf_lies_on_one_sheet(context: BuildContext, some: CardSet) -> None:
    one = replace(some, faces=some.faces[:2])
    (cut,) = [entry for entry in set_documents(context, one, ("letter",), faces=False) if entry.kind == "cut"]
    assert cut.printed.pages == 4
