"""All procedures: complete, signed by nobody yet, no sentence in two of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Group, Procedure
from forty_paces.authoring.models.record import Condition
from forty_paces.authoring.wording.language import sentences

PROJECT = Path(__file__).parent.parent.parent

SET = {
    Group.ROLLING: (
        ("TRE1", "steer-tire-blowout", "tires"),
        ("TRE2", "rear-tire-blowout", "tires"),
        ("SKD1", "drive-wheel-skid", "skids"),
        ("SKD2", "front-wheel-skid", "skids"),
        ("SKD3", "trailer-skid", "skids"),
        ("SKD4", "hydroplaning", "skids"),
        ("BRK1", "brakes-fading", "brakes"),
        ("BRK2", "brakes-lost", "brakes"),
        ("TRE3", "off-road-wheels", "tires"),
        ("WEA1", "fog", "weather"),
        ("WEA2", "ice", "weather"),
        ("WEA3", "high-wind", "weather"),
        ("WEA4", "dust", "weather"),
        ("WEA5", "flood", "weather"),
        ("CRA3", "road-ahead", "crash"),
        ("PEO1", "driver-ill", "people"),
        ("TRE4", "wheel-lost", "tires"),
        ("CGO3", "trailer-breakaway", "cargo"),
        ("TRE5", "steering-lost", "tires"),
        ("ENG2", "pedal-stuck", "engine"),
        ("ENG3", "lamps-out", "engine"),
    ),
    Group.STOPPED: (
        ("FLM1", "engine-fire", "fire"),
        ("FLM2", "tire-fire", "fire"),
        ("FLM3", "cargo-fire", "fire"),
        ("FLM4", "extinguisher", "fire"),
        ("STO1", "breakdown", "stopping"),
        ("STO2", "warning-devices", "stopping"),
        ("STO3", "rail-crossing", "stopping"),
        ("CRA1", "crash-scene", "crash"),
        ("ENG1", "engine-overheating", "engine"),
        ("CGO1", "load-shift", "cargo"),
        ("CGO2", "cargo-spill", "cargo"),
        ("STO4", "live-lane", "stopping"),
        ("CRA2", "power-line", "crash"),
        ("FLM5", "battery-gas-fire", "fire"),
        ("FLM6", "cab-fumes", "fire"),
        ("CRA4", "rollover", "crash"),
        ("STO5", "tunnel", "stopping"),
        ("CRA5", "bridge-strike", "crash"),
        ("CRA6", "person-struck", "crash"),
        ("PEO2", "coach-out", "people"),
        ("WEA6", "snow-stranded", "weather"),
        ("PEO3", "threat", "people"),
    ),
}
"""Code, id and family of every emergency, in the order of the tiles."""

IDS = [name for group in SET.values() for _, name, _ in group]


def test_every_emergency_is_there_in_its_place(library: Library) -> None:
    for group, expected in SET.items():
        found = [one for one in library.procedures if one.group is group]
        assert expected == tuple((one.code, one.id, one.family) for one in found)
        assert list(range(1, len(expected) + 1)) == [one.position for one in found]


@pytest.fixture(params=IDS)
def procedure(request: pytest.FixtureRequest, library: Library) -> Procedure:
    found = library.procedure(request.param)
    assert found is not None
    return found


def test_a_procedure_has_every_part(procedure: Procedure) -> None:
    empty = [
        part
        for part in (
            "cues",
            "by_heart",
            "need",
            "blocks",
            "never",
            "facts",
            "report",
            "roll_again",
            "changes",
        )
        if not getattr(procedure, part)
    ]
    assert empty == []
    assert procedure.decision is not None
    assert len(procedure.never) >= 2


def test_one_row_of_every_decision_ends_there(procedure: Procedure) -> None:
    """Whoever has done it all can say so, whatever other pages the table opens."""
    assert procedure.decision is not None
    assert "finished" in [row.leads_to for row in procedure.decision.rows]


def test_a_procedure_can_be_known_by_heart(procedure: Procedure) -> None:
    assert 2 <= len(procedure.by_heart) <= 4


TWO_WAYS_OUT = ("off-road-wheels", "rail-crossing", "crash-scene")
"""Stop on the shoulder or come back; drive clear or leave the vehicle; your own crash or another's."""


def test_no_vehicle_has_more_than_three_lines_to_know_by_heart(
    procedure: Procedure, library: Library
) -> None:
    """Three are wanted; a fourth only where equipment calls for it, or where two ways out are told apart."""
    without = [line for line in procedure.by_heart if not line.when]
    assert len(without) <= 3 or procedure.id in TWO_WAYS_OUT
    for vehicle in library.fleet.vehicles:
        mine = [line for line in procedure.by_heart if vehicle.meets(line.when) is not False]
        assert 2 <= len(mine) <= 4


def test_every_vehicle_of_the_fleet_gets_steps_in_every_block(procedure: Procedure, library: Library) -> None:
    for vehicle in library.fleet.vehicles:
        for block in procedure.blocks:
            assert any(vehicle.meets(step.when) is not False for step in block.steps), (vehicle.id, block.id)


def test_nobody_is_said_to_have_reviewed_it(procedure: Procedure) -> None:
    """No review has happened yet: a signature here would be a false claim."""
    assert (
        procedure.review.technical,
        procedure.review.user,
        procedure.review.safety_lead,
    ) == (None, None, None)


