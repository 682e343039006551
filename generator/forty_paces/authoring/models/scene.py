"""Models of content/scenes/*.yml: a road with its curves, grades, sight obstructions and the stopped vehicle.

:meth:`SceneFile.scene` converts to the :class:`~forty_paces.geometry.scene.Scene` from which
sight distances and placement are computed. The field descriptions are also the text of the
authors' manual.

Stations run along the center of the travel lane in feet: 0 at the rear of the
stopped vehicle, negative behind it. Offsets run across the road from that line in
feet: positive to the right, negative to the left.

Every key that ends in ``_ft`` may be written with ``_m`` instead, in meters, and
``speed_mph`` as ``speed_kmh``.
"""

from __future__ import annotations

import math
from enum import StrEnum
from typing import Annotated

from pydantic import Field, model_validator

from forty_paces.authoring.models.record import Id, MeasuredRecord, Text, YesNo
from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.records import RoadKind, Surface
from forty_paces.geometry.road import (
    Alignment,
    Arc,
    Carriageway,
    Piece,
    Road,
    Tangent,
    Turn,
    divided,
    one_way,
    two_lane,
)
from forty_paces.geometry.scene import Blocker, Eye, Light, Outline, Scene, Stands, StoppedVehicle, Strip

Station = Annotated[float, Field(ge=-20_000, le=20_000, allow_inf_nan=False)]
Offset = Annotated[float, Field(ge=-1_000, le=1_000, allow_inf_nan=False)]
Length = Annotated[float, Field(gt=0, le=20_000, allow_inf_nan=False)]
Height = Annotated[float, Field(gt=0, le=500, allow_inf_nan=False)]
Width = Annotated[float, Field(ge=0, le=200, allow_inf_nan=False)]
Grade = Annotated[float, Field(ge=-20, le=20, allow_inf_nan=False)]


class RoadSide(StrEnum):
    """The side of the road that traffic keeps to."""

    RIGHT = "right"
    LEFT = "left"


class PlanPiece(MeasuredRecord):
    """One element of the horizontal alignment: a straight, or a curve of one radius."""

    length_ft: Length = Field(description="Its length along the center of the travel lane, in feet.")
    turn: Turn | None = Field(
        default=None,
        description="left or right in the vehicle's direction of travel; leave out for a straight.",
    )
    radius_ft: Annotated[float, Field(ge=50, le=50_000, allow_inf_nan=False)] | None = Field(
        default=None,
        description="Radius at the center of the travel lane, in feet; leave out for a straight.",
    )

    @model_validator(mode="after")
    def _bend_or_straight(self) -> PlanPiece:
        if (self.turn is None) != (self.radius_ft is None):
            raise ValueError(
                "a bend needs both its turn and its radius_ft; give both, or neither for a straight"
            )
        if self.radius_ft is not None and self.length_ft >= math.pi * self.radius_ft:
            raise ValueError(
                f"a bend of {self.length_ft:g} ft with a radius of {self.radius_ft:g} ft turns by half "
                "a circle or more; shorten it or widen its radius"
            )
        return self

    def piece(self) -> Piece:
        """The element as a geometry object."""
        if self.turn is None or self.radius_ft is None:
            return Tangent(self.length_ft)
        return Arc(self.length_ft, self.radius_ft, self.turn)


class Plan(MeasuredRecord):
    """The horizontal alignment. Beyond both ends the road continues straight."""

    start_ft: Station = Field(description="Station at which the first piece begins.")
    pieces: tuple[PlanPiece, ...] = Field(
        description="Straights and bends in the vehicle's direction of travel."
    )


class GradeChange(MeasuredRecord):
    """A change of grade: a crest or a sag."""

    at_ft: Station = Field(description="Station at which the two grades would meet.")
    grade_after_pct: Grade = Field(
        description="Grade after it in percent, in the vehicle's direction of travel; downhill is negative."
    )
    curve_ft: Annotated[float, Field(ge=0, le=5_000, allow_inf_nan=False)] = Field(
        description="Length of the vertical curve in feet, half of it on either side of at_ft."
    )


class Grades(MeasuredRecord):
    """The vertical alignment."""

    first_pct: Grade = Field(
        default=0.0, description="Grade at the beginning in percent; downhill is negative."
    )
    changes: tuple[GradeChange, ...] = Field(
        default=(), description="Crests and sags in the vehicle's direction of travel."
    )

    @model_validator(mode="after")
    def _in_order(self) -> Grades:
        try:
            self.profile()
        except ValueError as error:
            raise ValueError(f"{error}; move them apart or shorten their curves") from None
        return self

    def profile(self) -> Profile:
        """The profile as a geometry object; ``ValueError`` if vertical curves overlap."""
        pvis = (Pvi(change.at_ft, change.grade_after_pct, change.curve_ft) for change in self.changes)
        return Profile(self.first_pct, tuple(pvis))


