"""The driver's seat: its packed frames show what the sight engine sees, and each run ends by formula."""

import json
import math
from dataclasses import replace

import pytest
from bs4 import BeautifulSoup
from forty_paces.geometry.records import Surface, Toward
from forty_paces.geometry.scene import station_ft
from forty_paces.geometry.scene_view import offset_ft
from forty_paces.geometry.sight import DEVICE_TARGET_FT, Target, hidden_by, vehicle_target
from forty_paces.geometry.solver import needed_ft, solve_scene
from forty_paces.geometry.stopping import StoppingSight, impact_speed, stopping_sight
from forty_paces.outputs.classroom import seat_page
from forty_paces.outputs.classroom.how_many import compared, values
from forty_paces.outputs.classroom.seat_page import ALPHABET, deltas, pack, toggles
from forty_paces.outputs.classroom.seat_side import SeatSide

from tests.outputs.classroom.lesson_samples import real_library
from tests.soaking import sample

LIBRARY = real_library()
RULES = LIBRARY.rules["us"].rule_set
SIDES = [
    (scene.id, index)
    for scene in LIBRARY.scenes.values()
    for index in range(len(seat_page.placement.streams(scene.kind)))
]


@pytest.fixture(scope="module")
def html(built_site):
    return (built_site / "classroom/seat.html").read_text("utf-8")


@pytest.fixture(scope="module")
def data(html):
    return json.loads(BeautifulSoup(html, "html.parser").find("script", id="table").string)


