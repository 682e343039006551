"""Deterministic random choices, identical in Python and in the classroom's JavaScript.

xorshift32 with shifts 13, 17, 5 (Marsaglia, Journal of Statistical Software 8(14), 2003). It does not change
with the Python version, and the script has the same implementation. Not for security.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import TypeVar

Item = TypeVar("Item")

_MASK = 0xFFFFFFFF
_SPREAD = 0x9E3779B1
"""An odd number near 2^32 over the golden ratio, so that neighboring seeds start far apart."""


class SeededRandom:
    """A generator seeded with an integer from 0 to 2^32 - 1."""

    def __init__(self, number: int) -> None:
        self._state = ((number & _MASK) * _SPREAD + 1) & _MASK or 1
        for _ in range(4):
            self._next()

    @classmethod
    def named(cls, *words: object) -> SeededRandom:
        """A generator seeded with words, such as a lesson's id and a variant (from their SHA-256)."""
        text = "\n".join(str(word) for word in words)
        return cls(int.from_bytes(hashlib.sha256(text.encode()).digest()[:4], "big"))

    def below(self, count: int) -> int:
        """A random integer from 0 up to but not including ``count``."""
        return self._next() % count

    def shuffled(self, items: Sequence[Item]) -> tuple[Item, ...]:
        """The items in random order (Fisher-Yates shuffle, from the end)."""
        order = list(items)
        for last in range(len(order) - 1, 0, -1):
            other = self.below(last + 1)
            order[last], order[other] = order[other], order[last]
        return tuple(order)

    def _next(self) -> int:
        x = self._state
        x ^= (x << 13) & _MASK
        x ^= x >> 17
        x ^= (x << 5) & _MASK
        self._state = x
        return x
