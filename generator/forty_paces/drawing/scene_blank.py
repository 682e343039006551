"""Draws a scene without its answer, for learners who place the devices themselves.

Shows the road, the vehicle, the obstructions beside the road and a scale bar, and gives
page points along the shoulder where devices may be placed. Nothing shown depends on the
solution: no hidden stretch, no line of sight, always the same length of road, and no devices but those that
the learner is given.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from forty_paces.drawing import marks, svg
from forty_paces.drawing.labels import PlacedLabel
from forty_paces.drawing.profile import EDGE, RELIEF, ProfileDrawing
from forty_paces.drawing.scene_frame import DrawingArea, SceneFrame, fit_projection
from forty_paces.drawing.scene_labels import SMALL, SceneLabels, drawn_label
from forty_paces.drawing.scene_plan import MARK, ScenePlan
from forty_paces.drawing.schematic import markings
from forty_paces.drawing.svg import Element, Point
from forty_paces.drawing.text import Box, TextBlock, TextLine
from forty_paces.geometry.placement import streams
from forty_paces.geometry.records import RoadKind, RuleSet, Toward
from forty_paces.geometry.scene import Scene, center_offset_ft, station_ft
from forty_paces.geometry.solver import LocatedDevice, ScenePlacement, SideSight, SightLine
from forty_paces.geometry.units import METERS_PER_FOOT
from forty_paces.messages.drawings import DRAWING, describe_blank
from forty_paces.messages.quantities import printed_length

LEAST_REACH_FT = 560.0
"Minimum length of road shown from the vehicle toward traffic."
PAST_FT = 60.0
"Road shown beyond the farthest position where the rule set may put a device."
QUIET_FT = 150.0
"Road shown where no traffic comes from."

FLAG_AROUND, FLAG_BELOW = 17.0, 11.0
"What a set device's triangle takes around and below its point, with its line."
FLAG_STEP_FT = 10
SCALE_BAR = 28.0
"Height of the scale bar with its words. Beside a bend there is no room to keep it free of triangles."

SCREEN = DrawingArea(along=640, across=105, upright=False)
"A strip above the controls of the exercise."
HALF = DrawingArea(along=280, across=62, upright=False)
"Half the width of the exercise, its type as large on the wall: plan and profile side by side."
WALL = DrawingArea(along=460, across=165, upright=False)
"Larger type relative to the road, legible from the back row."
WALL_BLANK = DrawingArea(along=430, across=105, upright=False)
SHEET = DrawingArea(along=640, across=150, upright=False)
"Part of a paper page, its text at 11 pt or more."


@dataclass(frozen=True)
class BlankLabels(SceneLabels):
    """Labels of the vehicle, of the obstructions and of the devices given."""

    given: tuple[LocatedDevice, ...] = ()

    @cached_property
    def placed(self) -> tuple[PlacedLabel, ...]:
        """The vehicle's label, on the side without devices, then the names of the obstructions."""
        own = self._row([self._vehicle_label()], -self.side)
        given = (
            self._row([self._device_label(placed) for placed in self.given], self.side) if self.given else []
        )
        return (*own, *given, *self._names([*own, *given]))

    def sight_lines(self) -> list[SightLine]:
        """Empty: lines of sight would reveal the answer."""
        return []


@dataclass(frozen=True)
class BlankPlan(ScenePlan):
    """Renderer of one blank plan."""

    given: tuple[LocatedDevice, ...] = ()
    "The devices that the learner need not place."
    flags: float = 0.0
    "How far beyond the pavement devices are drawn that a learner sets; 0 where none is set on the drawing."

    @cached_property
    def labels(self) -> SceneLabels:
        """Every placed label."""
        return BlankLabels(self.solved, self.rules, self.frame, self.roadway, self.given)

    @cached_property
    def page(self) -> Box:
        """The page, with room for every device that can be set where traffic comes from."""
        page = self.labels.taken
        if not self.flags:
            return page
        points = [
            self.flag(toward, distance, self.flags)
            for toward in streams(self.scene.kind)
            for distance in range(0, round(reach_ft(self.rules)), FLAG_STEP_FT)
            if self.frame.start_ft <= station_ft(self.scene, toward, distance) <= self.frame.end_ft
        ]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        below = FLAG_BELOW if bends(self.scene) else FLAG_BELOW + SCALE_BAR
        return Box(
            min(page.left, min(xs) - FLAG_AROUND),
            min(page.top, min(ys) - FLAG_AROUND),
            max(page.right, max(xs) + FLAG_AROUND),
            max(page.bottom, max(ys) + below),
        )

    @property
    def scale_lengths(self) -> tuple[float, ...]:
        """Lengths that no rule asks for, so that the scale bar gives no hint."""
        return (90.0, 45.0) if self.rules.metric else (300.0, 150.0, 75.0)

    @cached_property
    def _center_broken(self) -> bool:
        return not self.scene.blockers and not self.scene.road.profile.pvis

    def draw(self) -> str:
        """Return the plan as SVG text."""
        page, start, end = self.page, self.frame.start_ft, self.frame.end_ft
        children = [
            svg.rect(page.left, page.top, page.width, page.height, "fp-land"),
            *self.roadway.pavement(start, end, center_broken=self._center_broken),
            *self._blockers(),
            *(self._arrow(lane) for way in self.scene.road.carriageways for lane in way.lanes),
            self._vehicle(),
            *self._leaders(self.labels.placed),
            *(
                marks.small_device(self.roadway.at(placed.station_ft, placed.offset_ft), MARK)
                for placed in self.given
            ),
        ]
        for placed in self.labels.placed:
            children += drawn_label(placed)
        children += self._scale_bar()
        return svg.drawing(
            page.width,
            page.height,
            children,
            corner=(page.left, page.top),
            prefix=self.prefix,
            title=DRAWING["scene-blank"].format(title=self.scene.title),
            desc=describe_blank(self.scene),
            classes=f"fp-scene fp-blank fp-{self.scene.kind}",
        )

    def stand(self, toward: Toward, distance_ft: float) -> Point:
        """Page point at a distance from the vehicle, at the center of its lane or shoulder."""
        return self.roadway.at(station_ft(self.scene, toward, distance_ft), center_offset_ft(self.scene))

    def flag(self, toward: Toward, distance_ft: float, out: float) -> Point:
        """Page point ``out`` units beyond the pavement there, on the vehicle's side away from traffic."""
        way = self.scene.road.carriageways[0]
        edge = way.right_ft if self.labels.side > 0 else way.left_ft
        offset = edge + self.labels.side * out / self.frame.scale
        return self.roadway.at(station_ft(self.scene, toward, distance_ft), offset)


