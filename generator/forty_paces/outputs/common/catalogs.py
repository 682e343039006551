"""Catalogs for translators: every text with its id, its English and where it stands, as gettext's PO files.

Babel reads and writes them. The id is the context of an entry (``msgctxt``). What comes back is checked in
:mod:`catalog_checks` before anything is taken from it.
"""

from __future__ import annotations

import ast
import datetime as dt
import importlib
import inspect
import io
import pkgutil
import re
from collections.abc import Container, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from babel import Locale, UnknownLocaleError
from babel.messages import Catalog as PoCatalog
from babel.messages import Message
from babel.messages.pofile import read_po, write_po
from jinja2 import Environment

from forty_paces import messages
from forty_paces.authoring.documents import Loc
from forty_paces.authoring.layers import LIBRARY
from forty_paces.authoring.library import Library
from forty_paces.authoring.translated import content_texts
from forty_paces.messages.languages import Texts
from forty_paces.outputs.common.templates import template_environment
from forty_paces.package import generator_version, library_overrides

TEMPLATES = ("templates/**/*.j2", "*.html")
"""Below site_overrides: what has texts of its own."""

PERCENT = re.compile(r"%\((\w+)\)s")
"""A placeholder of a template."""

UNWRAPPED = 1_000_000
"""Characters in a line of a catalog. Babel's 0 keeps texts on one line, but breaks the earlier English of a
fuzzy text at 76, within its quotes."""

_EARLIER = re.compile(r'msgid(?:_plural)? ((?:"(?:[^"\\]|\\.)*"\s*)+)')


@dataclass(frozen=True, slots=True)
class SourceText:
    """One text in English, and where it stands."""

    id: str
    english: str
    many: str
    "The English text for several; empty for a text without plural."
    path: str
    line: int
    "From 1; 0 where only the file is known."


CARRIERS = "fleet/"
"""Begins the ids of a carrier's own texts."""


def source_texts(library: Library, overrides: Path, *, carrier: bool = True) -> tuple[SourceText, ...]:
    """Every text with an id: tables of ``messages``, templates and content.

    Without ``carrier`` none of the carrier's own: catalogs that come with the package hold nothing of it.
    """
    found = [*_table_texts(), *_template_texts(overrides), *_content_texts(library)]
    found = [text for text in found if carrier or not text.id.startswith(CARRIERS)]
    first: dict[str, SourceText] = {}
    for text in found:
        known = first.setdefault(text.id, text)
        if (known.english, known.many) != (text.english, text.many):
            raise ValueError(f"{text.path}:{text.line}: {text.id} stands for another text in {known.path}")
    return tuple(first.values())


def _table_texts() -> Iterator[SourceText]:
    for found in pkgutil.iter_modules(messages.__path__):
        module = importlib.import_module(f"{messages.__name__}.{found.name}")
        path, lines = f"messages/{found.name}.py", _lines_of_keys(inspect.getsource(module))
        for table in vars(module).values():
            if isinstance(table, Texts) and table.name in lines:
                for key, english in table.english.items():
                    line = lines[table.name].get(key, 0)
                    yield SourceText(f"{table.name}.{key}", english, "", path, line)


def _lines_of_keys(source: str) -> dict[str, dict[str, int]]:
    """The line of each key of the tables that a module makes."""
    lines: dict[str, dict[str, int]] = {}
    for node in ast.walk(ast.parse(source)):
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Texts"):
            continue
        name, table = node.args
        if isinstance(name, ast.Constant):
            keys = table.keys if isinstance(table, ast.Dict) else []
            lines[str(name.value)] = {
                str(key.value): key.lineno for key in keys if isinstance(key, ast.Constant)
            }
    return lines


def _template_texts(overrides: Path) -> Iterator[SourceText]:
    """The texts of the library's templates, and of the project's own where it has any."""
    for folder in dict.fromkeys((library_overrides(), overrides)):
        for file in sorted({file for pattern in TEMPLATES for file in folder.glob(pattern)}):
            path = f"site_overrides/{file.relative_to(folder).as_posix()}"
            for line, function, parts in _marked(file.read_text(encoding="utf-8")):
                if function in ("pgettext", "npgettext") and len(parts) > 1:
                    many = parts[2] if function == "npgettext" else ""
                    yield SourceText(parts[0], parts[1], many, path, line)


@lru_cache(maxsize=512)
def _marked(template: str) -> tuple[tuple[int, str, tuple[str, ...]], ...]:
    """Line, function and strings of each text that a template marks.

    Its source alone decides them, and one command asks for those of all templates several times.
    """
    found = _extracting().extract_translations(template)  # type: ignore[attr-defined]
    return tuple(
        (line, function, tuple(str(part) for part in parts if part is not None))
        for line, function, parts in found
    )


@lru_cache(maxsize=1)
def _extracting() -> Environment:
    return template_environment(library_overrides())


def _content_texts(library: Library) -> Iterator[SourceText]:
    for text in content_texts(library):
        path, line = _place(library, text.path, text.loc)
        yield SourceText(text.id, text.text, "", path, line)


def _place(library: Library, path: str, loc: Loc) -> tuple[str, int]:
    """File and line of a text: a shared passage, or what an edition exchanges, stands in another file."""
    document = library.documents.get(path)
    if document is None:
        return path, 0
    place = document.place(loc)
    return place.path.removeprefix(LIBRARY), place.line


