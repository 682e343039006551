"""Content of the faces about device placement: one for each layout of the rule set, one for hidden views.

Every distance comes from the placement engine.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from forty_paces.drawing.formats import Size
from forty_paces.drawing.quantities import HIDDEN_SHARES, posted_speeds, speed_band
from forty_paces.drawing.schematic import draw_placement
from forty_paces.geometry.placement import asks_for, place
from forty_paces.geometry.records import (
    Device,
    HiddenViewRule,
    Layout,
    Placement,
    RoadKind,
    RuleSet,
    Situation,
    Toward,
)

ROAD_TITLES = {
    RoadKind.TWO_LANE: "Two-lane road",
    RoadKind.DIVIDED: "Divided road",
    RoadKind.ONE_WAY: "One-way road or ramp",
}
"""Name of each kind of road on a card."""


@dataclass(frozen=True, slots=True)
class MovedCell:
    """Where the outermost device goes at one speed and hidden distance."""

    distance_ft: float
    paces: int
    ample: bool


@dataclass(frozen=True, slots=True)
class MovedRow:
    """The row of one hidden distance."""

    hidden_ft: float
    hidden_paces: int
    cells: tuple[MovedCell, ...]


@dataclass(frozen=True, slots=True)
class PlacementFace:
    """One face about device placement."""

    id: str
    code: str
    kind: str
    "placement: a drawing of one kind of road; moved: the table for hidden views."
    title: str
    tile: str
    rules: RuleSet
    devices: tuple[Device, ...] = ()
    walk: tuple[str, ...] = ()
    drawing: str = ""
    forbidden: str = ""
    speeds: tuple[str, ...] = ()
    rows: tuple[MovedRow, ...] = ()
    more: str = ""
    "Code of the face with the table for hidden views; empty if there is none."

    @property
    def all_ample(self) -> bool:
        """Whether every distance in the table gives drivers enough warning to stop."""
        return all(cell.ample for row in self.rows for cell in row.cells)

    @property
    def key(self) -> str:
        """Prefix of its string ids."""
        return f"placing/{self.rules.id}/{self.id}"


def placement_faces(rules: RuleSet, size: Size = Size.CARD) -> tuple[PlacementFace, ...]:
    """A face for every layout of the rule set, then the table for hidden views if the rule set has one."""
    faces = tuple(_road_faces(rules, size))
    first_device = (RoadKind.TWO_LANE, Toward.BEHIND)
    speeds = [posted for posted in posted_speeds(rules)[1:] if asks_for(rules, *first_device, posted[0])]
    if rules.hidden is None or not speeds:
        return faces
    moved = _moved_face(rules, rules.hidden, speeds, len(faces) + 1)
    return (*(replace(face, more=moved.code) for face in faces), moved)


def _road_faces(rules: RuleSet, size: Size) -> Iterator[PlacementFace]:
    shown = [(road, layout) for road in RoadKind for layout in rules.layouts if layout.road is road]
    for place_in_set, (road, layout) in enumerate(shown, 1):
        band = speed_band(layout, rules.posted_in)
        title = ROAD_TITLES[road] + ("" if band == "any speed" else f", {band}")
        situation = Situation(
            road,
            _speed_within(layout, rules),
            **rules.reaches(),
        )
        placement = place(rules, situation)
        id = f"p{place_in_set}"
        yield PlacementFace(
            id=id,
            code=f"PLC{place_in_set}",
            kind="placement",
            title=title,
            tile=ROAD_TITLES[road],
            rules=rules,
            devices=placement.devices,
            walk=placement.walk.order,
            drawing=_drawing(placement, rules, situation, id, size),
            forbidden=layout.forbidden,
        )


def _drawing(placement: Placement, rules: RuleSet, situation: Situation, id: str, size: Size) -> str:
    if not placement.devices:
        return ""
    return draw_placement(placement, rules, situation, prefix=f"{id}-road", size=size)


def _speed_within(layout: Layout, rules: RuleSet) -> float:
    """A posted speed at which the layout applies, for looking up the layout to draw."""
    for speed_mph, _ in reversed(posted_speeds(rules)[:4]):
        if layout.speed_from_mph <= speed_mph < layout.speed_below_mph:
            return speed_mph
    return layout.speed_from_mph


def _moved_face(
    rules: RuleSet, hidden_view: HiddenViewRule, speeds: Sequence[tuple[float, str]], place_in_set: int
) -> PlacementFace:
    hidden = tuple(hidden_view.within_ft * share for share in HIDDEN_SHARES)
    return PlacementFace(
        id=f"p{place_in_set}",
        code=f"PLC{place_in_set}",
        kind="moved",
        title="Bend, hill or other thing hides you",
        tile="Hidden by a bend or hill",
        rules=rules,
        speeds=tuple(words for _, words in speeds),
        rows=tuple(
            MovedRow(
                hidden_ft,
                round(hidden_ft / rules.pace_ft),
                tuple(_moved(rules, speed_mph, hidden_ft) for speed_mph, _ in speeds),
            )
            for hidden_ft in hidden
        ),
    )


def _moved(rules: RuleSet, speed_mph: float, hidden_ft: float) -> MovedCell:
    situation = Situation(
        RoadKind.TWO_LANE,
        speed_mph,
        **rules.reaches(),
        hidden_behind_ft=hidden_ft,
    )
    placement = place(rules, situation)
    outermost = max((d for d in placement.devices if d.toward is Toward.BEHIND), key=lambda d: d.distance_ft)
    approach = placement.approach(Toward.BEHIND)
    assert approach is not None, "a two-lane road has traffic from behind"
    return MovedCell(outermost.distance_ft, outermost.paces, approach.ample)
