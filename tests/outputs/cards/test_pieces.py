"""Card PDFs are assembled from pieces that are laid out once; they match the HTML documents."""

from __future__ import annotations

import io
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pikepdf
import pypdfium2
import pytest
from forty_paces.outputs.cards import pieces
from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.documents import CatalogEntry
from forty_paces.outputs.cards.print_run import card_sets, documents
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import layout_cache, pdf
from forty_paces.outputs.paper.pdf import Layout, LayoutJob

from tests.outputs.cards.card_content import small
from tests.outputs.cards.printing import sheets_as_pdf
from tests.reading import chars_of
from tests.soaking import SOAK

pytestmark = pytest.mark.long  # whole builds, or every card laid out

MM = 25.4 / 72


def entries_of(context: BuildContext) -> tuple[CatalogEntry, ...]:
    return tuple(documents(context, card_sets(context)))


AGAIN = (
    "half-letter-all-sheets-a4",
    "half-letter-straight-truck-cut-letter",
    "test-sheet-half-letter-a4",
    "record-a4",
    "poster-a3",
)
"""Documents that another one stands for in an ordinary run: of the same kind on letter, or for all vehicles.

Folded wallet cards are read on both papers and for a vehicle too.
"""


@pytest.fixture(scope="module")
def entries(context: BuildContext) -> tuple[CatalogEntry, ...]:
    every = entries_of(small(context, 1))
    left_out = {f"cards/{name}" for name in AGAIN}
    assert left_out < {entry.printed.path for entry in every}
    return tuple(entry for entry in every if SOAK or entry.printed.path not in left_out)


@pytest.fixture(scope="module")
def made(context: BuildContext, entries: tuple[CatalogEntry, ...]) -> dict[str, bytes]:
    """The PDF of every document by its path, laid out in one process."""
    data = pieces.card_pdfs(small(context, 1), entries, processes=1)
    return {entry.printed.path: one for entry, one in zip(entries, data, strict=True)}


class Noted(Exception):
    """The jobs are known, and nothing needs to be laid out any more."""


def jobs_of(context: BuildContext, monkeypatch: pytest.MonkeyPatch) -> list[LayoutJob]:
    """The jobs of layout for all card documents of a project."""
    found: list[LayoutJob] = []

    def noting(jobs: Sequence[LayoutJob], *more: Any, **named: Any) -> list[Layout]:
        found.extend(jobs)
        raise Noted

    monkeypatch.setattr(pdf, "layouts", noting)
    with pytest.raises(Noted):
        list(pieces.card_pdfs(context, entries_of(context)))
    return found


def laid_out(entries: Sequence[CatalogEntry]) -> list[pieces._Piece]:
    """The pieces that documents of cards show, save those that are drawn."""
    pages = [page for entry in entries if entry.cards for page in pieces._pages(entry)]
    shown = [piece for page in pages for cell in page.cells for piece in cell.pieces]
    return [piece for piece in shown if isinstance(piece, pieces._Piece)]


def test_every_piece_is_laid_out_once_and_the_documents_show_it_many_times(
    context: BuildContext, monkeypatch: pytest.MonkeyPatch
) -> None:
    project = small(context, 3)
    found = entries_of(project)
    jobs = jobs_of(project, monkeypatch)
    shown = laid_out(found)
    own = sum(entry.printed.pages for entry in found if entry.cards is None)
    assert len(set(shown)) + own == sum(job.pages for job in jobs)
    bodies = {piece for piece in shown if "gap" in piece.html and 'class="foot' not in piece.html}
    of_all = {entry.size: entry.cards for entry in found if entry.cards and entry.owner == "all"}
    # What differs between vehicles are the card of numbers and the list of leaves, which name the unit.
    assert sum(len(cards.faces) for cards in of_all.values()) + 2 * 3 == len(bodies)


