"""The layers of a project: its own content folder, over the library that comes with this package.

A project lies over the library if it has a ``content/library.yml``; without one it stands alone. A file of
the project replaces the library's of the same name; sources, glossary and shared passages are merged entry
by entry. ``fleet.yml`` never comes from the library: in a checkout that is the demo carrier's.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from forty_paces.authoring.binding import bind, plain
from forty_paces.authoring.documents import Document
from forty_paces.authoring.findings import Finding, Place, clip, name_one_of, printable
from forty_paces.authoring.models.record import AnyConditions
from forty_paces.authoring.yaml_tree import MappingEntry, MappingNode, Node, SequenceNode, parse_file
from forty_paces.package import generator_version, library_root

if TYPE_CHECKING:
    from forty_paces.authoring.models.layers import LibraryFile

FLEET_FILE = "content/fleet.yml"
LAYERS_FILE = "content/library.yml"

FOLDERS = ("procedures", "rules", "scenes", "lessons", "scenarios")
"""Content folders with one record per file."""

KINDS = ("procedure", "rule set", "scene", "lesson", "scenario")
"""What a file of each of these folders is called, in their order."""

OWN_ONLY = frozenset({FLEET_FILE, LAYERS_FILE})
"""Files that a project has itself or not at all."""

MERGED = {
    "content/sources.yml": {"sources": "id"},
    "content/glossary.yml": {"terms": "id", "abbreviations": "short"},
    "content/shared.yml": {"shared": ""},
}
"""Files of which both layers count -> their lists, and the key that names an entry ('' for a mapping)."""

SINGLE = ("before_trip", "after_event", "ways_out")
"""Files of one kind each that a project may replace or leave out, without .yml."""

LIBRARY = "library:"
"""Begins the path of a library file in findings."""


class ContentFile(NamedTuple):
    """A content file of one of the layers."""

    path: str
    "Such as content/procedures/fog.yml, in either layer."
    file: Path
    in_library: bool = False

    @property
    def shown(self) -> str:
        """The path in findings, which says the layer."""
        return f"{LIBRARY}{self.path}" if self.in_library else self.path


@dataclass(frozen=True, slots=True)
class Layers:
    """A project folder and the library below it."""

    project: Path
    library: Path | None = None
    "The folder that holds the library's content; None for a project that stands alone."
    stated: LibraryFile | None = None
    "The project's library.yml; None where it has none, or a faulty one."
    document: Document | None = None
    "The parsed library.yml, for the positions of findings."

    @property
    def changes(self) -> LibraryFile:
        """What library.yml changes: nothing where there is none."""
        return self.stated or _library_file().model_construct()

    @classmethod
    def of(cls, project: Path, library: Path | None = None) -> tuple[Layers, tuple[Finding, ...]]:
        """The layers of a project, with findings about library.yml. ``library`` is for tests."""
        file = project / LAYERS_FILE
        below = library or library_root()
        if not (file.exists() or file.is_symlink()):
            return cls(project), ()
        if project.resolve() == below.resolve():
            wrong = "this project is the library itself, and cannot lie over it"
            return cls(project), (Finding(Place(LAYERS_FILE, 1, 1), wrong, fix="delete this file"),)
        tree, findings = parse_file(file, LAYERS_FILE)
        if tree is None:
            return cls(project, below), findings
        document = Document("library", "library", LAYERS_FILE, tree)
        changes, faults = bind(document, _library_file(), conditions=AnyConditions())
        other = tuple(_version_findings(document))
        if changes is None:
            return cls(project, below, document=document), (*faults, *other)
        layers = cls(project, below, changes, document)
        return layers, (*layers._own_findings(), *other)

    def own(self, path: str) -> ContentFile | None:
        """The project's file at a path, if it has one, a broken link included."""
        file = self.project / path
        return ContentFile(path, file) if file.exists() or file.is_symlink() else None

    def below(self, path: str) -> ContentFile | None:
        """The library's file at a path, unless it is left out."""
        if self.library is None or path in OWN_ONLY:
            return None
        if self.stated is not None and _name(path) in self.stated.leave_out and path not in MERGED:
            return None
        file = self.library / path
        return ContentFile(path, file, in_library=True) if file.is_file() else None

    def found(self, path: str) -> ContentFile | None:
        """The file that counts: the project's, or else the library's."""
        return self.own(path) or self.below(path)

    def folder(self, folder: str) -> tuple[ContentFile, ...]:
        """The files that count in a folder of content, sorted by name: the project's, then the library's."""
        top = f"content/{folder}"
        own = {
            file.name: ContentFile(f"{top}/{printable(file.name)}", file)
            for file in _listed(self.project / top)
        }
        for file in _listed(self.library / top) if self.library is not None else ():
            below = self.below(f"{top}/{file.name}")
            if below is not None:
                own.setdefault(file.name, below)
        return tuple(own[name] for name in sorted(own))

    def pages(self) -> tuple[ContentFile, ...]:
        """The library's pages in prose that the project does not replace."""
        listed = sorted((self.library / "content").glob("*.md")) if self.library is not None else []
        below = (self.below(f"content/{file.name}") for file in listed)
        return tuple(file for file in below if file is not None and self.own(file.path) is None)

    def library_files(self) -> Iterator[tuple[str, Path]]:
        """Every library file that the project uses, by the path that findings show."""
        if self.library is None:
            return
        for top in ("content", "site_overrides"):
            for file in sorted((self.library / top).rglob("*")):
                path = file.relative_to(self.library).as_posix()
                if not file.is_file() or any(part.startswith((".", "__")) for part in path.split("/")):
                    continue
                counts = top == "site_overrides" or self.below(path) is not None
                if counts and (path in MERGED or self.own(path) is None):
                    yield f"{LIBRARY}{path}", file

    def _own_findings(self) -> Iterator[Finding]:
        assert self.document is not None
        yield from self._left_out()
        replaced = {one.name: one for one in (*self._replaced_files(), *self._replaced_entries())}
        noted: set[str] = set()
        for i, entry in enumerate(self.changes.files):
            loc = ("files", i, "file")
            now = replaced.get(entry.file)
            if entry.file in noted:
                wrong = f'"{clip(entry.file)}" is named twice'
                yield self.document.finding(loc, wrong, fix="keep one of the two entries")
            elif now is None:
                yield self.document.finding(
                    loc, self._not_replaced(entry.file), fix="correct the name, or delete this entry"
                )
            elif now.hash != entry.was:
                wrong = (
                    f'the library has changed "{entry.file}" since you replaced it '
                    f"(was {entry.was}, is {now.hash})"
                )
                fix = (
                    f"compare {now.original} with {now.place.path}, take over what is new, "
                    f'then write was: "{now.hash}"'
                )
                yield self.document.finding(("files", i, "was"), wrong, fix=fix)
            noted.add(entry.file)
        for name in sorted(replaced.keys() - noted):
            what = "entry" if name.split("/")[0] in _MERGED_NAMES else "file"
            wrong = f"this {what} replaces the library's, and nothing says which state of it"
            note = f'{{file: {name}, was: "{replaced[name].hash}"}}'
            fix = f"add below files in {LAYERS_FILE}: {note}"
            yield Finding(replaced[name].place, wrong, fix=fix, advice=True)

    def _not_replaced(self, name: str) -> str:
        assert self.library is not None
        if name.split("/")[0] in _MERGED_NAMES:
            return f'only one of this project and the library has "{clip(name)}", so nothing is replaced'
        where = "this project" if (self.library / _path(name)).is_file() else "the library"
        return f'{where} has no file "{clip(_path(name))}", so nothing is replaced'

    def _left_out(self) -> Iterator[Finding]:
        assert self.document is not None
        names = sorted(self._may_be_left_out())
        for i, name in enumerate(self.changes.leave_out):
            loc = ("leave_out", i)
            if "\\" in name:
                fix = f"write it with forward slashes: {name.replace(chr(92), '/')}"
                yield self.document.finding(loc, f'"{clip(name)}" is written as a Windows path', fix=fix)
            elif name in self.changes.leave_out[:i]:
                wrong = f'"{clip(name)}" is left out twice'
                yield self.document.finding(loc, wrong, fix="keep one of the two lines")
            elif name not in names:
                wrong = f'the library has no "{clip(name)}" that could be left out'
                yield self.document.finding(loc, wrong, fix=name_one_of(name, names))
            elif self.own(_path(name)) is not None:
                wrong = f'"{clip(name)}" is left out here, and {_path(name)} replaces it'
                yield self.document.finding(loc, wrong, fix="keep one: a file that replaces it is enough")

    def _may_be_left_out(self) -> Iterator[str]:
        assert self.library is not None
        top = self.library / "content"
        for folder in FOLDERS:
            yield from (f"{folder}/{file.stem}" for file in (top / folder).glob("*.yml"))
        yield from (file.name for file in top.glob("*.md"))
        yield from (name for name in SINGLE if (top / f"{name}.yml").is_file())

    def _replaced_files(self) -> Iterator[_Replaced]:
        """The library's files that the project replaces whole."""
        assert self.library is not None
        names = [f"{name}.yml" for name in SINGLE]
        names += [file.name for file in (self.library / "content").glob("*.md")]
        for folder in FOLDERS:
            listed = _listed(self.project / "content" / folder)
            names += [f"{folder}/{file.name}" for file in listed if file.suffix == ".yml"]
        for path in (f"content/{name}" for name in names):
            original = self.library / path
            if self.own(path) is not None and original.is_file():
                yield _Replaced(_name(path), content_hash(original), Place(path, 1, 1), str(original))

    def _replaced_entries(self) -> Iterator[_Replaced]:
        """The library's entries of merged files in place of which the project has its own."""
        assert self.library is not None
        for path, lists in MERGED.items():
            own = self.own(path)
            trees = [parse_file(file, path)[0] for file in (own.file, self.library / path)] if own else []
            if len(trees) < 2 or trees[0] is None or trees[1] is None:
                continue  # what cannot be read is reported where it is read
            for name, key in lists.items():
                mine, theirs = (dict(_entries(tree.child(name), key)) for tree in trees if tree is not None)
                for entry in mine.keys() & theirs.keys():
                    place, original = mine[entry].place, theirs[entry].place
                    yield _Replaced(
                        f"{_name(path)}/{entry}",
                        tree_hash(theirs[entry]),
                        place,
                        f"{self.library / path}:{original.line}",
                    )


