"""Placements at broken scale: every rule set, road, size and obstruction distance."""

import itertools
import math
from functools import cache
from xml.etree import ElementTree

import pytest
from forty_paces.drawing.formats import Size
from forty_paces.drawing.schematic import draw_placement
from forty_paces.drawing.station_scale import BROKEN_FROM_FT
from forty_paces.drawing.symbols import Cause
from forty_paces.geometry.placement import streams
from forty_paces.geometry.records import Device, Placement, RoadKind, Toward, Walk
from forty_paces.geometry.units import paces
from forty_paces.geometry.walk import walking_order
from forty_paces.messages.quantities import feet, meters
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.drawing.samples import (
    HIDDEN,
    ROADS,
    RULES,
    SVG,
    US,
    assert_devices_uncovered,
    assert_legible,
    assert_sound,
    box_of,
    placed,
    root_of,
    situation,
    with_class,
    words_in,
)
from tests.drawing.text_boxes import text_boxes

SIZES = list(Size)
SHOWN_AT = {Size.TALL: 390, Size.CARD: 390, Size.WIDE: 800}
"Screens that the sizes are designed for, in CSS pixels."


def drawn(name, road, behind=math.inf, ahead=math.inf, size=Size.TALL, speed_mph=55.0, **more):
    asked = (name, road, behind, ahead, size, speed_mph)
    return drawn_with(*asked, **more) if more else drawn_plainly(*asked)


def drawn_with(name, road, behind, ahead, size, speed_mph, **more):
    placement, rules, answer = placed(name, road, behind, ahead, speed_mph)
    return draw_placement(placement, rules, answer, prefix="p", size=size, **more)


@cache
def drawn_plainly(*asked):
    """The same drawing for all tests that read it: a text, which none of them can change."""
    return drawn_with(*asked)


def check(svg, size):
    assert_sound(svg, "p")
    assert_legible(svg, at_px=SHOWN_AT[size])
    assert_devices_uncovered(svg)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("name", "road"), ROADS)
def test_every_rule_set_is_drawn_soundly_wherever_the_view_is_hidden(name, road, size):
    for behind, ahead in HIDDEN:
        check(drawn(name, road, behind, ahead, size), size)


@pytest.mark.parametrize("size", [Size.TALL, Size.WIDE])
@pytest.mark.parametrize("cause", list(Cause))
@pytest.mark.parametrize("name", ["us", "australia-sa", "ontario"])
def test_bends_hills_and_obstructions_keep_words_apart(name, cause, size):
    for behind, ahead in (
        (90.0, math.inf),
        (300.0, math.inf),
        (math.inf, 300.0),
        (300.0, 300.0),
        (600.0, 300.0),
    ):
        for causes in ({Toward.BEHIND: cause}, {Toward.AHEAD: cause}, dict.fromkeys(Toward, cause)):
            svg = drawn(name, RoadKind.TWO_LANE, behind, ahead, size, causes=causes, shaped=True)
            assert_sound(svg, "p")
            assert_legible(
                svg.replace("translate(0,176)", "translate(0,176)"), at_px=SHOWN_AT[size], least_px=10.5
            )


@pytest.mark.parametrize("size", SIZES)
def test_a_town_street_keeps_words_apart(size):
    check(drawn("us", RoadKind.TWO_LANE, size=size, street=True, speed_mph=25.0), size)


