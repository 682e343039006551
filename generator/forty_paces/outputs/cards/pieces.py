"""Lay out the pieces of all card documents once, and assemble the PDFs from them.

The pieces are the body of each face, its margins, the frame of each kind of sheet, and the line that says
which sheet it is. Vehicles whose steps are the same share the bodies of their faces; only foot, code and tab
differ.
"""

from __future__ import annotations

import zlib
from collections.abc import Hashable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from forty_paces.outputs.cards.card_set import CardSet, Face
from forty_paces.outputs.cards.card_style import CARDS
from forty_paces.outputs.cards.documents import (
    SHEETS,
    CatalogEntry,
    check_html,
    check_sides,
    frame_css,
    frame_html,
    set_css,
    sheet_words_html,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.progress import NO_PROGRESS, ProgressListener
from forty_paces.outputs.common.qr import qr_operators
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.assembly import Stock
from forty_paces.outputs.paper.composed import PT, Cell, ComposedDocument, ComposedPage, DrawnPiece
from forty_paces.outputs.paper.imposition import Imposition
from forty_paces.outputs.paper.sheets import NO_MARGINS, Margins, PaperDocument, document_html

BLEED_MM = 3.0
"How far tabs are printed beyond the trim."
_PAGES_A_JOB = 40
"Most pieces laid out together. It is fixed, so that the bytes do not depend on the processors."
_GROUPS_A_JOB = 10
"How many groups of pieces are laid out together on average."
_SEE_THROUGH = "body,.face{background:none}"
"Pieces lie over one another."
_BLEED = f"@page{{bleed:{BLEED_MM:g}mm}}.page{{overflow:visible}}"


@dataclass(frozen=True, slots=True)
class _Form:
    """What pieces are laid out with."""

    size: str = ""
    "Size of the card; empty for the frame of a sheet."
    plan: Imposition | None = None
    "The sheet that it frames."
    tagged: bool = True


@dataclass(frozen=True, slots=True)
class _Piece:
    form: _Form
    html: str
    group: str = ""
    "What changes together: the bodies of one card in all sets, or its margins."


@dataclass(frozen=True, slots=True)
class _Code:
    """The QR code of a face at its place. It is drawn: laid out, it would take as long as all else there."""

    size: str
    back: bool
    text: str

    def drawn(self) -> DrawnPiece:
        card = CARDS[self.size]
        width, height = card.paper.width_mm, card.paper.height_mm
        left, _, right, bottom = box = card.qr_box_mm(back=self.back)
        return DrawnPiece(
            width,
            height,
            qr_operators(self.text, (right - left) * PT, left * PT, (height - bottom) * PT),
            self.text,
            box,
        )


def card_pdfs(
    context: BuildContext,
    entries: Iterable[CatalogEntry],
    watch: ProgressListener = NO_PROGRESS,
    *,
    processes: int | None = None,
) -> Iterator[bytes]:
    """The PDF of each document, in order. Every piece is laid out once, however many documents show it."""
    wanted = tuple(entries)
    if not wanted:  # what lays out and joins takes long to import
        return
    pages = {at: tuple(_pages(entry)) for at, entry in enumerate(wanted) if entry.cards is not None}
    keys: list[tuple[Hashable, ...]] = []
    jobs = []
    for some, job in _jobs(context, _pieces(page for shown in pages.values() for page in shown)):
        keys.append(some)
        jobs.append(job)
    for at, entry in enumerate(wanted):
        if at not in pages:  # laid out as it is; only its assembly is the same
            keys.append(tuple((at, number) for number in range(entry.printed.pages)))
            jobs.append(pdf.LayoutJob(entry.printed.html, entry.printed.pages, whole_fonts=False))
    codes: dict[Hashable, DrawnPiece] = {
        code: code.drawn() for shown in pages.values() for code in _codes(shown)
    }
    stock = Stock(zip(keys, pdf.layouts(jobs, watch, processes=processes), strict=True), codes)
    edition = context.library.edition
    subject = f"Edition {edition.id} of {edition.date.isoformat()}, {edition.signature}"
    for at, entry in enumerate(wanted):
        own = (stock.page_of((at, number)) for number in range(entry.printed.pages))
        shown = pages[at] if at in pages else tuple(own)
        yield stock.assemble(ComposedDocument(entry.printed.title, subject, shown))


def _pages(entry: CatalogEntry) -> Iterator[ComposedPage]:
    """The pages of a card set, a face a page or on sheets."""
    cards, plan = entry.cards, entry.plan
    assert cards is not None, "test sheets and posters are laid out as they are"
    if plan is None:
        size = cards.card.paper
        for face in cards.faces:
            cell = Cell(_of_face(cards, face), 0, 0)
            yield ComposedPage(size.width_mm, size.height_mm, (cell,), None, BLEED_MM, BLEED_MM)
        return
    sides = plan.sides(len(cards.sides))
    frame = Cell((_Piece(_Form(plan=plan, tagged=False), frame_html(plan, "sheet")),), 0, 0)
    for side in check_sides(plan) if plan.whole else ():
        yield _page(plan, (frame, _words_on(plan, check_html(plan, side, cards.since))))
    for side in sides:
        faces = tuple(
            Cell(_of_face(cards, shown), cell.left_mm, cell.top_mm, cell.turned, plan.whole)
            for cell in side.cells
            if (shown := cards.sides[cell.face])
        )
        if plan.whole:
            yield _page(plan, (*faces, frame))
        else:
            line = html_with_no_break_spaces(sheet_words_html(plan, side, sides, cards.since))
            yield _page(plan, (frame, _words_on(plan, line), *faces))


def _words_on(plan: Imposition, html: str) -> Cell:
    return Cell((_Piece(_Form(plan=plan), html),), 0, 0)


def _page(plan: Imposition, cells: tuple[Cell, ...]) -> ComposedPage:
    """A side of a sheet, of which the block of cards is cut out."""
    (left, top), (width, height) = plan.origin_mm, plan.block_mm
    return ComposedPage(
        plan.paper.width_mm,
        plan.paper.height_mm,
        cells,
        (left, top, left + width, top + height),
        0.0 if plan.whole else BLEED_MM,
    )


def _of_face(cards: CardSet, face: Face) -> tuple[_Piece | _Code, ...]:
    form = _Form(cards.size)
    code = _Code(cards.size, not face.number % 2, face.qr_text)
    body = _Piece(form, face.body_html, f"body {face.code}")
    return body, _Piece(form, face.margin_html, f"margin {face.code}"), code


def _codes(pages: Iterable[ComposedPage]) -> Iterator[_Code]:
    for page in pages:
        for cell in page.cells:
            yield from (piece for piece in cell.pieces if isinstance(piece, _Code))


def _pieces(pages: Iterable[ComposedPage]) -> dict[_Form, list[_Piece]]:
    """Every piece to lay out once, in the order in which they first occur, by what they are laid out with."""
    found: dict[_Form, dict[_Piece, None]] = {}
    for page in pages:
        for cell in page.cells:
            for piece in cell.pieces:
                if isinstance(piece, _Piece):
                    found.setdefault(piece.form, {})[piece] = None
    return {form: list(pieces) for form, pieces in found.items()}


def _jobs(
    context: BuildContext, pieces: dict[_Form, list[_Piece]]
) -> Iterator[tuple[tuple[_Piece, ...], pdf.LayoutJob]]:
    letters = "".join(sorted({sign for some in pieces.values() for piece in some for sign in piece.html}))
    for form, some in pieces.items():
        for together in _together(some):
            yield together, _job(context, form, together, letters)


def _together(pieces: Iterable[_Piece]) -> Iterator[tuple[_Piece, ...]]:
    """Pieces by groups, cut where a hash of a group's name says.

    So a card that is changed, added or left out changes the job that it is in, and others stay as an earlier
    build has kept them.
    """
    groups: dict[str, list[_Piece]] = {}
    for piece in pieces:
        groups.setdefault(piece.group, []).append(piece)
    job: list[_Piece] = []
    for name in sorted(groups, key=lambda name: name.partition(" ")[0]):
        for piece in groups[name]:
            if len(job) == _PAGES_A_JOB:
                yield tuple(job)
                job = []
            job.append(piece)
        if not zlib.crc32(name.encode()) % _GROUPS_A_JOB:
            yield tuple(job)
            job = []
    if job:
        yield tuple(job)


def _job(context: BuildContext, form: _Form, pieces: Sequence[_Piece], letters: str) -> pdf.LayoutJob:
    """One document of pieces. All have the same ``letters``, and so the same fonts."""
    kind = "page" if form.plan is None else "page sheet"
    body = "\n".join(f'<div class="{kind}">{piece.html}</div>' for piece in pieces)
    if form.plan is not None:
        document = PaperDocument(
            "", form.plan.paper, body, NO_MARGINS, f"{frame_css(form.plan)}{_SEE_THROUGH}", SHEETS
        )
    else:
        card = CARDS[form.size]
        style = f"{set_css(context, card, (piece.html for piece in pieces))}\n{_BLEED}{_SEE_THROUGH}"
        document = PaperDocument("", card.paper, body, Margins(0, 0, card.bottom_mm, 0), style, SHEETS)
    return pdf.LayoutJob(document_html(context, document, letters), len(pieces), form.tagged)
