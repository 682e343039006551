"""What a vehicle's own copy shows, and what everybody's copy shows."""

from __future__ import annotations

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.record import Condition
from forty_paces.outputs.common.procedure_view import condition_words, view_procedure

from tests.projects import step_count


def _vehicle(**equipment: object) -> Vehicle:
    return Vehicle.model_validate({"id": "v", "title": "V", **equipment})


@pytest.mark.parametrize(
    ("equipment", "when", "expected"),
    [
        ({}, (), True),
        ({}, (Condition.AIR_BRAKES,), None),
        ({"brakes": "air"}, (Condition.AIR_BRAKES,), True),
        ({"brakes": "air"}, (Condition.HYDRAULIC_BRAKES,), False),
        ({"brakes": "hydraulic"}, (Condition.HYDRAULIC_BRAKES,), True),
        ({"anti_lock": "no"}, (Condition.NO_ANTI_LOCK,), True),
        ({"gearbox": "automatic"}, (Condition.MANUAL_CLUTCH,), False),
        ({"gearbox": "automatic"}, (Condition.AUTOMATIC,), True),
        ({"trailer": "yes"}, (Condition.TRAILER, Condition.RETARDER), None),
        ({"trailer": "no"}, (Condition.TRAILER, Condition.RETARDER), False),
        ({"trailer": "yes", "retarder": "yes"}, (Condition.TRAILER, Condition.RETARDER), True),
        ({"hazardous_cargo": "yes"}, (Condition.PLACARDED,), None),
        ({"hazardous_cargo": "no"}, (Condition.PLACARDED,), False),
        ({"hazardous_cargo": "no"}, (Condition.NOT_PLACARDED,), True),
        ({"placarded": "yes"}, (Condition.HAZARDOUS_CARGO,), True),
        ({"placarded": "no"}, (Condition.HAZARDOUS_CARGO,), None),
        ({}, (Condition.HAZARDOUS_CARGO_OR_GAS,), None),
        ({"gas_fueled": "no"}, (Condition.HAZARDOUS_CARGO_OR_GAS,), None),
        ({"gas_fueled": "yes"}, (Condition.HAZARDOUS_CARGO_OR_GAS,), True),
        ({"hazardous_cargo": "yes"}, (Condition.NO_HAZARDOUS_CARGO_OR_GAS,), False),
        ({"hazardous_cargo": "no"}, (Condition.NO_HAZARDOUS_CARGO_OR_GAS,), None),
        ({"hazardous_cargo": "no", "gas_fueled": "no"}, (Condition.NO_HAZARDOUS_CARGO_OR_GAS,), True),
        ({"hazardous_cargo": "no", "gas_fueled": "yes"}, (Condition.NO_HAZARDOUS_CARGO_OR_GAS,), False),
        ({}, (Condition.LIVESTOCK,), None),
        ({"kinds": []}, (Condition.LIVESTOCK,), False),
        ({"kinds": ["livestock", "doubles"]}, (Condition.LIVESTOCK,), True),
        ({"kinds": ["doubles"]}, (Condition.DOUBLES, Condition.LIVESTOCK), False),
    ],
)
def test_a_condition_holds_fails_or_is_unknown(
    equipment: dict[str, object], when: tuple[Condition, ...], expected: bool | None
) -> None:
    assert expected is _vehicle(**equipment).meets(when)


def test_every_condition_has_words_and_an_answer_for_a_fully_described_vehicle() -> None:
    described = _vehicle(
        brakes="air",
        anti_lock="yes",
        gearbox="manual",
        trailer="yes",
        retarder="no",
        hazardous_cargo="no",
        gas_fueled="no",
        passengers="no",
        kinds=[],
    )
    for condition in Condition:
        assert condition_words([condition]).startswith("With ")
        assert described.meets((condition,)) is not None
    assert [] == [c for c in Condition if described.meets((c,)) is None]


def test_for_nobody_in_particular_every_step_is_shown_with_its_condition(library: Library) -> None:
    for procedure in library.procedures:
        shown = [s for block in view_procedure(procedure).blocks for s in block.steps]
        assert [s.id for b in procedure.blocks for s in b.steps] == [s.step.id for s in shown]
        assert list(range(1, len(shown) + 1)) == [s.number for s in shown]
        assert [bool(s.step.when) for s in shown] == [bool(s.condition) for s in shown]


def test_a_vehicle_sees_only_what_can_apply_numbered_anew(library: Library) -> None:
    left_out = 0
    for vehicle in library.fleet.vehicles:
        for procedure in library.procedures:
            whole, own = view_procedure(procedure), view_procedure(procedure, vehicle)
            steps = [s for block in own.blocks for s in block.steps]
            assert list(range(1, len(steps) + 1)) == [s.number for s in steps]
            assert all(vehicle.meets(s.step.when) is not False for s in steps)
            left_out += step_count(whole) - step_count(own)
    assert left_out > 0


def test_a_vehicle_that_says_nothing_of_itself_sees_every_step_and_line(library: Library) -> None:
    """What is not known to be left out may be the step that counts."""
    conditional = 0
    for procedure in library.procedures:
        whole, own = view_procedure(procedure), view_procedure(procedure, _vehicle())
        assert whole.blocks == own.blocks
        for part in ("by_heart", "never", "report", "roll_again"):
            assert getattr(whole, part) == getattr(own, part)
        conditional += sum(bool(step.condition) for block in own.blocks for step in block.steps)
    assert conditional > 0


def test_every_source_a_view_names_is_in_the_bibliography(library: Library) -> None:
    for procedure in library.procedures:
        named = view_procedure(procedure).source_ids
        assert len(set(named)) == len(named) > 0
        assert set(named) <= set(library.sources)