class _Replaced(NamedTuple):
    """A file or entry of the library that the project has its own of."""

    name: str
    "As library.yml has it: procedures/fog, cards.md, shared/flashers."
    hash: str
    "Of the library's, as it is now."
    place: Place
    "The project's own."
    original: str
    "Where to read the library's."


_MERGED_NAMES = frozenset(path.removeprefix("content/").removesuffix(".yml") for path in MERGED)


def _entries(node: Node | None, key: str) -> Iterator[tuple[str, Node]]:
    """The entries of a list of a merged file by their names."""
    if isinstance(node, MappingNode) and not key:
        yield from ((entry.key, entry.value) for entry in node.entries)
    elif isinstance(node, SequenceNode):
        for item in node.items:
            if isinstance(item, MappingNode) and (name := item.text(key)):
                yield name, item


def _version_findings(document: Document) -> Iterator[Finding]:
    """Whether the installed library is the one that the project was last checked with.

    Read from the tree: what an older package does not know in library.yml is explained by this.
    """
    noted, installed = document.tree.text("library_version"), generator_version()
    if not noted or installed == "0" or noted == installed or _release(noted) is None:
        return
    loc = ("library_version",)
    if (_release(noted) or ()) > (_release(installed) or ()):
        wrong = (
            f"this project was last checked with version {noted} of the library, and {installed} is installed"
        )
        fix = f'upgrade the package; to go back, write library_version: "{installed}" and see what is found'
        yield document.finding(loc, wrong, fix=fix)
    else:
        wrong = f"the library is now version {installed}, and this project was last checked with {noted}"
        fix = (
            "follow the other findings, read the changed procedures, print changed cards again "
            f'(fortypaces cards --since OLD/edition.json --again); then write library_version: "{installed}"'
        )
        yield document.finding(loc, wrong, fix=fix, advice=True)


