"""Fits content to the country whose rule set is in force: placeholders, units, and the edition's changes.

All of it happens in the YAML tree, with the positions of the files, before records are validated.

Placeholders in texts: ``{emergency}`` is the number that the carrier's fleet.yml dials for emergencies, or
the rule set's own; ``{region}`` is what a part of the country with its own road law is called;
``{35 mph|56 km/h}`` gives a figure in both systems. ``100 ft (30 m)`` is printed as ``30 m`` under a metric
rule set. Pages in prose follow the same rules, outside code.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from forty_paces.authoring.documents import Document, Loc
from forty_paces.authoring.findings import Finding, clip, name_one_of
from forty_paces.authoring.layers import ContentFile, content_hash, tree_hash
from forty_paces.authoring.models.fleet import Fleet
from forty_paces.authoring.models.layers import EditionFile
from forty_paces.authoring.models.record import Service
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.yaml_tree import MappingEntry, MappingNode, Node, ScalarNode, SequenceNode

USUAL_EMERGENCY_NUMBER = "911"
"""Where neither the carrier nor the rule set names a number (47 U.S.C. 251(e)(3))."""

_CODE = re.compile(r"(```.*?```|`[^`\n]*`)", re.DOTALL)
"""Code in Markdown, between fences or within a line."""

_TEMPLATE = re.compile(r"(\{\{.*?\}\}|\{%.*?%\})", re.DOTALL)
"""What another plugin of a MkDocs project fills in."""

OWN_PLACEHOLDERS = "content/scenarios/"
"""Files with placeholders of their own, which are filled in from the solved road."""

_PLACEHOLDER = re.compile(r"\{([^{}|]*)(?:\|([^{}|]*))?\}")
_TWICE = re.compile(
    r"(?<![\w./])[\d.,/]+(?: (?:to|by) [\d.,/]+)? ?(?:ft|in|mi|yd|mil|mph|lb|psi|°F) "
    r"\(([^()]*\d ?(?:m|km|cm|mm|µm|km/h|kg|kPa|°C))\)"
)
"""A measure in United States units with the same in metric units in brackets."""


@dataclass(frozen=True, slots=True)
class Jurisdiction:
    """What the texts take from the rule set in force and from the fleet."""

    rules: str = "us"
    country: str | None = None
    "ISO 3166 code of the country or part whose law the rule set is, such as ca-on."
    emergency: str = USUAL_EMERGENCY_NUMBER
    region: str = "state"
    metric: bool = False
    kmh: bool = False

    @classmethod
    def of(cls, fleet: Fleet | None, rule_file: RuleFile | None) -> Jurisdiction:
        """The jurisdiction of a rule set; where it cannot be read, the default."""
        phones = fleet.phones if fleet is not None else ()
        dialed = next(
            (phone.number for phone in phones if phone.serves is Service.EMERGENCY and phone.dial), None
        )
        if rule_file is None:
            return cls(emergency=dialed or USUAL_EMERGENCY_NUMBER)
        own = rule_file.emergency.number if rule_file.emergency is not None else USUAL_EMERGENCY_NUMBER
        return cls(
            rules=rule_file.id,
            country=rule_file.country,
            emergency=dialed or own,
            region=rule_file.region,
            metric=rule_file.lengths_in == "meters",
            kmh=rule_file.posted_in == "km/h",
        )

    def accepts(self, law_of: str | None) -> bool:
        """Whether law of ``law_of`` can be law here: the same country, a part of it, or the whole of it."""
        if law_of is None or self.country is None:
            return True
        return f"{self.country}-".startswith(f"{law_of}-") or f"{law_of}-".startswith(f"{self.country}-")

    def words(self) -> Mapping[str, str]:
        """Placeholder -> text."""
        return {
            "emergency": self.emergency,
            "region": self.region,
            "Region": self.region[:1].upper() + self.region[1:],
        }

    def fitted(self, document: Document) -> tuple[Document, tuple[Finding, ...]]:
        """The document with its placeholders and units filled in, and findings about unknown placeholders."""
        findings: list[Finding] = []
        tree = self._node(document.tree, (), document, findings)
        assert isinstance(tree, MappingNode)
        return replace(document, tree=tree), tuple(findings)

    def _node(self, node: Node, loc: Loc, document: Document, findings: list[Finding]) -> Node:
        match node:
            case ScalarNode(text):
                if "{" not in text and not (self.metric and "(" in text):
                    return node
                fitted, unknown = self.filled(text)
                known = [f"{{{word}}}" for word in self.words()]
                own = document.path.startswith(OWN_PLACEHOLDERS)
                for name in () if own else (f"{{{word}}}" for word in unknown):
                    wrong = f'there is no placeholder "{clip(name)}"'
                    findings.append(document.finding(loc, wrong, fix=name_one_of(name, known)))
                return node if fitted == text else node._replace(text=fitted)
            case SequenceNode(items, place):
                return SequenceNode(
                    tuple(self._node(item, (*loc, i), document, findings) for i, item in enumerate(items)),
                    place,
                )
            case MappingNode(entries, place):
                return MappingNode(
                    tuple(
                        entry._replace(value=self._node(entry.value, (*loc, entry.key), document, findings))
                        for entry in entries
                    ),
                    place,
                )

    def filled(self, text: str) -> tuple[str, list[str]]:
        """A text with its placeholders and units filled in, and the placeholders that stay, being unknown."""
        words, unknown = self.words(), list[str]()

        def fill(match: re.Match[str]) -> str:
            first, other = match[1], match[2]
            if other is not None:
                return other if (self.kmh if "mph" in first else self.metric) else first
            if first not in words:
                unknown.append(first)
            return words.get(first, match[0])

        filled = _PLACEHOLDER.sub(fill, text) if "{" in text else text
        if self.metric and "(" in filled:
            filled = _TWICE.sub(r"\1", filled)
        return filled, unknown

    def filled_prose(self, markdown: str) -> str:
        """A page in prose with placeholders and units filled in; code and unknown placeholders stay."""
        parts = (re.split(_TEMPLATE, part) for part in re.split(_CODE, markdown))
        return "".join(
            part if part.startswith(("`", "{{", "{%")) else self.filled(part)[0]
            for between in parts
            for part in between
        )


_NAMES = ("id", "use", "phone", "short")
"""Keys by which a path names an item of a list."""


@dataclass(slots=True)
class CountryEdition:
    """The changes of content/editions/RULES.yml, with a record of which were made."""

    document: Document
    record: EditionFile
    in_library: bool
    made: set[int] = field(default_factory=set)
    compared: list[Finding] = field(default_factory=list)
    "About changes whose original is another one by now, or is not noted."

    def applied(self, document: Document, file: ContentFile) -> Document:
        """The document with the edition's changes, its counterparts of laws and its own words.

        The library's edition leaves the project's own files as they are.
        """
        if self._spares(file):
            return document
        tree: Node = document.tree
        name = document.path.removeprefix("content/").removesuffix(".yml")
        for i, change in enumerate(self.record.changes):
            path = _path_below(name, change.at)
            if path is None:
                continue
            changed = self._changed(tree, path, i)
            if changed is not None:
                tree = changed
                self.made.add(i)
                self._compare(i, _at(document.tree, path))
        laws = {one.law: one.source for one in self.record.law}
        tree = _recited(tree, laws) if laws else tree
        for word in self.record.words:
            tree = _reworded(tree, _word(word.instead_of), word.here)
        assert isinstance(tree, MappingNode)
        return replace(document, tree=tree)

    def leaves_out(self, file: ContentFile) -> bool:
        """Whether the edition has no use for a whole file."""
        name = file.path.removeprefix("content/").removesuffix(".yml")
        changes = () if self._spares(file) else self.record.changes
        found = [i for i, one in enumerate(changes) if one.leave_out and one.at == name]
        self.made.update(found)
        for i in found:
            self._note(i, content_hash(file.file), "")
        return bool(found)

    def findings(self) -> Iterator[Finding]:
        """About changes of places that are not there or have changed. Call after all files were read."""
        yield from self.compared
        for i, change in enumerate(self.record.changes):
            if i not in self.made:
                wrong = f'the library has no "{clip(change.at)}" that could be changed'
                fix = "correct the path: the file below content, then keys and ids; or delete this entry"
                yield self.document.finding(("changes", i, "at"), wrong, fix=fix)

    def _spares(self, file: ContentFile) -> bool:
        return self.in_library and not file.in_library

    def _compare(self, i: int, original: Node | None) -> None:
        """Hold what change ``i`` replaces against the state that it was made from."""
        change = self.record.changes[i]
        if original is None or change.add is not None:
            return
        shown = ""
        if change.set is not None and isinstance(original, MappingNode):
            replaced = (original.entry(key) for key in sorted(change.set))
            kept = tuple(entry for entry in replaced if entry is not None)
            original = MappingNode(kept, original.place)
            shown = "; ".join(
                f"{one.key}: {one.value.text}" for one in kept if isinstance(one.value, ScalarNode)
            )
        self._note(i, tree_hash(original), shown)

    def _note(self, i: int, now: str, shown: str) -> None:
        change = self.record.changes[i]
        if change.was is None:
            wrong = f'nothing says which state of "{clip(change.at)}" this change was made from'
            fix = f'compare both, then add was: "{now}"'
            self.compared.append(self.document.finding(("changes", i), wrong, fix=fix, advice=True))
        elif change.was != now:
            states = f"(was {change.was}, is {now})"
            wrong = f'"{clip(change.at)}" has changed since this change was made from it {states}'
            is_now = f'it is now "{clip(shown, 200)}"; ' if shown else ""
            fix = f'{is_now}take over what is new, then write was: "{now}"'
            self.compared.append(self.document.finding(("changes", i, "was"), wrong, fix=fix))

    def _changed(self, node: Node, path: tuple[str, ...], i: int) -> Node | None:
        """The tree with change ``i`` made below ``path``; None where there is no such place."""
        change = self.record.changes[i]
        if not path:
            if change.add is not None:
                added = self.document.node(("changes", i, "add"))
                return (
                    SequenceNode((*node.items, added), node.place)
                    if isinstance(node, SequenceNode) and added
                    else None
                )
            return self._with_keys(node, i) if isinstance(node, MappingNode) else None
        last = len(path) == 1 and change.leave_out
        if isinstance(node, MappingNode):
            return self._in_mapping(node, path, i, last=last)
        if isinstance(node, SequenceNode):
            return self._in_sequence(node, path, i, last=last)
        return None

    def _in_mapping(self, node: MappingNode, path: tuple[str, ...], i: int, *, last: bool) -> Node | None:
        entry = node.entry(path[0])
        if entry is None:
            return None
        if last:
            return MappingNode(tuple(one for one in node.entries if one is not entry), node.place)
        value = self._changed(entry.value, path[1:], i)
        if value is None:
            return None
        return MappingNode(
            tuple(one._replace(value=value) if one is entry else one for one in node.entries), node.place
        )

    def _in_sequence(self, node: SequenceNode, path: tuple[str, ...], i: int, *, last: bool) -> Node | None:
        for n, item in enumerate(node.items):
            if isinstance(item, MappingNode) and path[0] in (item.text(key) for key in _NAMES):
                rest = [*node.items[:n], *node.items[n + 1 :]]
                if last:
                    return SequenceNode(tuple(rest), node.place)
                value = self._changed(item, path[1:], i)
                return None if value is None else SequenceNode((*rest[:n], value, *rest[n:]), node.place)
        return None

    def _with_keys(self, node: MappingNode, i: int) -> Node:
        own = self.document.node(("changes", i, "set"))
        assert isinstance(own, MappingNode)
        new = {entry.key: entry for entry in own.entries}
        kept = [new.pop(entry.key, entry) for entry in node.entries]
        return MappingNode((*kept, *new.values()), node.place)


def _at(node: Node | None, path: tuple[str, ...]) -> Node | None:
    """The node below a path of keys and ids; None where there is none."""
    for name in path:
        if isinstance(node, MappingNode):
            node = node.child(name)
        elif isinstance(node, SequenceNode):
            named = (one for one in node.items if isinstance(one, MappingNode))
            node = next((one for one in named if name in (one.text(key) for key in _NAMES)), None)
        else:
            return None
    return node


def _path_below(name: str, at: str) -> tuple[str, ...] | None:
    """The rest of a change's path within the file called ``name``; None for another file."""
    if at == name:
        return ()
    if not at.startswith(f"{name}/"):
        return None
    rest = tuple(at.removeprefix(f"{name}/").split("/"))
    return ("shared", *rest) if name == "shared" else rest


