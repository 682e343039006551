"""The look before a trip, the record after an event, and the demo carrier they belong to."""

from __future__ import annotations

import re

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip
from forty_paces.authoring.wording import figures, orders, vocabulary
from forty_paces.authoring.wording.rule import Page

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
    for texts in (before_trip_texts(trip), after_event_texts(event)):
        page = Page(texts, library.glossary)
        assert [(hit.address, hit.wrong) for hit in rule(page) if not hit.advice] == []


def test_no_point_says_check_where_it_should_say_what_is_right(trip: BeforeTrip, event: AfterEvent) -> None:
    said = [one.text for one in (*before_trip_texts(trip), *after_event_texts(event))]
    assert [text for text in said if re.search(r"\b(?:check|verify|ensure|inspect)\b", text, re.I)] == []


def test_every_vehicle_is_told_of_one_kind_of_extinguisher_and_one_brake_test(
    library: Library, trip: BeforeTrip
) -> None:
    points = [point for group in trip.groups for point in group.points]
    for vehicle in library.fleet.vehicles:
        mine = {point.id for point in points if vehicle.meets(point.when)}
        assert len(mine & {"extinguisher", "extinguisher-placarded"}) == 1
        assert len(mine & {"hydraulic-leak", "air-leak"}) == 1


def test_the_walk_before_a_trip_names_all_emergency_equipment(trip: BeforeTrip) -> None:
    points = {point.id for group in trip.groups for point in group.points}
    assert {"devices", "extinguisher", "vest-gloves-light", "fuses", "flashers", "coolant"} <= points


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
