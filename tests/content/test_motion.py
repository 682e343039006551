"""Lines acted on while the vehicle moves, and the first minutes outside it: what must be safe there."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Procedure, Step
from forty_paces.authoring.models.record import Condition

from tests.content.published import said_by_id

SLIPPERY = (
    *("drive-wheel-skid", "front-wheel-skid", "trailer-skid"),
    *("hydroplaning", "ice", "steer-tire-blowout", "rear-tire-blowout"),
)
"""Lifting the foot switches a retarder in, on the drive wheels alone (driver manual 2.3.4)."""

OUT_OF_THE_CAB = ("out-away-side", "out-not-low-side")

IN_MOTION = (*SLIPPERY, "brakes-fading", "brakes-lost", "off-road-wheels", "road-ahead")


def procedure_named(library: Library, name: str) -> Procedure:
    found = library.procedure(name)
    assert found is not None
    return found


@pytest.mark.parametrize("name", SLIPPERY)
def test_the_by_heart_box_switches_the_retarder_off_where_there_is_one(library: Library, name: str) -> None:
    lines = procedure_named(library, name).by_heart
    off = [line for line in lines if re.search(r"\bretarder off\b", line.do)]
    assert [(Condition.RETARDER,)] == [line.when for line in off]


@pytest.mark.parametrize("name", SLIPPERY)
def test_a_vehicle_without_a_retarder_is_not_told_of_one(library: Library, name: str) -> None:
    lines = procedure_named(library, name).by_heart
    (truck,) = [one for one in library.fleet.vehicles if one.id == "straight-truck"]
    mine = [line.do for line in lines if truck.meets(line.when) is not False]
    assert [line for line in mine if "retarder" in line] == []


def test_something_ahead_is_braked_for_in_line_and_no_animal_is_swerved_for(library: Library) -> None:
    """Driver manual 2.17: brake in line, right first, tall vehicles flip; Great West: no swerve."""
    ahead = procedure_named(library, "road-ahead")
    assert [
        "Brake hard in a straight line.",
        "Steer only where it is clear, right side first.",
        "For an animal, stay in your lane.",
    ] == [line.do for line in ahead.by_heart]
    assert "no-brake-in-turn" in {never.id for never in ahead.never}
    (locked,) = [never for never in ahead.never if never.id == "no-locked-wheels"]
    assert (Condition.NO_ANTI_LOCK,) == locked.when


def test_no_line_tells_a_driver_to_speed_up_in_a_blowout(library: Library) -> None:
    for name in ("steer-tire-blowout", "rear-tire-blowout"):
        joined = " ".join(line.do for line in procedure_named(library, name).by_heart).lower()
        assert not re.search(r"accelerate|speed up|\bpower\b|push the accelerator", joined), name
        assert "ease off slowly" in joined
        assert "cruise control off" in joined


def test_a_retarder_is_not_used_with_an_empty_trailer_or_none(library: Library) -> None:
    fading = procedure_named(library, "brakes-fading")
    (line,) = [one for one in fading.by_heart if "retarder" in one.do]
    assert "no empty trailer" in line.do
    assert line.why is not None
    assert "empty trailer or none" in line.why


def test_a_retarder_is_off_with_wheels_on_gravel(library: Library) -> None:
    """Peterbilt PB1319 names gravel beside wet, ice and snow; easing off the accelerator lets it brake."""
    off_road = procedure_named(library, "off-road-wheels")
    (never,) = [line for line in off_road.never if line.id == "no-retarder-gravel"]
    assert never.when == (Condition.RETARDER,)
    assert "gravel" in never.text


def steps_of(procedure: Procedure) -> list[Step]:
    return [step for block in procedure.blocks for step in block.steps]


LOOKS = re.compile(r"\b(?:look|measure|inspect|walk round)\b", re.IGNORECASE)
NEAR_A_HOT_WHEEL = ("look-at-wheels", "smoke-before-chocks")
"""A look from a few steps away for smoke, before somebody goes near a wheel with a chock."""


def looks_before_devices(procedure: Procedure) -> list[str]:
    """Ids of the steps that look at the vehicle from outside before the devices are out."""
    outside, early = False, []
    for step in steps_of(procedure):
        if step.devices_out:
            return early
        if outside and LOOKS.search(step.do) and step.id not in NEAR_A_HOT_WHEEL:
            early.append(step.id)
        outside = outside or step.id in OUT_OF_THE_CAB
    return early if any(step.devices_out for step in steps_of(procedure)) else []


@pytest.mark.parametrize("name", IN_MOTION)
def test_traffic_is_warned_before_anybody_looks_round_the_vehicle(library: Library, name: str) -> None:
    assert looks_before_devices(procedure_named(library, name)) == []


@pytest.mark.parametrize("name", ["brakes-fading", "brakes-lost"])
def test_smoke_is_looked_for_before_a_wheel_is_chocked(library: Library, name: str) -> None:
    steps = [step.id for step in steps_of(procedure_named(library, name))]
    looked = next(step for step in steps if step in NEAR_A_HOT_WHEEL)
    assert steps.index(looked) < steps.index("chock-wheels")


SAFE_PLACE = re.compile(
    r"away from traffic|off the (?:lane|road)|in the next safe lot|from ahead|from there|same (?:side|place)"
    r"|few steps away|from off the road|back along the road",
    re.IGNORECASE,
)


def outside_looks(library: Library) -> Iterator[tuple[str, str]]:
    """Every order to look at the vehicle from outside, in the procedures for vehicles in motion."""
    for name in IN_MOTION:
        if name == "ice":
            continue
        outside = False
        for step in steps_of(procedure_named(library, name)):
            if outside and LOOKS.search(step.do):
                yield f"{name}/{step.id}", step.do
            outside = outside or step.id in OUT_OF_THE_CAB


def test_every_look_at_the_vehicle_says_from_where_it_is_safe(library: Library) -> None:
    joined = dict(outside_looks(library))
    assert len(joined) >= 12
    unsaid = {where: text for where, text in joined.items() if not SAFE_PLACE.search(text)}
    assert {key for key in unsaid if not key.endswith("/compare-pressure")} == set()


@pytest.mark.parametrize("name", [one for one in IN_MOTION if one != "ice"])
def test_nobody_is_sent_to_the_traffic_side(library: Library, name: str) -> None:
    procedure = procedure_named(library, name)
    assert "no-traffic-side" in [line.id for line in procedure.never]
    orders = [step.do for step in steps_of(procedure)] + [line.do for line in procedure.roll_again]
    sent = [text for text in orders if re.search(r"whole vehicle|each side|both sides|all round", text)]
    assert sent == []


def test_tread_and_pressure_are_measured_in_a_lot_and_not_beside_the_road(library: Library) -> None:
    (nuts,) = [
        one for one in procedure_named(library, "rear-tire-blowout").roll_again if one.id == "wheel-nuts"
    ]
    assert nuts.do.startswith("In the next safe lot")
    for name in ("front-wheel-skid", "hydroplaning"):
        procedure = procedure_named(library, name)
        orders = [step.do for step in steps_of(procedure)] + [line.do for line in procedure.roll_again]
        measured = [text for text in orders if "measure" in text.lower()]
        assert measured
        assert [text for text in measured if not text.startswith("In the next safe lot")] == []


def test_an_escape_ramp_is_left_before_anything_is_done_there(library: Library) -> None:
    lost = procedure_named(library, "brakes-lost")
    assert "ramp-first" == steps_of(lost)[0].id
    assert "No chocks, no devices" in steps_of(lost)[0].do


def test_rising_water_is_left_before_anything_else_is_done(library: Library) -> None:
    first, second = steps_of(procedure_named(library, "hydroplaning"))[:2]
    assert ("water-rises-first", True) == (first.id, first.critical)
    assert "high ground" in first.do
    assert "moves fast" in second.do


def test_brake_loss_is_reported_apart_for_air_and_hydraulic_brakes(library: Library) -> None:
    """The release that is held belongs to hydraulic vehicles; air stops while there is air."""
    lines = {line.id: line for line in procedure_named(library, "brakes-lost").by_heart}
    assert (Condition.HYDRAULIC_BRAKES,) == lines["park-release-held"].when
    assert (Condition.HYDRAULIC_BRAKES,) == lines["pump-and-shift"].when
    assert (Condition.AIR_BRAKES,) == lines["low-air-stop"].when
    assert "on the level" in lines["pump-and-shift"].do


def test_no_row_after_a_fade_sends_the_driver_on(library: Library) -> None:
    fading = procedure_named(library, "brakes-fading")
    assert fading.decision is not None
    assert [row.do for row in fading.decision.rows if re.search(r"\bgo on\b|\bdrive\b", row.do, re.I)] == []
    assert "qualified" in next(line.do for line in fading.roll_again if line.id == "brakes-seen")


LEAK_TEST = (
    *("full air", "wheels chocked", "engine off", "parking brake released", "pedal"),
    *("after the first drop", "3 psi or less in 1 min", "with a trailer 4 psi or less"),
)
"""Driver manual 5.3 and the Ontario test instructions: without any one part, the test hides a leak."""


def test_the_air_leak_test_is_reported_whole_in_all_three_places(library: Library) -> None:
    said = said_by_id(library)
    line = " ".join(said[f"brakes-lost/roll_again/air-leak-test/{part}"].text for part in ("do", "why"))
    places = {
        "procedure": line,
        "before": said["before-trip/groups/seat/points/air-leak/right"].text,
        "after": said["after-event/fit_to_roll/walk-round/points/brakes-air/right"].text,
    }
    for place, text in places.items():
        assert [part for part in LEAK_TEST if part not in text.lower()] == [], place
