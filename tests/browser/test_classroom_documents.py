"""Classroom papers as a browser prints them: pages as composed, cards that hold their words."""

from __future__ import annotations

from pathlib import Path

import pypdfium2
import pytest

from tests.browser.classroom_pages import OpenPage, classroom_folder

__all__ = ["classroom_folder"]
pytestmark = pytest.mark.browser

ROOM_LEFT = """() => [...document.querySelectorAll('.recall')].map(card => {
  const foot = card.querySelector('.recall__foot');
  const limit = foot ? foot.getBoundingClientRect().top : card.getBoundingClientRect().bottom - 18;
  const words = [...card.children].filter(child => child !== foot);
  return limit - Math.max(...words.map(word => word.getBoundingClientRect().bottom));
})"""


def test_the_whole_classroom_with_its_papers_stays_well_under_six_megabytes(classroom_folder: Path) -> None:
    """Every page, note, exercise, paper, style and script, as a site has them; the PDFs beside are copies."""
    files = [file for file in classroom_folder.rglob("*") if file.is_file() and file.suffix != ".pdf"]
    sizes = {file: file.stat().st_size for file in files}
    assert {".html", ".css", ".js"} == {file.suffix for file in sizes}
    assert 2_000_000 < sum(sizes.values()) < 5_800_000


def test_every_recall_card_holds_its_words(classroom_folder: Path, open_page: OpenPage) -> None:
    files = sorted((classroom_folder / "sheets").glob("recall-*.html"))
    assert files
    page = open_page(files[0])
    for file in files:
        page.goto(file.as_uri())
        left = page.evaluate(ROOM_LEFT)
        assert len(left) >= 10
        assert min(left) >= 0, file.name


@pytest.mark.parametrize(
    ("name", "width_mm", "height_mm"),
    [
        ("test-1-class", 215.9, 279.4),
        ("test-1-keys", 215.9, 279.4),
        ("yard-plan", 215.9, 279.4),
        ("sign-off", 215.9, 279.4),
        ("recall-tires", 279.4, 215.9),
    ],
)
def test_a_browser_prints_the_same_pages_at_the_same_size(
    classroom_folder: Path, open_page: OpenPage, name: str, width_mm: float, height_mm: float
) -> None:
    page = open_page(classroom_folder / "sheets" / f"{name}.html")
    composed = page.locator(".page").count()
    printed = pypdfium2.PdfDocument(page.pdf(prefer_css_page_size=True))
    assert composed == len(printed)
    for sheet in printed:
        assert [width_mm, height_mm] == pytest.approx(
            [size / 72 * 25.4 for size in sheet.get_size()], abs=0.5
        )


def test_a_printed_lesson_shows_questions_and_no_answers(classroom_folder: Path, open_page: OpenPage) -> None:
    page = open_page(classroom_folder / "tires.html")
    text = "".join(
        sheet.get_textpage().get_text_range() for sheet in pypdfium2.PdfDocument(page.pdf(format="Letter"))
    )
    words = " ".join(text.split())
    assert "What do your feet do?" in words
    assert "What do your hands do?" in words
    assert "They stay off the brake." in words, "as one of the choices"
    assert "A rolling vehicle with no brake on" not in words
    assert "They grip the wheel" not in words