def _release(version: str) -> tuple[int, ...] | None:
    """The numbers of a version, such as (1, 10, 0); None for what is none."""
    found = re.match(r"[0-9]+(?:\.[0-9]+)*", version)
    return tuple(map(int, found[0].split("."))) if found else None


def _library_file() -> type[LibraryFile]:
    """The model of library.yml. It takes the models of procedures with it, which few verbs need."""
    from forty_paces.authoring.models.layers import LibraryFile

    return LibraryFile


def content_hash(file: Path) -> str:
    """The first eight hexadecimal digits of a text file's SHA-256, with LF line ends."""
    return hashlib.sha256(file.read_bytes().replace(b"\r\n", b"\n")).hexdigest()[:8]


def tree_hash(node: Node) -> str:
    """The first eight hexadecimal digits of the SHA-256 of what a tree holds, whatever its layout."""
    return hashlib.sha256(json.dumps(plain(node), ensure_ascii=False).encode()).hexdigest()[:8]


def merged(path: str, own: MappingNode, below: MappingNode) -> MappingNode:
    """The tree of a file of which both layers count: the project's entries, then the library's others."""
    lists = MERGED[path]
    kept = [entry for entry in own.entries if entry.key not in lists]
    for name, key in lists.items():
        mine, theirs = own.entry(name), below.entry(name)
        if mine is None or theirs is None:
            kept += [entry for entry in (mine, theirs) if entry is not None]
        else:
            kept.append(MappingEntry(name, mine.key_place, _joined(mine.value, theirs.value, key)))
    return MappingNode(tuple(kept), own.place)


