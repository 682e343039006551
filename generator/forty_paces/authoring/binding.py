"""Validates a parsed file against its pydantic model and reports errors in the author's terms.

Each pydantic error becomes a :class:`Finding` with position, trail and fix. Rules that
span several files are checked in ``checks``.

A model's own validators may raise ``ValueError("what is wrong; what to write")``:
the part after the first semicolon becomes the fix.
"""

from __future__ import annotations

import re
import types
from collections.abc import Callable, Collection, Iterator, Mapping
from enum import Enum
from typing import Annotated, Any, NamedTuple, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from forty_paces.authoring.documents import Document, Loc
from forty_paces.authoring.findings import Finding, clip, close_name, name_one_of
from forty_paces.authoring.models.record import (
    METRIC_UNITS,
    MeasuredRecord,
    OwnCondition,
    Record,
    is_metric,
    metric_twin,
)
from forty_paces.authoring.yaml_tree import MappingNode, Node, ScalarNode, SequenceNode

Bound = TypeVar("Bound", bound=BaseModel)

NO_CONDITIONS: Mapping[str, OwnCondition] = types.MappingProxyType({})


def bind(
    document: Document,
    model: type[Bound],
    passed_over: Collection[Loc] = (),
    conditions: Mapping[str, OwnCondition] = NO_CONDITIONS,
) -> tuple[Bound | None, tuple[Finding, ...]]:
    """Validate a document: the record, or None with all findings.

    Errors at or below the paths in ``passed_over`` are left out: they have been reported already.
    ``conditions`` are the carrier's own.
    """
    try:
        return model.model_validate(plain(document.tree), context={"conditions": conditions}), ()
    except ValidationError as error:
        details = [
            detail
            for detail in error.errors(include_url=False)
            if not any(tuple(detail["loc"])[: len(loc)] == loc for loc in passed_over)
        ]
        findings = [_finding(document, model, detail) for detail in _most_telling(document, model, details)]
        return None, tuple(findings)


def _as_written(document: Document, loc: Loc) -> Loc:
    """The path with the keys that the author wrote: ``length_m`` where the model has ``length_ft``."""
    written: list[str | int] = []
    for step in loc:
        holder, twin = document.node(tuple(written)), metric_twin(step) if isinstance(step, str) else None
        if (
            twin
            and isinstance(holder, MappingNode)
            and holder.entry(str(step)) is None
            and holder.entry(twin)
        ):
            step = twin
        written.append(step)
    return tuple(written)


def plain(node: Node) -> Any:
    """Convert a tree to dictionaries, lists and strings."""
    match node:
        case ScalarNode():
            return node.text
        case SequenceNode():
            return [plain(item) for item in node.items]
        case MappingNode():
            return {entry.key: plain(entry.value) for entry in node.entries}


def _most_telling(
    document: Document, model: type[BaseModel], details: list[ErrorDetails]
) -> Iterator[ErrorDetails]:
    """Drop errors that only follow from other errors."""
    meant = {
        (*detail["loc"][:-1], _meant_key(model, tuple(detail["loc"])))
        for detail in details
        if detail["type"] == "extra_forbidden"
    }
    for detail in details:
        loc: Loc = tuple(detail["loc"])
        node = document.node(loc)
        if detail["type"] == "missing" and loc in meant:
            continue  # the key is present, but misspelled
        if detail["type"] == "too_short" and isinstance(node, SequenceNode):
            least = (detail.get("ctx") or {}).get("min_length", 1)
            if len(node.items) >= least:
                continue  # long enough, but some items have errors of their own
        yield detail


def _meant_key(model: type[BaseModel], loc: Loc) -> str | None:
    """The known key closest to an unknown one, or None if none is close."""
    owner = next(iter(models_at(model, loc[:-1])), None)
    return close_name(str(loc[-1]), _known_keys(owner), cutoff=0.75)


