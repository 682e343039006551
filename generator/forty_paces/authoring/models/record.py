"""Base class and field types of all content models: strict keys, plain text, ids, dates, conditions."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from enum import StrEnum
from typing import Annotated, Any

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetJsonSchemaHandler,
    PlainValidator,
    StringConstraints,
    ValidationInfo,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import CoreSchema

from forty_paces.authoring.findings import clip, name_one_of
from forty_paces.geometry.units import kmh_to_mph, m_to_ft
from forty_paces.messages.terms import CONDITIONS


class Record(BaseModel):
    """Base class of content models: immutable, unknown keys are errors."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=False, defer_build=True)

    @classmethod
    def fix_for(cls, key: str) -> str | None:
        """What to write instead of an unknown key, where the nearest known key would mislead; else None."""
        return None


METRIC_UNITS = {"_m": ("_ft", m_to_ft(1.0), "m"), "_kmh": ("_mph", kmh_to_mph(1.0), "km/h")}
"""Suffix of a metric key -> suffix of the model's key, conversion factor, unit symbol."""


def metric_twin(key: str) -> str | None:
    """The metric variant of a key in feet or mph: ``length_m`` for ``length_ft``; None for other keys."""
    for ending, (own, _, _) in METRIC_UNITS.items():
        if key.endswith(own):
            return key.removesuffix(own) + ending
    return None


def is_metric(keys: Iterable[str]) -> bool:
    """Whether the keys with a unit are all metric: the author writes in meters. False without any."""
    held = [key[key.rfind("_") :] for key in keys]
    own = {ending for ending, _, _ in METRIC_UNITS.values()}
    return any(ending in METRIC_UNITS for ending in held) and not any(ending in own for ending in held)


