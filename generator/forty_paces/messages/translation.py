"""What a translated page says of itself, and the words of the switch between languages."""

from __future__ import annotations

from forty_paces.messages.languages import Texts, reviewer

TRANSLATION = Texts(
    "translation",
    {
        "unread": "Translated from English. No speaker of the language has reviewed it yet.",
        "unread-short": "Translation not reviewed by a speaker.",
        "read": "Translation reviewed by {reviewer}.",
    },
)
"""Who has read a translation."""


def translation_note(*, short: bool = False) -> str:
    """Who has read the translation in force, or that nobody has; empty for English."""
    name = reviewer()
    if name is None:
        return TRANSLATION["unread-short" if short else "unread"]
    return TRANSLATION["read"].format(reviewer=name) if name else ""
