"""Bodies, loads and ways to run for which practice differs: who sees which line, in every product.

Where a vehicle's kinds are not known, every line is shown with its condition.
"""

from __future__ import annotations

import json
import re

import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.fleet import Vehicle, VehicleKind
from forty_paces.authoring.models.record import Condition
from forty_paces.drawing.formats import Size
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards.card_style import CARDS
from forty_paces.outputs.cards.faces import face_contents
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.procedure_view import ProcedureView, condition_words, view_procedure
from forty_paces.outputs.pages import procedures as pages

from tests.rule_files import PROJECT

LINES = {
    VehicleKind.DOUBLES: {
        "road-ahead/never/no-quick-steer-doubles",
        "trailer-skid/blocks/look/steps/look-at-dolly",
    },
    VehicleKind.BOBTAIL: {f"{name}/never/no-bobtail-stop" for name in ("road-ahead", "ice", "hydroplaning")},
    VehicleKind.LIVESTOCK: {
        "rollover/never/no-animal-door",
        "rollover/blocks/stay-or-leave/steps/call-animals",
        "load-shift/roll_again/slow-with-animals",
        "breakdown/report/animals-wait",
    },
    VehicleKind.REFRIGERATED: {
        "cargo-fire/never/no-cooled-box",
        "cargo-fire/never/no-cooling-unit-fire",
        "cargo-fire/blocks/get-clear/steps/call-cooling",
        "cargo-spill/never/no-cooled-entry",
    },
    VehicleKind.CAR_CARRIER: {
        "battery-gas-fire/blocks/far-off/steps/call-vehicles-aboard",
        "battery-gas-fire/never/no-unloading",
        "bridge-strike/blocks/from-under/steps/decks-loose",
        "bridge-strike/roll_again/height-again",
    },
    VehicleKind.DUMP_BODY: {
        "high-wind/never/no-body-up-wind",
        "rollover/never/no-leave-raised",
        "bridge-strike/never/no-body-down",
        "bridge-strike/roll_again/body-down",
        "power-line/roll_again/body-down",
    },
}
OWN_WORDS = {
    VehicleKind.DOUBLES: r"two trailers|between the trailers",
    VehicleKind.BOBTAIL: r"without the trailer",
    VehicleKind.LIVESTOCK: r"animals",
    VehicleKind.REFRIGERATED: r"cool",
    VehicleKind.CAR_CARRIER: r"vehicle",
    VehicleKind.DUMP_BODY: r"\bbody\b",
}
"""A line that is known to apply is shown without its condition, and a kind may hold on some trips only."""


def vehicle(kinds: tuple[VehicleKind, ...] | None) -> Vehicle:
    values = {"id": "ours", "title": "Ours", "trailer": "yes"}
    return Vehicle.model_validate(values if kinds is None else {**values, "kinds": [*kinds]})


def shown(view: ProcedureView) -> dict[str, tuple[str, str]]:
    """Key of each line and step -> its order and the condition printed before it."""
    lines = (*view.by_heart, *view.never, *view.report, *view.roll_again)
    steps = (step for block in view.blocks for step in block.steps)
    return {line.key: (line.text, line.condition) for line in lines} | {
        step.key: (step.step.do, step.condition) for step in steps
    }


def all_shown(library: Library, kinds: tuple[VehicleKind, ...] | None) -> dict[str, tuple[str, str]]:
    ours = vehicle(kinds)
    views = [view_procedure(one, ours) for one in library.procedures if ours.meets(one.when) is not False]
    return {key: line for view in views for key, line in shown(view).items()}


@pytest.mark.parametrize("kind", VehicleKind)
def test_a_kind_shows_its_lines_and_no_other_vehicle_does(library: Library, kind: VehicleKind) -> None:
    here, elsewhere = all_shown(library, (kind,)), all_shown(library, ())
    assert LINES[kind] == set(here) - set(elsewhere)
    assert [("", True)] * len(LINES[kind]) == [
        (here[key][1], bool(re.search(OWN_WORDS[kind], here[key][0]))) for key in sorted(LINES[kind])
    ]


def test_a_vehicle_that_says_nothing_sees_all_of_them_with_their_conditions(library: Library) -> None:
    unknown = all_shown(library, None)
    assert set(unknown) - set(all_shown(library, ())) == set().union(*LINES.values())
    for kind, keys in LINES.items():
        words = condition_words([Condition(kind)])
        assert {words} == {unknown[key][1] for key in keys}, kind


def test_several_kinds_show_the_lines_of_each(library: Library) -> None:
    both = all_shown(library, (VehicleKind.DOUBLES, VehicleKind.REFRIGERATED))
    assert LINES[VehicleKind.DOUBLES] | LINES[VehicleKind.REFRIGERATED] == set(both) - set(
        all_shown(library, ())
    )


def test_doubles_without_a_trailer_are_a_fault() -> None:
    with pytest.raises(ValueError, match="doubles pull trailers"):
        Vehicle.model_validate({"id": "v", "title": "V", "trailer": "no", "kinds": ["doubles"]})
    alone = Vehicle.model_validate({"id": "v", "title": "V", "trailer": "no", "kinds": ["bobtail"]})
    assert alone.meets((Condition.BOBTAIL,)) is True


@pytest.fixture(scope="module")
def elements(library: Library) -> dict[str, BeautifulSoup]:
    """The cab file, and the sources of the pages, of everybody's copy."""
    context = BuildContext(library, PROJECT / "site_overrides")
    text = "".join(str(one.content) for one in pages.artifacts(context) if str(one.path).endswith(".md"))
    return {"cab": BeautifulSoup(cab_html(context), "lxml"), "page": BeautifulSoup(text, "lxml")}


@pytest.mark.parametrize("product", ["cab", "page"])
def test_cab_file_and_page_carry_the_condition_of_every_line(
    elements: dict[str, BeautifulSoup], product: str
) -> None:
    soup = elements[product]
    for kind, keys in LINES.items():
        for key in keys:
            field = "text" if "/never/" in key else "do"
            found = soup.select_one(f'[data-key="{key}/{field}"]')
            assert found is not None, key
            holder = found.find_parent(attrs={"data-when": True})
            assert holder is not None, key
            assert holder["data-when"].split() == [kind.value], key


def test_the_cab_file_knows_for_each_vehicle_of_the_demo_which_kinds_it_has(
    elements: dict[str, BeautifulSoup],
) -> None:
    data = elements["cab"].select_one("#cab-data")
    assert data is not None
    for one in json.loads(data.get_text())["vehicles"]:
        has = {kind.value: one["has"][kind.value] for kind in VehicleKind}
        assert {
            kind.value: one["id"] == "tractor-trailer" and kind is VehicleKind.BOBTAIL for kind in VehicleKind
        } == has


@pytest.mark.parametrize("kinds", [(VehicleKind.REFRIGERATED,), (), None])
def test_the_card_shows_the_lines_of_the_vehicle_it_is_printed_for(
    library: Library, kinds: tuple[VehicleKind, ...] | None
) -> None:
    context = BuildContext(library, PROJECT / "site_overrides")
    codes = {one.id: one.code for one in library.procedures}
    (draft,) = [
        one for one in face_contents(context, vehicle(kinds), Size.CARD) if one.code == codes["cargo-fire"]
    ]
    faces = context.templates.get_template("cards/faces.html.j2").module
    card = str(faces.procedure(draft, (), CARDS["half-letter"], **draft.names))
    for key in LINES[VehicleKind.REFRIGERATED]:
        if key.startswith("cargo-fire/"):
            assert (key in card) is (kinds != ()), key
    assert ("With a cooling unit" in card) is (kinds is None)
