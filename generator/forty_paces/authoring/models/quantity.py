"""Field types for lengths and speeds written with their unit: '100 ft', '45 m', '55 mph', '80 km/h'.

Values are converted to feet and miles per hour. A bare number is an error: a rule file
gives each figure in the unit of the law.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Annotated

from pydantic import BeforeValidator, Field, WithJsonSchema

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
