"""Decision sight distance: what a driver needs to notice something unexpected, decide and act unhurried.

Longer than stopping sight distance, which only suffices to brake for it at once. For a vehicle stopped
beside or in the road it is the distance at which drivers can choose another lane or a lower speed rather
than brake hard. It is a yardstick of road design, not part of any placing rule.

Source: AASHTO Green Book, table of decision sight distance, in the reprint of the Texas Department of
Transportation, Roadway Design Manual, table 4-25 (read); the Ohio DOT reprint agrees from 30 to 70 mph. The
California Highway Design Manual, table 201.7, gives the same figures for maneuver C (read in a copy).
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType

from forty_paces.geometry.units import FUZZ


class Maneuver(StrEnum):
    """The avoidance maneuvers of the published table."""

    STOP_RURAL = "a"
    STOP_URBAN = "b"
    CHANGE_RURAL = "c"
    "A change of speed, path or direction."
    CHANGE_SUBURBAN = "d"
    CHANGE_URBAN = "e"


PUBLISHED_FT: Mapping[int, tuple[int, int, int, int, int]] = MappingProxyType(
    {
        30: (220, 490, 450, 535, 620),
        35: (275, 590, 525, 625, 720),
        40: (330, 690, 600, 715, 825),
        45: (395, 800, 675, 800, 930),
        50: (465, 910, 750, 890, 1030),
        55: (535, 1030, 865, 980, 1135),
        60: (610, 1150, 990, 1125, 1280),
        65: (695, 1275, 1050, 1220, 1365),
        70: (780, 1410, 1105, 1275, 1445),
        75: (875, 1545, 1180, 1365, 1545),
        80: (970, 1685, 1260, 1455, 1650),
    }
)
"Feet by design speed in mph, in the order of :class:`Maneuver`."


def decision_sight_ft(speed_mph: float) -> Mapping[Maneuver, int] | None:
    """Return the published distances for a speed in feet; None where the table does not reach.

    A speed between two rows takes the row above it. The table holds for level roads and good surfaces.
    """
    if speed_mph < min(PUBLISHED_FT) - FUZZ:
        return None
    row = next((row for row in sorted(PUBLISHED_FT) if row >= speed_mph - FUZZ), None)
    return None if row is None else dict(zip(Maneuver, PUBLISHED_FT[row], strict=True))
