"""Fire and hazardous cargo: which distances a vehicle is shown, in which order, and whose duty is what.

Distances round hazardous cargo come from the Emergency Response Guidebook alone (49 CFR 172.602,
driver manual 9.7). 100 ft is the least from a burning car: NFPA tip sheet Car Fire Safety.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator

import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.procedure import Procedure, Tool
from forty_paces.authoring.models.record import Condition
from forty_paces.authoring.texts import DriverText, texts
from forty_paces.messages.terms import CONDITIONS
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.procedure_view import view_procedure

from tests.content.published import said_by_id
from tests.outputs.conftest import OVERRIDES
from tests.parsing import shown_under_keys

FIRES = ("engine-fire", "tire-fire", "cargo-fire")
GENERAL = "With no hazardous cargo or gas fuel"
FAR = "With hazardous cargo or gas fuel"


def vehicle(**equipment: str) -> Vehicle:
    return Vehicle.model_validate({"id": "made", "title": "Made", "brakes": "air", **equipment})


SILENT = vehicle()
DIESEL = vehicle(hazardous_cargo="no", gas_fueled="no")
NO_FIGURE = {
    "placarded": vehicle(hazardous_cargo="yes", placarded="yes", gas_fueled="no"),
    "papers only": vehicle(hazardous_cargo="yes", placarded="no", gas_fueled="no"),
    "placards named, cargo not": vehicle(placarded="yes"),
    "gas-fueled": vehicle(hazardous_cargo="no", gas_fueled="yes"),
    "gas-fueled, cargo unknown": vehicle(gas_fueled="yes"),
}
"""Vehicles for which no printed distance is safe."""

LENGTH = re.compile(
    r"\d[\d,.]*\s?(?:ft|feet|yd|yards?|m|meters?|km|mi|miles?|paces)\b"
    r"|\b(?:half|quarter|hundred|thousand)s?\b[^.]{0,12}\b(?:feet|yards?|meters?|miles?|paces)\b",
    re.IGNORECASE,
)

NO_STAND_OFF = {
    "warning-devices/": "places of warning devices, 49 CFR 392.22(b)",
    "breakdown/blocks/people/steps/attend-cargo/": "how near the watch stays, 49 CFR 397.5",
    "breakdown/facts/parking-placarded/": "where not to park, 49 CFR 397.7 and 397.11",
    "tire-fire/facts/hot-tires/items/look-every/": "miles driven between two looks at the tires",
    "rail-crossing/facts/": "where to stop before rails, 49 CFR 392.10",
    "extinguisher/blocks/fight/steps/start-distance/": "reach of an extinguisher's jet",
    "battery-gas-fire/facts/printed-distances/items/guide-147/": "the guidebook's own page, ERG 2024",
    "battery-gas-fire/facts/printed-distances/items/gas-truck/": "how far a tank flew, CTIF 2016",
}
"""Lengths that are no distance to keep from a fire or a spill, or that the guidebook itself prints."""

FIRE_AND_CARGO = ("fire", "cargo")
KEEPS_AWAY = re.compile(
    r"\b(?:away|back|clear|upwind|far|farther|evacuate|isolate|move|lead|keep|stand|stay|go)\b", re.IGNORECASE
)


def shown(procedure: Procedure, vehicle: Vehicle) -> Iterator[DriverText]:
    """The texts of a procedure in this vehicle's copies."""
    hidden = [
        f"{part}/{line.id}/"
        for part in ("by_heart", "never", "report", "roll_again")
        for line in getattr(procedure, part)
        if vehicle.meets(line.when) is False
    ]
    hidden += [
        f"blocks/{block.id}/steps/{step.id}/"
        for block in procedure.blocks
        for step in block.steps
        if vehicle.meets(step.when) is False
    ]
    return (said for said in texts(procedure) if not said.address.startswith(tuple(hidden)))


@pytest.mark.parametrize("name", NO_FIGURE)
def test_no_procedure_gives_a_stand_off_figure_where_only_the_guidebook_can(
    library: Library, name: str
) -> None:
    found = {
        f"{procedure.id}/{said.address}": said.text
        for procedure in library.procedures
        for said in shown(procedure, NO_FIGURE[name])
        if LENGTH.search(said.text)
        and (procedure.family in FIRE_AND_CARGO or KEEPS_AWAY.search(said.text))
        and not f"{procedure.id}/{said.address}".startswith(tuple(NO_STAND_OFF))
        and not _is_a_driving_or_securing_figure(procedure, said)
    }
    assert found == {}