def test_a_vehicle_with_the_same_steps_adds_feet_but_no_bodies(
    context: BuildContext, monkeypatch: pytest.MonkeyPatch
) -> None:
    fleet = context.library.fleet
    one = fleet.vehicles[0]
    twin = one.model_copy(update={"id": "twin", "unit": "999", "plate": one.plate})
    counts = []
    for vehicles in ((one,), (one, twin)):
        project = small(context, 1)
        library = replace(project.library, fleet=fleet.model_copy(update={"vehicles": vehicles}))
        made = BuildContext(library, project.overrides)
        shown = set(laid_out(entries_of(made)))
        counts.append(Counter("foot" if 'class="foot' in piece.html else "other" for piece in shown))
    assert counts[0]["foot"] < counts[1]["foot"]
    # The card of numbers and the list of leaves name the unit, so their bodies are the twin's own.
    assert counts[0]["other"] + 2 == counts[1]["other"]


@pytest.fixture(scope="module")
def expected(entries: tuple[CatalogEntry, ...]) -> dict[str, bytes]:
    """The PDF of every document by its path, each laid out whole from its HTML."""
    return {
        entry.printed.path: pdf.to_pdf(entry.printed.html, pages=entry.printed.pages) for entry in entries
    }


def letters(page: pypdfium2.PdfPage) -> dict[str, list[tuple[float, float]]]:
    """For each letter, its left edges and baselines in millimeters from the top left of the page."""
    found: dict[str, list[tuple[float, float]]] = {}
    for char in chars_of(page):
        if char["text"].strip():
            place = (char["matrix"][4] * MM, (page.get_height() - char["matrix"][5]) * MM)
            found.setdefault(char["text"], []).append(place)
    return found


def shown_texts(page: pypdfium2.PdfPage) -> int:
    """How often text is shown. Of the same text at the same place, PDFium reads the letters once."""
    return sum(1 for _ in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_TEXT]))


def test_every_document_has_each_letter_where_its_html_has_it(
    made: dict[str, bytes], expected: dict[str, bytes]
) -> None:
    """Feet may stand a tenth of a millimeter lower."""
    for path, whole in expected.items():
        for mine, theirs in zip(pypdfium2.PdfDocument(made[path]), pypdfium2.PdfDocument(whole), strict=True):
            assert theirs.get_size() == pytest.approx(mine.get_size(), abs=0.01)
            assert shown_texts(theirs) == shown_texts(mine), path
            there = letters(mine)
            for letter, places in letters(theirs).items():
                assert len(places) == len(there[letter]), (path, letter)
                for left, base in places:
                    assert any(abs(left - x) <= 0.02 and abs(base - y) <= 0.11 for x, y in there[letter]), (
                        path,
                        letter,
                        left,
                        base,
                    )


def test_every_document_has_the_lines_and_grounds_of_its_html(
    made: dict[str, bytes], expected: dict[str, bytes]
) -> None:
    for path, whole in expected.items():
        for pages in zip(pypdfium2.PdfDocument(made[path]), pypdfium2.PdfDocument(whole), strict=True):
            mine, theirs = (
                sum(255 - grey for grey in page.render(scale=1).to_pil().convert("L").tobytes())
                for page in pages
            )
            assert mine == pytest.approx(theirs, rel=0.01), path


def test_headings_are_bookmarked_as_in_the_html(made: dict[str, bytes], expected: dict[str, bytes]) -> None:
    def listed(data: bytes) -> list[tuple[int, str, int]]:
        toc = pypdfium2.PdfDocument(data).get_toc()
        return [(mark.level, mark.get_title(), mark.get_dest().get_index()) for mark in toc]

    marks = {path: listed(data) for path, data in expected.items()}
    assert marks == {path: listed(data) for path, data in made.items()}
    assert sum(len(some) for some in marks.values()) > 20


def font_files(data: bytes) -> int:
    with pikepdf.open(io.BytesIO(data)) as opened:
        return sum(isinstance(thing, pikepdf.Stream) and "/Length1" in thing for thing in opened.objects)


def test_the_typeface_is_embedded_once_for_each_weight(made: dict[str, bytes]) -> None:
    for path, data in made.items():
        assert 1 <= font_files(data) <= 2, path


def test_pieces_that_were_laid_out_apart_share_their_fonts(
    context: BuildContext, half_letter: CardSet, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pieces, "_PAGES_A_JOB", 2)
    few = replace(half_letter, faces=half_letter.faces[:4])
    assert 2 == font_files(sheets_as_pdf(context, few, "letter"))


