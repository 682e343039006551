"""What a print run takes, and the register of who is handed which set."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace

import pypdfium2
import pytest
from bs4 import BeautifulSoup
from forty_paces.outputs.cards.binding import leaf_of
from forty_paces.outputs.cards.card_set import CardSet, card_set
from forty_paces.outputs.cards.documents import set_documents
from forty_paces.outputs.cards.ticket import making, register_csv, run_document
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS

from tests.bench.sheets import PAIRS
from tests.reading import chars_of

MM = 72 / 25.4
UNITS = ("118", "LBF-2041", "WINNEMUCCA-COACH-0000031", "7")


@pytest.mark.parametrize(
    ("paper", "cards_a_sheet", "cuts"), [("letter", 2, 1), ("tabloid", 4, 2), ("a4", 1, 4)]
)
def test_sheets_and_cuts_of_a_set_follow_from_its_leaves(
    half_letter: CardSet, paper: str, cards_a_sheet: int, cuts: int
) -> None:
    one = making(half_letter, PAPERS[paper], 200)
    leaves = (half_letter.faces[-1].number + 1) // 2
    assert leaves == len(one.leaves)
    assert -(-leaves // cards_a_sheet) == one.sheets
    assert cuts == one.cuts


@pytest.mark.parametrize(("size", "paper"), PAIRS)
def test_the_sheets_of_a_set_are_those_of_its_document(context: BuildContext, size: str, paper: str) -> None:
    """Front and back of each, and of the one printed first; a folded sheet has one side."""
    cards = card_set(context, size)
    one = making(cards, PAPERS[paper], 200)
    documents = set_documents(context, cards, [paper], faces=False, one_up=False)
    (shown,) = (entry for entry in documents if entry.plan == one.plan)
    sides = 1 if one.plan.folded else 2
    first = sides if one.plan.whole else 0
    assert sides * one.sheets + first == shown.printed.pages
    assert len(cards.faces) <= 2 * len(one.leaves) <= 2 * one.sheets * one.plan.cards_a_sheet


def test_the_ticket_names_leaves_copies_sheets_film_and_rings(
    context: BuildContext, half_letter: CardSet, wallet: CardSet
) -> None:
    some = half_letter.leaves_with(lambda face: leaf_of(face.number) in (2, 7))
    makings = [making(cards, PAPERS["letter"], 12) for cards in (half_letter, some, wallet)]
    printed = run_document(context, makings, PAPERS["letter"], "run", with_register=True)
    page = BeautifulSoup(printed.html, "html.parser")
    rows = [
        [cell.get_text(" ", strip=True).replace("\u00a0", " ") for cell in row.select("th, td")]
        for row in page.select("section:first-of-type tbody tr")
    ]
    leaves = (half_letter.faces[-1].number + 1) // 2
    sheets = -(-leaves // 2)
    assert f"whole set, {leaves}" == rows[0][1]
    assert "12" == rows[0][2]
    assert f"{sheets} a set, {12 * sheets} in all, on US Letter, 8.5 by 11 in" == rows[0][3]
    assert "1 through the stack" == rows[0][4]
    assert [str(12 * leaves), "12"] == rows[0][5:]
    assert "2: 2, 7" == rows[1][1]
    assert "" == rows[2][6], "wallet cards have no ring"
    assert len(page.select("section")) == printed.pages
    assert len(page.select("tr.register:has(.table-cell-to-write)")) == 36
    pdf.to_pdf(printed.html, pages=printed.pages)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_ticket_and_register_of_a_whole_fleet_fill_their_pages_and_run_over_none(
    context: BuildContext, half_letter: CardSet, wallet: CardSet, paper: str
) -> None:
    named = [
        one.model_copy(update={"unit": unit})
        for one, unit in zip(context.library.fleet.vehicles, UNITS, strict=True)
    ]
    sets = [replace(cards, vehicle=one) for cards in (half_letter, wallet) for one in (None, *named)]
    makings = [making(cards, PAPERS[paper], 16) for cards in sets]
    printed = run_document(context, makings, PAPERS[paper], "run", with_register=True)
    made = pypdfium2.PdfDocument(pdf.to_pdf(printed.html, pages=printed.pages))
    pages = [(page.get_textpage().get_text_range(), page.get_height(), chars_of(page)) for page in made]
    assert 2 < sum("Register of sets, page" in text for text, *_ in pages)
    assert all(re.search(r"page (\d+) of (\d+)", text) for text, *_ in pages)
    tickets = [text for text, *_ in pages if "Ticket, page" in text]
    assert 2 == len(tickets)
    assert "Checked by, on" in tickets[-1]
    assert "Checked by, on" not in tickets[0]
    for text, height, letters in pages:
        whole = re.search(r"page (\d+) of \1\b", text) is None
        lowest = max(letter["bottom"] for letter in letters if letter["text"].strip())
        assert lowest < height - 15 * MM
        assert "Ticket" in text or not whole or lowest > height - 50 * MM, "room for two rows was left"
    rows = BeautifulSoup(printed.html, "html.parser").select("tr.register:has(.table-cell-to-write) th")
    listed = [number for one in makings for number in one.numbers(context.library.edition.id)]
    assert listed == [row.get_text() for row in rows]


def test_the_register_opens_safely_in_a_spreadsheet(context: BuildContext, half_letter: CardSet) -> None:
    """Cells that begin a formula are taken for text: OWASP, CSV Injection. Lines and quotes: RFC 4180."""
    vehicle = context.library.fleet.vehicles[0].model_copy(update={"unit": '=HYPERLINK("x"),9'})
    cards = replace(half_letter, vehicle=vehicle)
    text = register_csv(context, [making(cards, PAPERS["letter"], 3)])
    rows = list(csv.reader(io.StringIO(text, newline="")))
    assert [
        "Set number",
        "Unit",
        "Edition",
        "Leaf 1",
        "Handed to",
        "Date",
        "Old set destroyed, date",
    ] == rows[0]
    assert 4 == len(rows)
    assert 3 == len({row[0] for row in rows[1:]})
    for row in rows[1:]:
        assert all(not cell.startswith(("=", "+", "-", "@", "\t", "\r")) for cell in row)
        assert row[1] == '\'=HYPERLINK("x"),9'
        assert row[2] == context.library.edition.id
        assert row[3] == half_letter.faces[0].leaf
        assert row[4:] == ["", "", ""]
    assert text.count("\r\n") == 4


def test_a_set_number_names_unit_edition_and_copy(
    context: BuildContext, half_letter: CardSet, wallet: CardSet
) -> None:
    edition = context.library.edition.id
    assert [f"all-{edition}-001", f"all-{edition}-002"] == list(
        making(half_letter, PAPERS["letter"], 2).numbers(edition)
    )
    unit = replace(wallet, vehicle=context.library.fleet.vehicles[3])
    assert [f"310-wallet-{edition}-001"] == list(making(unit, PAPERS["letter"], 1).numbers(edition))
