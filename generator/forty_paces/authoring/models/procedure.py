"""Models of content/procedures/*.yml: one emergency procedure per file.

The field descriptions are also the text of the authors' manual: the page on writing
procedures is generated from them.

The key an action is under says when it is done: actions under ``by_heart`` from memory
while the vehicle rolls, actions under ``blocks`` by reading, after the ``stopped`` line.
"""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Self

from pydantic import AfterValidator, Field, model_validator

from forty_paces.authoring.models.record import AnyCondition, Day, Id, Record, Service, SourceIds, Text, YesNo
from forty_paces.geometry.records import Toward

FINISHED = "finished"
"""What a row of a decision leads to where the procedure ends."""

MOST_POSITIONS = 99
"""Highest place of a tile within its group; a number of two digits, far above what a group holds."""


class Group(StrEnum):
    """The half of the start screen that shows the procedure."""

    ROLLING = "rolling"
    STOPPED = "stopped"


class Signal(StrEnum):
    """Severity of a notice, by its ANSI Z535.4 meaning."""

    DANGER = "danger"
    WARNING = "warning"
    CAUTION = "caution"
    NOTICE = "notice"


class Unit(StrEnum):
    """Units a measured value may be given in."""

    FEET = "ft"
    INCHES = "in"
    THIRTY_SECONDS_INCH = "32nds in"
    MILES_PER_HOUR = "mph"
    PSI = "psi"
    SECONDS = "s"
    MINUTES = "min"
    HOURS = "h"
    DAYS = "days"
    MILES = "mi"
    DEGREES_F = "°F"
    COUNT = "count"
    PERCENT = "%"
    METERS = "m"
    CENTIMETERS = "cm"
    MILLIMETERS = "mm"
    KILOMETERS = "km"
    KILOMETERS_PER_HOUR = "km/h"
    KILOPASCALS = "kPa"
    DEGREES_C = "°C"


class Tool(StrEnum):
    """What a step may open in the cab assistant: one of its tools, or the procedure's own decision."""

    DISTANCES = "distances"
    PHONES = "phones"
    RECORD = "record"
    DECISION = "decision"


When = Annotated[
    tuple[AnyCondition, ...],
    Field(
        default=(),
        description="Conditions that must all hold on the vehicle; left out, it applies to all. "
        "Conditions of your own are declared in content/fleet.yml.",
    ),
]


class Notice(Record):
    """A hazard that the driver must know before doing the step."""

    signal: Signal = Field(
        description="danger: death or grave injury is sure; warning: it is possible; "
        "caution: a lesser injury is possible; notice: damage to things alone."
    )
    hazard: Text = Field(description="What the hazard is, in one short sentence.")
    consequence: Text = Field(description="What happens to you if it is ignored.")
    avoid: Text = Field(description="How to keep clear of it. A numbered action is a step, not a notice.")
    source: SourceIds = Field(description="Where this is from: ids out of sources.yml.")


class Measure(Record):
    """The value a step works to: its size, how to measure it, what to do if it cannot be met."""

    value: float = Field(description="The number.", allow_inf_nan=False, ge=0)
    unit: Unit = Field(description="Its unit.")
    how: Text = Field(description="How the driver measures it without instruments.")
    otherwise: Text = Field(description="What to do where it cannot be met.")
    source: SourceIds = Field(description="Where the figure is from.")


class Line(Record):
    """A single action line: by heart, to report, or before rolling again."""

    id: Id = Field(description="Stable name of this line within the procedure.")
    do: Text = Field(description="One action, verb first. By heart: ten words or fewer.")
    why: Text | None = Field(default=None, description="The reason, in one sentence.")
    when: When
    source: SourceIds = Field(description="Where this is from.")


class OtherWay(Record):
    """The alternative of a step that is a decision with two answers."""

    can: Text = Field(
        description="The answer that leads on to the next step, as the driver would give it: "
        "'There is a way'. Five words or fewer."
    )
    title: Text = Field(description="The other answer: 'No way off'. Five words or fewer.")
    lines: Annotated[tuple[Line, ...], Field(min_length=1, max_length=3)] = Field(
        description="What is done instead: one to three lines, done in this order. The steps that follow "
        "wait until the first answer is true."
    )


class PlacedDevice(Record):
    """Which of the devices that the rule places a step is about."""

    toward: Toward = Field(description="behind or ahead: the side of the vehicle.")
    nth: int = Field(
        ge=1, le=9, description="1 for the device nearest to the vehicle on that side, and so on."
    )


