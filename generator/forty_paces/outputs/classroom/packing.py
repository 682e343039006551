"""Whole numbers as short text, for frames that a page's script unpacks (``js/classroom/unpack.js``).

A number is zigzagged (0, -1, 1, -2 become 0, 1, 2, 3). Below 64 it is one character, below 1660 two, and
beyond that four. The alphabet has no character that HTML or JSON would have to escape.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

ALPHABET = "!#$%()*+,-./0123456789:;=?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[]^_`abcdefghijklmnopqrstuvwxyz{|}~"[:84]
_BASE = len(ALPHABET)
_ONE = 64
_LEADS = _BASE - _ONE - 1
_TWO = _ONE + _LEADS * _BASE
_LARGEST = _BASE**3 - 1


def pack(numbers: Iterable[int]) -> str:
    """Return the numbers as text; ``ValueError`` for one too large."""
    return "".join(_packed(number) for number in numbers)


def deltas(points: Iterable[tuple[int, ...]]) -> Iterator[int]:
    """Each point's difference from the one before; the first from zero."""
    last: tuple[int, ...] = ()
    for point in points:
        yield from (value - (last[index] if last else 0) for index, value in enumerate(point))
        last = point


def _packed(number: int) -> str:
    count = 2 * number if number >= 0 else -2 * number - 1
    if count < _ONE:
        return ALPHABET[count]
    if count < _TWO:
        lead, rest = divmod(count - _ONE, _BASE)
        return ALPHABET[_ONE + lead] + ALPHABET[rest]
    if count > _LARGEST:
        raise ValueError(f"{number} is too large to be packed")
    high, low = divmod(count, _BASE)
    return ALPHABET[-1] + ALPHABET[high // _BASE] + ALPHABET[high % _BASE] + ALPHABET[low]
