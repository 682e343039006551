"""Catalogs for translators: every text with its id, its English and where it stands, as gettext's PO files.

Babel reads and writes them. The id is the context of an entry (``msgctxt``). A catalog that comes back is
checked before anything is taken from it.
"""

from __future__ import annotations

import ast
import datetime as dt
import gettext
import importlib
import inspect
import io
import pkgutil
import re
import string
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from babel.messages import Catalog as PoCatalog
from babel.messages import Message
from babel.messages.pofile import PoFileError, read_po, write_po

from forty_paces import messages
from forty_paces.authoring.documents import Loc
from forty_paces.authoring.findings import Finding, Place, clip, close_name, is_unseen
from forty_paces.authoring.library import Library
from forty_paces.authoring.texts import list_texts, texts
from forty_paces.messages.languages import Catalog, Texts
from forty_paces.outputs.common.templates import template_environment
from forty_paces.package import library_overrides

TEMPLATES = ("templates/**/*.j2", "*.html")
"""Below site_overrides: what has texts of its own."""

_PERCENT = re.compile(r"%\((\w+)\)s")
_TAG = re.compile(r"</?[a-zA-Z][^>]*>")
_CONTEXT = re.compile(r'msgctxt "(.*)"$')


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


def source_texts(library: Library, overrides: Path) -> tuple[SourceText, ...]:
    """Every text with an id: tables of ``messages``, templates, procedures and the two lists."""
    found = [*_table_texts(), *_template_texts(overrides), *_content_texts(library)]
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
    env = template_environment(overrides)
    for folder in dict.fromkeys((library_overrides(), overrides)):
        for file in sorted({file for pattern in TEMPLATES for file in folder.glob(pattern)}):
            path = f"site_overrides/{file.relative_to(folder).as_posix()}"
            source = file.read_text(encoding="utf-8")
            for line, function, found in env.extract_translations(source):  # type: ignore[attr-defined]
                parts = [str(part) for part in found if part is not None]
                if function in ("pgettext", "npgettext") and len(parts) > 1:
                    many = parts[2] if function == "npgettext" else ""
                    yield SourceText(parts[0], parts[1], many, path, line)


def _content_texts(library: Library) -> Iterator[SourceText]:
    for procedure in library.procedures:
        path = f"content/procedures/{procedure.id}.yml"
        for text in texts(procedure):
            yield SourceText(
                f"{procedure.id}/{text.address}", text.text, "", path, _line(library, path, text.loc)
            )
    for text_id, english in list_texts(library.before_trip, library.after_event).items():
        path = f"content/{text_id.partition('/')[0].replace('-', '_')}.yml"
        yield SourceText(text_id, english, "", path, 0)


def _line(library: Library, path: str, loc: Loc) -> int:
    document = library.documents.get(path)
    return document.place(loc).line if document is not None else 0


def template_catalog(library: Library, overrides: Path) -> bytes:
    """A catalog without translations (.pot), dated by the edition: equal content gives equal bytes."""
    catalog = PoCatalog(
        project="Forty Paces",
        version=library.edition.id,
        copyright_holder=library.fleet.carrier,
        header_comment="# Texts of Forty Paces. The context of each is its id: leave it as it is.",
        creation_date=dt.datetime.combine(library.edition.date, dt.time(), dt.UTC),
    )
    for text in source_texts(library, overrides):
        catalog.add(
            (text.english, text.many) if text.many else text.english,
            locations=[(text.path, text.line)],
            flags=_format(text),
            context=text.id,
        )
    written = io.BytesIO()
    write_po(written, catalog, width=0)
    return written.getvalue()


def _format(text: SourceText) -> tuple[str, ...]:
    if _PERCENT.search(text.english):
        return ("python-format",)
    return ("python-brace-format",) if "{" in text.english else ()


@dataclass(frozen=True, slots=True)
class Translation:
    """A catalog that came back from a translator."""

    catalog: Catalog
    "Its usable texts: complete, not fuzzy, and without a fault."
    findings: tuple[Finding, ...]
    fuzzy: int
    "Entries that say that they need another look."
    missing: tuple[str, ...]
    "Ids of texts that the catalog gives no usable translation for."


_START_OVER = "begin with the file that 'fortypaces languages extract' writes, in an editor for PO files"


def read_translation(file: Path, known: Sequence[SourceText]) -> Translation:
    """Read and check a PO file; its faults are findings. ``OSError`` where it cannot be opened."""
    data = file.read_bytes()
    by_id = {text.id: text for text in known}
    try:
        source = data.decode("utf-8-sig")
        po = read_po(io.BytesIO(data), abort_invalid=True)
        forms, plural_form = po.num_plurals, gettext.c2py(po.plural_expr)
    except (PoFileError, UnicodeDecodeError, ValueError) as fault:
        line = int(getattr(fault, "lineno", None) or 0) + 1
        wrong = f"the catalog cannot be read: {clip(str(fault))}"
        unreadable = Finding(Place(str(file), line, 1), wrong, fix=_START_OVER)
        return Translation(Catalog("und"), (unreadable,), 0, tuple(by_id))
    findings = [*_head_findings(file, po), *_doubled(file, source)]
    translated: dict[str, Sequence[str]] = {}
    for entry in po:
        if not entry.id:
            continue
        own = tuple(_entry_findings(Place(str(file), entry.lineno or 1, 1), entry, by_id, forms))
        findings += own
        given = _strings(entry)
        if entry.context and all(given) and not entry.fuzzy and not own:
            translated[entry.context] = given
    findings += _opening_findings(file, translated)
    language = str(po.locale).replace("_", "-") if po.locale else "und"
    return Translation(
        Catalog(language, translated, plural_form),
        tuple(sorted(findings)),
        sum(bool(entry.id) and entry.fuzzy for entry in po),
        tuple(text_id for text_id in by_id if text_id not in translated),
    )


