"""Checks of sources: each can be located, gives its basis, is cited, and is not overdue if watched.

Citations are looked for in the YAML trees, so that files that fail validation are covered as well.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import lru_cache

from forty_paces.authoring.checks.reviews import OVERDUE, WARN_DAYS, months_later
from forty_paces.authoring.documents import Document, Loc
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.jurisdiction import Jurisdiction
from forty_paces.authoring.models.sources import READ_BASES, Basis, Source, SourceKind
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.yaml_tree import MappingNode, Node, ScalarNode, SequenceNode

WATCH_MONTHS = 6
"""Months from the last look at a watched regulation until its next review is due."""

SOURCES = "content/sources.yml"

MOST_PLACES = 8
"""Other places that the finding about an unknown source lists."""


def watch_due(source: Source) -> dt.date | None:
    """The day on which a watched source is due for review; None if it is not watched."""
    return months_later(source.watch.looked, WATCH_MONTHS) if source.watch is not None else None


def check_sources(draft: ParsedContent) -> Iterator[Finding]:
    """Each source has the publisher, edition, locator, copy and reading date that its basis requires.

    A copy or a reading date that does not fit the basis is a fault too.
    """
    if draft.sources is None:
        return
    document = draft.sources.document
    for i, source in enumerate(draft.sources.record.sources):
        loc: Loc = ("sources", i)
        yield from _can_be_found(document, loc, source)
        yield from _says_where_it_was_met(document, loc, source)
        yield from _is_dated(document, loc, source, draft.today)


def check_watched_sources(draft: ParsedContent) -> Iterator[Finding]:
    """Watched sources are due six months after the last look; the finding lists the files that cite them."""
    if draft.sources is None:
        return
    resting = _resting_on(draft)
    for i, source in enumerate(draft.sources.record.sources):
        due = watch_due(source)
        if due is None or source.watch is None:
            continue
        loc: Loc = ("sources", i, "watch", "looked")
        if source.watch.looked > draft.today:
            wrong = (
                f"this look is dated {source.watch.looked}, which is still to come; today is {draft.today}"
            )
            yield draft.sources.document.finding(loc, wrong, fix="write the day it was really done")
            continue
        if (due - draft.today).days > WARN_DAYS:
            continue
        late = due < draft.today
        state = (
            f"was due for review on {due}; today is {draft.today}" if late else f"is due for review on {due}"
        )
        wrong = (
            f'the watched source "{source.id}" {state}, with what rests on it: {_named(resting, source.id)}'
        )
        fix = (
            f"look at {source.watch.where}; bring those texts up to date; then write the day as 'looked'"
            + ("" if late else ": past that day nothing is built")
        )
        yield draft.sources.document.finding(loc, wrong, fix=fix, rule=OVERDUE, advice=not late)


def _can_be_found(document: Document, loc: Loc, source: Source) -> Iterator[Finding]:
    if source.kind is SourceKind.COMMON_PRACTICE or source.basis is Basis.COMPUTED:
        return
    needed = {"publisher": "who published the text"}
    if source.basis in READ_BASES:
        needed["edition"] = 'edition, year or day of the text that was read, or "undated"'
        needed["locator"] = "section, page or table, so that the place can be found again"
    for field, what in needed.items():
        if getattr(source, field) is None:
            wrong = f'the source "{source.id}" ({source.basis.value}) has no "{field}"'
            yield document.finding(loc, wrong, fix=f'add "{field}": {what}')


def _says_where_it_was_met(document: Document, loc: Loc, source: Source) -> Iterator[Finding]:
    if source.basis in (Basis.READ_IN_A_COPY, Basis.SECOND_HAND) and source.met_in is None:
        wrong = f'the source "{source.id}" is {source.basis.value}, but names no "met_in"'
        fix = 'add "met_in": the copy or the reporting text, by its own title or the name of its site'
        yield document.finding(loc, wrong, fix=fix)
    if source.basis in (Basis.READ, Basis.MEMORY, Basis.COMPUTED) and source.met_in is not None:
        wrong = f'the source "{source.id}" is said to be {source.basis.value}, but was met in another text'
        fix = 'write "basis: read-in-a-copy", "read-in-part" or "second-hand", or take "met_in" out'
        yield document.finding((*loc, "met_in"), wrong, fix=fix)


def _is_dated(document: Document, loc: Loc, source: Source, today: dt.date) -> Iterator[Finding]:
    if source.basis in READ_BASES and source.checked is None:
        wrong = f'the source "{source.id}" is said to be {source.basis.value}, but on no day'
        fix = 'add "checked" with the day on which it was read, or write "basis: memory"'
        yield document.finding(loc, wrong, fix=fix)
    elif source.basis not in READ_BASES and source.checked is not None:
        wrong = f'the source "{source.id}" bears a day of reading, but its basis is {source.basis.value}'
        fix = 'take "checked" out, or read the text and say so in "basis"'
        yield document.finding((*loc, "checked"), wrong, fix=fix)
    elif source.checked is not None and source.checked > today:
        wrong = f"this reading is dated {source.checked}, which is still to come; today is {today}"
        yield document.finding((*loc, "checked"), wrong, fix="write the day on which it was really read")


def _resting_on(draft: ParsedContent) -> dict[str, list[str]]:
    """Source id -> the content files that cite it."""
    resting: dict[str, list[str]] = {}
    for path, document in draft.documents.items():
        for wanted in sorted({wanted for _, wanted in cited_ids(document)}):
            resting.setdefault(wanted, []).append(path.removeprefix("content/").removesuffix(".yml"))
    return resting


def _named(resting: dict[str, list[str]], name: str) -> str:
    files = sorted(resting.get(name, []))
    return ", ".join(files[:8]) + (f" and {len(files) - 8} more" if len(files) > 8 else "") or "nothing"


def check_citations(draft: ParsedContent) -> Iterator[Finding]:
    """Unknown sources are faults; sources that nothing cites are advice."""
    known = draft.source_ids()
    cited: set[str] = set()
    unknown: dict[str, list[tuple[Document, Loc]]] = {}
    for path, document in draft.documents.items():
        if path == SOURCES:
            continue
        for loc, wanted in cited_ids(document):
            cited.add(wanted)
            if wanted not in known and known:
                unknown.setdefault(wanted, []).append((document, loc))
    for wanted, uses in unknown.items():
        document, loc = uses[0]
        places = list(dict.fromkeys(found.place(at) for found, at in uses))[1:]
        also = (
            f"; it is cited at {len(places)} more place{'s' if len(places) != 1 else ''}: " if places else ""
        )
        shown = ", ".join(map(str, places[:MOST_PLACES])) + (", ..." if len(places) > MOST_PLACES else "")
        wrong = f'the source "{wanted}" does not exist{also}{shown}'
        fix = f"{name_one_of(wanted, known)}; or add it to {SOURCES}"
        yield document.finding(loc, wrong, fix=fix)
    if draft.sources is None:
        return
    idle = [
        (i, source.id)
        for i, source in enumerate(draft.sources.record.sources)
        if source.id not in cited and draft.jurisdiction.accepts(source.country)
    ]
    if idle:
        shown = ", ".join(name for _, name in idle[:8]) + (
            f" and {len(idle) - 8} more" if len(idle) > 8 else ""
        )
        wrong = f"no content file cites {len(idle)} of the sources: {shown}"
        fix = "cite them where their figures are used, or delete them"
        yield draft.sources.document.finding(("sources", idle[0][0]), wrong, fix=fix, advice=True)


DRIVER_FILES = ("content/before_trip.yml", "content/after_event.yml", "content/ways_out.yml")
"""Files with cited texts that drivers read, besides procedures and lessons."""

LAW = frozenset({SourceKind.REGULATION, SourceKind.STANDARD})
"""Kinds of sources that bind; a handbook of another country may still teach how a thing is done."""


def is_foreign_law(source: Source, here: Jurisdiction) -> bool:
    """Whether a source is law, and of another country than that of the rule set in force."""
    return source.kind in LAW and not here.accepts(source.country)


def check_countries(draft: ParsedContent) -> Iterator[Finding]:
    """No text rests on the law of another country than that of the rule set in force."""
    here = draft.jurisdiction
    if draft.sources is None:
        return
    foreign = {
        source.id: source.country.upper()
        for source in draft.sources.record.sources
        if source.country is not None and is_foreign_law(source, here)
    }
    for path, document in draft.documents.items() if foreign and here.country is not None else ():
        if not path.startswith(("content/procedures/", "content/lessons/")) and path not in DRIVER_FILES:
            continue
        for loc, cited in cited_ids(document):
            if cited in foreign:
                assert here.country is not None
                wrong = (
                    f'this rests on "{cited}", law of {foreign[cited]}, and the rule set in force, '
                    f'"{here.rules}", is of {here.country.upper()}'
                )
                fix = (
                    f"write in content/editions/{here.rules}.yml what holds there, with its source, or leave "
                    "the text out; or name the rule set of the country that you drive in"
                )
                yield document.finding(loc, wrong, fix=fix, rule="country-law")


def cited_ids(document: Document) -> tuple[tuple[Loc, str], ...]:
    """Every source id that a content file cites, with its path."""
    return _all_cited(document.tree)


@lru_cache(maxsize=512)  # four checks ask, and a preview after every edit
def _all_cited(tree: MappingNode) -> tuple[tuple[Loc, str], ...]:
    return tuple(_cited(tree, ()))


def _cited(node: Node, loc: Loc) -> Iterator[tuple[Loc, str]]:
    if isinstance(node, SequenceNode):
        for i, item in enumerate(node.items):
            yield from _cited(item, (*loc, i))
    elif isinstance(node, MappingNode):
        for entry in node.entries:
            if entry.key == "source" and isinstance(entry.value, SequenceNode):
                for i, item in enumerate(entry.value.items):
                    if isinstance(item, ScalarNode):
                        yield (*loc, "source", i), item.text
            else:
                yield from _cited(entry.value, (*loc, entry.key))
