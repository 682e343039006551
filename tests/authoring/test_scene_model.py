"""Scene files: valid values, and the messages for invalid ones."""

import math

import pytest
from forty_paces.authoring.binding import bind
from forty_paces.authoring.documents import Document
from forty_paces.authoring.models import scene as scene_model
from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.scene import PlanPiece, SceneFile
from forty_paces.authoring.yaml_tree import parse_tree
from forty_paces.geometry.records import RoadKind, Toward
from forty_paces.geometry.road import Arc, Tangent, Turn
from forty_paces.geometry.scene import Outline, Stands, Strip, approach_lane
from pydantic import ValidationError


def fields(**changes):
    """A scene file as the YAML reader returns it: strings, lists and mappings."""
    values = {
        "id": "tried",
        "title": "A bend",
        "place": "Somewhere",
        "position": "3",
        "teaching_point": "Look twice.",
        "road": "two-lane",
        "speed_mph": "45",
        "detection_ft": "600",
        "section": {"shoulder_ft": "10", "far_shoulder_ft": "6"},
        "plan": {
            "start_ft": "-900",
            "pieces": [{"length_ft": "400"}, {"length_ft": "500", "turn": "right", "radius_ft": "760"}],
        },
        "vehicle": {"length_ft": "70", "stands": "shoulder"},
    }
    return {**values, **changes}


def scene(**changes):
    return SceneFile.model_validate(fields(**changes)).scene()


def complaint(**changes):
    """The only error message that the author gets."""
    with pytest.raises(ValidationError) as raised:
        SceneFile.model_validate(fields(**changes))
    (error,) = raised.value.errors()
    return error["msg"].removeprefix("Value error, ")


def test_pieces_become_tangents_and_arcs():
    road = scene().road
    assert road.alignment.start_ft == -900
    assert road.alignment.pieces == (Tangent(400), Arc(500, 760, Turn.RIGHT))


def test_grades_become_a_profile():
    grades = {"first_pct": "3", "changes": [{"at_ft": "-200", "grade_after_pct": "-2", "curve_ft": "300"}]}
    profile = scene(grades=grades).road.profile
    assert (profile.grade_pct(-900), profile.grade_pct(500)) == (3, -2)
    assert scene().road.profile.pvis == ()


def test_a_vehicle_on_the_shoulder_stands_in_its_middle():
    assert scene().vehicle.offset_ft == 6 + 5
    assert scene().vehicle.stands is Stands.SHOULDER


def test_on_a_narrow_shoulder_it_keeps_to_the_outer_edge():
    narrow = scene(section={"shoulder_ft": "6", "far_shoulder_ft": "6"})
    assert narrow.vehicle.offset_ft + narrow.vehicle.width_ft / 2 == narrow.road.carriageways[0].right_ft


def test_in_the_lane_it_stands_in_the_middle_of_the_lane():
    assert scene(vehicle={"length_ft": "26", "stands": "lane"}).vehicle.offset_ft == 0


def test_where_traffic_keeps_left_shoulder_and_oncoming_lane_change_sides():
    left = scene(section={"shoulder_ft": "10", "far_shoulder_ft": "6", "keeps": "left"})
    assert left.vehicle.offset_ft == -11
    assert approach_lane(left, Toward.AHEAD).center_ft == 12


def test_a_divided_road_gets_its_second_carriageway():
    section = {"lanes": "2", "shoulder_ft": "10", "far_shoulder_ft": "4", "median_ft": "30"}
    own, other = scene(road="divided", section=section).road.carriageways
    assert len(own.lanes) == 2
    assert own.left_ft - other.right_ft == pytest.approx(30)


def test_blockers_become_strips_and_outlines():
    hedge = {
        "title": "the hedge",
        "height_ft": "5",
        "along": {"from_ft": "-300", "to_ft": "0", "offset_ft": "18"},
    }
    corners = [{"at_ft": "10", "offset_ft": "30"}, {"at_ft": "40", "offset_ft": "30"}]
    made = scene(blockers=[hedge, {"title": "the fence", "corners": corners}]).blockers
    assert made == (
        Strip("the hedge", -300, 0, 18, 5),
        Outline("the fence", ((10, 30), (40, 30)), closed=False, height_ft=math.inf),
    )


