"""Drawing lots that come out the same everywhere.

In: a number, or words that stand for one. Out: choices and orders that any
machine repeats. Refuses to be secret, and to change with a Python version: the
classroom's script holds the same few lines, and both must deal alike.

The generator is Marsaglia's xorshift with the shifts 13, 17, 5 (Journal of
Statistical Software 8(14), 2003), on 32 bits.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from typing import TypeVar

Thing = TypeVar("Thing")

_MASK = 0xFFFFFFFF
_SPREAD = 0x9E3779B1
"""An odd number near 2^32 over the golden ratio: neighboring numbers start far apart."""


class SeededRandom:
    """A run of draws from one number, 0 to 2^32 - 1."""

    def __init__(self, number: int) -> None:
        self._state = ((number & _MASK) * _SPREAD + 1) & _MASK or 1
        for _ in range(4):
            self._next()

    @classmethod
    def named(cls, *words: object) -> SeededRandom:
        """Lots for words, such as a lesson's id and a variant."""
        text = "\n".join(str(word) for word in words)
        return cls(int.from_bytes(hashlib.sha256(text.encode()).digest()[:4], "big"))

    def below(self, count: int) -> int:
        """A whole number from 0 up to but not including ``count``."""
        return self._next() % count

    def one(self, things: Sequence[Thing]) -> Thing:
        """One of them."""
        return things[self.below(len(things))]

    def shuffled(self, things: Sequence[Thing]) -> tuple[Thing, ...]:
        """All of them in a drawn order (Fisher and Yates, from the end)."""
        order = list(things)
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
