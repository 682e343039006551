"""Models of content/rules/*.yml: the placement rules of one jurisdiction with texts and worked examples.

:attr:`RuleFile.rule_set` converts to the record that the placement engine uses. Lengths
('100 ft', '45 m') and speeds ('55 mph', '80 km/h') are written with their unit, so that the
file gives a rule as the law does.

``source`` holds ids from sources.yml, as everywhere; ``citation`` is the passage as printed
beside the figure.
"""

from __future__ import annotations

import math
from functools import cached_property
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from forty_paces.authoring.models.device_layout import (
    Across,
    Citation,
    HiddenView,
    LengthFt,
    RoadLayout,
    SpeedMph,
)
from forty_paces.authoring.models.record import Country, Id, Record, SourceIds, Text, YesNo
from forty_paces.geometry.records import (
    HiddenBy,
    HiddenViewRule,
    RoadKind,
    RuleSet,
    Situation,
    Surface,
    Toward,
    VisibilityClass,
)
from forty_paces.messages.quantities import number


class Pace(Record):
    """The length of a pace, which converts distances to paces."""

    length: LengthFt = Field(description="Length of one pace, with its unit.", gt=0.5, lt=6)
    citation: Citation = Field(description="Where it is printed, or how it was found.")
    source: SourceIds = Field(description="Where it is from.")


class LaneLine(Record):
    """Broken lane lines, which can be counted instead of paces."""

    line: LengthFt = Field(description="Length of one line.", gt=0)
    gap: LengthFt = Field(description="Length of the gap after it.", gt=0)
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")


class TimeLimit(Record):
    """The time after stopping within which the devices must be out."""

    minutes: float = Field(description="The limit in minutes.", gt=0, le=120, allow_inf_nan=False)
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")


class Visibility(Record):
    """A visibility class: the distance at which a device can be detected."""

    id: Id = Field(description="Stable name, such as night.")
    title: Text = Field(description="What the driver calls it.")
    reach: LengthFt = Field(
        gt=0, description="How far away what does not reflect is made out; devices are placed with it."
    )
    reflecting: LengthFt | None = Field(
        default=None,
        gt=0,
        description="By night: how far away a reflecting device is made out. Its figure is shown beside.",
    )
    assumption: Text | None = Field(
        default=None, description="What is assumed, where no source gives a range."
    )
    citation: Citation = Field(description="Where the range is from.")
    source: SourceIds = Field(description="Where it is from.")


class EmergencyNumber(Record):
    """The number that reaches police, fire crew and ambulance."""

    number: Annotated[str, Field(pattern=r"^[0-9]{3}$")] = Field(description="The number, in quotes.")
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")


class RuleText(Record):
    """Another provision of the rule, in our own words."""

    id: Id = Field(description="Stable name of this text within the file.")
    title: Text = Field(description="What it is about.")
    text: Text = Field(description="What the rule says, in plain words.")
    with_every_placement: YesNo = Field(
        default=False, description="yes where it is printed with every placement, as a caution."
    )
    page: Literal["placing", "stopping", "heavy-stopping", "following-gap", "hydroplaning", "headlights"] = (
        Field(
            default="placing",
            description="The page that prints it: placing devices, or a table of which this is the law here.",
        )
    )
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")


class Silence(Record):
    """A question the rule leaves open, and what this tool assumes."""

    id: Id = Field(description="Stable name of this entry within the file.")
    about: Text = Field(description="What the rule does not say.")
    assumed: Text = Field(description="What the tool assumes.")
    source: SourceIds = Field(description="On what the assumption rests.")