def template_catalog(
    library: Library, overrides: Path, *, carrier: bool = True, without: Container[str] = ()
) -> bytes:
    """A catalog without translations (.pot), dated by the edition: equal content gives equal bytes.

    The ids ``without`` are left out: texts that another layer translates.
    """
    catalog = PoCatalog(
        project="Forty Paces",
        version=generator_version(),
        copyright_holder=library.fleet.carrier if carrier else "the authors of Forty Paces",
        header_comment="# Texts of Forty Paces. The context of each is its id: leave it as it is.",
        creation_date=dt.datetime.combine(library.edition.date, dt.time(), dt.UTC),
    )
    for text in source_texts(library, overrides, carrier=carrier):
        if text.id in without:
            continue
        catalog.add(
            (text.english, text.many) if text.many else text.english,
            locations=[(text.path, text.line)],
            flags=_format(text),
            context=text.id,
        )
    written = io.BytesIO()
    write_po(written, catalog, width=UNWRAPPED)
    return written.getvalue()


def _format(text: SourceText) -> tuple[str, ...]:
    if PERCENT.search(text.english):
        return ("python-format",)
    return ("python-brace-format",) if "{" in text.english else ()


def updated(old: bytes, template: bytes) -> bytes:
    """A catalog brought up to the template: matched by id, nothing translated is lost.

    A text whose English has changed keeps its translation, is marked fuzzy and shows the English before;
    a new text is empty; one that no longer exists is kept apart, commented out. Raises ``PoFileError`` and
    ``ValueError`` where the old catalog cannot be read.
    """
    before, now = read_po(io.BytesIO(old), abort_invalid=True), read_po(io.BytesIO(template))
    known = {str(entry.context): entry for entry in before if entry.id and entry.context}
    known |= {str(entry.context): entry for entry in before.obsolete.values() if entry.context not in known}
    after = PoCatalog(
        locale=before.locale,
        project=now.project,
        version=generator_version(),
        header_comment=before.header_comment,
        creation_date=now.creation_date,
        revision_date=before.revision_date,
        last_translator=_entered(before.last_translator),
        language_team=_entered(before.language_team),
        msgid_bugs_address="-",
        fuzzy=False,
    )
    if old:
        after.mime_headers = [("Plural-Forms", before.plural_forms)]
    for entry in now:
        if not entry.id:
            continue
        kept = known.pop(str(entry.context), None)
        flags = set(entry.flags)
        if kept is not None and any(_forms(kept)):
            flags |= kept.flags & {"fuzzy"} if kept.id == entry.id else {"fuzzy"}
        same = kept is None or kept.id == entry.id
        earlier, comments = _earlier_english(kept)
        after.add(
            entry.id,
            kept.string if kept is not None and _fits(kept, entry) else "",
            locations=entry.locations,
            flags=flags,
            user_comments=comments,
            previous_id=earlier if same or kept is None or earlier else kept.id,
            context=entry.context,
        )
    for entry in known.values():
        if any(_forms(entry)):
            after.obsolete[str(entry.context)] = entry
    written = io.BytesIO()
    write_po(written, after, width=UNWRAPPED, include_previous=True)
    return written.getvalue()


def _entered(name: str) -> str:
    """A name of the header, without what Babel puts where none was entered."""
    return "-" if "EMAIL@ADDRESS" in name or "LL@li.org" in name else name


def _earlier_english(entry: Message | None) -> tuple[tuple[str, ...], list[str]]:
    """The English of a fuzzy text before it changed, which Babel reads as comments; the other comments."""
    comments = list(entry.user_comments) if entry is not None else []
    earlier = " ".join(comment[1:].strip() for comment in comments if comment.startswith("|"))
    found = tuple(ast.literal_eval(f"({quoted})") for quoted in _EARLIER.findall(earlier))
    return found, [comment for comment in comments if not (found and comment.startswith("|"))]


def translated_ids(catalog: bytes) -> frozenset[str]:
    """The ids that a catalog has a translation for, fuzzy or not. Raises as :func:`updated` does."""
    read = read_po(io.BytesIO(catalog), abort_invalid=True)
    return frozenset(str(entry.context) for entry in read if entry.id and any(_forms(entry)))


def empty_catalog(code: str) -> bytes:
    """A catalog of a language without any text. Raises ``ValueError`` for an unknown language."""
    try:
        catalog = PoCatalog(locale=Locale.parse(code), fuzzy=False, last_translator="-", language_team="-")
    except UnknownLocaleError:
        raise ValueError(f'no language has the code "{code}"') from None
    catalog.header_comment = (
        "# Texts of Forty Paces. The context of each is its id: leave it as it is.\n"
        "# A speaker who has read all of it enters a line here:  Reviewed by: Name, role, 2026-12-01"
    )
    written = io.BytesIO()
    write_po(written, catalog, width=UNWRAPPED)
    return written.getvalue()


def _forms(entry: Message) -> tuple[str, ...]:
    """The translations of an entry: one, or one for each plural form."""
    return (entry.string,) if isinstance(entry.string, str) else tuple(entry.string or ())


def _fits(kept: Message, entry: Message) -> bool:
    """Whether a translation has as many forms as the entry now takes."""
    return isinstance(kept.id, str) is isinstance(entry.id, str)
