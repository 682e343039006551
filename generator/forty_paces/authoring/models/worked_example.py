"""Models of the hand-worked examples in a rule file, against which its figures are tested.

``authoring.worked_examples`` compares them with the computed placement.
"""

from __future__ import annotations

from pydantic import Field

from forty_paces.authoring.models.device_layout import Across, Citation
from forty_paces.authoring.models.quantity import LengthFt, SpeedMph
from forty_paces.authoring.models.record import Id, Record, SourceIds, Text, YesNo
from forty_paces.geometry.records import HiddenBy, RoadKind, Surface, Toward


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