def unpacked(text):
    """The numbers of a packed text, read by the description at the head of seat_page.py."""
    numbers, at = [], 0
    while at < len(text):
        count = ALPHABET.index(text[at])
        if count == 83:
            a, b, c = (ALPHABET.index(one) for one in text[at + 1 : at + 4])
            count, at = (a * 84 + b) * 84 + c, at + 3
        elif count >= 64:
            count, at = 64 + (count - 64) * 84 + ALPHABET.index(text[at + 1]), at + 1
        at += 1
        numbers.append(-(count + 1) // 2 if count % 2 else count // 2)
    return numbers


def summed(numbers):
    total, found = 0, []
    for number in numbers:
        total += number
        found.append(total)
    return found


@pytest.mark.parametrize("edge", [0, 31, 32, 829, 830, 296_000])
def test_packed_numbers_come_back(edge):
    numbers = [edge, -edge, edge + 1, -edge - 1, 0]
    assert numbers == unpacked(pack(numbers))
    assert summed(deltas([(3,), (7,), (-2,)])) == [3, 7, -2]


def test_a_number_too_large_is_refused_and_no_character_needs_escaping():
    with pytest.raises(ValueError, match="too large"):
        pack([300_000])
    assert len(set(ALPHABET)) == 84
    assert not set(ALPHABET) & set("<>&\"'\\ ")


def side_of(name, index):
    scene = LIBRARY.scenes[name]
    return SeatSide(RULES, scene, seat_page.placement.streams(scene.kind)[index])


def shown_by_frame(count, changes):
    return [sum(1 for at in changes if at <= frame) % 2 == 1 for frame in range(count)]


@pytest.mark.soak
@pytest.mark.parametrize(("name", "index"), sample(SIDES, 6))
def test_what_is_in_view_in_every_frame_is_what_the_engine_sees(data, name, index):
    """Read back from the page: vehicle, nearer devices and every place of the far one, in every light."""
    side, found = side_of(name, index), next(s for s in data["scenes"] if s["id"] == name)["sides"][index]
    eyes, scene, watch = side.eyes_ft, side.scene, side.frames.watch
    assert summed(unpacked(found["eyes"])) == [math.floor(eye) for eye in eyes]
    spots = [None, *side.inner, *((at, side.across) for at in side.places_ft)]
    tracks = [data["pool"][one] for one in unpacked(found["tracks"])]
    drawn = [places_drawn(text) for text in tracks]
    for light, row_text in zip(side.lights, found["lights"], strict=True):
        numbers, at = unpacked(row_text["seen"]), 0
        view = side.view(light)
        for place, spot in enumerate(spots):
            changes, at = numbers[at + 1 : at + 1 + numbers[at]], at + 1 + numbers[at]
            distance, target = 0.0, vehicle_target(scene, side.toward)
            if spot is not None:
                distance = spot[0]
                station = station_ft(scene, side.toward, distance)
                target = Target(station, offset_ft(scene, spot[1]), DEVICE_TARGET_FT)
            reach = view.made_out_ft(distance)
            wanted = [
                0 < eye - distance <= reach and hidden_by(watch, target, eye - distance) is None
                for eye in eyes
            ]
            assert wanted == shown_by_frame(len(eyes), changes), (light, spot)
            first = 1 + len(side.inner)
            if place >= first:  # what is in view is drawn, but for the last feet, beside the eye
                for frame, eye in enumerate(eyes):
                    if wanted[frame] and eye - distance >= 16:
                        assert place - first + 1 in drawn[frame], (light, spot, eye)
        assert at == len(numbers)


def places_drawn(text):
    numbers, at, place, found = unpacked(text), 0, 0, set()
    while at < len(numbers):
        place += numbers[at]
        count = numbers[at + 1]
        found |= set(range(place + 1, place + count + 1))
        place, at = place + count, at + 2 + 3 * count
    return found


def test_toggles_are_the_frames_at_which_the_view_changes():
    assert [] == toggles([False, False])
    assert [0] == toggles([True, True])
    assert [1, 3] == toggles([False, True, True, False])


@pytest.mark.parametrize(
    ("distance", "left"),
    [(0, 60.0), (100, 60.0), (100.001, 60.0), (150, 60 * math.sqrt(0.5)), (200, 0.0), (900, 0.0)],
)
def test_speed_falls_with_the_square_root_of_the_braking_left(distance, left):
    """Constant deceleration: v² = u² - 2·a·s (any textbook of mechanics)."""
    assert left == pytest.approx(impact_speed(distance, 60.0, StoppingSight(100.0, 100.0)), abs=0.001)


def test_a_run_ends_as_the_stopping_distance_says():
    """Green Book at 55 mph on the level: 202.1 ft until the brakes act, 290.3 ft of braking, 493 in all."""
    side = side_of("sawmill-straight", 0)
    assert stopping_sight(55.0).total == pytest.approx(492.5, abs=0.1)
    assert (0, -7, 3) == (side.end(55.0, 493), side.end(55.0, 500), side.end(55.0, 492))
    assert (55, 55) == (side.end(55.0, 0), side.end(55.0, 202))
    wanted = 55 * math.sqrt(1 - (350 - 1.47 * 2.5 * 55) / (1.075 * 55**2 / 11.2))
    assert math.ceil(wanted) == side.end(55.0, 350)


@pytest.mark.parametrize("name", ["drover-crest", "quarry-bend", "tarn-ridge"])
def test_the_comparison_has_the_placements_own_warning(name):
    solved, side = solve_scene(RULES, LIBRARY.scenes[name]), side_of(name, 0)
    approach = solved.placement.approach(Toward.BEHIND)
    run = side.compared(solved.scene.speed_mph, solved.scene.visibility)
    assert math.floor(approach.warning_ft + 1e-6) == run[-2]
    assert (run[-1] <= 0) is approach.ample
    assert 100 == run[0]
    needed = math.ceil(needed_ft(RULES, solved.scene, Toward.BEHIND) - 1e-6)
    assert run[-1] == needed - run[-2] or run[-1] > 0


def test_where_nobody_can_walk_no_device_stands_and_the_page_says_so(data, html):
    bridge = next(scene for scene in data["scenes"] if scene["id"] == "gorge-bridge")
    for side in bridge["sides"]:
        assert (0, [[]]) == (
            side["places"],
            [list(x) for x in {tuple(r) for row in side["runs"] for r in row}],
        )
    assert "no device stands here" in html


def test_a_scene_that_cannot_be_driven_is_named_with_the_reason():
    """Ice on a 9 percent grade: friction 0.07, so that nobody can stop there."""
    steep = replace(
        LIBRARY.scenes["sawmill-straight"],
        surface=Surface.ICE,
        road=replace(
            LIBRARY.scenes["sawmill-straight"].road,
            profile=replace(LIBRARY.scenes["sawmill-straight"].road.profile, first_grade_pct=-9.0),
        ),
    )
    table = seat_page.table(RULES, (steep, LIBRARY.scenes["bottomland-fog"]))
    assert ["bottomland-fog"] == [scene["id"] for scene in table["scenes"]]
    (reason,) = table["left_out"]
    assert "No vehicle could stop" in reason
    assert steep.title in reason


def test_how_many_can_stop_is_given_where_a_device_moves_and_only_there(data):
    tried = 0
    for scene in data["scenes"]:
        for side in scene["sides"]:
            for runs, stops in zip(side["runs"], side["stops"], strict=True):
                for run, pair in zip(runs, stops, strict=True):
                    assert [one[:2] for one in pair] == ([run[:2], run[3:5]] if len(run) == 6 else [])
                    tried += len(pair)
    assert tried > 50
    scene = replace(LIBRARY.scenes["drover-crest"], visibility=None)
    side = SeatSide(RULES, scene, Toward.BEHIND)
    (pair,) = compared(solve_scene(RULES, side.own.scene), RULES)
    assert side.stops(side.own.scene.speed_mph, side.own.scene.visibility) == values(pair, side.lengths)


def test_every_run_stands_in_words_and_the_page_stays_small(html, data):
    page = BeautifulSoup(html, "html.parser")
    assert sum(len(scene["sides"]) for scene in data["scenes"]) == len(page.select(".seat-words h3"))
    assert "Device at 210 ft: drivers are warned from 513 ft." in page.select_one(".seat-words").get_text()
    assert " style=" not in html
    assert len(html.encode()) < 750_000
