"""Conditions of the carrier's own: declared in fleet.yml, used in ``when``, answered for each vehicle."""

import json
import re

import pytest
from forty_paces.authoring.library import inspect_project, load_library
from forty_paces.authoring.models.record import OwnCondition
from forty_paces.drawing.formats import Size
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards.card_style import CARDS
from forty_paces.outputs.cards.faces import face_contents
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.procedure_view import view_procedure

from tests.faults.projects import BASE, TODAY, project_with
from tests.rule_files import PROJECT

FLEET = """carrier: Harbor Lines
rules: plain
conditions:
  - id: two-trailers
    words: two trailers
    without: one trailer or none
  - id: tail-lift
    words: a tail lift
vehicles:
  - {id: doubles, title: Doubles, has: [two-trailers], has_not: [tail-lift]}
  - {id: lift-truck, title: Lift truck, has: [tail-lift], has_not: [two-trailers]}
  - {id: van, title: Van}
"""
WOBBLE = (BASE / "content/procedures/wheel-wobble.yml").read_text(encoding="utf-8")


def project(folder, when, fleet=FLEET):
    made = project_with(folder, "content/fleet.yml", fleet)
    line = "    do: Slow down gently.\n"
    assert line in WOBBLE
    text = WOBBLE.replace(line, f"{line}    when: [{when}]\n")
    (made / "content/procedures/wheel-wobble.yml").write_text(text, encoding="utf-8")
    return made


def findings(folder):
    return [str(finding) for finding in inspect_project(folder, TODAY).findings]


@pytest.mark.parametrize(
    ("when", "answers", "words"),
    [
        ("two-trailers", (True, False, None), "With two trailers"),
        ("no-two-trailers", (False, True, None), "With one trailer or none"),
        ("tail-lift", (False, True, None), "With a tail lift"),
        ("tail-lift, trailer", (False, None, None), "With a tail lift and a trailer"),
    ],
)
def test_a_line_applies_to_the_vehicles_that_meet_it(tmp_path, when, answers, words):
    library = load_library(project(tmp_path, when), TODAY)
    procedure = library.procedure("wheel-wobble")
    line = procedure.by_heart[1]
    assert answers == tuple(vehicle.meets(line.when) for vehicle in library.fleet.vehicles)
    views = [view_procedure(procedure, vehicle) for vehicle in library.fleet.vehicles]
    shown = ["slow" in [one.key.rpartition("/")[2] for one in view.by_heart] for view in views]
    assert [answer is not False for answer in answers] == shown
    assert words == view_procedure(procedure).by_heart[1].condition


def test_other_words_of_a_condition_are_read_though_the_procedure_is_the_same(tmp_path):
    """Two conditions of one id are equal, and a procedure that was read before is at hand."""
    for words in ("a tail lift", "a tail gate"):
        fleet = FLEET.replace("a tail lift", words)
        library = load_library(project(tmp_path / words, "tail-lift", fleet), TODAY)
        assert view_procedure(library.procedure("wheel-wobble")).by_heart[1].condition == f"With {words}"


def test_the_cab_file_knows_them_for_every_vehicle(tmp_path):
    library = load_library(project(tmp_path, "two-trailers"), TODAY)
    html = cab_html(BuildContext(library, PROJECT / "site_overrides"))
    data = json.loads(re.search(r'<script[^>]* id="cab-data"[^>]*>(.*?)</script>', html, re.S)[1])
    has = {one["id"]: one["has"] for one in data["vehicles"]}
    assert {"two-trailers": True, "no-two-trailers": False, "tail-lift": False} == has["doubles"]
    assert {} == has["van"]


def test_the_page_of_a_line_carries_its_id_for_the_script(tmp_path):
    library = load_library(project(tmp_path, "no-two-trailers"), TODAY)
    (condition,) = library.procedure("wheel-wobble").by_heart[1].when
    assert ("no-two-trailers", "no-two-trailers") == (str(condition), f"{condition}")
    assert isinstance(condition, OwnCondition)


@pytest.mark.parametrize(
    ("when", "wanted"),
    [
        ("three-trailers", '"three-trailers" is not a value of "when"'),
        ("no-tail-lift", '"no-tail-lift" is not a value of "when"'),
        (
            "two-trailers, no-two-trailers",
            "no vehicle has two trailers and one trailer or none at once, so nobody would ever see this line",
        ),
    ],
)
def test_a_condition_that_is_not_declared_or_never_met_is_a_finding(tmp_path, when, wanted):
    (found,) = findings(project(tmp_path, when))
    assert wanted in found
    assert found.startswith("content/procedures/wheel-wobble.yml:")


