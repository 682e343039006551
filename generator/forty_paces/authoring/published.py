"""What a content folder publishes besides its records: pages in prose, and files of a few plain kinds.

A page of the site shares an address with the drivers' records, so whatever runs in it could read them. Prose
therefore allows no script, no frame and no foreign address, and other files are of kinds that run nothing.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import urlsplit

from forty_paces.authoring.documents import ParsedRecord
from forty_paces.authoring.findings import Finding, Place, clip, is_unseen, printable
from forty_paces.authoring.layers import FOLDERS, shape_findings
from forty_paces.authoring.looks import unsafe_drawing
from forty_paces.authoring.models.fleet import Fleet
from forty_paces.authoring.yaml_tree import decode

PLAIN_KINDS = (".csv", ".gif", ".jpeg", ".jpg", ".md", ".pdf", ".png", ".svg", ".txt", ".webp", ".yml")
"""Endings of the files that may lie in a content folder. A drawing (.svg) may hold nothing that runs."""

TAGS = frozenset(
    [
        "a",
        "abbr",
        "b",
        "blockquote",
        "br",
        "caption",
        "cite",
        "code",
        "col",
        "colgroup",
        "dd",
        "del",
        "details",
        "dfn",
        "div",
        "dl",
        "dt",
        "em",
        "figcaption",
        "figure",
        "h1",
        "h2",
        "h3",
        "h4",
        "h5",
        "h6",
        "hr",
        "i",
        "img",
        "ins",
        "kbd",
        "li",
        "ol",
        "p",
        "pre",
        "q",
        "s",
        "samp",
        "small",
        "span",
        "strong",
        "sub",
        "summary",
        "sup",
        "table",
        "tbody",
        "td",
        "tfoot",
        "th",
        "thead",
        "time",
        "tr",
        "ul",
    ]
)
"""HTML elements that a page in prose may have, written as tags or as Markdown."""

ATTRIBUTES = frozenset(
    [
        "align",
        "alt",
        "cite",
        "class",
        "colspan",
        "datetime",
        "dir",
        "headers",
        "height",
        "href",
        "id",
        "lang",
        "open",
        "reversed",
        "role",
        "rowspan",
        "scope",
        "src",
        "start",
        "title",
        "type",
        "value",
        "width",
    ]
)
"""Their attributes, besides those that begin with ``aria-`` or ``data-``."""

SCHEMES = frozenset({"", "mailto", "tel"})
"""What an address may begin with: it names a file of the site, or a mail program or a telephone."""

LARGEST_TEXT_BYTES = 128 * 1024
"""Most bytes of a page in prose or of a drawing; the longest guide has about a tenth of it."""

_EXTENSIONS = ("attr_list", "tables")
"""The Markdown extensions that every site has (``outputs.host``)."""


def published_findings(project: Path, fleet: ParsedRecord[Fleet] | None = None) -> Iterator[Finding]:
    """Links, files below content that may not be published, and what pages in prose may not hold.

    The logo of ``fleet`` is left to ``looks``, which asks more of it.
    """
    yield from shape_findings(project)
    top = project / "content"
    logo = top / (fleet.record.looks.logo or "") if fleet is not None else None
    for folder, folders, names in os.walk(top):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            file = Path(folder, name)
            if name.startswith(".") or file == logo or (file.is_symlink() and not file.exists()):
                continue  # neither is published
            yield from _file_findings(file, printable(file.relative_to(project).as_posix()))


def _file_findings(file: Path, path: str) -> Iterator[Finding]:
    ending = file.suffix.lower()
    start = Place(path, 1, 1)
    if ending not in PLAIN_KINDS and path.split("/")[1] not in (*FOLDERS, "languages"):
        wrong = (
            f'files that end in "{printable(clip(ending))}" are not published'
            if ending
            else "this file has no ending"
        )
        allowed = ", ".join(PLAIN_KINDS)
        yield Finding(start, wrong, fix=f"move it out of content, or save it as one of these: {allowed}")
    elif ending in (".md", ".svg"):
        text, fault = _text_of(file, path)
        if fault is not None:
            yield fault
        elif ending == ".md":
            yield from prose_findings(text, path)
        else:
            line, wrong = unsafe_drawing(text)
            if wrong:
                fix = "save it as plain SVG: outlines and gradients alone"
                yield Finding(Place(path, max(line, 1), 1), wrong, fix=fix)


def _text_of(file: Path, path: str) -> tuple[str, Finding | None]:
    start = Place(path, 1, 1)
    try:
        if not file.is_file():
            return "", Finding(start, "this is not a file", fix="put a text file here")
        if file.stat().st_size > LARGEST_TEXT_BYTES:
            wrong = f"the file is longer than {LARGEST_TEXT_BYTES:,} bytes"
            return "", Finding(start, wrong, fix="split it, or take out what is not text")
        return decode(file.read_bytes(), path)
    except OSError as error:
        wrong = f"the file cannot be opened ({error.strerror or type(error).__name__})"
        return "", Finding(start, wrong, fix="change its name or its permissions")


def prose_findings(text: str, path: str) -> Iterator[Finding]:
    """What a page in prose may not hold, as Markdown makes HTML of it."""
    lines = text.split("\n")
    for number, line in enumerate(lines, start=1):
        hidden = next((at for at, one in enumerate(line) if is_unseen(one) and one not in "\t\r"), None)
        if hidden is not None:
            wrong = f"the invisible character U+{ord(line[hidden]):04X} stands here"
            fix = "delete it, and type the text anew around it if you must"
            yield Finding(Place(path, number, hidden + 1), wrong, fix=fix)
    for needle, wrong, fix in _Page.read(text).findings:
        at = next((at for at, line in enumerate(lines, 1) if needle.lower() in line.lower()), 1)
        yield Finding(Place(path, at, 1), wrong, fix=fix)


class _Page(HTMLParser):
    """The elements and addresses of a rendered page."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.findings: list[tuple[str, str, str]] = []
        "What to look for in the file, what is wrong, and what to write instead."

    @classmethod
    def read(cls, text: str) -> _Page:
        import markdown  # a project without prose does not wait for it

        page = cls()
        try:
            page.feed(markdown.markdown(text, extensions=list(_EXTENSIONS)))
            page.close()
        except RecursionError:
            page.findings.append(
                ("", "lists or quotations stand too deep inside one another", "make them flat")
            )
        return page

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in TAGS:
            wrong = f'the element "{printable(clip(tag))}" is not for a page: it could run or hide things'
            self.findings.append((f"<{tag}", wrong, "write it in Markdown, or leave it out"))
        for name, value in attrs:
            if name not in ATTRIBUTES and not name.startswith(("aria-", "data-")):
                wrong = f'the attribute "{printable(clip(name))}" may not stand in a page'
                self.findings.append(
                    (name, wrong, "take it out; styles belong into a style sheet of the project")
                )
            elif name in ("href", "src", "cite") and is_foreign(value or ""):
                wrong = f'the address "{printable(clip(value or ""))}" leads out of the site'
                fix = "name a file of the site; write an outside address as text, between backticks"
                self.findings.append(((value or "").strip(), wrong, fix))

    handle_startendtag = handle_starttag

    def handle_decl(self, decl: str) -> None:
        self.findings.append(("<!", "a declaration may not stand in a page", "take it out"))

    def handle_pi(self, data: str) -> None:
        self.findings.append(("<?", "a processing instruction may not stand in a page", "take it out"))


def is_foreign(address: str) -> bool:
    """Whether a browser would leave the site's folder of files for this address, or run it.

    As browsers read it (WHATWG URL Standard): leading spaces and controls, and tabs and line ends anywhere,
    count for nothing, and a backslash is a slash.
    """
    read = "".join(one for one in address if one not in "\t\n\r").lstrip("".join(map(chr, range(0x21))))
    try:
        parts = urlsplit(read.replace("\\", "/"))
    except ValueError:
        return True
    return (
        parts.scheme.lower() not in SCHEMES or bool(parts.netloc) or read.replace("\\", "/").startswith("/")
    )
