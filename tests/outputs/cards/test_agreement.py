"""The measured layout agrees with the layout engine.

Measuring decides what fits, and must work without Pango. It is compared with WeasyPrint's own layout on every
face of the content, of A5 on the fullest and on some others: the same text on each line, and the foot of each
face at the measured height.
"""

from __future__ import annotations

import re

import pypdfium2
import pytest
from forty_paces.drawing.typeface import load_typeface
from forty_paces.outputs.cards import card_style
from forty_paces.outputs.cards.card_set import CardSet, Face, compositions
from forty_paces.outputs.cards.documents import set_documents
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.cards.pieces import card_pdfs
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.flow import SLACK_MM, measure

from tests.printed import OWN_SET, EditionCards, Printed

pytestmark = pytest.mark.long  # whole builds, or every card laid out

MM = 25.4 / 72
_CODE = re.compile(r" ?[A-Z]{3}\d+$")


EXACT_MM = 0.004
"""Less slack than fitting uses, for comparing line by line; engines round by as much."""


def measured_lines(context: BuildContext, cards: CardSet, face: Face, slack_mm: float) -> list[str]:
    (composition,) = [one for one in compositions(cards.size) if one.id == face.composition]
    styles = card_style.styles(composition)
    typeface = load_typeface(context.fonts)
    found = measure(face.html, styles, cards.card.column_mm, typeface, slack_mm=slack_mm)
    return [line.replace("\u00a0", " ") for paragraph in found.paragraphs for line in paragraph.lines]


def printed_lines(read: Printed, number: int) -> list[str]:
    lines = read.pages[number].extract_text_lines(return_chars=False, x_tolerance=1.5)
    return [line["text"].replace("\u00a0", " ") for line in lines]


def check(context: BuildContext, cards: CardSet, read: Printed) -> None:
    assert len(cards.faces) == len(read.pages)
    feet = []
    for number, face in enumerate(cards.faces):
        exact = measured_lines(context, cards, face, EXACT_MM)
        left = len(measured_lines(context, cards, face, SLACK_MM)) - len(exact)
        assert left >= 0, "slack can only cost lines"
        page = read.pages[number]
        if not left:  # if slack costs a line, its height stays free above or below the foot
            feet.append(float(page.height) * MM - max(c["bottom"] for c in page.chars) * MM)
        if face.kind in ("procedure", "wallet"):
            printed = printed_lines(read, number)
            assert len(exact) == len(printed), face.code
            for line, shown in zip(exact, printed, strict=True):
                # a step's number is before its first line, the card's code after the title
                assert shown.endswith(line) or line == _CODE.sub("", shown), (face.code, line, shown)
    assert len(feet) > len(cards.faces) / 2
    # the gap before a foot is rounded down to a tenth of a millimeter
    assert max(feet) - min(feet) <= 0.15
    assert min(feet) >= cards.card.bottom_mm


def test_half_letter_faces_print_line_for_line_as_measured(
    context: BuildContext, half_letter: CardSet, faces_pdf: Printed
) -> None:
    check(context, half_letter, faces_pdf)


def test_wallet_faces_print_line_for_line_as_measured(
    context: BuildContext, wallet: CardSet, wallet_pdf: Printed
) -> None:
    check(context, wallet, wallet_pdf)


@pytest.mark.parametrize("owner", [None, OWN_SET])
def test_a5_faces_print_line_for_line_as_measured(
    context: BuildContext, edition_cards: EditionCards, owner: int | None
) -> None:
    cards = edition_cards.a5(owner)
    check(context, cards, edition_cards.printed(f"a5-{cards.owner}"))


def test_faces_that_a_vehicle_has_for_itself_fill_a_page_each(
    context: BuildContext, edition_cards: EditionCards
) -> None:
    """The layout raises where a face runs over its page; half letter and wallet."""
    owners = range(len(context.library.fleet.vehicles))
    sets = [
        edition_cards.sampled(size, owner, fullest=4, others=2)
        for size in ("half-letter", WALLET_SIZE)
        for owner in owners
    ]
    assert all(cards.faces for cards in sets[: len(owners)])
    entries = [entry for cards in sets for entry in set_documents(context, cards, ())]
    made = card_pdfs(context, entries, processes=1)
    for entry, data in zip(entries, made, strict=True):
        assert len(entry.cards.faces) == len(pypdfium2.PdfDocument(data)), entry.printed.path


def test_every_letter_printed_is_one_the_measure_knows(context: BuildContext, half_letter: CardSet) -> None:
    """A character from another font would be wider or narrower than measured."""
    typeface = load_typeface(context.fonts)
    for face in half_letter.faces:
        for key, text in face.strings.items():
            letters = set("".join(text.split()))
            assert letters <= typeface.regular.advances.keys(), key
            assert letters <= typeface.bold.advances.keys(), key
