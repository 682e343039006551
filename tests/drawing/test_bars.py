"""Bar diagrams: segments are proportional to the figures they show."""

import itertools

import pytest
from forty_paces.drawing.bars import draw_gap, draw_stopping
from forty_paces.geometry.heavy_vehicle import BrakeSystem, following_gap_s, stopping_parts
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.drawing.samples import SVG, assert_legible, assert_sound, root_of, with_class, words_in

SPEEDS = st.integers(min_value=5, max_value=90)


def rectangles(svg):
    return [
        one
        for one in root_of(svg).iter(f"{SVG}rect")
        if one.get("class") in {"fp-bar", "fp-bar-grey", "fp-bar-light", "fp-bar-solid"}
    ]


@settings(deadline=None)
@given(SPEEDS, st.sampled_from(list(BrakeSystem)))
def test_a_stopping_bar_is_sound_and_its_parts_are_as_long_as_their_figures(speed, brakes):
    parts = stopping_parts(speed, brakes).rounded_up()
    svg = draw_stopping(parts, prefix="b", title="Stopping")
    assert_sound(svg, "b")
    assert_legible(svg, at_px=390)
    lengths = [x for x in (parts.perception_ft, parts.reaction_ft, parts.lag_ft, parts.braking_ft) if x]
    widths = [float(one.get("width")) for one in rectangles(svg)]
    assert [width / sum(widths) for width in widths] == pytest.approx(
        [length / parts.total_ft for length in lengths], abs=1e-3
    )


def test_the_handbook_s_example_is_written_on_its_bar():
    # CDL manual 2.6.1: 142 + 61 + 216 = 419 ft at 55 mph, no air lag.
    parts = stopping_parts(55, BrakeSystem.HYDRAULIC).rounded_up()
    words = words_in(root_of(draw_stopping(parts, prefix="b", title="Stopping")))
    assert {"142 ft", "61 ft", "216 ft", "419 ft in all"} <= set(words)
    assert "air lag" not in words


def test_the_parts_of_a_bar_differ_without_color():
    parts = stopping_parts(55).rounded_up()
    assert len({one.get("fill") for one in rectangles(draw_stopping(parts, prefix="b", title="S"))}) == 4


@pytest.mark.parametrize(("length_ft", "speed_mph"), [(9, 20), (40, 35), (60, 55), (100, 70)])
def test_a_gap_has_a_mark_for_every_second(length_ft, speed_mph):
    seconds = following_gap_s(length_ft, speed_mph)
    svg = draw_gap(seconds, prefix="g", title="Gap")
    assert_sound(svg, "g")
    assert_legible(svg, at_px=390)
    ticks = [one for one in with_class(root_of(svg), "fp-ruler", "line") if one.get("x1") == one.get("x2")]
    assert len(ticks) == seconds + 1
    steps = {round(float(b.get("x1")) - float(a.get("x1")), 1) for a, b in itertools.pairwise(ticks)}
    assert max(steps) - min(steps) <= 0.11


def test_a_gap_of_no_seconds_is_refused():
    with pytest.raises(ValueError, match="a second or more"):
        draw_gap(0, prefix="g", title="Gap")
