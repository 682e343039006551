"""The other languages of a build: which the fleet asks for, the texts of each, and the library in it.

A catalog is ``content/languages/CODE.po``. The project's lies over the library's, entry by entry. A text
without a usable translation stops the build, unless the fleet says to fall back on English; then it is
marked wherever it is shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from babel import Locale
from babel.numbers import get_decimal_symbol, get_group_symbol

from forty_paces.authoring import translated as texts_of
from forty_paces.authoring.findings import ContentFault, Finding, Place, clip
from forty_paces.authoring.layers import Layers
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip
from forty_paces.authoring.models.fleet import Untranslated
from forty_paces.authoring.models.procedure import Procedure, Review, SignOff
from forty_paces.authoring.translated import FLEET
from forty_paces.messages.languages import Catalog, speaking
from forty_paces.outputs.common.catalog_checks import CatalogSignature, Translation, read_translation
from forty_paces.outputs.common.catalogs import SourceText, source_texts
from forty_paces.outputs.common.context import ENGLISH_LANGUAGE, BuildContext, Language
from forty_paces.outputs.common.progress import NO_PROGRESS, ProgressListener

Shown = TypeVar("Shown", BeforeTrip | None, AfterEvent | None)

FOLDER = "content/languages"

MARK = "[EN] "
"""Stands before an English text in another language's build."""

LISTED = 40
"""Most texts that a refusal names."""

FOR_OTHERS = (
    *("pages.about.", "pages.review.", "pages.sources.", "pages.vehicle.", "pages.writing."),
    *("about.", "answer.", "chance.", "print-run.", "review.", "score-files.", "slip.", "stopping."),
    *("classroom.key.", "classroom.names.", "classroom.notes.", "classroom.records.", "classroom.signoff."),
    *("classroom.trainer.", "classroom.worksheet.", "classroom.yard."),
)
"""Ids of what is built in English alone: for authors, trainers and those who print and hand out."""

TAUGHT = ("lessons/", "scenarios/")
"""Ids of what is taught. What is not translated whole is left out of that language's classroom."""


@dataclass(frozen=True, slots=True)
class Translated:
    """One other language of a build."""

    language: Language
    library: Library
    "The library with every text in this language."

    @property
    def catalog(self) -> Catalog:
        """The texts of the language."""
        return self.language.catalog


def translations(library: Library, project: Path, overrides: Path) -> tuple[Translated, ...]:
    """The languages that the fleet asks for besides English.

    Raises :class:`ContentFault` with the faults of catalogs, and with the texts that are not translated.
    """
    wanted = library.fleet.other_languages
    if not wanted:
        return ()
    known = source_texts(library, overrides)
    made: list[Translated] = []
    faults: list[Finding] = []
    for code in wanted:
        try:
            made.append(translation(library, project, known, code, shorts=[_short(one) for one in wanted]))
        except ContentFault as fault:
            faults += fault.findings
    if faults:
        raise ContentFault(faults)
    return tuple(made)


def translation(
    library: Library, project: Path, known: Sequence[SourceText], code: str, shorts: Sequence[str] = ()
) -> Translated:
    """One language. Raises :class:`ContentFault` as :func:`translations` does."""
    read = read_layers(project, known, code)
    if read.findings:
        raise ContentFault(read.findings)
    missing = tuple(text_id for text_id in read.missing if not text_id.startswith((*FOR_OTHERS, *TAUGHT)))
    falls_back = library.fleet.untranslated is Untranslated.ENGLISH
    if missing and not falls_back:
        raise ContentFault(_refusals(code, missing, known))
    locale = Locale.parse(code)
    catalog = replace(
        read.catalog,
        language=code.replace("_", "-"),
        mark=MARK,
        reviewer=read.reviewer or None,
        group=get_group_symbol(locale),
        point=get_decimal_symbol(locale),
    )
    short = _short(code) if list(shorts).count(_short(code)) < 2 else code.lower().replace("_", "-")
    own = library if falls_back else _taught_whole(library, frozenset(read.missing))
    name = locale.get_language_name(locale.language) or code
    language = Language(code, catalog.language, name[:1].upper() + name[1:], short, catalog)
    return Translated(language, _signed(texts_of.in_language(own, catalog.text), read.signatures))


