"""Roads: pieces join smoothly, points agree with numerical integration, mirroring and turning are exact."""

import cmath
import math

import pytest
import shapely
from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn, divided, one_way, two_lane
from hypothesis import given
from hypothesis import strategies as st

from tests.geometry.turned_round import turned_profile, turned_road

LENGTHS = st.floats(min_value=20, max_value=600)
RADII = st.floats(min_value=250, max_value=5000)
PIECES = st.lists(
    st.one_of(st.builds(Tangent, LENGTHS), st.builds(Arc, LENGTHS, RADII, st.sampled_from(list(Turn)))),
    min_size=1,
    max_size=5,
).map(tuple)
ALIGNMENTS = st.builds(Alignment, st.floats(min_value=-1500, max_value=0), PIECES)
STATIONS = st.floats(min_value=-2000, max_value=2000)
OFFSETS = st.floats(min_value=-60, max_value=60)


def walked(alignment, station, steps=400):
    """Point and heading at a station from the first piece's start, by small steps along the heading."""
    point, heading, left = 0j, 0.0, station - alignment.start_ft
    if left < 0:
        return complex(left), 0.0
    for piece in (*alignment.pieces, Tangent(math.inf)):
        length = min(left, piece.length_ft)
        bend = 0.0 if isinstance(piece, Tangent) else (1 if piece.turn is Turn.LEFT else -1) / piece.radius_ft
        for _ in range(steps):
            point += length / steps * cmath.exp(1j * (heading + bend * length / steps / 2))
            heading += bend * length / steps
        left -= length
    return point, heading


def gap(a, b):
    return math.hypot(a[0] - b[0], a[1] - b[1])


def test_station_zero_lies_at_the_origin_and_looks_along_x():
    road = Road(Alignment(-900, (Tangent(300), Arc(800, 700, Turn.LEFT), Tangent(400))))
    assert gap((0, 0), road.position(0)) < 1e-9
    assert road.heading(0) == pytest.approx(0)


def test_a_positive_offset_lies_to_the_right():
    assert Road().position(100, 6) == pytest.approx((100, -6))


def test_a_left_bend_goes_round_its_center():
    road = Road(Alignment(0, (Arc(500, 400, Turn.LEFT),)))
    for station in (0, 125, 250, 500):
        assert gap((0, 400), road.position(station)) == pytest.approx(400)
        assert gap((0, 400), road.position(station, 12)) == pytest.approx(412)


def test_a_right_bend_has_negative_curvature():
    road = Road(Alignment(-100, (Arc(300, 500, Turn.RIGHT),)))
    assert road.alignment.piece(0).curvature == pytest.approx(-1 / 500)
    assert road.alignment.piece(-150).curvature == 0
    assert road.alignment.piece(250).curvature == 0


def test_beyond_both_ends_the_road_runs_on_straight():
    road = Road(Alignment(-200, (Arc(400, 300, Turn.LEFT),)))
    for end, way in ((-200, -1), (200, 1)):
        heading = road.heading(end)
        expected = (
            road.position(end)[0] + way * 500 * math.cos(heading),
            road.position(end)[1] + way * 500 * math.sin(heading),
        )
        assert road.position(end + way * 500) == pytest.approx(expected)


@given(ALIGNMENTS, STATIONS)
def test_points_agree_with_plain_integration(alignment, station):
    """Independent of the formulas for circles: small steps along the heading."""
    (point, heading), (origin, turn) = walked(alignment, station), walked(alignment, 0.0)
    point = (point - origin) * cmath.exp(-1j * turn)
    assert gap((point.real, point.imag), Road(alignment).position(station)) < 0.001
    assert Road(alignment).heading(station) == pytest.approx(heading - turn, abs=1e-9)


@given(ALIGNMENTS, OFFSETS)
def test_pieces_join_without_gap_or_kink(alignment, offset):
    road = Road(alignment)
    for piece in alignment.placed[1:]:
        before, after = (
            road.position(piece.from_ft - 1e-7, offset),
            road.position(piece.from_ft + 1e-7, offset),
        )
        assert gap(before, after) < 1e-5
        assert road.heading(piece.from_ft - 1e-9) == pytest.approx(road.heading(piece.from_ft), abs=1e-6)


@given(ALIGNMENTS, STATIONS, OFFSETS)
def test_the_mirror_image_has_mirrored_coordinates(alignment, station, offset):
    x, y = Road(alignment).position(station, offset)
    assert Road(alignment).mirrored().position(station, -offset) == pytest.approx((x, -y), abs=1e-6)


@given(ALIGNMENTS, STATIONS, STATIONS, OFFSETS, OFFSETS)
def test_turning_a_road_round_keeps_every_distance(alignment, first, second, near, far):
    road, turned = Road(alignment), turned_road(Road(alignment), 70)
    expected = gap(road.position(first, near), road.position(second, far))
    actual = gap(turned.position(70 - first, -near), turned.position(70 - second, -far))
    assert actual == pytest.approx(expected, abs=1e-6)


@given(ALIGNMENTS, OFFSETS)
def test_a_drawn_line_stays_within_its_sagitta(alignment, offset):
    road = Road(alignment)
    line = road.line(offset, -800, 900, sagitta_ft=0.5)
    assert line[0] == pytest.approx(road.position(-800, offset))
    assert line[-1] == pytest.approx(road.position(900, offset))
    close = road.line(offset, -800, 900, sagitta_ft=0.002)
    assert shapely.LineString(line).hausdorff_distance(shapely.LineString(close)) <= 0.51


