"""The look before a trip, the record after an event, and the demo carrier they belong to."""

from __future__ import annotations

import re

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip
from forty_paces.authoring.texts import texts
from forty_paces.authoring.wording import figures, orders, vocabulary
from forty_paces.authoring.wording.rule import TextGroup

from tests.content.checklist_texts import after_event_texts, before_trip_texts


@pytest.fixture
def trip(library: Library) -> BeforeTrip:
    assert library.before_trip is not None
    return library.before_trip


@pytest.fixture
def event(library: Library) -> AfterEvent:
    assert library.after_event is not None
    return library.after_event


@pytest.mark.parametrize(
    "rule",
    [
        orders.no_vague_condition,
        orders.active_voice,
        vocabulary.plain_duty,
        vocabulary.one_term,
        vocabulary.positive,
        vocabulary.no_slash,
        vocabulary.short_forms,
        figures.digits_with_unit,
    ],
    ids=lambda rule: rule.__name__,
)
def test_the_lists_keep_the_wording_rules_of_procedures(library: Library, rule, trip, event) -> None:
    for said in (before_trip_texts(trip), after_event_texts(event)):
        page = TextGroup(said, library.glossary)
        assert [(hit.address, hit.wrong) for hit in rule(page) if not hit.advice] == []


def test_no_point_says_check_where_it_should_say_what_is_right(trip: BeforeTrip, event: AfterEvent) -> None:
    said = [one.text for one in (*before_trip_texts(trip), *after_event_texts(event))]
    assert [text for text in said if re.search(r"\b(?:check|verify|ensure|inspect)\b", text, re.I)] == []


def test_every_vehicle_is_reported_of_one_kind_of_extinguisher_and_one_brake_test(
    library: Library, trip: BeforeTrip
) -> None:
    points = [point for group in trip.groups for point in group.points]
    for vehicle in library.fleet.vehicles:
        mine = {point.id for point in points if vehicle.meets(point.when)}
        assert len(mine & {"extinguisher", "extinguisher-placarded"}) == 1
        assert len(mine & {"hydraulic-leak", "air-leak"}) == 1


def test_the_walk_before_a_trip_names_all_emergency_equipment(trip: BeforeTrip) -> None:
    points = {point.id for group in trip.groups for point in group.points}
    assert {"devices", "extinguisher", "vest-gloves-light", "flashers", "coolant"} <= points


LEGAL_INSPECTION = (
    "brakes",
    "trailer brake connections",
    "parking brake",
    "steering",
    "lamps",
    "reflectors",
    "tires",
    "horn",
    "wipers",
    "mirrors",
    "coupling",
    "wheels",
    "rims",
    "emergency equipment",
)
"""The parts of 49 CFR 392.7(a), as amended 18 December 2014 (79 FR 75449)."""


def test_the_list_before_a_trip_says_that_it_is_not_the_inspection_the_law_asks_for(
    trip: BeforeTrip,
) -> None:
    assert "not the inspection the law asks for" in trip.know_first.text
    assert trip.know_first.source == ("cfr-392-7", "cfr-396-13")
    assert [part for part in LEGAL_INSPECTION if part not in trip.know_first.text] == []
    assert "legal inspection is done as well" in trip.finished


WHERE_NEEDED_LATER = {
    "chocks": "chock",
    "gauges": "gauge",
    "thick-cloth": "thick cloth",
    "spare-tie-downs": "tie-down",
    "first-aid": "gloves",
    "phone": "phone",
    "vest-gloves-light": "light",
    "guidebook": "guidebook",
    "extinguisher-label": "extinguisher",
    "far-door": "away from traffic",
    "escape-tool": "glass hammer",
}
"""A point of the list, and a word by which procedures ask for the item."""


@pytest.mark.parametrize(("point", "word"), WHERE_NEEDED_LATER.items())
def test_what_a_procedure_calls_for_is_looked_at_before_the_trip(
    library: Library, trip: BeforeTrip, point: str, word: str
) -> None:
    said = [one.text.lower() for procedure in library.procedures for one in texts(procedure)]
    said += [item.lower() for procedure in library.procedures for item in procedure.need]
    assert [text for text in said if word in text], word
    assert point in {one.id for group in trip.groups for one in group.points}


