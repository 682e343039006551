"""Content of the faces about device placement: one for each layout of the rule set, two for hidden views.

Every distance comes from the placement engine.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from forty_paces.drawing.formats import Size
from forty_paces.drawing.schematic import draw_placement
from forty_paces.drawing.view_ends import draw_view_ends
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import (
    Device,
    DeviceLayout,
    HiddenBy,
    Placement,
    RoadKind,
    RuleSet,
    Situation,
)
from forty_paces.messages.cards import POSTER_LEGS, WORDS
from forty_paces.messages.placement import texts
from forty_paces.messages.quantities import SPANS, posted_speeds, speed_band
from forty_paces.outputs.common.moved_distances import (
    MovedExample,
    MovedRules,
    MovedTable,
    moved_example,
    moved_rules,
    moved_tables,
)


@dataclass(frozen=True, slots=True)
class PlacementFace:
    """One face about device placement."""

    id: str
    code: str
    kind: str
    "placement: one kind of road; lookout: what to look for where the view is hidden; moved: how far out."
    title: str
    tile: str
    rules: RuleSet
    devices: tuple[Device, ...] = ()
    walk: tuple[str, ...] = ()
    walk_short: tuple[str, ...] = ()
    "The same in few words, for the poster."
    drawing: str = ""
    forbidden: str = ""
    table: MovedTable | None = None
    limits: MovedRules | None = None
    more: str = ""
    "Code of the face to turn to for hidden views; empty if there is none."

    @property
    def example(self) -> MovedExample | None:
        """A case worked through the table."""
        return moved_example(self.table, self.limits) if self.table and self.limits else None

    @property
    def key(self) -> str:
        """Prefix of its string ids."""
        return f"placing/{self.rules.id}/{self.id}"


def placement_faces(rules: RuleSet, size: Size = Size.CARD) -> tuple[PlacementFace, ...]:
    """A face for every layout of the rule set, then two for hidden views if the rule set has a rule for them.

    The table is for the default visibility class.
    """
    faces = tuple(_road_faces(rules, size))
    limits = moved_rules(rules)
    shown = [table for table in moved_tables(rules, fast_only=True) if limits]
    table = next((one for one in shown if one.visibility.id == rules.default_visibility), None)
    if limits is None or table is None:
        return faces
    look, moved = f"PLC{len(faces) + 1}", f"PLC{len(faces) + 2}"
    lookout = PlacementFace(
        id=look.replace("PLC", "p"),
        code=look,
        kind="lookout",
        title=WORDS["hidden-title"],
        tile=WORDS["hidden-tile"],
        rules=rules,
        drawing=draw_view_ends(rules, tuple(HiddenBy), prefix="view-ends"),
        table=table,
        limits=limits,
        more=moved,
    )
    how_far = WORDS["moved-title"]
    distances = replace(
        lookout,
        id=moved.replace("PLC", "p"),
        code=moved,
        kind="moved",
        title=how_far,
        tile=how_far,
        drawing="",
        more=look,
    )
    return (*(replace(face, more=look) for face in faces), lookout, distances)


def _road_faces(rules: RuleSet, size: Size) -> Iterator[PlacementFace]:
    shown = [(road, layout) for road in RoadKind for layout in rules.layouts if layout.road is road]
    for place_in_set, (road, layout) in enumerate(shown, 1):
        band = speed_band(layout, rules.posted_in)
        title = WORDS[f"road-{road}"] + ("" if band == SPANS["any-speed"] else f", {band}")
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
            tile=WORDS[f"road-{road}"],
            rules=rules,
            devices=placement.devices,
            walk=texts(rules, placement.walk.order),
            walk_short=texts(rules, placement.walk.order, {"legs": POSTER_LEGS}),
            drawing=_drawing(placement, rules, situation, id, size),
            forbidden=layout.forbidden,
        )


def _drawing(placement: Placement, rules: RuleSet, situation: Situation, id: str, size: Size) -> str:
    if not placement.devices:
        return ""
    return draw_placement(placement, rules, situation, prefix=f"{id}-road", size=size)


def _speed_within(layout: DeviceLayout, rules: RuleSet) -> float:
    """A posted speed at which the layout applies, for looking up the layout to draw."""
    for speed_mph, _ in reversed(posted_speeds(rules)[:4]):
        if layout.speed_from_mph <= speed_mph < layout.speed_below_mph:
            return speed_mph
    return layout.speed_from_mph
