"""The sketches of what to look for: what hides the road hides it here too, at the place that is named."""

from __future__ import annotations

import itertools
import math

import pytest
from forty_paces.drawing.view_ends import (
    WIDTH,
    draw_view_ends,
    view_end_definitions,
    view_end_reference,
)
from forty_paces.geometry.records import HiddenBy
from forty_paces.messages.drawings import DRAWING
from forty_paces.outputs.common.typesetting import view_box

from tests.drawing.samples import RULES, SVG, US, assert_legible, assert_sound, root_of, with_class, words_in

CARD_MM = 116.0
POINT_MM = 25.4 / 72


def ends(line):
    return [tuple(map(float, pair.split(","))) for pair in line.get("points").split()]


def crossing(first, second):
    """Where two segments cross, or None."""
    (ax, ay), (bx, by) = first
    (cx, cy), (dx, dy) = second
    turned = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if abs(turned) < 1e-9:
        return None
    along = ((cx - ax) * (dy - cy) - (cy - ay) * (dx - cx)) / turned
    other = ((cx - ax) * (by - ay) - (cy - ay) * (bx - ax)) / turned
    return along if 0 <= along <= 1 and 0 <= other <= 1 else None


@pytest.mark.parametrize("rules", RULES.values(), ids=RULES)
def test_the_sketches_are_sound_and_legible_in_every_country(rules):
    svg = draw_view_ends(rules, tuple(HiddenBy), prefix="ends")
    assert_sound(svg, "ends")
    assert_legible(svg, at_px=600)


def test_type_is_ten_points_on_a_card():
    svg = draw_view_ends(US, tuple(HiddenBy), prefix="ends")
    wide, _ = view_box(svg)
    sizes = {float(text.get("font-size")) for text in root_of(svg).iter(SVG + "text")}
    assert min(sizes) * CARD_MM / wide / POINT_MM >= 10


@pytest.mark.parametrize(
    ("cause", "letters"),
    [(HiddenBy.CURVE, ["A", "B"]), (HiddenBy.HILL, ["A", "B"]), (HiddenBy.OBSTRUCTION, ["B", "C"])],
)
def test_each_sketch_names_the_places_that_are_counted(cause, letters):
    root = root_of(draw_view_ends(US, (cause,), prefix="ends"))
    assert [words for words in words_in(root) if len(words) == 1] == letters
    for letter in letters:
        assert f"{letter}" in DRAWING[f"ends-{cause}-description"]


@pytest.mark.parametrize("cause", HiddenBy)
def test_the_line_of_sight_passes_what_hides_the_road_and_ends_at_b(cause):
    root = root_of(draw_view_ends(US, (cause,), prefix="ends"))
    (sight,) = with_class(root, "fp-sight", "polyline")
    _, lost = line = ends(sight)
    hides = {"curve": "fp-terrain", "hill": "fp-terrain", "obstruction": "fp-obstacle"}[cause]
    (shape,) = with_class(root, hides, "polygon")
    corners = ends(shape)
    away = -1.0 if cause is HiddenBy.HILL else 0.6  # it may touch what it passes, but not go through
    (ax, ay), (bx, by) = line
    inner = [(ax, ay + away), (ax + 0.95 * (bx - ax), ay + away + 0.95 * (by - ay))]
    assert [crossing(inner, side) for side in itertools.pairwise([*corners, corners[0]])] == [None] * len(
        corners
    )
    marks = [ends(one) for one in with_class(root, "fp-ruler", "polyline")]
    assert min(_apart(lost, mark) for mark in marks) < 3


def _apart(point, segment):
    """The distance of a point from a segment."""
    (ax, ay), (bx, by) = segment
    length = math.hypot(bx - ax, by - ay)
    share = max(0.0, min(1.0, ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / length**2))
    return math.hypot(point[0] - ax - share * (bx - ax), point[1] - ay - share * (by - ay))


def test_where_traffic_keeps_left_the_sketch_is_the_mirror_image():
    right, left = (
        root_of(draw_view_ends(RULES[name], (HiddenBy.CURVE,), prefix="e")) for name in ("us", "uk")
    )
    (one,), (other,) = (with_class(root, "fp-terrain", "polygon") for root in (right, left))
    assert ends(other) == [pytest.approx((WIDTH - x, y), abs=0.011) for x, y in ends(one)]


def test_every_reference_has_its_definition():
    defined = {one.get("id") for one in root_of(view_end_definitions(US)).iter() if one.get("id")}
    for cause in HiddenBy:
        used = view_end_reference(cause, "small", data_picture=str(cause))
        assert f'href="#view-end-{cause}"' in used
        assert f"view-end-{cause}" in defined
        assert DRAWING[f"ends-{cause}-description"] in used
