"""The review sheet on paper: two pages a procedure, in type that is read at arm's length."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pypdfium2
import pytest
from click.testing import CliRunner
from forty_paces.authoring.library import Library
from forty_paces.commands.review import review
from playwright.sync_api import Browser, Page

from tests.browser.printing import feet, stranded_headings
from tests.browsers import OpenPage, one_page
from tests.soaking import sample

pytestmark = pytest.mark.browser

PROJECT = Path(__file__).resolve().parents[2]
MOST_PAGES = 2
LEAST_PT = 10.0
"""Common practice for forms that are read and signed at a desk, no source."""

TYPE_PT = """() => {
  const sizes = [];
  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node; (node = texts.nextNode());) {
    const holder = node.parentElement;
    if (!node.textContent.trim() || !holder.closest('.review-sheet')) continue;
    if (holder.closest('title, desc') || !holder.getClientRects().length) continue;
    const svg = holder.closest('svg');
    const px = svg
      ? parseFloat(holder.closest('[font-size]').getAttribute('font-size')) * svg.getScreenCTM().a
      : parseFloat(getComputedStyle(holder).fontSize);
    sizes.push(px * 0.75);
  }
  return [sizes.length, Math.min(...sizes)];
}"""


LONGEST_LEFT = """(count) => {
  const sheets = Array.from(document.querySelectorAll(".review-sheet"));
  const length = (sheet) => sheet.textContent.length;
  const longest = [...sheets].sort((a, b) => length(b) - length(a)).slice(0, count);
  const left = sheets.filter((sheet) => longest.includes(sheet));
  for (const sheet of sheets) {
    if (left.includes(sheet)) continue;
    sheet.previousElementSibling.remove(); // its heading
    sheet.remove();
  }
  return left.map((sheet) => sheets.indexOf(sheet));
}"""
"""Leaves so many of the sheets, the longest, and tells which: their places among all."""


@pytest.fixture(scope="module")
def review_page(chromium: Browser, built_site: Path) -> Iterator[Page]:
    """The page of all sheets, whose opening takes two seconds; the last test that has it takes sheets out."""
    with one_page(chromium, (built_site / "review.html").as_uri()) as page:
        yield page


def test_no_type_on_a_sheet_is_small(review_page: Page) -> None:
    page = review_page
    page.emulate_media(media="print")
    for width_mm in (215.9, 210.0):
        between_margins_px = round((width_mm - 30) / 25.4 * 96)
        page.set_viewport_size({"width": between_margins_px, "height": 900})
        count, least_pt = page.evaluate(TYPE_PT)
        assert count > 1000
        assert least_pt >= LEAST_PT - 0.01, width_mm
    page.emulate_media(media="null")


@pytest.mark.parametrize(("paper", "sheets"), [("Letter", None), ("A4", 8)])
def test_a_sheet_takes_two_pages_and_none_shares_one(
    review_page: Page, library: Library, paper: str, sheets: int | None
) -> None:
    """Every sheet on Letter; on A4, which is longer and narrower, those with the most words."""
    page = review_page
    page.set_viewport_size({"width": 1280, "height": 800})
    left = page.evaluate(LONGEST_LEFT, sheets or len(library.procedures))
    assert len(left) == (sheets or len(library.procedures))
    printed = pypdfium2.PdfDocument(page.pdf(format=paper))
    assert [] == list(stranded_headings(page, printed))
    texts = [" ".join(sheet.get_textpage().get_text_range().split()) for sheet in printed]
    edition = library.edition.id
    for number, text in enumerate(texts, 1):
        assert f"Page {number} of {len(texts)}" in text
        assert f"edition {edition}" in text
        assert "Unit ____" in text
    headed = [re.search(r"([A-Z]{3}[0-9]+) (.+?) Version [0-9.]+, in force from", text) for text in texts]
    starts = [number for number, found in enumerate(headed) if found]
    assert [library.procedures[at].code for at in left] == [headed[at][1] for at in starts]
    counts = [after - at for at, after in zip(starts, [*starts[1:], len(texts)], strict=True)]
    assert max(counts) <= MOST_PAGES, counts
    assert all("Rater 2" in texts[at + count - 1] for at, count in zip(starts, counts, strict=True))


def test_every_page_of_record_and_procedures_names_edition_unit_and_number_and_ends_with_no_heading(
    built_site: Path, open_page: OpenPage, library: Library
) -> None:
    procedures = [f"procedures/{one.id}.html" for one in sample(library.procedures, 4)]
    for name in ("after-event.html", "before-trip.html", *procedures):
        page = open_page(built_site / name)
        printed = pypdfium2.PdfDocument(page.pdf(format="Letter"))
        carrier = library.fleet.carrier.replace(" ", "")
        for number, foot in enumerate(feet(printed), 1):
            assert f"{carrier},edition{library.edition.id}" in foot, (name, foot)
            assert "Unit____" in foot, (name, foot)
            assert f"Page{number}of{len(printed)}" in foot, (name, foot)
        assert [] == list(stranded_headings(page, printed)), name
        page.context.close()


def test_every_page_of_the_report_to_sign_names_carrier_unit_edition_and_number(
    open_page: OpenPage, library: Library, tmp_path: Path
) -> None:
    report = tmp_path / "review.html"
    result = CliRunner().invoke(review, ["--project", str(PROJECT), "--html", str(report)])
    assert 0 == result.exit_code, result.output
    page = open_page(report)
    printed = pypdfium2.PdfDocument(page.pdf(format="Letter"))
    carrier = library.fleet.carrier.replace(" ", "")
    assert len(printed) > len(library.procedures)
    for number, foot in enumerate(feet(printed), 1):
        assert f"{carrier},unit____" in foot, foot
        assert f"edition{library.edition.id},unsignedPage{number}of{len(printed)}" in foot, foot
    assert [] == list(stranded_headings(page, printed))


def test_a_heading_at_the_end_of_a_page_is_noticed(open_page: OpenPage, tmp_path: Path) -> None:
    file = tmp_path / "stranded.html"
    foot = "@page{margin:15mm;@bottom-right{content:'Page ' counter(page)}}"
    file.write_text(f"<style>{foot}h2{{break-after:page}}</style><p>Some.<h2>Alone here</h2><p>More.")
    page = open_page(file)
    printed = pypdfium2.PdfDocument(page.pdf(format="Letter"))
    assert [(1, "Alonehere")] == list(stranded_headings(page, printed))
