"""The SVG elements: numbers, escaping, ids."""

import math
from xml.etree import ElementTree

import pytest
from forty_paces.drawing import svg
from hypothesis import given
from hypothesis import strategies as st

from tests.drawing.samples import SVG, assert_sound

HOSTILE = [
    "</title><script>alert(1)</script>",
    '" onload="alert(1)',
    "]]><!--",
    "&lt;&amp;",
    "'><img src=x>",
    "\x00\x08\ud800\uffff",
]


def drawn(words):
    shapes = [svg.rect(0, 0, 10, 10, "fp-road"), svg.element("text", "fp-text", (words,), x=1, y=2)]
    return svg.drawing(100, 50, shapes, prefix="t", title=words, desc=words)


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_words_stay_words(words):
    text = drawn(words)
    assert_sound(text, "t")
    root = ElementTree.fromstring(text)
    assert [one.tag.removeprefix(SVG) for one in root] == ["title", "desc", "rect", "text"]


@given(st.text(alphabet=st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufffe\uffff")))
def test_any_words_come_back_as_they_went_in(words):
    root = ElementTree.fromstring(drawn(words))
    assert (root.find(f"{SVG}text").text or "") == words


@pytest.mark.parametrize(
    ("value", "written"),
    [(0, "0"), (-0.001, "0"), (1.0, "1"), (1.005, "1"), (2.346, "2.35"), (-3.5, "-3.5"), (1e6, "1000000")],
)
def test_numbers_have_at_most_two_decimals_and_no_loose_zeros(value, written):
    assert svg.number(value) == written


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_a_coordinate_must_be_finite(value):
    with pytest.raises(ValueError, match="coordinate"):
        svg.number(value)


@pytest.mark.parametrize("prefix", ["", "A", "1a", "a b", 'a"', "-a", "a_b"])
def test_a_prefix_that_cannot_start_an_id_is_refused(prefix):
    with pytest.raises(ValueError, match="prefix"):
        svg.drawing(1, 1, [], prefix=prefix, title="t", desc="d")


def test_attributes_keep_their_order():
    assert (
        svg.rect(1, 2, 3, 4, "fp-road", rx=2).write()
        == '<rect class="fp-road" fill="#626262" x="1" y="2" width="3" height="4" rx="2"/>'
    )


def test_a_lone_file_carries_its_style_sheet_inside():
    text = svg.standalone(drawn("words"), ".fp-road { fill: red } ]]> <")
    root = ElementTree.fromstring(text)
    assert root[0].tag == f"{SVG}style"
    assert ".fp-road { fill: red }" in root[0].text
    assert text.startswith('<?xml version="1.0" encoding="UTF-8"?>')


def test_a_lone_file_without_style_sheet_has_no_style_at_all():
    assert "<style" not in svg.standalone(drawn("words"))
