"""The edition as a whole: its outputs, the navigation, and the files left out of the site."""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Collection, Iterable
from functools import partial
from pathlib import Path
from typing import Any

from markupsafe import escape

from forty_paces.authoring.jurisdiction import Jurisdiction
from forty_paces.authoring.library import Library
from forty_paces.messages.languages import speaking
from forty_paces.messages.pages import SITE
from forty_paces.outputs.cards import placeholder as left_out
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.families import families
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.other_languages import relocated
from forty_paces.outputs.common.translations import Translated, context_in
from forty_paces.outputs.edition import offline
from forty_paces.outputs.pages import about, bill_of_materials, placing, reference, review, scenes, writing
from forty_paces.outputs.pages import procedures as pages
from forty_paces.outputs.pages.procedures import checklist_navigation

Part = Callable[[BuildContext], Iterable[Artifact]]
"""An output: a function from the build context to its files."""


def _of_the_frame(part: Part) -> Part:
    """An output that takes nothing from procedures, lessons and scenarios: kept whole in a preview."""
    return lambda context: context.kept(_whole, part)


def _whole(context: BuildContext, part: Part) -> tuple[Artifact, ...]:
    return tuple(part(context))


PAGES: tuple[Part, ...] = (
    pages.artifacts,
    _of_the_frame(placing.artifacts),
    _of_the_frame(scenes.artifacts),
    _of_the_frame(reference.artifacts),
    about.artifacts,
    bill_of_materials.artifacts,
    review.artifacts,
    writing.artifacts,
)
"""Outputs that consist of pages alone."""


def output_builders(*, with_cards: bool = True) -> tuple[Part, ...]:
    """Every output of the edition in build order; without cards, no PDF either."""
    if with_cards:
        return (*PAGES, partial(_classroom, with_pdf=True), _cab, offline.artifacts, _cards)
    return (*PAGES, _classroom, _cab, offline.artifacts, left_out.artifacts)


IN_OTHER_LANGUAGES: tuple[Part, ...] = (
    pages.artifacts,
    placing.artifacts,
    scenes.artifacts,
    reference.artifacts,
)
"""Pages for drivers and learners. About, review, sources and the manual for authors are English alone."""

ENGLISH_ONLY = re.compile(
    r"sources\.|placing/rule-sets\.|classroom/trainer\.|classroom/[\w-]+-notes\."
    r"|classroom/sheets/(?:names|sign-off|test-\d+-keys|yard)"
)
"""Pages within those parts that no driver needs; links lead to the English ones."""


def artifacts_in(translated: Translated, context: BuildContext, *, with_cards: bool) -> tuple[Artifact, ...]:
    """The files of another language: below its short name, and its cab files beside the English ones."""
    own = context_in(translated, context)
    classroom = partial(_classroom, with_pdf=with_cards, without=ENGLISH_ONLY)
    parts = (*IN_OTHER_LANGUAGES, classroom, _cab, *((_cards,) if with_cards else ()))
    with speaking(translated.catalog):
        made = [file for part in parts for file in part(own)]
    kept = [file for file in made if not ENGLISH_ONLY.match(file.path)]
    return tuple(relocated(kept, own.language))


# The packages beside the pages are imported on first use: they double what a build has to load.


def _cab(context: BuildContext) -> Iterable[Artifact]:
    from forty_paces.outputs.cab import assistant

    return assistant.artifacts(context)


def _classroom(
    context: BuildContext, *, with_pdf: bool = False, without: re.Pattern[str] | None = None
) -> Iterable[Artifact]:
    from forty_paces.outputs.classroom import index as kit

    return kit.artifacts(context, with_pdf=with_pdf, without=without)


def _cards(context: BuildContext) -> Iterable[Artifact]:
    from forty_paces.outputs.cards import print_run

    return print_run.artifacts(context)


def navigation_in(translated: Translated, pages: Collection[str]) -> dict[str, Any]:
    """The entry of another language, with its pages in the same order as the English ones."""
    folder = f"{translated.language.short}/"
    own = {page.removeprefix(folder) for page in pages if page.startswith(folder)}
    with speaking(translated.catalog):
        listed = navigation(translated.library, own)
    return {translated.language.name: _below(listed, folder)}


