"""The walk out and back, against the MUTCD's walking speed and the rule's ten minutes."""

import pytest
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import Device, RoadKind, Situation, Toward
from forty_paces.geometry.walk import WALKING_SPEED_FPS, walk, walking_seconds
from forty_paces.messages.placement import texts

from tests.published import published
from tests.rule_files import rule_file

US = rule_file("us").rule_set
WALKING = published("walking")


def device(toward, distance_ft, across="traffic side"):
    return Device(toward, distance_ft, round(distance_ft / 2.5), across, False, (), "")


def test_the_walking_speed_is_the_mutcds():
    assert WALKING["walking_speed_fps"] == WALKING_SPEED_FPS


@pytest.mark.parametrize(("distance_ft", "seconds"), WALKING["one_way"])
def test_published_walking_times(distance_ft, seconds):
    assert round(distance_ft / WALKING_SPEED_FPS, 1) == seconds
    assert walking_seconds(distance_ft) == round(seconds)


def test_ten_minutes_are_2100_feet_of_walking():
    assert walking_seconds(WALKING["ten_minutes_ft"]) == US.time_limit_s


def test_each_side_is_walked_out_and_back_once():
    walked = walk(US, [device(Toward.BEHIND, 10), device(Toward.BEHIND, 100), device(Toward.AHEAD, 100)])
    assert walked.distance_ft == 400
    assert walked.seconds == 114
    assert walked.limit_s == 600
    assert walked.share_of_limit == pytest.approx(0.19)


def test_nearer_devices_are_set_on_the_way_out_behind_before_ahead():
    walked = walk(
        US,
        [
            device(Toward.AHEAD, 100, "center"),
            device(Toward.BEHIND, 300, "center"),
            device(Toward.BEHIND, 10),
        ],
    )
    assert texts(US, walked.order) == (
        "Walk back from the rear to 10 ft (4 paces) from the vehicle. Set device 1 there, traffic side.",
        "Walk on to 300 ft (120 paces) from the vehicle. Set device 2 there, center.",
        "Walk back to the vehicle, watching the traffic.",
        "Walk forward from the front to 100 ft (40 paces) from the vehicle. Set device 3 there, center.",
        "Walk back to the vehicle, watching the traffic.",
    )


def test_a_device_at_the_vehicle_needs_no_walk():
    walked = walk(US, [device(Toward.BEHIND, 0, "beside the vehicle")])
    assert texts(US, walked.order) == ("Set device 1: beside the vehicle.",)
    assert (walked.distance_ft, walked.seconds) == (0, 0)


def test_no_device_no_walk():
    walked = walk(US, [])
    assert (walked.distance_ft, walked.seconds, walked.order) == (0, 0, ())


def test_the_longest_walk_of_the_federal_rule_still_fits_its_ten_minutes():
    situation = Situation(RoadKind.TWO_LANE, 80.0, 150.0, 500.0, 500.0)
    walked = place(US, situation).walk
    assert walked.distance_ft == 2000
    assert walked.seconds == 571
    assert walked.share_of_limit is not None
    assert walked.share_of_limit < 1
