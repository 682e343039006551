"""Texts that the cab file's script fills in; all others are in the templates.

``{name}`` marks what the script puts in. The script reads them as ``words.name``, so that another
language can be laid over the file by replacing this mapping and the keyed texts of the page.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

WORDS: Mapping[str, str] = MappingProxyType(
    {
        "recall_say": "Say line {line} of {lines} by heart, then show it.",
        "recall_show": "Show line {line}",
        "recall_compare": "This is line {line} of {lines}. Did you say it?",
        "recall_next": "Next line",
        "recall_known": "I knew them",
        "practice_title": "Practice: {title}",
        "practice_closed": "Practice: this screen is closed, and nothing is written here.",
        "practice_no_call": "Practice: no call is made.",
        "trip_untouched": "Nothing is ticked yet.",
        "trip_open": "Begun {begun}. {done} of {of} points are ticked.",
        "trip_done": "Every point is ticked, {of} of {of}. Begun {begun}, ended {ended}.",
        "trip_written": "Written {time}",
        "trip_vehicle": "Vehicle: {vehicle}",
        "trip_signed": "Signed",
        "trip_saved": "Saved as {name}, where this browser keeps downloads.",
    }
)
"""Text by the name that the script uses."""
