"""How dates, sources, figures and drawings are set on pages and on paper.

A line must not end within a figure and its unit, a day and its month, or a CFR citation. Printed documents
get no-break spaces (U+00A0); in HTML only text is changed, never tags, attributes or path data. On screens a
figure is held by an element, so that the text itself stays as it was written.
"""

from __future__ import annotations

import datetime as dt
import re
from functools import lru_cache

from markupsafe import Markup, escape

from forty_paces.authoring.models.sources import Basis, Source, SourceKind
from forty_paces.messages.cards import SHEET
from forty_paces.messages.languages import ENGLISH, language
from forty_paces.messages.terms import MONTHS, SHORT_MONTHS, TERMS, capital

NO_BREAK_SPACE = "\u00a0"

UNITS = (
    *("ft", "in", "m", "mi", "km", "mph", "km/h", "psi", "kPa", "lb", "°F", "°C", "percent", "%"),
    *("s", "min", "h", "day", "days", "pace", "paces"),
)
"""Units that stay on the line of their figure."""

_UNITS = "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))

_MONTHS = "|".join(SHORT_MONTHS.english.values())

_BEFORE_UNIT = re.compile(rf"(?<=[\d¼½¾]) (?=(?:{_UNITS})(?![\w/]))")

_BEFORE_MONTH = re.compile(rf"(?<=\d) (?=(?:{_MONTHS}) \d{{4}}\b)")

_IN_CITATION = re.compile(r"(?<=\d) (?=CFR \d)|(?<=\bCFR) (?=\d)")

_TEXT = re.compile(r"(?<=>)[^<>]+(?=<)")

_FIGURE = re.compile(rf"(?<![\w&#/.-])\d[\d,./]*[¼½¾]?{_BEFORE_UNIT.pattern}(?:{_UNITS})")

_VIEW_BOX = re.compile(r'viewBox="[-\d.]+ [-\d.]+ ([\d.]+) ([\d.]+)"')

_SIZE = re.compile(r' (?:width|height)="[^"]*"')


def long_date(day: dt.date) -> str:
    """'25 November 2026'."""
    return TERMS["day"].format(day=day.day, month=MONTHS[str(day.month)], year=day.year)


def short_date(day: dt.date) -> str:
    """'25 Nov 2026', where space is short."""
    return TERMS["day-short"].format(day=day.day, month=SHORT_MONTHS[str(day.month)], year=day.year)


def source_title(source: Source) -> str:
    """The title and the place in it, such as 'Warning devices for stopped vehicles, 49 CFR 392.22'."""
    return f"{source.title}, {source.locator}" if source.locator else source.title


def shown_source_title(source: Source) -> str:
    """The same; what is common practice, and no text of somebody's, is named in the language in force."""
    own = f"source-{source.id}"
    is_own = own in TERMS and TERMS.english[own] == source_title(source)
    return TERMS[own] if is_own else source_title(source)


def source_language(source: Source) -> Markup:
    """The attribute of an element with a source's title: titles are English in every edition."""
    return Markup("") if shown_source_title(source) != source_title(source) else english_mark()


def english_mark() -> Markup:
    """The attribute of an element with an English text; nothing where the page itself is in English."""
    return Markup("") if language() == ENGLISH else Markup(f' lang="{ENGLISH}"')


def in_english(text: str) -> Markup:
    """A text that is not translated, marked as English where the page is in another language."""
    mark = english_mark()
    return Markup("<span{}>{}</span>").format(mark, text) if mark else escape(text)


def basis_words(source: Source) -> str:
    """How the text was read, such as 'read in part'; 'common practice, no source' where there is none."""
    if source.kind is SourceKind.COMMON_PRACTICE:
        return TERMS["common-practice"]
    return TERMS[f"basis-{source.basis}"]


def how_met(source: Source) -> str:
    """How the text was read, in which copy and when; 'common practice, no source' where there is none."""
    return str(_how_met(source, basis_words(source), source.met_in))


def how_met_marked(source: Source, *, sentence: bool = False) -> Markup:
    """The same for a page, with the name of a copy marked as English; a ``sentence`` has a capital."""
    words = capital(basis_words(source)) if sentence else basis_words(source)
    return escape(_how_met(source, escape(words), source.met_in and in_english(source.met_in)))


def _how_met(source: Source, words: str, met_in: str | None) -> str:
    """Of texts a text, of markup markup."""
    markup = type(words)
    if met_in is not None:
        form = TERMS["met-from" if source.basis is Basis.SECOND_HAND else "met-in"]
        words = markup(form).format(basis=words, met_in=met_in)
    if source.checked is None:
        return words
    return markup(TERMS["checked"]).format(basis=words, day=short_date(source.checked))


@lru_cache(maxsize=16_384)  # sets of cards repeat most of their texts
def with_no_break_spaces(text: str) -> str:
    """Plain text with no-break spaces."""
    for space in (_BEFORE_UNIT, _BEFORE_MONTH, _IN_CITATION):
        text = space.sub(NO_BREAK_SPACE, text)
    return text


def html_with_no_break_spaces(html: str) -> str:
    """HTML with no-break spaces in its text. Idempotent."""
    return _TEXT.sub(lambda match: with_no_break_spaces(match[0]), html)


def keep_figures_with_units(text: str) -> Markup:
    """The text with each figure and its unit in an element that does not wrap."""
    return Markup(_FIGURE.sub(r'<span class="together">\g<0></span>', str(escape(text))))


def view_box(svg: str) -> tuple[float, float]:
    """Width and height of a drawing in its own units. Raises ``ValueError`` if it has no viewBox."""
    box = _VIEW_BOX.search(str(svg).partition(">")[0])
    if box is None:
        raise ValueError("a drawing without a view box cannot be sized")
    return float(box[1]), float(box[2])


_OVERLONG = re.compile(r"[^\s<>]{40}(?=[^\s<>])")


def break_overlong(text: str) -> str:
    """The text with spaces in words of over 40 characters, since no line of a sheet is sure to hold them."""
    return _OVERLONG.sub(r"\g<0> ", text)


def sized(svg: str, width_mm: float) -> Markup:
    """The drawing at ``width_mm``, its height in proportion. Raises ``ValueError`` if it has no viewBox."""
    width, height = view_box(svg)
    head, bracket, rest = str(svg).partition(">")
    bare = _SIZE.sub("", head)
    return Markup(  # the drawing is escaped where it is made
        f'{bare} width="{width_mm:g}mm" height="{width_mm * height / width:.3f}mm"{bracket}{rest}'
    )


def foot_boxes(foot: str) -> str:
    """The margin boxes at the foot of every page: plain text, and the number of the page."""
    # Without ligatures: a reader of PDFs that takes "fb" for two signs would find another edition.
    box = (
        'font-family:"Atkinson Hyperlegible",sans-serif;font-size:10pt;color:#111;font-variant-ligatures:none'
    )
    words = foot.replace("\\", "\\\\").replace('"', '\\"').replace("<", "\\3c ").replace("\n", " ")
    page, of = SHEET["page"], SHEET["of"]
    return (
        f'@bottom-left{{content:"{words}";{box}}}'
        f'@bottom-right{{content:"{page} " counter(page) " {of} " counter(pages);{box}}}'
    )
