"""What the tests of printed outputs share: the real content in a build context, card sets, PDFs read."""

from __future__ import annotations

from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.common.context import BuildContext

from tests.printed import EditionCards, Printed

OVERRIDES = Path(__file__).resolve().parents[2] / "site_overrides"


@pytest.fixture(scope="session")
def context(library: Library) -> BuildContext:
    """The repository's own content, set up for printing."""
    return BuildContext(library, OVERRIDES)


@pytest.fixture(scope="session")
def half_letter(edition_cards: EditionCards) -> CardSet:
    """The default set for all vehicles."""
    return edition_cards.of("half-letter")


@pytest.fixture(scope="session")
def wallet(edition_cards: EditionCards) -> CardSet:
    """The wallet set for all vehicles."""
    return edition_cards.of(WALLET_SIZE)


@pytest.fixture(scope="session")
def faces_pdf(edition_cards: EditionCards) -> Printed:
    """Its PDF, a face a page, read back."""
    return edition_cards.printed("half-letter-all")


@pytest.fixture(scope="session")
def sheets_pdf(edition_cards: EditionCards) -> Printed:
    """The sheets' PDF, read back."""
    return edition_cards.printed("half-letter-all-sheets-letter")


@pytest.fixture(scope="session")
def wallet_pdf(edition_cards: EditionCards) -> Printed:
    """The wallet set's PDF, read back."""
    return edition_cards.printed("wallet-all")
