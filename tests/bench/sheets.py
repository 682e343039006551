"""Sheets, cuts and leaves of one set and of 200, at every size that holds the library, on each paper.

They are counted in the card sets of the content, as the ticket of a print run counts them.
"""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.authoring.library import load_library
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.cards.ticket import Making, making
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.imposition import impose
from forty_paces.outputs.paper.sheets import PAPERS

from tests.bench.measuring import PROJECT, Table

SETS = 200
PAIRS = (
    ("half-letter", "letter"),
    ("half-letter", "tabloid"),
    ("a5", "a4"),
    ("a5", "a3"),
    (WALLET_SIZE, "letter"),
    (WALLET_SIZE, "a4"),
)


def tables(rounds: int) -> Iterator[Table]:
    """One table; ``rounds`` does not apply to counting."""
    context = BuildContext(load_library(PROJECT, symbols=NAMES), PROJECT / "site_overrides")
    owners = (None, *context.vehicles_in_site)
    sets = {(size, owner): card_set(context, size, owner) for size, _ in PAIRS for owner in owners}
    rows = []
    for size, paper in PAIRS:
        for vehicle in owners:
            cards = sets[size, vehicle]
            made = making(cards, PAPERS[paper], SETS)
            rows.append(_row(made, size, paper))
            if vehicle is None and made.plan.whole and paper in ("letter", "a4"):
                rows.append(_row(Making(cards, impose(cards.card.paper, PAPERS[paper]), SETS), size, paper))
    head = (
        "size",
        "paper",
        "set",
        "faces",
        "leaves",
        "on a sheet",
        "sheets",
        "cuts",
        "sheets of 200",
        "leaves of 200",
    )
    yield Table(f"Sheets, cuts and leaves of one set and of {SETS}", head, rows)


def _row(made: Making, size: str, paper: str) -> tuple[str, ...]:
    leaves = len(made.leaves)
    return (
        size,
        paper,
        made.cards.owner,
        f"{len(made.cards.faces)}",
        f"{leaves}",
        f"{made.plan.cards_a_sheet}",
        f"{made.sheets}",
        f"{made.cuts} {'through the stack' if made.plan.whole else 'a sheet'}",
        f"{SETS * made.sheets:,}",
        f"{SETS * leaves:,}",
    )