@settings(max_examples=60, deadline=None)
@given(
    name=st.sampled_from(sorted(RULES)),
    road=st.sampled_from(list(RoadKind)),
    behind=st.one_of(st.just(math.inf), st.integers(0, 1999).map(float)),
    ahead=st.one_of(st.just(math.inf), st.integers(0, 1999).map(float)),
    speed=st.integers(15, 80).map(float),
    size=st.sampled_from(SIZES),
    cause=st.one_of(st.none(), st.sampled_from(list(Cause))),
)
def test_any_situation_is_drawn_soundly(name, road, behind, ahead, speed, size, cause):
    causes = {} if cause is None else dict.fromkeys(Toward, cause)
    check(drawn(name, road, behind, ahead, size, speed, causes=causes), size)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from(list(Toward)), st.integers(0, 160).map(lambda tens: 10.0 * tens)),
        max_size=3,
        unique=True,
    ),
    st.sampled_from(SIZES),
    st.sampled_from(["traffic side", "center of lane or shoulder", "beside the vehicle", "x" * 12 + " y"]),
)
def test_any_set_of_devices_is_drawn_soundly(spots, size, across):
    devices = tuple(Device(toward, ft, paces(ft, 2.5), across, False, (), "") for toward, ft in spots)
    answer = situation(RoadKind.TWO_LANE)
    placement = Placement("us", RoadKind.TWO_LANE, devices, (), Walk(0, 0, (), None, None))
    check(draw_placement(placement, US, answer, prefix="p", size=size), size)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("name", "road"), ROADS)
def test_each_device_is_labelled_with_its_number_distance_and_paces(name, road, size):
    for behind, ahead in HIDDEN:
        placement, rules, _ = placed(name, road, behind, ahead)
        stops = with_class(root_of(drawn(name, road, behind, ahead, size)), "fp-stop")
        answer = {words_in(stop)[0]: words_in(stop)[1:] for stop in stops}
        for number, device in enumerate(walking_order(placement.devices), 1):
            words = answer.pop(str(number))
            if device.distance_ft == 0:  # beside the vehicle, in Australia
                assert device.across == " ".join(words)
                continue
            count = paces(device.distance_ft, rules.pace_ft)
            own = meters(device.distance_ft) if rules.metric else feet(device.distance_ft)
            assert words[0] == own
            assert words[1] == f"{count} {'pace' if count == 1 else 'paces'}"
            if rules.metric:
                assert feet(device.distance_ft) not in words
            assert device.across in " ".join(words)
            assert ("moved out" in words) is device.moved
        assert not answer


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("road", list(RoadKind))
def test_labels_stand_inside_the_drawing_near_what_they_name(road, size):
    # Point 27 of the thirty: labels in the drawing, at most 48 px from the object and tied to it.
    for stop in with_class(root_of(drawn("us", road, size=size)), "fp-stop"):
        (thing,) = [box_of(shape) for shape in with_class(stop, "fp-device-edge")]
        (leader,) = with_class(stop, "fp-leader")
        inner = text_boxes(f'<svg xmlns="{SVG[1:-1]}">' + svg_text(stop) + "</svg>")
        words = [one.box for one in inner if "fp-device-number" not in one.classes]
        gap = min(
            math.hypot(
                max(box.left - thing.right, thing.left - box.right, 0),
                max(box.top - thing.bottom, thing.top - box.bottom, 0),
            )
            for box in words
        )
        assert gap <= 48
        assert thing.left <= float(leader.get("x1")) <= thing.right
        assert thing.top <= float(leader.get("y1")) <= thing.bottom


def svg_text(element):
    return ElementTree.tostring(element, encoding="unicode")


def center(stop):
    (thing,) = [box_of(shape) for shape in with_class(stop, "fp-device-edge")]
    return (thing.left + thing.right) / 2, (thing.top + thing.bottom) / 2


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("name", "road"), ROADS)
def test_farther_devices_are_drawn_farther_off_and_on_their_own_side(name, road, size):
    for behind, ahead in HIDDEN:
        placement, _, _ = placed(name, road, behind, ahead)
        root = root_of(drawn(name, road, behind, ahead, size))
        bodies = [box_of(shape) for shape in with_class(root, "fp-vehicle", "polygon")]
        axis = 1 if size is Size.TALL else 0
        # Travel runs up the page in the tall size, to the right in the others.
        rear = max(box.bottom for box in bodies) if axis else min(box.left for box in bodies)
        front = min(box.top for box in bodies) if axis else max(box.right for box in bodies)
        outward = 1 if axis else -1
        spots = {words_in(stop)[0]: center(stop)[axis] for stop in with_class(root, "fp-stop")}
        for toward, zero, sign in ((Toward.BEHIND, rear, outward), (Toward.AHEAD, front, -outward)):
            off = [
                (device.distance_ft, sign * (spots[str(number)] - zero))
                for number, device in enumerate(walking_order(placement.devices), 1)
                if device.toward is toward and device.distance_ft > 0
            ]
            assert all(drawn_off > 0 for _, drawn_off in off)
            assert [far for _, far in sorted(off)] == sorted(far for _, far in off)


