"""Profiles: valid, legible, the line of sight just clear of the crest."""

import re

import numpy as np
import pytest
from forty_paces.drawing.formats import Size
from forty_paces.drawing.profile import LENGTHS, ProfileDrawing, draw_profile, shows_crest
from forty_paces.geometry.sight import SURFACE
from forty_paces.messages.quantities import feet

from tests.drawing.samples import (
    SCENE_NAMES,
    US,
    assert_legible,
    assert_sound,
    corners,
    root_of,
    solved,
    with_class,
)
from tests.drawing.text_boxes import text_boxes

SIZES = [Size.WIDE, Size.TALL]
SHOWN_AT = {Size.WIDE: 800, Size.TALL: 390}
CRESTS = [name for name in SCENE_NAMES if shows_crest(solved(name))]


def drawn(name, size=Size.WIDE):
    return draw_profile(solved(name), US, prefix="q", size=size)


def test_the_shipped_scenes_hold_crests_to_draw():
    assert CRESTS
    assert all(any(side.hidden_by == SURFACE for side in solved(name).sides) for name in CRESTS)


@pytest.mark.parametrize(
    ("name", "size"),
    [*((name, Size.WIDE) for name in SCENE_NAMES), *((name, Size.TALL) for name in CRESTS)],
)
def test_every_profile_is_sound_and_its_words_stand_clear(name, size):
    svg = drawn(name, size)
    assert_sound(svg, "q")
    assert_legible(svg, at_px=SHOWN_AT[size])


@pytest.mark.parametrize("name", CRESTS)
def test_the_drawing_says_how_much_larger_heights_are_and_draws_them_so(name):
    svg = drawn(name)
    times = int(re.search(r"Heights (\d+) times as large as lengths<", svg)[1])
    assert times > 1
    root = root_of(svg)
    surface = np.array(corners(with_class(root, "fp-road-line")[0]))
    profile = solved(name).scene.road.profile
    # Two points of the road, one at either end: the drawn slope is the true slope times the exaggeration.
    run, rise = surface[-1] - surface[0]
    marks = {one.text: one.box for one in text_boxes(svg)}
    assert marks
    first, last = ends_ft(name)
    true = (profile.elevation_ft(last) - profile.elevation_ft(first)) / (last - first)
    assert -rise / run == pytest.approx(true * times, abs=0.01)


def ends_ft(name):
    return ProfileDrawing(solved(name), US, "q", LENGTHS[Size.WIDE]).stations


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", CRESTS)
def test_lines_of_sight_touch_the_crest_and_do_not_cut_it(name, size):
    root = root_of(drawn(name, size))
    surface = np.array(corners(with_class(root, "fp-road-line")[0]))
    lines = with_class(root, "fp-sight", "line")
    assert lines
    clearances = []
    for line in lines:
        x1, y1, x2, y2 = (float(line.get(key)) for key in ("x1", "y1", "x2", "y2"))
        low, high = sorted((x1, x2))
        inside = surface[(surface[:, 0] > low) & (surface[:, 0] < high)]
        heights = np.interp(inside[:, 0], sorted((x1, x2)), [y1, y2] if x1 < x2 else [y2, y1])
        clearances.append(float((inside[:, 1] - heights).min()))
    assert min(clearances) > -0.6
    by_the_crest = any(
        side.hidden_by == SURFACE and side.hidden_ft < side.detection_ft for side in solved(name).sides
    )
    if by_the_crest:  # else the reach of the headlights ends the line before the crest
        assert min(clearances) < 1.5


@pytest.mark.parametrize("name", CRESTS)
def test_devices_toward_the_hidden_side_are_labelled(name):
    words = [one.text for one in text_boxes(drawn(name))]
    towards = {side.toward for side in solved(name).sides if side.hidden_by == SURFACE}
    for placed in solved(name).devices:
        if placed.device.toward in towards:
            assert words[words.index(str(placed.number)) + 1] == feet(placed.device.distance_ft)


def test_a_profile_is_not_drawn_card_size():
    with pytest.raises(ValueError, match="wide or tall"):
        draw_profile(solved(CRESTS[0]), US, prefix="q", size=Size.CARD)


def test_a_profile_is_drawn_the_same_twice():
    assert drawn(CRESTS[0]) == drawn(CRESTS[0])
