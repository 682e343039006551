"""Families of emergencies, in fixed places on every start screen.

A driver chooses the family first and the procedure second, so that fifty emergencies fit large tiles.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from forty_paces.authoring.models.procedure import Procedure
from forty_paces.messages.cab import SCREENS
from forty_paces.outputs.common.procedure_view import TileGroup, tile_groups

FAMILIES = {
    "fire": "engine-fire",
    "crash": "crash",
    "people": "driver-ill",
    "cargo": "load",
    "stopping": "triangles",
    "engine": "overheat",
    "tires": "tire-front",
    "brakes": "brakes",
    "skids": "skid-trailer",
    "weather": "wind",
}
"""Symbol of each known family, in the fixed order of their tiles. Other families come after these
in the order of their ids, titled by their id, with the symbol of their first procedure."""


@dataclass(frozen=True, slots=True)
class Family:
    """A family's tile on the start screen, and its procedures on the screen behind it."""

    id: str
    title: str
    symbol: str
    groups: tuple[TileGroup, ...]
    "Stopped and rolling procedures; no group is empty."

    @property
    def procedures(self) -> tuple[Procedure, ...]:
        """All procedures in the order of their tiles."""
        return tuple(procedure for group in self.groups for procedure in group.procedures)

    @property
    def only(self) -> Procedure | None:
        """The procedure of a family of one, which its tile opens at once."""
        return self.procedures[0] if len(self.procedures) == 1 else None

    @property
    def screen(self) -> str:
        """The id of the screen that lists the family."""
        return f"family-{self.id}"


def families(procedures: tuple[Procedure, ...]) -> tuple[Family, ...]:
    """The families that have procedures, in the order of their tiles."""
    used = {procedure.family for procedure in procedures}
    ordered = [name for name in FAMILIES if name in used] + sorted(used - FAMILIES.keys())
    return tuple(_family(name, procedures) for name in ordered)


def _family(name: str, procedures: Iterable[Procedure]) -> Family:
    members = tuple(procedure for procedure in procedures if procedure.family == name)
    groups = tuple(group for group in tile_groups(members) if group.procedures)
    title = SCREENS[f"family-{name}"] if name in FAMILIES else name.replace("-", " ").capitalize()
    return Family(name, title, FAMILIES.get(name, groups[0].procedures[0].symbol), groups)
