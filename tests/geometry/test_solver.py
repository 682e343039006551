"""Placements on full scenes: agreement with the simple model, brute force, and invariants."""

import math
import random
from dataclasses import replace

import pytest
from forty_paces.geometry.placement import place
from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.records import RoadKind, Situation, Surface, Toward
from forty_paces.geometry.road import Alignment, Arc, Road, Tangent, Turn, divided, one_way, two_lane
from forty_paces.geometry.scene import Eye, Outline, Stands, StoppedVehicle, Strip
from forty_paces.geometry.sight import (
    DEVICE_TARGET_FT,
    EYE_HEIGHT_FT,
    Target,
    first_sight,
    hidden_by,
    vehicle_target,
)
from forty_paces.geometry.solver import braking_grade_pct, needed_ft, offset_ft, place_in_scene, solve
from forty_paces.geometry.stopping import CannotStop, stopping_sight
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.geometry.closed_forms import crest_sight_ft
from tests.geometry.made_scene import made_scene
from tests.geometry.turned_round import turned_scene
from tests.rule_files import rule_file

US = rule_file("us").rule_set
CENTER = "center of lane or shoulder"
NIGHT_FT = US.detection_ft()

WAYS = {
    RoadKind.TWO_LANE: two_lane(12, 10, 8),
    RoadKind.ONE_WAY: one_way(2, 12, 10, 4),
    RoadKind.DIVIDED: divided(2, 12, 10, 4, 40),
}


def scene(kind=RoadKind.TWO_LANE, road=None, **fields):
    """A test road of that kind, with the given fields replaced."""
    values = {
        "kind": kind,
        "road": replace(road or Road(), carriageways=WAYS[kind]),
        "detection_ft": NIGHT_FT,
    }
    return made_scene(**{**values, **fields})


def curtain(station):
    """A wall straight across the road: the single obstruction of the simple model."""
    return Outline("the curtain", ((station, -400), (station, 400)), closed=False)


def scene_of(situation):
    """The scene that the simple model describes: straight, one grade, a curtain on each side."""
    length = 70.0
    curtains = []
    if math.isfinite(situation.hidden_behind_ft):
        curtains.append(curtain(-situation.hidden_behind_ft))
    if math.isfinite(situation.hidden_ahead_ft) and situation.road is RoadKind.TWO_LANE:
        curtains.append(curtain(length + situation.hidden_ahead_ft))
    return scene(
        situation.road,
        Road(profile=Profile(situation.grade_pct)),
        speed_mph=situation.speed_mph,
        surface=situation.surface,
        detection_ft=situation.detection_ft,
        blockers=tuple(curtains),
    )


def test_a_hiding_place_beyond_all_that_matters_changes_no_number():
    """Beyond the detection range, the stopping distance and the rule's limit."""
    far = Situation(RoadKind.TWO_LANE, 40.0, 300.0, hidden_behind_ft=1200.0)
    full, simple = solve(US, scene_of(far))[0], place(US, replace(far, hidden_behind_ft=math.inf))
    assert full.approaches == simple.approaches
    assert [d.distance_ft for d in full.devices] == [d.distance_ft for d in simple.devices]


@pytest.mark.parametrize(
    ("hidden", "expected"),
    [(490, 490), (500, 500), (500.5, 100), (510, 100)],
    ids=["within", "at", "over", "far"],
)
def test_devices_move_for_hiding_places_up_to_the_rules_limit(hidden, expected):
    """49 CFR 392.22(b)(2)(iv): a crest, curve or obstruction within 500 ft."""
    answer, _ = solve(US, scene(speed_mph=60.0, blockers=(curtain(-hidden),)))
    assert [d.distance_ft for d in answer.devices if d.toward is Toward.BEHIND] == [10, expected]


def test_a_vehicle_out_of_range_is_not_hidden():
    """Fog: there is no obstruction, so no device moves and the shortfall is reported."""
    solved = place_in_scene(US, scene(detection_ft=150.0))
    assert [d.distance_ft for d in solved.placement.devices] == [10, 100, 100]
    assert solved.side(Toward.BEHIND).hidden_ft == math.inf
    assert solved.side(Toward.BEHIND).hidden == ()
    assert not solved.placement.approach(Toward.BEHIND).ample


