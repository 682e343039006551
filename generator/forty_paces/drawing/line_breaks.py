"""Finds where a line of text may break, by Unicode line breaking (UAX 14).

The rules are implemented by the library (uniseg). A shortcut handles what they cannot change:
a space between two letters or digits is always a break opportunity (LB18), and no rule looks
past such a space, so the stretches between them are processed separately and cached.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from uniseg.linebreak import line_break_units

_PLAIN_SPACE = re.compile(r"(?<=[A-Za-z0-9.,:;]) (?=[A-Za-z0-9])")
_PLAIN_WORD = re.compile(r"[A-Za-z0-9]+[.,:;]?")


def unbreakable_parts(text: str) -> Iterator[str]:
    """Yield the text split at every break opportunity; a space belongs to the part before it."""
    stretches = _PLAIN_SPACE.split(text)
    for number, stretch in enumerate(stretches, 1):
        *before, last = _parts(stretch)
        yield from before
        yield last if number == len(stretches) else f"{last} "


@lru_cache(maxsize=20_000)  # the same words appear on many drawings and cards
def _parts(stretch: str) -> tuple[str, ...]:
    if _PLAIN_WORD.fullmatch(stretch):
        return (stretch,)
    return tuple(line_break_units(stretch)) or ("",)