def read_layers(project: Path, known: Sequence[SourceText], code: str) -> Translation:
    """The catalog of a language: the project's entries, then the library's others."""
    path = f"{FOLDER}/{code}.po"
    layers = Layers.of(project)[0]
    own, below = layers.own(path), layers.below(path)
    if own is None and below is None:
        fix = f"write {path} with 'fortypaces languages update {code}', or take it out of languages"
        raise ContentFault([Finding(Place(FLEET, 1, 1), f"the language {code} has no catalog", fix=fix)])
    mine = read_translation(own.file, known) if own is not None else None
    theirs = read_translation(below.file, known, below=True) if below is not None else None
    if mine is None or theirs is None:
        return mine or theirs  # type: ignore[return-value]  # one of them is there
    texts = {**theirs.catalog.texts, **mine.catalog.texts}
    return Translation(
        replace(mine.catalog, texts=texts),
        (*mine.findings, *theirs.findings),
        mine.fuzzy + theirs.fuzzy,
        tuple(text.id for text in known if text.id not in texts),
        mine.reviewer if theirs.reviewer else "",
        mine.signatures,
    )


def given_below(project: Path, known: Sequence[SourceText], code: str) -> frozenset[str]:
    """The ids that the library's catalog of a language translates, for a project that lies over it."""
    below = Layers.of(project)[0].below(f"{FOLDER}/{code}.po")
    return frozenset(read_translation(below.file, known, below=True).catalog.texts if below else ())


def context_of(
    library: Library, overrides: Path, translated: Sequence[Translated], watch: ProgressListener = NO_PROGRESS
) -> BuildContext:
    """The English build context of a build with other languages."""
    languages = (ENGLISH_LANGUAGE, *(one.language for one in translated))
    return BuildContext(library, overrides, watch, languages=languages)


def context_in(translated: Translated, context: BuildContext) -> BuildContext:
    """The build context of another language; use it within ``speaking(translated.catalog)``."""
    return BuildContext(
        translated.library,
        context.overrides,
        context.watch,
        translated.language,
        context.languages,
        context.library,
    )


@contextmanager
def in_language(context: BuildContext, project: Path, code: str) -> Iterator[BuildContext]:
    """A build context in one language, with its texts in force until the block ends.

    Raises :class:`ContentFault` as :func:`translations` does.
    """
    known = source_texts(context.library, context.overrides)
    translated = translation(context.library, project, known, code)
    with speaking(translated.catalog):
        yield context_in(translated, replace(context, languages=(ENGLISH_LANGUAGE, translated.language)))


def _signed(library: Library, signatures: Sequence[CatalogSignature]) -> Library:
    """The library with the signatures under these texts; those under the English ones do not count."""

    def own(procedure: Procedure) -> Procedure:
        held = {
            one.check: SignOff(name=one.name, day=one.day)
            for one in signatures
            if (one.procedure, one.version) == (procedure.id, procedure.version)
        }
        review = Review(author=procedure.review.author, **held)
        return procedure.model_copy(update={"review": review})

    def unsigned(listed: Shown) -> Shown:
        return listed and listed.model_copy(update={"review": Review(author=listed.review.author)})

    return replace(
        library,
        procedures=tuple(own(procedure) for procedure in library.procedures),
        before_trip=unsigned(library.before_trip),
        after_event=unsigned(library.after_event),
    )


def _short(code: str) -> str:
    return code.partition("_")[0]


def _refusals(code: str, missing: Sequence[str], known: Iterable[SourceText]) -> Iterator[Finding]:
    by_id = {text.id: text for text in known}
    path = f"{FOLDER}/{code}.po"
    fix = "translate it, or write untranslated: english into fleet.yml to show it marked in English"
    for text_id in missing[:LISTED]:
        wrong = f'"{text_id}" is not translated, or needs another look: {clip(by_id[text_id].english)}'
        yield Finding(Place(path, 1, 1), wrong, fix=fix)
    if len(missing) > LISTED:
        rest = f"{len(missing) - LISTED} more texts are not translated, or need another look"
        yield Finding(Place(path, 1, 1), rest, fix=f"fortypaces languages check {path} --missing lists them")


def _taught_whole(library: Library, missing: frozenset[str]) -> Library:
    """The library without lessons and scenarios of which a text is not translated."""
    incomplete = {"/".join(text_id.split("/")[:2]) for text_id in missing if text_id.startswith(TAUGHT)}
    return replace(
        library,
        lessons={
            name: lesson for name, lesson in library.lessons.items() if f"lessons/{name}" not in incomplete
        },
        scenarios={
            name: one for name, one in library.scenarios.items() if f"scenarios/{name}" not in incomplete
        },
    )
