"""Applies the vocabulary rules outside procedures: lessons, scenes, lists, rule texts and the fleet.

All findings are advice: a lesson may quote a driver who uses the wrong words.
"""

from __future__ import annotations

from collections.abc import Iterator

from forty_paces.authoring.documents import Loc
from forty_paces.authoring.findings import Finding
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.texts import DriverText, Role
from forty_paces.authoring.wording.misread import no_misread_words
from forty_paces.authoring.wording.rule import TextGroup
from forty_paces.authoring.wording.structure import sentence_case
from forty_paces.authoring.wording.vocabulary import no_slash, one_term, plain_duty
from forty_paces.authoring.yaml_tree import MappingNode, Node, ScalarNode, SequenceNode

RULES_EVERYWHERE = (
    ("sentence-case", sentence_case),
    ("plain-duty", plain_duty),
    ("one-term", one_term),
    ("no-slash", no_slash),
    ("no-misread-words", no_misread_words),
)
"""Rules that apply to all content."""

_CHECKED_ELSEWHERE = frozenset({"procedure", "shared passages", "glossary", "bibliography"})
"""Kinds with checks of their own, and the glossary and bibliography, which quote other wordings."""

_NO_WORDS = frozenset({"citation", "author", "carrier", "number", "plate", "publisher", "section"})
"""Keys whose values are names or references, not prose."""


def check_other_words(draft: ParsedContent) -> Iterator[Finding]:
    """Advice on the wording of every file that is not a procedure."""
    glossary = draft.glossary.record if draft.glossary is not None else Glossary()
    for document in draft.documents.values():
        if document.kind in _CHECKED_ELSEWHERE:
            continue
        texts = tuple(DriverText("", loc, Role.VALUE, text) for loc, text in _texts(document.tree, ()))
        for rule, check in RULES_EVERYWHERE:
            for hit in check(TextGroup(texts, glossary)):
                yield document.finding(hit.loc, hit.wrong, fix=hit.fix, rule=rule, advice=True)


def _texts(node: Node, loc: Loc) -> Iterator[tuple[Loc, str]]:
    """Every value that contains a space; names and numbers contain none."""
    if isinstance(node, MappingNode):
        for entry in node.entries:
            if entry.key not in _NO_WORDS:
                yield from _texts(entry.value, (*loc, entry.key))
    elif isinstance(node, SequenceNode):
        for i, item in enumerate(node.items):
            yield from _texts(item, (*loc, i))
    elif isinstance(node, ScalarNode) and " " in node.text:
        yield loc, node.text
