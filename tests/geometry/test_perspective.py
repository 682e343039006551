"""Perspective against a camera matrix written out in the test, and against closed forms of the level road."""

import math

import numpy as np
import pytest
from forty_paces.drawing.approach import CENTER, FOCAL, ApproachFrames
from forty_paces.drawing.pixels import WIDTH
from forty_paces.geometry.perspective import NEAR_FT, Camera, DriverPath
from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.records import Toward
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn, two_lane
from forty_paces.geometry.scene import vehicle_corners
from forty_paces.geometry.sight import TRIANGLE_HEIGHT_FT, viewers

from tests.drawing.samples import solved

LEVEL = DriverPath(Road(carriageways=two_lane(12, 10, 6)), 0.0, 3.5, forward=True)
TEN = [
    ("quarry-bend", Toward.BEHIND, 300, 120.0),
    ("quarry-bend", Toward.BEHIND, 100, 10.0),
    ("otter-bends", Toward.AHEAD, 260, 100.0),
    ("drover-crest", Toward.BEHIND, 480, 210.0),
    ("drover-crest", Toward.AHEAD, 340, 100.0),
    ("tarn-ridge", Toward.BEHIND, 220, 100.0),
    ("millrace-dip", Toward.BEHIND, 400, 150.0),
    ("ferris-ramp", Toward.BEHIND, 240, 100.0),
    ("slate-cut", Toward.BEHIND, 440, 140.0),
    ("basin-highway-right", Toward.BEHIND, 640, 400.0),
]
"""Scene, direction, distance of the eye from the vehicle, distance of the device."""


def camera_matrix(eye, aim):
    """P = K·R·[I | -C]: Hartley and Zisserman, Multiple View Geometry, section 6.1 (from memory).

    R by the cross products with which gluLookAt is documented (OpenGL reference pages; from memory).
    """
    forward = (aim - eye) / np.linalg.norm(aim - eye)
    side = np.cross(forward, [0.0, 0.0, 1.0])
    side /= np.linalg.norm(side)
    rotation = np.array([side, -np.cross(side, forward), forward])  # image y runs down
    inner = np.array([[FOCAL, 0, CENTER[0]], [0, FOCAL, CENTER[1]], [0, 0, 1]])
    return inner @ rotation @ np.hstack([np.eye(3), -eye.reshape(3, 1)])


def pixel(matrix, point):
    x, y, w = matrix @ np.array([*point, 1.0])
    return x / w, y / w


def place(road, station, offset, above):
    return np.array([*road.position(station, offset), road.elevation_ft(station) + above])


@pytest.mark.parametrize(("name", "toward", "distance", "at"), TEN)
def test_vehicle_and_device_lie_within_a_pixel_of_the_camera_matrix(name, toward, distance, at):
    """At 1280 pixels of width, the width of a frame."""
    assert WIDTH == 1280
    scene = solved(name, "us").scene
    watch = viewers(scene, toward)[0]
    frames, road = ApproachFrames(scene, toward, watch), scene.road
    sign = 1 if toward is Toward.BEHIND else -1
    zero = 0.0 if toward is Toward.BEHIND else scene.vehicle.length_ft
    eye_ft = zero - sign * distance
    eye = place(road, eye_ft, watch.offset_ft, 3.5)
    matrix = camera_matrix(eye, place(road, eye_ft + sign * 200, watch.offset_ft, 3.5))
    offset = scene.vehicle.offset_ft
    foot = place(road, zero - sign * at, offset, 0.0)
    drawn = frames.device(distance, at, offset)
    assert pixel(matrix, foot) == pytest.approx((drawn.x, drawn.y), abs=1.0)
    top = pixel(matrix, (foot[0], foot[1], foot[2] + TRIANGLE_HEIGHT_FT))
    assert drawn.y - top[1] == pytest.approx(drawn.tenths / 10, abs=1.0)
    corners = vehicle_corners(scene)
    ends = {corner: 0.0 if index < 2 else scene.vehicle.length_ft for index, corner in enumerate(corners)}
    wanted = {
        above: [pixel(matrix, (*xy, road.elevation_ft(station) + above)) for xy, station in ends.items()]
        for above in (1.2, 13.5)
    }
    shown = frames.frame(distance).vehicle
    for index, point in enumerate(shown):
        nearest = min(math.dist(point, one) for one in wanted[13.5 if index % 2 else 1.2])
        assert nearest <= 1.0, (index, point)


