"""``fortypaces place``, as users and scripts call it."""

import json
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner
from forty_paces.cli import main
from forty_paces.geometry.chance import chance_of_stopping

from tests.rule_files import PROJECT, names

DEVICE_KEYS = ["toward", "distance_ft", "paces", "across", "moved", "reason", "source", "reached"]
SIDE_KEYS = ["needed_ft", "warning_ft", "ample", "shortfall_ft", "shortfall_s"]
ADDED_KEYS = ["look_ft", "look_s", "warning_reflecting_ft", "needed_by"]
ASKED = ("place", "--road", "two-lane", "--speed", "55")


def run(*words):
    return CliRunner().invoke(main, list(words))


def data(*words):
    """The result for a script: standard output is JSON and nothing else."""
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    assert result.stderr == f"Project: {PROJECT}\n"
    return json.loads(result.stdout)


def test_the_plain_case_in_json():
    answer = data(*ASKED)
    assert list(answer) == ["rules", "road", "devices", "approach", "walk", "cautions", "decision_ft"]
    assert (answer["rules"], answer["road"]) == ("us", "two-lane")
    assert [list(device) for device in answer["devices"]] == [DEVICE_KEYS] * 3
    assert [(d["toward"], d["distance_ft"], d["paces"]) for d in answer["devices"]] == [
        ("behind", 10, 4),
        ("behind", 100, 40),
        ("ahead", 100, 40),
    ]
    assert answer["devices"][0] == {
        "toward": "behind",
        "distance_ft": 10,
        "paces": 4,
        "across": "traffic side",
        "moved": False,
        "reason": answer["devices"][0]["reason"],
        "source": "49 CFR 392.22(b)(1)(i)",
        "reached": True,
    }
    expected = {
        "needed_ft": 492.5,
        "warning_ft": 350.0,
        "ample": False,
        "shortfall_ft": 143.0,
        "shortfall_s": 1.8,
        "look_ft": 0.0,
        "look_s": 0.0,
        "warning_reflecting_ft": 600.0,
        "needed_by": "car",
    }
    assert answer["approach"] == {"behind": expected, "ahead": expected}
    assert list(answer["approach"]["behind"]) == SIDE_KEYS + ADDED_KEYS
    assert (answer["walk"]["distance_ft"], answer["walk"]["seconds"]) == (400, 114)
    assert len(answer["walk"]["order"]) == 5
    assert all(isinstance(caution, str) for caution in answer["cautions"])


def test_the_walk_is_compared_with_the_minutes_left():
    """400 ft at 3.5 ft/s take 114 s."""
    assert data(*ASKED)["walk"]["limit_s"] == 600
    assert not any("longer than" in said for said in data(*ASKED, "--minutes-left", "2")["cautions"])
    late = data(*ASKED, "--minutes-left", "1.5")
    assert late["walk"]["limit_s"] == 90
    (said,) = [caution for caution in late["cautions"] if "longer than" in caution]
    assert said.startswith("The walk alone takes longer than the 1.5 minutes left. Life goes before the rule")


def test_a_divided_road_has_no_approach_from_ahead():
    answer = data("place", "--road", "divided", "--speed", "65", "--hidden-ahead", "200")
    assert list(answer["approach"]) == ["behind"]
    assert [device["distance_ft"] for device in answer["devices"]] == [10, 100, 200]
    assert any("No traffic comes from ahead on a divided road" in said for said in answer["cautions"])


def test_a_hidden_view_moves_the_device_on_that_side():
    answer = data(*ASKED, "--hidden-behind", "300", "--hidden-ahead", "450")
    assert [(d["distance_ft"], d["moved"]) for d in answer["devices"]] == [
        (10, False),
        (310, True),
        (460, True),
    ]
    assert answer["devices"][1]["source"] == "49 CFR 392.22(b)(2)(iv)"


def test_the_grade_is_that_of_traffic_from_behind():
    answer = data(*ASKED, "--grade", "-6")
    assert answer["approach"]["behind"]["needed_ft"] == 552.5
    assert answer["approach"]["ahead"]["needed_ft"] == 449.4