WHAT_HARMS = re.compile(
    r"\b(?:fire|flame|smok|burn|leak|spill|fume|cargo|placard|tank|gas|batter)", re.IGNORECASE
)


def _is_a_driving_or_securing_figure(procedure: Procedure, said: DriverText) -> bool:
    """Braking, gap, wire and tie-down distances: never how far people keep from a fire, a leak or a load."""
    if procedure.family in FIRE_AND_CARGO:
        return procedure.id == "load-shift"
    return said.address.startswith(("facts/", "roll_again/")) and not WHAT_HARMS.search(said.text)


def test_the_scan_finds_the_figure_an_ordinary_vehicle_is_given(library: Library) -> None:
    for name in FIRES:
        procedure = library.procedure(name)
        assert procedure is not None
        figures = [said.address for said in shown(procedure, DIESEL) if LENGTH.search(said.text)]
        assert "blocks/get-clear/steps/move-away/do" in figures


@pytest.mark.parametrize("text", ["Go 100 ft upwind.", "Stay half a mile off.", "1,600 m", "A hundred feet"])
def test_the_scan_knows_a_length_in_figures_and_in_words(text: str) -> None:
    assert LENGTH.search(text)


@pytest.mark.parametrize("name", NO_FIGURE)
def test_the_cab_file_of_such_a_vehicle_holds_no_figure_in_fires_and_spills(
    library: Library, name: str
) -> None:
    made = NO_FIGURE[name]
    fleet = library.fleet.model_copy(update={"vehicles": (made,)})
    context = BuildContext(dataclasses.replace(library, fleet=fleet), OVERRIDES)
    guarded = {
        one.id for one in library.procedures if one.family in FIRE_AND_CARGO and one.id != "load-shift"
    }
    given = [one for one in shown_under_keys(cab_html(context, made)) if one[0].split("/")[0] in guarded]
    assert {key.split("/")[0] for key, _ in given} == guarded
    assert [
        (key, text) for key, text in given if LENGTH.search(text) and not key.startswith(tuple(NO_STAND_OFF))
    ] == []


def test_the_tankers_cards_hold_no_figure_in_fires_and_spills(library: Library) -> None:
    (tanker,) = (one for one in library.fleet.vehicles if one.placarded)
    fires = tuple(
        one for one in library.procedures if one.family in FIRE_AND_CARGO and one.id != "load-shift"
    )
    context = BuildContext(dataclasses.replace(library, procedures=fires), OVERRIDES)
    printed = {
        key: text
        for face in card_set(context, "half-letter", tanker).faces
        for key, text in face.strings.items()
        if key.startswith(tuple(f"{one.id}/" for one in fires))
    }
    assert any("much farther" in text for text in printed.values())
    assert {
        key: text
        for key, text in printed.items()
        if LENGTH.search(text) and not key.startswith(tuple(NO_STAND_OFF))
    } == {}


def test_no_lesson_gives_a_figure_where_it_speaks_of_hazardous_cargo(library: Library) -> None:
    lessons = [one for one in library.lessons.values() if one.family in FIRE_AND_CARGO]
    assert len(lessons) == 2
    parts = [
        (lesson.id, part)
        for lesson in lessons
        for part in (
            *lesson.recall.questions,
            *lesson.walkthrough.questions,
            *lesson.examples,
            *lesson.mixed,
            *lesson.practice,
        )
    ]
    spoken = [(name, part.id, part.model_dump_json()) for name, part in parts]
    hazardous = [one for one in spoken if re.search(r"hazardous cargo|guidebook|placard", one[2])]
    assert len(hazardous) >= 4
    excepted = re.compile(r"nothing (?:aboard is|hazardous)", re.IGNORECASE)
    assert [one[:2] for one in hazardous if LENGTH.search(one[2]) and not excepted.search(one[2])] == []


@pytest.mark.parametrize("fire", FIRES)
def test_each_vehicle_is_given_the_way_to_move_off_that_fits_it(library: Library, fire: str) -> None:
    procedure = library.procedure(fire)
    assert procedure is not None

    def ways(one: Vehicle | None) -> dict[str, str]:
        steps = (step for block in view_procedure(procedure, one).blocks for step in block.steps)
        wanted = ("move-away", "move-away-far")
        return {step.step.id: step.condition for step in steps if step.step.id in wanted}

    assert ways(DIESEL) == {"move-away": ""}
    for made in NO_FIGURE.values():
        assert ways(made) == {"move-away-far": ""}
    for unknown in (SILENT, None, vehicle(hazardous_cargo="no"), vehicle(gas_fueled="no")):
        assert ways(unknown) == {"move-away": GENERAL, "move-away-far": FAR}


