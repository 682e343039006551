"""The PDF of a card set as editions have it: assembled from pieces that were laid out once."""

from __future__ import annotations

import io

import pikepdf
from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.documents import set_documents
from forty_paces.outputs.cards.pieces import card_pdfs
from forty_paces.outputs.common.context import BuildContext


def faces_as_pdf(context: BuildContext, cards: CardSet) -> bytes:
    """A face a page, without its bleed."""
    (data,) = card_pdfs(context, set_documents(context, cards, ()), processes=1)
    return as_shown(data)


def as_shown(data: bytes) -> bytes:
    """The document with each page as viewers show it: cut to its CropBox, so that places count from there."""
    written = io.BytesIO()
    with pikepdf.open(io.BytesIO(data)) as read:
        for page in read.pages:
            page.mediabox = page.cropbox
        read.save(written, deterministic_id=True)
    return written.getvalue()


def sheets_as_pdf(context: BuildContext, cards: CardSet, paper: str) -> bytes:
    """On sheets with one card or few to cut out, or to fold for wallet cards."""
    entries = set_documents(context, cards, (paper,), faces=False)
    (data,) = card_pdfs(context, [one for one in entries if one.kind != "cut"], processes=1)
    return data