def test_snow_needs_more_and_says_that_it_is_assumed():
    answer = data(*ASKED, "--surface", "snow")
    assert answer["approach"]["behind"]["needed_ft"] > 800
    assert any("a friction of 0.15 is assumed" in said for said in answer["cautions"])


@pytest.mark.parametrize(
    ("option", "warning_ft"),
    [
        ((), 350),
        (("--visibility", "night"), 350),
        (("--visibility", "fog"), 250),
        (("--visibility", "daylight"), 1100),
        (("--detection", "321"), 421),
    ],
)
def test_how_far_a_device_is_made_out_decides_the_warning(option, warning_ft):
    assert data(*ASKED, *option)["approach"]["behind"]["warning_ft"] == warning_ft


def test_metric_figures_are_the_same_situation():
    us = data("place", "--road", "two-lane", "--speed", "50", "--hidden-behind", "328.084")
    metric = data(
        "place", "--units", "metric", "--road", "two-lane", "--speed", "80.4672", "--hidden-behind", "100"
    )
    assert us == metric


@pytest.mark.parametrize("rules", names())
@pytest.mark.parametrize("road", ["two-lane", "divided", "one-way"])
def test_every_rule_set_answers_for_every_road(rules, road):
    answer = data("place", "--rules", rules, "--road", road, "--speed", "45")
    assert answer["rules"] == rules
    assert answer["devices"] or any("not" in said.lower() for said in answer["cautions"])
    result = run("place", "--rules", rules, "--road", road, "--speed", "45")
    assert result.exit_code == 0
    assert "What approaching drivers get" in result.stdout


def test_people_read_the_distances_the_reasons_the_walk_and_the_cautions():
    result = run(*ASKED, "--hidden-behind", "300", "--hidden-from", "0")
    assert result.exit_code == 0
    for wanted in (
        "two-lane road, 55 mph (89 km/h)",
        "2  behind  250    100  76          6¼  center of lane or shoulder, moved out",
        "Moved out from 100 ft, because the view is hidden 300 ft from the vehicle.",
        "From behind: drivers get about 500 ft; to stop takes 493 ft. With the reach of a reflector: 550 ft.",
        "The walk: 700 ft in all, about 200 s: 33 percent of the 10 minutes the rule gives.",
        "1. Walk back from the rear to 10 ft (4 paces)",
        "Mind this",
        "Every distance is measured from the vehicle",
    ):
        assert " ".join(wanted.split()) in " ".join(result.stdout.split())
    assert all(len(line) <= 100 for line in result.stdout.splitlines())


def test_distances_are_counted_in_trailer_lengths_where_a_trailer_is_reported():
    result = " ".join(run(*ASKED, "--trailer", "53").stdout.split())
    assert "lane lines trailers across the road" in result
    assert "2 behind 100 40 30 2½ 2 center of lane or shoulder" in result
    assert "trailers" not in run(*ASKED).stdout
    assert (
        "trailers"
        in run("place", "--scene", str(PROJECT / "content" / "scenes" / "heron-creek-bend.yml")).stdout
    )


def test_a_missing_margin_is_reported_in_feet_and_seconds():
    result = run("place", "--road", "two-lane", "--speed", "70", "--hidden-behind", "600").stdout
    assert (
        "From behind: drivers get about 250 ft; to stop takes 728 ft. With the reach of a reflector: 250 ft. "
        "478 ft are missing, or 4.7 s." in (" ".join(result.split()))
    )


def test_a_drawing_is_written_where_it_is_asked_for(tmp_path):
    drawing = tmp_path / "crest.svg"
    result = run(*ASKED, "--hidden-behind", "300", "--svg", str(drawing))
    assert result.exit_code == 0
    assert ElementTree.parse(drawing).getroot().tag == "{http://www.w3.org/2000/svg}svg"
    assert "300 ft" in drawing.read_text(encoding="utf-8")


def test_a_drawing_beside_json_leaves_the_json_alone(tmp_path):
    drawing = tmp_path / "plain.svg"
    assert data(*ASKED, "--svg", str(drawing)) == data(*ASKED)
    assert drawing.stat().st_size > 1000


