"""What the tests of printed outputs share: the real content in a build context, card sets, PDFs read."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pdfplumber
import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cards.card_set import CardSet, card_set
from forty_paces.outputs.cards.documents import faces_document, sheets_document
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.imposition import impose
from forty_paces.outputs.paper.sheets import PAPERS, PrintDocument
from pdfplumber.pdf import PDF

from tests.outputs.cards.printing import faces_as_pdf, sheets_as_pdf

OVERRIDES = Path(__file__).resolve().parents[2] / "site_overrides"


@pytest.fixture(scope="session")
def context(library: Library) -> BuildContext:
    """The repository's own content, set up for printing."""
    return BuildContext(library, OVERRIDES)


@pytest.fixture(scope="session")
def half_letter(context: BuildContext) -> CardSet:
    """The default set for all vehicles."""
    return card_set(context, "half-letter")


@pytest.fixture(scope="session")
def wallet(context: BuildContext) -> CardSet:
    """The wallet set for all vehicles."""
    return card_set(context, WALLET_SIZE)


@pytest.fixture(scope="session")
def faces(context: BuildContext, half_letter: CardSet) -> PrintDocument:
    """The default set, a face a page."""
    return faces_document(context, half_letter, "cards/half-letter-all")


@pytest.fixture(scope="session")
def sheets(context: BuildContext, half_letter: CardSet) -> PrintDocument:
    """The default set on Letter."""
    plan = impose(half_letter.card.paper, PAPERS["letter"])
    return sheets_document(
        context, half_letter, plan, PAPERS["letter"], "cards/half-letter-all-sheets-letter"
    )


@pytest.fixture(scope="session")
def faces_data(context: BuildContext, half_letter: CardSet) -> bytes:
    """Its PDF."""
    return faces_as_pdf(context, half_letter)


@pytest.fixture(scope="session")
def faces_pdf(faces_data: bytes) -> Iterator[PDF]:
    """Its PDF, read back."""
    with pdfplumber.open(io.BytesIO(faces_data)) as opened:
        yield opened


@pytest.fixture(scope="session")
def sheets_pdf(context: BuildContext, half_letter: CardSet) -> Iterator[PDF]:
    """The sheets' PDF, read back."""
    with pdfplumber.open(io.BytesIO(sheets_as_pdf(context, half_letter, "letter"))) as opened:
        yield opened


@pytest.fixture(scope="session")
def wallet_pdf(context: BuildContext, wallet: CardSet) -> Iterator[PDF]:
    """The wallet set's PDF, read back."""
    with pdfplumber.open(io.BytesIO(faces_as_pdf(context, wallet))) as opened:
        yield opened
