"""Papers have the sizes of their standards, and documents print at those sizes."""

from __future__ import annotations

import io
import re
from html import unescape
from pathlib import Path

import pdfplumber
import pytest
import yaml
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.rulers import rulers
from forty_paces.outputs.paper.sheets import (
    PAPERS,
    SHEET_MARGINS,
    Margins,
    PaperDocument,
    document_html,
    page_rule,
)

PUBLISHED = yaml.safe_load(
    (Path(__file__).parents[2] / "published/paper_sizes.yml").read_text(encoding="utf-8")
)
MM = 25.4 / 72


@pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: row["id"])
def test_every_paper_has_its_published_size(row: dict[str, object]) -> None:
    expected = row.get("mm") or [inches * 25.4 for inches in row["in"]]  # type: ignore[attr-defined]
    paper = PAPERS[str(row["id"])]
    # A wallet card has its size once it is sealed in film, with 3 mm of edge all round.
    film_mm = 2 * 3.0 if row["id"] == "id-1" else 0.0
    tolerance_mm = 0.03 if film_mm else 1e-6
    sides_mm = [paper.width_mm + film_mm, paper.height_mm + film_mm]
    assert expected == pytest.approx(sides_mm, abs=tolerance_mm)


def test_no_paper_is_without_a_published_size() -> None:
    assert {row["id"] for row in PUBLISHED} == set(PAPERS)


def test_a_turned_paper_has_its_sides_swapped() -> None:
    letter = PAPERS["letter"]
    assert (letter.height_mm, letter.width_mm) == (letter.turned.width_mm, letter.turned.height_mm)


def test_a_page_rule_names_size_margins_and_the_typeface_of_its_foot() -> None:
    rule = page_rule(PAPERS["a4"], Margins(10, 11, 12, 13), 'Say "stop" \\ now')
    assert "size:210mm 297mm" in rule
    assert "margin:10mm 11mm 12mm 13mm" in rule
    assert 'content:"Say \\"stop\\" \\\\ now"' in rule
    assert rule.count('font-family:"Atkinson Hyperlegible"') == 2


@pytest.mark.parametrize("name", ["letter", "a4"])
def test_a_flowing_document_prints_on_its_paper_with_its_foot_and_page_numbers(
    context: BuildContext, name: str
) -> None:
    lines = "".join(f'<p class="whole">Line {number} of the sheet.</p>' for number in range(90))
    body = f"<main>{lines}</main>"
    paper = PAPERS[name]
    document = PaperDocument("A worksheet", paper, body, SHEET_MARGINS, foot="Worksheet 3, variant B")
    with pdfplumber.open(io.BytesIO(pdf.to_pdf(document_html(context, document)))) as read:
        total = len(read.pages)
        assert total >= 2
        for number, page in enumerate(read.pages, 1):
            assert (paper.width_mm, paper.height_mm) == pytest.approx(
                (float(page.width) * MM, float(page.height) * MM), abs=0.1
            )
            text = page.extract_text()
            assert "Worksheet 3, variant B" in text
            assert f"Page {number} of {total}" in text
            assert {"Atkinson-Hyperlegible"} == {char["fontname"].split("+")[1] for char in page.chars}


def test_a_document_carries_a_policy_that_lets_nothing_in(context: BuildContext) -> None:
    html = document_html(context, PaperDocument("T", PAPERS["a4"], "<main><p>Words.</p></main>"))
    assert "default-src 'none'" in unescape(html)
    assert not re.search(r"(?:src|href)=", html)
    assert " style=" not in html


def test_the_rulers_are_50_mm_and_2_in_long_on_paper(context: BuildContext) -> None:
    body = f"<main><p>R</p>{rulers('x')}</main>"
    html = document_html(context, PaperDocument("T", PAPERS["a4"], body, Margins.all_round(20)))
    with pdfplumber.open(io.BytesIO(pdf.to_pdf(html, pages=1))) as read:
        page = read.pages[0]
        level = sorted(float(line["width"]) * MM for line in page.lines if float(line["width"]) * MM > 10)
        assert [50.0, 50.8] == pytest.approx(level, abs=0.05)
        start = min(float(line["x0"]) for line in page.lines)
        upright = {round((float(line["x0"]) - start) * MM, 1) for line in page.lines if line["width"] < 0.1}
        assert {0.0, 10.0, 20.0, 30.0, 40.0, 50.0, 25.4, 50.8} <= upright
        assert ["R", "50mm", "2in"] == [line.replace(" ", "") for line in page.extract_text().splitlines()]