def test_a_drawing_that_cannot_be_written_is_one_line_and_no_traceback(tmp_path):
    result = run(*ASKED, "--svg", str(tmp_path / "no" / "such" / "folder.svg"))
    assert result.exit_code == 1
    project, fault = result.stderr.splitlines()
    assert (project, fault[:12]) == (f"Project: {PROJECT}", "fortypaces: ")
    assert "no such file or directory" in fault


@pytest.mark.parametrize(
    "scene", sorted((PROJECT / "content" / "scenes").glob("*.yml")), ids=lambda f: f.stem
)
def test_every_scene_is_answered(scene):
    answer = data("place", "--scene", str(scene))
    assert answer["rules"] == "us"
    assert len(answer["devices"]) == 3
    assert all(len(side) == len(SIDE_KEYS + ADDED_KEYS) for side in answer["approach"].values())


def test_a_scene_is_drawn_where_it_is_asked_for(tmp_path):
    drawing = tmp_path / "bend.svg"
    scene = str(PROJECT / "content" / "scenes" / "heron-creek-bend.yml")
    result = run("place", "--scene", scene, "--svg", str(drawing))
    assert result.exit_code == 0
    assert f"Drawn in {drawing}" in result.stdout
    assert ElementTree.parse(drawing).getroot().tag == "{http://www.w3.org/2000/svg}svg"
    assert "paces" in drawing.read_text(encoding="utf-8")


def test_a_scene_tells_the_whole_situation():
    result = run("place", "--scene", "content/scenes/heron-creek-bend.yml", "--speed", "55", "--grade", "2")
    assert result.exit_code == 2
    assert "leave out --grade, --speed" in result.stderr


def test_a_slope_nobody_can_stop_on_is_a_finding():
    result = run(*ASKED, "--surface", "ice", "--grade", "-8")
    assert result.exit_code == 1
    assert result.stdout == ""
    project, fault = result.stderr.splitlines()
    assert project == f"Project: {PROJECT}"
    assert fault.startswith("fortypaces: on ice at a grade of -8 percent a vehicle cannot stop")


@pytest.mark.parametrize(
    ("words", "result"),
    [
        (("place",), "give --road and --speed"),
        (("place", "--road", "two-lane"), "give --road and --speed"),
        (("place", "--road", "three-lane", "--speed", "55"), "'three-lane' is not one of"),
        (("place", "--road", "two-lane", "--speed", "0"), "0 mph is out of range: give 1 to 120 mph"),
        (("place", "--road", "two-lane", "--speed", "-55"), "-55 mph is out of range"),
        (("place", "--road", "two-lane", "--speed", "1e999"), "is not a number to calculate with"),
        (("place", "--road", "two-lane", "--speed", "nan"), "is not a number to calculate with"),
        (("place", "--road", "two-lane", "--speed", "inf"), "is not a number to calculate with"),
        (("place", "--road", "two-lane", "--speed", "fast"), '"fast" is not a number'),
        (("place", "--road", "two-lane", "--speed", "9" * 400), "is not a number to calculate with"),
        (("place", "--road", "two-lane", "--speed", "300"), "out of range"),
        ((*ASKED, "--hidden-behind", "-1"), "-1 ft is out of range"),
        ((*ASKED, "--hidden-ahead", "nan"), "is not a number"),
        ((*ASKED, "--hidden-behind", "1e9"), "give 0 to 10,000 ft"),
        ((*ASKED, "--grade", "90"), "give -30 to 30 percent"),
        ((*ASKED, "--trailer", "0"), "give 1 to 10,000 ft"),
        ((*ASKED, "--detection", "0"), "give 1 to 10,000 ft"),
        ((*ASKED, "--detection", "300", "--visibility", "fog"), "not both"),
        ((*ASKED, "--visibility", "dusk"), "name one of: night, daylight, fog"),
        ((*ASKED, "--surface", "mud"), "'mud' is not one of"),
        ((*ASKED, "--rules", "atlantis"), 'there is no rule set "atlantis"'),
        ((*ASKED, "--rules", "../us"), 'there is no rule set "../us"'),
        ((*ASKED, "--units", "furlongs"), "'furlongs' is not one of"),
        ((*ASKED, "--project", "generator"), "holds no content folder"),
        ((*ASKED, "--wings", "2"), "No such option"),
        (("place", "--scene", "content/scenes/nowhere.yml"), "there is no scene file"),
    ],
    ids=lambda value: " ".join(value)[:60] if isinstance(value, tuple) else "",
)
def test_wrong_use_is_reported_with_what_would_be_right(words, result):
    answer = run(*words)
    assert answer.exit_code == 2
    assert answer.stdout == ""
    assert result in answer.stderr
    assert "Traceback" not in answer.stderr


