"""The placement rules of one jurisdiction: its figures, its texts, its worked examples.

In: plain text values from a file in content/rules. Out: a frozen record whose
``rule_set`` is the plain record that the placement engine works with. Refuses to
know how a placement is found. Lengths are written with their unit ('100 ft',
'45 m') and speeds too ('55 mph', '80 km/h'), so that a rule stands in the file as
it stands in the law.

In this kind of file ``source`` holds ids out of sources.yml, as everywhere, and
``citation`` the passage as it is printed beside the figure.
"""

from __future__ import annotations

import math
from enum import StrEnum
from functools import cached_property
from typing import Annotated, Literal, Self

from pydantic import Field, StringConstraints, model_validator

from generator.authoring.models.base import Id, Record, SourceIds, Text, YesNo
from generator.authoring.models.quantity import LengthFt, SpeedMph
from generator.geometry.records import (
    DeviceRule,
    HiddenViewRule,
    Layout,
    RoadKind,
    RuleSet,
    Situation,
    Surface,
    Toward,
    VisibilityClass,
)

Citation = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=120)]
"""The passage as printed, such as 49 CFR 392.22(b)(1)(i)."""


class Across(StrEnum):
    """Where across the road a device stands."""

    TRAFFIC_SIDE = "traffic side"
    CENTER = "center of lane or shoulder"
    IN_LINE = "in line with the vehicle"
    BESIDE = "beside the vehicle"
    SAME_SIDE = "same side of the road"


class Pace(Record):
    """The pace that turns distances into steps."""

    length: LengthFt = Field(description="Length of one pace, with its unit.", gt=0.5, lt=6)
    citation: Citation = Field(description="Where it is printed, or how it was found.")
    source: SourceIds = Field(description="Where it is from.")


class LaneLine(Record):
    """Broken lane lines that can be counted instead of paces."""

    line: LengthFt = Field(description="Length of one line.", gt=0)
    gap: LengthFt = Field(description="Length of the gap after it.", gt=0)
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")


class TimeLimit(Record):
    """Within what time of stopping the devices must be out."""

    minutes: float = Field(description="The limit in minutes.", gt=0, le=120, allow_inf_nan=False)
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")


class PlacedDevice(Record):
    """One device as the rule states it."""

    toward: Toward = Field(description="behind or ahead: the traffic it faces.")
    distance: LengthFt = Field(description="From the vehicle, along the road; the near end of a range.")
    at_most: LengthFt | None = Field(default=None, description="The far end, where the rule gives a range.")
    step: LengthFt | None = Field(
        default=None, gt=0, description="Steps in which it is moved within its own range, to warn in time."
    )
    within: YesNo = Field(
        default=False, description="yes where the rule says within this distance: nearer is right too."
    )
    across: Across = Field(description="Where across the road it stands.")
    remark: Text | None = Field(default=None, description="What must be said of it, in one sentence.")
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")

    @model_validator(mode="after")
    def _range_runs_outward(self) -> Self:
        if self.at_most is not None and self.at_most <= self.distance:
            raise ValueError('"at_most" is not farther than "distance"; leave it out, or write the far end')
        if self.step is not None and self.at_most is None:
            raise ValueError(
                '"step" stands without "at_most"; write the far end of the range, or leave it out'
            )
        return self


class RoadLayout(Record):
    """The devices for one or more kinds of road, within a band of posted speeds."""

    roads: tuple[RoadKind, ...] = Field(min_length=1, description="two-lane, divided, one-way.")
    speed_from: SpeedMph = Field(default=0.0, description="In force from this posted speed on.")
    speed_below: SpeedMph | None = Field(default=None, description="In force below this posted speed.")
    devices: tuple[PlacedDevice, ...] = Field(default=(), description="The devices, in any order.")
    forbidden: Text | None = Field(
        default=None, description="Why no device may be placed here, where that is so; then give none."
    )
    note: Text | None = Field(default=None, description="What must be said wherever this layout is in force.")
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")

    @model_validator(mode="after")
    def _devices_or_a_ban(self) -> Self:
        if bool(self.devices) == bool(self.forbidden):
            raise ValueError(
                'a layout has either "devices" or "forbidden"; list the devices, or say why there are none'
            )
        return self

    def layouts(self) -> tuple[Layout, ...]:
        """One plain layout a road."""
        devices = tuple(
            DeviceRule(
                toward=device.toward,
                distance_ft=device.distance,
                across=str(device.across),
                source=device.citation,
                at_most_ft=device.at_most,
                step_ft=device.step,
                remark=device.remark or "",
                within=device.within,
            )
            for device in sorted(
                self.devices, key=lambda device: (device.toward is Toward.AHEAD, device.distance)
            )
        )
        return tuple(
            Layout(
                road=road,
                devices=devices,
                speed_from_mph=self.speed_from,
                speed_below_mph=math.inf if self.speed_below is None else self.speed_below,
                forbidden=self.forbidden or "",
                source=self.citation,
                note=self.note or "",
            )
            for road in self.roads
        )


