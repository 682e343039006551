"""The wording rules of a catalog's language, applied to its usable texts: findings by file and line.

A language without rules of its own has none here; those of English are for English.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

import yaml
from babel.messages.pofile import read_po

from forty_paces.authoring.findings import Finding, Place, clip
from forty_paces.authoring.models.ways_out import LONGEST_BUTTON
from forty_paces.authoring.wording import spanish
from forty_paces.outputs.common.catalog_checks import Translation
from forty_paces.outputs.common.catalogs import SourceText

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
