"""The records of placement: rule sets, situations and the computed placement.

Shared by the simple model, the solver for scenes and the drawings. Contains no figure of
any jurisdiction: those are in a :class:`RuleSet`, built from content/rules.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypedDict

from forty_paces.geometry.units import m_to_ft, mph_to_kmh, whole_down, whole_up


class RoadKind(StrEnum):
    """How traffic flows past the stopped vehicle."""

    TWO_LANE = "two-lane"
    DIVIDED = "divided"
    ONE_WAY = "one-way"


class Toward(StrEnum):
    """Approach direction: traffic from behind the vehicle, or from ahead of it."""

    BEHIND = "behind"
    AHEAD = "ahead"


class Surface(StrEnum):
    """Condition of the road surface; determines the design deceleration."""

    NORMAL = "normal"
    SNOW = "snow"
    ICE = "ice"


class HiddenBy(StrEnum):
    """The kind of obstruction that hides the vehicle from approaching drivers."""

    CURVE = "curve"
    HILL = "hill"
    OBSTRUCTION = "obstruction"
    "A wall, a parked vehicle or the like beside a straight road."


Spot = tuple[float, str]
"Position of a device: feet from the vehicle, and the rule's words for the position across the road."


@dataclass(frozen=True, slots=True)
class DeviceRule:
    """One device as the rule specifies it."""

    toward: Toward
    distance_ft: float
    "From the vehicle, along the road."
    across: str
    "Position across the road: 'traffic side', 'center of lane or shoulder'."
    source: str
    "The citation as printed, such as '49 CFR 392.22(b)(1)(i)'."
    at_most_ft: float | None = None
    "Far end of the range where the rule gives one; None where it gives a single distance."
    step_ft: float | None = None
    "Step in which the device is moved within its own range; None: it stays at ``distance_ft``."
    remark: str = ""
    "A remark on this device, printed with its reason."
    within: bool = False
    "True where the rule says 'within' the distance: that is the maximum, and nearer complies too."


@dataclass(frozen=True, slots=True)
class DeviceLayout:
    """The devices for one kind of road within a band of posted speeds."""

    road: RoadKind
    devices: tuple[DeviceRule, ...]
    speed_from_mph: float = 0.0
    speed_below_mph: float = math.inf
    forbidden: str = ""
    "The reason, printed, where devices must not be placed; ``devices`` is then empty."
    source: str = ""
    note: str = ""
    "Printed as a caution where this layout applies, for example when devices are required at all."
    leave_out_first: str = ""
    "The device to leave out first where time or space does not allow all; empty where none is named."

    def farthest_ft(self, hidden: HiddenViewRule | None) -> dict[Toward, float]:
        """The farthest from the vehicle that a device may be placed, in each direction that has any."""
        farthest: dict[Toward, float] = {}
        for device in self.devices:
            reach = max(device.at_most_ft or device.distance_ft, hidden.to_ft if hidden else 0.0)
            farthest[device.toward] = max(farthest.get(device.toward, 0.0), reach)
        return farthest


@dataclass(frozen=True, slots=True)
class HiddenViewRule:
    """How far the outermost device may move where a hill, curve or obstruction hides the vehicle."""

    within_ft: float
    "The rule covers obstructions up to this distance from the vehicle."
    from_ft: float
    to_ft: float
    step_ft: float
    "Step in which a device is moved."
    source: str


@dataclass(frozen=True, slots=True)
class VisibilityClass:
    """How far away a device or vehicle can be detected."""

    id: str
    title: str
    detection_ft: float
    "Detection range of objects that do not reflect; devices are placed with it."
    source: str
    reflecting_ft: float | None = None
    "Detection range of a reflecting device by night; None where one range applies to everything."


class Reaches(TypedDict):
    """The two detection ranges of a visibility class, in feet."""

    detection_ft: float
    reflecting_ft: float | None


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The placement rules of one jurisdiction."""

    id: str
    title: str
    metric: bool
    "True where the rule is written in meters; distances are then shown in meters first."
    pace_ft: float
    "The pace the rule implies (10 ft in 4 paces, 3 m in 4 paces)."
    time_limit_s: float | None
    "Devices must be out within this time of stopping; None where the rule sets no limit."
    time_limit_source: str
    layouts: tuple[DeviceLayout, ...]
    hidden: HiddenViewRule | None
    visibility: tuple[VisibilityClass, ...]
    default_visibility: str
    cautions: tuple[str, ...] = ()
    "Printed with every placement: flame restriction, district exemption and similar."
    posted_in: str = "mph"
    "Unit of posted speeds: 'mph' or 'km/h'."
    lane_line_ft: float | None = None
    "Length of a broken lane line plus its gap, from a marking manual; None: lane lines are not counted."
    traffic_keeps: str = "right"
    "Side of the road that traffic keeps to: 'right' or 'left'. Drawings follow it."
    center_line: str = "yellow"
    "Color of the line between opposing traffic: 'yellow' or 'white'. Drawings follow it."

    @property
    def farthest_ft(self) -> float:
        """The farthest from the vehicle that any layout, or moving a device, may place a device."""
        asked = [device.at_most_ft or device.distance_ft for one in self.layouts for device in one.devices]
        return max([*asked, self.hidden.to_ft if self.hidden else 0.0])

    @property
    def unit_ft(self) -> float:
        """One whole unit of length of the rule set: 1 ft, or 1 m in feet."""
        return m_to_ft(1.0) if self.metric else 1.0

    def down_ft(self, length_ft: float) -> float:
        """Round a length that drivers get down to whole units of the rule set; inf stays inf."""
        return length_ft if math.isinf(length_ft) else whole_down(length_ft, self.unit_ft)

    def up_ft(self, length_ft: float) -> float:
        """Round a needed length up to whole units of the rule set; inf stays inf."""
        return length_ft if math.isinf(length_ft) else whole_up(length_ft, self.unit_ft)

    def posted(self, speed_mph: float) -> float:
        """Return a speed as posted: in the posted unit, rounded to a whole number; inf stays inf."""
        if math.isinf(speed_mph):
            return speed_mph
        return float(round(mph_to_kmh(speed_mph) if self.posted_in == "km/h" else speed_mph))

    def layout(self, road: RoadKind, speed_mph: float) -> DeviceLayout:
        """Return the layout in force; ``LookupError`` where there is none for this road and speed.

        Speeds are compared as posted: 49.7 mph is posted as 80 km/h and belongs to the band from 80 km/h.
        """
        posted = self.posted(speed_mph)
        for layout in self.layouts:
            if layout.road is road and self.posted(layout.speed_from_mph) <= posted < self.posted(
                layout.speed_below_mph
            ):
                return layout
        raise LookupError(f"rule set {self.id!r} has no layout for a {road} road at {speed_mph:g} mph")

    def detection_ft(self, visibility: str | None = None) -> float:
        """Detection range of a visibility class, by default the rule set's own default."""
        return self.visibility_class(visibility).detection_ft

    def reflecting_ft(self, visibility: str | None = None) -> float | None:
        """Detection range of a reflecting device in that class; None where one range applies to all."""
        return self.visibility_class(visibility).reflecting_ft

    def reaches(self, visibility: str | None = None) -> Reaches:
        """Both detection ranges of a class, keyed like the fields of a :class:`Situation`."""
        seen = self.visibility_class(visibility)
        return {"detection_ft": seen.detection_ft, "reflecting_ft": seen.reflecting_ft}

    def visibility_class(self, visibility: str | None = None) -> VisibilityClass:
        """Return a visibility class by id, by default the rule set's own; ``LookupError`` if unknown."""
        wanted = visibility or self.default_visibility
        for visibility_class in self.visibility:
            if visibility_class.id == wanted:
                return visibility_class
        raise LookupError(f"rule set {self.id!r} has no visibility class {wanted!r}")


