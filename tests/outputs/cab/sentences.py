"""What a sentence for a driver must never look like, for the tests that sweep all of them."""

from __future__ import annotations

import re

BROKEN = re.compile(
    r"""undefined|NaN|\bnull\b|\[object|None\b|Infinity|\binf\b
    |\{|\}                      # a slot that was never filled
    |\ \ |\ [.,;:)]|\(\ |[,.;:]{2}|\(\)|^\s|\s$
    |\b1\ (?:feet|paces|meters|lane\ lines|trailer\ lengths|degrees)\b
    |(?<![\d.,½¼¾])0\ (?:ft|m|paces)\b      # a distance of nothing is no distance
    |(?<![\d,])-\d""",
    re.VERBOSE,
)
"""Words of the machine, open slots, spaces and points that doubled, a wrong plural, a distance of nothing."""

SENTENCE = re.compile(r"^(?:[A-Z0-9]).*[.)]$", re.DOTALL)
"""It begins like one and ends like one."""


def broken(texts: list[str]) -> list[str]:
    """The texts that no driver should read."""
    return sorted({text for text in texts if BROKEN.search(text)})