def test_the_hiding_place_is_geometry_and_not_visibility():
    bend = scene(
        road=Road(Alignment(-900, (Arc(900, 700, Turn.RIGHT),))), blockers=(Strip("the bank", -850, 40, 18),)
    )
    near, far = (solve(US, replace(bend, detection_ft=reach))[1][Toward.BEHIND] for reach in (100.0, 1200.0))
    assert near.hidden_ft == far.hidden_ft < 500


# Stopping on changing grades


def braked(road, scene_speed, toward, friction=11.2 / 32.2):
    """Braking distance by summing the work of brakes and gravity inch by inch back from the vehicle.

    V²/30 in feet is what the Green Book's grade formula dissipates by (friction + grade) per foot.
    """
    left, at, step = scene_speed**2 / 30, 0.0, 1 / 12
    end, way = (0.0, -1) if toward is Toward.BEHIND else (70.0, 1)
    while left > 0:
        grade = -way * road.profile.grade_pct(end + way * (at + step / 2)) / 100
        left -= (friction + grade) * step
        at += step
    return at


@pytest.mark.parametrize("toward", list(Toward))
@pytest.mark.parametrize(
    "profile",
    [
        Profile(4, (Pvi(-200, -3, 300),)),
        Profile(-6, (Pvi(-80, 5, 200), Pvi(260, -2, 100))),
        Profile(5, (Pvi(35, -5, 400),)),
    ],
)
def test_the_stopping_distance_uses_up_the_work_of_the_brakes(profile, toward):
    """AASHTO Green Book grade formula, V²/(30(a/32.2 + G)), summed over small steps of a changing grade."""
    made = scene(road=Road(profile=profile))
    expected = 1.47 * 55 * 2.5 + braked(made.road, 55.0, toward)
    assert needed_ft(US, made, toward) == pytest.approx(expected, abs=0.2)


@given(st.floats(-8, 8), st.sampled_from(list(Toward)))
def test_on_one_grade_the_stopping_distance_is_that_of_the_formula(grade, toward):
    made = scene(road=Road(profile=Profile(grade)))
    met = grade if toward is Toward.BEHIND else -grade
    assert needed_ft(US, made, toward) == stopping_sight(55.0, met).total
    with_a_break_far_off = scene(road=Road(profile=Profile(grade, (Pvi(-5000, grade, 10),))))
    assert braking_grade_pct(with_a_break_far_off, toward) == pytest.approx(met, abs=1e-6)


@settings(max_examples=30, deadline=None)
@given(
    st.floats(-7, 7), st.floats(-7, 7), st.floats(50, 500), st.floats(-600, 0), st.sampled_from(list(Toward))
)
def test_more_speed_never_needs_less_distance(first, second, curve, at, toward):
    road = Road(profile=Profile(first, (Pvi(at, second, curve),)))
    needed = [needed_ft(US, scene(road=road, speed_mph=float(speed)), toward) for speed in range(15, 81, 5)]
    assert needed == sorted(needed)


def test_where_the_slope_wins_nobody_is_reported_a_distance():
    icy = scene(road=Road(profile=Profile(-9, (Pvi(200, -8, 50),))), surface=Surface.ICE)
    with pytest.raises(CannotStop):
        solve(US, icy)


# Invariants


def random_scene(chance):
    """A two-lane road with bends, grades and walls beside it."""
    pieces = tuple(
        Tangent(chance.uniform(100, 400))
        if chance.random() < 0.3
        else Arc(chance.uniform(150, 500), chance.uniform(400, 2000), chance.choice(list(Turn)))
        for _ in range(5)
    )
    profile = Profile(
        chance.uniform(-5, 5),
        (
            Pvi(chance.uniform(-500, -200), chance.uniform(-5, 5), 300),
            Pvi(chance.uniform(250, 500), 1.0, 200),
        ),
    )
    blockers = tuple(
        Strip(
            f"wall {n}",
            start,
            start + chance.uniform(100, 600),
            chance.choice([-1, 1]) * chance.uniform(30, 45),
            height,
        )
        for n in range(4)
        for start in [chance.uniform(-700, 300)]
        for height in [chance.choice([math.inf, 3.0, 6.0])]
    )
    return scene(
        road=Road(Alignment(-chance.uniform(600, 900), pieces), profile),
        blockers=blockers,
        detection_ft=float(chance.randint(100, 1000)),
        speed_mph=float(chance.randint(25, 70)),
    )