class MeasuredRecord(Record):
    """A record whose lengths and speeds may be written in either unit: ``length_ft`` or ``length_m``.

    Values are converted to feet and miles per hour. Both keys at once are an error.
    """

    @classmethod
    def metric_twins(cls) -> dict[str, str]:
        """Key in feet or mph -> its metric variant."""
        return {key: twin for key in cls.model_fields if (twin := metric_twin(key)) is not None}

    @model_validator(mode="before")
    @classmethod
    def _in_feet(cls, values: object) -> object:
        if not isinstance(values, dict):
            return values
        held = dict(values)
        for key, twin in cls.metric_twins().items():
            if twin not in held:
                continue
            if key in held:
                raise ValueError(f'"{key}" and "{twin}" say the same twice; keep one of them')
            value = held.pop(twin)
            factor = METRIC_UNITS[twin[twin.rindex("_") :]][1]
            try:
                held[key] = float(value) * factor
            except (TypeError, ValueError):
                held[key] = value
        return held

    @classmethod
    def __get_pydantic_json_schema__(
        cls, core_schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Add the metric variant of every key in feet or mph; a required key may be either of the two."""
        schema = handler.resolve_ref_schema(handler(core_schema))
        properties, required = schema["properties"], schema.get("required", [])
        for key, twin in cls.metric_twins().items():
            held = {
                name: value
                for name, value in properties[key].items()
                if "inimum" not in name and "aximum" not in name
            }
            unit = METRIC_UNITS[twin[twin.rindex("_") :]][2]
            properties[twin] = {**held, "description": f"The same as {key}, in {unit}."}
            if key in required:
                required.remove(key)
                schema.setdefault("allOf", []).append({"anyOf": [{"required": [key]}, {"required": [twin]}]})
        return schema


def _yes_or_no(value: object) -> object:
    """Accept only ``yes`` and ``no``: YAML scalars arrive as strings."""
    if not isinstance(value, bool) and value not in ("yes", "no"):
        shown = f'"{value}"' if isinstance(value, str) else "this"
        raise ValueError(f"{shown} is neither yes nor no; write yes or no")
    return value if isinstance(value, bool) else value == "yes"


def _day(value: object) -> object:
    """Accept only dates such as ``2026-11-25``; pydantic would read a number as time since 1970."""
    if isinstance(value, dt.date):
        return value
    try:
        if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            return dt.date.fromisoformat(value)
    except ValueError:
        pass
    shown = f'"{value}"' if isinstance(value, str) else "this"
    raise ValueError(f"{shown} is not a day; write it as year-month-day, such as 2026-11-25")


def _one_line(value: object) -> object:
    """Join lines: line breaks in the file have no meaning."""
    return " ".join(value.split()) if isinstance(value, str) else value


Id = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60)]
"""A stable name in small letters, digits and single hyphens."""

Country = Annotated[str, StringConstraints(pattern=r"^[a-z]{2}(-[a-z0-9]{1,3})?$")]
"""ISO 3166 code in small letters: of a country (``us``), or of a part of one (``ca-on``)."""

Text = Annotated[str, StringConstraints(min_length=1, max_length=600), BeforeValidator(_one_line)]
"""One driver-facing line or short paragraph; plain text, never markup."""

Day = Annotated[dt.date, BeforeValidator(_day)]
"""A calendar day, written 2026-11-25."""

YesNo = Annotated[bool, BeforeValidator(_yes_or_no), WithJsonSchema({"enum": ["yes", "no"]})]
"""``yes`` or ``no``."""

SourceIds = Annotated[tuple[Id, ...], Field(min_length=1)]
"""One or more ids from sources.yml."""


class Condition(StrEnum):
    """Equipment or cargo of a vehicle, or its absence, on which a step can depend."""

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
    PLACARDED = "placarded"
    NOT_PLACARDED = "not-placarded"
    HAZARDOUS_CARGO_OR_GAS = "hazardous-cargo-or-gas"
    NO_HAZARDOUS_CARGO_OR_GAS = "no-hazardous-cargo-or-gas"
    PASSENGERS = "passengers"
    NO_PASSENGERS = "no-passengers"
    DOUBLES = "doubles"
    BOBTAIL = "bobtail"
    LIVESTOCK = "livestock"
    REFRIGERATED = "refrigerated"
    CAR_CARRIER = "car-carrier"
    DUMP_BODY = "dump-body"


class Service(StrEnum):
    """Who is called by one tap from every screen of the cab assistant."""

    EMERGENCY = "emergency"
    DISPATCH = "dispatch"


class OwnCondition(str):
    """A condition that fleet.yml declares: ``tail-lift``, or its absence, ``no-tail-lift``."""

    of: str
    "The id in fleet.yml."
    holds: bool
    "False for the absence."
    words: str
    'Text for drivers, after "With".'

    def __new__(cls, of: str, words: str, *, holds: bool = True) -> OwnCondition:
        """The condition ``of``, or its absence unless it ``holds``."""
        made = super().__new__(cls, of if holds else f"no-{of}")
        made.of, made.holds, made.words = of, holds, words
        return made


class AnyConditions(dict[str, OwnCondition]):
    """Stands for the conditions of a fleet.yml that cannot be read: every id is one."""

    def __missing__(self, name: str) -> OwnCondition:
        return OwnCondition(name, name)

    def __contains__(self, name: object) -> bool:
        return isinstance(name, str) and re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name) is not None


def _condition(value: object, info: ValidationInfo) -> Condition | OwnCondition:
    """A condition of the model, or one of the context's ``conditions``, which the fleet declares."""
    if isinstance(value, Condition | OwnCondition):
        return value
    own: dict[str, OwnCondition] = (info.context or {}).get("conditions", {})
    if isinstance(value, str) and value in set(Condition):
        return Condition(value)
    if isinstance(value, str) and value in own:
        return own[value]
    shown = f'"{clip(value)}"' if isinstance(value, str) else "this"
    known = [*(condition.value for condition in Condition), *own]
    raise ValueError(f'{shown} is not a value of "when"; {name_one_of(str(value), known)}')


AnyCondition = Annotated[
    Condition | OwnCondition,
    PlainValidator(_condition),
    WithJsonSchema(
        {
            "description": "A condition of the tool, or an id below conditions in content/fleet.yml.",
            "anyOf": [
                {"enum": [condition.value for condition in Condition]},
                {"type": "string", "pattern": "^[a-z0-9]+(-[a-z0-9]+)*$"},
            ],
        }
    ),
]
"""A condition of the tool's, or of the carrier's own."""


def words_of_condition(condition: Condition | OwnCondition) -> str:
    """Text of a condition for drivers, after "With"."""
    return condition.words if isinstance(condition, OwnCondition) else CONDITIONS[condition]