def _below(entry: Any, folder: str) -> Any:
    """A navigation with every page below a folder."""
    if isinstance(entry, str):
        return folder + entry
    if isinstance(entry, list):
        return [_below(one, folder) for one in entry]
    return {title: _below(inner, folder) for title, inner in entry.items()}


LISTED = 120
"""Largest number of procedures that the navigation lists. Beyond it only the start page does: with every
title on every page, size and build time would grow with the square of the library."""


def navigation(library: Library, pages: Collection[str]) -> list[Any]:
    """The site's navigation in the form of MkDocs' ``nav`` setting, limited to existing ``pages``."""

    listed = families(library.procedures) if len(library.procedures) <= LISTED else ()
    # Titles are escaped here, because the theme prints them as they are.
    emergencies = [
        {str(escape(one.title)): [{str(escape(p.title)): f"procedures/{p.id}.md"} for p in one.procedures]}
        for one in listed
    ]
    whole = [
        {SITE["start"]: "index.md"},
        {SITE["emergencies"]: emergencies},
        {SITE["placing"]: placing.navigation()},
        {SITE["before-and-after"]: checklist_navigation()},
        {SITE["tables"]: reference.navigation()},
        {SITE["classroom"]: "classroom.md"},
        {SITE["cards"]: [{SITE["cards-to-print"]: "cards/index.md"}, {SITE["laminate"]: "cards.md"}]},
        {
            SITE["about-group"]: [
                "about.md",
                {SITE["tablets"]: "tablets.md"},
                {SITE["make-it-yours"]: "make-it-yours.md"},
                {SITE["review"]: "review.md"},
                {SITE["sources"]: "sources.md"},
                {SITE["glossary"]: "glossary.md"},
                {SITE["writing"]: "writing.md"},
            ]
        },
    ]
    return [entry for entry in (_existing(entry, pages) for entry in whole) if entry is not None]


def _existing(entry: Any, pages: Collection[str]) -> Any:
    """A navigation entry without missing pages; None where nothing is left."""
    if isinstance(entry, str):
        return entry if entry in pages else None
    ((title, inner),) = entry.items()
    if isinstance(inner, list):
        kept = [part for part in (_existing(part, pages) for part in inner) if part is not None]
    else:
        kept = _existing(inner, pages)
    return {title: kept} if kept else None


def prose(library: Library, markdown: str) -> str:
    """The text of a page in prose under the rule set in force."""
    return Jurisdiction.of(library.fleet, library.rules[library.fleet.rules]).filled_prose(markdown)


SEALED_FOLDERS = ("templates/", "assets/js/cab/", "assets/js/classroom/")
SEALED_FILES = frozenset(
    {
        "assets/css/cab.css",
        "assets/css/cab-start.css",
        "assets/css/classroom.css",
        "assets/css/classroom-tools.css",
        "assets/css/scenario.css",
        "assets/css/vehicle.css",
        "assets/css/worksheets.css",
        "assets/js/sw.js",
        "assets/js/trust.js",
    }
)
"""Read at build time and written into other files, so not copied to the site."""


def is_build_only(path: str) -> bool:
    """Whether a file of the overrides is a template or is inlined into others, and so no part of the site."""
    return path.startswith(SEALED_FOLDERS) or path.endswith(".j2") or path in SEALED_FILES


def remove_unused_theme_files(site: Path) -> None:
    """Remove files of the theme that no page uses, and the pictures of a guide that was left out."""
    if not (site / "make-it-yours.html").exists():
        shutil.rmtree(site / "assets/pictures", ignore_errors=True)
    shutil.rmtree(site / "assets/javascripts/lunr", ignore_errors=True)
    (site / "assets/images/favicon.png").unlink(missing_ok=True)  # the pages link the project's own icon
    for source_map in site.rglob("*.map"):
        source_map.unlink()
