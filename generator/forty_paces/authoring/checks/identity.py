"""Checks of names: unique ids, codes and positions, file names that equal ids, distinct titles and terms."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Any, TypeVar

from forty_paces.authoring.documents import Document, Loc, ParsedRecord
from forty_paces.authoring.findings import Finding
from forty_paces.authoring.models.procedure import MOST_POSITIONS, Procedure
from forty_paces.authoring.parsed_content import ParsedContent

Kept = TypeVar("Kept")


def check_file_names(draft: ParsedContent) -> Iterator[Finding]:
    """The id in a file equals the file's name."""
    for document in draft.documents.values():
        if document.kind in ("procedure", "rule set", "scene", "lesson"):
            written = document.tree.text("id")
            if written is not None and written != document.name:
                wrong = f'the id "{written}" is not the file\'s name'
                fix = f'write "id: {document.name}", or rename the file to {written}.yml'
                yield document.finding(("id",), wrong, fix=fix)


def check_cards_and_positions(draft: ParsedContent) -> Iterator[Finding]:
    """No two procedures share a card code, a position in their group, a tile or a title's first two words."""
    procedures = sorted(draft.procedures, key=lambda filed: filed.document.path)
    records = [filed.record for filed in procedures]
    yield from _shared(
        procedures,
        "code",
        lambda procedure: procedure.code,
        'the card code "{}"',
        lambda one: _free_code(one, records),
    )
    yield from _shared(
        procedures,
        "position",
        lambda procedure: (procedure.group, procedure.position),
        "position {} of the group",
        lambda procedure: _free_positions(procedure, records),
    )
    yield from _shared(procedures, "tile", lambda procedure: procedure.tile.lower(), 'the tile "{}"')
    yield from _letters_of_families(procedures)
    first: dict[str, ParsedRecord[Procedure]] = {}
    for filed in procedures:
        start = " ".join(re.findall(r"[\w’'-]+", filed.record.title.lower())[:2])
        other = first.setdefault(start, filed)
        if other is not filed:
            wrong = f'the title "{filed.record.title}" begins like "{other.record.title}"'
            place = other.document.place(("title",))
            fix = f"change the first two words of one of them; the other is at {place}"
            yield filed.document.finding(("title",), wrong, fix=fix, rule="distinct-title")


def _letters_of_families(procedures: Sequence[ParsedRecord[Procedure]]) -> Iterator[Finding]:
    """Card-code letters and procedure families correspond one to one."""
    family_of: dict[str, ParsedRecord[Procedure]] = {}
    letters_of: dict[str, ParsedRecord[Procedure]] = {}
    for filed in procedures:
        code, family = filed.record.code, filed.record.family
        letters = code.rstrip("0123456789")
        same_letters = family_of.setdefault(letters, filed)
        same_family = letters_of.setdefault(family, filed)
        if code == same_letters.record.code and filed is not same_letters:
            continue  # reported as a duplicate code
        if same_letters.record.family != family:
            other = same_letters
            wrong = f'the letters {letters} stand for the family "{other.record.family}", not "{family}"'
            fix = f"choose other letters; {other.record.code} is at {other.document.place(('code',))}"
            yield filed.document.finding(("code",), wrong, fix=fix)
        elif same_family.record.code.rstrip("0123456789") != letters:
            other = same_family
            wrong = f'the codes of the family "{family}" begin with other letters'
            fix = f"begin it like {other.record.code} at {other.document.place(('code',))}"
            yield filed.document.finding(("code",), wrong, fix=fix)


def check_places_in_lists(draft: ParsedContent) -> Iterator[Finding]:
    """No two scenes and no two lessons share a position."""
    yield from _places_once(draft.scenes)
    yield from _places_once(draft.lessons)


def _places_once(listed: Sequence[ParsedRecord[Any]]) -> Iterator[Finding]:
    taken = {filed.record.position for filed in listed}
    free = next((f", such as {number}" for number in range(1, 100) if number not in taken), "")
    in_order = sorted(listed, key=lambda filed: filed.document.path)
    yield from _shared(
        in_order, "position", lambda procedure: procedure.position, "position {}", lambda _: free
    )


def _shared(
    several: Iterable[ParsedRecord[Kept]],
    key: str,
    value: Callable[[Kept], object],
    words: str,
    free: Callable[[Kept], str] = lambda _: "",
) -> Iterator[Finding]:
    first: dict[object, ParsedRecord[Kept]] = {}
    for filed in several:
        other = first.setdefault(value(filed.record), filed)
        if other is not filed:
            shown = words.format(getattr(filed.record, key))
            wrong = f'{shown} is taken by the {other.document.kind} "{other.document.name}"'
            place = other.document.place((key,))
            fix = f"give one of them another{free(filed.record)}; the other is at {place}"
            yield filed.document.finding((key,), wrong, fix=fix)