class RuleFile(Record):
    """The contents of a file in content/rules."""

    id: Id = Field(description="The file's name without .yml.")
    title: Text = Field(description="The jurisdiction and whose rule it is.")
    country: Country | None = Field(
        default=None,
        description="The country or part of it whose law this is, by its ISO 3166 code: us, ca-on. A build "
        "refuses texts that rest on the law of another.",
    )
    emergency: EmergencyNumber | None = Field(
        default=None, description="The emergency number there. fleet.yml may name another."
    )
    region: Text = Field(
        default="state", description="What a part of the country with its own road law is called: province."
    )
    applies_to: Text = Field(description="To which vehicles, and when devices are required.")
    lengths_in: Literal["feet", "meters"] = Field(description="feet or meters: how the rule writes lengths.")
    posted_in: Literal["mph", "km/h"] = Field(description="mph or km/h: how speeds are posted there.")
    traffic_keeps: Literal["right", "left"] = Field(
        default="right", description="right or left: the side of the road that traffic keeps to."
    )
    center_line: Literal["yellow", "white"] = Field(
        default="yellow", description="yellow or white: the line that parts opposing traffic."
    )
    pace: Pace = Field(description="The pace that the rule implies.")
    lane_line: LaneLine | None = Field(
        default=None, description="Broken lane lines, where a manual gives them."
    )
    time_limit: TimeLimit | None = Field(
        default=None, description="Within what time the devices must be out."
    )
    layouts: tuple[RoadLayout, ...] = Field(min_length=1, description="The devices for each kind of road.")
    hidden_view: HiddenView | None = Field(
        default=None, description="How devices move where the view is hidden."
    )
    visibility: tuple[Visibility, ...] = Field(
        min_length=1, max_length=9, description="How far away a device is made out; nine classes at most."
    )
    default_visibility: Id = Field(description="The visibility class used where none is given.")
    texts: tuple[RuleText, ...] = Field(default=(), description="What else the rule says.")
    silent: tuple[Silence, ...] = Field(default=(), description="What the rule does not say.")
    examples: tuple[WorkedExample, ...] = Field(
        min_length=3, description="Worked out by hand; three or more."
    )

    @model_validator(mode="after")
    def _hangs_together(self) -> Self:
        for listed, what in (
            (self.visibility, "visibility class"),
            (self.texts, "text"),
            (self.silent, "silent entry"),
            (self.examples, "example"),
        ):
            _unique([entry.id for entry in listed], what)
        known = [entry.id for entry in self.visibility]
        wanted = [self.default_visibility, *(e.situation.visibility for e in self.examples)]
        for name in wanted:
            if name is not None and name not in known:
                raise ValueError(
                    f'there is no visibility class "{name}" in this file; name one of: {", ".join(known)}'
                )
        ranged = any(device.step is not None for layout in self.layouts for device in layout.devices)
        if ranged and self.hidden_view is not None:
            raise ValueError(
                'a device has a "step" of its own and the file has a "hidden_view": one device would move '
                "for two reasons; keep the one that the rule states"
            )
        _bands_meet(self.rule_set)
        return self

    @cached_property
    def rule_set(self) -> RuleSet:
        """The rules as the record that the placement engine uses, in feet, seconds and mph."""
        limit, hidden, line = self.time_limit, self.hidden_view, self.lane_line
        return RuleSet(
            id=self.id,
            title=self.title,
            metric=self.lengths_in == "meters",
            pace_ft=self.pace.length,
            time_limit_s=None if limit is None else limit.minutes * 60,
            time_limit_source="" if limit is None else limit.citation,
            layouts=tuple(layout for road in self.layouts for layout in road.layouts()),
            hidden=None
            if hidden is None
            else HiddenViewRule(hidden.within, hidden.nearest, hidden.farthest, hidden.step, hidden.citation),
            visibility=tuple(
                VisibilityClass(entry.id, entry.title, entry.reach, entry.citation, entry.reflecting)
                for entry in self.visibility
            ),
            default_visibility=self.default_visibility,
            cautions=tuple(
                f"{text.text.removesuffix('.')} ({text.citation})."
                for text in self.texts
                if text.with_every_placement
            ),
            posted_in=self.posted_in,
            traffic_keeps=self.traffic_keeps,
            center_line=self.center_line,
            lane_line_ft=None if line is None else line.line + line.gap,
        )

    def situation(self, example: WorkedExample) -> Situation:
        """The situation of a worked example, as the placement engine takes it."""
        situation = example.situation
        return Situation(
            road=situation.road,
            speed_mph=situation.speed,
            detection_ft=self.rule_set.detection_ft(situation.visibility),
            hidden_behind_ft=math.inf if situation.hidden_behind is None else situation.hidden_behind,
            hidden_ahead_ft=math.inf if situation.hidden_ahead is None else situation.hidden_ahead,
            grade_pct=situation.grade_pct,
            surface=situation.surface,
            reflecting_ft=self.rule_set.reflecting_ft(situation.visibility),
            hidden_by=situation.hidden_by,
            hidden_from_ft=situation.hidden_from,
            hidden_to_ft=situation.hidden_to,
        )


