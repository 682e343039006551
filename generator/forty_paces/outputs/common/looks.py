"""The carrier's colors in the style sheet of design tokens."""

from __future__ import annotations

import re

from forty_paces.authoring.models.fleet import Looks

TOKENS = "css/tokens.css"

COLORED = ("action-ground", "link", "focus")
"""Tokens that take the carrier's color; signal words, drawings and text keep theirs."""


def colored(tokens: str, looks: Looks) -> str:
    """The style sheet with the carrier's colors in its day block and its night block."""
    day, at, night = tokens.partition("@media screen")
    return _with(day, looks.color) + at + _with(night, looks.night_color)


def _with(block: str, color: str | None) -> str:
    if color is None:
        return block
    return re.sub(rf"(--fp-(?:{'|'.join(COLORED)}):\s*)[^;]+;", rf"\g<1>{color};", block)