def _strings(entry: Message) -> tuple[str, ...]:
    return (entry.string,) if isinstance(entry.string, str) else tuple(entry.string or ())


def _head_findings(file: Path, po: PoCatalog) -> Iterator[Finding]:
    if po.locale is None:
        yield Finding(
            Place(str(file), 1, 1),
            "the header names no language",
            fix='write a line like "Language: es_US\\n" into the header',
        )


def _doubled(file: Path, source: str) -> Iterator[Finding]:
    """Ids that stand twice; an editor shows one of the two, a reader of the file takes the other."""
    first: dict[str, int] = {}
    for number, line in enumerate(source.splitlines(), 1):
        context = _CONTEXT.match(line)
        if context and first.setdefault(context[1], number) != number:
            yield Finding(
                Place(str(file), number, 1),
                f'"{context[1]}" stands here again, after line {first[context[1]]}',
                fix="keep one of the two entries",
            )


def _opening_findings(file: Path, translated: Mapping[str, Sequence[str]]) -> Iterator[Finding]:
    """A reason is shown in two parts, and the second is found by how it begins."""
    opening = translated.get("openings.look-back", ("",))[0]
    for text_id in ("reasons.look-day", "reasons.look-night"):
        reason = translated.get(text_id)
        if reason is not None and not (opening and reason[0].startswith(opening)):
            yield Finding(
                Place(str(file), 1, 1),
                f'"{text_id}" does not begin with the translation of "openings.look-back"',
                fix="begin it with the same words",
            )


def _entry_findings(
    place: Place, entry: Message, known: Mapping[str, SourceText], forms: int
) -> Iterator[Finding]:
    """What is wrong with one entry; nothing for one without a translation."""
    given = _strings(entry)
    if not entry.context:
        yield Finding(place, "the entry has no id", fix="give it the msgctxt that extract wrote")
        return
    text = known.get(entry.context)
    if text is None:
        near = close_name(entry.context, known)
        fix = f'write "{near}", or delete the entry' if near else "delete the entry"
        yield Finding(place, f'no text has the id "{entry.context}"', fix=fix)
        return
    if not any(given):
        return
    english = entry.id if isinstance(entry.id, str) else entry.id[0]
    if english != text.english:
        yield Finding(
            place,
            f'the English of "{text.id}" is now "{clip(text.english)}"',
            fix="translate it anew, and put the new English into msgid",
        )
    wanted = forms if text.many else 1
    if len([translated for translated in given if translated]) != wanted:
        yield Finding(
            place,
            f'"{text.id}" has not the {wanted} forms of this language',
            fix="give every form, from msgstr[0] on, as the header's Plural-Forms says",
        )
    for translated in filter(None, given):
        yield from _string_findings(place, text, translated, last=translated is given[-1])


def _string_findings(place: Place, text: SourceText, translated: str, *, last: bool) -> Iterator[Finding]:
    """What is wrong with a translation as text; only the last plural form must name the count."""
    english = text.many or text.english
    try:
        slots, kept = _slots(text, english), _slots(text, translated)
    except ValueError as fault:
        yield Finding(place, f'"{text.id}": {fault}', fix="copy the placeholders from the English text")
        return
    for slot in sorted(((slots - kept) if last else set()) | (kept - slots)):
        wrong = "is missing" if slot in slots else "is not in the English text"
        yield Finding(place, f'"{text.id}": the placeholder {slot} {wrong}', fix=_COPY_SLOTS)
    tags, kept_tags = Counter(_TAG.findall(english)), Counter(_TAG.findall(translated))
    for tag in sorted((tags - kept_tags) + (kept_tags - tags)):
        wrong = "is missing" if tags[tag] > kept_tags[tag] else "is not in the English text"
        yield Finding(place, f'"{text.id}": the tag {tag} {wrong}', fix="keep the tags of the English text")
    for character in sorted({one for one in translated if one != "\n" and is_unseen(one)} - set(english)):
        yield Finding(
            place,
            f'"{text.id}" has the invisible character {character!r}',
            fix="delete it: pages set the direction of text themselves",
        )


_COPY_SLOTS = "use each placeholder of the English text, in any order, and no other"


def _slots(text: SourceText, written: str) -> set[str]:
    """The placeholders of a text. ``ValueError`` where filling them in would fail."""
    if text.path.startswith("content/"):
        return set()
    if text.path.startswith("messages/"):
        try:
            return {f"{{{name}}}" for _, name, _, _ in string.Formatter().parse(written) if name is not None}
        except ValueError as fault:
            raise ValueError(f"a brace is broken ({fault})") from None
    if "%" in _PERCENT.sub("", written).replace("%%", ""):
        raise ValueError("a percent sign is neither doubled nor part of a placeholder")
    return {found[0] for found in _PERCENT.finditer(written)}