def _known_keys(owner: type[BaseModel] | None) -> list[str]:
    """Every key allowed in a record, including the metric variants."""
    if owner is None:
        return []
    twins = owner.metric_twins().values() if issubclass(owner, MeasuredRecord) else ()
    return [*owner.model_fields, *twins]


def _finding(document: Document, model: type[BaseModel], detail: ErrorDetails) -> Finding:
    loc: Loc = tuple(detail["loc"])
    kind = detail["type"]
    if kind == "missing":
        return _missing(document, model, loc)
    if kind == "extra_forbidden":
        return _unknown(document, model, loc)
    written = _as_written(document, loc)
    field = field_at(model, loc)
    wrong, fix = _words(detail, document.node(written), loc, model, written)
    described = _described(field) if written == loc else _in_metric(_described(field))
    return document.finding(written, wrong, fix=fix or f"what belongs here: {described}")


def _missing(document: Document, model: type[BaseModel], loc: Loc) -> Finding:
    key, described = str(loc[-1]), _described(field_at(model, loc))
    twin = metric_twin(key)
    if twin in _known_keys(next(models_at(model, loc[:-1]), None)) and is_metric(document.tree.all_keys()):
        key, described = str(twin), _in_metric(described)
    return document.finding(loc[:-1], f'the key "{key}" is missing', fix=f'add "{key}": {described}')


def _in_metric(described: str) -> str:
    """A description with its units as a metric key has them."""
    return described.replace("in feet", "in meters").replace("miles per hour", "km/h")


def _unknown(document: Document, model: type[BaseModel], loc: Loc) -> Finding:
    owner = next(iter(models_at(model, loc[:-1])), None)
    key, meant = str(loc[-1]), _meant_key(model, loc)
    wrong = f'there is no key "{clip(key)}" here'
    hint = owner.fix_for(key) if owner is not None and issubclass(owner, Record) else None
    fix = hint or (f'write "{meant}"' if meant is not None else name_one_of(key, _known_keys(owner)))
    return document.finding(loc, wrong, fix=fix, key=True)


def _described(field: FieldInfo | None) -> str:
    """The field's description, also shown in the authors' manual, with a lower-case first letter."""
    words = (field.description if field is not None else None) or "see the page on writing procedures."
    return words[0].lower() + words[1:] if words[:2].istitle() else words


def _words(
    detail: ErrorDetails, node: Node | None, loc: Loc, model: type[BaseModel], written: Loc
) -> tuple[str, str]:
    """What is wrong and how to fix it; an empty fix means: use the field's description."""
    kind = detail["type"]
    fact = _Rejected(detail.get("ctx") or {}, node, loc, model, written)
    empty = isinstance(node, ScalarNode) and not node.text and kind not in _HELD_OTHERWISE
    if kind == "value_error":
        wrong, _, fix = str(detail["msg"]).removeprefix("Value error, ").partition("; ")
        return f'"{fact.key}" is empty' if empty else wrong, fix
    if empty:
        return _empty(fact)
    words = _WORDS.get(kind)
    if words is None:
        return f"this value cannot be read ({detail['msg'][0].lower()}{detail['msg'][1:]})", ""
    return words(fact)