def _unique(names: list[str], what: str) -> None:
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f'two {what} entries are called "{name}"; give each an id of its own')


def _bands_meet(rule_set: RuleSet) -> None:
    """Every kind of road is covered at every posted speed by exactly one layout."""
    for road in RoadKind:
        bands = sorted(
            (rule_set.posted(layout.speed_from_mph), rule_set.posted(layout.speed_below_mph))
            for layout in rule_set.layouts
            if layout.road is road
        )
        if not bands:
            raise ValueError(f"no layout covers a {road} road; add one, with devices or with the ban")
        reached = 0.0
        for start, end in bands:
            if start != reached or end <= start:
                near = f"{number(start)} {rule_set.posted_in}"
                raise ValueError(
                    f"the layouts for a {road} road leave or double posted speeds near {near}; "
                    "let each begin where the one before it ends"
                )
            reached = end
        if math.isfinite(reached):
            last = f"{number(reached)} {rule_set.posted_in}"
            raise ValueError(
                f"no layout covers a {road} road from {last} on; leave speed_below out of the last one"
            )


class ExampleSituation(Record):
    """The situation of a stopped vehicle."""

    road: RoadKind = Field(description="two-lane, divided or one-way.")
    speed: SpeedMph = Field(gt=0, description="Posted speed.")
    hidden_behind: LengthFt | None = Field(default=None, description="Where the view from behind is hidden.")
    hidden_ahead: LengthFt | None = Field(default=None, description="Where the view from ahead is hidden.")
    hidden_by: tuple[HiddenBy, ...] = Field(
        default=(HiddenBy.CURVE,), min_length=1, description="curve, hill or obstruction, as a list."
    )
    hidden_from: LengthFt | None = Field(
        default=None, description="Near end of the curve or hill; leave out where it is unknown."
    )
    hidden_to: LengthFt | None = Field(
        default=None, description="Far end of an obstruction beside a straight road; out where unknown."
    )
    grade_pct: float = Field(
        default=0.0,
        ge=-30,
        le=30,
        allow_inf_nan=False,
        description="Met by traffic from behind; downhill negative.",
    )
    surface: Surface = Field(default=Surface.NORMAL, description="normal, snow or ice.")
    visibility: Id | None = Field(
        default=None, description="A visibility class; the file's own default if left out."
    )


class ExpectedDevice(Record):
    """The expected position of one device."""

    toward: Toward = Field(description="behind or ahead.")
    distance: LengthFt = Field(description="From the vehicle.")
    across: Across = Field(description="Where across the road.")
    moved: YesNo = Field(default=False, description="yes where a hidden view moved it out.")


class ExpectedApproach(Record):
    """The expected sight and warning distances of drivers from one side, worked out by hand."""

    toward: Toward = Field(description="behind or ahead.")
    needed: LengthFt | None = Field(default=None, description="Stopping sight distance, to 0.1.")
    warning: LengthFt | None = Field(
        default=None, description="The longest warning, rounded down to whole feet or meters."
    )
    reflecting: LengthFt | None = Field(
        default=None, description="The same with the reach of a reflecting device by night."
    )
    look: LengthFt | None = Field(
        default=None, description="For how far traffic must be in view from a moved device, rounded up."
    )
    ample: YesNo = Field(description="yes where the rounded warning reaches the need rounded up.")


class WorkedExample(Record):
    """A situation worked out by hand from the rule, never copied from the output of this tool."""

    id: Id = Field(description="Stable name of this example within the file.")
    title: Text = Field(description="The situation in one line.")
    situation: ExampleSituation = Field(description="The situation.")
    devices: tuple[ExpectedDevice, ...] = Field(default=(), description="Every device, in any order.")
    approach: tuple[ExpectedApproach, ...] = Field(
        default=(), description="What drivers get, where worked out."
    )
    because: Text = Field(description="How it follows from the rule, in one or two sentences.")
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")
