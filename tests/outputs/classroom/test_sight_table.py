"""Every row of the sight explorer is a scene that the engine solves, and its drawing shows that scene."""

import json
import math
import re
from functools import cache

import pytest
from bs4 import BeautifulSoup
from forty_paces.geometry.records import RoadKind, Toward
from forty_paces.geometry.scene_view import offset_ft
from forty_paces.geometry.sight import hidden_by, vehicle_target, viewers
from forty_paces.geometry.solver import place_in_scene, solve
from forty_paces.geometry.stopping import stopping_sight
from forty_paces.messages.placement import text
from forty_paces.messages.quantities import length
from forty_paces.outputs.classroom import sight_table
from forty_paces.outputs.classroom.sight_page import drawn_roads, rows_of
from forty_paces.outputs.classroom.sight_pictures import HEIGHT, WIDTH, BendPicture, CrestPicture
from forty_paces.outputs.classroom.sight_table import NOT_HIDDEN, Row, SightLimit

from tests.geometry.closed_forms import arc_sight_ft
from tests.outputs.classroom.lesson_samples import real_library

LIBRARY = real_library()
RULES = LIBRARY.rules["us"].rule_set
CHOICES = sight_table.choices(RULES)
SETTINGS = CHOICES.settings
LIGHTS = RULES.visibility
CASES = [
    (light, speed, place)
    for light in range(len(LIGHTS))
    for speed in range(len(CHOICES.speeds))
    for place in range(len(SETTINGS))
]
FUZZ = 1e-6


@cache
def table():
    return sight_table.table(RULES)


@cache
def rows_at(place):
    return rows_of(table(), place)


def row(light, speed, place):
    return rows_at(place)[light * len(CHOICES.speeds) + speed]


def scene_of(light, speed, place):
    return CHOICES.scene(SETTINGS[place], CHOICES.speeds_mph[speed], LIGHTS[light])


def outermost(devices):
    return max((d for d in devices if d.toward is Toward.BEHIND), key=lambda d: d.distance_ft)


def assert_row_is_the_engines(case):
    """Compare one row, which shares its observers with other rows, with the scene solved on its own."""
    found, scene = row(*case), scene_of(*case)
    solved, views = solve(RULES, scene)
    device, approach = outermost(solved.devices), solved.approach(Toward.BEHIND)
    (lane,) = views[Toward.BEHIND].lanes
    sight_ft = lane.seen_from_ft(device.distance_ft, device.across)
    assert device.distance_ft == found.distance, case
    assert math.floor(approach.warning_ft + FUZZ) == found.warning, case
    assert math.floor(approach.vehicle_only_ft + FUZZ) == found.alone, case
    assert math.ceil(approach.needed_ft - FUZZ) == found.needed, case
    assert approach.ample is bool(found.ample) is (found.warning >= found.needed), case
    assert (math.floor(device.distance_ft + sight_ft + FUZZ) if sight_ft else 0) == found.seen, case
    hidden_ft = views[Toward.BEHIND].hidden_ft
    if math.isinf(hidden_ft):
        assert NOT_HIDDEN == found.hidden, case
    else:
        assert (math.ceil(hidden_ft) if hidden_ft > 500 else math.floor(hidden_ft)) == found.hidden, case
    assert text(RULES, device.reason) == filled(found), case


def filled(found):
    """The sentence as the page's script puts it together."""
    slots = table()["slots"] | {
        "hidden": f"{found.hidden:,} ft",
        "warning": f"{found.warning:,} ft",
        "base_warning": f"{found.base_warning:,} ft",
        "needed": f"{found.needed:,} ft",
    }
    stated = table()["reasons"][found.finding].format(**slots)
    return " ".join(filter(None, (stated, table()["looks"][found.look])))


def test_rows_are_the_scenes_solved_on_their_own():
    """Every 29th row: 29 is prime to the number of lights, speeds, radii, offsets, grades and curves."""
    tried = CASES[::29]
    for case in tried:
        assert_row_is_the_engines(case)
    assert {SETTINGS[place].cause for _, _, place in tried} == set(SightLimit)
    assert {light for light, _, _ in tried} == set(range(len(LIGHTS)))
    assert {speed for _, speed, _ in tried} == set(range(len(CHOICES.speeds)))


@pytest.mark.long
def test_all_rows_are_the_scenes_solved_on_their_own():
    for case in CASES:
        assert_row_is_the_engines(case)
    assert len(table()["rows"]) == len(CASES) * len(Row._fields)


