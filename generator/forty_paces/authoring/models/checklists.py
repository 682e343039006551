"""Models of content/before_trip.yml, after_event.yml and ways_out.yml.

The pre-trip list, the calls, record and deadlines after an emergency, and the row of buttons that the cab
assistant shows on every step.

A point of a list never says "check": it names the item, the state that is right, and what
to do if it is not so.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from forty_paces.authoring.models.procedure import Line, Notice, Review, When
from forty_paces.authoring.models.record import Day, Id, Record, Service, SourceIds, Text, YesNo


class ChecklistPoint(Record):
    """One item to inspect, and the state that is right."""

    id: Id = Field(description="Stable name of this point within the list.")
    what: Text = Field(description="The thing, in two to five words.")
    right: Text = Field(description="The state that is right, with its value and unit.")
    otherwise: Text = Field(description="What to do where it is not so, verb first.")
    when: When
    source: SourceIds = Field(description="Where the state or value is from: ids out of sources.yml.")


class PointGroup(Record):
    """Points inspected from one place, in walking order."""

    id: Id = Field(description="Stable name of this group.")
    title: Text = Field(description="Where you stand: 'In the cab', 'At the front wheels'.")
    points: Annotated[tuple[ChecklistPoint, ...], Field(min_length=1, max_length=9)] = Field(
        description="One to nine points."
    )


class KnowFirst(Record):
    """What the reader must know before the first line of a list."""

    text: Text = Field(
        description="What the list is not and what it leaves out, or who may read what is written in it."
    )
    source: SourceIds = Field(description="Where this is from: ids out of sources.yml.")


class _Dated(Record):
    """Version, dates and review of a list, so that an outdated copy can be recognized."""

    title: Text = Field(description="The name of the list, printed at its head.")
    version: Annotated[str, Field(pattern=r"^[0-9]+\.[0-9]+$")] = Field(description="Such as 1.0.")
    effective: Day = Field(description="In force from this day.")
    next_review: Day = Field(description="At most 24 months later.")
    review: Review = Field(description="Who wrote and who checked it. Nobody yet is said on the page.")
    know_first: KnowFirst = Field(description="What the reader must know; printed at the head of the list.")
    local_rule: Text = Field(description="Which local rule or licensed practice wins over this list.")


class BeforeTrip(_Dated):
    """The contents of before_trip.yml: emergency equipment, and parts whose failure causes emergencies."""

    groups: Annotated[tuple[PointGroup, ...], Field(min_length=1)] = Field(
        description="The groups, in the order of the walk round the vehicle."
    )
    finished: Text = Field(description="The end state, one the driver can see.")


class Known(StrEnum):
    """What the cab assistant knows by itself of a record item."""

    STOPPED = "stopped"
    PLACE = "place"
    DRIVER = "driver"
    HURT = "hurt"
    DEVICES = "devices"


class RecordItem(Record):
    """One item to write down after an event."""

    id: Id = Field(description="Stable name of this item.")
    write: Text = Field(description="What to write, as a noun: 'Date and time'.")
    hint: Text | None = Field(default=None, description="How to get it right, in one sentence.")
    when: When
    register_item: YesNo = Field(
        default=False, description="yes where the carrier's accident register must hold it."
    )
    known: Known | None = Field(
        default=None,
        description="What the cab assistant fills in by itself where it knows it: stopped, place, driver, "
        "hurt or devices.",
    )
    shown: YesNo = Field(
        default=False,
        description="yes where the police or the other driver read it on the tablet to answer. In another "
        "language its English stands first.",
    )
    source: SourceIds = Field(description="Where the duty or the practice is from.")


class PictureToTake(Record):
    """One photograph to take, or one item to keep as evidence."""

    id: Id = Field(description="Stable name of this item.")
    show: Text = Field(description="What must be seen in it.")
    why: Text = Field(description="What it shows, or why it is kept. Claim no more than that.")
    source: SourceIds = Field(description="Where this is from.")


class Importance(StrEnum):
    """Whether a deadline is an aim (late still counts) or a limit (late does not count)."""

    AIM = "aim"
    LIMIT = "limit"


class Deadline(Record):
    """Something due within a number of hours after an event."""

    id: Id = Field(description="Stable name of this deadline.")
    what: Text = Field(description="What is due, in one short phrase.")
    hours: float = Field(gt=0, le=9000, allow_inf_nan=False, description="Hours from the event.")
    from_event: Text = Field(description="The event that starts the clock: 'the crash'.")
    weight: Importance = Field(
        description="aim: later still counts, but the reason is written down; limit: later does not count."
    )
    past: Text = Field(description="What follows once the hours are over.")
    applies: Text = Field(description="When this deadline applies, so that a driver can tell.")
    when: When
    source: SourceIds = Field(description="Where the hours are from.")


class Call(Record):
    """One call, in calling order."""

    phone: Id = Field(description="The id of the number in fleet.yml.")
    say: Text = Field(description="What to say, in the order in which it is needed.")
    when: When


class Defect(Record):
    """One line of the defect list handed to the mechanic."""

    id: Id = Field(description="Stable name of this line.")
    part: Text = Field(description="The part, in one to four words.")
    tell: Text = Field(description="What the mechanic needs to hear about it.")
    when: When
    source: SourceIds = Field(description="Where this is from.")


class AfterEvent(_Dated):
    """The contents of after_event.yml: whom to call, what to record, what must be right before rolling."""

    calls: tuple[Call, ...] = Field(description="Who is called, first one first.")
    record: Annotated[tuple[RecordItem, ...], Field(min_length=1)] = Field(
        description="What is written down, in the order in which it is forgotten."
    )
    pictures: tuple[PictureToTake, ...] = Field(description="Photographs and evidence.")
    deadlines: Annotated[tuple[Deadline, ...], Field(min_length=1)] = Field(
        description="What is due when, soonest first."
    )
    hand_over: tuple[Defect, ...] = Field(description="What the mechanic is told.")
    fit_to_roll: Annotated[tuple[PointGroup, ...], Field(min_length=1)] = Field(
        description="What must be right before the vehicle rolls again."
    )
    finished: Text = Field(description="The end state, one the driver can see.")


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
