"""Scene plans to scale: valid, legible, and measured against their own scale bar."""

import itertools
import math
import re
from functools import cache

import pytest
from forty_paces.drawing.formats import Size
from forty_paces.drawing.labels import PLATE, crosses, line_meets_box
from forty_paces.drawing.scene_frame import frame
from forty_paces.drawing.scene_plan import ScenePlan, draw_scene
from forty_paces.drawing.schematic import markings
from forty_paces.geometry.scene import Strip, station_ft
from forty_paces.geometry.units import METERS_PER_FOOT
from forty_paces.messages.drawings import sight_texts
from forty_paces.messages.quantities import feet, hidden_length, length_down, length_up, meters

from tests.drawing.samples import (
    RULES,
    SCENE_NAMES,
    SVG,
    US,
    assert_devices_uncovered,
    assert_legible,
    assert_sound,
    box_of,
    corners,
    root_of,
    scene,
    solved,
    with_class,
    words_in,
)
from tests.drawing.text_boxes import text_boxes

SIZES = [Size.WIDE, Size.TALL]
SHOWN_AT = {Size.WIDE: 800, Size.TALL: 390}
OTHERS = [(name, rules) for name in SCENE_NAMES for rules in ("ontario", "germany", "australia-sa")]


@cache
def drawn(name, size, rules="us"):
    return draw_scene(solved(name, rules), RULES[rules], prefix="s", size=size)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SCENE_NAMES)
def test_every_scene_is_sound_and_its_words_stand_clear(name, size):
    svg = drawn(name, size)
    assert_sound(svg, "s")
    assert_legible(svg, at_px=SHOWN_AT[size])
    assert_devices_uncovered(svg)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("name", "rules"), OTHERS)
def test_every_scene_is_sound_under_other_rules(name, rules, size):
    svg = drawn(name, size, rules)
    assert_sound(svg, "s")
    assert_legible(svg, at_px=SHOWN_AT[size])


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SCENE_NAMES)
def test_each_device_of_a_scene_is_labelled_with_distance_and_paces(name, size):
    svg = drawn(name, size)
    words = [one.text for one in text_boxes(svg)]
    for placed in solved(name).devices:
        at = words.index(str(placed.number))
        assert words[at + 1] == feet(placed.device.distance_ft)
        assert words[at + 2] == f"{placed.device.paces} paces"


def scale_of(root, rules):
    """Page units per foot, read from the scale bar and the text beside it."""
    bar = with_class(root, "fp-ruler", "polyline")[-1]
    run = box_of(bar).width
    word = words_in(root)[-1]
    length, unit = re.fullmatch(r"(\d+) (ft|m) \(\d+ (?:ft|m)\)", word).groups()
    return run / (float(length) / (METERS_PER_FOOT if unit == "m" else 1.0))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SCENE_NAMES)
def test_devices_lie_as_far_apart_as_the_scale_bar_says(name, size):
    root = root_of(drawn(name, size))
    scale = scale_of(root, US)
    devices = solved(name).devices
    marks = [center(one) for one in with_class(root, "fp-device-place")]
    assert len(marks) == len(devices)
    for (one, at), (other, there) in itertools.combinations(zip(devices, marks, strict=True), 2):
        apart_ft = math.dist((one.x, one.y), (other.x, other.y))
        assert math.dist(at, there) == pytest.approx(apart_ft * scale, abs=0.5)


def center(group):
    x, y = zip(*corners(group[0]), strict=True)
    return sum(x) / 3, sum(y) / 3


def test_on_a_straight_road_the_ruler_is_as_long_as_the_rule_says():
    # 100 ft behind the rear and 100 ft ahead of the front, 49 CFR 392.22(b)(1).
    root = root_of(drawn("sawmill-straight", Size.WIDE))
    scale = scale_of(root, US)
    lengths = [box_of(one).width / scale for one in with_class(root, "fp-ruler", "polyline")[:-1]]
    assert lengths == pytest.approx([100, 100], abs=0.5)


@pytest.mark.parametrize("name", SCENE_NAMES)
def test_everything_of_interest_is_inside_the_stations_shown(name):
    found = solved(name)
    shown = frame(found, Size.WIDE)
    for placed in found.devices:
        assert shown.start_ft < placed.station_ft < shown.end_ft
    for side in found.sides:
        needed = found.placement.approach(side.toward).needed_ft
        assert shown.start_ft <= station_ft(found.scene, side.toward, needed) <= shown.end_ft