def test_words_and_numbers_arrive_as_written():
    made = scene(notes=["Mind the gap."], eye="truck", light="night", surface="snow")
    assert (made.id, made.position, made.kind, made.speed_mph) == ("tried", 3, RoadKind.TWO_LANE, 45)
    assert made.notes == ("Mind the gap.",)
    assert (str(made.eye), str(made.light), str(made.surface)) == ("truck", "night", "snow")


PIECE = {"start_ft": "0"}


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        (
            {"plan": {**PIECE, "pieces": [{"length_ft": "100", "turn": "left"}]}},
            "a bend needs both its turn and its radius_ft; give both, or neither for a straight",
        ),
        (
            {"plan": {**PIECE, "pieces": [{"length_ft": "900", "turn": "left", "radius_ft": "200"}]}},
            "a bend of 900 ft with a radius of 200 ft turns by half a circle or more; "
            "shorten it or widen its radius",
        ),
        (
            {
                "grades": {
                    "changes": [
                        {"at_ft": "0", "grade_after_pct": "2", "curve_ft": "300"},
                        {"at_ft": "200", "grade_after_pct": "-2", "curve_ft": "300"},
                    ]
                }
            },
            "the vertical curve at station 200 ft begins at 50 ft, before 150 ft where the one before it "
            "ends; move them apart or shorten their curves",
        ),
        (
            {"detection_ft": None},
            "how far can one see here? write either visibility or detection_ft",
        ),
        (
            {"visibility": "night"},
            "how far can one see here? write either visibility or detection_ft",
        ),
        (
            {"section": {"shoulder_ft": "0", "far_shoulder_ft": "0"}},
            "there is no shoulder to stand on; write stands: lane or give shoulder_ft",
        ),
        (
            {"vehicle": {"length_ft": "50", "trailer_ft": "53", "stands": "lane"}},
            "the trailer is as long as the whole vehicle; length_ft includes the tractor",
        ),
        (
            {"blockers": [{"title": "the hedge"}]},
            "the hedge needs one shape; write along or corners, not both",
        ),
        (
            {"blockers": [{"title": "the shed", "corners": [{"at_ft": "0", "offset_ft": "20"}]}]},
            "the shed has one corner; write two or more",
        ),
        (
            {
                "blockers": [
                    {"title": "the hedge", "along": {"from_ft": "9", "to_ft": "9", "offset_ft": "20"}}
                ]
            },
            "the hedge ends before it begins; write the lower station as from_ft",
        ),
        (
            {
                "blockers": [
                    {"title": "the bank", "along": {"from_ft": "-450", "to_ft": "-20", "offset_ft": "780"}}
                ]
            },
            "the bank lies beyond the center of the bend of radius 760 ft; see plan, section and blockers",
        ),
    ],
)
def test_every_fault_is_reported_with_its_remedy(changes, message):
    assert complaint(**changes) == message


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("speed_mph", "0"),
        ("speed_mph", "fast"),
        ("speed_mph", "nan"),
        ("position", "0"),
        ("road", "motorway"),
    ],
)
def test_values_out_of_bounds_are_refused(key, value):
    with pytest.raises(ValidationError):
        SceneFile.model_validate(fields(**{key: value}))


def test_unknown_keys_are_refused():
    with pytest.raises(ValidationError, match="speed_kmh"):
        SceneFile.model_validate(fields(speed_kmh="70"))


def test_every_key_says_what_it_is_for():
    """The authors' manual is generated from these descriptions."""
    records = [scene_model.SceneFile, scene_model.Plan, scene_model.PlanPiece, scene_model.Grades]
    records += [scene_model.GradeChange, scene_model.Section, scene_model.StandingVehicle]
    records += [scene_model.ViewBlocker, scene_model.Along, scene_model.Corner]
    bare = [
        name for record in records for name, field in record.model_fields.items() if not field.description
    ]
    assert bare == []