def test_the_base_warning_is_the_warning_with_the_device_where_the_rule_sets_it():
    for case in CASES[::61]:
        _, views = solve(RULES, scene_of(*case))
        rule = RULES.layout(RoadKind.TWO_LANE, CHOICES.speeds_mph[case[1]]).devices
        spots = [(d.distance_ft, d.across) for d in rule if d.toward is Toward.BEHIND]
        assert math.floor(views[Toward.BEHIND].warning_ft(spots) + FUZZ) == row(*case).base_warning


def test_what_a_driver_needs_on_the_level_is_the_stopping_sight_distance_rounded_up():
    """AASHTO Green Book: 492.5 ft at 55 mph, 566.0 at 60, 644.4 at 65, before rounding to 5 ft."""
    needed = {CHOICES.speeds[speed]: row(0, speed, 0).needed for speed in range(len(CHOICES.speeds))}
    assert (493, 567, 645) == (needed[55], needed[60], needed[65])
    assert all(math.ceil(stopping_sight(mph, 0.0).total - 1e-6) == feet for mph, feet in needed.items())


def test_beside_rock_a_truck_on_the_shoulder_shows_later_than_one_in_the_lane_would():
    """The handbook's 2R·acos(1 - M/R) is for a target in the lane (Green Book, sightline offset)."""
    compared = 0
    for place, setting in enumerate(SETTINGS):
        if setting.cause is SightLimit.BEND and row(1, 0, place).hidden != NOT_HIDDEN:
            lane_ft = arc_sight_ft(setting.first, setting.second)
            if lane_ft < CHOICES.bend_ft(setting.first):
                assert row(1, 0, place).hidden < lane_ft
                compared += 1
    assert compared > 30


def test_harder_settings_never_warn_sooner():
    """A tighter bend, nearer rock, a steeper grade or a shorter curve hides the truck from farther."""

    def alone(setting):
        return row(1, 0, SETTINGS.index(setting)).alone

    for radius in CHOICES.radii:
        seen = [alone(s) for s in SETTINGS if s.cause is SightLimit.BEND and s.first == radius]
        assert seen == sorted(seen)
    for offset in CHOICES.offsets:
        seen = [alone(s) for s in SETTINGS if s.cause is SightLimit.BEND and s.second == offset]
        assert seen == sorted(seen)
    for curve in CHOICES.curves:
        seen = [alone(s) for s in SETTINGS if s.cause is SightLimit.CREST and s.second == curve]
        assert seen == sorted(seen, reverse=True)


@pytest.fixture(scope="module")
def page(built_site):
    return BeautifulSoup((built_site / "classroom/sight.html").read_text("utf-8"), "html.parser")


@pytest.fixture(scope="module")
def data(page):
    return json.loads(page.find("script", id="table").string)


def point(text):
    x, y = text.split(",")
    return float(x), float(y)


def test_the_points_of_a_drawing_are_those_of_the_rows_own_scene(data):
    """Eyes, vehicle and device as the engine has them, projected; a tenth of a page unit is rounding."""
    pictures = drawn_roads(RULES, CHOICES)
    for case in CASES[::17]:
        found, scene = row(*case), scene_of(*case)
        picture, drawn = pictures[data["drawn"][case[2]]], data["roads"][data["drawn"][case[2]]]
        (watch,) = viewers(scene, Toward.BEHIND)
        target = vehicle_target(scene, Toward.BEHIND)
        across = RULES.layout(RoadKind.TWO_LANE, 55).devices[1].across
        stand = (-float(found.distance), offset_ft(scene, across))

        def plan(station, offset, above, picture=picture, scene=scene):
            if isinstance(picture, BendPicture):
                return picture.roadway.projection.at(scene.road.position(station, offset))
            x0, y0 = picture.road(0.0)
            scale = picture.road(-1.0)[0] - x0
            rise = scene.road.elevation_ft(station) + above - scene.road.elevation_ft(0.0)
            return x0 + station * scale, y0 - rise * scale * picture.heights

        wanted = {
            "vehicle": (drawn["vehicle"], plan(0.0, target.offset_ft, target.height_ft)),
            "eye": (drawn["eyes"][str(found.alone)], plan(-found.alone, watch.offset_ft, watch.height_ft)),
            "stand": (drawn["stands"][str(found.distance)], plan(*stand, 0.0)),
        }
        if found.seen:
            eye = plan(-float(found.seen), watch.offset_ft, watch.height_ft)
            wanted["device's eye"] = (drawn["eyes"][str(found.seen)], eye)
        for name, (drawn_at, at) in wanted.items():
            assert point(drawn_at) == pytest.approx(at, abs=0.11), (case, name)


