"""The shapes of the fleet's vehicles for the plan of the guided walk: drawn to their length."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.drawing.schematic_renderer import VehicleShape

TRACTOR_TRAILER_FT = 73.5
SINGLE_UNIT_FT = 30.0
BUS_FT = 45.0
"""Overall lengths of the design vehicles WB-67, SU-30 and BUS-45 in AASHTO, A Policy on Geometric Design of
Highways and Streets, table of design vehicle dimensions: WB-67 and SU-30 met in a reproduced table of 2018,
BUS-45 in a reproduced older one that says 13.7 m. Taken where the fleet gives no length."""

TRAILER_FT = 53.0
"""Length of the trailer of the design vehicle WB-67, same table."""


@dataclass(frozen=True, slots=True)
class DrawnVehicle:
    """How a vehicle is drawn."""

    shape: VehicleShape
    usual: str
    "The kind of vehicle whose usual length is taken; empty where the fleet gives the length."


def drawn_vehicle(vehicle: Vehicle) -> DrawnVehicle | None:
    """The shape of a vehicle; None where neither its length nor its kind is known."""
    if vehicle.length_ft is not None:
        return DrawnVehicle(_shape(vehicle.length_ft, vehicle.trailer_ft), "")
    if vehicle.trailer:
        trailer_ft = vehicle.trailer_ft or TRAILER_FT
        return DrawnVehicle(_shape(TRACTOR_TRAILER_FT - TRAILER_FT + trailer_ft, trailer_ft), "trailer")
    if vehicle.passengers:
        return DrawnVehicle(_shape(BUS_FT, None), "bus")
    if vehicle.trailer is False:
        return DrawnVehicle(_shape(SINGLE_UNIT_FT, None), "single")
    return None


def drawn_vehicles(vehicles: Iterable[Vehicle]) -> Mapping[str, DrawnVehicle]:
    """The shapes of those vehicles that have one, by their id."""
    found = {vehicle.id: drawn_vehicle(vehicle) for vehicle in vehicles}
    return {id_: drawn for id_, drawn in found.items() if drawn is not None}


def _shape(length_ft: float, trailer_ft: float | None) -> VehicleShape:
    trailer = min(trailer_ft, length_ft) if trailer_ft else 0.0
    return VehicleShape(length_ft=round(length_ft, 1), trailer_ft=round(trailer, 1))
