"""The nouns of placement: roads, rules, situations and what the solver answers.

In: nothing. Out: frozen records shared by the simple model, the full-sight
solver, the drawings and the lookup table. Holds no figure of any jurisdiction:
those arrive in a :class:`RuleSet`, made from content/rules.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TypedDict

from forty_paces.geometry.units import m_to_ft, mph_to_kmh, whole_down, whole_up


class RoadKind(StrEnum):
    """How traffic runs past the stopped vehicle."""

    TWO_LANE = "two-lane"
    DIVIDED = "divided"
    ONE_WAY = "one-way"


class Toward(StrEnum):
    """Which approaching traffic a device faces: from behind the vehicle, or from ahead of it."""

    BEHIND = "behind"
    AHEAD = "ahead"


class Surface(StrEnum):
    """What the tires stand on; scales the design deceleration."""

    NORMAL = "normal"
    SNOW = "snow"
    ICE = "ice"


class HiddenBy(StrEnum):
    """What hides the vehicle from a stream of traffic."""

    CURVE = "curve"
    HILL = "hill"
    OBSTRUCTION = "obstruction"
    "A wall, a parked vehicle or the like beside a straight road."


Spot = tuple[float, str]
"""Where a device stands: feet from the vehicle, and the rule's words for where across the road."""


@dataclass(frozen=True, slots=True)
class DeviceRule:
    """One device as the rule states it."""

    toward: Toward
    distance_ft: float
    "From the vehicle, along the road."
    across: str
    "Where across the road: 'traffic side', 'center of lane or shoulder'."
    source: str
    "The citation as printed, such as '49 CFR 392.22(b)(1)(i)'."
    at_most_ft: float | None = None
    "The far end, where the rule gives a range; None where it gives one distance."
    step_ft: float | None = None
    "Whole steps in which the device is moved within its own range; None: it stays at ``distance_ft``."
    remark: str = ""
    "What must be said of this device, printed with its reason."
    within: bool = False
    "True where the rule says 'within' the distance: it is the farthest, and nearer is right too."


@dataclass(frozen=True, slots=True)
class Layout:
    """The devices for one kind of road, within a band of posted speeds."""

    road: RoadKind
    devices: tuple[DeviceRule, ...]
    speed_from_mph: float = 0.0
    speed_below_mph: float = math.inf
    forbidden: str = ""
    "Where devices must not be placed here: the reason, printed; then ``devices`` is empty."
    source: str = ""
    note: str = ""
    "Printed as a caution where this layout is in force, such as when devices are required at all."
    leave_out_first: str = ""
    "Which device to leave out first where there is no time or no room for all; empty where none is named."


@dataclass(frozen=True, slots=True)
class HiddenViewRule:
    """How far the outermost device may move where a hill, curve or obstruction hides the vehicle."""

    within_ft: float
    "The rule speaks of hiding places up to this far from the vehicle."
    from_ft: float
    to_ft: float
    step_ft: float
    "Whole steps in which a device is moved."
    source: str


@dataclass(frozen=True, slots=True)
class VisibilityClass:
    """How far away a device or vehicle can be made out at all."""

    id: str
    title: str
    detection_ft: float
    "Reach for what does not reflect; devices are placed with it."
    source: str
    reflecting_ft: float | None = None
    "Reach for a reflecting device by night; None where one reach holds for everything."


class Reaches(TypedDict):
    """The two reaches of a visibility class."""

    detection_ft: float
    reflecting_ft: float | None


