"""Texts of content records by their stable ids, and the same records in another language.

An id is the path to the text by ids, with numbers from 1 where entries have none:
``rules/us/texts/flashers/text``. One walk lists the texts and one exchanges them, so a
translation reaches whatever renders a record. Names, citations, review and change notes, and
what only a teacher reads are not translated.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from types import MappingProxyType
from typing import Any, TypeVar

from pydantic import BaseModel

from forty_paces.authoring.documents import Loc
from forty_paces.authoring.library import Library
from forty_paces.authoring.models import checklists, device_layout, fleet, glossary, lesson, rules, scenario
from forty_paces.authoring.models import procedure as procedures
from forty_paces.authoring.models.record import OwnCondition
from forty_paces.geometry import scene

Shown = TypeVar("Shown")

TEXTS: Mapping[type, tuple[str, ...]] = {
    procedures.Procedure: ("title", "tile", "cues", "stopped", "need", "finished", "local_rule"),
    procedures.Block: ("title",),
    procedures.Step: ("do", "why"),
    procedures.Notice: ("hazard", "consequence", "avoid"),
    procedures.Measure: ("how", "otherwise"),
    procedures.Line: ("do", "why"),
    procedures.OtherWay: ("can", "title"),
    procedures.Decision: ("title",),
    procedures.DecisionRow: ("see", "do"),
    procedures.Never: ("text", "why"),
    procedures.FactCluster: ("title",),
    procedures.Fact: ("label", "value"),
    checklists.BeforeTrip: ("title", "local_rule", "finished"),
    checklists.AfterEvent: ("title", "local_rule", "finished"),
    checklists.KnowFirst: ("text",),
    checklists.PointGroup: ("title",),
    checklists.ChecklistPoint: ("what", "right", "otherwise"),
    checklists.RecordItem: ("write", "hint"),
    checklists.PictureToTake: ("show", "why"),
    checklists.Deadline: ("what", "from_event", "past", "applies"),
    checklists.Call: ("say",),
    checklists.Defect: ("part", "tell"),
    checklists.WayOut: ("button", "title"),
    rules.RuleFile: ("title", "region", "applies_to"),
    rules.Visibility: ("title", "assumption"),
    rules.RuleText: ("title", "text"),
    rules.Silence: ("about", "assumed"),
    device_layout.RoadLayout: ("forbidden", "note", "leave_out_first"),
    device_layout.DevicePosition: ("remark",),
    rules.WorkedExample: ("title", "because"),
    scene.Scene: ("title", "place", "teaching_point", "notes"),
    scene.Strip: ("title",),
    scene.Outline: ("title",),
    lesson.Lesson: ("title", "goals", "need"),
    lesson.Question: ("cue", "ask", "answer", "why"),
    lesson.WrongChoice: ("text", "correction"),
    lesson.Walkthrough: ("story",),
    lesson.Example: ("title", "situation"),
    lesson.Mixed: ("cue", "why"),
    lesson.MistakenFor: ("correction",),
    lesson.Practice: ("do", "floor", "pass_mark"),
    scenario.Scenario: ("title", "story"),
    scenario.Moment: ("meets", "ask", "why"),
    scenario.ScenarioChoice: ("do", "then"),
    scenario.End: ("text",),
    glossary.Term: ("term", "meaning"),
    glossary.Abbreviation: ("long",),
    fleet.Phone: ("who", "number", "call_when"),
    fleet.Vehicle: ("title",),
    fleet.Detail: ("what", "value"),
    fleet.Policy: ("text",),
    fleet.FleetCondition: ("words", "without"),
}
"""The texts of each kind of record, and no other field of it."""

LEFT_OUT = frozenset({"review", "changes", "waive"})
"""Fields with records of their own that no driver reads."""

FLEET = "content/fleet.yml"

_LETTER = re.compile(r"[^\W\d_]")

_OF_A_LIST = re.compile(r"^(before-trip|after-event)/(?:groups|fit_to_roll)/([^/]+)/points/")


@dataclass(frozen=True, slots=True)
class ContentText:
    """One text of a content file."""

    id: str
    text: str
    path: str
    "The file, from the project's folder."
    loc: Loc
    "Path by keys and positions in the file."


def _id(path: str) -> str:
    """The id of a text. Points and the first line of the two lists have had shorter ones from the start."""
    return _OF_A_LIST.sub(r"\1/\2/", path).replace("/know_first/text", "/know_first")


Exchange = Callable[[str, str], str]
"""Takes the id of a text and its English, and returns what is shown."""

_Visit = Callable[[str, str, Loc], str]
"""The same, with the place in the file."""


def _exchanged(value: Any, path: str, loc: Loc, exchange: _Visit) -> Any:
    """The value with every text below it exchanged; the value itself where it holds none."""
    if isinstance(value, OwnCondition):
        words = "words" if value.holds else "without"
        return OwnCondition(
            value.of,
            exchange(f"fleet/conditions/{value.of}/{words}", value.words, ()),
            holds=value.holds,
        )
    if isinstance(value, tuple):
        return tuple(
            _exchanged(one, f"{path}/{_name(one, at)}", (*loc, at), exchange) for at, one in enumerate(value)
        )
    if not _is_record(value):
        return value
    own = TEXTS.get(type(value), ())
    new: dict[str, Any] = {}
    for name in _field_names(value):
        held, at, there = getattr(value, name), f"{path}/{name}", (*loc, name)
        if name in own:
            new[name] = _shown(held, at, there, exchange)
        elif name not in LEFT_OUT and (isinstance(held, tuple) or _is_record(held)):
            new[name] = _exchanged(held, at, there, exchange)
    changed = {name: held for name, held in new.items() if held != getattr(value, name) or _has_words(held)}
    return _with(value, changed) if changed else value


def _has_words(held: object) -> bool:
    """Whether equal values can read differently: a condition equals its id, whatever its words."""
    return isinstance(held, tuple) and any(isinstance(one, OwnCondition) for one in held)


def _shown(held: Any, path: str, loc: Loc, exchange: _Visit) -> Any:
    if isinstance(held, tuple):
        return tuple(_shown(one, f"{path}/{at + 1}", (*loc, at), exchange) for at, one in enumerate(held))
    if held is None or not _LETTER.search(held):  # a telephone number is the same in every language
        return held
    return exchange(_id(path), held, loc)


def _name(one: object, position: int) -> str:
    """How an entry of a sequence is named in ids: by its own id or what it refers to, or by its position."""
    for name in ("id", "phone", "short", "procedure"):
        found = getattr(one, name, None)
        if isinstance(found, str):
            return found
    return str(position + 1)


def _is_record(value: object) -> bool:
    return isinstance(value, BaseModel) or (is_dataclass(value) and type(value) in TEXTS)


def _field_names(value: Any) -> tuple[str, ...]:
    if isinstance(value, BaseModel):
        return tuple(type(value).model_fields)
    return tuple(field.name for field in fields(value))


def _with(value: Any, changed: Mapping[str, Any]) -> Any:
    """A copy with other fields, without what was computed from the old ones."""
    if not isinstance(value, BaseModel):
        return replace(value, **changed)
    copy = value.model_copy(update=dict(changed))
    for name in set(copy.__dict__) - set(type(value).model_fields):
        del copy.__dict__[name]
    return copy


def _parts(library: Library) -> Iterator[tuple[str, str, Any]]:
    """(root of the ids, file, record) of everything with texts; of the rule sets only the one in force."""
    for one in library.procedures:
        yield one.id, f"content/procedures/{one.id}.yml", one
    for root, part in (("before-trip", library.before_trip), ("after-event", library.after_event)):
        if part is not None:
            yield root, f"content/{root.replace('-', '_')}.yml", part
    yield "ways-out", "content/ways_out.yml", library.ways_out
    in_force = library.rules[library.fleet.rules]
    yield f"rules/{in_force.id}", f"content/rules/{in_force.id}.yml", in_force
    folders: tuple[tuple[str, Mapping[str, Any]], ...] = (
        ("scenes", library.scenes),
        ("lessons", library.lessons),
        ("scenarios", library.scenarios),
    )
    for folder, records in folders:
        for name, record in records.items():
            yield f"{folder}/{name}", f"content/{folder}/{name}.yml", record
    yield "glossary", "content/glossary.yml", library.glossary
    yield "fleet", FLEET, library.fleet


def content_texts(library: Library) -> tuple[ContentText, ...]:
    """Every text of the content that a driver or a learner reads, in the order of the files."""
    found: dict[str, ContentText] = {}
    for root, path, record in _parts(library):

        def note(text_id: str, text: str, loc: Loc, path: str = path) -> str:
            found[text_id] = ContentText(text_id, text, path if loc else FLEET, loc)
            return text

        _exchanged(record, root, ("ways",) if root == "ways-out" else (), note)
    return tuple(found.values())


def in_language(library: Library, exchange: Exchange) -> Library:
    """The library with every text exchanged: what all renderers read."""

    def visit(text_id: str, english: str, _loc: Loc) -> str:
        return exchange(text_id, english)

    new: dict[str, Any] = {root: _exchanged(record, root, (), visit) for root, _, record in _parts(library)}
    return replace(
        library,
        procedures=tuple(new[one.id] for one in library.procedures),
        rules=MappingProxyType(
            {name: new.get(f"rules/{name}", one) for name, one in library.rules.items()},
        ),
        scenes=MappingProxyType({name: new[f"scenes/{name}"] for name in library.scenes}),
        lessons=MappingProxyType({name: new[f"lessons/{name}"] for name in library.lessons}),
        scenarios=MappingProxyType({name: new[f"scenarios/{name}"] for name in library.scenarios}),
        fleet=new["fleet"],
        glossary=new["glossary"],
        before_trip=new.get("before-trip"),
        after_event=new.get("after-event"),
        ways_out=new["ways-out"],
    )
