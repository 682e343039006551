"""The sight explorer's table agrees with the engine in every row."""

import json
import math

import pytest
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import RoadKind, Situation, Toward
from forty_paces.geometry.stopping import stopping_sight
from forty_paces.outputs.classroom import sight_table
from forty_paces.outputs.classroom.sight_page import sight_html
from forty_paces.outputs.classroom.sight_pictures import HEIGHT, WIDTH, Picture
from forty_paces.outputs.common.context import BuildContext

from tests.outputs.classroom.lesson_samples import PROJECT, real_library
from tests.rule_files import under_rules

LIBRARY = real_library()
RULES = LIBRARY.rules["us"].rule_set
TABLE = sight_table.table(RULES)
CHOICES = sight_table.choices(RULES)
PLACES = CHOICES.hiding_places_ft()


def row(light, speed, place_index):
    at = 6 * ((light * len(TABLE["speeds"]) + speed) * len(TABLE["places"]) + place_index)
    return TABLE["rows"][at : at + 6]


def test_every_row_is_the_engines_answer():
    for light, visibility in enumerate(RULES.visibility):
        for speed, mph in enumerate(TABLE["speeds"]):
            for index, hidden in enumerate(PLACES):
                situation = Situation(
                    RoadKind.TWO_LANE,
                    mph,
                    hidden_behind_ft=hidden,
                    **RULES.reaches(visibility.id),
                )
                placement = place(RULES, situation)
                device = max(
                    (d for d in placement.devices if d.toward is Toward.BEHIND), key=lambda d: d.distance_ft
                )
                approach = placement.approach(Toward.BEHIND)
                distance, warning, _, ample, _, _ = row(light, speed, index)
                assert device.distance_ft == distance
                assert math.floor(approach.warning_ft + 1e-6) == warning
                assert approach.ample is bool(ample)
                assert math.floor(approach.vehicle_only_ft + 1e-6) == TABLE["alone"][light][index]


def test_the_reason_filled_from_the_table_is_the_engines_reason():
    rules_reasons = 0
    for light, visibility in enumerate(RULES.visibility):
        for speed, mph in enumerate(TABLE["speeds"]):
            for index, hidden in enumerate(PLACES):
                _, warning, base, _, finding, look = row(light, speed, index)
                slots = TABLE["slots"] | {
                    "hidden": f"{TABLE['places'][index]:,} ft",
                    "warning": f"{warning:,} ft",
                    "base_warning": f"{base:,} ft",
                    "needed": f"{TABLE['needed'][speed]:,} ft",
                }
                filled = " ".join(
                    filter(None, (TABLE["reasons"][finding].format(**slots), TABLE["looks"][look]))
                )
                wanted = sight_table.answer(RULES, mph, hidden, visibility).reason
                assert wanted == filled
                rules_reasons += 1
    assert rules_reasons == len(TABLE["rows"]) // 6


def test_what_a_driver_needs_is_the_stopping_sight_distance_rounded_up():
    """AASHTO Green Book: 492.5 ft at 55 mph, 566.0 at 60, 644.4 at 65, before rounding to 5 ft."""
    needed = dict(zip(TABLE["speeds"], TABLE["needed"], strict=True))
    assert (493, 567, 645) == (needed[55], needed[60], needed[65])
    assert all(math.ceil(stopping_sight(mph, 0.0).total - 1e-6) == feet for mph, feet in needed.items())


def test_the_hiding_places_of_bends_are_the_sightline_offset_turned_round():
    """Inverse of the sightline offset M = R(1 - cos(S / 2R)), Green Book; S along the lane."""
    for index, radius in enumerate(CHOICES.radii):
        for other, offset in enumerate(CHOICES.offsets):
            sight = PLACES[index * len(CHOICES.offsets) + other]
            assert offset == pytest.approx(radius * (1 - math.cos(sight / (2 * radius))))


@pytest.mark.parametrize("radius", [*CHOICES.radii, None])
def test_every_point_of_a_picture_lies_on_the_page(radius):
    picture = Picture(radius, CHOICES.reach, CHOICES.offsets)
    for text in (picture.lane_points(10), picture.stand_points(10), picture.flag_points(10)):
        points = [tuple(map(float, pair.split(","))) for pair in text.split()]
        assert CHOICES.reach // 10 + 1 == len(points)
        assert all(0 <= x <= WIDTH and 0 <= y <= HEIGHT for x, y in points)


@pytest.mark.parametrize("radius", [*CHOICES.radii, None])
def test_where_traffic_keeps_left_the_picture_is_its_mirror_image(radius):
    right = Picture(radius, CHOICES.reach, CHOICES.offsets)
    left = Picture(radius, CHOICES.reach, CHOICES.offsets, keeps_left=True)
    assert left.scale == pytest.approx(right.scale)
    for one, other in (
        (right.lane_points(50), left.lane_points(50)),
        (right.stand_points(50), left.stand_points(50)),
        (right.flag_points(50), left.flag_points(50)),
    ):
        for here, there in zip(one.split(), other.split(), strict=True):
            (x, y), (mirrored_x, mirrored_y) = (map(float, pair.split(",")) for pair in (here, there))
            assert (x, HEIGHT - y) == pytest.approx((mirrored_x, mirrored_y), abs=0.11)


@pytest.mark.parametrize(
    ("name", "yellow"), [("us", True), ("ontario", True), ("germany", False), ("uk", False)]
)
def test_the_center_line_has_the_color_of_the_rule_sets_country(name, yellow):
    """US MUTCD part 3 and Canada: yellow separates opposing traffic. Elsewhere it is white."""
    html = sight_html(BuildContext(under_rules(name, LIBRARY), PROJECT / "site_overrides"))
    roads = html.split('<g class="road"', 1)[1].split('id="unseen"')[0]
    assert ("fp-mark-yellow" in roads) is yellow


@pytest.mark.parametrize("radius", CHOICES.radii)
def test_the_sight_line_at_the_hiding_place_just_touches_the_obstruction(radius):
    """To scale: the line from eye to vehicle comes as near to the center of the bend as the obstruction."""
    picture = Picture(radius, CHOICES.reach, CHOICES.offsets)
    center = picture.road.alignment.placed[1].center()
    for offset in CHOICES.offsets:
        sight = PLACES[CHOICES.radii.index(radius) * len(CHOICES.offsets) + CHOICES.offsets.index(offset)]
        if sight > picture.bend_ft:
            continue
        (ax, ay), (bx, by) = picture.road.position(-sight), picture.road.position(0.0)
        middle = ((ax + bx) / 2 - center[0], (ay + by) / 2 - center[1])
        assert radius - offset == pytest.approx(math.hypot(*middle), abs=0.01)


def test_the_page_stands_alone_and_is_a_table_without_scripts():
    html = sight_html(BuildContext(LIBRARY, PROJECT / "site_overrides"))
    assert "default-src &#39;none&#39;" in html
    assert " style=" not in html
    assert "The same as a table" in html
    data = html.split('<script type="application/json" id="table">')[1].split("</script>")[0]
    assert TABLE["rows"] == json.loads(data)["rows"]
