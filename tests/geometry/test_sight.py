"""Sight distance: closed forms against published rows, the engine against the closed forms."""

import math

import pytest
from forty_paces.geometry.profile import Profile, Pvi, headlight_sight_ft
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn
from forty_paces.geometry.scene import Eye, Outline, Strip
from forty_paces.geometry.sight import (
    DEVICE_TARGET_FT,
    EYE_HEIGHT_FT,
    SURFACE,
    TAIL_LAMP_FT,
    TRIANGLE_HEIGHT_FT,
    Target,
    Viewer,
    first_sight,
    hidden_by,
    hidden_intervals,
)
from forty_paces.geometry.units import m_to_ft
from forty_paces.geometry.walls import walls
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.geometry.closed_forms import (
    arc_sight_ft,
    crest_length_ft,
    crest_rate,
    crest_sight_ft,
    sag_headlight_sight_ft,
    sag_rate,
    sightline_offset_ft,
)
from tests.published import published

BENDS = published("sight_bends")
CRESTS = published("sight_crests")

CLOSE_FT = 0.1
"Tolerance between engine and closed form."


def watch(road, *blockers, eye_ft=3.5, offset=0.0, forward=True):
    """An observer on a road, at the center of the travel lane unless given otherwise."""
    return Viewer(road, walls(road, blockers), offset, eye_ft, forward)


def lamps(station=0.0, offset=0.0):
    return Target(station, offset, TAIL_LAMP_FT)


def long_bend(radius, turn=Turn.RIGHT):
    """A bend that extends well before and behind station 0."""
    return Road(Alignment(-0.48 * math.pi * radius, (Arc(0.96 * math.pi * radius, radius, turn),)))


def inside(offset, radius, turn=Turn.RIGHT):
    """A wall all along the inside of such a bend."""
    reach = 0.48 * math.pi * radius
    return Strip("the wall", -reach, reach, offset if turn is Turn.RIGHT else -offset)


def test_the_heights_are_those_of_the_handbook():
    """AASHTO Green Book: eye 3.5 ft and 7.6 ft (truck), object 2.0 ft."""
    assert CRESTS["car_eye_ft"] == EYE_HEIGHT_FT[Eye.CAR]
    assert CRESTS["truck_eye_ft"] == EYE_HEIGHT_FT[Eye.TRUCK]
    assert CRESTS["object_ft"] == TAIL_LAMP_FT


def test_a_triangle_of_17_inch_sides_is_14_7_inches_high():
    """FMVSS 125 allows no shorter sides; the height follows (computed)."""
    assert pytest.approx(14.7, abs=0.05) == TRIANGLE_HEIGHT_FT * 12
    assert DEVICE_TARGET_FT == TRIANGLE_HEIGHT_FT / 2


# Bends


@pytest.mark.parametrize(("radius", "sight", "offset", "tolerance"), BENDS["rows"])
def test_the_sightline_offset_is_as_published(radius, sight, offset, tolerance):
    """AASHTO Green Book, horizontal sightline offset, worked examples."""
    assert sightline_offset_ft(radius, sight) == pytest.approx(offset, abs=tolerance)


def test_the_short_form_for_a_sightline_offset_is_close():
    radius, sight, offset = BENDS["short_form"]
    assert sight**2 / (8 * radius) == pytest.approx(offset, abs=0.01)
    assert sightline_offset_ft(radius, sight) == pytest.approx(offset, rel=0.01)


@pytest.mark.parametrize("turn", list(Turn))
@pytest.mark.parametrize(("radius", "sight", "offset", "tolerance"), BENDS["rows"])
def test_the_engine_sees_along_a_bend_as_far_as_published(radius, sight, offset, tolerance, turn):
    """The same rows in the engine: a wall at that offset leaves exactly that sight distance."""
    del offset, tolerance
    road = long_bend(radius, turn)
    room = sightline_offset_ft(radius, sight)
    found = first_sight(watch(road, inside(room, radius, turn)), lamps(), 2 * sight)
    assert found.distance_ft == pytest.approx(sight, abs=CLOSE_FT)
    assert found.distance_ft == pytest.approx(arc_sight_ft(radius, room), abs=CLOSE_FT)
    assert found.hidden_by == "the wall"


