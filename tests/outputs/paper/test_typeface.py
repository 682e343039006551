"""Text widths agree with those of a text shaper."""

from __future__ import annotations

import io

import pdfplumber
import pytest
from forty_paces.drawing.advances import BOLD, REGULAR
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS, Margins, PaperDocument, document_html
from forty_paces.outputs.paper.typeface import Typeface, typeface_of
from hypothesis import given, settings
from hypothesis import strategies as st

MM = 25.4 / 72
WORDS = (
    "Tow AVALANCHE Type WAVES vary,",
    "Traffic: 100 ft (40 paces), 2/32 in, 10-15 min.",
    "LTAV Yo, To. r. f' We've 'quoted' \"double\"",
    "Jack's fjord; 65 °F – 70 °F … end",
)


@pytest.fixture(scope="module")
def typeface(context: BuildContext) -> Typeface:
    return typeface_of(context)


def test_advances_are_those_the_drawings_measure_with(typeface: Typeface) -> None:
    """Two independent readings of the same font files."""
    for table, weight in ((REGULAR, typeface.regular), (BOLD, typeface.bold)):
        for width, characters in table.items():
            for character in characters:
                if character in weight.advances:
                    assert width == weight.advances[character], character


def test_the_x_height_is_that_of_the_font_file(typeface: Typeface) -> None:
    assert 496 == typeface.regular.x_height


def test_kerning_pulls_known_pairs_together(typeface: Typeface) -> None:
    for pair in ("AV", "VA", "LT"):
        alone = sum(typeface.regular.width(letter) for letter in pair)
        assert typeface.regular.width(pair) < alone, pair


@pytest.mark.parametrize("bold", [False, True])
def test_lines_are_as_wide_in_a_pdf_as_they_were_measured(
    context: BuildContext, typeface: Typeface, bold: bool
) -> None:
    """Checked against an independent shaper: Pango and HarfBuzz set the same text."""
    rows = "".join(f'<p class="row">{row}</p>' for row in WORDS)
    css = f".row{{font-size:20pt;line-height:40pt;white-space:nowrap;font-weight:{700 if bold else 400}}}"
    document = PaperDocument("W", PAPERS["a3"], f"<main>{rows}</main>", Margins.all_round(10), css)
    with pdfplumber.open(io.BytesIO(pdf.to_pdf(document_html(context, document), pages=1))) as read:
        found = read.pages[0].extract_text_lines(return_chars=False)
    assert len(WORDS) == len(found)
    for words, line in zip(WORDS, found, strict=True):
        expected = (float(line["x1"]) - float(line["x0"])) * MM
        assert expected == pytest.approx(typeface.weight(bold).width(words) * 20 / 1000 * MM, abs=0.05)


@settings(max_examples=60, deadline=None)
@given(st.text(alphabet=st.characters(codec="latin-1"), max_size=30), st.text(alphabet="AVTo ,.", max_size=9))
def test_joining_two_texts_changes_the_width_by_one_kerning_pair_at_most(one: str, other: str) -> None:
    typeface = _loaded()
    joined = typeface.regular.width(one + other)
    apart = typeface.regular.width(one) + typeface.regular.width(other)
    pair = typeface.regular.kerning.get((one[-1:], other[:1]), 0)
    assert joined == apart + pair


def _loaded() -> Typeface:
    from forty_paces.outputs.paper.typeface import _weight

    from tests.outputs.conftest import OVERRIDES

    files = [OVERRIDES / f"assets/fonts/atkinson-hyperlegible-latin-{w}-normal.woff2" for w in (400, 700)]
    return Typeface(*(_weight(file.read_bytes()) for file in files))
