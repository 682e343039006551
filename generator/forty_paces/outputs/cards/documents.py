"""Printable documents of card sets: one face a page, imposed sheets, folded wallet cards, and test sheets.

The documents are plain values, so any process can convert them to PDF.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from markupsafe import escape

from forty_paces.drawing.symbols import SIGNALS, symbol_svg
from forty_paces.messages.cards import WORDS
from forty_paces.outputs.cards import card_style
from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.card_style import Card
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.cards.slip import slip_document
from forty_paces.outputs.cards.tabs import tab_css
from forty_paces.outputs.common.context import BuildContext, svg_address
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces
from forty_paces.outputs.paper.imposition import (
    Imposition,
    SheetSide,
    cell_class,
    impose,
    impose_whole,
    marks_html,
    sheet_css,
)
from forty_paces.outputs.paper.rulers import rulers
from forty_paces.outputs.paper.sheets import (
    PAPERS,
    Margins,
    PaperDocument,
    PaperSize,
    PrintDocument,
    document_html,
)

_DRAFT = (
    "M0 0V24H8Q18 24 18 12Q18 0 8 0Z M26 24V0H37Q43 0 43 6.5Q43 13 37 13H26M36 13L44 24 "
    "M50 24L59 0L68 24M53 16H65 M76 24V0H92M76 11H89 M96 0H116M106 0V24"
)
"The strokes of the five letters, 24 high."
_DRAFT_WIDTH = 116.0
_DRAFT_SHARE = 0.64
"Share of the diagonal that the word takes."
_DRAFT_INK = "#d8d8d8"
"Pale: text of #111 on it has a contrast of 13 to 1 (WCAG 2.2, relative luminance)."

_CHECK_CSS = (
    ".cross-across{position:absolute;left:0;right:0;top:50%;border-top:.2mm solid #111}"
    ".cross-down{position:absolute;top:0;bottom:0;left:50%;border-left:.2mm solid #111}"
    ".check-pile,.check-words{position:relative;margin:0 20mm;padding-top:4mm;background:#fff;"
    "font-size:12pt;line-height:15.6pt}"
    ".check-pile{padding-top:12mm;font-size:16pt;line-height:20.8pt;font-weight:700}"
    ".check-rulers{position:absolute;left:20mm;bottom:20mm;background:#fff}"
    ".check-rulers .rulers{position:static}"
)

_CLASSES = re.compile(r'class="([^"]*)"')

SHEETS = ("cards.css",)
"""Style sheets that every card document needs."""


@dataclass(frozen=True, slots=True)
class CatalogEntry:
    """A document as listed on the page of cards."""

    printed: PrintDocument
    kind: str
    "faces, sheets, cut, fold, slip, test or poster."
    size: str
    paper: str
    owner: str
    "Vehicle id, 'all', or empty."
    cards: CardSet | None = None
    "The set that it shows; None for test sheets and posters."
    plan: Imposition | None = None
    "How the set lies on sheets; None where each face has a page of its own."


def set_documents(
    context: BuildContext,
    cards: CardSet,
    papers: Iterable[str],
    *,
    folder: str = "",
    faces: bool = True,
    own_folder: bool = False,
    slip: bool = False,
    one_up: bool = True,
) -> Iterator[CatalogEntry]:
    """The documents of one card set: its faces, then its sheets to cut or to fold for each of ``papers``.

    Where cards cover a paper edge to edge, there are sheets of these too; without ``one_up`` they alone.
    With ``slip`` the set holds leaves printed again, and each paper has the slip that goes with them.

    File names carry the owner, except in a vehicle's own folder. A set without faces has no documents.
    """
    if not cards.faces:
        return
    wallet = cards.size == WALLET_SIZE
    kind = "fold" if wallet else "sheets"
    stem = f"{folder}{'wallet' if wallet else cards.size}" + (f"-{cards.owner}" if not own_folder else "")
    if faces:
        yield CatalogEntry(faces_document(context, cards, stem), "faces", cards.size, "", cards.owner, cards)
    for paper in papers:
        whole = None if wallet else impose_whole(cards.card.paper, PAPERS[paper])
        if whole is not None:
            whole = replace(whole, metric=context.metric)
            printed = sheets_document(context, cards, whole, PAPERS[paper], f"{stem}-cut-{paper}")
            yield CatalogEntry(printed, "cut", cards.size, paper, cards.owner, cards, whole)
        if whole is None or one_up:
            plan = replace(impose(cards.card.paper, PAPERS[paper], folded=wallet), metric=context.metric)
            printed = sheets_document(context, cards, plan, PAPERS[paper], f"{stem}-{kind}-{paper}")
            yield CatalogEntry(printed, kind, cards.size, paper, cards.owner, cards, plan)
        if slip:
            title = WORDS["to-exchange"].format(title=set_title(context, cards))
            path = f"{stem}-slip-{paper}"
            printed = slip_document(context, cards, title, PAPERS[paper], path)
            yield CatalogEntry(printed, "slip", cards.size, paper, cards.owner)


def faces_document(context: BuildContext, cards: CardSet, path: str) -> PrintDocument:
    """Each face on its own page at the finished size."""
    body = "\n".join(f'<div class="page">{face.html}</div>' for face in cards.faces)
    title = set_title(context, cards)
    document = PaperDocument(
        title,
        cards.card.paper,
        _main(title, body),
        Margins(0, 0, cards.card.bottom_mm, 0),
        f"{set_css(context, cards.card, _faces(cards))}"
        f"\n@media screen{{.page{{padding-bottom:{cards.card.bottom_mm:g}mm}}}}",
        SHEETS,
    )
    return PrintDocument(path, title, document_html(context, document), len(cards.faces))


def sheets_document(
    context: BuildContext, cards: CardSet, plan: Imposition, paper: PaperSize, path: str
) -> PrintDocument:
    """The faces imposed on sheets of ``paper`` as ``plan`` says, with crop and fold marks."""
    sides = plan.sides(len(cards.sides))
    title = WORDS["on-paper"].format(title=set_title(context, cards), paper=paper.named(context.metric))
    shown = [_sheet(plan, side, _faces_on(side, cards), sides, cards.since) for side in sides]
    if plan.whole:
        shown = [*(_check_sheet(plan, side, cards.since) for side in check_sides(plan)), *shown]
    html = _sheet_document(context, cards, plan, title, "\n".join(shown))
    return PrintDocument(path, title, html, len(shown))


def dry_run_document(context: BuildContext, cards: CardSet, paper: PaperSize, path: str) -> PrintDocument:
    """One sheet of empty cards, to check the registration of fronts and backs and the print scale."""
    plan = replace(impose(cards.card.paper, paper), metric=context.metric)
    sides = plan.sides(2 * plan.cards_a_sheet)
    body = "\n".join(_sheet(plan, side, _blanks_on(side), sides) for side in sides)
    names = (one.named(context.metric) for one in (cards.card.paper, paper))
    title = WORDS["test-title"].format(**dict(zip(("size", "paper"), names, strict=True)))
    return PrintDocument(path, title, _sheet_document(context, cards, plan, title, body), len(sides))


def set_title(context: BuildContext, cards: CardSet) -> str:
    """Such as 'Larkspur Basin Freight: glovebox cards for Tanker, A6, 105 by 148 mm'."""
    return WORDS["set-title"].format(
        carrier=context.library.fleet.carrier,
        what=WORDS["what-cards" if cards.card.slots else "what-wallet"],
        owner=cards.vehicle.title if cards.vehicle else WORDS["all-vehicles"],
        size=cards.card.paper.named(context.metric),
    )


def _sheet_document(context: BuildContext, cards: CardSet, plan: Imposition, title: str, body: str) -> str:
    css = f"{set_css(context, cards.card, _faces(cards))}\n{frame_css(plan)}"
    document = PaperDocument(
        title, plan.paper, html_with_no_break_spaces(_main(title, body)), style=css, sheets=SHEETS
    )
    return document_html(context, document)


def _main(title: str, body: str) -> str:
    return f'<main aria-label="{escape(title)}">\n{body}\n</main>'


def _faces(cards: CardSet) -> Iterator[str]:
    return (face.html for face in cards.faces)


def set_css(context: BuildContext, card: Card, faces: Iterable[str]) -> str:
    """The styles of the faces of one size, given as HTML: only the rules that they use."""
    used = {name for html in faces for names in _CLASSES.findall(html) for name in names.split()}
    gaps = (int(name.removeprefix("gap-")) for name in used if name.startswith("gap-"))
    draft = draft_css(card) if "draft" in used else ""
    logo = logo_css(context, card) if "logo" in used else ""
    tabs = tab_css(context, used)
    return f"{card_style.card_css(card, used)}\n{card_style.gap_css(gaps)}\n{signal_css()}{draft}{logo}{tabs}"


def draft_css(card: Card) -> str:
    """DRAFT in pale strokes behind the text, from corner to corner; drawn, so that it is not read as text.

    The foot says in words that the card is not yet reviewed.
    """
    width, height = card.paper.width_mm, card.room_mm
    turn = -math.degrees(math.atan2(height, width))
    scale = _DRAFT_SHARE * math.hypot(width, height) / _DRAFT_WIDTH
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}">'
        f'<path transform="translate({width / 2:g} {height / 2:g}) rotate({turn:.2f}) scale({scale:.4f}) '
        f'translate({-_DRAFT_WIDTH / 2:g} -12)" d="{_DRAFT}" fill="none" stroke="{_DRAFT_INK}" '
        'stroke-width="4.5"/></svg>'
    )
    return (
        ".draft{z-index:0}"
        f'.draft::before{{content:"";position:absolute;z-index:-1;left:0;top:{card.top_mm:g}mm;'
        f"width:{width:g}mm;height:{height:g}mm;background:url({svg_address(svg)}) 0 0/100% 100% no-repeat}}"
    )


def logo_css(context: BuildContext, card: Card) -> str:
    """The carrier's logo in the thumb margin, between the ring and the code, where no text stands.

    Faces without tick boxes in that margin have room for a larger one.
    """
    return (
        f"\n.logo{{background:url({context.logo_address}) 50% 0/contain no-repeat}}"
        f"\n{card_style.logo_places(card)}"
    )


def signal_css() -> str:
    """The four signal symbols as CSS backgrounds; no alternative text, as the signal word is beside."""
    return "\n".join(
        f".notice-{signal} .notice-symbol{{background-image:url({_address_of(signal)})}}"
        for signal in SIGNALS
    )


def _address_of(signal: str) -> str:
    return svg_address(symbol_svg(f"signal-{signal}"))


def _faces_on(side: SheetSide, cards: CardSet) -> Iterator[str]:
    for cell in side.cells:
        if face := cards.sides[cell.face]:
            yield f'<div class="cell {cell_class(cell)}">{face.html}</div>'


def _blanks_on(side: SheetSide) -> Iterator[str]:
    for cell in side.cells:
        word = WORDS["blank-back" if side.back else "blank-front"].format(number=cell.face // 2 + 1)
        yield (
            f'<div class="cell blank-card {cell_class(cell)}"><div class="cross-across"></div>'
            f'<div class="cross-down"></div><p class="blank-word">{word}</p></div>'
        )


def _sheet(
    plan: Imposition, side: SheetSide, cells: Iterator[str], sides: tuple[SheetSide, ...], since: str = ""
) -> str:
    name = f"sheet-{side.sheet}-{'back' if side.back else 'front'}"
    words = "" if plan.whole else sheet_words_html(plan, side, sides, since)
    return f'<div class="page sheet" id="{name}">{words}{"".join(cells)}{frame_html(plan, name)}</div>'


def check_sides(plan: Imposition) -> tuple[SheetSide, ...]:
    """Front and back of the sheet that is printed first, to check scale and register."""
    return plan.sides(2 * plan.cards_a_sheet)


def _check_sheet(plan: Imposition, side: SheetSide, since: str) -> str:
    words = check_html(plan, side, since)
    return f'<div class="page sheet">{words}{frame_html(plan, "check")}</div>'


def check_html(plan: Imposition, side: SheetSide, since: str = "") -> str:
    """Crosses where the cards lie, the rulers, and how to print and cut."""
    named = "back" if side.back else "front"
    told = [WORDS["cut-how-metric" if plan.metric else "cut-how"].format(turn=plan.turn), WORDS["cut-then"]]
    if since:
        told.append(WORDS["bar"].format(since=since))
    how = "".join(f'<p class="check-words">{escape(text)}</p>' for text in told)
    parts = []
    for cell in side.cells:
        pile = escape(WORDS["pile"].format(pile=cell.face // 2 + 1, side=WORDS[named]))
        first = cell.face < 2
        inside = how if first else ""
        drawn = rulers(f"check-{named}", metric=plan.metric)
        ruled = f'<div class="check-rulers">{drawn}</div>' if first else ""
        parts.append(
            f'<div class="cell blank-card {cell_class(cell)}"><div class="cross-across"></div>'
            f'<div class="cross-down"></div><p class="check-pile">{pile}</p>{inside}{ruled}</div>'
        )
    return html_with_no_break_spaces("".join(parts))


def frame_html(plan: Imposition, prefix: str) -> str:
    """What is the same on every sheet: marks, rulers, and what to measure. ``prefix`` begins element ids.

    A sheet that cards cover has marks alone; its rulers are on the sheet printed first.
    """
    if plan.whole:
        return marks_html(plan)
    words = WORDS["rulers-metric" if plan.metric else "rulers"]
    ruled = rulers(prefix, metric=plan.metric)
    return f'{marks_html(plan)}{ruled}<p class="edge-words edge-bottom">{words}</p>'


def sheet_words_html(plan: Imposition, side: SheetSide, sides: tuple[SheetSide, ...], since: str = "") -> str:
    """The words above the cards: which sheet it is, how to print and turn it, and what a change bar marks.

    The bar is explained here and not on the card, where one more line might decide what fits.
    """
    bar = f" {WORDS['bar'].format(since=since)}" if since else ""
    return f'<p class="edge-words edge-top">{escape(_sheet_words(plan, side, sides) + bar)}</p>'


def _sheet_words(plan: Imposition, side: SheetSide, sides: tuple[SheetSide, ...]) -> str:
    named = WORDS["back" if side.back else "front"]
    return WORDS["sheet-fold" if plan.folded else "sheet-both"].format(
        sheet=side.sheet, sheets=sides[-1].sheet, side=named, turn=plan.turn
    )


def frame_css(plan: Imposition) -> str:
    """Rules for marks and cells, and for the text and rulers above and below the block of cards."""
    left, top = plan.origin_mm
    bottom = top - 9.5
    if plan.whole:
        return f"{sheet_css(plan)}\n{_CHECK_CSS}"
    return (
        f"{sheet_css(plan)}\n"
        f".edge-top{{left:{left + 2:g}mm;right:{left:g}mm;top:{max(4.0, top - 14):g}mm}}"
        f".edge-bottom{{left:{left + 82:g}mm;right:8mm;bottom:{max(3.0, bottom - 9):g}mm}}"
        f".rulers{{left:{left - 1:g}mm;bottom:{max(1.0, bottom - 10):g}mm}}"
        ".blank-card{border:.2mm solid #111}"
        ".cross-across{position:absolute;left:0;right:0;top:50%;border-top:.2mm solid #111}"
        ".cross-down{position:absolute;top:0;bottom:0;left:50%;border-left:.2mm solid #111}"
        ".blank-word{position:absolute;left:6mm;top:6mm;font-size:14pt;line-height:18.2pt;font-weight:700}"
    )