class _Rejected(NamedTuple):
    """A value that the model does not accept, with what a message needs to describe it."""

    limits: Mapping[str, Any]
    node: Node | None
    loc: Loc
    model: type[BaseModel]
    written: Loc
    "The path with the author's own keys."

    @property
    def key(self) -> str:
        """The nearest named key above the value, as the author wrote it."""
        return next((step for step in reversed(self.written) if isinstance(step, str)), "file")

    def limit(self, name: str) -> str:
        """A limit with its unit, in the unit of the author's own key."""
        for ending, (_, ft_or_mph, unit) in METRIC_UNITS.items():
            if self.key.endswith(ending):
                return f"{round(self.limits[name] / ft_or_mph, 2):g} {unit}"
        return f"{self.limits[name]:g}{self.bound_unit}"

    @property
    def quoted(self) -> str:
        """The author's value in quotes, or its kind if it is not text."""
        match self.node:
            case ScalarNode(text=""):
                return "an empty value"
            case ScalarNode():
                return f'"{clip(self.node.text)}"'
            case SequenceNode():
                return "a list"
            case _:
                return "a group of keys"

    @property
    def bound_unit(self) -> str:
        """The unit of a limit if the author's value has a unit; limits are in feet and mph."""
        written = self.node.text.split() if isinstance(self.node, ScalarNode) else []
        unit = written[1] if len(written) == 2 else ""
        return {"ft": " ft", "m": " ft", "mph": " mph", "km/h": " mph"}.get(unit, "")

    def choices(self) -> list[str]:
        """The values that an enumeration or a literal type allows here."""
        mistakes: list[str] = []
        for annotation in annotations_at(self.model, self.loc):
            if isinstance(annotation, type) and issubclass(annotation, Enum):
                mistakes += [str(member.value) for member in annotation]
            elif get_origin(annotation) is not None and str(get_origin(annotation)).endswith("Literal"):
                mistakes += [str(value) for value in get_args(annotation)]
        return mistakes


def _wants_text(rejected: _Rejected) -> tuple[str, str]:
    return f'"{rejected.key}" holds {rejected.quoted} where one text is wanted', ""


def _wants_list(rejected: _Rejected) -> tuple[str, str]:
    wrong = f'"{rejected.key}" holds {rejected.quoted} where a list is wanted'
    name = (
        rejected.node.text
        if isinstance(rejected.node, ScalarNode) and re.fullmatch(r"[\w-]+", rejected.node.text)
        else ""
    )
    if name:
        return wrong, f"write [{name}]"
    return wrong, "begin each item on a line of its own with '- ', or write [one, two]"


def _wants_keys(rejected: _Rejected) -> tuple[str, str]:
    owner = next(iter(models_at(rejected.model, rejected.loc)), None)
    required = [name for name, field in owner.model_fields.items() if field.is_required()] if owner else []
    fix = f"write the keys it needs: {', '.join(required)}" if required else "write its keys below it"
    return f'"{rejected.key}" holds {rejected.quoted} where a group of keys is wanted', fix


def _empty(rejected: _Rejected) -> tuple[str, str]:
    if rejected.limits.get("min_length", 1) > 1:
        return f'"{rejected.key}" is too short', ""
    field = field_at(rejected.model, rejected.loc)
    optional = field is not None and not field.is_required()
    fix = "write the text, or leave the key out" if optional else f"write it: {_described(field)}"
    if choices := rejected.choices():
        fix += f" One of: {', '.join(choices)}."
    return f'"{rejected.key}" is empty', fix


def _too_long(rejected: _Rejected) -> tuple[str, str]:
    length = len(rejected.node.text) if isinstance(rejected.node, ScalarNode) else 0
    wrong = f'"{rejected.key}" has {length} characters; {rejected.limits["max_length"]} is the most'
    return wrong, "shorten it, or split it into two"


def _pattern(rejected: _Rejected) -> tuple[str, str]:
    if "a-z" in str(rejected.limits.get("pattern")):
        fix = "use small letters, digits and single hyphens, such as stop-engine"
        return f"{rejected.quoted} is not a name that can be pointed to", fix
    return f'{rejected.quoted} does not have the form of "{rejected.key}"', ""


def _choice(rejected: _Rejected) -> tuple[str, str]:
    wanted = rejected.node.text if isinstance(rejected.node, ScalarNode) else ""
    return f'{rejected.quoted} is not a value of "{rejected.key}"', name_one_of(wanted, rejected.choices())


def _number(rejected: _Rejected) -> tuple[str, str]:
    fix = "write digits alone: the unit has its own key or stands in the key's name"
    return f'{rejected.quoted} is not a number in "{rejected.key}"', fix


