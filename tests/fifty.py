"""A library of fifty emergencies: the real ones, and copies of them under other names in more families."""

from __future__ import annotations

import dataclasses

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Group, Procedure

MORE = (
    ("Animal ahead", "ahead", Group.ROLLING),
    ("Wrong-way driver", "ahead", Group.ROLLING),
    ("Trailer comes loose", "coupling", Group.ROLLING),
    ("Steering fails", "coupling", Group.ROLLING),
    ("Sick at wheel", "people", Group.ROLLING),
    ("Throttle sticks", "engine", Group.ROLLING),
    ("Fallen rock", "ahead", Group.STOPPED),
    ("Dolly drops", "coupling", Group.STOPPED),
    ("Stuck in snow", "stopping", Group.STOPPED),
    ("Jackknife", "skids", Group.STOPPED),
    ("Brake drum fire", "fire", Group.STOPPED),
    ("Refrigeration unit fire", "fire", Group.STOPPED),
)
"""Tile, family and group of each copy. Families whose names the cab file does not know are among the first,
and with the first six no family has a single procedure."""


def fifty(library: Library) -> Library:
    """The library with as many copies as make fifty procedures, each group with more than twelve."""
    wanted = 50 - len(library.procedures)
    assert 0 < wanted <= len(MORE)
    base = library.procedures
    copies = (_copy(base[at % len(base)], at, *more) for at, more in enumerate(MORE[:wanted]))
    return dataclasses.replace(library, procedures=(*base, *copies))


def _copy(procedure: Procedure, number: int, tile: str, family: str, group: Group) -> Procedure:
    return procedure.model_copy(
        update={
            "id": tile.lower().replace(" ", "-"),
            "tile": tile,
            "title": f"{tile}, copy of {procedure.title}",
            "family": family,
            "group": group,
            "position": 30 + number,
            "code": f"{family[:3].upper()}{20 + number}",
        }
    )