def _joined(mine: Node, theirs: Node, key: str) -> Node:
    if isinstance(mine, MappingNode) and isinstance(theirs, MappingNode) and not key:
        others = tuple(entry for entry in theirs.entries if mine.entry(entry.key) is None)
        return MappingNode((*mine.entries, *others), mine.place)
    if isinstance(mine, SequenceNode) and isinstance(theirs, SequenceNode):
        taken = {item.text(key) for item in mine.items if isinstance(item, MappingNode)}
        others_in_list = tuple(
            item for item in theirs.items if isinstance(item, MappingNode) and item.text(key) not in taken
        )
        return SequenceNode((*mine.items, *others_in_list), mine.place)
    return mine


def shape_findings(project: Path) -> Iterator[Finding]:
    """Links that lead out of the content, and projects inside it: neither would be part of an edition."""
    top = project / "content"
    for folder, folders, files in os.walk(top):
        here = Path(folder)
        for name in sorted((*folders, *files)):
            entry = here / name
            path = printable(entry.relative_to(project).as_posix())
            if entry.is_symlink() and entry.exists():
                yield from _link(entry, path, top)
        if here != top and "mkdocs.yml" in files:
            path = printable((here / "mkdocs.yml").relative_to(project).as_posix())
            wrong = "a project stands inside this project's content"
            yield Finding(Place(path, 1, 1), wrong, fix="move that folder out of content")


def _link(entry: Path, path: str, top: Path) -> Iterator[Finding]:
    if entry.is_dir():
        wrong = "this folder is a symbolic link, and an edition does not follow it"
        yield Finding(Place(path, 1, 1), wrong, fix="put the folder itself here")
    elif not entry.resolve().is_relative_to(top.resolve()):
        wrong = "this is a symbolic link to a file outside the content, which another copy would lack"
        yield Finding(Place(path, 1, 1), wrong, fix="put the file itself here")


def _listed(folder: Path) -> list[Path]:
    return sorted(folder.iterdir()) if folder.is_dir() else []


def _name(path: str) -> str:
    """``procedures/fog`` for ``content/procedures/fog.yml``; pages keep their ``.md``."""
    return path.removeprefix("content/").removesuffix(".yml")


def _path(name: str) -> str:
    return f"content/{name}" if name.endswith(".md") else f"content/{name}.yml"
