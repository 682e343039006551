"""Vehicles of the walk's plan: drawn to the fleet's length, or to the usual one of their kind."""

from __future__ import annotations

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.messages.cab import WORDS
from forty_paces.outputs.cab.guided_walk import drawn_vehicle, finder_view


def test_every_vehicle_of_the_fleet_is_drawn_to_its_own_length(library: Library) -> None:
    rules = library.rules[library.fleet.rules]
    shapes = finder_view(rules, library.fleet.vehicles).values["shapes"]
    assert shapes == {
        "straight-truck": {"slot": "26-0", "length": "26 ft", "usual": ""},
        "tractor-trailer": {"slot": "70-53", "length": "70 ft", "usual": ""},
        "coach": {"slot": "45-0", "length": "45 ft", "usual": ""},
        "tanker": {"slot": "64-43", "length": "64 ft", "usual": ""},
    }


def test_each_slot_is_in_every_drawing(library: Library) -> None:
    view = finder_view(library.rules[library.fleet.rules], library.fleet.vehicles)
    for drawing in view.drawings:
        for shape in view.values["shapes"].values():
            assert f'id="{drawing.prefix}-vehicle-{shape["slot"]}"' in drawing.svg


@pytest.mark.parametrize(
    ("known", "length_ft", "usual"),
    [
        # AASHTO, A Policy on Geometric Design, design vehicle dimensions: WB-67 73.5 ft with a 53 ft trailer,
        # BUS-45 45 ft, SU-30 30 ft.
        ({"trailer": True}, 73.5, "trailer"),
        ({"trailer": True, "trailer_ft": 48.0}, 68.5, "trailer"),
        ({"passengers": True, "trailer": False}, 45.0, "bus"),
        ({"trailer": False}, 30.0, "single"),
    ],
)
def test_without_a_length_the_usual_one_of_its_kind_is_taken_and_said(
    known: dict[str, object], length_ft: float, usual: str
) -> None:
    drawn = drawn_vehicle(Vehicle(id="any", title="Any", **known))
    assert drawn is not None
    assert (drawn.shape.length_ft, drawn.usual) == (length_ft, usual)
    assert "gives no length" in WORDS[f"plan_usual_{usual}"]


def test_a_vehicle_of_which_nothing_is_known_has_no_shape_of_its_own() -> None:
    assert drawn_vehicle(Vehicle(id="any", title="Any")) is None