def test_a_line_must_rise_in_station():
    with pytest.raises(ValueError, match="must rise in station"):
        Road().line(0, 100, 100)


@pytest.mark.parametrize(
    ("piece", "message"),
    [
        (Tangent(0), "0 ft long"),
        (Arc(100, 0, Turn.LEFT), "radius of 0 ft"),
        (Arc(1000, 300, Turn.LEFT), "half a circle or more"),
    ],
)
def test_pieces_that_cannot_be_are_refused(piece, message):
    with pytest.raises(ValueError, match=message):
        Alignment(0, (piece,))


def test_an_older_profile_crosses_its_vertex_at_the_textbook_offset():
    """Parabolic vertical curve: its middle is A·L/800 from the vertex (route surveying textbooks)."""
    profile = Profile(3, (Pvi(400, -4, 600),))
    assert profile.elevation_ft(400) == pytest.approx(0.03 * 400 - 7 * 600 / 800)


def test_the_highest_point_of_a_crest_lies_where_its_grade_is_zero():
    """Distance from the beginning of the curve: L·g1/A (route surveying textbooks)."""
    profile = Profile(3, (Pvi(400, -4, 600),))
    assert profile.grade_pct(100 + 600 * 3 / 7) == pytest.approx(0, abs=1e-9)


def test_grades_are_those_given_outside_the_curve_and_change_evenly_within():
    profile = Profile(2, (Pvi(0, -2, 400), Pvi(1000, 5, 200)))
    grades = [
        profile.grade_pct(station) for station in (-500, -200, -100, 0, 100, 200, 900, 1000, 1100, 3000)
    ]
    assert grades == pytest.approx([2, 2, 1, 0, -1, -2, -2, 1.5, 5, 5])


@given(st.floats(-6, 6), st.floats(-6, 6), st.floats(0, 500), STATIONS)
def test_elevation_is_the_sum_of_the_grades(first, second, curve, station):
    profile = Profile(first, (Pvi(-100, second, curve),))
    steps = 2000
    added = sum(profile.grade_pct((count + 0.5) * station / steps) for count in range(steps))
    assert profile.elevation_ft(station) == pytest.approx(added / 100 * station / steps, abs=0.1)


@given(st.floats(-6, 6), st.floats(-6, 6), st.floats(0, 500), STATIONS)
def test_turning_a_profile_round_keeps_every_rise(first, second, curve, station):
    profile = Profile(first, (Pvi(-100, second, curve), Pvi(500, first, 100)))
    turned = turned_profile(profile, 70)
    assert turned.elevation_ft(70 - station) - turned.elevation_ft(70) == pytest.approx(
        profile.elevation_ft(station) - profile.elevation_ft(0), abs=1e-6
    )
    assert turned.grade_pct(70 - station) == pytest.approx(-profile.grade_pct(station), abs=1e-6)


def test_a_profile_turned_round_twice_is_itself():
    profile = Profile(2, (Pvi(0, -2, 400), Pvi(1000, 5, 200)))
    assert turned_profile(turned_profile(profile, 70), 70) == profile


@given(
    st.floats(-6, 6),
    st.floats(-6, 6),
    st.just(0.0) | st.floats(1, 600),
    st.floats(-900, -10),
    st.floats(10, 900),
)
def test_clearance_is_the_least_gap_between_line_and_surface(first, second, curve, a, b):
    """Against many samples of the same gap."""
    profile = Profile(first, (Pvi(0, second, curve),))
    start, end = profile.elevation_ft(a) + 3.5, profile.elevation_ft(b) + 2.0
    bends = [max(a, -curve / 2), 0.0, min(b, curve / 2)]  # a grade break lies between samples
    stations = [*bends, *(a + (b - a) * count / 3000 for count in range(3001))]
    sampled = min(
        start + (end - start) * (station - a) / (b - a) - profile.elevation_ft(station)
        for station in stations
    )
    assert profile.clearance_ft(a, 3.5, b, 2.0) == pytest.approx(sampled, abs=0.01)
    assert profile.clearance_ft(b, 2.0, a, 3.5) == pytest.approx(sampled, abs=0.01)


def test_vertical_curves_that_overlap_are_refused():
    with pytest.raises(ValueError, match="before 200 ft where the one before it ends"):
        Profile(2, (Pvi(0, -2, 400), Pvi(300, 1, 300)))


def test_two_lanes_lie_side_by_side_with_the_oncoming_one_on_the_left():
    (way,) = two_lane(12, 10, 8)
    assert [(lane.center_ft, lane.forward) for lane in way.lanes] == [(-12, False), (0, True)]
    assert (way.left_ft, way.right_ft) == (-26, 16)


def test_a_one_way_road_has_no_oncoming_lane():
    (way,) = one_way(3, 12, 10, 4)
    assert [lane.center_ft for lane in way.lanes] == [-24, -12, 0]
    assert all(lane.forward for lane in way.lanes)


def test_the_median_lies_between_the_paved_edges_of_a_divided_road():
    own, other = divided(2, 12, 10, 4, 40)
    assert own.left_ft - other.right_ft == pytest.approx(40)
    assert (own.left_ft, own.right_ft) == (-22, 16)
    assert other.right_ft - other.left_ft == pytest.approx(10 + 24 + 4)
    assert not any(lane.forward for lane in other.lanes)


def test_where_traffic_keeps_left_the_oncoming_lane_lies_on_the_right():
    (way,) = (way.mirrored() for way in two_lane(12, 10, 8))
    assert [(lane.center_ft, lane.forward) for lane in way.lanes] == [(0, True), (12, False)]
    assert (way.left_ft, way.right_ft) == (-16, 26)
