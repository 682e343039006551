"""Changes single texts, steps and signatures of library procedures, as content/library.yml says.

The changes are made in the tree, with the positions of library.yml, before the procedure is validated: every
check then sees the text that drivers will see, and a finding about it names the line to correct. A procedure
with a changed text or step loses the library's signatures: nobody has reviewed it as it now is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from forty_paces.authoring.binding import bind
from forty_paces.authoring.documents import Document, Loc
from forty_paces.authoring.findings import Finding, clip, name_one_of
from forty_paces.authoring.layers import Layers
from forty_paces.authoring.models.layers import AddedStep, LocalReview, ReplacedText
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.models.record import AnyConditions
from forty_paces.authoring.texts import texts
from forty_paces.authoring.yaml_tree import MappingEntry, MappingNode, Node, SequenceNode

SIGNATURES = ("technical", "user", "safety_lead")


@dataclass(slots=True)
class Overlay:
    """The changes of library.yml by procedure, with a record of which were made."""

    layers: Layers
    made: set[Loc] = field(default_factory=set)

    def apply(self, document: Document, *, in_library: bool) -> tuple[Document, tuple[Finding, ...]]:
        """The document with its changes, and findings. ``document`` has its shared passages expanded."""
        if self.layers.document is None:
            return document, ()
        work = _ProcedureChanges(self, document, in_library)
        return work.changed(), tuple(work.findings)

    def unused(self) -> Iterator[Finding]:
        """Findings about changes to procedures that are not there. Call after all were applied."""
        document, changes = self.layers.document, self.layers.changes
        if document is None:
            return
        known = [file.file.stem for file in self.layers.folder("procedures")]
        named = [
            *((("texts", i, "at"), one.at.split("/")[0]) for i, one in enumerate(changes.texts)),
            *((("steps", i, "into"), one.into.split("/")[0]) for i, one in enumerate(changes.steps)),
            *((("reviews", i, "procedure"), one.procedure) for i, one in enumerate(changes.reviews)),
        ]
        for loc, name in named:
            if loc not in self.made:
                wrong = f'there is no procedure "{clip(name)}" to change'
                fix = f"{name_one_of(name, known)}; or delete this entry"
                if "\\" in name:
                    fix = "write the id with forward slashes: PROCEDURE/by_heart/LINE/do"
                yield document.finding(loc, wrong, fix=fix)


@dataclass(slots=True)
class _ProcedureChanges:
    """The changes to one procedure."""

    overlay: Overlay
    document: Document
    in_library: bool
    findings: list[Finding] = field(default_factory=list)

    def changed(self) -> Document:
        """The document with every change that can be made."""
        changes, name = self.overlay.layers.changes, self.document.name
        mine = [(i, one) for i, one in enumerate(changes.texts) if one.at.split("/")[0] == name]
        added = [(i, one) for i, one in enumerate(changes.steps) if one.into.split("/")[0] == name]
        reviews = [(i, one) for i, one in enumerate(changes.reviews) if one.procedure == name]
        tree = self.document.tree
        if not (mine or added or reviews):
            return self.document
        locs: list[Loc] = [
            *(("texts", i, "at") for i, _ in mine),
            *(("steps", i, "into") for i, _ in added),
            *(("reviews", i, "procedure") for i, _ in reviews),
        ]
        self.overlay.made.update(locs)
        if not self.in_library:
            self._replaced_whole(locs)
            return self.document
        record, _ = bind(self.document, Procedure, conditions=AnyConditions())
        if record is None:
            return self.document  # its own findings say why
        if mine or added:
            tree = _without_signatures(tree)
        tree = self._with_texts(tree, record, mine)
        for i, one in added:
            tree = self._with_step(tree, i, one)
        for i, review in reviews:
            tree = self._with_review(tree, record.version, i, review)
        return Document(self.document.kind, self.document.name, self.document.path, tree)

    def _fault(self, loc: Loc, wrong: str, fix: str) -> None:
        assert self.overlay.layers.document is not None
        self.findings.append(self.overlay.layers.document.finding(loc, wrong, fix=fix))

    def _node(self, loc: Loc) -> Node:
        assert self.overlay.layers.document is not None
        node = self.overlay.layers.document.node(loc)
        assert node is not None
        return node

    def _replaced_whole(self, changes: Iterable[Loc]) -> None:
        for loc in changes:
            wrong = (
                f'"{self.document.name}" is replaced whole by {self.document.path}, so this changes nothing'
            )
            self._fault(loc, wrong, "make the change in that file, and delete this entry")

    def _with_texts(
        self, tree: MappingNode, record: Procedure, mine: list[tuple[int, ReplacedText]]
    ) -> MappingNode:
        known = {f"{record.id}/{text.address}": text for text in texts(record)}
        seen: dict[str, int] = {}
        for i, one in mine:
            text = known.get(one.at)
            if one.at in seen:
                other = self._node(("texts", seen[one.at], "at")).place
                self._fault(
                    ("texts", i, "at"),
                    f'"{clip(one.at)}" is replaced twice',
                    f"keep one; the other is at {other}",
                )
                continue
            seen[one.at] = i
            if text is None:
                wrong = f'the library has no text "{clip(one.at)}" any more, or never had'
                self._fault(("texts", i, "at"), wrong, f"{name_one_of(one.at, known)}; or delete this entry")
                continue
            if one.was is None:
                wrong = f'nothing says which text "{clip(one.at)}" replaces'
                self._fault(("texts", i), wrong, f'add was: "{text.text}"')
            elif one.was != text.text:
                changed = f'"{one.was}" is now "{text.text}"'
                wrong = f'the library has changed "{clip(one.at)}" since you replaced it: {changed}'
                fix = f'compare it with yours, "{clip(one.text, 200)}"; then write was: "{text.text}"'
                self._fault(("texts", i, "was"), wrong, fix)
            if text.sources and one.source is None:
                wrong = f'"{clip(one.at)}" cites sources, and your text cites none'
                fix = f"add source: [carrier-policy], or [{', '.join(text.sources)}] where it says the same"
                self._fault(("texts", i), wrong, fix)
            tree = _set(tree, text.loc, self._node(("texts", i, "text")))
            if one.source is not None and text.sources:
                holder = text.loc[:-1]
                while _at(tree, (*holder, "source")) is None:
                    holder = holder[:-1]
                tree = _set(tree, (*holder, "source"), self._node(("texts", i, "source")))
        return tree

    def _with_step(self, tree: MappingNode, i: int, one: AddedStep) -> MappingNode:
        parts = one.into.split("/")
        blocks = _at(tree, ("blocks",))
        assert isinstance(blocks, SequenceNode)
        ids = [block.text("id") or "" for block in blocks.items if isinstance(block, MappingNode)]
        if len(parts) != 3 or parts[1] != "blocks" or parts[2] not in ids:
            known = [f"{self.document.name}/blocks/{name}" for name in ids]
            wrong = f'the library has no block "{clip(one.into)}"'
            self._fault(("steps", i, "into"), wrong, name_one_of(one.into, known))
            return tree
        loc: Loc = ("blocks", ids.index(parts[2]), "steps")
        steps = _at(tree, loc)
        assert isinstance(steps, SequenceNode)
        names = [step.text("id") or "" for step in steps.items if isinstance(step, MappingNode)]
        beside = one.after or one.before
        if beside is not None and beside not in names:
            key = "after" if one.after else "before"
            self._fault(("steps", i, key), f'the block has no step "{beside}"', name_one_of(beside, names))
            return tree
        position = len(names) if beside is None else names.index(beside) + (1 if one.after else 0)
        own = self._node(("steps", i, "step"))
        return _set(
            tree, loc, SequenceNode((*steps.items[:position], own, *steps.items[position:]), steps.place)
        )

    def _with_review(self, tree: MappingNode, version: str, i: int, one: LocalReview) -> MappingNode:
        if one.version != version:
            assert self.overlay.layers.document is not None
            wrong = (
                f'version {one.version} of "{one.procedure}" was signed, and the library now has {version}'
            )
            fix = f"review it again, then write the new day and version: {version}"
            self.findings.append(
                self.overlay.layers.document.finding(("reviews", i, "version"), wrong, fix=fix, advice=True)
            )
            return tree
        for name in SIGNATURES:
            if getattr(one, name) is not None:
                tree = _set(tree, ("review", name), self._node(("reviews", i, name)))
        return tree


def _without_signatures(tree: MappingNode) -> MappingNode:
    review = tree.child("review")
    if not isinstance(review, MappingNode):
        return tree
    kept = tuple(entry for entry in review.entries if entry.key not in SIGNATURES)
    return _set(tree, ("review",), MappingNode(kept, review.place))


def _at(node: Node | None, loc: Loc) -> Node | None:
    for step in loc:
        if isinstance(node, MappingNode) and isinstance(step, str):
            node = node.child(step)
        elif isinstance(node, SequenceNode) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
        else:
            return None
    return node


def _set(tree: MappingNode, loc: Loc, value: Node) -> MappingNode:
    changed = _put(tree, loc, value)
    assert isinstance(changed, MappingNode)
    return changed


def _put(node: Node, loc: Loc, value: Node) -> Node:
    """A copy of the tree with the node at ``loc`` replaced; a key that is not there is added."""
    if not loc:
        return value
    step, rest = loc[0], loc[1:]
    if isinstance(node, MappingNode) and isinstance(step, str):
        if node.entry(step) is None:
            return MappingNode(
                (*node.entries, MappingEntry(step, value.place, _put(value, rest, value))), node.place
            )
        return MappingNode(
            tuple(
                MappingEntry(one.key, one.key_place, _put(one.value, rest, value)) if one.key == step else one
                for one in node.entries
            ),
            node.place,
        )
    assert isinstance(node, SequenceNode)
    assert isinstance(step, int)
    return SequenceNode(
        (*node.items[:step], _put(node.items[step], rest, value), *node.items[step + 1 :]), node.place
    )