class HiddenView(Record):
    """How far a device moves out where a hill, curve or obstruction hides the vehicle."""

    within: LengthFt = Field(description="The rule speaks of hiding places up to this far from the vehicle.")
    nearest: LengthFt = Field(description="The near end of the range the device is moved within.")
    farthest: LengthFt = Field(description="The far end of that range.")
    step: LengthFt = Field(gt=0, description="Whole steps in which it is moved.")
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")

    @model_validator(mode="after")
    def _range_runs_outward(self) -> Self:
        if self.farthest <= self.nearest:
            raise ValueError('"farthest" is not farther than "nearest"; turn the two round')
        return self


class Visibility(Record):
    """How far away a device can be made out at all."""

    id: Id = Field(description="Stable name, such as night.")
    title: Text = Field(description="What the driver calls it.")
    reach: LengthFt = Field(gt=0, description="How far away a device is made out.")
    assumption: Text | None = Field(
        default=None, description="What is assumed, where no source gives a range."
    )
    citation: Citation = Field(description="Where the range is from.")
    source: SourceIds = Field(description="Where it is from.")


class RuleText(Record):
    """What else the rule says, in our own words."""

    id: Id = Field(description="Stable name of this text within the file.")
    title: Text = Field(description="What it is about.")
    text: Text = Field(description="What the rule says, in plain words.")
    with_every_placement: YesNo = Field(
        default=False, description="yes where it is printed with every placement, as a caution."
    )
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")


class Silence(Record):
    """Something the rule does not say, and what this tool assumes instead."""

    id: Id = Field(description="Stable name of this entry within the file.")
    about: Text = Field(description="What the rule does not say.")
    assumed: Text = Field(description="What the tool assumes.")
    source: SourceIds = Field(description="On what the assumption rests.")


class ExampleSituation(Record):
    """A stopped vehicle, as someone would describe it."""

    road: RoadKind = Field(description="two-lane, divided or one-way.")
    speed: SpeedMph = Field(gt=0, description="Posted speed.")
    hidden_behind: LengthFt | None = Field(default=None, description="Where the view from behind is hidden.")
    hidden_ahead: LengthFt | None = Field(default=None, description="Where the view from ahead is hidden.")
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
    """Where one device must come out."""

    toward: Toward = Field(description="behind or ahead.")
    distance: LengthFt = Field(description="From the vehicle.")
    across: Across = Field(description="Where across the road.")
    moved: YesNo = Field(default=False, description="yes where a hidden view moved it out.")


class ExpectedApproach(Record):
    """What drivers from one side must get, worked out by hand."""

    toward: Toward = Field(description="behind or ahead.")
    needed: LengthFt | None = Field(default=None, description="Stopping sight distance, to 0.1.")
    warning: LengthFt | None = Field(default=None, description="The longest warning, to 0.1.")
    ample: YesNo = Field(description="yes where the warning is enough.")


class WorkedExample(Record):
    """A situation worked out by hand from the rule: never copied from what the tool answers."""

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


class RuleFileModel(Record):
    """The whole of one file in content/rules."""

    id: Id = Field(description="The file's name without .yml.")
    title: Text = Field(description="The jurisdiction and whose rule it is.")
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
    visibility: tuple[Visibility, ...] = Field(min_length=1, description="How far away a device is made out.")
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
        _bands_meet(self.rule_set)
        return self

    @cached_property
    def rule_set(self) -> RuleSet:
        """The plain record that the placement engine works with."""
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
                VisibilityClass(entry.id, entry.title, entry.reach, entry.citation)
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
        """The plain situation of a worked example."""
        told = example.situation
        return Situation(
            road=told.road,
            speed_mph=told.speed,
            detection_ft=self.rule_set.detection_ft(told.visibility),
            hidden_behind_ft=math.inf if told.hidden_behind is None else told.hidden_behind,
            hidden_ahead_ft=math.inf if told.hidden_ahead is None else told.hidden_ahead,
            grade_pct=told.grade_pct,
            surface=told.surface,
        )


RuleFile = RuleFileModel
"""The name by which a loaded library speaks of it."""


def _unique(names: list[str], what: str) -> None:
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f'two {what} entries are called "{name}"; give each an id of its own')


def _bands_meet(rule_set: RuleSet) -> None:
    """Every road is covered at every posted speed by just one layout."""
    for road in RoadKind:
        bands = sorted(
            (layout.speed_from_mph, layout.speed_below_mph)
            for layout in rule_set.layouts
            if layout.road is road
        )
        if not bands:
            raise ValueError(f"no layout covers a {road} road; add one, with devices or with the ban")
        reached = 0.0
        for start, end in bands:
            if abs(start - reached) > 1e-9 or end <= start:
                raise ValueError(
                    f"the layouts for a {road} road leave or double posted speeds near {start:g} mph; "
                    "let each begin where the one before it ends"
                )
            reached = end
        if math.isfinite(reached):
            raise ValueError(
                f"no layout covers a {road} road from {reached:g} mph on; "
                "leave speed_below out of the last one"
            )
