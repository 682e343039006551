"""The tiles of the start screen, on the site and in the cab file."""

from __future__ import annotations

from dataclasses import dataclass

from forty_paces.authoring.models.procedure import Group, Procedure

GROUP_TITLES = {
    Group.STOPPED: "Stopped: read and do",
    Group.ROLLING: "Rolling: know by heart",
}
"""The two halves of every start screen, in reading order."""


@dataclass(frozen=True, slots=True)
class TileGroup:
    """One half of the start screen."""

    id: str
    title: str
    procedures: tuple[Procedure, ...]


@dataclass(frozen=True, slots=True)
class Tool:
    """A tile that opens something other than a procedure."""

    title: str
    symbol: str
    href: str


def tile_groups(procedures: tuple[Procedure, ...]) -> tuple[TileGroup, ...]:
    """The start tiles in their fixed positions."""
    return tuple(
        TileGroup(
            group.value,
            title,
            tuple(sorted((p for p in procedures if p.group is group), key=lambda p: p.position)),
        )
        for group, title in GROUP_TITLES.items()
    )
