"""Reads a translator's catalog and checks it: what is faulty or fuzzy is reported and not used.

Usable texts are also checked by the wording rules of their language. A language without rules of its own has
none here; those of English are for English.
"""

from __future__ import annotations

import datetime as dt
import gettext
import io
import re
import string
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

import yaml
from babel.messages import Catalog as PoCatalog
from babel.messages import Message
from babel.messages.pofile import PoFileError, read_po

from forty_paces.authoring.findings import Finding, Place, clip, close_name, is_unseen
from forty_paces.authoring.models.checklists import LONGEST_BUTTON
from forty_paces.authoring.wording import spanish
from forty_paces.messages.languages import Catalog
from forty_paces.outputs.common.catalogs import PERCENT, SourceText

_TAG = re.compile(r"</?[a-zA-Z][^>]*>")
_MARKUP = re.compile(r'[<>"]')
"""What would begin a tag, or end an attribute, in a template: its texts are not escaped."""

_FIGURE_NAMES = re.compile(r"\{[a-z0-9-]+\}")
_CONTEXT = re.compile(r'msgctxt "(.*)"$')


@dataclass(frozen=True, slots=True)
class CatalogSignature:
    """A signature under one procedure in the catalog's language."""

    procedure: str
    version: str
    check: str
    "technical, user or safety_lead."
    name: str
    day: dt.date


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
    reviewer: str = ""
    "Who has read the whole of it, a speaker of the language; empty where nobody has."
    signatures: tuple[CatalogSignature, ...] = ()


_START_OVER = "begin with the file that 'fortypaces languages extract' writes, in an editor for PO files"


REVIEWED = re.compile(r"^#[ \t]*Reviewed by:[ \t]*(\S.*?)\s*$", re.MULTILINE)
"""The line of the header that names the speaker who has read the catalog, with the day."""


SIGNED = re.compile(
    r"^#\s*Signed: ([a-z0-9-]+) (\d+\.\d+) (technical|user|safety_lead): (\S.*), (\d{4}-\d\d-\d\d)\s*$",
    re.MULTILINE,
)
"""A line of the header for each signature: "Signed: fog 1.0 safety_lead: Name, role, 2026-12-01"."""


def _head(source: str) -> tuple[str, tuple[CatalogSignature, ...]]:
    """Reviewer and signatures, from the comment at the head of a catalog."""
    comment = source.partition("\nmsgid")[0]
    reviewed = REVIEWED.search(comment)
    signed = []
    for procedure, version, check, name, day in SIGNED.findall(comment):
        with suppress(ValueError):
            signed.append(CatalogSignature(procedure, version, check, name, dt.date.fromisoformat(day)))
    return (reviewed[1] if reviewed else ""), tuple(signed)


def read_translation(file: Path, known: Sequence[SourceText], *, below: bool = False) -> Translation:
    """Read and check a PO file; its faults are findings. ``OSError`` where it cannot be opened.

    In a catalog ``below`` the project's, texts that the project has not or words otherwise are no faults:
    their translations are left unused.
    """
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
    findings = [*_head_findings(file, po), *doubled_findings(file, source)]
    translated: dict[str, Sequence[str]] = {}
    for entry in po:
        if not entry.id:
            continue
        given = _strings(entry)
        if below and _is_of_another_project(entry, by_id):
            continue
        own = tuple(_entry_findings(Place(str(file), entry.lineno or 1, 1), entry, by_id, forms))
        findings += own
        if entry.context and all(given) and not entry.fuzzy and not own:
            translated[entry.context] = given
    findings += _opening_findings(file, translated)
    language = str(po.locale).replace("_", "-") if po.locale else "und"
    return Translation(
        Catalog(language, translated, plural_form),
        tuple(sorted(findings)),
        sum(bool(entry.id) and entry.fuzzy for entry in po),
        tuple(text_id for text_id in by_id if text_id not in translated),
        *_head(source),
    )


def _is_of_another_project(entry: Message, known: Mapping[str, SourceText]) -> bool:
    text = known.get(str(entry.context))
    return text is None or _english(entry) != text.english


def _english(entry: Message) -> str:
    return entry.id if isinstance(entry.id, str) else str(entry.id[0])


def _strings(entry: Message) -> tuple[str, ...]:
    return (entry.string,) if isinstance(entry.string, str) else tuple(entry.string or ())


def _head_findings(file: Path, po: PoCatalog) -> Iterator[Finding]:
    if po.locale is None:
        yield Finding(
            Place(str(file), 1, 1),
            "the header names no language",
            fix='write a line like "Language: es_US\\n" into the header',
        )


def doubled_findings(file: Path, source: str) -> Iterator[Finding]:
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
    if entry.fuzzy:
        return
    if _english(entry) != text.english:
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
    if last and (wrong := _figures_differ(english, translated)):
        yield Finding(place, f'"{text.id}": {wrong}', fix="write every figure as the English text has it")
    more = Counter(_MARKUP.findall(_TAG.sub("", translated))) - Counter(
        _MARKUP.findall(_TAG.sub("", english))
    )
    for sign in sorted(more) if text.path.startswith("site_overrides/") else ():
        fix = "write it without, or in words: quotation marks as your language has them"
        yield Finding(
            place, f'"{text.id}": the sign {sign} is markup here, and not in the English text', fix=fix
        )
    for character in sorted(filter(is_unseen, set(translated) - set(english) - {"\n"})):
        yield Finding(
            place,
            f'"{text.id}" has the invisible character {character!r}',
            fix="delete it: pages set the direction of text themselves",
        )


