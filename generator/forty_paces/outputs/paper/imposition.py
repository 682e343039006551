"""Imposition of cards on sheets: positions of the faces, crop and fold marks, and the edge to flip on.

Backs are mirrored left to right: a portrait sheet is flipped on its long edge and a landscape sheet on its
short edge, and in both cases the right column of the front lies behind the left column of the back. The block
of cards is centered, so that fronts and backs coincide.

A whole sheet is covered by cards that touch, in two columns: one straight cut parts them. The right column
is turned, so that bound edges, where nothing is printed near the trim, lie at the edges of the sheet. Cut
piles are laid on one another, so that their leaves are in order.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.messages.cards import WORDS
from forty_paces.outputs.paper.sheets import PaperSize

SPARE_MM = 12.7
"""A sheet must exceed the block of cards by at least this much in both directions."""
WORDS_MM = 34.0
"""The same in height where folded cards would fill the sheet: for words and rulers above and below."""
GUTTER_MM = 6.0
"""Between cards: 3 mm of bleed on either side."""
MARK_GAP_MM = 3.0
"""Distance of crop marks from the trim, clear of the bleed."""
MARK_MM = 5.0
"""Length of a crop mark; shorter where the sheet ends."""
WASTE_MM = 1.0
"""Cards that cover a sheet leave no more of it than this: two A5 are 1 mm narrower than A4 is long."""
EDGE_MM = 1.0
"""Nothing is drawn closer than this to the edge of the sheet."""


class SheetTooSmall(ValueError):
    """Not even one card fits on the sheet with its marks."""


@dataclass(frozen=True, slots=True)
class ImposedFace:
    """The position of one face on a sheet."""

    face: int
    "Index of the face in the set, from 0."
    left_mm: float
    top_mm: float
    turned: bool = False
    "Upside down."


@dataclass(frozen=True, slots=True)
class SheetSide:
    """One side of one sheet."""

    sheet: int
    "Number of the sheet, from 1."
    back: bool
    cells: tuple[ImposedFace, ...]


@dataclass(frozen=True, slots=True)
class CropMark:
    """A straight crop or fold mark."""

    x1_mm: float
    y1_mm: float
    x2_mm: float
    y2_mm: float
    fold: bool = False
    "A dashed fold mark instead of a crop mark."


@dataclass(frozen=True, slots=True)
class Imposition:
    """The arrangement of cards of one size on one paper."""

    card: PaperSize
    paper: PaperSize
    "As oriented: its width is the width of the page."
    columns: int
    rows: int
    folded: bool
    "Front and back side by side on one side of the sheet, with a fold between them."
    whole: bool = False
    "The cards touch and cover the sheet."
    metric: bool = False
    "Its ruler and sizes are in millimeters alone."

    @property
    def gutter_mm(self) -> float:
        """Distance between cards."""
        return 0.0 if self.whole else GUTTER_MM

    @property
    def across_mm(self) -> float:
        """Width of one card; if folded, of the card and its back beside it."""
        return self.card.width_mm * (2 if self.folded else 1)

    @property
    def block_mm(self) -> tuple[float, float]:
        """Width and height of the block of cards."""
        return (
            _extent(self.across_mm, self.columns, self.gutter_mm),
            _extent(self.card.height_mm, self.rows, self.gutter_mm),
        )

    @property
    def origin_mm(self) -> tuple[float, float]:
        """Top left corner of the block."""
        width, height = self.block_mm
        return (self.paper.width_mm - width) / 2, (self.paper.height_mm - height) / 2

    @property
    def turn(self) -> str:
        """The edge to flip the sheet on, in words: 'long edge' or 'short edge'."""
        return WORDS["short-edge" if self.paper.width_mm > self.paper.height_mm else "long-edge"]

    @property
    def cards_a_sheet(self) -> int:
        """Number of cards on a sheet, each with a front and a back."""
        return self.columns * self.rows

    def corner_mm(self, column: int, row: int) -> tuple[float, float]:
        """Top left corner of the card in a column and row, both from 0."""
        left, top = self.origin_mm
        return (
            round(left + column * (self.across_mm + self.gutter_mm), 4),
            round(top + row * (self.card.height_mm + self.gutter_mm), 4),
        )

    def sides(self, faces: int) -> tuple[SheetSide, ...]:
        """The sides to print for ``faces`` faces: fronts and backs alternate; if folded, fronts only."""
        return tuple(self._sides(faces))

    def _sides(self, faces: int) -> Iterator[SheetSide]:
        cards = (faces + 1) // 2
        sheets = -(-cards // self.cards_a_sheet)
        for sheet in range(1, sheets + 1):
            if self.whole:
                here = range(sheet - 1, cards, sheets)
            else:
                first = (sheet - 1) * self.cards_a_sheet
                here = range(first, min(first + self.cards_a_sheet, cards))
            if self.folded:
                yield SheetSide(sheet, False, tuple(self._panels(here, faces)))
            else:
                yield SheetSide(sheet, False, tuple(self._cells(here, faces, back=False)))
                yield SheetSide(sheet, True, tuple(self._cells(here, faces, back=True)))

    def _cells(self, cards: range, faces: int, *, back: bool) -> Iterator[ImposedFace]:
        for place, card in enumerate(cards):
            row, column = divmod(place, self.columns)
            face = 2 * card + back
            if face < faces:
                corner = self.corner_mm(self.columns - 1 - column if back else column, row)
                yield ImposedFace(face, *corner, turned=self.whole and column % 2 == 1)

    def _panels(self, cards: range, faces: int) -> Iterator[ImposedFace]:
        for card in cards:
            row, column = divmod(card - cards.start, self.columns)
            left, top = self.corner_mm(column, row)
            yield ImposedFace(2 * card, left, top)
            if 2 * card + 1 < faces:
                yield ImposedFace(2 * card + 1, round(left + self.card.width_mm, 4), top)

    def marks(self) -> tuple[CropMark, ...]:
        """Crop marks at the ends of every cut, and fold marks; all are outside the block of cards.

        On a whole sheet a mark stands on each cut itself, at the edge of the sheet.
        """
        if self.whole:
            return tuple(self._marks_on_cuts())
        return (*self._marks_across(), *self._marks_down())

    def _marks_on_cuts(self) -> Iterator[CropMark]:
        width, height = self.paper.width_mm, self.paper.height_mm
        for column in range(1, self.columns):
            x, _ = self.corner_mm(column, 0)
            for edge, inner in ((EDGE_MM, EDGE_MM + MARK_MM), (height - EDGE_MM - MARK_MM, height - EDGE_MM)):
                yield CropMark(x, edge, x, inner)
        for row in range(1, self.rows):
            _, y = self.corner_mm(0, row)
            for edge, inner in ((EDGE_MM, EDGE_MM + MARK_MM), (width - EDGE_MM - MARK_MM, width - EDGE_MM)):
                yield CropMark(edge, y, inner, y)

    def _marks_across(self) -> Iterator[CropMark]:
        """Vertical marks above and below the block, for the vertical cuts."""
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
        """Horizontal marks left and right of the block, for the horizontal cuts."""
        left, _ = self.origin_mm
        right = left + self.block_mm[0]
        for row in range(self.rows):
            _, top = self.corner_mm(0, row)
            for y in (top, top + self.card.height_mm):
                yield CropMark(left - MARK_GAP_MM, y, max(EDGE_MM, left - MARK_GAP_MM - MARK_MM), y)
                end = min(self.paper.width_mm - EDGE_MM, right + MARK_GAP_MM + MARK_MM)
                yield CropMark(right + MARK_GAP_MM, y, end, y)


def impose(card: PaperSize, paper: PaperSize, *, folded: bool = False) -> Imposition:
    """The sheet orientation that holds the most cards; the paper's own orientation in a tie.

    Raises :class:`SheetTooSmall` if not even one card fits.
    """
    tried = [_lying(card, sheet, folded) for sheet in (paper, paper.turned)]
    best = max(tried, key=lambda plan: plan.cards_a_sheet)
    if best.cards_a_sheet == 0:
        raise SheetTooSmall(f"{card.title} does not fit on {paper.title} with its crop marks")
    return best


def impose_whole(card: PaperSize, paper: PaperSize) -> Imposition | None:
    """Cards in two columns that cover the sheet, or None where they leave more than a little of it."""
    for sheet in (paper, paper.turned):
        rows = int(sheet.height_mm // card.height_mm)
        plan = Imposition(card, sheet, 2, rows, folded=False, whole=True)
        over = (sheet.width_mm - plan.block_mm[0], sheet.height_mm - plan.block_mm[1])
        if rows and all(0 <= round(one, 3) <= WASTE_MM for one in over):
            return plan
    return None


def _lying(card: PaperSize, paper: PaperSize, folded: bool) -> Imposition:
    across = card.width_mm * (2 if folded else 1)
    return Imposition(
        card,
        paper,
        _count(across, paper.width_mm),
        _count(card.height_mm, paper.height_mm, WORDS_MM if folded else SPARE_MM),
        folded,
    )


def _count(length_mm: float, room_mm: float, spare_mm: float = SPARE_MM) -> int:
    count = 0
    while _extent(length_mm, count + 1) + spare_mm <= room_mm + 1e-9:
        count += 1
    return count


def _extent(length_mm: float, count: int, gutter_mm: float = GUTTER_MM) -> float:
    return length_mm * count + gutter_mm * max(0, count - 1)


def marks_html(imposition: Imposition) -> str:
    """The marks of one side, styled by :func:`sheet_css`. Drawn as borders, so screen readers skip them."""
    return "".join(
        f'<div class="mark mark-{number}{" mark-fold" if mark.fold else ""}"></div>'
        for number, mark in enumerate(imposition.marks(), 1)
    )


def sheet_css(imposition: Imposition) -> str:
    """Positions of marks and cells as CSS classes, so that no element needs a style attribute."""
    paper, card = imposition.paper, imposition.card
    rules = [
        f".sheet{{overflow:hidden;width:{paper.width_mm:g}mm;height:{paper.height_mm - 0.05:g}mm}}",
        f".cell{{position:absolute;width:{card.width_mm:g}mm;height:{card.height_mm:g}mm}}",
        ".mark{position:absolute}",
        ".turned{transform:rotate(180deg)}",
        ".cell{overflow:hidden}" if imposition.whole else "",  # bleed would lie on the next card
    ]
    rules += [_mark_rule(number, mark) for number, mark in enumerate(imposition.marks(), 1)]
    rules += [
        f".{place_class(cell)}{{left:{cell.left_mm:g}mm;top:{cell.top_mm:g}mm}}"
        for cell in {place_class(cell): cell for cell in _every_cell(imposition)}.values()
    ]
    return "\n".join(rules)


def cell_class(cell: ImposedFace) -> str:
    """The CSS classes that position a face."""
    return place_class(cell) + (" turned" if cell.turned else "")


def place_class(cell: ImposedFace) -> str:
    """The CSS class for its corner."""
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
"Width of a crop mark, centered on the cut."
_FOLD_MM = 0.3
"Width of a fold mark: slightly heavier, because its dashes are short."
