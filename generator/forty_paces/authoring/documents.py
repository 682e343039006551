"""A parsed content file that maps every part of its tree back to a line and column.

Parts are addressed by the fields and positions of the record made from the file
(:data:`Loc`); trails name them by their ids.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Generic, TypeAlias, TypeVar

from forty_paces.authoring.findings import Finding, Place, clip
from forty_paces.authoring.yaml_tree import MappingNode, Node, ScalarNode, SequenceNode

Step: TypeAlias = str | int
Loc: TypeAlias = tuple[Step, ...]
"""A path from the root to a value: keys, and positions from 0 within sequences."""

SINGULAR: dict[str, str] = {
    "by_heart": "by-heart line",
    "blocks": "block",
    "steps": "step",
    "rows": "row",
    "never": "never line",
    "facts": "fact cluster",
    "items": "item",
    "report": "report line",
    "roll_again": "roll-again line",
    "changes": "change",
    "waive": "waiver",
    "cues": "cue",
    "need": "tool",
    "source": "source",
    "when": "condition",
    "sources": "source",
    "phones": "phone",
    "vehicles": "vehicle",
    "policies": "policy",
    "terms": "term",
    "abbreviations": "abbreviation",
    "layouts": "layout",
    "devices": "device",
    "examples": "example",
    "visibility": "visibility class",
    "cautions": "caution",
    "questions": "question",
    "moments": "moment",
    "choices": "choice",
    "ends": "end",
    "figures": "figure",
    "exercises": "exercise",
    "instead_of": "replaced word",
    "wrong": "wrong choice",
    "mixed": "mixed item",
    "mistaken_for": "mistake",
    "placing": "placing example",
    "practice": "exercise",
    "groups": "group",
    "points": "point",
    "calls": "call",
    "deadlines": "deadline",
    "record": "record item",
    "pictures": "picture",
    "silent": "silent entry",
    "ways": "way out",
    "opens": "procedure",
    "or_to": "procedure",
    "shows": "step",
}
"""Key of a sequence -> what one of its items is called in a trail."""

_NAMES = ("id", "short", "version", "at", "title", "label", "do", "text", "see", "use")
"""Keys that identify an item of a sequence in a trail, best first."""


@dataclass(frozen=True, slots=True)
class Document:
    """One parsed content file."""

    kind: str
    "What the file holds: 'procedure', 'rule set', 'fleet'."
    name: str
    "The file's name without .yml."
    path: str
    "Relative to the project, with forward slashes."
    tree: MappingNode

    def place(self, loc: Loc = (), *, key: bool = False) -> Place:
        """Position of the value at ``loc``; with ``key``, of its key instead.

        If the path leaves the tree, the position of the last part that exists.
        """
        place = self.tree.place
        for step, node, key_place in self._walk(loc):
            del step
            place = key_place if key and key_place is not None else node.place
        return place

    def node(self, loc: Loc) -> Node | None:
        """The node at ``loc``, or None."""
        walked = list(self._walk(loc))
        if len(walked) < len(loc):
            return None
        return walked[-1][1] if walked else self.tree

    def trail(self, loc: Loc = ()) -> tuple[str, ...]:
        """Names of the parts from the file down to ``loc``."""
        alone = self.path.count("/") < 2  # content/fleet.yml: there is only one
        shown = [self.kind if alone else f'{self.kind} "{self.tree.text("id") or self.name}"']
        holder = ""
        for step, node, _ in self._walk(loc):
            if isinstance(step, str):
                holder = step
                shown.append(step)
                continue
            if shown[-1] == holder:
                shown.pop()
            shown.append(self._thing(holder, step, node))
        return tuple(shown)

    def finding(
        self,
        loc: Loc,
        wrong: str,
        *,
        fix: str,
        rule: str = "",
        advice: bool = False,
        key: bool = False,
        address: str = "",
    ) -> Finding:
        """A finding about the part at ``loc``, with its position and trail."""
        return Finding(self.place(loc, key=key), wrong, self.trail(loc), fix, rule, advice, address)

    def _walk(self, loc: Sequence[Step]) -> Iterator[tuple[Step, Node, Place | None]]:
        """Each step of a path that exists in the tree; pydantic's names of union members are skipped."""
        node: Node = self.tree
        for step in loc:
            if isinstance(node, MappingNode) and isinstance(step, str):
                entry = node.entry(step)
                if entry is None:
                    continue
                node = entry.value
                yield step, node, entry.key_place
            elif isinstance(node, SequenceNode) and isinstance(step, int) and step < len(node.items):
                node = node.items[step]
                yield step, node, None

    def _thing(self, holder: str, position: int, node: Node) -> str:
        word = SINGULAR.get(holder, holder.rstrip("s").replace("_", " ") or "item")
        if isinstance(node, ScalarNode):
            return f'{word} "{clip(node.text, 40)}"'
        if isinstance(node, MappingNode):
            for key in _NAMES:
                name = node.text(key)
                if name:
                    return f'{word} "{clip(name, 40)}"'
        return f"{word} without an id, number {position + 1}"


Kept = TypeVar("Kept", covariant=True)


@dataclass(frozen=True, slots=True)
class ParsedRecord(Generic[Kept]):
    """A validated record with the document it comes from."""

    document: Document
    record: Kept
