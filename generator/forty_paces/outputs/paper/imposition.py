"""Cards on sheets: how many a sheet holds, where each stands, which lies behind which.

In: a finished size, a sheet of paper, a number of faces. Out: the places of all
faces on the fronts and backs of sheets, the marks to cut and fold along, and the
edge over which the sheet is turned. Refuses to know what is on a face.

Backs are mirrored from left to right: a portrait sheet is turned over its long
edge and a landscape sheet over its short edge, and in both the right column of
the front lies behind the left column of the back. The block of cards is centered,
so that a front and its back fall on one another.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.outputs.paper.sheets import PaperSize

SPARE_MM = 12.7
"""A sheet must be this much larger than the block of cards, in both directions."""
GUTTER_MM = 6.0
"""Between cards: 3 mm of bleed on either side."""
MARK_GAP_MM = 3.0
"""Crop marks keep this far from the trim, clear of the bleed."""
MARK_MM = 5.0
"""Length of a crop mark, less where the sheet ends."""
EDGE_MM = 1.0
"""Nothing is drawn this close to the edge of the sheet."""


class SheetTooSmall(ValueError):
    """Not even one card fits the sheet with its marks."""


@dataclass(frozen=True, slots=True)
class ImposedFace:
    """The place of one face."""

    face: int
    "Place of the face in the set, from 0."
    left_mm: float
    top_mm: float


@dataclass(frozen=True, slots=True)
class SheetSide:
    """One side of one sheet."""

    sheet: int
    "From 1."
    back: bool
    cells: tuple[ImposedFace, ...]


@dataclass(frozen=True, slots=True)
class CropMark:
    """A straight mark."""

    x1_mm: float
    y1_mm: float
    x2_mm: float
    y2_mm: float
    fold: bool = False
    "Dashed: fold here, do not cut."


@dataclass(frozen=True, slots=True)
class Imposition:
    """How cards of one size lie on one paper."""

    card: PaperSize
    paper: PaperSize
    "As it lies: its width is the width of the page."
    columns: int
    rows: int
    folded: bool
    "Front and back side by side on one side of the sheet, folded between them."

    @property
    def across_mm(self) -> float:
        """Width of one card with, where folded, its back beside it."""
        return self.card.width_mm * (2 if self.folded else 1)

    @property
    def block_mm(self) -> tuple[float, float]:
        """Width and height of the block of cards."""
        return (
            _extent(self.across_mm, self.columns),
            _extent(self.card.height_mm, self.rows),
        )

    @property
    def origin_mm(self) -> tuple[float, float]:
        """Top left corner of the block."""
        width, height = self.block_mm
        return (self.paper.width_mm - width) / 2, (self.paper.height_mm - height) / 2

    @property
    def turn(self) -> str:
        """Over which edge the printer, or the hand, must turn the sheet."""
        return "short edge" if self.paper.width_mm > self.paper.height_mm else "long edge"

    @property
    def cards_a_sheet(self) -> int:
        """How many cards, each with a front and a back."""
        return self.columns * self.rows

    def corner_mm(self, column: int, row: int) -> tuple[float, float]:
        """Top left corner of the card in a column and row, from 0."""
        left, top = self.origin_mm
        return (
            round(left + column * (self.across_mm + GUTTER_MM), 4),
            round(top + row * (self.card.height_mm + GUTTER_MM), 4),
        )

    def sides(self, faces: int) -> tuple[SheetSide, ...]:
        """The sides to print for so many faces: fronts and backs in turn; where folded, fronts alone."""
        return tuple(self._sides(faces))

    def _sides(self, faces: int) -> Iterator[SheetSide]:
        cards = (faces + 1) // 2
        for first in range(0, cards, self.cards_a_sheet):
            here = range(first, min(first + self.cards_a_sheet, cards))
            sheet = first // self.cards_a_sheet + 1
            if self.folded:
                yield SheetSide(sheet, False, tuple(self._panels(here, faces)))
            else:
                yield SheetSide(sheet, False, tuple(self._cells(here, faces, back=False)))
                yield SheetSide(sheet, True, tuple(self._cells(here, faces, back=True)))

    def _cells(self, cards: range, faces: int, *, back: bool) -> Iterator[ImposedFace]:
        for card in cards:
            row, column = divmod(card - cards.start, self.columns)
            face = 2 * card + back
            if face < faces:
                yield ImposedFace(face, *self.corner_mm(self.columns - 1 - column if back else column, row))

    def _panels(self, cards: range, faces: int) -> Iterator[ImposedFace]:
        for card in cards:
            row, column = divmod(card - cards.start, self.columns)
            left, top = self.corner_mm(column, row)
            yield ImposedFace(2 * card, left, top)
            if 2 * card + 1 < faces:
                yield ImposedFace(2 * card + 1, round(left + self.card.width_mm, 4), top)

    def marks(self) -> tuple[CropMark, ...]:
        """Crop marks at the ends of every cut, and fold marks: all outside the block of cards."""
        return (*self._marks_across(), *self._marks_down())

    def _marks_across(self) -> Iterator[CropMark]:
        """Upright marks above and below the block, for the cuts that run down the sheet."""
        _, top = self.origin_mm
        bottom = top + self.block_mm[1]
        for column in range(self.columns):
            left, _ = self.corner_mm(column, 0)
            cuts = [(left, False), (left + self.across_mm, False)]
            if self.folded:
                cuts.append((left + self.card.width_mm, True))
            for x, fold in cuts:
                yield CropMark(x, top - MARK_GAP_MM, x, max(EDGE_MM, top - MARK_GAP_MM - MARK_MM), fold)
                yield CropMark(
                    x,
                    bottom + MARK_GAP_MM,
                    x,
                    min(self.paper.height_mm - EDGE_MM, bottom + MARK_GAP_MM + MARK_MM),
                    fold,
                )

    def _marks_down(self) -> Iterator[CropMark]:
        """Level marks left and right of the block, for the cuts that run across the sheet."""
        left, _ = self.origin_mm
        right = left + self.block_mm[0]
        for row in range(self.rows):
            _, top = self.corner_mm(0, row)
            for y in (top, top + self.card.height_mm):
                yield CropMark(left - MARK_GAP_MM, y, max(EDGE_MM, left - MARK_GAP_MM - MARK_MM), y)
                end = min(self.paper.width_mm - EDGE_MM, right + MARK_GAP_MM + MARK_MM)
                yield CropMark(right + MARK_GAP_MM, y, end, y)


def impose(card: PaperSize, paper: PaperSize, *, folded: bool = False) -> Imposition:
    """The way of lying that puts most cards on a sheet; upright where both ways hold as many.

    :class:`SheetTooSmall` where none fits.
    """
    tried = [_lying(card, sheet, folded) for sheet in (paper, paper.turned)]
    best = max(tried, key=lambda one: one.cards_a_sheet)
    if best.cards_a_sheet == 0:
        raise SheetTooSmall(f"{card.title} does not fit on {paper.title} with its crop marks")
    return best


def _lying(card: PaperSize, paper: PaperSize, folded: bool) -> Imposition:
    across = card.width_mm * (2 if folded else 1)
    return Imposition(
        card, paper, _count(across, paper.width_mm), _count(card.height_mm, paper.height_mm), folded
    )


def _count(length_mm: float, room_mm: float) -> int:
    count = 0
    while _extent(length_mm, count + 1) + SPARE_MM <= room_mm + 1e-9:
        count += 1
    return count


def _extent(length_mm: float, count: int) -> float:
    return length_mm * count + GUTTER_MM * max(0, count - 1)


def marks_html(imposition: Imposition) -> str:
    """The marks of one side, to be styled by :func:`sheet_css`. Drawn by borders: readers aloud skip them."""
    return "".join(
        f'<div class="mark mark-{number}{" mark-fold" if mark.fold else ""}"></div>'
        for number, mark in enumerate(imposition.marks(), 1)
    )


def sheet_css(imposition: Imposition) -> str:
    """Places of marks and cells, as CSS classes: no element carries a style of its own."""
    paper, card = imposition.paper, imposition.card
    rules = [
        f".sheet{{overflow:hidden;width:{paper.width_mm:g}mm;height:{paper.height_mm - 0.05:g}mm}}",
        f".cell{{position:absolute;width:{card.width_mm:g}mm;height:{card.height_mm:g}mm}}",
        ".mark{position:absolute}",
    ]
    rules += [_mark_rule(number, mark) for number, mark in enumerate(imposition.marks(), 1)]
    rules += [
        f".{cell_class(cell)}{{left:{cell.left_mm:g}mm;top:{cell.top_mm:g}mm}}"
        for cell in {cell_class(cell): cell for cell in _every_cell(imposition)}.values()
    ]
    return "\n".join(rules)


def cell_class(cell: ImposedFace) -> str:
    """The class that puts a face in its place."""
    return f"at-{cell.left_mm * 100:.0f}-{cell.top_mm * 100:.0f}"


def _every_cell(imposition: Imposition) -> Iterator[ImposedFace]:
    for side in imposition.sides(2 * imposition.cards_a_sheet):
        yield from side.cells


def _mark_rule(number: int, mark: CropMark) -> str:
    left, top = min(mark.x1_mm, mark.x2_mm), min(mark.y1_mm, mark.y2_mm)
    kind, wide = ("dashed", _FOLD_MM) if mark.fold else ("solid", _LINE_MM)
    if mark.x1_mm == mark.x2_mm:
        size = f"height:{abs(mark.y2_mm - mark.y1_mm):.4f}mm;border-left:{wide}mm {kind} #111"
        left -= wide / 2
    else:
        size = f"width:{abs(mark.x2_mm - mark.x1_mm):.4f}mm;border-top:{wide}mm {kind} #111"
        top -= wide / 2
    return f".mark-{number}{{left:{left:.4f}mm;top:{top:.4f}mm;{size}}}"


_LINE_MM = 0.2
"Width of a mark, centered on the cut."
_FOLD_MM = 0.3
"Width of a fold mark: its dashes are short, so it is drawn a little stronger."
