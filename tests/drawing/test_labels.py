"""Label placement in rows and freely, and measuring the labels of a finished drawing."""

import itertools

import pytest
from forty_paces.drawing.labels import AvoidPoint, Label, clip, crosses, place_labels, spread
from forty_paces.drawing.text import Box, TextBlock, TextLine
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, box

from tests.drawing.text_boxes import text_boxes

NUMBERS = st.floats(min_value=-500, max_value=500, allow_nan=False)
WHOLE = st.integers(min_value=-200, max_value=200).map(float)
POINTS = st.tuples(WHOLE, WHOLE)
ROWS = st.lists(st.tuples(NUMBERS, st.floats(min_value=1, max_value=120)), min_size=1, max_size=8)


@given(ROWS, st.floats(min_value=0, max_value=20))
def test_a_row_keeps_its_order_and_its_gaps(row, gap):
    wanted = sorted(want for want, _ in row)
    extents = [extent for _, extent in row]
    middles = spread(wanted, extents, gap)
    for (a, b), (c, d) in itertools.pairwise(zip(middles, extents, strict=True)):
        assert c - d / 2 - (a + b / 2) >= gap - 1e-6


@given(ROWS)
def test_a_row_with_room_enough_stays_where_it_was_wanted(row):
    wanted = [index * 1000 + want for index, (want, _) in enumerate(sorted(row))]
    assert spread(wanted, [extent for _, extent in row], 5) == pytest.approx(wanted)


def test_a_crowded_pair_is_moved_apart_evenly():
    assert spread([100, 100], [40, 60], 10) == pytest.approx([70, 130])


@given(ROWS, st.floats(min_value=0, max_value=20), st.lists(NUMBERS, min_size=8, max_size=8))
def test_no_other_row_with_the_same_gaps_is_nearer_to_what_was_wanted(row, gap, nudges):
    wanted = sorted(want for want, _ in row)
    extents = [extent for _, extent in row]
    best = spread(wanted, extents, gap)
    other = []
    for index, middle in enumerate(best):
        least = -1e9
        if index:
            least = other[-1] + (extents[index - 1] + extents[index]) / 2 + gap
        other.append(max(middle + nudges[index] / 50, least))

    def off(row_):
        return sum((a - b) ** 2 for a, b in zip(row_, wanted, strict=True))

    assert off(best) <= off(other) + 1e-6


@given(POINTS, POINTS, POINTS, POINTS)
def test_crossing_lines_are_those_that_shapely_finds(a, b, c, d):
    one, other = LineString([a, b]), LineString([c, d])
    if crosses((a, b), (c, d)):
        assert one.distance(other) == pytest.approx(0, abs=1e-6)
    elif one.intersects(other):
        ends = [LineString([p, p]) for p in (a, b, c, d)]
        assert any(end.distance(one) + end.distance(other) < 1e-6 for end in ends)


@given(POINTS, POINTS)
def test_clipping_gives_the_part_inside_the_box_as_shapely_does(a, b):
    frame = Box(-100, -50, 120, 80)
    inside = LineString([a, b]).intersection(box(frame.left, frame.top, frame.right, frame.bottom))
    cut = clip((a, b), frame)
    length = 0.0 if cut is None else LineString(cut).length
    assert length == pytest.approx(inside.length, abs=1e-6)


def label(x, y, words="a label"):
    return Label((x, y), TextBlock((TextLine(words, 15),)))


def test_labels_round_one_spot_do_not_overlap_and_stay_on_the_page():
    page = Box(0, 0, 400, 300)
    found = place_labels([label(200, 150, f"label {i}") for i in range(12)], page)
    assert len(found) == 12
    for one, other in itertools.combinations(found, 2):
        assert not one.box.overlaps(other.box)
    assert all(one.box.inside(page) for one in found)


def test_a_page_too_small_for_a_label_gives_none():
    assert place_labels([label(5, 5, "far too many words for it")], Box(0, 0, 60, 40)) is None


def test_a_label_keeps_off_what_is_blocked_and_rather_off_what_is_busy():
    page = Box(0, 0, 300, 300)
    blocked = Box(150, 0, 300, 300)
    (found,) = place_labels([label(150, 150)], page, blocked=[blocked])
    assert not found.box.overlaps(blocked)
    busy = [AvoidPoint(x, y, 50) for x in range(0, 150, 5) for y in range(0, 300, 5)]
    (found,) = place_labels([label(150, 150)], page, busy=busy)
    assert found.box.left >= 145


def test_a_label_takes_the_better_of_the_points_it_may_be_tied_to():
    page = Box(0, 0, 400, 200)
    crowded = Label((60, 100), TextBlock((TextLine("here", 15),)), elsewhere=((340, 100),))
    (found,) = place_labels([crowded], page, blocked=[Box(0, 0, 200, 200)])
    assert found.label.anchor == (340, 100)


def test_reading_back_follows_groups_hidden_and_shifted():
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg">'
        '<g display="none"><text x="1" y="2" font-size="10">no</text></g>'
        '<g transform="translate(5,7)"><text x="1" y="20" font-size="10" font-weight="700" text-anchor="end">'
        "a<tspan>b</tspan></text></g></svg>"
    )
    hidden, shown = text_boxes(svg)
    assert (hidden.text, hidden.shown) == ("no", False)
    assert (shown.text, shown.shown) == ("ab", True)
    assert shown.box.right == 6
    assert shown.box.top < 27 < shown.box.bottom