def test_a_step_that_warns_of_death_stands_at_most_once_on_a_page(procedure: Procedure) -> None:
    signals = [step.notice.signal.value for block in procedure.blocks for step in block.steps if step.notice]
    assert signals.count("danger") <= 1


def test_nothing_rolling_waits_for_reading(procedure: Procedure) -> None:
    """The stopped line comes before everything that is read; it says so first of all."""
    assert procedure.stopped.startswith("After you have stopped")


LIFE_FIRST = (
    *("rails-first", "water-rises-first", "water-moves-stay", "ramp-first", "call-crash"),
    *("rails-above", "call-bridge", "call-struck", "smoke-wheel", "call-wheel"),
    *("tell-trailer", "knob-out", "key-off-now", "away-if-races", "dark-or-not"),
)

WAYS_OUT_OF_THE_CAB = ("out-away-side", "out-not-low-side", "door-both-hands")


def test_emergencies_on_the_shoulder_say_the_flashers_first(library: Library) -> None:
    """Only people on rails, in water or in an escape ramp, and calls that stop trains or bring help."""
    for procedure in library.procedures:
        steps = [step.id for block in procedure.blocks for step in block.steps]
        if "devices-out" in steps:
            assert next(step for step in steps if step not in LIFE_FIRST) == "flashers-on", procedure.id
            (out,) = [step for step in steps if step in WAYS_OUT_OF_THE_CAB]
            assert steps.index(out) < steps.index("devices-out"), procedure.id


def test_people_leave_rails_before_anything_else_is_done(library: Library) -> None:
    breakdown = library.procedure("breakdown")
    assert breakdown is not None
    assert "rails-first" == breakdown.blocks[0].steps[0].id


def test_nobody_leaves_the_cab_on_the_side_a_vehicle_leans_to(library: Library) -> None:
    for name in ("off-road-wheels", "load-shift"):
        leaning = library.procedure(name)
        assert leaning is not None
        steps = [step.id for block in leaning.blocks for step in block.steps]
        assert "out-not-low-side" in steps
        assert "out-away-side" not in steps


def test_devices_that_were_put_out_are_collected_again(library: Library) -> None:
    out = [
        one.id
        for one in library.procedures
        if "devices-out" in [step.id for block in one.blocks for step in block.steps]
        and "collect-devices" not in [line.id for line in one.roll_again]
    ]
    assert out == []


def test_devices_that_are_put_out_are_among_what_is_needed(library: Library) -> None:
    assert [
        one.id
        for one in library.procedures
        if "devices-out" in [step.id for block in one.blocks for step in block.steps]
        and not {"warning devices", "triangles"} & set(one.need)
    ] == []


def test_every_condition_is_used_or_met_by_its_opposite(library: Library) -> None:
    used = {
        condition
        for procedure in library.procedures
        for line in (
            *procedure.by_heart,
            *(step for block in procedure.blocks for step in block.steps),
            *procedure.never,
            *procedure.report,
            *procedure.roll_again,
        )
        for condition in line.when
    }
    assert {
        Condition.AIR_BRAKES,
        Condition.HYDRAULIC_BRAKES,
        Condition.MANUAL_CLUTCH,
        Condition.TRAILER,
        Condition.RETARDER,
        Condition.HAZARDOUS_CARGO,
        Condition.PASSENGERS,
    } <= used


_NOT_SAID = {
    *("id", "source", "symbol", "group", "family", "code", "version", "effective", "next_review"),
    *("leads_to", "or_to", "signal", "unit", "when", "critical", "use", "review", "changes", "need", "waive"),
}


def _sentences(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            if key not in _NOT_SAID:
                yield from _sentences(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _sentences(inner)
    else:
        yield from sentences(value)


def _files() -> dict[str, Any]:
    content = PROJECT / "content"
    files = [*sorted((content / "procedures").glob("*.yml")), content / "shared.yml"]
    return {file.stem: yaml.load(file.read_text(encoding="utf-8"), yaml.BaseLoader) for file in files}


SHORTEST_SENTENCE = 4
"""Labels of up to three words, such as 'Ice', may recur."""


def test_no_sentence_is_written_in_two_files() -> None:
    """A sentence that two procedures need stands in shared.yml, so that a correction reaches every page."""
    where: defaultdict[str, set[str]] = defaultdict(set)
    for name, tree in _files().items():
        for sentence in _sentences(tree):
            if len(sentence.split()) >= SHORTEST_SENTENCE:
                where[sentence.lower()].add(name)
    assert {sentence: files for sentence, files in where.items() if len(files) > 1} == {}


def test_a_shared_passage_is_used_by_two_procedures_or_more() -> None:
    files = _files()
    shared = files.pop("shared")["shared"]
    users: defaultdict[str, set[str]] = defaultdict(set)

    def used(value: Any, owner: str) -> None:
        if isinstance(value, dict):
            if set(value) == {"use"}:
                users[value["use"]].add(owner)
                used(shared[value["use"]], owner)
            else:
                for inner in value.values():
                    used(inner, owner)
        elif isinstance(value, list):
            for inner in value:
                used(inner, owner)

    for name, tree in files.items():
        used(tree, name)
    assert [name for name in shared if len(users[name]) < 2] == []
