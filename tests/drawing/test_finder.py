"""The finder's template: every text that a script may set has reserved space, whatever it says."""

import itertools
import math
from functools import cache
from xml.etree import ElementTree

import pytest
from forty_paces.drawing.finder import ROOM_FT, draw_finder
from forty_paces.drawing.formats import Size
from forty_paces.drawing.schematic_renderer import VehicleShape
from forty_paces.drawing.symbols import Cause
from forty_paces.geometry.placement import place, streams
from forty_paces.geometry.records import RoadKind, Toward
from forty_paces.geometry.walk import walking_order
from forty_paces.messages import quantities
from forty_paces.messages.quantities import length

from tests.drawing.samples import (
    ASSETS,
    RULES,
    SVG,
    US,
    assert_devices_uncovered,
    assert_legible,
    assert_sound,
    root_of,
    situation,
    with_class,
    words_in,
)

SIZES = list(Size)
LOOKS = (ASSETS / "css" / "drawing.css").read_text(encoding="utf-8")
SHOWN_AT = {Size.TALL: 390, Size.CARD: 390, Size.WIDE: 800}
LAYOUTS = [
    pytest.param(name, layout, id=f"{name}-{layout.road}-{layout.speed_from_mph:.0f}")
    for name, rules in RULES.items()
    for layout in rules.layouts
]


def speed_in(layout):
    return (layout.speed_from_mph + min(layout.speed_below_mph, layout.speed_from_mph + 60)) / 2 or 30.0


@cache
def template(name, layout, size):
    return draw_finder(RULES[name], layout.road, speed_mph=speed_in(layout), prefix="f", size=size)


def set_as_a_script_would(svg, rules, placement, hidden, cause=None):
    """The template changed only by the documented steps, then evaluated as the stylesheet shows it."""
    root = root_of(svg)
    by_id = {one.get("id"): one for one in root.iter() if one.get("id")}
    outermost = {}
    for number, device in enumerate(walking_order(placement.devices), 1):
        outermost[device.toward] = max(outermost.get(device.toward, 0.0), device.distance_ft)
        by_id[f"f-d{number}-distance"].text = length(rules, device.distance_ft)
        by_id[f"f-d{number}-paces"].text = quantities.paces(device.paces)
        if device.moved:
            for note in with_class(by_id[f"f-d{number}"], "fp-moved-note"):
                note.set("display", "inline")
    for toward, distance_ft in hidden.items():
        if math.isinf(distance_ft):
            continue
        case = "near" if distance_ft <= outermost.get(toward, 0.0) else "far"
        by_id[f"f-{toward}-{case}"].text = length(rules, distance_ft)
        (group,) = with_class(root, f"fp-{toward}-{case}")
        group.set("display", "inline")
        for sign in with_class(group, f"fp-cause-{cause}"):
            sign.set("display", "inline")
    return ElementTree.tostring(root, encoding="unicode")


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("name", "layout"), LAYOUTS)
def test_the_template_is_sound_before_anything_is_set(name, layout, size):
    svg = template(name, layout, size)
    assert_sound(svg, "f")
    assert_legible(svg, at_px=SHOWN_AT[size])
    assert_devices_uncovered(svg)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("name", "layout"), LAYOUTS)
def test_no_answer_of_the_table_outgrows_its_place(name, layout, size):
    rules = RULES[name]
    svg = template(name, layout, size)
    choices = (math.inf, 0.0, 90.0, 240.0, 490.0, ROOM_FT)
    for behind, ahead in itertools.product(
        choices, choices if len(streams(layout.road)) > 1 else (math.inf,)
    ):
        situation_given = situation(layout.road, behind, ahead, speed_in(layout), rules)
        hidden = {Toward.BEHIND: behind, Toward.AHEAD: ahead}
        changed = set_as_a_script_would(svg, rules, place(rules, situation_given), hidden, Cause.HILL)
        assert_legible(changed, at_px=SHOWN_AT[size])