@pytest.mark.parametrize("size", [Size.WIDE, Size.CARD])
@pytest.mark.parametrize("behind", [90.0, 280.0, 300.0, 480.0])
def test_the_hidden_stretch_begins_on_the_right_side_of_every_device(behind, size):
    placement, _, _ = placed("us", RoadKind.TWO_LANE, behind)
    root = root_of(drawn("us", RoadKind.TWO_LANE, behind, size=size))
    (edge,) = with_class(root, "fp-hidden-edge")
    spots = {words_in(stop)[0]: center(stop)[0] for stop in with_class(root, "fp-stop")}
    for number, device in enumerate(walking_order(placement.devices), 1):
        if device.toward is Toward.BEHIND:
            assert (spots[str(number)] < float(edge.get("x1"))) is (device.distance_ft >= behind)


def test_road_is_left_out_exactly_where_marks_lie_far_apart():
    for behind, ahead in HIDDEN:
        placement, _, _ = placed("us", RoadKind.TWO_LANE, behind, ahead)
        expected = 0
        for toward, hidden in ((Toward.BEHIND, behind), (Toward.AHEAD, ahead)):
            marks = {d.distance_ft for d in placement.devices if d.toward is toward} | ({hidden} - {math.inf})
            expected += sum(b - a > BROKEN_FROM_FT for a, b in itertools.pairwise(sorted({0.0, *marks})))
        root = root_of(drawn("us", RoadKind.TWO_LANE, behind, ahead))
        assert len(with_class(root, "fp-scale-break")) == expected


def test_markings_follow_the_national_manual():
    # MUTCD part 3: yellow between opposing streams and on the left edge of a one-way roadway,
    # white between lanes of one direction and on the right edge.
    lines = {
        road: [
            (one.get("class"), "stroke-dasharray" in one.attrib)
            for one in root_of(drawn("us", road)).iter(f"{SVG}polyline")
            if one.get("class", "").startswith("fp-mark")
        ]
        for road in RoadKind
    }
    white, yellow = ("fp-mark-white", False), ("fp-mark-yellow", False)
    white_broken, yellow_broken = ("fp-mark-white", True), ("fp-mark-yellow", True)
    assert lines[RoadKind.TWO_LANE] == [white, white, yellow_broken]
    assert lines[RoadKind.ONE_WAY] == [yellow, white, white_broken]
    assert lines[RoadKind.DIVIDED] == [yellow, white, white_broken, white, yellow]


def test_a_hidden_view_draws_the_center_as_a_double_line():
    root = root_of(drawn("us", RoadKind.TWO_LANE, 300.0))
    assert [("stroke-dasharray" in one.attrib) for one in with_class(root, "fp-mark-yellow")] == [
        False,
        False,
    ]


def test_markings_are_white_where_the_rule_set_says_so():
    for road in RoadKind:
        assert not with_class(root_of(drawn("uk", road)), "fp-mark-yellow")


@pytest.mark.parametrize("road", list(RoadKind))
def test_keeping_left_is_the_mirror_image(road):
    for name, on_right in (("us", True), ("uk", False)):
        root = root_of(drawn(name, road))
        lane = box_of(with_class(root, "fp-road", "polygon")[0])
        body = box_of(with_class(root, "fp-vehicle", "polygon")[0])
        assert (body.left > lane.right - 1) is on_right
        assert (body.right < lane.left + 1) is not on_right