@pytest.mark.parametrize("seed", range(20))
def test_the_mirror_image_of_a_road_has_mirrored_places_and_the_same_distances(seed):
    here = random_scene(random.Random(seed))
    solved, mirror = place_in_scene(US, here), place_in_scene(US, here.mirrored())
    assert [d.distance_ft for d in mirror.placement.devices] == [
        d.distance_ft for d in solved.placement.devices
    ]
    for placed, mirrored in zip(solved.devices, mirror.devices, strict=True):
        assert (mirrored.x, mirrored.y) == pytest.approx((placed.x, -placed.y), abs=1e-6)
        assert mirrored.offset_ft == -placed.offset_ft
    for side, mirrored in zip(solved.sides, mirror.sides, strict=True):
        assert mirrored.hidden_ft == pytest.approx(side.hidden_ft, abs=0.02)
        assert mirrored.hidden_by == side.hidden_by
        assert [p.warning_ft for p in mirrored.curve] == pytest.approx(
            [p.warning_ft for p in side.curve], abs=0.02
        )


@pytest.mark.parametrize("seed", range(20))
def test_turning_a_two_lane_road_round_swaps_its_sides(seed):
    here = random_scene(random.Random(100 + seed))
    (_, views), (_, turned) = solve(US, here), solve(US, turned_scene(here))
    other = {Toward.BEHIND: Toward.AHEAD, Toward.AHEAD: Toward.BEHIND}
    for toward, view in views.items():
        back = turned[other[toward]]
        assert back.hidden_ft == pytest.approx(view.hidden_ft, abs=0.02)
        assert needed_ft(US, turned_scene(here), other[toward]) == pytest.approx(
            needed_ft(US, here, toward), abs=1e-4
        )
        for distance in (100.0, 200.0, 300.0):
            assert back.warning_ft([(distance, CENTER)]) == pytest.approx(
                view.warning_ft([(distance, CENTER)]), abs=0.02
            )


@pytest.mark.parametrize("seed", range(20))
def test_less_visibility_never_gives_a_longer_warning(seed):
    """For every position of a device; and the shortfall never shrinks."""
    here = random_scene(random.Random(200 + seed))
    poor, good = replace(here, detection_ft=180.0), replace(here, detection_ft=640.0)
    (less, dim), (more, clear) = solve(US, poor), solve(US, good)
    for toward, view in dim.items():
        assert view.vehicle_ft <= clear[toward].vehicle_ft
        for distance in range(10, 501, 70):
            assert (
                view.warning_ft([(distance, CENTER)]) <= clear[toward].warning_ft([(distance, CENTER)]) + 0.01
            )
        assert less.approach(toward).shortfall_ft >= more.approach(toward).shortfall_ft - 0.01


@pytest.mark.parametrize("seed", range(10))
def test_the_chosen_distance_is_the_first_that_is_ample_or_else_the_best(seed):
    """Every step of the rule's range tried with the sight engine itself, nothing cached."""
    here = random_scene(random.Random(300 + seed))
    answer, views = solve(US, here)
    for approach in answer.approaches:
        view = views[approach.toward]
        devices = [d for d in answer.devices if d.toward is approach.toward]
        tried = range(100, 501, 10) if view.hidden_ft <= 500 else [100]
        table = {}
        for distance in tried:
            places = [*(d.distance_ft for d in devices[:-1]), float(distance)]
            warnings = [min(view.hidden_ft, here.detection_ft)]
            for place_ft in places:
                station = -place_ft if approach.toward is Toward.BEHIND else 70 + place_ft
                target = Target(station, 6.75 if place_ft == 10 else 11.0, DEVICE_TARGET_FT)
                sight = first_sight(view.lanes[0].watch, target, here.detection_ft).distance_ft
                warnings.append(place_ft + min(sight, here.detection_ft))
            table[distance] = US.down_ft(max(warnings))
        enough = [distance for distance, warning in table.items() if warning >= US.up_ft(approach.needed_ft)]
        best = max(table.values())
        expected = min(enough) if enough else min(d for d, w in table.items() if w == best)
        assert devices[-1].distance_ft == expected
        assert approach.warning_ft == table[expected]


