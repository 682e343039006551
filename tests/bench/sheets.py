"""Sheets, cuts and leaves of a set of cards, and of 200 sets, by finished size and paper.

Two cards or more on a sheet need few cuts; the other way, one card a sheet with crop marks, is there too.
"""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.authoring.library import load_library
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.cards.ticket import Making
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.imposition import Imposition, impose, impose_whole
from forty_paces.outputs.paper.sheets import PAPERS, PaperSize

from tests.bench.measuring import PROJECT, Table

SETS = 200
SIZES = {"half-letter": ("letter", "tabloid"), "a5": ("a4", "a3"), WALLET_SIZE: ("letter", "a4")}


def tables(rounds: int) -> Iterator[Table]:
    """One table; nothing is timed, so ``rounds`` does not apply."""
    context = BuildContext(load_library(PROJECT, symbols=NAMES), PROJECT / "site_overrides")
    rows = []
    for size, papers in SIZES.items():
        for vehicle in (None, *context.library.fleet.vehicles):
            cards = card_set(context, size, vehicle)
            for paper in papers:
                for plan in _plans(cards.card.paper, PAPERS[paper], size == WALLET_SIZE):
                    one = Making(cards, plan, SETS)
                    rows.append(
                        (
                            f"{size}, {cards.owner}, on {paper}, {plan.cards_a_sheet} a sheet",
                            f"{len(cards.faces)}",
                            f"{len(one.leaves)}",
                            f"{one.sheets}",
                            f"{one.cuts}{' through the stack' if plan.whole else ' a sheet'}",
                            f"{SETS * one.sheets:,}",
                            f"{SETS * len(one.leaves):,}",
                        )
                    )
    head = ("set", "faces", "leaves", "sheets", "cuts", f"sheets of {SETS} sets", "leaves to seal")
    yield Table("Sets of the real content", head, rows)


def _plans(card: PaperSize, paper: PaperSize, folded: bool) -> Iterator[Imposition]:
    whole = None if folded else impose_whole(card, paper)
    if whole is not None:
        yield whole
    yield impose(card, paper, folded=folded)