def test_a_scene_in_meters_is_the_same_scene_as_in_feet():
    """Every length may be written with _m and the speed with _kmh; one foot is 0.3048 m."""

    def metric(node):
        if isinstance(node, list):
            return [metric(item) for item in node]
        if not isinstance(node, dict):
            return node
        made = {}
        for key, value in node.items():
            if key.endswith("_ft"):
                made[key.removesuffix("_ft") + "_m"] = repr(float(value) * 0.3048)
            elif key == "speed_mph":
                made["speed_kmh"] = repr(float(value) * 1.609344)
            else:
                made[key] = metric(value)
        return made

    values = fields(
        grades={"changes": [{"at_ft": "-200", "grade_after_pct": "-2", "curve_ft": "300"}]},
        blockers=[
            {
                "title": "a wall",
                "height_ft": "9",
                "along": {"from_ft": "-500", "to_ft": "-90", "offset_ft": "20"},
            }
        ],
    )
    in_feet, in_meters = (SceneFile.model_validate(one).scene() for one in (values, metric(values)))
    assert in_meters.speed_mph == pytest.approx(in_feet.speed_mph)
    assert in_meters.detection_ft == pytest.approx(in_feet.detection_ft)
    assert in_meters.vehicle.offset_ft == pytest.approx(in_feet.vehicle.offset_ft)
    assert in_meters.road.alignment.end_ft == pytest.approx(in_feet.road.alignment.end_ft)
    assert in_meters.road.elevation_ft(-600) == pytest.approx(in_feet.road.elevation_ft(-600))
    assert in_meters.blockers[0].height_ft == pytest.approx(9)


def test_one_length_in_both_units_is_refused():
    assert "keep one of them" in complaint(speed_kmh="80")


def hints(text, model=SceneFile):
    """Message and fix of each finding in a text."""
    tree, _ = parse_tree(text, "tried.yml")
    _, found = bind(Document("scene", "tried", "content/scenes/tried.yml", tree), model)
    return {finding.wrong: finding.fix for finding in found}


def test_a_hint_never_changes_a_unit():
    """Meters under a key in feet would put an obstruction at a third of its distance."""
    found = hints("lenght_m: 150\nturn: left\nradius_ft: 700\n", PlanPiece)
    assert found['there is no key "lenght_m" here'] == 'write "length_m"'


@pytest.mark.parametrize(
    ("written", "fix"),
    [
        ("speed_kph: 90", 'write "speed_kmh"'),
        ("speed_km_h: 90", 'write "speed_kmh"'),
        ("sped_mph: 55", 'write "speed_mph"'),
        ("detection_meters: 150", 'write "detection_m"'),
        ("detection_feet: 500", 'write "detection_ft"'),
    ],
)
def test_a_unit_spelled_out_is_led_to_the_key_in_that_unit(written, fix):
    key = written.partition(":")[0]
    assert hints(f"id: tried\n{written}\n")[f'there is no key "{key}" here'] == fix


def test_a_key_in_a_unit_that_no_key_has_gets_no_hint_in_another_unit():
    fix = hints("id: tried\nspeed_s: 55\n")['there is no key "speed_s" here']
    assert not fix.startswith("write")
    assert "closest" not in fix


def test_a_vehicle_of_the_fleet_may_be_measured_in_meters():
    vehicle = Vehicle.model_validate(
        {"id": "dry-van", "title": "Dry van", "length_m": "21", "trailer_m": "16.15"}
    )
    assert vehicle.length_ft == pytest.approx(68.898, abs=0.001)
    assert vehicle.trailer_ft == pytest.approx(52.986, abs=0.001)


def test_a_missing_key_is_asked_for_in_the_unit_that_the_author_writes():
    in_meters = hints("turn: left\nradius_m: 200\n", PlanPiece)
    assert in_meters['the key "length_m" is missing'].startswith('add "length_m"')
    assert "in meters" in in_meters['the key "length_m" is missing']
    for otherwise in ("turn: left\nradius_ft: 700\n", "turn: left\n", "turn: left\nradius_m: 9\nodd_ft: 1\n"):
        assert hints(otherwise, PlanPiece)['the key "length_ft" is missing'].startswith('add "length_ft"')


def test_a_limit_is_given_in_the_unit_that_the_author_wrote():
    found = hints("length_m: 0\nturn: left\nradius_m: 5\n", PlanPiece)
    assert '"length_m" is 0; it must be more than 0 m' in found
    assert '"radius_m" is 5; it must be at least 15.24 m' in found
    assert "feet" not in " ".join(found.values())
