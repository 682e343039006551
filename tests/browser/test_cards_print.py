"""What Chromium prints from the cards' HTML is what the PDF beside it holds."""

from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pdfplumber
import pypdfium2
import pytest
from forty_paces.authoring.library import Library
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.cards.documents import faces_document, sheets_document
from forty_paces.outputs.cards.poster import poster_document
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.imposition import impose
from forty_paces.outputs.paper.sheets import PAPERS, PrintDocument
from pdfplumber.page import Page
from playwright.sync_api import Browser, BrowserContext
from playwright.sync_api import Page as Sheet

from tests.soaking import sample

pytestmark = pytest.mark.browser

OVERRIDES = Path(__file__).resolve().parents[2] / "site_overrides"
MM = 25.4 / 72
SIZE_MM = 0.21
"""Chromium rounds a page up to whole pixels of 1/96 in and to hundredths of a point: 0.2 mm on A3."""
NewContext = Callable[..., BrowserContext]
PrintedTwice = Callable[[str], tuple[bytes, bytes]]
LEAST_WORDS = 5
"""On any page: what is compared is not empty."""


@pytest.fixture(scope="module")
def context(library: Library) -> BuildContext:
    """A sample of the procedures, from the shortest to the longest."""
    by_length = sorted(library.procedures, key=lambda one: len(one.model_dump_json()))
    some = [procedure.id for procedure in sample(by_length, 6)]
    kept = tuple(procedure for procedure in library.procedures if procedure.id in some)
    return BuildContext(replace(library, procedures=kept), OVERRIDES)


def document(context: BuildContext, name: str) -> PrintDocument:
    size, _, how = name.partition(" ")
    if size == "poster":
        return poster_document(context, PAPERS[how], "poster")
    cards = card_set(context, size)
    if not how:
        return faces_document(context, cards, name)
    plan = impose(cards.card.paper, PAPERS[how], folded=size == "id-1")
    return sheets_document(context, cards, plan, PAPERS[how], name)


def shown(printed: PrintDocument, page: Sheet, tmp_path: Path) -> str:
    """Opens a document from a file of its own, its fonts loaded; returns the address."""
    file = tmp_path / "card.html"
    file.write_text(printed.html, encoding="utf-8")
    page.goto(file.as_uri())
    page.evaluate("document.fonts.ready")
    return file.as_uri()


@pytest.fixture(scope="module")
def printed_twice(
    context: BuildContext, chromium: Browser, tmp_path_factory: pytest.TempPathFactory
) -> PrintedTwice:
    """The PDF of a document by the layout engine, and the one that Chromium prints of its HTML."""

    @cache
    def both(name: str) -> tuple[bytes, bytes]:
        printed = document(context, name)
        page = chromium.new_page()
        shown(printed, page, tmp_path_factory.mktemp("printed"))
        made = page.pdf(prefer_css_page_size=True, print_background=True)
        page.close()
        return pdf.to_pdf(printed.html, pages=printed.pages), made

    return both


def words(page: pypdfium2.PdfPage) -> list[str]:
    return sorted(page.get_textpage().get_text_range().replace("\u00a0", " ").split())


@pytest.mark.parametrize(
    "name", ["half-letter", "a5", "id-1", "half-letter letter", "id-1 letter", "poster tabloid", "poster a3"]
)
def test_the_browser_prints_the_same_pages_at_the_same_size_with_the_same_words(
    printed_twice: PrintedTwice, name: str
) -> None:
    expected, actual = map(pypdfium2.PdfDocument, printed_twice(name))
    assert len(expected) == len(actual)
    for number, (one, other) in enumerate(zip(expected, actual, strict=True)):
        for mine, theirs in zip(one.get_size(), other.get_size(), strict=True):
            assert mine * MM == pytest.approx(theirs * MM, abs=SIZE_MM)
        assert len(words(one)) > LEAST_WORDS, (name, number)
        assert words(one) == words(other), (name, number)


def letters(page: Page) -> list[tuple[str, float, float]]:
    """Each letter of 14 pt and more with the start of its baseline, in millimetres from the top left."""
    height = float(page.height)
    return [
        (char["text"], char["matrix"][4] * MM, (height - char["matrix"][5]) * MM)
        for char in page.chars
        if char["text"].strip() and char["size"] > 13.9
    ]