@pytest.mark.parametrize("name", SCENE_NAMES)
def test_the_hidden_stretches_are_shaded_as_long_as_the_solver_found_them(name):
    found = solved(name)
    root = root_of(drawn(name, Size.WIDE))
    scale = scale_of(root, US)
    shown = frame(found, Size.WIDE)
    expected = []
    for side in found.sides:
        for near, far in side.hidden:
            ends = [
                min(max(station_ft(found.scene, side.toward, d), shown.start_ft), shown.end_ft)
                for d in (near, far)
            ]
            if ends[0] != ends[1]:
                expected.append(abs(ends[1] - ends[0]))
    bands = with_class(root, "fp-hidden", "polygon")
    assert len(bands) == len(expected)
    for band, length in zip(bands, expected, strict=True):
        points = corners(band)
        half = points[: len(points) // 2]
        drawn_ft = sum(math.dist(a, b) for a, b in itertools.pairwise(half)) / scale
        # Stations count along the lane's center; the strip's edges are offset, so slightly longer or shorter.
        assert drawn_ft == pytest.approx(length, rel=0.06, abs=1)


@pytest.mark.parametrize("name", SCENE_NAMES)
def test_what_each_side_s_drivers_get_and_need_is_written(name):
    found = solved(name)
    words = " ".join(one.text for one in text_boxes(drawn(name, Size.WIDE)))
    for side in found.sides:
        approach = found.placement.approach(side.toward)
        assert length_up(US, approach.needed_ft) in words
        if math.isfinite(side.hidden_ft):
            assert f"vehicle hidden beyond {hidden_length(US, side.hidden_ft)}" in words
        if side.warned_by is not None:
            assert f"device {side.warned_by} seen from {length_down(US, approach.warning_ft)}" in words


@pytest.mark.parametrize("name", SCENE_NAMES)
def test_what_blocks_the_view_is_named_where_it_is_drawn(name):
    svg = drawn(name, Size.WIDE)
    root = root_of(svg)
    drawn_blockers = with_class(root, "fp-obstacle") + with_class(root, "fp-obstacle-wall")
    words = " ".join(one.text for one in text_boxes(svg))
    named = [blocker.title for blocker in scene(name).blockers if blocker.title in words]
    assert len(named) >= len(drawn_blockers) > 0 or not scene(name).blockers


def test_metric_rules_put_meters_first_and_a_metric_scale_bar():
    root = root_of(drawn("sawmill-straight", Size.WIDE, "ontario"))
    words = words_in(root)
    assert meters(30 / METERS_PER_FOOT) in words
    assert re.fullmatch(r"\d+ m", words[-1])


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SCENE_NAMES)
def test_a_first_sight_beyond_the_edge_says_that_it_is_off_the_drawing(name, size):
    found = solved(name)
    shown = frame(found, size)
    beyond = 0
    for side in found.sides:
        for text in sight_texts(found, side, US):
            beyond += (
                not shown.start_ft <= station_ft(found.scene, side.toward, text.distance_ft) <= shown.end_ft
            )
    assert beyond == [one.text for one in text_boxes(drawn(name, size))].count("off the drawing")


def test_the_shipped_scenes_hold_first_sights_on_and_off_the_drawing():
    found = {name: "off the drawing" in drawn(name, Size.WIDE) for name in SCENE_NAMES}
    assert {True, False} == set(found.values())


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SCENE_NAMES)
def test_what_runs_beside_the_road_is_named_from_its_own_side(name, size):
    found = solved(name)
    labels = ScenePlan(found, US, "s", frame(found, size), markings(US)).labels
    strips = {blocker.title for blocker in found.scene.blockers if isinstance(blocker, Strip)}
    named = [one for one in labels.placed if " ".join(line.text for line in one.label.block.lines) in strips]
    for one in named:
        line = (one.label.anchor, one.tie)
        assert not any(crosses(line, piece) for piece in itertools.pairwise(labels.middle_of_road))


@pytest.mark.parametrize("name", SCENE_NAMES)
def test_no_leader_cuts_the_ruler_and_none_is_a_mere_stub(name):
    root = root_of(drawn(name, Size.TALL))
    stubs = [
        [float(one.get(key)) for key in ("x1", "y1", "x2", "y2")]
        for one in with_class(root, "fp-leader-fine")
    ]
    assert min(math.dist(stub[:2], stub[2:]) for stub in stubs) > 10
    drawn_order = [one.get("class", "") for one in root.iter()]
    leaders = [at for at, classes in enumerate(drawn_order) if classes == "fp-leader-back"]
    zeros = [at for at, classes in enumerate(drawn_order) if classes == "fp-ruler-zero"]
    assert bool(zeros) is (name != "gorge-bridge"), "there nobody can walk, so no walk is drawn"
    assert max(leaders) < min(zeros, default=len(drawn_order))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", SCENE_NAMES)
def test_no_words_cover_a_ruler_and_no_plate_hides_part_of_a_name_s_leader(name, size):
    found = solved(name)
    plan = ScenePlan(found, US, "s", frame(found, size), markings(US))
    titles = {blocker.title for blocker in found.scene.blockers}
    placed = plan.labels.placed
    names = [one for one in placed if " ".join(line.text for line in one.label.block.lines) in titles]
    *rulers, _scale_bar = with_class(root_of(plan.draw()), "fp-ruler")
    lines = [line for ruler in rulers for line in itertools.pairwise(corners(ruler))]
    assert bool(lines) is (name != "gorge-bridge"), "there nobody can walk, so no walk is drawn"
    for one in placed:
        assert not any(line_meets_box(line, one.box) for line in lines), one.label.block
    for one, other in itertools.permutations(placed, 2):
        if one in names:
            assert not line_meets_box((one.label.anchor, one.tie), other.box.grown(PLATE)), one.label.block


def test_there_is_no_compass():
    for name in SCENE_NAMES:
        assert not re.search(r"\b[Nn]orth\b|>N<", drawn(name, Size.WIDE))


def test_a_scene_is_not_drawn_card_size():
    with pytest.raises(ValueError, match="wide or tall"):
        draw_scene(solved(SCENE_NAMES[0]), US, prefix="s", size=Size.CARD)


@pytest.mark.parametrize("size", SIZES)
def test_a_scene_is_drawn_the_same_twice(size):
    again = draw_scene(solved("quarry-bend"), US, prefix="s", size=size)
    assert drawn("quarry-bend", size) == again


def test_a_scene_keeps_its_stripes_and_texts_apart_from_another_s():
    one, other = (draw_scene(solved("quarry-bend"), US, prefix=prefix) for prefix in ("a", "b"))
    ids = [set(re.findall(r' id="([^"]*)"', svg)) for svg in (one, other)]
    assert not ids[0] & ids[1]
    assert SVG[1:-1] in one