def test_on_a_level_road_a_point_sinks_by_focal_length_times_height_over_distance():
    camera = LEVEL.camera(-400.0, FOCAL, CENTER)
    for ahead in (50.0, 100.0, 400.0):
        x, y = camera.project(LEVEL.point(-400.0 + ahead, 6.0))
        assert (x, y) == pytest.approx((CENTER[0] + FOCAL * 6 / ahead, CENTER[1] + FOCAL * 3.5 / ahead))


def test_right_is_right_from_either_side():
    back = DriverPath(LEVEL.road, -12.0, 3.5, forward=False)
    assert LEVEL.camera(0.0, FOCAL, CENTER).project(LEVEL.point(100, 5.0))[0] > CENTER[0]
    assert back.camera(300.0, FOCAL, CENTER).project(back.point(100, 5.0))[0] < CENTER[0]


@pytest.mark.parametrize("ahead", [NEAR_FT - 0.001, 0.0, -50.0])
def test_what_is_too_near_or_behind_has_no_pixel(ahead):
    with pytest.raises(ValueError, match="no place in the picture"):
        Camera((0, 0, 0), (1, 0, 0), FOCAL, CENTER).project((ahead, 0, 0))


def test_a_shape_that_passes_the_eye_is_cut_where_it_passes():
    camera = Camera((0, 0, 0), (1, 0, 0), FOCAL, CENTER)
    wall = [(-20.0, -8.0, 0.0), (60.0, -8.0, 0.0), (60.0, -8.0, 9.0), (-20.0, -8.0, 9.0)]
    cut = camera.polygon(wall)
    edge = CENTER[0] + FOCAL * 8 / NEAR_FT
    assert max(x for x, _ in cut) == pytest.approx(edge)
    assert len(cut) == 4
    assert camera.polygon([(-9, 0, 0), (-5, 1, 0), (-4, 0, 1)]) == []


def test_a_crest_hides_the_road_behind_it_as_the_clearance_of_a_line_says():
    """Points of the surface itself; between a touch and a tenth of a foot nothing is asked."""
    road = Road(
        Alignment(-900.0, (Tangent(500.0), Arc(200.0, 900.0, Turn.LEFT), Tangent(800.0))),
        Profile(4.0, (Pvi(-250.0, -3.0, 260.0), Pvi(150.0, 5.0, 120.0))),
        two_lane(12, 10, 6),
    )
    way, hidden = DriverPath(road, 0.0, 3.5, forward=True), 0
    for eye in (-800.0, -500.0, -350.0):
        stretches = way.surface_in_view(eye, 16.0, 1000.0)
        for ahead in range(20, 1000, 7):
            clearance = road.profile.clearance_ft(eye, 3.5, eye + ahead, 0.0)
            shown = any(begin <= ahead <= end for begin, end in stretches)
            edges = [abs(ahead - edge) for pair in stretches for edge in pair]
            if clearance > -1e-6 and min(edges) > 6:
                assert shown, (eye, ahead)
            elif clearance < -0.1:
                assert not shown, (eye, ahead)
                hidden += 1
    assert hidden > 40
    assert len(way.surface_in_view(-350.0, 16.0, 1000.0)) == 2
    assert way.surface_in_view(-800.0, 16.0, 100.0) == [(16.0, 100.0)]


def test_a_road_without_a_crest_is_in_view_as_far_as_asked():
    assert LEVEL.surface_in_view(0.0, 16.0, 700.0) == [(16.0, 700.0)]
