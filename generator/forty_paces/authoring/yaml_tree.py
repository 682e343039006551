"""Parses YAML into a tree of mappings, sequences and scalars with line and column.

Only a plain subset of YAML is accepted: every scalar stays a string (``no`` is not False,
``10:30`` is not 630), and anchors, tags, merge keys, duplicate keys and several documents
in one file are findings. The tree is built from parse events on an explicit stack, so
neither nesting nor size can exhaust the interpreter.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple, TypeAlias

import yaml

from forty_paces.authoring.findings import Finding, Place, clip, is_unseen
from forty_paces.authoring.syntax import TOO_DEEP, syntax_finding

LARGEST_FILE_BYTES = 512 * 1024
"""Larger files are rejected before they are read; the longest procedure is about a twentieth of it."""

LONGEST_TEXT = 2_000
"""Most characters of one key or value. Single fields allow less; this bounds the work of every check."""

DEEPEST = 20
"""Most levels of nesting; the deepest content file uses nine."""

_PARSER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
"""The compiled parser if PyYAML has it: the same events, ten times as fast."""


class ScalarNode(NamedTuple):
    """A scalar as a string, with quoting and folding resolved."""

    text: str
    place: Place
    quoted: bool = False
    "True for quoted and block scalars; a bare ``null`` is rejected, a quoted one is a string."


class SequenceNode(NamedTuple):
    """A YAML sequence."""

    items: tuple[Node, ...]
    place: Place


class MappingEntry(NamedTuple):
    """One key with its value."""

    key: str
    key_place: Place
    value: Node


class MappingNode(NamedTuple):
    """A YAML mapping, in the order of the file."""

    entries: tuple[MappingEntry, ...]
    place: Place

    def entry(self, key: str) -> MappingEntry | None:
        """The entry of ``key``, or None."""
        return next((entry for entry in self.entries if entry.key == key), None)

    def text(self, key: str) -> str | None:
        """The scalar under ``key``; None if there is no such key or its value is not a scalar."""
        entry = self.entry(key)
        return entry.value.text if entry is not None and isinstance(entry.value, ScalarNode) else None

    def child(self, key: str) -> Node | None:
        """The value under ``key``, or None."""
        entry = self.entry(key)
        return entry.value if entry is not None else None

    def all_keys(self) -> Iterator[str]:
        """Every key in it and below."""
        waiting: list[Node] = [self]
        while waiting:
            node = waiting.pop()
            if isinstance(node, SequenceNode):
                waiting += node.items
            elif isinstance(node, MappingNode):
                yield from (entry.key for entry in node.entries)
                waiting += [entry.value for entry in node.entries]


Node: TypeAlias = ScalarNode | SequenceNode | MappingNode


def parse_file(file: Path, path: str) -> tuple[MappingNode | None, tuple[Finding, ...]]:
    """Read one content file; ``path`` is the name used in findings.

    Returns the tree, or None if there are errors, and all findings. Never raises,
    whatever the file contains.
    """
    start = Place(path, 1, 1)
    try:
        if not file.is_file():
            return None, (Finding(start, "this is not a file", fix="put a YAML text file here"),)
        size = file.stat().st_size
        if size > LARGEST_FILE_BYTES:
            wrong = f"the file holds {size:,} bytes; {LARGEST_FILE_BYTES:,} is the most that is read"
            return None, (Finding(start, wrong, fix="split it, or take out what is not procedure text"),)
        raw = file.read_bytes()
    except OSError as error:
        wrong = f"the file cannot be opened ({error.strerror or type(error).__name__})"
        return None, (Finding(start, wrong, fix="change its name or its permissions"),)
    text, fault = decode(raw, path)
    if fault is not None:
        return None, (fault,)
    return _parsed(text, path)


@lru_cache(maxsize=512)  # a preview reads everything again after every edit; trees are frozen
def _parsed(text: str, path: str) -> tuple[MappingNode | None, tuple[Finding, ...]]:
    return parse_tree(text, path)


def decode(raw: bytes, path: str) -> tuple[str, Finding | None]:
    """Decode UTF-8, or return a finding that says what the file seems to be instead."""
    start = Place(path, 1, 1)
    save = "save it as UTF-8 without a byte order mark (in the editor: Save as, encoding UTF-8)"
    if raw[:2] in (b"\xff\xfe", b"\xfe\xff") or (b"\x00" in raw[:4] and raw[:4].strip(b"\x00")[:1].isascii()):
        return "", Finding(start, "the file is saved as UTF-16 or UTF-32, not as UTF-8", fix=save)
    if raw.startswith(b"\xef\xbb\xbf"):
        return "", Finding(start, "the file begins with a byte order mark", fix=save)
    if b"\x00" in raw:
        line = raw[: raw.index(b"\x00")].count(b"\n") + 1
        wrong = "the file holds NUL bytes: it is not a text file"
        return "", Finding(Place(path, line, 1), wrong, fix="put back the text file, from a copy if need be")
    try:
        return raw.decode("utf-8"), None
    except UnicodeDecodeError as error:
        before = raw[: error.start]
        line = before.count(b"\n") + 1
        column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8")) + 1
        wrong = f"the byte {raw[error.start]:#04x} is not UTF-8; the file was saved in another encoding"
        return "", Finding(Place(path, line, column), wrong, fix=save)


def parse_tree(text: str, path: str, parser: Any = _PARSER) -> tuple[MappingNode | None, tuple[Finding, ...]]:
    """Parse a text into a tree, with findings; ``parser`` is one of PyYAML's loaders."""
    hidden = tuple(_unwanted_characters(text, path))
    if hidden:
        return None, hidden
    builder = _Builder(path)
    try:
        for event in yaml.parse(text, Loader=parser):
            if not builder.take(event):
                break
    except yaml.YAMLError as error:
        return None, (*builder.findings, builder.open_quote(error) or syntax_finding(error, text, path))
    root = builder.root()
    return root if not builder.findings else None, tuple(builder.findings)


