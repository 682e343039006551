"""``fortypaces stopping``, as users and scripts call it."""

import json

import pytest
from click.testing import CliRunner
from forty_paces.cli import main
from forty_paces.geometry.chance import chance_of_stopping

from tests.published import published


def run(*words):
    return CliRunner().invoke(main, ["stopping", *words])


def data(*words):
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    assert result.stderr == ""
    return json.loads(result.stdout)


def test_the_plain_case_in_json():
    assert data("--speed", "55") == {
        "stopping_sight_ft": 492.5,
        "design_ft": 495,
        "reaction_ft": 202.1,
        "braking_ft": 290.3,
        "speed_mph": 55,
        "grade_pct": 0,
        "surface": "normal",
        "decision_ft": {"a": 535, "b": 1030, "c": 865, "d": 980, "e": 1135},
    }


@pytest.mark.parametrize(
    ("speed_mph", "design_ft"), [(row[0], row[4]) for row in published("stopping_us")["rows"]]
)
def test_the_design_column_of_the_us_table(speed_mph, design_ft):
    """AASHTO Green Book."""
    assert data("--speed", str(speed_mph))["design_ft"] == design_ft


@pytest.mark.parametrize(("speed_kmh", "design_m"), published("stopping_metric")["rows"])
def test_the_design_column_of_the_metric_table(speed_kmh, design_m):
    """AASHTO Green Book."""
    answer = data("--speed", str(speed_kmh), "--units", "metric")
    assert answer["design_m"] == design_m
    assert answer["speed_kmh"] == speed_kmh


def test_a_grade_is_in_percent_and_downhill_negative():
    assert data("--speed", "35", "--grade", "-10")["design_ft"] == 295
    assert data("--speed", "35", "--grade", "10")["design_ft"] == 220


def test_a_heavy_vehicle_by_parts_is_an_answer_of_its_own():
    """CDL manual 2.6.1, with hydraulic brakes as the manual computes them."""
    example = published("heavy_vehicle")["stopping"]
    answer = data("--speed", "55", "--by-parts", "--brakes", "hydraulic")
    assert answer == {
        "perception_ft": example["perception_ft"],
        "reaction_ft": example["reaction_ft"],
        "lag_ft": 0,
        "braking_ft": example["braking_ft"],
        "total_ft": example["total_ft"],
        "speed_mph": 55,
        "brakes": "hydraulic",
    }
    assert data("--speed", "55", "--by-parts")["total_ft"] == 452


def test_people_read_both_parts_and_the_design_value():
    result = " ".join(run("--speed", "55").stdout.split())
    assert "Stopping sight distance at 55 mph, level, normal surface" in result
    assert "reaction 202.1 ft braking 290.3 ft in all 492.5 ft (150 m) design 495 ft" in result
    result = " ".join(
        run("--speed", "90", "--units", "metric", "--grade", "-3", "--surface", "snow").stdout.split()
    )
    assert "at 90 km/h, 3 percent down, snow surface" in result
    assert "A friction of 0.15 is assumed." in result


def test_by_parts_says_not_to_mix_the_two():
    result = run("--speed", "55", "--by-parts").stdout
    assert "do not mix the two" in result
    assert "brake lag" in result
    assert "brake lag" not in run("--speed", "55", "--by-parts", "--brakes", "hydraulic").stdout


def test_a_slope_nobody_can_stop_on_is_a_finding():
    result = run("--speed", "55", "--grade", "-20", "--surface", "snow")
    assert result.exit_code == 1
    assert "a vehicle cannot stop" in result.stderr
    assert "Traceback" not in result.output


@pytest.mark.parametrize(
    ("words", "result"),
    [
        ((), "Missing option '--speed'"),
        (("--speed", "0"), "give 1 to 120 mph"),
        (("--speed", "250", "--units", "metric"), "give 1 to 200 km/h"),
        (("--speed", "nan"), "is not a number to calculate with"),
        (("--speed", "1e999"), "is not a number to calculate with"),
        (("--speed", "55", "--grade", "31"), "give -30 to 30 percent"),
        (("--speed", "55", "--brakes", "air"), "--brakes goes with --by-parts"),
        (("--speed", "55", "--by-parts", "--grade", "2"), "--by-parts knows no --grade"),
        (("--speed", "55", "--by-parts", "--units", "metric"), "--by-parts knows no"),
    ],
    ids=lambda value: " ".join(value)[:40] if isinstance(value, tuple) else "",
)
def test_wrong_use_is_reported_with_what_would_be_right(words, result):
    answer = run(*words)
    assert answer.exit_code == 2
    assert answer.stdout == ""
    assert result in answer.stderr


@pytest.mark.parametrize(("speed_mph", *"abcde"), published("decision_sight")["rows"])
def test_every_row_of_decision_sight_distance(speed_mph, a, b, c, d, e):
    """AASHTO Green Book, in the Texas DOT's reprint."""
    expected = dict(zip("abcde", (a, b, c, d, e), strict=True))
    assert data("--speed", str(speed_mph))["decision_ft"] == expected


def test_decision_sight_distance_in_meters_is_the_same_rounded_up():
    """62.1 mph takes the row of 65 mph: 1,050 ft is 320.04 m."""
    assert data("--speed", "100", "--units", "metric")["decision_m"]["c"] == 321


@pytest.mark.parametrize("speed", ["29", "81"])
def test_outside_the_published_table_there_is_no_decision_sight_distance(speed):
    assert data("--speed", speed)["decision_ft"] is None
    assert "the published table runs from 30 to 80 mph" in run("--speed", speed).stdout


def test_people_read_what_decision_sight_distance_means():
    result = " ".join(run("--speed", "55").stdout.split())
    assert "to notice something unexpected, decide, and act unhurried" in result
    assert "C change lane or speed, rural 865 ft" in result


def test_how_many_can_stop_within_a_distance():
    answer = data("--speed", "55", "--chance", "--within", "350", "--grade", "-3")
    low, middle, high = chance_of_stopping(350, 55, -3).percent()
    assert answer["chance"] == {"within_ft": 350, "low_pct": low, "middle_pct": middle, "high_pct": high}
    assert [len(row) for row in answer["assumptions"]] == [6, 6, 6]


def test_without_a_distance_it_is_the_stopping_sight_distance():
    answer = data("--speed", "90", "--units", "metric", "--chance")
    assert answer["chance"]["within_m"] == answer["stopping_sight_m"]


def test_people_read_the_band_with_its_assumptions():
    result = " ".join(run("--speed", "55", "--chance", "--within", "350").stdout.split())
    assert "Within 350.0 ft, of 100 drivers about 11 to 64 can stop, 45 by the middle" in result
    assert "Favorable: half react within 1.1 s and 95 of 100 within 1.6 s" in result


@pytest.mark.parametrize(
    ("words", "result"),
    [
        (("--within", "350"), "--within goes with --chance"),
        (("--speed-sd", "5"), "--speed-sd goes with --chance"),
        (("--chance", "--within", "-1"), "-1 ft is out of range"),
        (("--chance", "--by-parts"), "--by-parts knows no --chance"),
    ],
)
def test_a_chance_that_cannot_be_told_is_wrong_use(words, result):
    answer = run("--speed", "55", *words)
    assert answer.exit_code == 2
    assert result in " ".join(answer.output.split())
