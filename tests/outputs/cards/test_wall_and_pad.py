"""The wall poster is read at 2 m; the record of an event is a pad of two numbered sheets."""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterator
from dataclasses import replace

import pdfplumber
import pytest
from forty_paces.authoring.findings import ContentFault
from forty_paces.outputs.cards.poster import poster_document
from forty_paces.outputs.cards.record_pad import pad_document
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS, PrintDocument
from pdfplumber.pdf import PDF

MM = 25.4 / 72
CAP_EM = 0.668
"""Height of a capital of the typeface in use, from its OS/2 table."""


def read(printed: PrintDocument | None) -> PDF:
    assert printed is not None
    return pdfplumber.open(io.BytesIO(pdf.to_pdf(printed.html, pages=printed.pages)))


@pytest.fixture(scope="module", params=["tabloid", "a3"])
def poster(request: pytest.FixtureRequest, context: BuildContext) -> Iterator[PDF]:
    with read(poster_document(context, PAPERS[request.param], "poster")) as opened:
        yield opened


def test_what_to_do_and_how_far_is_read_at_2_m(poster: PDF) -> None:
    """Capitals of 16 minutes of arc at least: NUREG-0700, 1.3.1."""
    least_mm = 2000 * math.tan(math.radians(16 / 60))
    assert len(poster.pages) == 3, "one for each road of the rule set"
    for page in poster.pages:
        far = "".join(char["text"] for char in page.chars if char["size"] * MM * CAP_EM >= least_mm)
        far = re.sub(r"\s", "", far)
        assert "Stopped?Putthedevicesout." in far
        assert "Walkback" in far
        assert re.search(r"10\d?ft\(4\d?paces\)", far)


def test_a_poster_says_until_when_it_holds_and_that_nobody_has_reviewed_it(
    poster: PDF, context: BuildContext
) -> None:
    due = min(procedure.next_review for procedure in context.library.procedures)
    for page in poster.pages:
        text = " ".join(page.extract_text(x_tolerance=1.5).replace("\u00a0", " ").split())
        assert f"Take it down after {due.day} {due:%b} {due.year} unless it was renewed." in text
        assert context.library.edition.id in text
        assert "Not yet reviewed by your safety lead." in text


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_record_is_two_sheets_with_every_question_once_and_room_to_write(
    context: BuildContext, paper: str
) -> None:
    with read(pad_document(context, PAPERS[paper], "pad")) as opened:
        texts = [re.sub(r"\s", "", page.extract_text()) for page in opened.pages]
        assert 2 == len(texts)
        for item in context.library.after_event.record:
            words = re.sub(r"\s", "", item.write)
            assert 1 == sum(words in text for text in texts), item.id
        for number, text in enumerate(texts, 1):
            assert f"Page{number}of2.Edition{context.library.edition.id},unsigned." in text
            assert all(word in text for word in ("Recordnumber", "Unit", "Time"))
        for page in opened.pages:
            assert min(char["size"] for char in page.chars if char["text"].strip()) >= 10 - 0.01


def test_a_record_that_two_sheets_do_not_hold_is_refused(context: BuildContext) -> None:
    after = context.library.after_event
    assert after is not None
    many = after.model_copy(update={"record": after.record * 4})
    made = BuildContext(replace(context.library, after_event=many), context.overrides)
    with pytest.raises(ContentFault, match="more than 2 sheets hold"):
        pad_document(made, PAPERS["letter"], "pad")


def test_content_without_a_record_has_no_pad(context: BuildContext) -> None:
    made = BuildContext(replace(context.library, after_event=None), context.overrides)
    assert pad_document(made, PAPERS["letter"], "pad") is None
