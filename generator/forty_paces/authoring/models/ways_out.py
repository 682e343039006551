"""Model of content/ways_out.yml: the row of buttons that the cab assistant shows on every step.

An emergency changes while a procedure is read: something catches fire, leaks, somebody is hurt, or the
next step cannot be done safely. Each button leads out of the step in one tap, and one tap leads back.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from forty_paces.authoring.models.procedure import Line, Notice
from forty_paces.authoring.models.record import Id, Record, Service, Text

MOST_WAYS = 4
"""Buttons that fit side by side on a phone 320 px wide, each 48 px high or more."""

LONGEST_BUTTON = 14
"""Characters of a button's text, on two lines of the narrowest phone."""

StepAddress = Annotated[str, Field(pattern=r"^[a-z0-9-]+/[a-z0-9-]+/[a-z0-9-]+$", max_length=180)]
"""PROCEDURE/BLOCK/STEP, such as crash-scene/help/stop-bleeding."""


def _short(value: str) -> str:
    if len(value) > LONGEST_BUTTON:
        raise ValueError(
            f'"{value}" is longer than {LONGEST_BUTTON} characters; write one or two short words'
        )
    return value


class WayOut(Record):
    """One button of the row, and what it opens.

    A way out that opens one procedure and shows nothing itself leads straight to it.
    """

    id: Id = Field(description="Stable name.")
    button: Annotated[Text, AfterValidator(_short)] = Field(
        description=f"The words on the button: {LONGEST_BUTTON} characters or fewer."
    )
    title: Text = Field(description="The heading of what it shows.")
    calls: tuple[Service, ...] = Field(
        default=(), description="Whom its screen offers to call: emergency, dispatch, or both."
    )
    notice: Notice | None = Field(default=None, description="The hazard that is named first.")
    lines: tuple[Line, ...] = Field(default=(), description="What to do, in this order.")
    shows: tuple[StepAddress, ...] = Field(
        default=(), description="Steps of procedures that are shown here too, as PROCEDURE/BLOCK/STEP."
    )
    opens: tuple[Id, ...] = Field(default=(), description="Procedures to open, by id.")

    @model_validator(mode="after")
    def _leads_somewhere(self) -> WayOut:
        if not (self.lines or self.shows or self.opens):
            raise ValueError(f'the way out "{self.id}" leads nowhere; give it "opens", "shows" or "lines"')
        return self

    @property
    def straight_to(self) -> str:
        """The procedure that the button opens at once; empty if the way out has a screen of its own."""
        alone = len(self.opens) == 1 and not (self.lines or self.shows or self.notice)
        return self.opens[0] if alone else ""


class WaysOut(Record):
    """The contents of ways_out.yml."""

    ways: Annotated[tuple[WayOut, ...], Field(min_length=1, max_length=MOST_WAYS)] = Field(
        description="The buttons, from left to right."
    )
