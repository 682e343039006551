"""Models of device layouts in content/rules: positions by road and posted speed, and the hidden-view rule.

:meth:`RoadLayout.layouts` converts to the plain layouts that the placement engine uses. Lengths and speeds
are written with their unit ('100 ft', '45 m', '55 mph', '80 km/h') and converted to feet and miles per hour.
A bare number is an error: a rule file gives each figure in the unit of the law.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from enum import StrEnum
from typing import Annotated, Self

from pydantic import BeforeValidator, Field, StringConstraints, WithJsonSchema, model_validator

from forty_paces.authoring.models.record import Record, SourceIds, Text, YesNo
from forty_paces.geometry.records import DeviceLayout, DeviceRule, RoadKind, Toward
from forty_paces.geometry.units import kmh_to_mph, m_to_ft

_QUANTITY = re.compile(r"([0-9]+(?:\.[0-9]+)?) (ft|m|mph|km/h)")


def _length(value: object) -> object:
    return _quantity(
        value, {"ft": float, "m": m_to_ft}, 'a length with its unit; write it like "100 ft" or "45 m"'
    )


def _speed(value: object) -> object:
    return _quantity(
        value,
        {"mph": float, "km/h": kmh_to_mph},
        'a speed with its unit; write it like "55 mph" or "80 km/h"',
    )


def _quantity(value: object, units: Mapping[str, Callable[[float], float]], wanted: str) -> object:
    if not isinstance(value, str):
        return value
    match = _QUANTITY.fullmatch(value.strip())
    if match is None or match[2] not in units:
        raise ValueError(f'"{value[:40]}" is not {wanted}')
    return units[match[2]](float(match[1]))


LengthFt = Annotated[
    float,
    Field(ge=0, le=10_000, allow_inf_nan=False),
    BeforeValidator(_length),
    WithJsonSchema({"type": "string", "pattern": r"^[0-9]+(\.[0-9]+)? (ft|m)$"}),
]
"""A length in feet; written with its unit, ft or m."""

SpeedMph = Annotated[
    float,
    Field(ge=0, le=200, allow_inf_nan=False),
    BeforeValidator(_speed),
    WithJsonSchema({"type": "string", "pattern": r"^[0-9]+(\.[0-9]+)? (mph|km/h)$"}),
]
"""A speed in miles per hour; written with its unit, mph or km/h."""


Citation = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=120)]
"""The cited passage as printed, such as 49 CFR 392.22(b)(1)(i)."""


class Across(StrEnum):
    """Position of a device across the road."""

    TRAFFIC_SIDE = "traffic side"
    CENTER = "center of lane or shoulder"
    IN_LINE = "in line with the vehicle"
    BESIDE = "beside the vehicle"
    SAME_SIDE = "same side of the road"


class DevicePosition(Record):
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
        if self.step is not None and self.at_most is not None:
            _countable_steps(self.at_most - self.distance, self.step)
        return self


class RoadLayout(Record):
    """The devices for one or more kinds of road, within a band of posted speeds."""

    roads: tuple[RoadKind, ...] = Field(min_length=1, description="two-lane, divided, one-way.")
    speed_from: SpeedMph = Field(default=0.0, description="In force from this posted speed on.")
    speed_below: SpeedMph | None = Field(default=None, description="In force below this posted speed.")
    devices: tuple[DevicePosition, ...] = Field(default=(), description="The devices, in any order.")
    forbidden: Text | None = Field(
        default=None, description="Why no device may be placed here, where that is so; then give none."
    )
    note: Text | None = Field(default=None, description="What must be said wherever this layout is in force.")
    leave_out_first: Text | None = Field(
        default=None,
        description="Which device to leave out first where there is no time or no room for all, said in "
        "the middle of a sentence. Common practice where the rule names none.",
    )
    citation: Citation = Field(description="The passage as printed.")
    source: SourceIds = Field(description="Where it is from.")

    @model_validator(mode="after")
    def _devices_or_a_ban(self) -> Self:
        if bool(self.devices) == bool(self.forbidden):
            raise ValueError(
                'a layout has either "devices" or "forbidden"; list the devices, or say why there are none'
            )
        return self

    def layouts(self) -> tuple[DeviceLayout, ...]:
        """One layout for the placement engine per kind of road, devices sorted from behind to ahead."""
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
            DeviceLayout(
                road=road,
                devices=devices,
                speed_from_mph=self.speed_from,
                speed_below_mph=math.inf if self.speed_below is None else self.speed_below,
                forbidden=self.forbidden or "",
                source=self.citation,
                note=self.note or "",
                leave_out_first=self.leave_out_first or "",
            )
            for road in self.roads
        )


class HiddenView(Record):
    """How far a device is moved if a hill, curve or obstruction hides the vehicle."""

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
        _countable_steps(self.farthest - self.nearest, self.step)
        return self


MOST_STEPS = 400
"""Most positions tried for one device; the federal range of 100 to 500 ft has 41."""


def _countable_steps(range_ft: float, step_ft: float) -> None:
    if range_ft / step_ft > MOST_STEPS:
        raise ValueError(f'the range holds more than {MOST_STEPS} steps; write a longer "step"')