class Section(MeasuredRecord):
    """The cross section of the road."""

    lane_ft: Annotated[float, Field(ge=8, le=20, allow_inf_nan=False)] = Field(
        default=12.0, description="Width of a lane in feet."
    )
    lanes: int = Field(
        default=1,
        ge=1,
        le=6,
        description="Lanes that run the vehicle's way; it uses the one at the outer edge.",
    )
    shoulder_ft: Width = Field(description="Shoulder on the vehicle's side, in feet; 0 for none.")
    far_shoulder_ft: Width = Field(
        description="Shoulder at the other edge of the pavement, in feet; 0 for none."
    )
    median_ft: Width = Field(
        default=40.0, description="Between the paved edges of a divided road's carriageways, in feet."
    )
    keeps: RoadSide = Field(default=RoadSide.RIGHT, description="The side traffic keeps to: right or left.")
    lane_lines: YesNo = Field(default=False, description="yes where broken lane lines are painted.")

    def carriageways(self, kind: RoadKind) -> tuple[Carriageway, ...]:
        """The carriageways as geometry objects, mirrored where traffic keeps to the left."""
        match kind:
            case RoadKind.TWO_LANE:
                ways = two_lane(self.lane_ft, self.shoulder_ft, self.far_shoulder_ft)
            case RoadKind.ONE_WAY:
                ways = one_way(self.lanes, self.lane_ft, self.shoulder_ft, self.far_shoulder_ft)
            case RoadKind.DIVIDED:
                ways = divided(
                    self.lanes, self.lane_ft, self.shoulder_ft, self.far_shoulder_ft, self.median_ft
                )
        return ways if self.keeps is RoadSide.RIGHT else tuple(way.mirrored() for way in ways)


class StandingVehicle(MeasuredRecord):
    """The stopped vehicle."""

    length_ft: Annotated[float, Field(gt=0, le=200, allow_inf_nan=False)] = Field(
        description="Overall length in feet."
    )
    width_ft: Annotated[float, Field(gt=0, le=20, allow_inf_nan=False)] = Field(
        default=8.5, description="Width in feet."
    )
    trailer_ft: Annotated[float, Field(gt=0, le=100, allow_inf_nan=False)] | None = Field(
        default=None, description="Length of its trailer in feet; leave out where it pulls none."
    )
    stands: Stands = Field(
        description="shoulder or lane: which of them it occupies. It stands in the middle, or at the "
        "outer edge of a shoulder that is narrower than the vehicle."
    )
    can_roll: YesNo = Field(default=False, description="yes if it could still creep to a better place.")


class Along(MeasuredRecord):
    """A line that follows the road."""

    from_ft: Station = Field(description="Station at which it begins.")
    to_ft: Station = Field(description="Station at which it ends.")
    offset_ft: Offset = Field(description="Offset of the face that the road's users see.")


class Corner(MeasuredRecord):
    """A corner of an obstruction that does not follow the road."""

    at_ft: Station = Field(description="Its station.")
    offset_ft: Offset = Field(description="Its offset.")


class ViewBlocker(MeasuredRecord):
    """A sight obstruction that follows the road or has corners of its own."""

    title: Text = Field(description="What it is, as said in the middle of a sentence: 'the cut slope'.")
    height_ft: Height | None = Field(
        default=None, description="Height above the road beside it; leave out where nobody sees over it."
    )
    along: Along | None = Field(default=None, description="Where it follows the road: from, to, offset.")
    corners: tuple[Corner, ...] = Field(
        default=(), description="Where it does not follow the road: two corners or more, in order."
    )

    @model_validator(mode="after")
    def _one_shape(self) -> ViewBlocker:
        if (self.along is None) == (not self.corners):
            raise ValueError(f"{self.title} needs one shape; write along or corners, not both")
        if len(self.corners) == 1:
            raise ValueError(f"{self.title} has one corner; write two or more")
        if self.along is not None and self.along.to_ft <= self.along.from_ft:
            raise ValueError(f"{self.title} ends before it begins; write the lower station as from_ft")
        return self

    def blocker(self) -> Blocker:
        """The obstruction as a geometry object."""
        height = math.inf if self.height_ft is None else self.height_ft
        if self.along is not None:
            return Strip(self.title, self.along.from_ft, self.along.to_ft, self.along.offset_ft, height)
        corners = tuple((corner.at_ft, corner.offset_ft) for corner in self.corners)
        return Outline(self.title, corners, closed=len(corners) > 2, height_ft=height)


