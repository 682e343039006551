"""Imposition places every back behind its front."""

from __future__ import annotations

import itertools

import pytest
from forty_paces.outputs.paper.imposition import (
    MARK_GAP_MM,
    SPARE_MM,
    ImposedFace,
    SheetTooSmall,
    impose,
    sheet_css,
)
from forty_paces.outputs.paper.sheets import PAPERS, PaperSize
from hypothesis import given
from hypothesis import strategies as st

COUNTS = [
    # card, paper, folded, columns, rows, landscape: computed by hand from the sizes with 6 mm between cards
    ("half-letter", "letter", False, 1, 1, False),
    ("half-letter", "a4", False, 1, 1, False),
    ("a5", "letter", False, 1, 1, False),
    ("a5", "a4", False, 1, 1, False),
    ("a6", "letter", False, 2, 1, True),
    ("a6", "a4", False, 2, 1, True),
    ("3x5", "letter", False, 2, 2, True),
    ("3x5", "a4", False, 2, 2, True),
    ("id-1", "letter", False, 2, 5, False),
    ("id-1", "a4", False, 2, 5, False),
    ("id-1", "letter", True, 1, 4, False),
    ("a6", "letter", True, 1, 1, True),
]


@pytest.mark.parametrize(("card", "paper", "folded", "columns", "rows", "lying"), COUNTS)
def test_a_sheet_holds_as_many_cards_as_worked_out(
    card: str, paper: str, folded: bool, columns: int, rows: int, lying: bool
) -> None:
    plan = impose(PAPERS[card], PAPERS[paper], folded=folded)
    assert (columns, rows) == (plan.columns, plan.rows)
    assert lying == (plan.paper.width_mm > plan.paper.height_mm)


def test_a_card_as_large_as_its_sheet_is_refused() -> None:
    with pytest.raises(SheetTooSmall, match="does not fit on A5"):
        impose(PAPERS["a5"], PAPERS["a5"])


def test_an_upright_sheet_turns_on_its_long_edge_and_a_lying_one_on_its_short_edge() -> None:
    assert impose(PAPERS["half-letter"], PAPERS["letter"]).turn == "long edge"
    assert impose(PAPERS["a6"], PAPERS["letter"]).turn == "short edge"


cards = st.sampled_from([PAPERS[name] for name in ("a6", "3x5", "half-letter", "a5", "id-1")])
papers = st.sampled_from([PAPERS[name] for name in ("letter", "a4", "tabloid", "a3")])
faces = st.integers(1, 60)


@given(cards, papers, faces, st.booleans())
def test_every_face_stands_once_and_within_the_sheet_with_room_for_its_marks(
    card: PaperSize, paper: PaperSize, count: int, folded: bool
) -> None:
    try:
        plan = impose(card, paper, folded=folded)
    except SheetTooSmall:
        assert folded  # every size fits every paper flat; two side by side may not
        return
    sides = plan.sides(count)
    assert list(range(count)) == sorted(cell.face for side in sides for cell in side.cells)
    width, height = plan.block_mm
    assert width + SPARE_MM <= plan.paper.width_mm + 1e-6
    assert height + SPARE_MM <= plan.paper.height_mm + 1e-6
    for side in sides:
        for cell in side.cells:
            assert 0 < cell.left_mm < cell.left_mm + card.width_mm < plan.paper.width_mm
            assert 0 < cell.top_mm < cell.top_mm + card.height_mm < plan.paper.height_mm
        for one, other in itertools.combinations(side.cells, 2):
            assert _apart(one, other, card) >= (0 if folded else 2 * MARK_GAP_MM) - 1e-6


@given(cards, papers, faces)
def test_each_back_lies_exactly_behind_its_front(card: PaperSize, paper: PaperSize, count: int) -> None:
    plan = impose(card, paper)
    sides = plan.sides(count)
    for front, back in zip(sides[::2], sides[1::2], strict=True):
        assert (front.back, back.back) == (False, True)
        places = {cell.face: cell for cell in front.cells}
        for cell in back.cells:
            before = places[cell.face - 1]
            seen_through = plan.paper.width_mm - cell.left_mm - card.width_mm
            assert before.left_mm == pytest.approx(seen_through, abs=0.001)
            assert before.top_mm == pytest.approx(cell.top_mm, abs=0.001)


@given(cards, papers, st.booleans())
def test_no_mark_touches_a_card_or_runs_off_the_sheet(
    card: PaperSize, paper: PaperSize, folded: bool
) -> None:
    try:
        plan = impose(card, paper, folded=folded)
    except SheetTooSmall:
        return
    marks = plan.marks()
    assert len([mark for mark in marks if not mark.fold]) == 4 * (plan.columns + plan.rows)
    assert len([mark for mark in marks if mark.fold]) == (2 * plan.columns if folded else 0)
    left, top = plan.origin_mm
    right, bottom = left + plan.block_mm[0], top + plan.block_mm[1]
    for mark in marks:
        for x, y in ((mark.x1_mm, mark.y1_mm), (mark.x2_mm, mark.y2_mm)):
            assert 0 <= x <= plan.paper.width_mm
            assert 0 <= y <= plan.paper.height_mm
            outside = max(left - x, x - right, top - y, y - bottom)
            assert outside >= MARK_GAP_MM - 1e-6


def test_fold_marks_stand_at_the_edge_between_two_panels_with_no_text_for_4_mm() -> None:
    plan = impose(PAPERS["id-1"], PAPERS["letter"], folded=True)
    first, second = plan.sides(2)[0].cells
    (fold,) = {mark.x1_mm for mark in plan.marks() if mark.fold}
    assert fold == pytest.approx(second.left_mm)
    assert fold == pytest.approx(first.left_mm + PAPERS["id-1"].width_mm)


def test_places_are_classes_so_that_no_element_carries_a_style() -> None:
    plan = impose(PAPERS["3x5"], PAPERS["letter"])
    css = sheet_css(plan)
    assert css.count("{left:") == len(plan.marks()) + plan.cards_a_sheet


def _apart(one: ImposedFace, other: ImposedFace, card: PaperSize) -> float:
    across = abs(one.left_mm - other.left_mm) - card.width_mm
    down = abs(one.top_mm - other.top_mm) - card.height_mm
    return max(across, down)