def test_findings_in_a_rule_file_are_reported_with_their_place(tmp_path):
    rules = tmp_path / "content" / "rules"
    rules.mkdir(parents=True)
    faulty = (PROJECT / "content" / "rules" / "us.yml").read_text(encoding="utf-8")
    (rules / "us.yml").write_text(faulty.replace("distance: 200 ft", "distance: 200"), encoding="utf-8")
    result = run(*ASKED, "--rules", "us", "--project", str(tmp_path))
    assert result.exit_code == 1
    assert result.stdout == ""
    line = 1 + faulty[: faulty.index("distance: 200 ft")].count("\n")
    assert f'content/rules/us.yml:{line}:19: "200" is not a length with its unit' in result.stderr
    assert 'fix: write it like "100 ft" or "45 m"' in result.stderr


def test_no_distance_is_reported_from_a_rule_file_that_its_own_examples_contradict(tmp_path):
    """A typing error in a rule file, 1,000 ft for 100, must not reach the roadside through the terminal."""
    rules = tmp_path / "content" / "rules"
    rules.mkdir(parents=True)
    right = (PROJECT / "content" / "rules" / "us.yml").read_text(encoding="utf-8")
    wrong = right.replace("distance: 100 ft", "distance: 1000 ft", 1)
    (rules / "us.yml").write_text(wrong, encoding="utf-8")
    result = run(*ASKED, "--rules", "us", "--project", str(tmp_path))
    assert (result.exit_code, result.stdout) == (1, "")
    assert "content/rules/us.yml" in result.stderr
    assert "the figures give" in result.stderr
    assert "fix: look the rule up again" in result.stderr


def test_help_shows_examples_and_exit_statuses():
    result = run("place", "--help")
    assert result.exit_code == 0
    assert "fortypaces place --road two-lane --speed 55" in result.stdout
    assert "Exit status" in result.stdout


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ((*ASKED, "--hidden-from", "0"), "say how far off the view is hidden"),
        ((*ASKED, "--hidden-behind", "300", "--hidden-to", "400"), "add --hidden-by obstruction"),
        (
            (*ASKED, "--hidden-behind", "300", "--hidden-by", "obstruction", "--hidden-from", "0"),
            "an obstruction has a far end",
        ),
    ],
)
def test_ends_that_do_not_belong_to_what_hides_the_vehicle_are_wrong_use(wrong, said):
    result = run(*wrong)
    assert result.exit_code == 2
    assert said in " ".join(result.stderr.split())


def test_two_causes_at_once_get_the_worse_answer():
    hidden = ("--hidden-behind", "400", "--hidden-from", "50", "--visibility", "daylight")
    warnings = [
        data(*ASKED, *hidden, *causes)["devices"][1]["distance_ft"]
        for causes in (("--hidden-by", "curve"), ("--hidden-by", "hill"))
    ]
    both = data(*ASKED, *hidden, "--hidden-by", "curve", "--hidden-by", "hill")
    assert both["devices"][1]["distance_ft"] == max(warnings) == 220
    assert both["approach"]["behind"]["look_ft"] == 273.0


@pytest.mark.parametrize("words", ["enough", "ample", "safe "])
def test_no_answer_that_people_read_holds_a_verdict(words):
    for asked in ((), ("--hidden-behind", "300"), ("--hidden-behind", "300", "--hidden-from", "0")):
        assert words not in run(*ASKED, *asked).stdout.lower()