@pytest.mark.parametrize(
    ("point", "vehicles"),
    [
        ("seat-belt", {"straight-truck", "tractor-trailer", "coach", "tanker"}),
        ("spring-brakes", {"tractor-trailer", "coach", "tanker"}),
        ("trailer-brakes", {"tractor-trailer", "tanker"}),
        ("trailer-lamp", {"tractor-trailer", "tanker"}),
        ("bus-exits", {"coach"}),
        ("guidebook", {"tanker"}),
        ("last-report", {"straight-truck", "tractor-trailer", "coach", "tanker"}),
    ],
)
def test_each_vehicle_is_looked_at_for_what_it_has(
    library: Library, trip: BeforeTrip, point: str, vehicles: set[str]
) -> None:
    (found,) = [one for group in trip.groups for one in group.points if one.id == point]
    assert {one.id for one in library.fleet.vehicles if one.meets(found.when)} == vehicles


def test_oil_is_looked_for_only_in_a_hub_that_has_a_glass(trip: BeforeTrip) -> None:
    (hubs,) = [one for group in trip.groups for one in group.points if one.id == "hubs"]
    assert "Where the hub has a glass" in hubs.right


def test_the_record_asks_for_facts_and_says_who_may_read_it(event: AfterEvent) -> None:
    for piece in ("facts only", "opinions", "blame", "court", "Answer the police's questions of fact"):
        assert piece in event.know_first.text


def test_data_and_pictures_are_kept_and_posted_nowhere(event: AfterEvent) -> None:
    kept = {one.id: f"{one.show} {one.why}" for one in event.pictures}
    assert "nothing erased and nothing recorded over" in kept["keep-recordings"]
    for piece in ("Electronic log", "engine data", "no entry changed"):
        assert piece in kept["keep-data"]
    for piece in ("safety lead alone", "police", "posted"):
        assert piece in kept["not-posted"]


def test_nobody_is_sent_into_a_lane_for_a_picture(event: AfterEvent) -> None:
    """What is on the road, and everything that needs a walk round, is seen from off the road."""
    show = {one.id: one.show for one in event.pictures}
    for name in ("whole-scene", "devices-standing", "marks"):
        assert "off the road" in show[name]
    assert "without entering a lane" in show["vehicles"]


def test_the_walk_before_rolling_again_is_made_where_no_traffic_passes(event: AfterEvent) -> None:
    (walk,) = [group for group in event.fit_to_roll if group.id == "walk-round"]
    assert "where no traffic passes" in walk.title


def test_nobody_is_kept_from_answering_the_police(library: Library) -> None:
    """A rule against talk of blame says in the same sentence that facts are for the police."""
    (policy,) = [one for one in library.fleet.policies if one.id == "say-nothing-of-blame"]
    assert "answer the police's questions of fact" in policy.text
    crash = library.procedure("crash-scene")
    assert crash is not None
    (no_blame,) = [one for one in crash.never if one.id == "no-blame"]
    assert "police still get true answers about facts" in (no_blame.why or "")


def test_rules_that_are_changing_are_watched(library: Library) -> None:
    """Roadside report, accident, treatment, rail crossings, equipment: changed or proposed since 2025."""
    for name in ("cfr-396-9", "cfr-390-5", "fmcsa-medical-treatment", "cfr-392-10", "cfr-393-95"):
        assert library.sources[name].watch is not None, name


def test_calls_follow_the_carrier_in_its_order_and_reach_everyone(
    library: Library, event: AfterEvent
) -> None:
    assert [phone.id for phone in library.fleet.phones] == [call.phone for call in event.calls]
    assert library.fleet.phones[0].number == "911"


def test_nobody_is_said_to_have_reviewed_the_lists(trip: BeforeTrip, event: AfterEvent) -> None:
    for one in (trip, event):
        assert (one.review.technical, one.review.user, one.review.safety_lead) == (None, None, None)


NATIONAL_RESPONSE_CENTER = "800-424-8802"
"""49 CFR 171.15(a)."""


def test_the_demo_carrier_is_invented_down_to_its_numbers(library: Library) -> None:
    """555-0100 to 555-0199 are kept free for made-up use; 911 and the national center's number are real."""
    numbers = [phone.number for phone in library.fleet.phones if re.search(r"\d{4}", phone.number)]
    invented = [number for number in numbers if number != NATIONAL_RESPONSE_CENTER]
    assert invented
    assert [number for number in invented if not re.fullmatch(r"555-01\d\d", number)] == []


def test_the_fleet_shows_every_kind_of_vehicle(library: Library) -> None:
    kinds = {
        (one.brakes and one.brakes.value, one.trailer, one.hazardous_cargo, one.passengers)
        for one in library.fleet.vehicles
    }
    assert {
        ("hydraulic", False, False, False),
        ("air", True, False, False),
        ("air", False, False, True),
        ("air", True, True, False),
    } == kinds