@dataclass(frozen=True)
class BlankProfile(ProfileDrawing):
    """The profile without what follows from it: no lines of sight, no devices but those given."""

    given: tuple[LocatedDevice, ...] = ()

    @cached_property
    def devices(self) -> tuple[LocatedDevice, ...]:
        """The devices that the learner need not place."""
        return self.given

    @cached_property
    def sides(self) -> tuple[SideSight, ...]:
        """Empty: what is hidden from which side is the answer."""
        return ()

    @cached_property
    def stations(self) -> tuple[float, float]:
        """The same stations that the plan shows."""
        return _ends(self.scene, self.rules)

    @property
    def room(self) -> float:
        """Less on the wall, where the drawing shares the height with the question."""
        return min(RELIEF, 0.17 * self.length)

    @property
    def description(self) -> str:
        """The text alternative."""
        return describe_blank(self.scene)

    def _foot(self, taken: Box) -> list[Element]:
        if self.length <= HALF.along:  # the plan beside it has the scale
            return super()._foot(taken)
        lengths = (90.0 / METERS_PER_FOOT, 45.0 / METERS_PER_FOOT) if self.rules.metric else (300.0, 150.0)
        length_ft = lengths[self.length < SHEET.along]  # on a narrow page the heights take more of the line
        run, right, foot = length_ft * self.scale, taken.right - EDGE, taken.bottom - 12
        bar = [(right - run, foot - 7), (right - run, foot), (right, foot), (right, foot - 7)]
        words = TextBlock((TextLine(printed_length(length_ft, self.rules.metric), SMALL),))
        return [
            *super()._foot(taken),
            svg.polyline(bar, "fp-ruler"),
            *words.draw(right - run - 8, foot - 14, "end"),
        ]


def rises_and_falls(scene: Scene) -> bool:
    """Whether the profile matters: without grades the plan alone shows how far drivers see."""
    return bool(scene.road.profile.pvis)


def bends(scene: Scene) -> bool:
    """Whether the road turns, so that the profile alone does not show what hides the vehicle."""
    return any(piece.curvature for piece in scene.road.alignment.placed)


def blank_profile(
    solved: ScenePlacement,
    rules: RuleSet,
    *,
    prefix: str,
    room: DrawingArea = SHEET,
    given: tuple[LocatedDevice, ...] = (),
) -> str:
    """Draw the profile without its answer, as SVG."""
    return BlankProfile(solved, rules, prefix, room.along, given).draw()


def blank_plan(
    solved: ScenePlacement,
    rules: RuleSet,
    *,
    prefix: str,
    room: DrawingArea = SCREEN,
    given: tuple[LocatedDevice, ...] = (),
    flags: float = 0.0,
) -> BlankPlan:
    """Return the plan of a scene without its answer."""
    frame = _frame(solved.scene, rules, room)
    return BlankPlan(solved, rules, prefix, frame, markings(rules), given, flags)


def solved_plan(
    solved: ScenePlacement, rules: RuleSet, *, prefix: str, room: DrawingArea = WALL
) -> ScenePlan:
    """Return the plan of a scene with its answer, over the same length of road as :func:`blank_plan`."""
    return ScenePlan(solved, rules, prefix, _frame(solved.scene, rules, room), markings(rules))


def reach_ft(rules: RuleSet) -> float:
    """Length of road shown toward traffic: the same in every scene under one rule set."""
    return max(LEAST_REACH_FT, rules.farthest_ft + PAST_FT)


def _ends(scene: Scene, rules: RuleSet) -> tuple[float, float]:
    ahead = reach_ft(rules) if scene.kind is RoadKind.TWO_LANE else QUIET_FT
    return -reach_ft(rules), scene.vehicle.length_ft + ahead


def _frame(scene: Scene, rules: RuleSet, room: DrawingArea) -> SceneFrame:
    return fit_projection(scene, *_ends(scene, rules), room)
