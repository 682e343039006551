"""Format lengths and speeds for the classroom in whole units of the rule set.

The unit is the foot, or the meter if the rule set is written in meters.
The engine and the marking stay in feet, and :meth:`LengthFormat.ft` converts a count of units back to feet.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from forty_paces.geometry import units
from forty_paces.geometry.records import RuleSet
from forty_paces.messages import quantities
from forty_paces.messages.quantities import posted_speed

TENTHS = 1


@dataclass(frozen=True, slots=True)
class LengthFormat:
    """Formats the lengths and speeds of one rule set."""

    rules: RuleSet

    @property
    def unit(self) -> str:
        """'ft' or 'm'."""
        return "m" if self.rules.metric else "ft"

    @property
    def name(self) -> str:
        """'feet' or 'meters'."""
        return "meters" if self.rules.metric else "feet"

    @property
    def step(self) -> int:
        """How far one key press moves a device, and the spacing of computed warning distances, in units."""
        return 5 if self.rules.metric else 10

    def _count(self, length_ft: float) -> float:
        return units.ft_to_m(length_ft) if self.rules.metric else length_ft

    def own(self, length_ft: float) -> float:
        """The length in the rule set's unit, to a tenth; an int if it is whole."""
        length = round(self._count(length_ft), TENTHS)
        return int(length) if float(length).is_integer() else length

    def up(self, length_ft: float) -> int:
        """The length in whole units, rounded up (for a distance that must be enough)."""
        return int(units.whole_up(self._count(length_ft)))

    def down(self, length_ft: float) -> int:
        """The length in whole units, rounded down (for a distance that must not be overstated)."""
        return int(units.whole_down(self._count(length_ft)))

    def ft(self, count: float) -> float:
        """The length of ``count`` units, in feet."""
        return units.m_to_ft(count) if self.rules.metric else count

    def text(self, length_ft: float) -> str:
        """'100 ft', or '30 m'."""
        return quantities.length(self.rules, length_ft)

    def paced(self, length_ft: float, paces: int) -> str:
        """'100 ft (40 paces)', or '30 m (40 paces)'."""
        return f"{self.text(length_ft)} ({quantities.paces(paces)})"

    def pace(self) -> str:
        """The length of a pace in the rule set: '2.5 ft', or '0.75 m'."""
        pace_ft = self.rules.pace_ft
        return f"{units.ft_to_m(pace_ft):.2g} m" if self.rules.metric else f"{pace_ft:g} ft"

    def posted(self, speed_mph: float) -> str:
        """The posted speed: '55 mph' or '80 km/h'."""
        return posted_speed(self.rules, speed_mph)

    def posted_count(self, speed_mph: float) -> int:
        """The posted speed as a number without its unit."""
        return round(units.mph_to_kmh(speed_mph) if self.rules.posted_in == "km/h" else speed_mph)

    def for_script(self, reach: int) -> dict[str, dict[str, Any]]:
        """Data with which a page's script formats lengths and speeds; empty for feet and mph.

        ``paces`` has an entry for every whole unit up to ``reach``.
        """
        if not self.rules.metric and self.rules.posted_in == "mph":
            return {}
        data: dict[str, Any] = {"unit": self.unit, "name": self.name, "posted": self.rules.posted_in}
        if self.rules.metric:
            lengths_ft = (self.ft(count) for count in range(reach + 1))
            data["paces"] = [units.paces(length_ft, self.rules.pace_ft) for length_ft in lengths_ft]
        return {"measure": data}
