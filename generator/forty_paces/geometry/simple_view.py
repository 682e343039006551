"""What drivers from one side see, where nothing but one available sight distance is known.

The model of one curve, one hill or one obstruction a side. On single curves, on long crests and
beside straight roads it promises no more than the scene engine gives, by trial and not by proof.
Limit: where a driver who loses sight of the vehicle is still on the grade before a short crest, a
device may show later than the hill factor says; the look-back check is what finds that out.
Lengths in feet, speeds in miles per hour.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from forty_paces.geometry import units
from forty_paces.geometry.records import HiddenBy, Spot

HILL_FACTOR = 0.80
"""Over a hill a low device shows later than tail lamps.

Crest sight grows with √h1 + √h2 (AASHTO Green Book): eye 3.5 ft, lamps 2.0 ft, half of a 17-inch
triangle's height 0.61 ft give 0.8079, rounded down.
"""

LEAST_VIEW_S = 2.5
"A device seen for less than the design reaction time (Green Book) counts for nothing."

BEYOND_FT = 10.0
"How far past the end of the view a device stands where no more is known: four paces."

_NEAR_TRAFFIC = ("traffic side", "beside the vehicle")
"Round the outside of a curve a device here shows later than the vehicle's middle: it is not counted."

_SLACK_FT = 1.0
"The model may differ from a road drawn to scale by this much; a view just long enough is not counted."


@dataclass(frozen=True, slots=True)
class SimpleView:
    """One side: available sight distance, what cuts it, both ends of that, and two reaches."""

    sight_ft: float
    "Available sight distance to the vehicle: from where drivers see the pavement beside it; inf: no limit."
    detection_ft: float
    "Reach within which the vehicle is made out, and a device where no other reach is given."
    speed_mph: float
    reflecting_ft: float | None = None
    "Reach within which a reflecting device is made out by night; None: as ``detection_ft``."
    hidden_by: tuple[HiddenBy, ...] = (HiddenBy.CURVE,)
    "More than one: the worse answer counts."
    near_ft: float | None = None
    "Distance to the near end of a curve or hill; 0: the vehicle stands in it; None: unknown."
    far_ft: float | None = None
    "Distance to the far end of an obstruction beside a straight road; None: unknown."

    @property
    def hidden_ft(self) -> float:
        """The available sight distance, as :class:`~forty_paces.geometry.placement.View` names it."""
        return self.sight_ft

    @property
    def vehicle_ft(self) -> float:
        """Warning that the vehicle itself gives."""
        return min(self.sight_ft, self.detection_ft)

    @property
    def beyond_ft(self) -> float | None:
        """The least distance for a device whose view is not known; None where the model knows it."""
        if math.isinf(self.sight_ft) or all(self._is_counted(cause) for cause in self.hidden_by):
            return None
        return self.sight_ft + BEYOND_FT

    @property
    def over_hill(self) -> bool:
        """Whether a hill may hide what is looked at."""
        return math.isfinite(self.sight_ft) and HiddenBy.HILL in self.hidden_by

    def warning_ft(self, devices: Sequence[Spot], *, reflecting: bool = False) -> float:
        """Longest warning that the vehicle and these devices give, measured to the vehicle."""
        reach = self.reflecting_ft if reflecting and self.reflecting_ft is not None else self.detection_ft
        return max([self.vehicle_ft, *(self._device_ft(*spot, reach) for spot in devices)])

    def _device_ft(self, distance_ft: float, across: str, reach_ft: float) -> float:
        if math.isinf(self.sight_ft):
            return distance_ft + reach_ft
        if HiddenBy.CURVE in self.hidden_by and across in _NEAR_TRAFFIC:
            return 0.0
        return min(self._by_cause_ft(cause, distance_ft, reach_ft) for cause in self.hidden_by)

    def _by_cause_ft(self, cause: HiddenBy, distance_ft: float, reach_ft: float) -> float:
        """Warning of a device under one cause; 0 where it counts for nothing."""
        if not self._is_counted(cause):
            return 0.0
        if cause is HiddenBy.OBSTRUCTION:
            clear = self.far_ft is not None and distance_ft >= self.far_ft + BEYOND_FT - units.FUZZ
            return distance_ft + reach_ft if clear else 0.0
        return distance_ft + min(self._view_ft(cause), reach_ft)

    def _is_counted(self, cause: HiddenBy) -> bool:
        """Whether the figures tell for how long a device is seen, and that is long enough to count."""
        if cause is HiddenBy.OBSTRUCTION:
            return self.far_ft is not None
        if self.near_ft is None:
            return False
        return self._view_ft(cause) >= LEAST_VIEW_S * units.mph_to_fps(self.speed_mph) + _SLACK_FT

    def _view_ft(self, cause: HiddenBy) -> float:
        """For how far a device past the near end of a curve or hill is in view."""
        factor = HILL_FACTOR if cause is HiddenBy.HILL else 1.0
        return factor * max(self.sight_ft - (self.near_ft or 0.0), 0.0)