class Step(Record):
    """One read-and-do action."""

    id: Id = Field(description="Stable name of this step within the procedure.")
    do: Text = Field(description="One imperative action, verb first, 20 words or fewer.")
    why: Text = Field(description="The reason, in 25 words or fewer.")
    when: When
    critical: YesNo = Field(
        default=False,
        description="yes where missing it can cost a life; critical steps stand first in a block.",
    )
    order_reason: Text | None = Field(
        default=None, description="Why a critical step stands after one that is not, where it must."
    )
    opens: Tool | None = Field(
        default=None,
        description="What this step needs one tap away in the cab assistant: distances, phones, record, "
        "or decision where the choice must be made before the steps that follow.",
    )
    calls: tuple[Service, ...] = Field(
        default=(),
        description="Whom this step says to call or tell: emergency, dispatch, or both. The cab assistant "
        "puts a button for each number into the step.",
    )
    devices_out: YesNo = Field(
        default=False,
        description="yes where the warning devices are out once this step is done: the cab assistant's "
        "clock for them stops with it.",
    )
    places: PlacedDevice | None = Field(
        default=None,
        description="The device that this step places. Once the driver has made the guided walk, the cab "
        "assistant shows its computed place instead of the distance written here.",
    )
    notice: Notice | None = Field(default=None, description="The hazard notice that stands before this step.")
    measure: Measure | None = Field(default=None, description="The value the step works to, if it has one.")
    if_not: OtherWay | None = Field(
        default=None,
        description="What is done where the step cannot be done. With it the step is a decision with two "
        "answers, such as whether to leave the cab; it stands before the first step that depends on it.",
    )
    source: SourceIds = Field(description="Where this is from.")

    @model_validator(mode="after")
    def _a_step_that_places_opens_the_distances(self) -> Self:
        if self.places is not None and self.opens is not Tool.DISTANCES:
            raise ValueError("a step that places a device leads to its distance; write opens: distances")
        return self


class Block(Record):
    """A titled sequence of one to nine steps, read in 60 to 90 seconds."""

    id: Id = Field(description="Stable name of this block within the procedure.")
    title: Text = Field(description="A verb phrase: what this block achieves.")
    steps: Annotated[tuple[Step, ...], Field(min_length=1)] = Field(description="One to nine steps.")


class DecisionRow(Record):
    """One row of the if/then table."""

    id: Id = Field(description="Stable name of this row.")
    see: Text = Field(description="What the driver can see from the cab or roadside; shown after 'If'.")
    do: Text = Field(description="The action; shown after 'then'.")
    calls: tuple[Service, ...] = Field(
        default=(), description="Whom this row says to call or tell: emergency, dispatch, or both."
    )
    leads_to: Id = Field(description="'finished', or the id of the procedure to open next.")
    or_to: tuple[Id, ...] = Field(
        default=(),
        description="Other procedures that may be the right one; the driver sees which. Each kind of fire "
        "has its own.",
    )
    source: SourceIds = Field(description="Where this is from.")

    @property
    def opens(self) -> tuple[Id, ...]:
        """The procedures to choose from, the first one first; none where the procedure ends here."""
        return () if self.leads_to == FINISHED else (self.leads_to, *self.or_to)

    @model_validator(mode="after")
    def _other_procedures_are_others(self) -> Self:
        if self.or_to and self.leads_to == FINISHED:
            raise ValueError("the row ends the procedure, so it leads nowhere else; leave or_to out")
        if len({self.leads_to, *self.or_to}) <= len(self.or_to):
            raise ValueError("or_to names a procedure twice; name each once")
        return self


class Decision(Record):
    """The only decision of a procedure: rows that the driver can tell apart by looking."""

    title: Text = Field(description="What is being decided, as a short phrase.")
    rows: Annotated[tuple[DecisionRow, ...], Field(min_length=2)] = Field(description="Two or more rows.")


class Never(Record):
    """Something that must not be done, with its reason."""

    id: Id = Field(description="Stable name of this line.")
    text: Text = Field(description="Starts with 'Never' or 'Do not'.")
    why: Text = Field(description="What happens if it is done.")
    when: When
    source: SourceIds = Field(description="Where this is from.")


class Fact(Record):
    """A labelled figure that can be found without reading the steps."""

    id: Id = Field(description="Stable name of this fact.")
    label: Text = Field(description="What it is; two to five words.")
    value: Text = Field(description="The figure with its unit, or a short answer.")
    source: SourceIds = Field(description="Where the figure is from.")


class FactCluster(Record):
    """Facts that belong together: distances, numbers to call, tools."""

    id: Id = Field(description="Stable name of this cluster.")
    title: Text = Field(description="Its label, a noun.")
    items: Annotated[tuple[Fact, ...], Field(min_length=1)] = Field(description="The facts.")


class SignOff(Record):
    """The person who did the check named by the field, and the day."""

    name: Text = Field(description="Full name and role.")
    day: Day = Field(description="The day it was done.")