@given(st.floats(200, 4000), st.floats(0.005, 0.12), st.sampled_from(list(Turn)), st.booleans())
def test_the_engine_agrees_with_the_closed_form_on_every_bend(radius, part, turn, forward):
    """2R·acos(1 - M/R), for traffic from either side."""
    road = long_bend(radius, turn)
    room = part * radius
    sight = arc_sight_ft(radius, room)
    found = first_sight(watch(road, inside(room, radius, turn), forward=forward), lamps(), 2 * sight)
    assert found.distance_ft == pytest.approx(sight, abs=CLOSE_FT)


@given(st.floats(100, 5000), st.floats(0.001, 0.9))
def test_offset_and_sight_are_each_other_turned_round(radius, part):
    assert sightline_offset_ft(radius, arc_sight_ft(radius, part * radius)) == pytest.approx(part * radius)


def test_a_sight_beyond_half_a_circle_and_an_offset_beyond_the_center_are_refused():
    with pytest.raises(ValueError, match="more than half round"):
        sightline_offset_ft(100, 400)
    with pytest.raises(ValueError, match="does not lie within"):
        arc_sight_ft(100, 101)


# Crests and sags


def test_the_crest_divisors_are_as_published():
    """AASHTO Green Book: 2158 for the car driver; 3479 for the truck driver is computed from 7.6 ft."""
    assert crest_rate(1, 3.5, 2.0) == pytest.approx(1 / CRESTS["divisor"], rel=0.0005)
    assert crest_rate(1, 7.6, 2.0) == pytest.approx(1 / CRESTS["truck_divisor"], rel=0.0005)


@pytest.mark.parametrize(("sight", "rate"), CRESTS["design_rates"] + CRESTS["county_crest"])
def test_the_rate_of_a_crest_is_as_published(sight, rate):
    """AASHTO Green Book, K for stopping sight distance; county crest design sheets."""
    assert math.ceil(crest_rate(sight, 3.5, 2.0)) == rate


@pytest.mark.parametrize(("sight", "rate"), CRESTS["county_sag"])
def test_the_rate_of_a_sag_is_as_published(sight, rate):
    """County sag design sheets: headlight 2 ft, beam one degree up."""
    assert math.ceil(sag_rate(sight)) == rate


@pytest.mark.parametrize(("sight", "rate"), CRESTS["design_sags"])
def test_every_row_of_the_sag_table(sight, rate):
    """AASHTO Green Book, K of sag curves."""
    assert math.ceil(sag_rate(sight) - CRESTS["rounding"]) == rate


@pytest.mark.parametrize(("sight", "rate"), CRESTS["design_sags"])
def test_headlights_reach_the_published_sight_in_a_sag_of_the_published_rate(sight, rate):
    """The engine's own formula in a long curve: K feet a percent is enough, K - 1 is not."""
    change = 2 * sight / (rate - 1)
    reaches = [headlight_sight_ft(each * change, change) for each in (rate, rate - 1)]
    assert reaches[1] < sight <= reaches[0] + 0.15


@pytest.mark.parametrize(("sight", "crest", "sag"), CRESTS["metric_rates"])
def test_every_row_of_the_metric_tables(sight, crest, sag):
    """AASHTO Green Book, metric: the general formula with metric heights; sags S²/(120 + 3.5·S)."""
    rate = crest_rate(sight, CRESTS["metric_eye_m"], CRESTS["metric_object_m"])
    assert rate == pytest.approx(sight**2 / CRESTS["metric_divisor"], rel=0.001)
    assert math.ceil(rate - CRESTS["rounding"]) == crest
    assert math.ceil(sight**2 / (120 + 3.5 * sight) - CRESTS["rounding"]) == sag