def test_titles_and_by_heart_lines_stand_where_the_pdf_has_them(
    printed_twice: PrintedTwice,
) -> None:
    """Within 0.4 mm along the line and 0.7 mm down: Chromium rounds the ascent of a font to whole pixels.

    This detects a browser that shrinks the page to make room for ink beyond its edge.
    """
    expected, actual = (pdfplumber.open(io.BytesIO(data)) for data in printed_twice("half-letter"))
    for one, other in sample(list(zip(expected.pages, actual.pages, strict=True)), 6):
        theirs: dict[str, list[tuple[float, float]]] = {}
        for letter, left, base in letters(other):
            theirs.setdefault(letter, []).append((left, base))
        for letter, left, base in letters(one):
            off = min(max(abs(left - x) / 0.4, abs(base - y) / 0.7) for x, y in theirs[letter])
            assert off <= 1, (one.page_number, letter, left, base)


def test_a_card_page_asks_nothing_of_anyone_and_its_policy_bars_nothing_it_needs(
    context: BuildContext, new_context: NewContext, tmp_path: Path
) -> None:
    page = new_context().new_page()
    asked: list[str] = []
    said: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: said.append(message.text))
    address = shown(document(context, "half-letter"), page, tmp_path)
    outside = [url for url in asked if not url.startswith(("data:", address))]
    assert [] == outside
    assert [] == said
    assert page.evaluate("document.fonts.check('12pt \"Atkinson Hyperlegible\"')")


@pytest.mark.walk
def test_on_a_screen_a_face_is_shown_at_its_printed_size(
    context: BuildContext, new_context: NewContext, tmp_path: Path
) -> None:
    page = new_context().new_page()
    shown(document(context, "half-letter"), page, tmp_path)
    box = page.locator(".page").first.bounding_box()
    assert box is not None
    assert 139.7 / 25.4 * 96 == pytest.approx(box["width"], abs=1)
    assert 215.9 / 25.4 * 96 == pytest.approx(box["height"], abs=2)


OVERLAPS = """
() => {
  const part = (element) => {
    const box = element.getBoundingClientRect();
    return [box.left, box.top, box.right, box.bottom];
  };
  const words = (element) => {
    const range = document.createRange();
    range.selectNodeContents(element);
    const lines = Array.from(range.getClientRects());
    return lines.map((b) => [b.left, b.top + b.height * 0.12, b.right, b.bottom - b.height * 0.12]);
  };
  const found = [];
  for (const face of document.querySelectorAll(".face")) {
    const kinds = ".number, .tick, .notice-symbol, .code-letters, .qr svg, .ring, .index-code";
    const boxes = Array.from(face.querySelectorAll(kinds)).map((element) =>
      [element, element.matches(".number, .index-code") ? words(element)[0] : part(element)]);
    const texts = Array.from(face.querySelectorAll("span[data-key], .foot-words"));
    for (const [element, box] of boxes) {
      for (const [other, its] of boxes) {
        if (element === other || !box || !its) continue;
        if (apart(box, its)) continue;
        found.push([face.id, String(element.className), String(other.className)]);
      }
      for (const text of texts) {
        for (const line of words(text)) {
          if (!box || apart(box, line)) continue;
          found.push([face.id, String(element.className), text.textContent.slice(0, 30)]);
        }
      }
    }
  }
  return found;
  function apart(a, b) {
    const e = 0.2;
    return a[2] <= b[0] + e || b[2] <= a[0] + e || a[3] <= b[1] + e || b[3] <= a[1] + e;
  }
}
"""
"""Every number, tick box, symbol, code and hole of every face against one another and against the words."""


@pytest.mark.parametrize("size", ["half-letter", "a5", "id-1"])
def test_no_number_box_or_symbol_of_a_face_lies_on_another_or_on_words(
    context: BuildContext, new_context: NewContext, tmp_path: Path, size: str
) -> None:
    page = new_context().new_page()
    shown(document(context, size), page, tmp_path)
    assert page.locator(".number").count() > 5
    assert [] == page.evaluate(OVERLAPS)
    page.evaluate("document.querySelectorAll('.number').forEach((one) => { one.style.left = '4mm'; })")
    assert page.evaluate(OVERLAPS), "what lies on words or on numbers is found"