DECISION_55 = {"a": 535, "b": 1030, "c": 865, "d": 980, "e": 1135}
"AASHTO Green Book, decision sight distance, row of 55 mph."


def test_decision_sight_distance_stands_beside_the_two_figures():
    assert data(*ASKED)["decision_ft"] == DECISION_55
    result = " ".join(run(*ASKED).stdout.split())
    assert "change lanes unhurried takes 865 ft on a rural road, 1,135 ft in a town" in result


def test_decision_sight_distance_is_left_out_where_the_table_does_not_reach():
    slow = ("place", "--road", "two-lane", "--speed", "25")
    assert data(*slow)["decision_ft"] is None
    assert "unhurried" not in run(*slow).stdout


def test_how_many_can_stop_is_reported_only_where_it_is_asked_for():
    assert "chance" not in data(*ASKED)
    assert "can stop" not in run(*ASKED).stdout


def test_how_many_can_stop_within_the_warning_of_each_side():
    answer = data(*ASKED, "--grade", "-3", "--chance")
    assert list(answer)[-2:] == ["chance", "assumptions"]
    for toward, grade_pct in (("behind", -3), ("ahead", 3)):
        side, band = answer["approach"][toward], answer["chance"][toward]
        plain = chance_of_stopping(side["warning_ft"], 55, grade_pct).percent()
        reflecting = chance_of_stopping(side["warning_reflecting_ft"], 55, grade_pct).percent()
        assert (band["low_pct"], band["middle_pct"], band["high_pct"]) == plain
        assert tuple(band["reflecting"].values()) == reflecting
        assert band["low_pct"] < band["middle_pct"] < band["high_pct"]
    assert answer["chance"]["behind"]["middle_pct"] < answer["chance"]["ahead"]["middle_pct"]


def test_a_scene_has_a_chance_too_on_its_own_grade():
    answer = data("place", "--scene", "content/scenes/drover-crest.yml", "--chance")
    assert set(answer["chance"]) == set(answer["approach"])


def test_people_read_a_band_and_what_it_assumes():
    result = " ".join(run(*ASKED, "--chance").stdout.split())
    assert "From behind: within 350 ft, of 100 drivers about 11 to 64 can stop, 45 by the middle" in result
    assert "With the reach of a reflector, 600 ft: of 100 drivers about" in result
    assert "Middle: half react within 1.0 s and 95 of 100 within 2.0 s" in result
    assert "Lerner 1993" in result
    assert "not for a driver at the road" in result


def test_a_typed_assumption_takes_the_place_of_the_published_ones():
    typed = ("--reaction-median", "1.2", "--reaction-95", "2.2", "--deceleration", "0.4")
    spread = ("--deceleration-sd", "0.1", "--speed-over", "2", "--speed-sd", "5")
    answer = data(*ASKED, "--chance", *typed, *spread)
    assert answer["assumptions"] == 3 * [
        {
            "reaction_median_s": 1.2,
            "reaction_95_s": 2.2,
            "deceleration_g": 0.4,
            "deceleration_sd_g": 0.1,
            "speed_over_mph": 2,
            "speed_sd_mph": 5,
        }
    ]
    band = answer["chance"]["behind"]
    assert band["low_pct"] == band["middle_pct"] == band["high_pct"]
    result = " ".join(run(*ASKED, "--chance", *typed, *spread).stdout.split())
    assert f"of 100 drivers about {band['low_pct']} can stop" in result
    assert "Typed, and the same in all three: --reaction-median, --reaction-95" in result


def test_assumed_speeds_are_typed_in_the_posted_unit():
    asked = ("place", "--rules", "germany", "--road", "divided", "--speed", "100", "--chance")
    answer = data(*asked, "--speed-over", "8", "--speed-sd", "12")
    assert [row["speed_over_mph"] for row in answer["assumptions"]] == [4.97] * 3
    result = " ".join(run(*asked, "--speed-over", "8", "--speed-sd", "12").stdout.split())
    assert "speed 8.0 km/h above the posted one, SD 12.0" in result
    assert "within 175 m" in result