@pytest.mark.parametrize("size", SIZES)
def test_the_farthest_federal_distance_fits_at_every_device_that_moves(size):
    # 500 ft is the federal rule's farthest distance, 200 paces.
    situation_given = situation(RoadKind.TWO_LANE, 500.0, 500.0, 70.0)
    svg = draw_finder(US, RoadKind.TWO_LANE, speed_mph=70.0, prefix="f", size=size)
    root = root_of(svg)
    for number in (2, 3):
        (stop,) = [one for one in with_class(root, "fp-stop") if one.get("id") == f"f-d{number}"]
        words = [
            one for one in stop.iter(f"{SVG}text") if (one.get("id") or "").endswith(("distance", "paces"))
        ]
        words[0].text, words[1].text = "500 ft", "200 paces"
    changed = ElementTree.tostring(root, encoding="unicode")
    assert_legible(changed, at_px=SHOWN_AT[size])
    assert place(US, situation_given).devices


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("name", "layout"), LAYOUTS)
def test_the_template_shows_the_rule_s_own_distances(name, layout, size):
    rules = RULES[name]
    stops = with_class(root_of(template(name, layout, size)), "fp-stop")
    shown = {words_in(stop)[1] for stop in stops}
    assert shown == {length(rules, rule.distance_ft) for rule in layout.devices}


@pytest.mark.parametrize(("name", "layout"), LAYOUTS)
def test_every_hidden_stretch_waits_unseen_with_all_its_signs(name, layout):
    root = root_of(template(name, layout, Size.WIDE))
    for toward in streams(layout.road):
        assert root.get(f"data-{toward}") == "clear"
        for case in ("near", "far"):
            (group,) = with_class(root, f"fp-{toward}-{case}")
            assert group.get("display") == "none"
            for cause in Cause:
                (sign,) = with_class(group, f"fp-cause-{cause}")
                assert sign.get("display") == "none"


def test_the_style_sheet_brings_up_every_state_and_sign():
    for toward in Toward:
        for case in ("near", "far"):
            assert f'.fp-finder[data-{toward}="{case}"] .fp-{toward}-{case}' in LOOKS
        for cause in Cause:
            selector = f'.fp-finder[data-{toward}-cause="{cause}"] .fp-hidden-{toward} .fp-cause-{cause}'
            assert selector in LOOKS
    assert '.fp-finder .fp-stop[data-moved="yes"] .fp-moved-note' in LOOKS


def test_only_a_device_that_may_move_has_the_note_that_it_moved():
    root = root_of(draw_finder(US, RoadKind.TWO_LANE, speed_mph=55.0, prefix="f"))
    noted = [one.get("id") for one in with_class(root, "fp-stop") if with_class(one, "fp-moved-note")]
    assert noted == ["f-d1", "f-d2", "f-d3"][1:]


def test_posted_speeds_have_a_place_where_the_size_shows_them():
    root = root_of(draw_finder(US, RoadKind.TWO_LANE, speed_mph=55.0, prefix="f", size=Size.WIDE))
    spoken = {one.get("id"): one.text for one in root.iter() if (one.get("id") or "").startswith("f-speed")}
    assert spoken == {"f-speed-behind": "55 mph", "f-speed-ahead": "55 mph"}


def test_a_road_without_a_layout_is_refused():
    with pytest.raises(LookupError):
        draw_finder(
            type(US)(**{f: getattr(US, f) for f in US.__slots__} | {"layouts": ()}),
            RoadKind.DIVIDED,
            speed_mph=55.0,
        )


@pytest.mark.parametrize("size", SIZES)
def test_the_template_is_drawn_the_same_twice(size):
    first, second = (draw_finder(US, RoadKind.DIVIDED, speed_mph=65.0, size=size) for _ in range(2))
    assert first == second


