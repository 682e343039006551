"""Text measurement: the width table against the font itself, wrapping, blocks."""

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from forty_paces.drawing.text import Box, TextBlock, TextLine, balanced, text_width, wrap
from forty_paces.drawing.typeface import load_typeface
from hypothesis import given
from hypothesis import strategies as st

from tests.drawing.samples import ASSETS
from tests.drawing.text_boxes import line_box

WORDS = st.lists(st.text(alphabet="abcdefgWm10ft.", min_size=1, max_size=9), min_size=1, max_size=9).map(
    " ".join
)


def font(weight):
    return TTFont(ASSETS / "fonts" / f"atkinson-hyperlegible-latin-{weight}-normal.woff2")


@pytest.mark.parametrize("weight", [400, 700])
def test_no_letter_or_digit_reaches_out_of_the_box_it_is_given(weight):
    face = font(weight)
    glyphs, cmap = face.getGlyphSet(), face.getBestCmap()
    for character in "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789,.()":
        pen = BoundsPen(glyphs)
        glyphs[cmap[ord(character)]].draw(pen)
        box = line_box(character, 0, 0, 1000)
        assert box.top <= -pen.bounds[3], character
        assert box.bottom >= -pen.bounds[1], character


@given(WORDS, WORDS)
def test_widths_add_up(one, other):
    assert text_width(one + other, 16) == pytest.approx(text_width(one, 16) + text_width(other, 16))


@given(WORDS, st.integers(min_value=10, max_value=300))
def test_wrapping_keeps_every_letter_and_nothing_but_a_single_letter_sticks_out(words, width):
    lines = wrap(words, 15, width)
    assert "".join(lines).replace(" ", "") == words.replace(" ", "")
    assert all(text_width(line, 15) <= width or len(line) == 1 for line in lines)
    if all(text_width(word, 15) <= width for word in words.split()):
        assert " ".join(lines) == words


@given(WORDS, st.integers(min_value=10, max_value=300))
def test_balancing_takes_no_more_lines_and_no_wider_ones(words, width):
    plain, even = wrap(words, 15, width), balanced(words, 15, width)
    assert " ".join(even) == " ".join(plain)
    assert len(even) == len(plain)
    assert max(map(len, even)) >= 1
    assert max(text_width(line, 15) for line in even) <= max(text_width(line, 15) for line in plain)


def test_a_kerned_pair_is_given_the_width_of_both_letters():
    """An engine may leave kerning out, and the box of a label must still be large enough."""
    assert load_typeface().regular.kerning[("A", "V")] < 0
    assert text_width("AV", 16) == pytest.approx(text_width("A", 16) + text_width("V", 16))


def test_a_character_outside_the_face_counts_as_a_full_em():
    assert text_width("漢", 20) == 20


def test_a_line_with_room_is_as_wide_as_the_widest_words_it_may_hold():
    line = TextLine("10 ft", 20, bold=True, lead="at ", room="500 ft")
    assert line.width == text_width("at 500 ft", 20, bold=True)


@pytest.mark.parametrize(("anchor", "left"), [("start", 100.0), ("middle", 80.0), ("end", 60.0)])
def test_a_block_s_box_follows_its_anchor(anchor, left):
    block = TextBlock((TextLine("x", 10), TextLine("y", 20)))
    shift = block.width / 40
    box = block.box(100, 5, anchor)
    assert box.left == pytest.approx(100 - (100 - left) * shift)
    assert box.height == pytest.approx(30 * 1.22)


def test_boxes_that_only_touch_do_not_overlap():
    assert not Box(0, 0, 10, 10).overlaps(Box(10, 0, 20, 10))
    assert Box(0, 0, 10, 10).overlaps(Box(10, 0, 20, 10), margin=1)
    assert Box(0, 0, 10, 10).overlaps(Box(9, 9, 20, 20))
