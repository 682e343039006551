"""Layout measurement: short pieces against values computed by hand, long ones against a layout engine."""

from __future__ import annotations

import io
from functools import cache

import pdfplumber
import pytest
from forty_paces.authoring.library import load_library
from forty_paces.drawing.typeface import Typeface, load_typeface
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.box_style import BoxStyle, style_sheet
from forty_paces.outputs.paper.flow import PT_MM, TooNarrow, measure
from forty_paces.outputs.paper.sheets import PAPERS, Margins, PaperDocument, document_html
from hypothesis import Phase, example, given, settings
from hypothesis import strategies as st

from tests.outputs.conftest import OVERRIDES
from tests.soaking import cases

STYLES = {
    "text": BoxStyle(size_pt=10, lead_pt=13, bold=False),
    "box": BoxStyle(above_mm=1, below_mm=2, left_mm=3, right_mm=4, border_mm=0.5),
    "big": BoxStyle(size_pt=14.5, lead_pt=18.85),
    "strong": BoxStyle(bold=True),
    "hand": BoxStyle(display="aside"),
    "tall": BoxStyle(height_mm=20),
    "pair": BoxStyle(display="row", shares=(0.3, 0.7)),
}
LEAD = 13 * PT_MM


@pytest.fixture(scope="module")
def typeface(context: BuildContext) -> Typeface:
    return load_typeface(context.fonts)


def height(html: str, typeface: Typeface, width: float = 100) -> float:
    return measure(f'<div class="text">{html}</div>', STYLES, width, typeface).height_mm


def test_a_paragraph_of_one_line_is_one_lead_high(typeface: Typeface) -> None:
    assert pytest.approx(LEAD) == height("<p>Stop.</p>", typeface)


def test_white_space_alone_takes_no_room(typeface: Typeface) -> None:
    assert height("<p> \n </p>  ", typeface) == 0


def test_padding_and_border_add_to_the_height(typeface: Typeface) -> None:
    assert pytest.approx(LEAD + 1 + 2 + 2 * 0.5) == height('<p class="box">Stop.</p>', typeface)


def test_padding_and_border_narrow_the_column(typeface: Typeface) -> None:
    words = "Put out the devices"
    whole = typeface.regular.width(words) * 10 / 1000 * PT_MM
    assert pytest.approx(LEAD) == height(f"<p>{words}</p>", typeface, whole + 0.1)
    boxed = height(f'<p class="box">{words}</p>', typeface, whole + 0.1)
    assert pytest.approx(2 * LEAD + 4) == boxed
    assert pytest.approx(LEAD + 4) == height(f'<p class="box">{words}</p>', typeface, whole + 0.1 + 8)


def test_what_is_placed_by_hand_takes_no_room(typeface: Typeface) -> None:
    assert pytest.approx(LEAD) == height('<p><span class="hand">12</span>Stop.</p>', typeface)


def test_a_least_height_holds_until_the_words_are_taller(typeface: Typeface) -> None:
    assert pytest.approx(20) == height('<p class="tall">Stop.</p>', typeface)
    assert pytest.approx(5 * LEAD) == height(f'<p class="tall">{"Stop&nbsp;now. " * 5}</p>', typeface, 20)


def test_a_row_is_as_high_as_its_highest_cell(typeface: Typeface) -> None:
    cells = "<table><tr class='pair'><td>One two three four five six</td><td>Seven</td></tr></table>"
    narrow = measure("<p class='text'>One two three four five six</p>", STYLES, 30, typeface).height_mm
    assert pytest.approx(narrow) == height(cells, typeface)


def test_a_drawing_takes_its_printed_height(typeface: Typeface) -> None:
    svg = '<svg viewBox="0 0 2 1" width="80mm" height="40.000mm"><path d="M0 0"/></svg>'
    assert pytest.approx(40) == height(f"<div>{svg}</div>", typeface)


def test_bold_words_are_measured_in_the_bold_face(typeface: Typeface) -> None:
    words = "Move everyone away from the wheel"
    edge = typeface.regular.width(words) * 10 / 1000 * PT_MM + 0.1
    assert pytest.approx(LEAD) == height(f"<p>{words}</p>", typeface, edge)
    assert pytest.approx(2 * LEAD) == height(f'<p><span class="strong">{words}</span></p>', typeface, edge)


def test_a_line_may_end_after_a_hyphen_between_letters_and_not_between_digits(typeface: Typeface) -> None:
    narrow = typeface.regular.width("anti-lo") * 10 / 1000 * PT_MM
    found = measure("<p class='text'>anti-lock</p>", STYLES, narrow, typeface)
    assert ("anti-", "lock") == found.paragraphs[0].lines
    with pytest.raises(TooNarrow, match="555-0110"):
        measure("<p class='text'>555-0110</p>", STYLES, narrow, typeface)