@pytest.mark.parametrize(("sight", "crest", "sag"), CRESTS["metric_rates"])
def test_the_engine_sees_as_far_over_the_published_metric_crest(sight, crest, sag):
    """A crest of K meters a percent, in feet, with the metric heights; K is rounded up."""
    del sag
    change = 1.05 * sight / crest + 2
    curve_ft, sight_ft = m_to_ft(crest * change), m_to_ft(sight)
    road = Road(profile=Profile(change, (Pvi(0, 0, curve_ft),)))
    target = Target(curve_ft / 2 - 1, 0.0, m_to_ft(CRESTS["metric_object_m"]))
    found = first_sight(watch(road, eye_ft=m_to_ft(CRESTS["metric_eye_m"])), target, 3000)
    assert found.distance_ft >= sight_ft * (1 - 0.0005)


@given(st.floats(10, 2000))
def test_a_sags_rate_and_the_reach_of_headlights_are_each_other_turned_round(sight):
    assert sag_headlight_sight_ft(sag_rate(sight)) == pytest.approx(sight)


@given(st.floats(100, 1500), st.floats(1, 12))
def test_a_crest_as_long_as_a_sight_asks_for_gives_that_sight(sight, change):
    length = crest_length_ft(sight, change, 3.5, 2.0)
    if length > 0:
        assert crest_sight_ft(length, change, 3.5, 2.0) == pytest.approx(sight)


@given(st.floats(1, 12), st.sampled_from([3.5, 7.6]))
def test_both_crest_formulas_meet_where_sight_and_curve_are_equal(change, eye_ft):
    length = 200 * (math.sqrt(eye_ft) + math.sqrt(2)) ** 2 / change
    assert crest_sight_ft(length, change, eye_ft, 2.0) == pytest.approx(length)
    assert crest_length_ft(length, change, eye_ft, 2.0) == pytest.approx(length)