def _recited(node: Node, laws: Mapping[str, tuple[str, ...]]) -> Node:
    """The tree with every citation of a law replaced by its counterparts, each named once."""
    if isinstance(node, SequenceNode):
        return SequenceNode(tuple(_recited(item, laws) for item in node.items), node.place)
    if not isinstance(node, MappingNode):
        return node
    entries: list[MappingEntry] = []
    for entry in node.entries:
        if entry.key == "source" and isinstance(entry.value, SequenceNode):
            cited: dict[str, ScalarNode] = {}
            for item in entry.value.items:
                if isinstance(item, ScalarNode):
                    for name in laws.get(item.text, (item.text,)):
                        cited.setdefault(name, item._replace(text=name))
            entries.append(entry._replace(value=SequenceNode(tuple(cited.values()), entry.value.place)))
        else:
            entries.append(entry._replace(value=_recited(entry.value, laws)))
    return MappingNode(tuple(entries), node.place)


def _word(text: str) -> re.Pattern[str]:
    """The word where it stands alone, also at the beginning of a sentence; no part of an id or a path."""
    return re.compile(rf"(?<![\w/-]){re.escape(text)}(?![\w/-])", re.IGNORECASE)


def _reworded(node: Node, word: re.Pattern[str], here: str) -> Node:
    """The tree with a word exchanged in every text, capitalized as before; names of items stay."""
    match node:
        case ScalarNode(text):
            return node._replace(
                text=word.sub(lambda old: here[:1].upper() + here[1:] if old[0][0].isupper() else here, text)
            )
        case SequenceNode(items, place):
            return SequenceNode(tuple(_reworded(item, word, here) for item in items), place)
        case MappingNode(entries, place):
            return MappingNode(
                tuple(
                    entry if entry.key in _NAMES else entry._replace(value=_reworded(entry.value, word, here))
                    for entry in entries
                ),
                place,
            )