@dataclass(frozen=True, slots=True)
class Situation:
    """A stopped vehicle in the simple model: at most one obstruction in each approach direction."""

    road: RoadKind
    speed_mph: float
    detection_ft: float
    hidden_behind_ft: float = math.inf
    "Available sight distance behind: to where a driver there loses sight of the pavement; inf: no limit."
    hidden_ahead_ft: float = math.inf
    grade_pct: float = 0.0
    "Grade for traffic from behind, downhill negative; traffic from ahead has the opposite grade."
    surface: Surface = Surface.NORMAL
    reflecting_ft: float | None = None
    "Detection range of a reflecting device by night; None: as ``detection_ft``."
    hidden_by: tuple[HiddenBy, ...] = (HiddenBy.CURVE,)
    "What limits the sight distance, in either direction; of several the worst result counts."
    hidden_from_ft: float | None = None
    "Distance to the near end of the curve or hill; 0: the vehicle is within it; None: unknown."
    hidden_to_ft: float | None = None
    "Distance to the far end of an obstruction beside a straight road; None: unknown."


Figure = float | str | tuple[int, ...]
"A figure of a message: feet, seconds, device numbers, or words of the rule set and the scene."


@dataclass(frozen=True, slots=True)
class Message:
    """A sentence about a placement by its id and figures; :mod:`forty_paces.messages` has the words."""

    id: str
    "The group and the key, such as 'reasons.moved'."
    figures: Mapping[str, Figure] = field(default_factory=dict, hash=False)
    "By name, lengths unrounded and with their unit in the name."


