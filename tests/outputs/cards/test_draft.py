"""DRAFT across the cards of a carrier that wants it, until its safety lead has signed."""

from __future__ import annotations

import datetime as dt
import io
from dataclasses import replace

import pdfplumber
import pypdfium2
import pytest
from forty_paces.authoring.models.procedure import Procedure, SignOff
from forty_paces.outputs.cards.card_set import CardSet, card_set
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.common.context import BuildContext

from tests.drawing.test_tokens import contrast
from tests.outputs.cards.card_content import procedure
from tests.outputs.cards.printing import faces_as_pdf

INK = 0xD8


def signed(made: Procedure) -> Procedure:
    signature = SignOff(name="Odalys Brandvold, safety lead", day=dt.date(2026, 11, 26))
    review = made.review.model_copy(update={"safety_lead": signature})
    return made.model_copy(update={"review": review})


def project(context: BuildContext, *procedures: Procedure, wanted: bool) -> BuildContext:
    fleet = context.library.fleet.model_copy(update={"draft_mark": wanted})
    return BuildContext(replace(context.library, procedures=procedures, fleet=fleet), context.overrides)


def marked(cards: CardSet) -> dict[str, bool]:
    return {face.code: ' draft"' in face.html for face in cards.faces}


def test_nothing_is_marked_unless_the_carrier_wants_it(context: BuildContext) -> None:
    assert not context.library.fleet.draft_mark
    assert not any(marked(card_set(project(context, procedure(), wanted=False), "half-letter")).values())


def test_every_face_is_marked_while_no_procedure_is_signed(context: BuildContext) -> None:
    for size in ("half-letter", WALLET_SIZE):
        assert all(marked(card_set(project(context, procedure(), wanted=True), size)).values())


def test_a_signed_procedure_is_not_marked_and_the_index_is_until_all_are_signed(
    context: BuildContext,
) -> None:
    other = procedure("odd-smell", title="Smell of fuel", code="FLM2", position=2)
    some = marked(card_set(project(context, signed(procedure()), other, wanted=True), "half-letter"))
    assert (False, True) == (some["FLM1"], some["FLM2"])
    assert some["ALL1"]
    assert some["PLC1"]
    both = project(context, signed(procedure()), signed(other), wanted=True)
    assert not any(marked(card_set(both, "half-letter")).values())


def test_the_mark_changes_nothing_that_is_measured_or_read(context: BuildContext) -> None:
    plain, draft = (
        card_set(project(context, procedure(), wanted=wanted), "half-letter") for wanted in (False, True)
    )
    assert [(f.composition, f.gap, f.number) for f in plain.faces] == [
        (f.composition, f.gap, f.number) for f in draft.faces
    ]


@pytest.mark.parametrize("size", ["half-letter", WALLET_SIZE])
def test_the_mark_runs_pale_across_the_printed_face_and_is_no_text(context: BuildContext, size: str) -> None:
    made = project(context, procedure(), wanted=True)
    cards = card_set(made, size)
    data = faces_as_pdf(made, cards)
    for page in pypdfium2.PdfDocument(data):
        grey = page.render(scale=1).to_pil().convert("L")
        pale = [at for at, value in enumerate(grey.tobytes()) if abs(value - INK) <= 2]
        columns, rows = ({at % grey.width for at in pale}, {at // grey.width for at in pale})
        assert len(pale) > 0.02 * grey.width * grey.height
        assert max(columns) - min(columns) > 0.4 * grey.width
        assert max(rows) - min(rows) > 0.4 * grey.height
    with pdfplumber.open(io.BytesIO(data)) as read:
        assert not any("DRAFT" in page.extract_text() for page in read.pages)


def test_text_on_the_mark_is_read_with_ease() -> None:
    """7 to 1 is level AAA of WCAG 2.2, 1.4.6."""
    assert contrast("#111111", f"#{INK:02x}{INK:02x}{INK:02x}") > 7
