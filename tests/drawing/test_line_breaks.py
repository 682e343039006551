"""Line breaks by Unicode Standard Annex 14 (rule numbers from memory), in shortcut and library alike."""

import pytest
from forty_paces.drawing.text import text_width, unbreakable_parts, wrap
from hypothesis import given
from hypothesis import strategies as st
from uniseg.linebreak import line_break_units

NBSP = "\u00a0"


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("two words", ["two ", "words"]),  # LB18
        (f"100{NBSP}ft", [f"100{NBSP}ft"]),  # LB12
        ("anti-lock", ["anti-", "lock"]),  # LB21
        ("555-0110", ["555-0110"]),  # LB25
        ("-5 or less", ["-5 ", "or ", "less"]),  # LB25
        ("2/32 in", ["2/32 ", "in"]),  # LB25
        ("brake/clutch", ["brake/", "clutch"]),  # LB13
        ("(b)(2)(iv)", ["(b)", "(2)", "(iv)"]),  # LB13, LB14, LB30
        ("see ( below )", ["see ", "( below )"]),  # LB13, LB14: no break inside brackets despite spaces
        ("", [""]),
    ],
)
def test_a_line_may_end_where_the_annex_lets_it(text, parts):
    assert parts == list(unbreakable_parts(text))


@given(st.lists(st.sampled_from([*"aZ7 .,:;-/()!?'“”§%$", NBSP, "—", "é", "語"]), max_size=24).map("".join))
def test_the_shortcut_over_plain_spaces_changes_nothing(text):
    assert list(line_break_units(text)) == [part for part in unbreakable_parts(text) if part]


def test_a_figure_stays_with_its_unit_in_a_drawing():
    words = f"Walk 100{NBSP}ft"
    width = text_width("Walk 100", 20) + 1
    assert ("Walk", f"100{NBSP}ft") == wrap(words, 20, width)