@pytest.mark.parametrize(
    ("words", "result"),
    [
        (("--reaction-median", "1"), "--reaction-median goes with --chance"),
        (("--chance", "--reaction-median", "0.1"), "0.1 s is out of range: give 0.2 to 5 s"),
        (("--chance", "--deceleration", "2"), "2 g is out of range"),
        (("--chance", "--reaction-95", "0.9"), "must not be below the median"),
        (("--chance", "--speed-sd", "-1"), "-1 mph is out of range: give 0 to 30 mph"),
    ],
)
def test_an_assumption_that_cannot_be_is_wrong_use(words, result):
    answer = run(*ASKED, *words)
    assert answer.exit_code == 2
    assert result in " ".join(answer.output.split())


@pytest.mark.parametrize("surface", ["normal", "snow"])
@pytest.mark.parametrize("grade", ["-6", "0", "3"])
@pytest.mark.parametrize("speed", ["50", "80", "100", "130"])
def test_place_and_stopping_need_the_same_to_a_tenth_in_meters(speed, grade, surface):
    result = ("--speed", speed, "--grade", grade, "--surface", surface)
    needed_ft = data("place", "--rules", "germany", "--road", "divided", *result)["approach"]["behind"][
        "needed_ft"
    ]
    stopping = json.loads(run("stopping", "--units", "metric", *result, "--json").stdout)
    assert needed_ft * 0.3048 == pytest.approx(stopping["stopping_sight_m"], abs=0.1)


@pytest.mark.parametrize("grade", ["-6", "0", "3"])
@pytest.mark.parametrize("speed", ["25", "55", "75"])
def test_place_and_stopping_need_the_same_in_feet(speed, grade):
    result = ("--speed", speed, "--grade", grade)
    needed_ft = data("place", "--road", "divided", *result)["approach"]["behind"]["needed_ft"]
    stopping = json.loads(run("stopping", *result, "--json").stdout)
    assert needed_ft == stopping["stopping_sight_ft"]


METRIC_SCENE = """\
id: made
title: Divided road in meters
place: Nowhere
position: 1
teaching_point: Lengths and speeds may be metric.
road: divided
speed_kmh: {speed}
detection_m: 150
section: {{keeps: left, lane_m: 3.5, lanes: 2, shoulder_m: 3, far_shoulder_m: 1, median_m: 4}}
plan:
  start_m: -600
  pieces: [{{length_m: 1200}}]
vehicle: {{length_m: 21, stands: shoulder}}
"""


@pytest.mark.parametrize(("speed", "farthest_m"), [("79", 150), ("80", 250), ("81", 250)])
def test_a_metric_scene_is_compared_with_the_bands_in_the_posted_unit(tmp_path, speed, farthest_m):
    """South Australian Road Rule 227: the longer distances begin at 80 km/h."""
    scene = tmp_path / "made.yml"
    scene.write_text(METRIC_SCENE.format(speed=speed), encoding="utf-8")
    answer = data("place", "--rules", "australia-sa", "--scene", str(scene))
    stopping = json.loads(run("stopping", "--units", "metric", "--speed", speed, "--json").stdout)
    side = answer["approach"]["behind"]
    assert side["needed_ft"] * 0.3048 == pytest.approx(stopping["stopping_sight_m"], abs=0.1)
    nearest_m = {150: 50, 250: 200}[farthest_m]
    outermost_m = max(device["distance_ft"] for device in answer["devices"]) * 0.3048
    assert nearest_m - 0.1 <= outermost_m <= farthest_m + 0.1
    assert f"{speed} km/h" in run("place", "--rules", "australia-sa", "--scene", str(scene)).stdout


@pytest.mark.parametrize(("rules", "noted"), [("australia-sa", False), ("us", True)])
def test_a_scene_where_traffic_keeps_to_the_other_side_is_noted(tmp_path, rules, noted):
    scene = tmp_path / "made.yml"
    scene.write_text(METRIC_SCENE.format(speed=80), encoding="utf-8")
    result = run("place", "--rules", rules, "--scene", str(scene), "--json")
    assert result.exit_code == 0
    assert ("traffic keeps left in this scene, and right" in result.stderr) is noted