def _free_positions(procedure: Procedure, procedures: Iterable[Procedure]) -> str:
    taken = {other.position for other in procedures if other.group is procedure.group}
    free = [str(position) for position in range(1, MOST_POSITIONS + 1) if position not in taken]
    return f" (free in its group: {', '.join(free[:3])} ...)" if free else " (its group is full)"


def _free_code(procedure: Procedure, procedures: Iterable[Procedure]) -> str:
    letters, taken = procedure.code.rstrip("0123456789"), {other.code for other in procedures}
    codes = (f"{letters}{number}" for number in range(1, 100))
    return next((f", such as {code}" for code in codes if code not in taken), "")


def check_ids_within(draft: ParsedContent) -> Iterator[Finding]:
    """Ids are unique within a file, per kind of part."""
    for filed in draft.procedures:
        yield from ids_once(filed.document, _line_ids(filed.record), "names a second line")
        blocks = ((("blocks", i, "id"), block.id) for i, block in enumerate(filed.record.blocks))
        yield from ids_once(filed.document, blocks, "names a second block")
        clusters = ((("facts", i, "id"), cluster.id) for i, cluster in enumerate(filed.record.facts))
        yield from ids_once(filed.document, clusters, "names a second fact cluster")
        for i, cluster in enumerate(filed.record.facts):
            items = ((("facts", i, "items", j, "id"), item.id) for j, item in enumerate(cluster.items))
            yield from ids_once(filed.document, items, "names a second fact")
    for parsed, part, word in (
        (draft.sources, "sources", "source"),
        (draft.fleet, "vehicles", "vehicle"),
        (draft.fleet, "conditions", "condition"),
        (draft.fleet, "phones", "phone"),
        (draft.fleet, "policies", "policy"),
        (draft.glossary, "terms", "term"),
    ):
        if parsed is not None:
            named = (((part, i, "id"), entry.id) for i, entry in enumerate(getattr(parsed.record, part)))
            yield from ids_once(parsed.document, named, f"names a second {word}")


def _line_ids(procedure: Procedure) -> Iterator[tuple[Loc, str]]:
    """Ids of steps, lines and decision rows, which share one namespace."""
    for i, line in enumerate(procedure.by_heart):
        yield ("by_heart", i, "id"), line.id
    for i, block in enumerate(procedure.blocks):
        for j, step in enumerate(block.steps):
            yield ("blocks", i, "steps", j, "id"), step.id
            for k, line in enumerate(step.if_not.lines if step.if_not else ()):
                yield ("blocks", i, "steps", j, "if_not", "lines", k, "id"), line.id
    for i, row in enumerate(procedure.decision.rows if procedure.decision else ()):
        yield ("decision", "rows", i, "id"), row.id
    for part in ("never", "report", "roll_again"):
        for i, line in enumerate(getattr(procedure, part)):
            yield (part, i, "id"), line.id


def ids_once(document: Document, named: Iterable[tuple[Loc, str]], twice: str) -> Iterator[Finding]:
    """A finding for every id that stands twice; ``twice`` says of it what is wrong."""
    first: dict[str, Loc] = {}
    for loc, name in named:
        other = first.setdefault(name, loc)
        if other != loc:
            wrong = f'the id "{name}" {twice}'
            fix = f"give one of them another id; the other is at {document.place(other)}"
            yield document.finding(loc, wrong, fix=fix)


def check_glossary(draft: ParsedContent) -> Iterator[Finding]:
    """A replaced word is neither a term itself nor replaced by two terms."""
    if draft.glossary is None:
        return
    terms = draft.glossary.record.terms
    proper = {term.term.lower(): term.term for term in terms}
    first: dict[str, str] = {}
    for i, term in enumerate(terms):
        for j, word in enumerate(term.instead_of):
            loc = ("terms", i, "instead_of", j)
            if word.lower() in proper:
                wrong = f'"{word}" is replaced by "{term.term}" here, and is a term of its own elsewhere'
                yield draft.glossary.document.finding(loc, wrong, fix="keep one of the two entries")
            elif word.lower() in first:
                wrong = f'"{word}" is replaced by "{term.term}" here and by "{first[word.lower()]}" before'
                yield draft.glossary.document.finding(loc, wrong, fix="leave it with the term it belongs to")
            first.setdefault(word.lower(), term.term)
