"""Text widths agree with those of a text shaper."""

from __future__ import annotations

import io

import pdfplumber
import pytest
from fontTools.ttLib import TTFont
from forty_paces.drawing.typeface import FONTS, Typeface, load_typeface
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS, Margins, PaperDocument, document_html
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ImageFont

MM = 25.4 / 72
WORDS = (
    "Tow AVALANCHE Type WAVES vary,",
    "Traffic: 100 ft (40 paces), 2/32 in, 10-15 min.",
    "LTAV Yo, To. r. f' We've 'quoted' \"double\"",
    "Jack's fjord; 65 °F – 70 °F … end",
)


@pytest.fixture(scope="module")
def typeface(context: BuildContext) -> Typeface:
    return load_typeface(context.fonts)


@pytest.mark.parametrize("bold", [False, True])
def test_advances_and_heights_are_those_that_a_shaper_reads_from_the_files(
    typeface: Typeface, bold: bool
) -> None:
    """Checked against FreeType, through Pillow, at one pixel for each unit of the design."""
    weight = typeface.weight(bold)
    file = FONTS / f"atkinson-hyperlegible-latin-{700 if bold else 400}-normal.woff2"
    opened = io.BytesIO()
    font = TTFont(file)
    font.flavor = None
    font.save(opened)
    opened.seek(0)
    freetype = ImageFont.truetype(opened, 1000, layout_engine=ImageFont.Layout.BASIC)
    assert len(weight.advances) > 200
    for character, width in weight.advances.items():
        if character.isprintable():
            assert round(freetype.getlength(character)) == width, character
    assert freetype.getmetrics() == (weight.ascent, weight.descent)


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
    typeface = load_typeface()
    joined = typeface.regular.width(one + other)
    apart = typeface.regular.width(one) + typeface.regular.width(other)
    pair = typeface.regular.kerning.get((one[-1:], other[:1]), 0)
    assert joined == apart + pair