def _unwanted_characters(text: str, path: str) -> Iterator[Finding]:
    """Tabs and invisible characters: one finding per line, five at most."""
    if text.isascii() and text.replace("\n", "").replace("\r", "").isprintable():
        return
    count = 0
    for number, line in enumerate(text.replace("\r\n", "\n").split("\n"), start=1):
        if line.isascii() and line.isprintable():
            continue
        for column, character in enumerate(line, start=1):
            if not is_unseen(character):
                continue
            place = Place(path, number, column)
            if character == "\t":
                yield Finding(place, "a tab stands here", fix="use spaces instead, two for each level")
            else:
                wrong = f"the invisible character U+{ord(character):04X} stands here"
                yield Finding(place, wrong, fix="delete it, and type the text anew around it if you must")
            count += 1
            break
        if count == 5:
            return


@dataclass(slots=True)
class _OpenNode:
    """A mapping or sequence that is still open."""

    place: Place
    is_table: bool
    items: list[Node] = field(default_factory=list)
    entries: list[MappingEntry] = field(default_factory=list)
    key: ScalarNode | None = None
    seen: dict[str, Place] = field(default_factory=dict)


@dataclass(slots=True)
class _Builder:
    """Builds the tree from parse events, with a stack of open mappings and sequences."""

    path: str
    findings: list[Finding] = field(default_factory=list)
    open: list[_OpenNode] = field(default_factory=list)
    documents: int = 0
    top: Node | None = None
    long_quote: Any = None
    "Start and end of the last quoted scalar that spans several lines."

    def take(self, event: Any) -> bool:
        """Process one event; False to stop parsing."""
        match event:
            case yaml.ScalarEvent():
                place = self._place(event)
                self._refuse_marks(event, place)
                self._note_long_quote(event)
                self._refuse_unseen(event, place)
                self._add(ScalarNode(event.value, place, quoted=bool(event.style)))
            case yaml.MappingStartEvent() | yaml.SequenceStartEvent():
                place = self._place(event)
                self._refuse_marks(event, place)
                if len(self.open) >= DEEPEST:
                    self.findings.append(Finding(place, TOO_DEEP[0], fix=TOO_DEEP[1]))
                    return False
                self.open.append(_OpenNode(place, isinstance(event, yaml.MappingStartEvent)))
            case yaml.MappingEndEvent():
                frame = self.open.pop()
                self._add(MappingNode(tuple(frame.entries), frame.place))
            case yaml.SequenceEndEvent():
                frame = self.open.pop()
                self._add(SequenceNode(tuple(frame.items), frame.place))
            case yaml.AliasEvent():
                place = self._place(event)
                self._refuse_marks(event, place)
                self._add(ScalarNode("", place, quoted=True))
            case yaml.DocumentStartEvent():
                return self._document(event, self._place(event))
        return True

    def _place(self, event: Any) -> Place:
        return Place(self.path, event.start_mark.line + 1, event.start_mark.column + 1)

    def root(self) -> MappingNode | None:
        """The root mapping; None, with a finding, if the root is something else."""
        if self.top is None and not self.findings:
            self.findings.append(
                Finding(Place(self.path, 1, 1), "the file is empty", fix="fill it in, or delete the file")
            )
        elif self.top is not None and not isinstance(self.top, MappingNode):
            wrong = "the file must be a set of keys, each followed by a colon"
            self.findings.append(Finding(self.top.place, wrong, fix="begin with a key, such as 'id: ...'"))
        return self.top if isinstance(self.top, MappingNode) else None

    def _note_long_quote(self, event: Any) -> None:
        if event.style in ("'", '"') and event.end_mark.line > event.start_mark.line:
            self.long_quote = event

    def open_quote(self, error: yaml.YAMLError) -> Finding | None:
        """The finding for a missing closing quote, if parsing failed where a quoted scalar ended."""
        mark = getattr(error, "problem_mark", None)
        if self.long_quote is None or mark is None or mark.line != self.long_quote.end_mark.line:
            return None
        start = self.long_quote.start_mark
        place = Place(self.path, start.line + 1, start.column + 1)
        wrong = f"the quoted text that begins here runs on to line {mark.line + 1}"
        return Finding(place, wrong, fix="add the closing quote at the end of the text")

    def _document(self, event: Any, place: Place) -> bool:
        self.documents += 1
        if self.documents > 1:
            wrong = "a second document begins here"
            fix = "take out the line of three hyphens: one file holds one thing"
            self.findings.append(Finding(place, wrong, fix=fix))
            return False
        if event.version or event.tags:
            wrong = "a line that begins with % gives orders to the YAML reader"
            self.findings.append(Finding(place, wrong, fix="delete that line: content files need none"))
        return True

    def _refuse_marks(self, event: Any, place: Place) -> None:
        if isinstance(event, yaml.AliasEvent):
            wrong = f"the alias *{event.anchor} points to text elsewhere"
            fix = "write the text out, or put it into content/shared.yml and write {use: ID}"
        elif event.anchor:
            wrong = f"the anchor &{event.anchor} marks text for use elsewhere"
            fix = "take it out; what several procedures share stands in content/shared.yml"
        elif event.tag:
            shown = event.tag.replace("tag:yaml.org,2002:", "!!")
            wrong = f"the tag {shown} stands before this value"
            fix = "take it out: the kind of each value follows from its key"
        else:
            return
        self.findings.append(Finding(place, wrong, fix=fix))

    def _refuse_unseen(self, event: Any, place: Place) -> None:
        """Reject invisible characters from escapes in double quotes, and scalars over LONGEST_TEXT."""
        text = event.value
        if len(text) > LONGEST_TEXT:
            wrong = f"this text has {len(text):,} characters; {LONGEST_TEXT:,} is the most that is read"
            self.findings.append(Finding(place, wrong, fix="make several entries of it, or cut it"))
        elif not (text.isascii() and text.isprintable()):
            hidden = next(
                (character for character in text if character != "\n" and is_unseen(character)), None
            )
            if hidden is not None:
                wrong = f"this text holds the invisible character U+{ord(hidden):04X}, written as an escape"
                fix = "delete the escape; every character of a text must be one that can be seen"
                self.findings.append(Finding(place, wrong, fix=fix))

    def _add(self, node: Node) -> None:
        if not self.open:
            if not (isinstance(node, ScalarNode) and node.text == "" and not node.quoted):
                self.top = node
            return
        frame = self.open[-1]
        if not frame.is_table:
            frame.items.append(self._checked(node))
        elif frame.key is None:
            frame.key = self._key(frame, node)
        else:
            frame.entries.append(MappingEntry(frame.key.text, frame.key.place, self._checked(node)))
            frame.key = None

    def _key(self, frame: _OpenNode, node: Node) -> ScalarNode:
        if not isinstance(node, ScalarNode):
            wrong = "a list or a group of keys is used as a key"
            self.findings.append(Finding(node.place, wrong, fix="a key is one word in small letters"))
            return ScalarNode("", node.place)
        if node.text == "<<" and not node.quoted:
            fix = "write the keys out, or put them into content/shared.yml and write {use: ID}"
            self.findings.append(Finding(node.place, "the merge key << is not read here", fix=fix))
        elif node.text in frame.seen:
            first = frame.seen[node.text]
            wrong = f'the key "{clip(node.text)}" stands here for the second time'
            fix = f"keep one of them; the first is on line {first.line}"
            self.findings.append(Finding(node.place, wrong, fix=fix))
        frame.seen.setdefault(node.text, node.place)
        return node

    def _checked(self, node: Node) -> Node:
        """Reject bare ``null`` and ``~``, which would be shown to a driver as text."""
        if isinstance(node, ScalarNode) and not node.quoted and node.text in ("null", "Null", "NULL", "~"):
            wrong = f'"{node.text}" is not a value here'
            fix = "leave the whole key out where there is nothing to say"
            self.findings.append(Finding(node.place, wrong, fix=fix))
        return node
