"""What the tests of printed outputs share: a press with the real content, card sets, PDFs read back."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import pdfplumber
import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cards.card_set import CardSet, card_set
from forty_paces.outputs.cards.documents import Printed, faces_document, sheets_document
from forty_paces.outputs.cards.setting import WALLET_SIZE
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS
from forty_paces.outputs.press import Press
from pdfplumber.pdf import PDF

OVERRIDES = Path(__file__).resolve().parents[2] / "site_overrides"


@pytest.fixture(scope="session")
def press(library: Library) -> Press:
    """The repository's own content, set up for printing."""
    return Press(library, OVERRIDES)


@pytest.fixture(scope="session")
def half_letter(press: Press) -> CardSet:
    """The default set for all vehicles."""
    return card_set(press, "half-letter")


@pytest.fixture(scope="session")
def wallet(press: Press) -> CardSet:
    """The wallet set for all vehicles."""
    return card_set(press, WALLET_SIZE)


@pytest.fixture(scope="session")
def faces(press: Press, half_letter: CardSet) -> Printed:
    """The default set, a face a page."""
    return faces_document(press, half_letter, "cards/half-letter-all")


@pytest.fixture(scope="session")
def sheets(press: Press, half_letter: CardSet) -> Printed:
    """The default set on Letter."""
    return sheets_document(press, half_letter, PAPERS["letter"], "cards/half-letter-all-sheets-letter")


@pytest.fixture(scope="session")
def faces_data(faces: Printed) -> bytes:
    """Its PDF."""
    return pdf.to_pdf(faces.html, pages=faces.pages)


@pytest.fixture(scope="session")
def faces_pdf(faces_data: bytes) -> Iterator[PDF]:
    """Its PDF, read back."""
    with pdfplumber.open(io.BytesIO(faces_data)) as opened:
        yield opened


@pytest.fixture(scope="session")
def sheets_pdf(sheets: Printed) -> Iterator[PDF]:
    """The sheets' PDF, read back."""
    with pdfplumber.open(io.BytesIO(pdf.to_pdf(sheets.html, pages=sheets.pages))) as opened:
        yield opened


@pytest.fixture(scope="session")
def wallet_pdf(press: Press, wallet: CardSet) -> Iterator[PDF]:
    """The wallet set's PDF, read back."""
    printed = faces_document(press, wallet, "cards/wallet-all")
    with pdfplumber.open(io.BytesIO(pdf.to_pdf(printed.html, pages=printed.pages))) as opened:
        yield opened
