"""What drivers in one approach direction see when only the available sight distance is known.

The model has one curve, one hill or one obstruction in each direction. On single curves, on long
crests and beside straight roads it promises no more than the scene engine gives; this was tested,
not proven. Limit: where a driver who loses sight of the vehicle is still on the grade before a short
crest, a device may show later than the hill factor predicts; a second limit, :data:`HILL_SPAN`, covers that.
Limit: where nothing hides the vehicle itself, a device nearer to a bend or crest may still be hidden.
Lengths in feet, speeds in miles per hour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from forty_paces.geometry import units
from forty_paces.geometry.records import HiddenBy, Spot

HILL_FACTOR = 0.80
"""Over a hill a low device comes into view later than tail lamps do.

Crest sight distance grows with √h1 + √h2 (AASHTO Green Book): eye 3.5 ft, lamps 2.0 ft, half of a
17-inch triangle's height 0.61 ft give 0.8079, rounded down.
"""

HILL_SPAN = 4.0
"""Over a hill a device is taken to be in view for no more than this many times its distance from the vehicle.

A driver still on the grade before a short crest may see the vehicle from very far and a low device from
much nearer. From the geometry of a parabolic crest, wherever the hill factor alone promises too much,
the device is in view for 4.37 times its distance or more; found by search, not proven, rounded down.
"""

LEAST_VIEW_S = 2.5
"A device in view for less than the design reaction time (Green Book) is not counted."

BEYOND_FT = 10.0
"How far past the end of the view to put a device whose own view is unknown: four paces."

NEAR_TRAFFIC = ("traffic side", "beside the vehicle")
"Around the outside of a curve a device here shows later than the vehicle's centerline: not counted."

SLACK_FT = 1.0
"A road drawn to scale may differ from the model by this; a view only just long enough does not count."


class View(Protocol):
    """What drivers in one approach direction can see, and from how far."""

    @property
    def hidden_ft(self) -> float:
        """Available sight distance to the vehicle; inf where nothing hides it."""

    @property
    def vehicle_ft(self) -> float:
        """Warning distance that the vehicle itself gives."""

    @property
    def beyond_ft(self) -> float | None:
        """Least distance at which to put a device whose own view is unknown; None where the view is known."""

    @property
    def over_hill(self) -> bool:
        """Whether a hill may be the obstruction."""

    @property
    def detection_ft(self) -> float:
        """Detection range of objects that do not reflect."""

    @property
    def reflecting_ft(self) -> float | None:
        """Detection range of a reflecting device by night; None where one range applies to everything."""

    def warning_ft(self, devices: Sequence[Spot], *, reflecting: bool = False) -> float:
        """Longest warning distance, measured to the vehicle, that the vehicle and these devices give."""


@dataclass(frozen=True, slots=True)
class SimpleView:
    """One approach direction: available sight distance, what limits it and where, and detection ranges."""

    sight_ft: float
    "Available sight distance: from where drivers see the pavement beside the vehicle; inf: no limit."
    detection_ft: float
    "Detection range of the vehicle, and of a device where no other range is given."
    speed_mph: float
    reflecting_ft: float | None = None
    "Detection range of a reflecting device by night; None: as ``detection_ft``."
    hidden_by: tuple[HiddenBy, ...] = (HiddenBy.CURVE,)
    "Of several the worst result counts."
    near_ft: float | None = None
    "Distance to the near end of a curve or hill; 0: the vehicle is within it; None: unknown."
    far_ft: float | None = None
    "Distance to the far end of an obstruction beside a straight road; None: unknown."

    @property
    def hidden_ft(self) -> float:
        """The available sight distance, as :class:`View` names it."""
        return self.sight_ft

    @property
    def vehicle_ft(self) -> float:
        """Warning distance that the vehicle itself gives."""
        return min(self.sight_ft, self.detection_ft)

    @property
    def beyond_ft(self) -> float | None:
        """Least distance at which to put a device whose view is unknown; None where the model knows it."""
        if math.isinf(self.sight_ft) or all(self._is_counted(cause) for cause in self.hidden_by):
            return None
        return self.sight_ft + BEYOND_FT

    @property
    def over_hill(self) -> bool:
        """Whether a hill may be the obstruction."""
        return math.isfinite(self.sight_ft) and HiddenBy.HILL in self.hidden_by

    def warning_ft(self, devices: Sequence[Spot], *, reflecting: bool = False) -> float:
        """Longest warning distance that the vehicle and these devices give, measured to the vehicle."""
        reach = self.reflecting_ft if reflecting and self.reflecting_ft is not None else self.detection_ft
        return max([self.vehicle_ft, *(self._device_ft(*spot, reach) for spot in devices)])

    def _device_ft(self, distance_ft: float, across: str, reach_ft: float) -> float:
        if math.isinf(self.sight_ft):
            return distance_ft + reach_ft
        if HiddenBy.CURVE in self.hidden_by and across in NEAR_TRAFFIC:
            return 0.0
        return min(self._by_cause_ft(cause, distance_ft, reach_ft) for cause in self.hidden_by)

    def _by_cause_ft(self, cause: HiddenBy, distance_ft: float, reach_ft: float) -> float:
        """Warning distance of a device under one kind of obstruction; 0 where it is not counted."""
        if not self._is_counted(cause):
            return 0.0
        if cause is HiddenBy.OBSTRUCTION:
            clear = self.far_ft is not None and distance_ft >= self.far_ft + BEYOND_FT - units.FUZZ
            return distance_ft + reach_ft if clear else 0.0
        view_ft = self._view_ft(cause)
        if cause is HiddenBy.HILL:
            view_ft = min(view_ft, HILL_SPAN * distance_ft)
            if view_ft < self._least_ft:
                return 0.0
        return distance_ft + min(view_ft, reach_ft)

    @property
    def _least_ft(self) -> float:
        """A device in view over less than this is not counted."""
        return LEAST_VIEW_S * units.mph_to_fps(self.speed_mph) + SLACK_FT

    def _is_counted(self, cause: HiddenBy) -> bool:
        """Whether the known distances determine how long a device is in view, and that is long enough."""
        if cause is HiddenBy.OBSTRUCTION:
            return self.far_ft is not None
        if self.near_ft is None:
            return False
        return self._view_ft(cause) >= self._least_ft

    def _view_ft(self, cause: HiddenBy) -> float:
        """Distance over which a device past the near end of a curve or hill is in view."""
        factor = HILL_FACTOR if cause is HiddenBy.HILL else 1.0
        return factor * max(self.sight_ft - (self.near_ft or 0.0), 0.0)