def test_a_word_wider_than_its_column_is_refused(typeface: Typeface) -> None:
    with pytest.raises(TooNarrow, match=r'"unbreakable" is wider than its column of 8\.0 mm'):
        height("<p>unbreakable</p>", typeface, 8)


def test_words_that_a_fixed_space_joins_stay_together(typeface: Typeface) -> None:
    width = typeface.regular.width("Call them. Turn to") * 10 / 1000 * PT_MM
    found = measure("<p class='text'>Call them. Turn&nbsp;to&nbsp;S2.</p>", STYLES, width, typeface)
    assert ("Call them.", "Turn\u00a0to\u00a0S2.") == found.paragraphs[0].lines


def test_strings_are_found_by_their_keys(typeface: Typeface) -> None:
    html = "<p>If <b data-key='a/see'>it\n burns</b>: <span data-key='a/do'>go.</span></p>"
    assert {"a/see": "it burns", "a/do": "go."} == measure(html, STYLES, 100, typeface).strings


@pytest.mark.parametrize("html", ["<p>open", "<p><b>crossed</p></b>"])
def test_markup_that_is_not_closed_is_refused(html: str, typeface: Typeface) -> None:
    with pytest.raises(ValueError, match=r"closed|closes"):
        measure(html, STYLES, 100, typeface)


FULL_TO_A_HAIR = "Aiu jWeAbimpTqz uuffjaachia dkuix the u-bW s-l"
"""With its first word bold, it is 73.9987 mm wide up to the last hyphen: it fills a column of 74 mm."""

WORD = st.text(alphabet="abcdefghijklmnopqrstuvwxyzAVTWL", min_size=1, max_size=11)
PIECE = st.one_of(
    WORD,
    st.tuples(WORD, WORD).map("-".join),
    st.sampled_from(["555-0110", "2/32 in", "100 ft", "(b)(2)(iv)", "it's", "10.5,", "and", "the", "ice."]),
)


ENGINE_ROUNDING_MM = 0.004
"""Engines round lengths: a line that fills its column to within this may or may not fit."""


@example([[(word, number == 0) for number, word in enumerate(FULL_TO_A_HAIR.split())]])
@pytest.mark.soak
@settings(max_examples=cases(10, soak=500), deadline=None, phases=[Phase.explicit, Phase.generate])
@given(st.lists(st.lists(st.tuples(PIECE, st.booleans()), min_size=1, max_size=40), min_size=8, max_size=8))
def test_lines_end_where_a_layout_engine_ends_them(
    paragraphs: list[list[tuple[str, bool]]],
) -> None:
    """WeasyPrint breaks lines by Pango and its own reading of UAX 14; ours must agree line for line."""
    context = _press()
    typeface = load_typeface(context.fonts)
    html = "".join(
        "<p>"
        + " ".join(f'<span class="strong">{word}</span>' if bold else word for word, bold in paragraph)
        + "</p>"
        for paragraph in paragraphs
    )
    html = f'<div class="text">{html}</div>'
    expected = _engine_lines(context, html, 74)
    readings = [
        measure(html, STYLES, 74, typeface, slack_mm=slack).paragraphs
        for slack in (ENGINE_ROUNDING_MM, 0, -ENGINE_ROUNDING_MM)
    ]
    for ways in zip(*readings, strict=True):  # of one paragraph
        assert any(list(way.lines) == expected[: len(way.lines)] for way in ways), (ways, expected)
        used = next(way for way in ways if list(way.lines) == expected[: len(way.lines)])
        expected = expected[len(used.lines) :]
    assert [] == expected


def test_a_line_full_to_a_hair_is_ended_before_its_last_word(typeface: Typeface) -> None:
    """The engine may fit it or not; assuming the shorter line never underestimates the height."""
    first, _, rest = FULL_TO_A_HAIR.partition(" ")
    html = f'<p class="text"><span class="strong">{first}</span> {rest}</p>'
    (paragraph,) = measure(html, STYLES, 74, typeface).paragraphs
    assert (FULL_TO_A_HAIR.removesuffix(" s-l"), "s-l") == paragraph.lines


@cache
def _press() -> BuildContext:
    """One context for all examples: hypothesis would print a fixture with each failure."""
    return BuildContext(load_library(OVERRIDES.parent), OVERRIDES)


def _engine_lines(context: BuildContext, html: str, width_mm: float) -> list[str]:
    css = style_sheet(STYLES, "main")
    edge = PAPERS["a4"].width_mm - 10 - width_mm
    document = PaperDocument("L", PAPERS["a4"], f"<main>{html}</main>", Margins(8, edge, 8, 10), css)
    lines: list[str] = []
    with pdfplumber.open(io.BytesIO(pdf.to_pdf(document_html(context, document)))) as read:
        for page in read.pages:
            lines += [line["text"] for line in page.extract_text_lines(return_chars=False, x_tolerance=1)]
    return lines
