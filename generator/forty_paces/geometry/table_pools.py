"""Pools: every figure of a lookup table stands in it once, and is pointed to by its place.

In: lengths, warnings, texts as they come up. Out: their places, and columns for the
table. Refuses to know what the places are used for.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, Generic, TypeVar

from forty_paces.geometry import explanation, units
from forty_paces.geometry.answer import plain, tenths
from forty_paces.geometry.records import RuleSet

ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"

Entry = TypeVar("Entry", bound=Hashable)


def code(place: int) -> str:
    """Two characters for a place from 0 to 4,095."""
    if not 0 <= place < len(ALPHABET) ** 2:
        raise ValueError(f"place {place} does not fit into two characters")
    return ALPHABET[place // len(ALPHABET)] + ALPHABET[place % len(ALPHABET)]


def place_of(coded: str) -> int:
    """The place a code stands for."""
    return len(ALPHABET) * ALPHABET.index(coded[0]) + ALPHABET.index(coded[1])


class Pool(Generic[Entry]):
    """Entries in the order in which they came up, each once."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []
        self._places: dict[Entry, int] = {}

    def place(self, entry: Entry) -> int:
        """Where the entry stands; added if it is new."""
        if entry not in self._places:
            self._places[entry] = len(self.entries)
            self.entries.append(entry)
        return self._places[entry]


class Lengths:
    """Distances from the vehicle; sorted once all are known, so that places may be compared."""

    def __init__(self, rules: RuleSet) -> None:
        self.rules = rules
        self.entries: list[float] = []
        self._gathered: set[float] = set()

    def add(self, length_ft: float) -> None:
        """One more length; float noise apart from a known one, it is the same."""
        self._gathered.add(_clean(length_ft))

    def freeze(self) -> None:
        """All are known now."""
        self.entries = sorted(self._gathered)

    def place(self, length_ft: float) -> int:
        """Where a gathered length stands."""
        return self.entries.index(_clean(length_ft))

    def columns(self) -> dict[str, list[Any]]:
        """Figures and words for each length."""
        rules, lengths = self.rules, self.entries
        cycle = rules.lane_line_ft
        return {
            "ft": [plain(length) for length in lengths],
            "own": [plain(units.ft_to_m(length) if rules.metric else length) for length in lengths],
            "paces": [units.paces(length, rules.pace_ft) for length in lengths],
            "text": [explanation.length(rules, length) for length in lengths],
            "other": [units.feet(length) if rules.metric else units.meters(length) for length in lengths],
            "paces_text": [units.in_paces(length, rules.pace_ft) for length in lengths],
            "paced": [explanation.paced(rules, length) for length in lengths],
            "lines": [units.in_cycles(length, cycle) if cycle else "" for length in lengths],
        }


class Spans:
    """Stretches of road that drivers get or need, in figures and in words."""

    def __init__(self, rules: RuleSet, written: Callable[[RuleSet, float], str], pooled: bool = True) -> None:
        self.rules, self._written, self._pooled = rules, written, pooled
        self.entries: list[float] = []

    def place(self, length_ft: float) -> int:
        """Where the stretch stands; added if it is new, or always where nothing is pooled."""
        clean = _clean(length_ft)
        if self._pooled and clean in self.entries:
            return self.entries.index(clean)
        self.entries.append(clean)
        return len(self.entries) - 1

    def columns(self) -> dict[str, list[Any]]:
        """Figures and words for each stretch."""
        rules, lengths = self.rules, self.entries
        return {
            "ft": [tenths(length) for length in lengths],
            "own": [plain(units.ft_to_m(length) if rules.metric else length) for length in lengths],
            "text": [self._written(rules, length) for length in lengths],
        }


def _clean(length_ft: float) -> float:
    """Without float noise, so that 200 m and 10 m more is 210 m."""
    return round(length_ft, 9)