@dataclass(frozen=True, slots=True)
class RuleSet:
    """The placement rules of one jurisdiction, as data."""

    id: str
    title: str
    metric: bool
    "True where the rule is written in meters; distances are then shown in meters first."
    pace_ft: float
    "The pace the rule implies (10 ft in 4 paces, 3 m in 4 paces)."
    time_limit_s: float | None
    "Devices out within this time of stopping; None where the rule sets none."
    time_limit_source: str
    layouts: tuple[Layout, ...]
    hidden: HiddenViewRule | None
    visibility: tuple[VisibilityClass, ...]
    default_visibility: str
    cautions: tuple[str, ...] = ()
    "Printed with every placement: flame restriction, district exemption and the like."
    posted_in: str = "mph"
    "The unit of posted speeds there: 'mph' or 'km/h'."
    lane_line_ft: float | None = None
    "One broken lane line and the gap after it, where a marking manual gives them; None: not counted."
    traffic_keeps: str = "right"
    "The side of the road that traffic keeps to there: 'right' or 'left'. Drawings follow it."
    center_line: str = "yellow"
    "The color that parts opposing traffic there: 'yellow' or 'white'. Drawings follow it."

    @property
    def farthest_ft(self) -> float:
        """The farthest from the vehicle that any layout, or the moving of a device, may put one."""
        asked = [device.at_most_ft or device.distance_ft for one in self.layouts for device in one.devices]
        return max([*asked, self.hidden.to_ft if self.hidden else 0.0])

    @property
    def unit_ft(self) -> float:
        """One whole unit of length as the rule set writes it: 1 ft, or 1 m in feet."""
        return m_to_ft(1.0) if self.metric else 1.0

    def down_ft(self, length_ft: float) -> float:
        """A length that drivers get, rounded down to whole units of the rule set; inf stays inf."""
        return length_ft if math.isinf(length_ft) else whole_down(length_ft, self.unit_ft)

    def up_ft(self, length_ft: float) -> float:
        """A length that is needed, rounded up to whole units of the rule set; inf stays inf."""
        return length_ft if math.isinf(length_ft) else whole_up(length_ft, self.unit_ft)

    def posted(self, speed_mph: float) -> float:
        """A speed as a sign shows it there: in the posted unit, to the whole number; inf stays inf."""
        if math.isinf(speed_mph):
            return speed_mph
        return float(round(mph_to_kmh(speed_mph) if self.posted_in == "km/h" else speed_mph))

    def layout(self, road: RoadKind, speed_mph: float) -> Layout:
        """The layout in force; ``LookupError`` where the rule set has none for this road and speed.

        Speeds are compared as posted: 49.7 mph reads 80 km/h on a sign and belongs to the band from 80 km/h.
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
        """Reach for a reflecting device in that class; None where it has one reach for everything."""
        return self.visibility_class(visibility).reflecting_ft

    def reaches(self, visibility: str | None = None) -> Reaches:
        """Both reaches of a class by the names of a :class:`Situation`'s fields."""
        seen = self.visibility_class(visibility)
        return {"detection_ft": seen.detection_ft, "reflecting_ft": seen.reflecting_ft}

    def visibility_class(self, visibility: str | None = None) -> VisibilityClass:
        """A visibility class by its id, by default the rule set's own default."""
        wanted = visibility or self.default_visibility
        for visibility_class in self.visibility:
            if visibility_class.id == wanted:
                return visibility_class
        raise LookupError(f"rule set {self.id!r} has no visibility class {wanted!r}")


@dataclass(frozen=True, slots=True)
class Situation:
    """A stopped vehicle described by the simple model of one hiding place a side."""

    road: RoadKind
    speed_mph: float
    detection_ft: float
    hidden_behind_ft: float = math.inf
    "Available sight distance behind: to where its driver loses sight of the pavement; inf: no limit."
    hidden_ahead_ft: float = math.inf
    grade_pct: float = 0.0
    "Grade met by traffic from behind, downhill negative; traffic from ahead meets its opposite."
    surface: Surface = Surface.NORMAL
    reflecting_ft: float | None = None
    "Reach for a reflecting device by night; None: as ``detection_ft``."
    hidden_by: tuple[HiddenBy, ...] = (HiddenBy.CURVE,)
    "What cuts the sight, on either side; of more than one the worse answer counts."
    hidden_from_ft: float | None = None
    "Distance to the near end of the curve or hill; 0: the vehicle stands in it; None: unknown."
    hidden_to_ft: float | None = None
    "Distance to the far end of an obstruction beside a straight road; None: unknown."


@dataclass(frozen=True, slots=True)
class Device:
    """One device, placed."""

    toward: Toward
    distance_ft: float
    paces: int
    across: str
    moved: bool
    "True where a hidden view moved it out from the rule's base distance."
    reason: str
    source: str


@dataclass(frozen=True, slots=True)
class Approach:
    """What the drivers coming from one side get."""

    toward: Toward
    needed_ft: float
    "Stopping sight distance for the situation: its posted speed, its grade, its surface."
    warning_ft: float
    "Longest warning from devices or vehicle, measured to the vehicle, rounded down to whole units."
    vehicle_only_ft: float
    "Warning without any device, rounded down likewise."
    ample: bool
    "Whether the rounded warning reaches the need rounded up. No verdict for a driver: print both figures."
    shortfall_ft: float
    "The rounded need less the rounded warning."
    shortfall_s: float
    gain_ft: float
    "warning_ft - vehicle_only_ft."
    gain_s: float
    look_ft: float = 0.0
    "For how far traffic must be in view from a moved device, rounded up; 0 where none moved."
    look_s: float = 0.0
    "The same by night: from headlights in sight until they pass, to the next half second."
    reflecting_warning_ft: float | None = None
    "The warning with the reach for reflecting devices; None where one reach holds for everything."
    needed_by: str = "car"
    "Whose stopping distance ``needed_ft`` is: 'car' or 'truck'."


@dataclass(frozen=True, slots=True)
class Walk:
    """Carrying the devices out on foot and coming back."""

    distance_ft: float
    seconds: int
    order: tuple[str, ...]
    "One sentence a leg, in walking order."
    limit_s: float | None
    share_of_limit: float | None
    "seconds / limit_s; above 1 the rule's time cannot be kept."


@dataclass(frozen=True, slots=True)
class Placement:
    """The answer: where each device goes, why, and what it buys."""

    rules: str
    road: RoadKind
    devices: tuple[Device, ...]
    approaches: tuple[Approach, ...]
    "One for each stream of traffic; a divided or one-way road has only BEHIND."
    walk: Walk
    cautions: tuple[str, ...] = field(default=())

    def approach(self, toward: Toward) -> Approach | None:
        """What drivers from that side get, or None where no traffic comes from there."""
        return next((a for a in self.approaches if a.toward is toward), None)