_NOT_A_FIGURE = re.compile(r"%\(\w+\)s|\{[^{}]*\}|</?[a-zA-Z][^>]*>|&#?\w+;")
_FIGURE = re.compile(r"\d+(?:[.,:/]\d+)*|[¼½¾]")


def figures(text: str) -> Counter[str]:
    """The figures of a text, without those within placeholders and markup."""
    return Counter(_FIGURE.findall(_NOT_A_FIGURE.sub(" ", text)))


def _figures_differ(english: str, translated: str) -> str:
    wanted, given = figures(english), figures(translated)
    missing, more = list((wanted - given).elements()), list((given - wanted).elements())
    if missing:
        return f"the figure {', '.join(missing)} is missing"
    return f"the figure {', '.join(more)} is not in the English text" if more else ""


_COPY_SLOTS = "use each placeholder of the English text, in any order, and no other"


def _slots(text: SourceText, written: str) -> set[str]:
    """The placeholders of a text. ``ValueError`` where filling them in would fail."""
    if text.path.startswith("content/"):  # figures of a scenario; braces elsewhere are plain text
        return set(_FIGURE_NAMES.findall(written)) if "/scenarios/" in text.path else set()
    if text.path.startswith("messages/"):
        try:
            return {f"{{{name}}}" for _, name, _, _ in string.Formatter().parse(written) if name is not None}
        except ValueError as fault:
            raise ValueError(f"a brace is broken ({fault})") from None
    if "%" in PERCENT.sub("", written).replace("%%", ""):
        raise ValueError("a percent sign is neither doubled nor part of a placeholder")
    return {found[0] for found in PERCENT.finditer(written)}


_ORDER = re.compile(r"/(?:by_heart|steps|report|roll_again|lines|rows)/[^/]+/do$")
"""Ids of texts that are one instruction to the driver."""

_NOT_OF_PROCEDURES = (
    *("before-trip/", "after-event/", "ways-out/", "rules/", "scenes/", "lessons/", "scenarios/"),
    *("glossary/", "fleet/"),
)
"""Beginnings of the ids of all other content; those of a procedure begin with its own id."""

_BUTTON = re.compile(r"^ways-out/[^/]+/button$")


def wording_findings(file: Path, read: Translation, known: Sequence[SourceText]) -> Iterator[Finding]:
    """What breaks the rules of the language; nothing for a catalog that cannot be read."""
    texts = dict(read.catalog.texts)
    if not texts:
        return
    lines = _lines(file)
    english = {text.id: text.english for text in known}
    bounded = {text.id for text in known if _is_of_procedure(text)}
    terms = glossary(file.with_name(f"{file.stem}.glossary.yml"))
    spanish_rules = read.catalog.language.partition("-")[0] == "es"
    for text_id, forms in texts.items():
        place = Place(str(file), lines.get(text_id, 1), 1)
        for form in forms:
            if _BUTTON.match(text_id) and len(form) > LONGEST_BUTTON:
                yield Finding(
                    place,
                    f'"{text_id}" has {len(form)} characters, and its button holds {LONGEST_BUTTON}',
                    fix="write one or two short words",
                )
            if not spanish_rules:
                continue
            order = _ORDER.search(text_id) is not None
            for wrong, fix in spanish.violations(
                form, english[text_id], order=order, bounded=text_id in bounded, terms=terms
            ):
                yield Finding(place, f'"{text_id}": {wrong}: {clip(form)}', fix=fix)
    if spanish_rules:
        yield from _reading(file, texts)


def _is_of_procedure(text: SourceText) -> bool:
    """Whether a procedure shows it, in whatever file it stands."""
    return text.path.startswith("content/") and not text.id.startswith(_NOT_OF_PROCEDURES)


def _reading(file: Path, texts: dict[str, Sequence[str]]) -> Iterator[Finding]:
    orders: dict[str, list[str]] = {}
    for text_id, forms in texts.items():
        if _ORDER.search(text_id):
            orders.setdefault(text_id.partition("/")[0], []).append(forms[0])
    for name, reached in spanish.hard_procedures(orders):
        yield Finding(
            Place(str(file), 1, 1),
            f'the orders of "{name}" reach {reached:.0f} on the INFLESZ scale',
            fix=f"shorter words and sentences: {spanish.LEAST_EASE:.0f} or more",
            advice=True,
        )


def _lines(file: Path) -> dict[str, int]:
    """The line of each entry by its id."""
    po = read_po(io.BytesIO(file.read_bytes()))
    return {entry.context: entry.lineno or 1 for entry in po if entry.context}


def glossary(file: Path) -> tuple[spanish.SpanishTerm, ...]:
    """The terms of a language, from the file beside its catalog; none where there is no such file."""
    if not file.is_file():
        return ()
    listed = yaml.safe_load(file.read_text(encoding="utf-8")) or {}
    return tuple(
        spanish.SpanishTerm(str(one["en"]), str(one["es"]), tuple(map(str, one.get("avoid") or ())))
        for one in listed.get("terms", ())
    )