Sentences = tuple[Message | str, ...]
"The sentences of one text; those of the rule file stand as they are."


@dataclass(frozen=True, slots=True)
class Device:
    """One placed device."""

    toward: Toward
    distance_ft: float
    paces: int
    across: str
    moved: bool
    "True where a limited view moved it out from the rule's base distance."
    reason: Sentences
    source: str
    reached: bool = True
    "False where there is no room to walk to it: it stays in the vehicle, and no warning counts it."


@dataclass(frozen=True, slots=True)
class Stop:
    """Where a walk from the vehicle must end, because there is no room to walk on."""

    toward: Toward
    distance_ft: float
    "The last whole foot from the vehicle that can be walked to."
    room_ft: float
    "The width that is left there."
    beside: str
    "What stands beside the road, as used within a sentence: 'the parapet'."


@dataclass(frozen=True, slots=True)
class Approach:
    """Warning and stopping sight distance of one approach direction."""

    toward: Toward
    needed_ft: float
    "Stopping sight distance for the posted speed, grade and surface of the situation."
    warning_ft: float
    "Longest warning from devices or vehicle, measured to the vehicle, rounded down to whole units."
    vehicle_only_ft: float
    "Warning without any device, rounded down to whole units."
    ample: bool
    "Whether the rounded warning reaches the rounded-up need. Not a verdict for drivers: print both figures."
    shortfall_ft: float
    "The rounded need minus the rounded warning."
    shortfall_s: float
    gain_ft: float
    "warning_ft - vehicle_only_ft."
    gain_s: float
    look_ft: float = 0.0
    "Distance over which traffic must be in view from a moved device, rounded up; 0 where none moved."
    look_s: float = 0.0
    "The same by night: time from headlights in sight until they pass, rounded up to half seconds."
    reflecting_warning_ft: float | None = None
    "Warning with the detection range of reflecting devices; None where one range applies to everything."
    needed_by: str = "car"
    "The vehicle whose stopping distance ``needed_ft`` is: 'car' or 'truck'."


@dataclass(frozen=True, slots=True)
class Walk:
    """Walking out with the devices and back."""

    distance_ft: float
    seconds: int
    order: tuple[Sentences, ...]
    "One text per leg, in walking order."
    limit_s: float | None
    share_of_limit: float | None
    "seconds / limit_s; above 1 the time limit cannot be met."
    stops: tuple[Stop, ...] = ()
    "In each direction where there is no room to walk to every device; nobody is sent past them."


@dataclass(frozen=True, slots=True)
class Placement:
    """The computed placement: where each device goes, why, and the warning it gives."""

    rules: str
    road: RoadKind
    devices: tuple[Device, ...]
    approaches: tuple[Approach, ...]
    "One per approach direction; a divided or one-way road has only BEHIND."
    walk: Walk
    cautions: tuple[Sentences, ...] = field(default=())

    def approach(self, toward: Toward) -> Approach | None:
        """Return the approach for that direction, or None where no traffic comes from there."""
        return next((a for a in self.approaches if a.toward is toward), None)
