"""The PDF of a card set as editions have it: assembled from pieces that were laid out once."""

from __future__ import annotations

from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.documents import set_documents
from forty_paces.outputs.cards.pieces import card_pdfs
from forty_paces.outputs.common.context import BuildContext


def faces_as_pdf(context: BuildContext, cards: CardSet) -> bytes:
    """A face a page."""
    (data,) = card_pdfs(context, set_documents(context, cards, ()), processes=1)
    return data


def sheets_as_pdf(context: BuildContext, cards: CardSet, paper: str) -> bytes:
    """On sheets with one card or few to cut out, or to fold for wallet cards."""
    entries = set_documents(context, cards, (paper,), faces=False)
    (data,) = card_pdfs(context, [one for one in entries if one.kind != "cut"], processes=1)
    return data