@pytest.mark.parametrize(("toward", "sees"), [(Toward.BEHIND, 1), (Toward.AHEAD, -1)])
@pytest.mark.parametrize(("cause", "right"), [(Cause.BEND_RIGHT, 1), (Cause.BEND_LEFT, -1)])
def test_a_bend_turns_the_way_the_coming_driver_meets_it(toward, sees, cause, right):
    hidden = {"behind": 300.0} if toward is Toward.BEHIND else {"ahead": 300.0}
    root = root_of(drawn("us", RoadKind.TWO_LANE, **hidden, causes={toward: cause}, shaped=True))
    lane = max(
        (box_of(one) for one in with_class(root, "fp-shoulder", "polygon")), key=lambda box: box.height
    )
    body = box_of(with_class(root, "fp-vehicle", "polygon")[0])
    points = [p for one in with_class(root, "fp-road", "polygon") for p in points_of(one)]
    ends = sorted(points, key=lambda p: -sees * p[1])[:2]
    middle = [p[0] for p in points if abs(p[1] - body.top) < 60] or [lane.left, lane.right]
    drift = sum(p[0] for p in ends) / len(ends) - sum(middle) / len(middle)
    # From behind, a right bend comes up out of the lower right; from ahead, down out of the upper left.
    assert math.copysign(1, drift) == right * sees


def points_of(shape):
    return [tuple(map(float, pair.split(","))) for pair in shape.get("points").split()]


def test_a_rule_set_that_forbids_devices_says_so_at_the_vehicle():
    svg = drawn("uk", RoadKind.DIVIDED)
    assert "put no devices" in " ".join(words_in(root_of(svg)))
    assert not with_class(root_of(svg), "fp-stop")


def test_the_text_alternative_names_every_device_and_hiding_place():
    placement, _, _ = placed("us", RoadKind.TWO_LANE, 300.0, 430.0)
    svg = drawn("us", RoadKind.TWO_LANE, 300.0, 430.0, causes={Toward.AHEAD: Cause.HILL})
    desc = next(one.text for one in root_of(svg) if one.get("id") == "p-desc")
    for number, device in enumerate(walking_order(placement.devices), 1):
        both = f"{feet(device.distance_ft)} ({meters(device.distance_ft)})"
        assert f"Device {number}: {both}, {device.paces} paces" in desc
    assert "from farther than 300 ft (91 m)." in desc
    assert "from farther than 430 ft (131 m) because of a hill." in desc


def test_traffic_is_written_only_where_it_comes_from():
    for road in RoadKind:
        said = [one for one in words_in(root_of(drawn("us", road))) if one.startswith("Traffic")]
        assert len(said) == len(streams(road))


def test_speeds_are_written_in_the_unit_they_are_posted_in():
    assert "Traffic, 55 mph" in words_in(root_of(drawn("uk", RoadKind.ONE_WAY)))
    assert "Traffic, 89 km/h" in words_in(root_of(drawn("germany", RoadKind.ONE_WAY)))


@pytest.mark.parametrize("size", SIZES)
def test_the_same_placement_is_drawn_the_same_twice(size):
    assert drawn("us", RoadKind.DIVIDED, 300.0, size=size) == drawn("us", RoadKind.DIVIDED, 300.0, size=size)


def test_a_situation_of_another_road_is_refused():
    placement, rules, _ = placed("us", RoadKind.DIVIDED)
    with pytest.raises(ValueError, match="divided road"):
        draw_placement(placement, rules, situation(RoadKind.ONE_WAY), prefix="p")


def test_a_bad_prefix_is_refused():
    placement, rules, answer = placed("us", RoadKind.DIVIDED)
    with pytest.raises(ValueError, match="prefix"):
        draw_placement(placement, rules, answer, prefix='p" onload="x')


@pytest.mark.parametrize("across", ["</text><script>alert(1)</script>", '" onload="x', "&amp; & <b>"])
def test_hostile_words_of_a_rule_stay_words(across):
    device = Device(Toward.BEHIND, 100.0, 40, across, False, (), "")
    placement = Placement("us", RoadKind.ONE_WAY, (device,), (), Walk(0, 0, (), None, None))
    svg = draw_placement(placement, US, situation(RoadKind.ONE_WAY), prefix="p")
    assert_sound(svg, "p")
    # A word wider than a line is broken, so only letters are compared.
    assert across.replace(" ", "") in "".join(words_in(root_of(svg))).replace(" ", "")