def elements(element: pikepdf.Object) -> list[pikepdf.Object]:
    kids = [kid for kid in element.K if "/S" in kid]
    return [element, *(below for kid in kids for below in elements(kid))]


def test_every_document_is_tagged_with_each_content_owned_by_one_element(made: dict[str, bytes]) -> None:
    """ISO 32000-1, 14.7.4.4: the parent tree leads from marked content to its structure element."""
    for path, data in made.items():
        with pikepdf.open(io.BytesIO(data)) as opened:
            root = opened.Root.StructTreeRoot
            everything = elements(root.K[0])
            pairs = list(root.ParentTree.Nums)
            owners = dict(zip((int(key) for key in pairs[::2]), pairs[1::2], strict=True))
            forms = [form for page in opened.pages for form in page.Resources.XObject.values()]
            tagged = [form for form in forms if "/StructParents" in form]
            assert len(tagged) == len({form.objgen for form in tagged}) == len(owners), path
            claimed = Counter(
                (kid.Stm.objgen, int(kid.MCID)) for one in everything for kid in one.K if "/MCID" in kid
            )
            assert set(claimed.values()) == {1}, path
            marked = 0
            for form in tagged:
                marks = [
                    int(part.operands[1].MCID)
                    for part in pikepdf.parse_content_stream(form)
                    if str(part.operator) == "BDC"
                ]
                assert all((form.objgen, mark) in claimed for mark in marks), path
                assert len(owners[int(form.StructParents)]) == len(marks), path
                marked += len(marks)
            assert marked == len(claimed)
            figures = [one for one in everything if one.S == "/Figure"]
            assert all(one.get("/Alt") and len(one.A.BBox) == 4 for one in figures), path
            assert opened.Root.MarkInfo.Marked
            assert "en" == str(opened.Root.Lang)
            assert b"<pdfuaid:part>1</pdfuaid:part>" in opened.Root.Metadata.read_bytes()


def test_a_set_is_tagged_with_headings_lists_and_table_headers(made: dict[str, bytes]) -> None:
    for path in ("cards/half-letter-all", "cards/half-letter-all-sheets-letter"):
        with pikepdf.open(io.BytesIO(made[path])) as opened:
            kinds = Counter(str(one.S)[1:] for one in elements(opened.Root.StructTreeRoot.K[0]))
            headers = [one for one in elements(opened.Root.StructTreeRoot.K[0]) if one.S == "/TH"]
        assert kinds["H1"] == kinds["Sect"] / 3, "each face, its body and its margin are sections"
        assert {"H2", "L", "LI", "P", "Figure", "Table"} <= set(kinds)
        assert {"/Column", "/Row"} == {str(one.A.Scope) for one in headers}


def test_the_metadata_name_the_edition(context: BuildContext, made: dict[str, bytes]) -> None:
    for data in made.values():
        with pikepdf.open(io.BytesIO(data)) as opened:
            assert f"Edition {context.library.edition.id} of " in str(opened.docinfo["/Subject"])
            assert str(opened.docinfo["/Title"])


def test_layouts_of_several_processes_are_those_of_one_and_a_page_that_runs_over_is_still_reported(
    context: BuildContext, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Pieces, crop marks, which are not tagged, and documents as they are handed out, all in order."""
    with monkeypatch.context() as patch:
        found = sorted(jobs_of(small(context, 1), patch), key=lambda job: job.pages)
    words = "<html lang=en><title>T</title><body>"
    jobs = [
        *found[:2],
        next(job for job in found[2:] if job.pages > 1),
        LayoutJob(f"{words}<p>Page one", 1, complete=True),
        LayoutJob(f"{words}<p>Page two", 1, complete=True),
    ]
    assert {True, False} == {job.tagged for job in jobs}
    monkeypatch.setenv(layout_cache.OFF, "1")
    made = pdf.layouts([*jobs, LayoutJob(f"{words}{'<p>Words.</p>' * 200}", 1)], processes=2)
    assert [next(made) for _ in jobs] == [pdf.layout(job) for job in jobs]
    with pytest.raises(pdf.PageCountWrong, match="was composed on 1 page but fills") as refused:
        next(made)
    assert "_RemoteTraceback" in repr(refused.value.__cause__), "it was laid out in this process"
