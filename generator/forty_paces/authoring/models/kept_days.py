"""How long a browser keeps what people wrote or answered in it, as a carrier sets it."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

LEAST_KEPT_DAYS = 14
"""Twice the week of warning, so that a record is never born with its warning."""
LEAST_SCORES_DAYS = 35
"""Four weeks, because a lesson comes back then with what was missed, and a week of warning."""
MOST_DAYS = 3650

RecordDays = Annotated[
    int | None,
    Field(
        ge=LEAST_KEPT_DAYS,
        le=MOST_DAYS,
        description="Days that a tablet keeps a record after its last entry; it warns for a week before it "
        "erases it. Left out, a record stays until somebody erases it.",
    ),
]
ScoreDays = Annotated[
    int | None,
    Field(
        ge=LEAST_SCORES_DAYS,
        le=MOST_DAYS,
        description="Days that a device keeps the classroom results of a class after its last answer; it "
        "warns for a week before it erases them. Left out, they stay until the trainer wipes them.",
    ),
]
