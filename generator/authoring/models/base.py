"""What every content record shares: strict keys, plain text, ids, dates, conditions.

In: nothing. Out: the base record and the small value types. Refuses to know
where a record came from (no file, no line) or how it will be shown.
"""

from __future__ import annotations

import datetime as dt
from enum import StrEnum
from typing import Annotated

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, StringConstraints


class Record(BaseModel):
    """A checked, frozen piece of content. Unknown keys are faults, not extras."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=False)


def _yes_or_no(value: object) -> object:
    """Read ``yes``/``no`` and nothing else: YAML scalars arrive as text."""
    return {"yes": True, "no": False}.get(value, value) if isinstance(value, str) else value


Id = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
"""A stable name in small letters, digits and single hyphens."""

Text = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=600)]
"""One driver-facing line or short paragraph; plain text, never markup."""

Day = dt.date
"""A calendar day, written 2026-11-25."""

YesNo = Annotated[bool, BeforeValidator(_yes_or_no)]
"""``yes`` or ``no``."""

SourceIds = Annotated[tuple[Id, ...], Field(min_length=1)]
"""One or more ids out of sources.yml."""


class Condition(StrEnum):
    """Something a vehicle has or has not; a step may apply only where it holds."""

    AIR_BRAKES = "air-brakes"
    HYDRAULIC_BRAKES = "hydraulic-brakes"
    ANTI_LOCK = "anti-lock"
    NO_ANTI_LOCK = "no-anti-lock"
    MANUAL_CLUTCH = "manual-clutch"
    AUTOMATIC = "automatic"
    TRAILER = "trailer"
    NO_TRAILER = "no-trailer"
    RETARDER = "retarder"
    NO_RETARDER = "no-retarder"
    HAZARDOUS_CARGO = "hazardous-cargo"
    NO_HAZARDOUS_CARGO = "no-hazardous-cargo"
    PASSENGERS = "passengers"
    NO_PASSENGERS = "no-passengers"


CONDITION_WORDS: dict[Condition, str] = {
    Condition.AIR_BRAKES: "air brakes",
    Condition.HYDRAULIC_BRAKES: "hydraulic brakes",
    Condition.ANTI_LOCK: "anti-lock brakes",
    Condition.NO_ANTI_LOCK: "no anti-lock brakes",
    Condition.MANUAL_CLUTCH: "a manual clutch",
    Condition.AUTOMATIC: "an automatic gearbox",
    Condition.TRAILER: "a trailer",
    Condition.NO_TRAILER: "no trailer",
    Condition.RETARDER: "a retarder",
    Condition.NO_RETARDER: "no retarder",
    Condition.HAZARDOUS_CARGO: "placarded hazardous cargo",
    Condition.NO_HAZARDOUS_CARGO: "no placarded cargo",
    Condition.PASSENGERS: "passengers aboard",
    Condition.NO_PASSENGERS: "no passengers",
}
"""How each condition is said to a driver, after "With" ("With air brakes: ...")."""