# Contents of a solved scene


def over_a_bend():
    return scene(
        road=Road(Alignment(-900, (Arc(1000, 760, Turn.RIGHT), Tangent(500)))),
        blockers=(Strip("the cut slope", -850, 60, 18),),
        detection_ft=900.0,
    )


def test_the_curve_tells_the_warning_of_every_step_and_of_every_device():
    solved = place_in_scene(US, over_a_bend())
    side = solved.side(Toward.BEHIND)
    distances = [point.distance_ft for point in side.curve]
    assert distances == [10.0 * count for count in range(1, 51)]
    for placed in solved.devices:
        if placed.device.toward is Toward.BEHIND:
            assert placed.sight in side.curve
    assert (
        US.down_ft(max(p.sight.warning_ft for p in solved.devices[:2]))
        == solved.placement.approach(Toward.BEHIND).warning_ft
    )


def test_lines_of_sight_are_drawn_at_the_first_sight():
    here = over_a_bend()
    solved = place_in_scene(US, here)
    side = solved.side(Toward.BEHIND)
    line = side.vehicle_line
    assert line.eye_station_ft == pytest.approx(-side.hidden_ft)
    assert line.eye == here.road.position(line.eye_station_ft, 0.0)
    assert line.target == here.road.position(0.0, 11.0)
    assert (line.eye_elevation_ft, line.target_elevation_ft) == (3.5, 2.0)
    warned = side.warning_line
    assert US.down_ft(-warned.eye_station_ft) == solved.placement.approach(Toward.BEHIND).warning_ft
    assert solved.devices[side.warned_by - 1].station_ft == warned.target_station_ft


def test_where_no_device_is_seen_sooner_the_vehicle_itself_warns():
    """Vehicle and devices all come into view together, behind one curtain."""
    solved = place_in_scene(US, scene(speed_mph=30.0, detection_ft=500.0, blockers=(curtain(-300),)))
    side = solved.side(Toward.BEHIND)
    assert side.warned_by is None
    assert side.warning_line == side.vehicle_line


def test_hidden_stretches_begin_at_the_hiding_place():
    here = over_a_bend()
    solved = place_in_scene(US, here)
    side = solved.side(Toward.BEHIND)
    assert side.hidden[0][0] == pytest.approx(side.hidden_ft, abs=0.02)
    watch = solve(US, here)[1][Toward.BEHIND].lanes[0].watch
    middle = sum(side.hidden[0]) / 2
    assert hidden_by(watch, vehicle_target(here, Toward.BEHIND), middle) == "the cut slope"


def test_devices_stand_where_the_rule_says_across_the_road():
    solved = place_in_scene(US, scene())
    assert [(placed.number, placed.station_ft, placed.offset_ft) for placed in solved.devices] == [
        (1, -10, 6.75),
        (2, -100, 11),
        (3, 170, 11),
    ]
    assert [(placed.x, placed.y) for placed in solved.devices] == [(-10, -6.75), (-100, -11), (170, -11)]


@pytest.mark.parametrize(
    ("across", "offset"),
    [
        ("traffic side", 6.25),
        ("beside the vehicle", 6.25),
        ("in line with the vehicle", 10.5),
        ("center of lane or shoulder", 11),
        ("same side of the road", 11),
    ],
)
def test_every_wording_of_the_place_across_has_an_offset(across, offset):
    standing = scene(vehicle=StoppedVehicle(70, 8.5, 10.5, Stands.SHOULDER))
    assert offset_ft(standing, across) == offset


def test_each_device_is_looked_for_at_its_own_offset():
    """Inside a bend a few feet across the road change the sight distance by many feet."""
    here = over_a_bend()
    solved = place_in_scene(US, here)
    watch = solve(US, here)[1][Toward.BEHIND].lanes[0].watch
    for placed, offset in zip(solved.devices[:2], (6.75, 11.0), strict=True):
        sight = first_sight(watch, Target(placed.station_ft, offset, DEVICE_TARGET_FT), 900.0)
        assert placed.sight.sight_ft == sight.distance_ft
    assert solved.devices[0].sight.sight_ft > solved.devices[1].sight.sight_ft + 10


