"""Content that tries to break out of its page: every text an author can write, poisoned.

In: a library. Out: the same with markup, script, template and quoting tricks
behind every text of procedures, fleet, rules, sources, lists, lessons, scenes and
the glossary.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from forty_paces.authoring.library import Library
from pydantic import BaseModel

HOSTILE = (
    '"\'><img src=x onerror="window.hacked=1"></script><script>window.hacked=1</script>'
    "<!--]]>{{ 7*7 }}{% raw %}${7*7}&lt;b&gt;\\u003c\u2028[style of the cab file][policy of the cab file]"
)

KEPT = frozenset(
    {
        "id",
        "symbol",
        "code",
        "version",
        "family",
        "leads_to",
        "or_to",
        "phone",
        "number",
        "rules",
        "lengths_in",
        "posted_in",
        "traffic_keeps",
        "center_line",
        "default_visibility",
        "visibility",
        "source",
        "step",
        "procedure",
        "procedures",
        "by_heart",
        "scene",
        "week",
        "month",
        "opens",
        "shows",
        "calls",
        "serves",
    }
)
"""Fields that are names or are read by the generator itself, not texts."""


def poisoned(library: Library, text: str = HOSTILE) -> Library:
    """The library with every text of an author ending in ``text``."""

    def each(records: Mapping[str, Any]) -> Mapping[str, Any]:
        return MappingProxyType({name: _poisoned(record, text) for name, record in records.items()})

    return dataclasses.replace(
        library,
        procedures=tuple(_poisoned(procedure, text) for procedure in library.procedures),
        fleet=_poisoned(library.fleet, text),
        rules=each(library.rules),
        scenes=each(library.scenes),
        lessons=each(library.lessons),
        sources=each(library.sources),
        glossary=_poisoned(library.glossary, text),
        before_trip=_poisoned(library.before_trip, text),
        after_event=_poisoned(library.after_event, text),
        ways_out=tuple(_poisoned(way, text) for way in library.ways_out),
    )


def _poisoned(value: Any, text: str, name: str = "") -> Any:
    if isinstance(value, BaseModel):
        texts = {field: _poisoned(getattr(value, field), text, field) for field in type(value).model_fields}
        return value.model_copy(update=texts)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        fields = [field.name for field in dataclasses.fields(value) if field.init]
        return dataclasses.replace(
            value, **{field: _poisoned(getattr(value, field), text, field) for field in fields}
        )
    if isinstance(value, tuple):
        return tuple(_poisoned(one, text, name) for one in value)
    if type(value) is str and name not in KEPT:
        return value + text
    return value
