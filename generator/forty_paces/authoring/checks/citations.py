"""Checks that every cited source exists and that every source is cited.

Works on the YAML trees, so that it covers every kind of file, also those that fail validation.
"""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.authoring.documents import Document, Loc
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.yaml_tree import MappingNode, Node, ScalarNode, SequenceNode

SOURCES = "content/sources.yml"

MOST_PLACES = 8
"""Other places that the finding about an unknown source lists."""


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
    idle = [(i, source.id) for i, source in enumerate(draft.sources.record.sources) if source.id not in cited]
    if idle:
        shown = ", ".join(name for _, name in idle[:8]) + (
            f" and {len(idle) - 8} more" if len(idle) > 8 else ""
        )
        wrong = f"no content file cites {len(idle)} of the sources: {shown}"
        fix = "cite them where their figures are used, or delete them"
        yield draft.sources.document.finding(("sources", idle[0][0]), wrong, fix=fix, advice=True)


def cited_ids(document: Document) -> Iterator[tuple[Loc, str]]:
    """Every source id that a content file cites, with its path."""
    yield from _cited(document.tree, ())


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
