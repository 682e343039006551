"""Content that tries to break out of its page: every text an author can write, poisoned.

In: a library. Out: the same with markup, script, template and quoting tricks
behind every text of procedures, fleet, rules, sources and the record.
"""

from __future__ import annotations

import dataclasses
from types import MappingProxyType
from typing import Any

from pydantic import BaseModel

from generator.authoring.library import Library

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
    }
)
"""Fields that are names or are read by the generator itself, not texts."""


def poisoned(library: Library) -> Library:
    """The library with every text of an author ending in HOSTILE."""
    return dataclasses.replace(
        library,
        procedures=tuple(_poisoned(procedure) for procedure in library.procedures),
        fleet=_poisoned(library.fleet),
        rules=MappingProxyType({name: _poisoned(rules) for name, rules in library.rules.items()}),
        sources=MappingProxyType({name: _poisoned(source) for name, source in library.sources.items()}),
        after_event=_poisoned(library.after_event),
    )


def _poisoned(value: Any, name: str = "") -> Any:
    if isinstance(value, BaseModel):
        texts = {field: _poisoned(getattr(value, field), field) for field in type(value).model_fields}
        return value.model_copy(update=texts)
    if isinstance(value, tuple):
        return tuple(_poisoned(one, name) for one in value)
    if type(value) is str and name not in KEPT:
        return value + HOSTILE
    return value