def test_two_devices_at_one_distance_are_looked_for_at_their_own_offsets():
    first, *_ = US.layouts
    pair = tuple(
        replace(first.devices[0], distance_ft=100.0, across=across) for across in ("traffic side", CENTER)
    )
    rules = replace(US, layouts=(replace(first, devices=pair),), hidden=None)
    near, far = place_in_scene(rules, over_a_bend()).devices
    assert near.device.distance_ft == far.device.distance_ft == 100.0
    assert near.sight.sight_ft > far.sight.sight_ft + 10


@pytest.mark.parametrize("eye", list(Eye))
def test_the_eye_over_a_crest_is_that_of_the_scenes_driver(eye):
    """Green Book crest formula with the driver's own eye height, vehicle in the middle of the curve."""
    crest = Road(profile=Profile(4, (Pvi(-300, -4, 900),)))
    found = solve(US, scene(road=crest, eye=eye, detection_ft=1000.0))[1][Toward.BEHIND].hidden_ft
    assert found == pytest.approx(crest_sight_ft(900, 8, EYE_HEIGHT_FT[eye], 2.0), abs=0.1)


def test_a_divided_road_has_one_side():
    solved = place_in_scene(US, scene(RoadKind.DIVIDED))
    assert [side.toward for side in solved.sides] == [Toward.BEHIND]
    assert solved.side(Toward.AHEAD) is None
    assert [placed.station_ft for placed in solved.devices] == [-10, -100, -200]


def test_a_visibility_class_stands_for_its_range():
    by_class = scene(detection_ft=None, visibility="fog")
    assert solve(US, by_class)[0].approaches == solve(US, scene(detection_ft=150.0))[0].approaches
    by_night = scene(detection_ft=None)
    for found, plain in zip(
        solve(US, by_night)[0].approaches,
        solve(US, scene(detection_ft=250.0))[0].approaches,
        strict=True,
    ):
        assert replace(found, reflecting_warning_ft=None) == plain
        assert found.reflecting_warning_ft == 600.0


def test_a_visibility_class_that_the_rule_set_lacks_is_refused():
    with pytest.raises(LookupError, match="no visibility class 'moonless'"):
        solve(US, scene(detection_ft=None, visibility="moonless"))


# Rolling on


def beyond_the_limit(can_roll):
    return scene(
        road=Road(Alignment(-1700, (Tangent(500), Arc(1100, 1680, Turn.RIGHT), Tangent(900)))),
        blockers=(Strip("the trees", -1250, -60, 24),),
        vehicle=StoppedVehicle(70, 8.5, 11, Stands.SHOULDER),
        speed_mph=65.0,
        detection_ft=1000.0,
        can_roll=can_roll,
    )


def test_the_roll_is_the_shortest_that_warns_everybody_in_time():
    here = beyond_the_limit(can_roll=True)
    solved = place_in_scene(US, here)
    assert not all(approach.ample for approach in solved.placement.approaches)
    there, _ = solve(US, here.rolled_on(solved.roll_ft))
    short, _ = solve(US, here.rolled_on(solved.roll_ft - 10))
    assert all(approach.ample for approach in there.approaches)
    assert not all(approach.ample for approach in short.approaches)


def test_no_roll_is_offered_where_it_is_not_needed_or_cannot_be():
    assert place_in_scene(US, beyond_the_limit(can_roll=False)).roll_ft is None
    assert place_in_scene(US, scene(can_roll=True)).roll_ft is None


def test_no_roll_is_offered_where_it_does_not_help():
    assert place_in_scene(US, scene(can_roll=True, detection_ft=150.0)).roll_ft is None


def test_rolling_on_leaves_the_road_and_its_walls_where_they_are():
    here = random_scene(random.Random(7))
    there = here.rolled_on(40.0)
    for station, offset in ((-500.0, 0.0), (-37.0, 20.0), (300.0, -12.0)):
        apart = math.dist(here.road.position(station, offset), here.road.position(40.0, 0.0))
        assert math.dist(
            there.road.position(station - 40, offset), there.road.position(0.0, 0.0)
        ) == pytest.approx(apart)
        assert there.road.elevation_ft(station - 40) == pytest.approx(
            here.road.elevation_ft(station) - here.road.elevation_ft(40.0)
        )
    assert [wall.from_ft + 40 for wall in there.blockers] == pytest.approx(
        [wall.from_ft for wall in here.blockers]
    )
