"""Two languages of a set side by side: on each sheet a card in English and the same card in another language.

For whoever reads one and shows the other: a trainer, an officer, a driver who is learning. Sheets are printed
on one side and stay whole. A sheet holds two cards where these cover it: half letter on US Letter, A5 on A4.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import zip_longest

from forty_paces.messages.cards import WORDS
from forty_paces.outputs.cards.card_set import CardSet, Face
from forty_paces.outputs.cards.card_style import CARDS
from forty_paces.outputs.cards.documents import SHEETS, set_css, set_title
from forty_paces.outputs.common.context import ENGLISH_LANGUAGE, BuildContext, Language
from forty_paces.outputs.common.typesetting import html_with_no_break_spaces
from forty_paces.outputs.paper.imposition import ImposedFace, Imposition, impose_whole, place_class, sheet_css
from forty_paces.outputs.paper.sheets import PAPERS, PaperDocument, PaperSize, PrintDocument, document_html

_IDS = re.compile(r'\b(id|aria-labelledby|aria-describedby)="([^"]+)"')
_REFERENCE = re.compile(r'(href="#|url\(#)')


def side_by_side_plan(size: str, paper: PaperSize) -> Imposition | None:
    """How two cards of a size lie beside one another on a sheet, or None where they do not cover it."""
    plan = impose_whole(CARDS[size].paper, paper) if size in PAPERS else None
    return plan if plan is not None and plan.rows == 1 else None


def pairs(first: CardSet, second: CardSet) -> Iterator[tuple[Face | None, Face | None]]:
    """Each card's faces in both languages. Where a language takes one face more, it stands alone."""
    for code in dict.fromkeys(face.code for face in (*first.faces, *second.faces)):
        yield from zip_longest(_faces_of(first, code), _faces_of(second, code))


def _faces_of(cards: CardSet, code: str) -> list[Face]:
    return [face for face in cards.faces if face.code == code and not face.id.endswith("-notes")]


def side_by_side_document(
    context: BuildContext, first: CardSet, second: CardSet, other: Language, plan: Imposition
) -> PrintDocument:
    """The English set ``first`` beside the set of another language; ``context`` is the English one."""
    places = [place_class(ImposedFace(0, *plan.corner_mm(column, 0))) for column in (0, 1)]
    sheets = []
    for number, pair in enumerate(pairs(first, second)):
        cells = "".join(
            f'<div class="cell {place}" lang="{language.tag}">{_apart(face.html, f"{number}-{place}-")}</div>'
            for face, place, language in zip(pair, places, (ENGLISH_LANGUAGE, other), strict=True)
            if face is not None
        )
        sheets.append(f'<div class="page sheet">{cells}</div>')
    title = WORDS["two-languages"].format(
        title=set_title(context, first), first=ENGLISH_LANGUAGE.name, second=other.name
    )
    body = "\n".join(sheets)
    css = f"{set_css(context, first.card, [body])}\n{sheet_css(plan)}"
    document = PaperDocument(
        title, plan.paper, html_with_no_break_spaces(f"<main>{body}</main>"), style=css, sheets=SHEETS
    )
    path = f"{first.size}-{first.owner}-en-{other.code}"
    return PrintDocument(path, title, document_html(context, document), len(sheets))


def _apart(html: str, prefix: str) -> str:
    """A face with ids of its own: both languages of a card have the same ones."""
    named = _IDS.sub(lambda found: f'{found[1]}="{" ".join(prefix + one for one in found[2].split())}"', html)
    return _REFERENCE.sub(rf"\g<1>{prefix}", named)
