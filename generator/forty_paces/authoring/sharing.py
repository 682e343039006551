"""Replaces ``{use: ID}`` in a procedure by the passage of content/shared.yml with that id.

Expanded passages keep their positions in shared.yml, so findings point there. Unknown ids,
recursive passages and excessive expansion are findings.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from forty_paces.authoring.documents import Document, Loc
from forty_paces.authoring.findings import Finding, name_one_of
from forty_paces.authoring.yaml_tree import MappingEntry, MappingNode, Node, ScalarNode, SequenceNode

MOST_NODES = 20_000
"""Most tree nodes of an expanded procedure; passages that use passages can grow exponentially."""

DEEPEST_USE = 4
"""Most levels of passages within passages; one level is usual, and readers can follow two at most."""


@dataclass(slots=True)
class Shared:
    """The passages of shared.yml, with a record of which were used."""

    document: Document | None
    unreadable: bool = False
    "True if the file exists but could not be parsed: no passage is then reported as missing."
    used: set[str] = field(default_factory=set)

    def passages(self) -> MappingNode | None:
        """The mapping under the key ``shared``, or None."""
        passages = self.document.tree.child("shared") if self.document is not None else None
        return passages if isinstance(passages, MappingNode) else None

    def own_findings(self) -> list[Finding]:
        """Findings about shared.yml that do not depend on any procedure."""
        if self.document is None:
            return []
        findings = [
            self.document.finding(
                (entry.key,),
                f'there is no key "{entry.key}" here',
                fix='put every passage under the one key "shared"',
                key=True,
            )
            for entry in self.document.tree.entries
            if entry.key != "shared"
        ]
        passages = self.passages()
        if passages is None and not findings:
            fix = "write 'shared:', and below it one id for each passage"
            return [self.document.finding((), 'the key "shared" is missing', fix=fix)]
        for entry in passages.entries if passages is not None else ():
            if not isinstance(entry.value, MappingNode):
                wrong = f'the shared passage "{entry.key}" is not a group of keys'
                fix = "write a whole step, line or notice: its keys, two spaces further in"
                findings.append(self.document.finding(("shared", entry.key), wrong, fix=fix))
        return findings

    def unused_findings(self) -> list[Finding]:
        """Advice about passages that no procedure uses. Call after all procedures are expanded."""
        passages = self.passages()
        if passages is None or self.document is None:
            return []
        return [
            self.document.finding(
                ("shared", entry.key),
                f'no procedure uses the shared passage "{entry.key}"',
                fix=f"write {{use: {entry.key}}} where it belongs, or delete it",
                advice=True,
                key=True,
            )
            for entry in passages.entries
            if entry.key not in self.used
        ]

    def expand(self, document: Document) -> tuple[Document, tuple[Finding, ...], frozenset[Loc]]:
        """The document with every ``{use: ID}`` replaced, findings, and the paths of those not replaced."""
        work = _Expansion(self, document)
        tree = work.node(document.tree, (), ())
        if not isinstance(tree, MappingNode):
            tree = document.tree
        grown = Document(document.kind, document.name, document.path, tree)
        return grown, tuple(work.findings), frozenset(work.faulty)


@dataclass(slots=True)
class _Expansion:
    shared: Shared
    document: Document
    findings: list[Finding] = field(default_factory=list)
    faulty: set[Loc] = field(default_factory=set)
    count: int = 0
    stopped: bool = False
    "True after a limit was exceeded or a cycle found: the rest is not expanded."

    def node(self, node: Node, loc: Loc, within: tuple[str, ...]) -> Node:
        self.count += 1
        if self.stopped:
            return node
        match node:
            case ScalarNode():
                return node
            case SequenceNode(items, place):
                grown = tuple(self.node(item, (*loc, i), within) for i, item in enumerate(items))
                return SequenceNode(grown, place)
            case MappingNode(entries, place):
                use = node.entry("use")
                if use is not None:
                    return self._passage(node, use, loc, within)
                kept = tuple(
                    MappingEntry(
                        entry.key, entry.key_place, self.node(entry.value, (*loc, entry.key), within)
                    )
                    for entry in entries
                )
                return MappingNode(kept, place)

    def _passage(self, table: MappingNode, use: MappingEntry, loc: Loc, within: tuple[str, ...]) -> Node:
        passages = self.shared.passages()
        known = [entry.key for entry in passages.entries] if passages is not None else []
        wanted = use.value.text if isinstance(use.value, ScalarNode) else ""
        passage = passages.child(wanted) if passages is not None else None
        if len(table.entries) > 1:
            others = ", ".join(f'"{entry.key}"' for entry in table.entries if entry is not use)
            fix = "delete the other keys, or delete 'use' and write the passage out"
            self._fault(use, loc, f'"use" stands beside {others}: it must stand alone', fix)
        elif not isinstance(use.value, ScalarNode):
            self._fault(use, loc, '"use" must name one shared passage', name_one_of("", known))
        elif passages is None and (self.shared.unreadable or self.shared.document is not None):
            self.faulty.add(loc)
        elif passage is None:
            wrong = f'the shared passage "{wanted}" does not exist'
            self._fault(use, loc, wrong, f"{name_one_of(wanted, known)}; they stand in content/shared.yml")
        elif wanted in within:
            circle = " > ".join((*within[within.index(wanted) :], wanted))
            wrong = f"shared passages use one another in a circle: {circle}"
            self._endless(use, loc, wrong, "write one of them out instead of naming it")
        elif len(within) >= DEEPEST_USE:
            wrong = f"shared passages stand within one another more than {DEEPEST_USE} deep"
            self._endless(use, loc, wrong, "write this one out instead of naming it")
        elif isinstance(passage, MappingNode):
            self.shared.used.add(wanted)
            grown = self.node(passage, loc, (*within, wanted))
            if self.count > MOST_NODES and not self.stopped:
                wrong = f"the shared passages make this procedure longer than {MOST_NODES:,} values"
                self._endless(use, loc, wrong, "use fewer passages within passages")
            return grown
        return table

    def _endless(self, use: MappingEntry, loc: Loc, wrong: str, fix: str) -> None:
        self._fault(use, loc, wrong, fix)
        self.faulty.add(())
        self.stopped = True

    def _fault(self, use: MappingEntry, loc: Loc, wrong: str, fix: str) -> None:
        self.findings.append(Finding(use.value.place, wrong, self.document.trail(loc), fix))
        self.faulty.add(loc)