class TestVehicles:
    """A vehicle to choose is drawn to its length, and distances ahead are measured from its front."""

    FLEET = (VehicleShape(26.0), VehicleShape(45.0), VehicleShape(70.0, 53.0), VehicleShape(70.0, 53.0))

    def choices(self, size, fleet=FLEET, road=RoadKind.TWO_LANE):
        root = root_of(draw_finder(US, road, speed_mph=55.0, prefix="f", size=size, vehicles=fleet))
        return root, {one.get("id"): one for one in with_class(root, "fp-vehicle-choice")}

    def reach(self, group, size):
        """First and last point along the road of the vehicle in a group."""
        along = 1 if size is Size.TALL else 0
        (vehicle,) = with_class(group, "fp-vehicle-group")
        points = [
            float(pair.split(",")[along])
            for box in vehicle.iter(f"{SVG}polygon")
            for pair in box.get("points").split()
        ]
        return min(points), max(points)

    def test_the_plain_vehicle_is_shown_and_each_shape_waits_unseen_once(self):
        _, choices = self.choices(Size.WIDE)
        assert {id_: one.get("display") for id_, one in choices.items()} == {
            "f-vehicle": None,
            "f-vehicle-26-0": "none",
            "f-vehicle-45-0": "none",
            "f-vehicle-70-53": "none",
        }

    @pytest.mark.parametrize("size", SIZES)
    def test_lengths_are_in_proportion_and_all_rears_at_one_point(self, size):
        _, choices = self.choices(size)
        reach = {id_: self.reach(one, size) for id_, one in choices.items()}
        feet = {"f-vehicle-26-0": 26.0, "f-vehicle-45-0": 45.0, "f-vehicle-70-53": 70.0}
        whole = reach["f-vehicle"][1] - reach["f-vehicle"][0]
        for id_, length_ft in feet.items():
            low, high = reach[id_]
            # 75 ft are drawn at the whole length of the plain vehicle.
            assert high - low == pytest.approx(whole * length_ft / 75.0, abs=0.2), id_
            rear = high if size is Size.TALL else low
            assert rear == pytest.approx(reach["f-vehicle"][1 if size is Size.TALL else 0], abs=0.1)

    def test_a_vehicle_longer_than_75_ft_takes_the_whole_length_and_the_others_shrink(self):
        _, choices = self.choices(Size.WIDE, (VehicleShape(50.0), VehicleShape(100.0, 80.0)))
        (start, end), (_, half) = (
            self.reach(choices[id_], Size.WIDE) for id_ in ("f-vehicle-100-80", "f-vehicle-50-0")
        )
        assert self.reach(choices["f-vehicle"], Size.WIDE) == pytest.approx((start, end), abs=0.1)
        assert half - start == pytest.approx((end - start) / 2, abs=0.2)

    @pytest.mark.parametrize("size", SIZES)
    def test_the_ruler_ahead_begins_at_the_front_of_the_vehicle_shown(self, size):
        _, choices = self.choices(size)
        along, front = ("cy", 0) if size is Size.TALL else ("cx", 1)
        for id_, one in choices.items():
            (zero,) = with_class(one, "fp-ruler-zero")
            assert float(zero.get(along)) == pytest.approx(self.reach(one, size)[front], abs=0.1), id_

    def test_on_a_road_without_devices_ahead_there_is_no_zero_ahead(self):
        root, choices = self.choices(Size.WIDE, road=RoadKind.DIVIDED)
        assert all(not with_class(one, "fp-ruler-zero") for one in choices.values())
        assert len(with_class(root, "fp-ruler-zero")) == 1

    @pytest.mark.parametrize("size", SIZES)
    @pytest.mark.parametrize(("name", "layout"), LAYOUTS)
    def test_every_shape_leaves_the_devices_and_words_free(self, name, layout, size):
        svg = draw_finder(
            RULES[name], layout.road, speed_mph=speed_in(layout), prefix="f", size=size, vehicles=self.FLEET
        )
        for shown in ("f-vehicle-26-0", "f-vehicle-45-0", "f-vehicle-70-53"):
            root = root_of(svg)
            for one in with_class(root, "fp-vehicle-choice"):
                if one.get("id") == shown:
                    del one.attrib["display"]
                else:
                    one.set("display", "none")
            changed = ElementTree.tostring(root, encoding="unicode")
            assert_legible(changed, at_px=SHOWN_AT[size])
            assert_devices_uncovered(changed)
        assert_sound(svg, "f")
