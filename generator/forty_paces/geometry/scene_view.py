"""What drivers in one approach direction see of a fully described road.

Every lane that a driver may come in has its own view; the worst lane counts.
An interruption of the view shorter than :data:`GLIMPSE_S` is ignored (an assumption), and a device
that the road lets be seen for less than the design reaction time is not counted. By night a
sag curve limits the reach of the headlights: the detection range is capped by the headlight formula.
On a bend, that the beam points off the road ahead is not modeled. Lengths in feet.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from forty_paces.geometry import units
from forty_paces.geometry.records import Spot, Toward
from forty_paces.geometry.scene import (
    Light,
    Scene,
    center_offset_ft,
    station_ft,
    traffic_side_offset_ft,
)
from forty_paces.geometry.sight import (
    DEVICE_TARGET_FT,
    SURFACE,
    FirstSight,
    Target,
    Viewer,
    first_sight,
    vehicle_target,
    viewers,
)
from forty_paces.geometry.simple_view import LEAST_VIEW_S

GLIMPSE_S = 0.3
"Interruptions of the view shorter than this are ignored: an assumption, no source."


def offset_ft(scene: Scene, across: str) -> float:
    """Return a device's offset for the rule's position across; default: center of lane or shoulder."""
    if across in ("traffic side", "beside the vehicle"):
        return traffic_side_offset_ft(scene)
    return scene.vehicle.offset_ft if across == "in line with the vehicle" else center_offset_ft(scene)


@dataclass(frozen=True, slots=True)
class LaneView:
    """What the drivers in one lane see."""

    scene: Scene
    toward: Toward
    watch: Viewer
    detection_ft: float
    reflecting_ft: float | None
    horizon_ft: float
    vehicle: FirstSight
    "First sight of the vehicle from geometry alone, detection range not applied."
    _sights: dict[Spot, FirstSight] = field(default_factory=dict, repr=False, compare=False)

    @property
    def vehicle_ft(self) -> float:
        """Warning distance that the vehicle itself gives."""
        return min(self.vehicle.distance_ft, self._lit_ft(0.0, self.detection_ft))

    def device_sight(self, distance_ft: float, across: str) -> FirstSight:
        """First sight of a device from geometry alone, searched as far as any detection range."""
        spot = (distance_ft, across)
        if spot not in self._sights:
            station, offset = station_ft(self.scene, self.toward, distance_ft), offset_ft(self.scene, across)
            target = Target(station, offset, DEVICE_TARGET_FT)
            limit = max(self.detection_ft, self.reflecting_ft or 0.0, self.least_ft)
            self._sights[spot] = first_sight(self.watch, target, limit, self.glimpse_ft)
        return self._sights[spot]

    @property
    def least_ft(self) -> float:
        """A device in view over less than this distance is not counted."""
        return LEAST_VIEW_S * units.mph_to_fps(self.scene.speed_mph)

    @property
    def glimpse_ft(self) -> float:
        """Interruptions of the view shorter than this distance are ignored."""
        return GLIMPSE_S * units.mph_to_fps(self.scene.speed_mph)

    def seen_from_ft(self, distance_ft: float, across: str, *, reflecting: bool = False) -> float:
        """Distance before the device from which it is seen; 0 where it is not counted."""
        sight_ft = self.device_sight(distance_ft, across).distance_ft
        if sight_ft < self.least_ft:
            return 0.0
        reach = self.reflecting_ft if reflecting and self.reflecting_ft is not None else self.detection_ft
        return min(sight_ft, self._lit_ft(distance_ft, reach))

    def warning_ft(self, devices: Sequence[Spot], *, reflecting: bool = False) -> float:
        """Longest warning distance that the vehicle and these devices give, measured to the vehicle."""
        best = self.vehicle_ft
        for distance, across in devices:
            seen_from = self.seen_from_ft(distance, across, reflecting=reflecting)
            if seen_from:
                best = max(best, distance + seen_from)
        return best

    def made_out_ft(self, distance_ft: float) -> float:
        """From how far before it a thing at a distance from the vehicle is made out, if nothing hides it."""
        return self._lit_ft(distance_ft, self.detection_ft)

    def _lit_ft(self, distance_ft: float, reach_ft: float) -> float:
        """Cap a detection range, by night, at the reach of headlights in any sag between eye and target."""
        if self.scene.light is not Light.NIGHT:
            return reach_ft
        station = station_ft(self.scene, self.toward, distance_ft)
        eye = station - reach_ft if self.watch.forward else station + reach_ft
        return min([reach_ft, *self.scene.road.profile.sag_reaches_ft(min(station, eye), max(station, eye))])


@dataclass(frozen=True)
class SceneView:
    """What drivers in one approach direction see of a scene: a View backed by the sight engine."""

    scene: Scene
    toward: Toward
    detection_ft: float
    reflecting_ft: float | None
    horizon_ft: float
    "Limit of the geometric search; nothing beyond it can change the result."
    observers: tuple[Viewer, ...] = field(default=(), repr=False)
    "Observers to use in place of new ones: those of the same road at another speed or detection range."

    @cached_property
    def lanes(self) -> tuple[LaneView, ...]:
        """One view per lane that carries this traffic, the lane nearest to the vehicle first."""
        target = vehicle_target(self.scene, self.toward)
        limit = math.nextafter(self.horizon_ft, math.inf)
        glimpse_ft = GLIMPSE_S * units.mph_to_fps(self.scene.speed_mph)
        return tuple(
            LaneView(
                self.scene,
                self.toward,
                watch,
                self.detection_ft,
                self.reflecting_ft,
                self.horizon_ft,
                first_sight(watch, target, limit, glimpse_ft),
            )
            for watch in self.observers or viewers(self.scene, self.toward)
        )

    @property
    def hidden_ft(self) -> float:
        """Available sight distance to the vehicle from the worst lane; inf where nothing hides it."""
        return min(lane.vehicle.distance_ft for lane in self.lanes)

    @property
    def vehicle_ft(self) -> float:
        """Warning distance that the vehicle itself gives to the worst lane."""
        return min(lane.vehicle_ft for lane in self.lanes)

    @property
    def beyond_ft(self) -> float | None:
        """Always None: the sight engine knows the view of every device."""
        return None

    @property
    def over_hill(self) -> bool:
        """Whether the road surface hides the vehicle from farther away."""
        return any(lane.vehicle.hidden_by == SURFACE for lane in self.lanes)

    def warning_ft(self, devices: Sequence[Spot], *, reflecting: bool = False) -> float:
        """Longest warning distance that the vehicle and these devices give to drivers in the worst lane."""
        return min(lane.warning_ft(devices, reflecting=reflecting) for lane in self.lanes)

    def worst_lane(self, devices: Sequence[Spot]) -> LaneView:
        """The lane that gets the shortest warning; of equal ones the nearer to the vehicle."""
        return min(self.lanes, key=lambda lane: lane.warning_ft(devices))