@pytest.mark.parametrize("fire", FIRES)
def test_a_fire_is_left_called_in_and_decided_before_any_device_stands(library: Library, fire: str) -> None:
    """Life goes before the ten minutes of 49 CFR 392.22: devices come last of all."""
    procedure = library.procedure(fire)
    assert procedure is not None
    steps = [step for block in procedure.blocks for step in block.steps]
    names = [step.id for step in steps]
    (decides,) = [at for at, step in enumerate(steps) if step.opens is Tool.DECISION]
    assert names.index("move-away") < names.index("move-away-far") < names.index("call-fire") < decides
    assert steps[decides].critical
    assert names[-1] == "triangles-clear-of-heat"
    by_heart = [line.id for line in procedure.by_heart]
    assert by_heart[:2] == ["stop-in-open", "held-now"]
    assert "phone" in procedure.by_heart[2].do


def test_the_cab_file_opens_the_decision_from_the_step_that_asks_for_it(library: Library) -> None:
    page = BeautifulSoup(cab_html(BuildContext(library, OVERRIDES)), "html.parser")
    for fire in FIRES:
        links = page.select(f".step .step__tool a[href='#{fire}/decision']")
        assert len(links) == 1, fire
        assert page.select_one(f"#{fire} [data-decision]") is not None


def test_a_fire_named_in_another_procedures_decision_leads_to_whichever_fire_it_is(library: Library) -> None:
    fire_way = next(way for way in library.ways_out if way.id == "fire")
    for name in ("crash-scene", "rollover", "power-line", "tunnel", "live-lane", "person-struck"):
        decision = library.procedure(name).decision
        assert decision is not None
        row = next(row for row in decision.rows if row.leads_to == "engine-fire")
        assert set(fire_way.opens) <= set(row.opens), name


def test_nobody_is_sent_to_a_wheel_that_burns_or_smokes(library: Library) -> None:
    procedure = library.procedure("tire-fire")
    assert procedure is not None
    assert procedure.decision is not None
    assert {row.leads_to for row in procedure.decision.rows} == {"finished"}
    orders = [row.do for row in procedure.decision.rows]
    orders += [step.do for block in procedure.blocks for step in block.steps]
    assert [order for order in orders if "extinguisher" in order.lower()] == []


def test_nobody_fights_a_battery_or_a_gas_flame_and_all_go_farther_than_from_other_fires(
    library: Library,
) -> None:
    """ERG 2024 guide 147; CTIF on the gas truck of Indianapolis; a rural fire service on common gases."""
    procedure = library.procedure("battery-gas-fire")
    assert procedure is not None
    assert procedure.decision is not None
    orders = [row.do for row in procedure.decision.rows]
    orders += [step.do for block in procedure.blocks for step in block.steps]
    orders += [line.do for line in procedure.by_heart]
    assert [order for order in orders if re.search(r"extinguisher|spray", order, re.IGNORECASE)] == []
    assert [order for order in orders if LENGTH.search(order)] == []
    assert {"no-battery-spray", "no-gas-out", "not-back-in"} <= {never.id for never in procedure.never}
    steps = {step.id: step for block in procedure.blocks for step in block.steps}
    assert "farther than for an ordinary fire" in steps["upwind-and-on"].do
    assert "light again hours, days or weeks later" in steps["off-after-flame"].why


def test_a_distance_for_burning_batteries_names_the_guidebook_and_is_its_figure(library: Library) -> None:
    """ERG 2024, guide 147: isolate 500 meters (1/3 mile) where a trailer burns."""
    said = said_by_id(library)["battery-gas-fire/facts/printed-distances/items/guide-147/value"]
    assert "1/3 mile (500 m)" in said.text
    assert "guidebook" in said.text
    assert ("erg-147",) == said.sources