@pytest.mark.parametrize("eye_ft", [3.5, 7.6])
@pytest.mark.parametrize(
    ("curve", "change"),
    [(800, 6), (600, 9), (1200, 4), (100, 4), (200, 5), (60, 8), (300, 3)],
    ids=["within", "within-sharp", "within-long", "beyond", "beyond-5", "beyond-short", "beyond-flat"],
)
def test_the_engine_sees_over_a_crest_as_far_as_the_closed_form(curve, change, eye_ft):
    """Least sight over all positions of the target: the formulas for sight within and beyond the curve."""
    road = Road(profile=Profile(change / 3, (Pvi(-200, -2 * change / 3, curve),)))
    viewer = watch(road, eye_ft=eye_ft)
    places = range(-700 - curve // 2, 400 + curve // 2, 5)
    least = min(first_sight(viewer, lamps(place), 3000).distance_ft for place in places)
    assert least == pytest.approx(crest_sight_ft(curve, change, eye_ft, 2.0), abs=CLOSE_FT)


@pytest.mark.parametrize(("sight", "rate"), CRESTS["design_rates"])
def test_the_published_rate_gives_the_engine_the_published_sight(sight, rate):
    """AASHTO Green Book: a crest of K feet a percent gives at least the design sight, and K - 1 less."""
    change = 6.0 if rate * 6.0 > sight else 1.05 * sight / (rate - 1)
    least = []
    for each in (rate, rate - 1):
        road = Road(profile=Profile(change, (Pvi(0, 0, each * change),)))
        least.append(first_sight(watch(road), lamps(each * change / 2 - 1), 3000).distance_ft)
    assert least[1] < sight <= least[0]


@given(st.floats(1, 8), st.floats(1, 8), st.floats(20, 300))
def test_a_sharp_break_hides_what_the_line_over_its_edge_does_not_reach(up, down, past):
    """Similar triangles over the edge: the target's height above the far grade projected back to the eye."""
    road = Road(profile=Profile(up, (Pvi(-past, -down, 0),)))
    found = first_sight(watch(road), lamps(), 6000).distance_ft
    # The lamps are below the edge by the fall minus their height.
    below = down / 100 * past - 2.0
    if below / past + up / 100 <= 3.5 / 6000:
        return
    # At u before the edge the line is below/past·u higher than the edge; the eye is 3.5 - up·u above it.
    expected = past + 3.5 / (below / past + up / 100)
    if expected < 5990:
        assert found == pytest.approx(expected, abs=0.05)


def test_what_hides_over_a_crest_is_the_road():
    road = Road(profile=Profile(4, (Pvi(-200, -4, 200),)))
    assert first_sight(watch(road), lamps(), 2000).hidden_by == SURFACE


def test_a_straight_grade_and_a_sag_hide_nothing():
    for profile in (Profile(6), Profile(-5, (Pvi(-100, 5, 300),))):
        assert first_sight(watch(Road(profile=profile)), lamps(), 3000).distance_ft == math.inf


# One curtain, low walls, corners


@pytest.mark.parametrize("forward", [True, False])
@pytest.mark.parametrize("away", [37.5, 120, 499.99])
def test_a_curtain_across_the_road_is_the_hiding_place(away, forward):
    at = -away if forward else away
    curtain = Outline("the curtain", ((at, -300), (at, 300)), closed=False)
    found = first_sight(watch(Road(), curtain, forward=forward), lamps(), 2000)
    assert found.distance_ft == pytest.approx(away, abs=0.01)


def test_on_a_crest_lamps_are_seen_from_near_and_hidden_by_the_surface_from_far():
    crest = Road(profile=Profile(3.0, (Pvi(0, -3.0, 800.0),)))
    assert hidden_by(watch(crest), lamps(), 50.0) is None
    assert hidden_by(watch(crest), lamps(), 1000.0) == SURFACE


def test_a_target_on_the_curtain_itself_is_not_hidden_by_it():
    curtain = Outline("the curtain", ((-120, -300), (-120, 300)), closed=False)
    assert first_sight(watch(Road(), curtain), lamps(-120), 2000).distance_ft == math.inf


def test_first_sight_ends_where_the_view_is_lost_again():
    """Seen from afar, lost behind a shed, seen again: only the last view counts."""
    road = long_bend(900)
    shed = Outline("the shed", ((-200, 14), (-160, 14), (-160, 30), (-200, 30)))
    viewer = watch(road, shed)
    found = first_sight(viewer, lamps(), 900)
    (gone,) = hidden_intervals(viewer, lamps(), 900)
    assert found.distance_ft == pytest.approx(gone[0], abs=0.02)
    assert gone[1] < 900
    assert hidden_by(viewer, lamps(), gone[1] + 1) is None
    assert hidden_by(viewer, lamps(), gone[0] - 1) is None
    assert hidden_by(viewer, lamps(), (gone[0] + gone[1]) / 2) == "the shed"


def test_the_search_ends_at_its_limit():
    curtain = Outline("the curtain", ((-300, -300), (-300, 300)), closed=False)
    assert first_sight(watch(Road(), curtain), lamps(), 300).distance_ft == math.inf
    assert first_sight(watch(Road(), curtain), lamps(), 300.5).distance_ft == pytest.approx(300)


def test_hidden_stretches_end_at_the_limit():
    curtain = Outline("the curtain", ((-300, -300), (-300, 300)), closed=False)
    assert hidden_intervals(watch(Road(), curtain), lamps(), 450) == ((300, 450),)
    assert hidden_intervals(watch(Road()), lamps(), 450) == ()


@pytest.mark.parametrize("eye_ft", [3.5, 7.6])
@pytest.mark.parametrize("height", [2.5, 3.0, 5.0])
def test_the_line_of_sight_passes_a_low_wall_where_it_is_higher_than_it(height, eye_ft):
    """Similar triangles: on the level the line is h high at (h - 2) / (eye - 2) of its length."""
    curtain = Outline("the low wall", ((-100, -50), (-100, 50)), closed=False, height_ft=height)
    found = first_sight(watch(Road(), curtain, eye_ft=eye_ft), lamps(), 5000)
    part = (height - 2) / (eye_ft - 2)
    if part >= 1:
        assert found.distance_ft == pytest.approx(100, abs=0.01)
    else:
        # The nearer the eye to the wall, the higher the line is there: hidden only from farther away.
        assert found.distance_ft == pytest.approx(100 / part, abs=0.02)


def test_a_low_wall_stands_on_the_road_beside_it():
    """Uphill the same wall rises with the road, so the sight distance is that of the level."""
    curtain = Outline("the low wall", ((-100, -50), (-100, 50)), closed=False, height_ft=2.5)
    level = first_sight(watch(Road(), curtain), lamps(), 5000)
    uphill = first_sight(watch(Road(profile=Profile(6)), curtain), lamps(), 5000)
    assert uphill.distance_ft == pytest.approx(level.distance_ft, abs=0.02)


def test_a_low_round_wall_hides_a_low_target_and_not_a_high_one():
    road = long_bend(700)
    low = Strip("the parapet", -900, 900, 8, height_ft=3.4)
    viewer = watch(road, low)
    assert first_sight(viewer, lamps(), 800).hidden_by == "the parapet"
    assert first_sight(viewer, Target(0, 0, 3.5), 800).distance_ft == math.inf


def test_walls_that_meet_at_a_corner_leave_no_gap():
    """The line of sight passes exactly through the corner."""
    corner = Outline("the wall", ((-100, -40), (-100, 0), (-60, 40)), closed=False)
    assert hidden_by(watch(Road(), corner), lamps(), 200) == "the wall"


def test_a_strip_across_several_pieces_hides_without_a_gap():
    """Just inside the lane's edge along a tangent, a bend and a tangent: the view ends within it."""
    road = Road(Alignment(-600, (Tangent(300), Arc(200, 400, Turn.RIGHT), Tangent(500))))
    strip = Strip("the hedge", -590, 90, 4)
    found = first_sight(watch(road, strip), lamps(), 580)
    assert found.distance_ft < 250
    (gone,) = hidden_intervals(watch(road, strip), lamps(), 500)
    assert gone[1] == 500


@given(st.floats(300, 3000), st.floats(8, 40), st.floats(-20, 8), st.floats(100, 600), st.booleans())
def test_first_sight_is_the_end_of_the_first_view(radius, room, offset, limit, forward):
    """In view from every foot up to it, out of view just beyond it."""
    assume(offset <= room - 1)  # no lane runs on the wall itself
    road = long_bend(radius)
    viewer = watch(road, inside(room, radius), offset=offset, forward=forward)
    found = first_sight(viewer, lamps(), limit)
    reach = min(found.distance_ft, limit)
    assert all(hidden_by(viewer, lamps(), at) is None for at in range(1, int(reach - 0.02)))
    if math.isfinite(found.distance_ft):
        assert hidden_by(viewer, lamps(), found.distance_ft + 0.02) == "the wall"


@given(st.floats(0.5, 30), st.floats(0.5, 30))
def test_more_room_never_shows_less(narrow, wide):
    near, far = sorted((narrow, wide))
    road = long_bend(800)
    sights = [first_sight(watch(road, inside(room, 800)), lamps(), 700).distance_ft for room in (near, far)]
    assert sights[0] <= sights[1] + 0.02


@given(st.floats(1, 8), st.floats(50, 900), st.floats(-400, 100))
def test_a_truck_driver_sees_at_least_as_far_over_a_crest(change, curve, place):
    road = Road(profile=Profile(change / 2, (Pvi(-150, -change / 2, curve),)))
    car = first_sight(watch(road, eye_ft=3.5), lamps(place), 2500).distance_ft
    truck = first_sight(watch(road, eye_ft=7.6), lamps(place), 2500).distance_ft
    assert truck >= car - 0.02