def _whole_number(rejected: _Rejected) -> tuple[str, str]:
    return (
        f'{rejected.quoted} is not a whole number in "{rejected.key}"',
        "write digits alone, without a point",
    )


def _limit(words: str, limit: str) -> Callable[[_Rejected], tuple[str, str]]:
    def beyond_limit(rejected: _Rejected) -> tuple[str, str]:
        bound = rejected.limit(limit)
        return f'"{rejected.key}" is {rejected.quoted.strip(chr(34))}; it must be {words} {bound}', ""

    return beyond_limit


def _few(rejected: _Rejected) -> tuple[str, str]:
    least = rejected.limits.get("min_length", 1)
    wrong = f'"{rejected.key}" needs at least {least} item{"s" if least != 1 else ""}'
    return wrong, ""


def _many(rejected: _Rejected) -> tuple[str, str]:
    return f'"{rejected.key}" has more than {rejected.limits.get("max_length")} items', ""


_HELD_OTHERWISE = frozenset(
    {"tuple_type", "list_type", "model_type", "model_attributes_type", "dict_type", "mapping_type"}
)
"""Error types of keys that take a list or a group: an empty value gets the message on what belongs below."""

_WORDS: dict[str, Callable[[_Rejected], tuple[str, str]]] = {
    "string_type": _wants_text,
    "string_too_short": _empty,
    "string_too_long": _too_long,
    "string_pattern_mismatch": _pattern,
    "enum": _choice,
    "literal_error": _choice,
    "int_type": _whole_number,
    "int_parsing": _whole_number,
    "int_parsing_size": _whole_number,
    "int_from_float": _whole_number,
    "float_type": _number,
    "float_parsing": _number,
    "finite_number": _number,
    "greater_than": _limit("more than", "gt"),
    "greater_than_equal": _limit("at least", "ge"),
    "less_than": _limit("less than", "lt"),
    "less_than_equal": _limit("at most", "le"),
    "tuple_type": _wants_list,
    "list_type": _wants_list,
    "too_short": _few,
    "too_long": _many,
    "model_type": _wants_keys,
    "model_attributes_type": _wants_keys,
    "dict_type": _wants_keys,
    "mapping_type": _wants_keys,
}


def field_at(model: type[BaseModel], loc: Loc) -> FieldInfo | None:
    """The model field for the last key in a path, or None."""
    names = [position for position, step in enumerate(loc) if isinstance(step, str)]
    for last in reversed(names):
        for owner in models_at(model, loc[:last]):
            if loc[last] in owner.model_fields:
                return owner.model_fields[str(loc[last])]
    return None


def models_at(model: type[BaseModel], loc: Loc) -> Iterator[type[BaseModel]]:
    """The models allowed at a path."""
    for annotation in annotations_at(model, loc):
        if isinstance(annotation, type) and issubclass(annotation, BaseModel):
            yield annotation


def annotations_at(model: type[BaseModel], loc: Loc) -> Iterator[Any]:
    """The type annotations that apply at a path."""
    current: list[Any] = [model]
    for step in loc:
        following = [inner for annotation in current for inner in _step_into(annotation, step)]
        current = following or current  # pydantic adds union member names, which are not in the file
    yield from current


def _step_into(annotation: Any, step: str | int) -> Iterator[Any]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        if step in annotation.model_fields:
            yield from members(annotation.model_fields[str(step)].annotation)
    elif get_origin(annotation) in (tuple, list) and isinstance(step, int):
        yield from members(get_args(annotation)[0])
    elif get_origin(annotation) in (dict, Mapping) and isinstance(step, str):
        yield from members(get_args(annotation)[1])


def members(annotation: Any) -> Iterator[Any]:
    """The member types of an annotation, with ``Annotated`` unwrapped and ``None`` left out."""
    origin = get_origin(annotation)
    if origin is Annotated:
        yield from members(get_args(annotation)[0])
    elif origin in (Union, types.UnionType):
        for member in get_args(annotation):
            yield from members(member)
    elif annotation is not type(None):
        yield annotation