def test_how_far_a_tank_flew_is_reported_without_a_distance_to_keep(library: Library) -> None:
    """Fire crews' own distances are not the guidebook's, and no driver is told to keep to one."""
    facts = {
        key: said.text
        for key, said in said_by_id(library).items()
        if key.startswith("battery-gas-fire/facts/printed-distances/") and "/guide-147/" not in key
    }
    figures = {key: text for key, text in facts.items() if LENGTH.search(text)}
    assert list(figures) == ["battery-gas-fire/facts/printed-distances/items/gas-truck/value"]
    (flew,) = figures.values()
    sentences = re.split(r"(?<=\.) ", flew)
    assert [one for one in sentences if LENGTH.search(one)] == ["In 2015 a tank flew 4,000 ft (1,200 m)"]


def test_only_the_trained_are_sent_to_fight(library: Library) -> None:
    for procedure in library.procedures:
        rows = procedure.decision.rows if procedure.decision else ()
        for row in rows:
            if row.leads_to == "extinguisher":
                assert "you were trained" in row.see, procedure.id


def test_whoever_has_the_cargo_in_hand_is_reported_to_call_the_national_center(library: Library) -> None:
    """49 CFR 171.15(a): within 12 h, 800-424-8802."""
    number = "800-424-8802"
    assert number in [phone.number for phone in library.fleet.phones]
    for name in (*FIRES, "battery-gas-fire", "cargo-spill"):
        procedure = library.procedure(name)
        assert procedure is not None
        (line,) = [line for line in procedure.report if line.id == "call-response-center"]
        assert line.when == (Condition.HAZARDOUS_CARGO,)
        assert number in line.do
        assert "12 h" in line.do


HAZARDOUS_MATERIALS_RULES = {"cfr-171-15", "cfr-171-16", "cfr-172-602"}
"""They speak of hazardous materials, placarded or not."""
PLACARD_RULES = {"cfr-397-5", "cfr-397-7", "cfr-397-11", "cfr-397-17", "cfr-393-95-a"}
"""They bind vehicles that must be marked or placarded (49 CFR 397.1), or such quantities (393.95(a))."""


def _conditions(library: Library) -> Iterator[tuple[str, tuple[Condition, ...], set[str]]]:
    for procedure in library.procedures:
        for block in procedure.blocks:
            for step in block.steps:
                yield f"{procedure.id}/{step.id}", step.when, set(step.source)
        for part in ("by_heart", "never", "report", "roll_again"):
            for line in getattr(procedure, part):
                yield f"{procedure.id}/{line.id}", line.when, set(line.source)
    assert library.before_trip is not None
    assert library.after_event is not None
    for group in library.before_trip.groups:
        for point in group.points:
            yield f"before-trip/{point.id}", point.when, set(point.source)
    for deadline in library.after_event.deadlines:
        yield f"after-event/{deadline.id}", deadline.when, set(deadline.source)


def test_a_duty_of_all_hazardous_cargo_never_hangs_on_placards(library: Library) -> None:
    wrong = {Condition.PLACARDED, Condition.NOT_PLACARDED}
    bound = [row for row in _conditions(library) if row[2] & HAZARDOUS_MATERIALS_RULES]
    assert len(bound) > 5
    assert [name for name, when, _ in bound if wrong & set(when)] == []


def test_a_duty_of_placarded_vehicles_never_binds_all_hazardous_cargo(library: Library) -> None:
    wrong = {Condition.HAZARDOUS_CARGO, Condition.NO_HAZARDOUS_CARGO}
    bound = [row for row in _conditions(library) if row[2] & PLACARD_RULES]
    assert len(bound) > 3
    assert [name for name, when, _ in bound if wrong & set(when)] == []


def test_no_duty_of_hazardous_cargo_is_worded_for_placards_alone(library: Library) -> None:
    found = [
        name
        for name, said in said_by_id(library).items()
        if HAZARDOUS_MATERIALS_RULES & set(said.sources)
        and re.search(r"placard", said.text, re.IGNORECASE)
        and not re.search(r"placard\w* or (?:not|without)|with(?:out)? placards or", said.text)
    ]
    assert found == []


def test_a_vehicle_with_placards_cannot_be_without_hazardous_cargo() -> None:
    with pytest.raises(ValueError, match="a placarded vehicle carries hazardous cargo"):
        vehicle(hazardous_cargo="no", placarded="yes")


def test_conditions_are_said_so_that_neither_term_stands_for_the_other() -> None:
    assert CONDITIONS[Condition.HAZARDOUS_CARGO] == "hazardous cargo"
    assert CONDITIONS[Condition.PLACARDED] == "placards"