def test_the_drawn_line_of_sight_is_clear_and_a_little_farther_off_it_is_not():
    """Where the obstruction and not the reach of the light decides."""
    tried = 0
    for case in CASES[::13]:
        found, scene = row(*case), scene_of(*case)
        if found.hidden == NOT_HIDDEN or found.alone >= math.floor(LIGHTS[case[0]].detection_ft):
            continue
        (watch,), target = viewers(scene, Toward.BEHIND), vehicle_target(scene, Toward.BEHIND)
        assert hidden_by(watch, target, float(found.alone)) is None
        assert hidden_by(watch, target, found.alone + 2.0) is not None
        tried += 1
    assert tried > 40


def test_the_stretch_drawn_as_hidden_begins_where_the_row_says(data):
    for case in CASES[::17]:
        found, drawn = row(*case), data["roads"][data["drawn"][case[2]]]
        assert (found.hidden == NOT_HIDDEN) is (str(found.hidden) not in drawn["hidden"])


def test_every_road_and_every_device_lies_on_the_page(data):
    for road in data["roads"]:
        marks = [*road["lane"].split(), *road["stands"].values(), *road["flags"].values(), road["vehicle"]]
        assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in map(point, marks))


@pytest.mark.parametrize("cause", list(SightLimit))
def test_where_traffic_keeps_left_a_bend_is_its_mirror_image_and_a_crest_is_the_same(cause):
    uk = LIBRARY.rules["uk"].rule_set
    left, right = sight_table.choices(uk), sight_table.Choices(sight_table.choices(uk).lengths, (48,))
    assert left.lengths.rules.traffic_keeps == "left"
    setting = next(one for one in left.settings if one.cause is cause)
    scene = left.scene(setting, 48.0, uk.visibility[0])
    kind = BendPicture if cause is SightLimit.BEND else CrestPicture
    stated = [scene] if cause is SightLimit.BEND else scene
    mirrored = [scene.mirrored()] if cause is SightLimit.BEND else scene.mirrored()
    here, there = (
        kind(stated, left.lengths.ft(left.reach)),
        kind(mirrored, right.lengths.ft(right.reach)),
    )
    for distance in (0.0, 100.0, 300.0):
        (x, y), (mirrored_x, mirrored_y) = here.road(distance), there.road(distance)
        wanted = HEIGHT - y if cause is SightLimit.BEND else y
        assert (x, wanted) == pytest.approx((mirrored_x, mirrored_y), abs=0.11)


@pytest.mark.parametrize(
    ("name", "yellow"), [("us", True), ("ontario", True), ("germany", False), ("uk", False)]
)
def test_the_center_line_has_the_color_of_the_rule_sets_country(name, yellow):
    """US MUTCD part 3 and Canada: yellow separates opposing traffic. Elsewhere it is white."""
    rules = LIBRARY.rules[name].rule_set
    bend = drawn_roads(rules, sight_table.choices(rules))[0]
    assert ("fp-mark-yellow" in bend.svg()) is yellow


def test_the_page_stands_alone_and_is_a_table_of_every_road_without_scripts(page, data):
    html = str(page)
    assert "default-src 'none'" in html
    assert " style=" not in html
    assert "The same as a table" in html
    assert table()["rows"] == data["rows"]
    printed = page.select(".sight-table tbody tr")
    assert len(printed) == len(SETTINGS)
    for place, cells in enumerate(printed):
        said = [cell.get_text() for cell in cells.select("td")][1:]
        wanted = [found.distance for found in rows_of(table(), place)[: len(CHOICES.speeds)]]
        assert [int(re.match(r"[\d,]+", text).group().replace(",", "")) for text in said] == wanted


def test_the_classroom_says_what_the_command_line_says_of_the_same_scene():
    """The complete solution of a scene, as the command line and the scene pages use it."""
    case = (0, 6, 3 * len(CHOICES.offsets))
    solved = place_in_scene(RULES, scene_of(*case))
    assert solved.placement.approach(Toward.BEHIND).warning_ft == row(*case).warning
    assert length(RULES, outermost(solved.placement.devices).distance_ft) == (f"{row(*case).distance} ft")
