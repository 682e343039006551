"""The findings about score files, and what to do about each."""

from __future__ import annotations

from forty_paces.messages.languages import Texts

SCORE_FILES = Texts(
    "score-files",
    {
        "unchanged": (
            "take the file again as the tablet saved it, unopened; a spreadsheet rewrites what it saves"
        ),
        "doubled": "{count} of its rows are in {file} too, and count once",
        "doubled-fix": "remove the copy",
        "edition": 'rows of edition "{other}", while this project is edition "{edition}"',
        "edition-fix": "nothing, if the class was taught on that edition: the record names it",
        "too-large": "larger than 20 MB",
        "not-utf-8": "not in UTF-8",
        "unreadable": "cannot be read: {reason}",
        "nothing": "nothing",
        "no-score-file": 'no score file: it begins with "{found}"',
        "after-end": "a line after the last one",
        "field-count": "{found} fields instead of {wanted}: the line was cut or joined",
        "changed": "the line, or one before it, was changed, added or removed",
        "row-count": "the last line counts {said} rows, and there are {counted}",
        "cut": "the last line is missing: the file was cut",
        "formula": '{column} begins as a formula: "{value}"',
        "class": 'class "{value}" is not one to eight letters and digits',
        "number": 'number "{value}" is not a number from 0 to 999',
        "verdict": 'verdict "{value}" is none',
        "verdict-fix": "one of: {known}",
        "day": 'day "{value}" is no day',
        "day-fix": "a day such as 2026-12-04",
        "figure": '{column} "{value}" is no figure',
    },
)
"""Texts of findings; those that end in ``-fix`` say what to do."""