class SceneFile(MeasuredRecord):
    """The contents of a scene file."""

    id: Id = Field(description="The file's name without .yml.")
    title: Text = Field(description="What kind of spot it is, in a few words.")
    place: Text = Field(description="Where it is.")
    position: int = Field(ge=1, le=99, description="Its place in the list of scenes, plain ones first.")
    teaching_point: Text = Field(description="What a class should take away from it.")
    road: RoadKind = Field(description="two-lane, divided or one-way, as the placement rules use the words.")
    speed_mph: Annotated[float, Field(gt=0, le=90, allow_inf_nan=False)] = Field(
        description="Posted speed in miles per hour; speed_kmh where it is posted in km/h."
    )
    surface: Surface = Field(default=Surface.NORMAL, description="normal, snow or ice.")
    light: Light = Field(default=Light.DAY, description="day, night or fog: how the drawing looks.")
    visibility: Id | None = Field(
        default=None, description="A visibility class of the rule set; leave out where detection_ft is given."
    )
    detection_ft: Length | None = Field(
        default=None,
        description="How far along the road anything can be made out, in feet, where no class fits.",
    )
    eye: Eye = Field(default=Eye.CAR, description="car or truck: the height of the approaching driver's eye.")
    section: Section = Field(description="The road across.")
    plan: Plan = Field(description="The road from above.")
    grades: Grades = Field(default=Grades(), description="The road from the side; level if left out.")
    vehicle: StandingVehicle = Field(description="The stopped vehicle.")
    blockers: tuple[ViewBlocker, ...] = Field(default=(), description="What blocks the view beside the road.")
    notes: tuple[Text, ...] = Field(
        default=(), description="What else the class should know, a sentence each."
    )

    @model_validator(mode="after")
    def _fits_together(self) -> SceneFile:
        if (self.visibility is None) == (self.detection_ft is None):
            raise ValueError("how far can one see here? write either visibility or detection_ft")
        if self.vehicle.stands is Stands.SHOULDER and self.section.shoulder_ft == 0:
            raise ValueError("there is no shoulder to stand on; write stands: lane or give shoulder_ft")
        if self.vehicle.trailer_ft is not None and self.vehicle.trailer_ft >= self.vehicle.length_ft:
            raise ValueError("the trailer is as long as the whole vehicle; length_ft includes the tractor")
        try:
            self.scene()
        except ValueError as error:
            raise ValueError(f"{error}; see plan, section and blockers") from None
        return self

    def scene(self) -> Scene:
        """The scene as a geometry object; ``ValueError`` if its parts do not fit together."""
        ways = self.section.carriageways(self.road)
        vehicle = StoppedVehicle(
            length_ft=self.vehicle.length_ft,
            width_ft=self.vehicle.width_ft,
            offset_ft=self._vehicle_offset_ft(),
            stands=self.vehicle.stands,
            trailer_ft=self.vehicle.trailer_ft,
        )
        return Scene(
            id=self.id,
            title=self.title,
            place=self.place,
            position=self.position,
            teaching_point=self.teaching_point,
            kind=self.road,
            road=Road(
                Alignment(self.plan.start_ft, tuple(piece.piece() for piece in self.plan.pieces)),
                self.grades.profile(),
                ways,
            ),
            vehicle=vehicle,
            speed_mph=self.speed_mph,
            blockers=tuple(blocker.blocker() for blocker in self.blockers),
            surface=self.surface,
            eye=self.eye,
            light=self.light,
            visibility=self.visibility,
            detection_ft=self.detection_ft,
            can_roll=self.vehicle.can_roll,
            lane_lines=self.section.lane_lines,
            notes=self.notes,
        )

    def _vehicle_offset_ft(self) -> float:
        if self.vehicle.stands is Stands.LANE:
            return 0.0
        section, width = self.section, self.vehicle.width_ft
        # On a shoulder narrower than the vehicle it stops at the outer edge and extends into the lane.
        beside = section.shoulder_ft / 2 if section.shoulder_ft >= width else section.shoulder_ft - width / 2
        offset = section.lane_ft / 2 + beside
        return offset if section.keeps is RoadSide.RIGHT else -offset
