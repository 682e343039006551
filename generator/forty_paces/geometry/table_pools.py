"""Pools of a lookup table: each length, warning and text is stored once and referenced by index.

Also encodes indexes as two characters and writes pools as columns of the table.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, Generic, TypeVar

from forty_paces.geometry import explanation, units
from forty_paces.geometry.answer import plain, tenths
from forty_paces.geometry.records import RuleSet

ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_!#$%()*+,./:;=?@[]^`{|}~"
"Printable ASCII but for space and the five characters that JSON or HTML would escape: \" \\ < > & and '."

Entry = TypeVar("Entry", bound=Hashable)


def code(place: int) -> str:
    """Encode an index as two characters; ``ValueError`` for one beyond the square of the alphabet's size."""
    if not 0 <= place < len(ALPHABET) ** 2:
        raise ValueError(f"place {place} does not fit into two characters")
    return ALPHABET[place // len(ALPHABET)] + ALPHABET[place % len(ALPHABET)]


def place_of(coded: str) -> int:
    """Decode the index of a two-character code."""
    return len(ALPHABET) * ALPHABET.index(coded[0]) + ALPHABET.index(coded[1])


class Pool(Generic[Entry]):
    """Unique entries in order of first appearance."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []
        self._places: dict[Entry, int] = {}

    def place(self, entry: Entry) -> int:
        """Return the index of the entry, adding it if new."""
        if entry not in self._places:
            self._places[entry] = len(self.entries)
            self.entries.append(entry)
        return self._places[entry]


class Lengths:
    """Distances from the vehicle; sorted once all are known, so that indexes can be compared."""

    def __init__(self, rules: RuleSet) -> None:
        self.rules = rules
        self.entries: list[float] = []
        self._gathered: set[float] = set()

    def add(self, length_ft: float) -> None:
        """Add a length; lengths that differ only by float noise are one entry."""
        self._gathered.add(_clean(length_ft))

    def freeze(self) -> None:
        """Sort the lengths once all have been added."""
        self.entries = sorted(self._gathered)

    def place(self, length_ft: float) -> int:
        """Return the index of an added length."""
        return self.entries.index(_clean(length_ft))

    def columns(self) -> dict[str, list[Any]]:
        """Return figures and texts for each length."""
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
    """Warning or stopping distances, in figures and in words."""

    def __init__(self, rules: RuleSet, written: Callable[[RuleSet, float], str], pooled: bool = True) -> None:
        self.rules, self._written, self._pooled = rules, written, pooled
        self.entries: list[float] = []

    def place(self, length_ft: float) -> int:
        """Return the index of the distance; added if new, or always where ``pooled`` is False."""
        clean = _clean(length_ft)
        if self._pooled and clean in self.entries:
            return self.entries.index(clean)
        self.entries.append(clean)
        return len(self.entries) - 1

    def columns(self) -> dict[str, list[Any]]:
        """Return figures and texts for each distance."""
        rules, lengths = self.rules, self.entries
        return {
            "ft": [tenths(length) for length in lengths],
            "own": [plain(units.ft_to_m(length) if rules.metric else length) for length in lengths],
            "text": [self._written(rules, length) for length in lengths],
        }


def _clean(length_ft: float) -> float:
    """Remove float noise, so that 200 m plus 10 m is 210 m."""
    return round(length_ft, 9)
