"""All files of the classroom: pages, printed documents, and the index page that links to them.

HTML is always written; PDF is added to each printed document where WeasyPrint is available.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.outputs.classroom import drill, exercise, lessons, scenarios, seat_page, sight_page, trainer
from forty_paces.outputs.classroom.documents import (
    FOLDER,
    class_papers,
    names_paper,
    recall_papers,
    signoff_paper,
    yard_paper,
)
from forty_paces.outputs.classroom.forms import SITE_FORMS, SITE_NUMBER, site_forms
from forty_paces.outputs.classroom.lesson_view import Deck
from forty_paces.outputs.classroom.scenario_view import ScenarioView
from forty_paces.outputs.classroom.scenarios import booklet_document
from forty_paces.outputs.classroom.standalone import shared
from forty_paces.outputs.classroom.worksheets import rules_of
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS, PrintDocument


@dataclass(frozen=True, slots=True)
class ClassroomIndex:
    """The content of the index page."""

    decks: tuple[Deck, ...]
    papers: tuple[PrintDocument, ...]
    scenarios: tuple[ScenarioView, ...] = ()

    def papers_of(self, kind: str) -> tuple[PrintDocument, ...]:
        """The documents whose file name begins with ``kind``."""
        return tuple(
            document for document in self.papers if document.path.rpartition("/")[2].startswith(kind)
        )


def artifacts(
    context: BuildContext, *, with_pdf: bool = True, without: re.Pattern[str] | None = None
) -> Iterator[Artifact]:
    """All files of the classroom; ``with_pdf=False`` leaves out the PDFs, the slowest part.

    Documents whose path matches ``without`` are left out: they are made for the trainer, in English alone.
    """
    decks = lessons.decks(context)
    shown = scenarios.views(context)
    listing = ClassroomIndex(decks, papers(context, decks, shown), shown)
    yield Artifact("classroom.md", index_page(context, listing, with_pdf=with_pdf))
    yield from shared(_pages(context, listing))
    documents = [one for one in listing.papers if not (without and without.match(one.path))]
    for document in documents:
        yield Artifact(f"{document.path}.html", document.html)
    if with_pdf and not pdf.missing():
        for document, data in zip(documents, pdf.pdfs(documents, context.watch), strict=True):
            yield Artifact(f"{document.path}.pdf", data)


def _pages(context: BuildContext, listing: ClassroomIndex) -> Iterator[Artifact]:
    yield from lessons.artifacts(context, listing.decks)
    yield from scenarios.artifacts(context, listing.scenarios)
    if context.library.scenes:
        yield from exercise.artifacts(context)
        yield from seat_page.artifacts(context)
    yield from sight_page.artifacts(context)
    yield from trainer.artifacts(context)
    yield from drill.artifacts(context)


def papers(
    context: BuildContext, decks: tuple[Deck, ...], shown: tuple[ScenarioView, ...] = ()
) -> tuple[PrintDocument, ...]:
    """The printed documents that the site has, on the fleet's paper."""
    paper = PAPERS[context.library.fleet.paper.value]
    documents: list[PrintDocument] = []
    if context.library.scenes and site_forms(rules_of(context)):
        documents += class_papers(context, paper, number=SITE_NUMBER, variants=SITE_FORMS)
    documents.append(yard_paper(context, paper))
    if decks:
        documents.append(signoff_paper(context, paper))
        documents.append(names_paper(context, paper))
        documents += recall_papers(context, decks, paper)
    documents += [booklet_document(context, one, paper, f"{FOLDER}/scenario-{one.id}") for one in shown]
    return tuple(documents)


def index_page(context: BuildContext, listing: ClassroomIndex, *, with_pdf: bool = True) -> str:
    """The index page of the classroom, as Markdown."""
    text = context.render(
        "classroom/index.md.j2",
        listing=listing,
        has_pdf=with_pdf and not pdf.missing(),
        has_scenes=bool(context.library.scenes),
        has_sight=sight_page.is_shown(context),
        has_drill=drill.is_shown(context),
        has_tests=bool(listing.papers_of("test")),
        paper=PAPERS[context.library.fleet.paper.value].named(context.metric),
    )
    return text.lstrip("\n")