class Review(Record):
    """Who wrote it and who checked it. A check left empty has not been done, and every page says so."""

    author: Text = Field(description="Who wrote it.")
    technical: SignOff | None = Field(default=None, description="Verification: right against its sources.")
    user: SignOff | None = Field(default=None, description="Validation: a driver walked it with the card.")
    safety_lead: SignOff | None = Field(default=None, description="The carrier's safety lead signed it.")


class ChangeLogEntry(Record):
    """One entry of a procedure's change log."""

    version: Text = Field(description="The version that brought the change.")
    day: Day = Field(description="The day.")
    what: Text = Field(description="What changed, in one sentence.")


class Waiver(Record):
    """An exception to one rule for one text, with its reason. The review report prints every waiver."""

    at: Text = Field(
        description="The text it is for, as the finding names it: blocks/secure/steps/flashers/do."
    )
    rule: Id = Field(
        description="The rule by its name, such as condition-first, as the finding has it in square brackets."
    )
    reason: Text = Field(description="Why the rule does not serve the driver here.")


OWN_LETTERS = frozenset({"ALL", "PLC"})
"""Letters reserved for cards that are not of a procedure: index, numbers and wallet; placing devices."""

LABEL_LETTERS = frozenset({"ADR", "DOT", "EUH", "IBC", "IMO", "RID", "TIR", "UNO"})
"""Letters used, with or without numbers, on labels and plates of cargo, packagings and vehicles: the ADR,
RID and IMDG rules, 49 CFR part 178 (DOT), the CLP regulation (EUH), the TIR Convention. List from memory."""


def _card_code(value: str) -> str:
    """Reject codes that could be mistaken for a code on a label, also if the first letters are hidden.

    GHS hazard statements are H with a number, precautionary statements P; risk and safety phrases of
    labels before GHS R and S (Regulation (EC) 1272/2008, Directive 67/548/EEC).
    """
    letters = value[:3]
    if letters in LABEL_LETTERS or letters[-1] in "RSPH":
        raise ValueError(
            f'"{value}" looks like a code on a label; choose other letters, the last not R, S, P or H'
        )
    if letters in OWN_LETTERS:
        raise ValueError(f'"{letters}" is kept for the cards of every set; choose letters of the family')
    return value


class Procedure(Record):
    """One emergency procedure, from its cue to rolling again."""

    id: Id = Field(description="The file's name without .yml.")
    title: Text = Field(
        description="Names what the driver sees or feels. No two titles share their first two words."
    )
    tile: Text = Field(description="The words on the start tile: three or fewer.")
    symbol: Id = Field(description="The pictogram on the tile, by its name under Writing procedures.")
    group: Group = Field(description="rolling: known by heart. stopped: read and done.")
    position: int = Field(ge=1, le=MOST_POSITIONS, description="Its fixed place in the group, 1 to 99.")
    family: Id = Field(description="The family it is taught with, such as tires, skids or fire.")
    when: When = Field(
        default=(), description="Conditions; a vehicle known not to meet them gets no card of this procedure."
    )
    code: Annotated[str, Field(pattern=r"^[A-Z]{3}[0-9]{1,2}$"), AfterValidator(_card_code)] = Field(
        description="The card code: three letters that stand for the family, and a number, such as TRE1."
    )
    version: Annotated[str, Field(pattern=r"^[0-9]+\.[0-9]+$")] = Field(description="Such as 1.0.")
    effective: Day = Field(description="In force from this day.")
    next_review: Day = Field(description="At most 24 months later. The build fails past this day.")
    review: Review = Field(description="Who wrote and who checked it.")
    cues: Annotated[tuple[Text, ...], Field(min_length=1)] = Field(description="What you see, hear or feel.")
    by_heart: tuple[Line, ...] = Field(default=(), description="At most four actions, three wanted.")
    stopped: Text = Field(description="The line that ends the rolling part: 'After you have stopped ...'.")
    need: tuple[Text, ...] = Field(default=(), description="Tools to have in hand; empty: nothing needed.")
    blocks: Annotated[tuple[Block, ...], Field(min_length=1)] = Field(description="The read-and-do part.")
    decision: Decision | None = Field(default=None, description="At most one decision.")
    never: tuple[Never, ...] = Field(default=(), description="What must not be done.")
    finished: Text = Field(description="The end state, one the driver can see.")
    facts: tuple[FactCluster, ...] = Field(default=(), description="Figures in labelled clusters.")
    report: tuple[Line, ...] = Field(default=(), description="Whom to tell what.")
    roll_again: tuple[Line, ...] = Field(default=(), description="What must be right before rolling again.")
    local_rule: Text = Field(
        description="Which local rule or licensed practice governs here; it wins over this page."
    )
    changes: tuple[ChangeLogEntry, ...] = Field(default=(), description="The change log, newest first.")
    waive: tuple[Waiver, ...] = Field(
        default=(), description="Wording rules set aside for one text each; empty is best."
    )