@pytest.mark.parametrize(
    ("old", "new", "wanted"),
    [
        ("id: tail-lift", "id: trailer", 'the id "trailer" is a condition already'),
        ("id: tail-lift", "id: no-lift", 'the id "no-lift" begins with "no-"'),
        ("id: tail-lift", "id: two-trailers", 'the id "two-trailers" names a second condition'),
        ("has: [tail-lift]", "has: [tail-gate]", 'no condition "tail-gate" is declared below conditions'),
        (
            "has: [two-trailers], has_not: [tail-lift]",
            "has: [tail-lift], has_not: [tail-lift]",
            '"doubles" both has and has not "tail-lift"',
        ),
    ],
)
def test_a_contradiction_in_the_fleet_is_a_finding(tmp_path, old, new, wanted):
    assert old in FLEET
    assert any(wanted in found for found in findings(project(tmp_path, "trailer", FLEET.replace(old, new))))


def test_a_fleet_that_cannot_be_read_does_not_make_its_conditions_unknown(tmp_path):
    found = findings(project(tmp_path, "two-trailers", FLEET.replace("carrier:", "carier:")))
    assert [] == [one for one in found if 'not a value of "when"' in one]
    assert found


def test_a_number_that_nobody_has_entered_is_advice(tmp_path):
    phone = "phones:\n  - {id: dispatch, who: Dispatch, number: not yet entered, call_when: Always.}\n"
    phone += "  - {id: emergency, who: Emergency, number: '911', call_when: Always., serves: emergency}\n"
    (found,) = findings(project(tmp_path, "trailer", FLEET + phone))
    assert 'advice: the number of "Dispatch" is not yet entered, and every page says so' in found


def test_an_unknown_source_is_reported_once_with_its_other_uses(tmp_path):
    made = project_with(tmp_path, "content/fleet.yml", "carrier: Harbor Lines\nrules: plain\n")
    text = WOBBLE.replace("source: [practice]", "source: [practise]")
    assert 2 == text.count("practise")
    (made / "content/procedures/wheel-wobble.yml").write_text(text, encoding="utf-8")
    (found,) = findings(made)
    assert (
        'wheel-wobble.yml:19:14: the source "practise" does not exist; it is cited at 1 more place: ' in found
    )
    assert "content/procedures/wheel-wobble.yml:22:14" in found


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("trailers: 2", "for two or more, write kinds: [doubles] too"),
        ("doubles: yes", "for two or more, write kinds: [doubles] too"),
        ("body: dump", "for a dump body and the like, see kinds"),
        ("lift: yes", "{id: tail-lift, words: a tail lift}"),
        ("height: 13 ft", "add {what: Height, value: 13 ft 6 in} below details"),
        ("gear_box: manual", 'write "gearbox"'),
    ],
)
def test_the_hint_at_a_key_that_a_vehicle_does_not_have_fits_what_was_meant(tmp_path, line, wanted):
    (found,) = findings(
        project(
            tmp_path,
            "trailer",
            f"{FLEET}    {line}\n".replace("{id: van, title: Van}", "id: van\n    title: Van"),
        )
    )
    assert wanted in found


def test_details_of_a_vehicle_are_shown_as_they_are_written(tmp_path):
    fleet = FLEET.replace("title: Van}", "title: Van, details: [{what: Height, value: 13 ft 6 in}]}")
    library = load_library(project(tmp_path, "trailer", fleet), TODAY)
    context = BuildContext(library, PROJECT / "site_overrides")
    assert "<li>Height: 13 ft 6 in</li>" in cab_html(context)
    shown = [
        face_contents(context, vehicle, Size.CARD)[0].names["vehicle"] for vehicle in library.fleet.vehicles
    ]
    faces = context.templates.get_template("cards/faces.html.j2").module
    cards = [
        str(
            faces.phones(
                {"id": "phones", "code": "ALL2", "title": "Numbers", "title_key": "", "more": ""},
                (),
                CARDS["half-letter"],
                (),
                vehicle,
            )
        )
        for vehicle in (*shown, None)
    ]
    assert [False, False, True, False] == ["13 ft 6 in" in card for card in cards]
