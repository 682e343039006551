"""The texts of scenarios that scripts and Python code fill in; those without slots are in the templates.

``SCENARIO`` is filled by the script: the pages carry it in their data.
"""

from __future__ import annotations

from forty_paces.messages.languages import Texts

SCENARIO = Texts(
    "scenario",
    {
        "place": "Question {number}",
        "then": "What follows",
        "the_end": "The end",
        "debrief": "Looking back",
        "your_choice": "You: {choice}",
        "best_choice": "Better: {choice}",
        "was_best": "The best choice.",
        "not_best": "There was a better one.",
        "all_best": "You took the best choice each time.",
        "off_at": "You left the best path at question {number}.",
        "off_often": (
            "You left the best path at question {number}, and {count} of your {of} choices were not the best."
        ),
        "beside": "Beside traffic on foot: your path {yours}, the best path {best}.",
        "taken_back": "Choices taken back: {count}.",
        "none": "none",
        "seconds": "{n} s",
    },
)
"""Texts of a scenario's page."""

OUTCOMES = Texts("outcomes", {"safe": "Safe", "lucky": "Lucky", "harm": "Harm"})
"""How it ended, as a word beside the text."""

TRIPS = Texts("trips", {"before": "Before the trip", "during": "On the trip", "after": "After the event"})

PAPER = Texts(
    "booklet",
    {
        "booklet": "Scenario on paper: {title}",
        "how": (
            "{story} Begin at 1. Read what you meet, decide, and turn to the number behind your choice. "
            "Write the numbers down as you go: they are your path."
        ),
        "choice": "{letter}. {do} Turn to {number}.",
        "go-on": "Go on at {number}.",
        "end": "{outcome}. The end.",
        "best-path": "The best path",
        "off-path": "Off the best path",
        "best": "At {number}: {letter}. {do}",
        "line": "{line} ({where})",
        "teacher": "What to draw out",
        "foot": "{carrier}, edition {edition}, {signature}. {title}.",
    },
)
"""Texts of the printed booklet."""

LISTS = Texts("lists", {"before-trip": "Before the trip", "after-event": "After the event"})
"""How a line of a list names where it stands."""
