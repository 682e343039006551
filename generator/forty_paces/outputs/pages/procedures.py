"""Text pages: the start page, one page for each procedure, the checklists, sources and glossary.

Markdown artifacts for MkDocs. Text is in raw HTML blocks, escaped by the templates; only fixed headings
are Markdown, so that search and the table of contents find them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Procedure, Tool
from forty_paces.authoring.models.sources import SourceKind
from forty_paces.messages.pages import SITE
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.families import families
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.procedure_view import ToolLink, view_procedure

START_TOOLS = (
    ToolLink("tool-cab", SITE, "tablet", "cab.html"),
    ToolLink("tool-distances", SITE, "finder", "placing/index.html"),
    ToolLink("tool-record", SITE, "record", "after-event.html"),
    ToolLink("tool-phones", SITE, "phone", "after-event.html#phones"),
    ToolLink("classroom", SITE, "lesson", "classroom.html"),
    ToolLink("cards-to-print", SITE, "card", "cards.html"),
)
"""In the order of need: at the roadside, afterwards, at the desk."""


STEP_TOOLS = {
    Tool.DISTANCES: ToolLink("step-distances", SITE, "finder", "../placing/index.html"),
    Tool.PHONES: ToolLink("tool-phones", SITE, "phone", "../after-event.html#phones"),
    Tool.RECORD: ToolLink("tool-record", SITE, "record", "../after-event.html#record"),
}
"""The page of the site for each tool that a step may open."""


def tools_of(procedure: Procedure) -> tuple[ToolLink, ...]:
    """The tools that the steps of a procedure open, each once, in order of first use."""
    opened = (step.opens for block in procedure.blocks for step in block.steps)
    return tuple(STEP_TOOLS[tool] for tool in dict.fromkeys(opened) if tool in STEP_TOOLS)


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """Start, procedure, sources and glossary pages, and those of the checklists."""
    library = context.library
    yield context.page("index", "pages/start", families=families(library.procedures), tools=START_TOOLS)
    titles = {p.id: p.title for p in library.procedures}
    for procedure in library.procedures:
        yield context.kept(_procedure_page, procedure, titles)
    yield from _checklists(context)
    kinds = tuple((kind, SITE[f"kind-{kind}"]) for kind in SourceKind)
    yield context.page("sources", "pages/sources", kinds=kinds)
    terms = _english_terms(context.english)
    yield context.page("glossary", "pages/glossary", glossary=library.glossary, english=terms)


def _checklists(context: BuildContext) -> Iterator[Artifact]:
    """``before-trip.html`` and ``after-event.html``, to tick and fill in, where their content files exist."""
    library = context.library
    if library.before_trip is not None:
        yield context.page("before-trip", "pages/before_trip", checklist=library.before_trip)
    if library.after_event is not None:
        phones = {phone.id: phone for phone in library.fleet.phones}
        calls = tuple(
            (phones[call.phone], call) for call in library.after_event.calls if call.phone in phones
        )
        yield context.page("after-event", "pages/after_event", after=library.after_event, calls=calls)


def _procedure_page(context: BuildContext, procedure: Procedure, titles: Mapping[str, str]) -> Artifact:
    view, tools = view_procedure(procedure), tools_of(procedure)
    path = f"procedures/{procedure.id}"
    return context.page(path, "pages/procedure", view=view, titles=titles, tools=tools)


def checklist_navigation() -> list[dict[str, str] | str]:
    """The pages of the checklists, in reading order."""
    return [{SITE["before-trip"]: "before-trip.md"}, {SITE["after-event"]: "after-event.md"}]


def _english_terms(english: Library | None) -> dict[str, dict[str, str]] | None:
    """The English terms by id and the abbreviations in full: drivers hear them, whatever they read."""
    if english is None:
        return None
    listed = english.glossary
    return {
        "terms": {one.id: one.term for one in listed.terms},
        "abbreviations": {one.short: one.long for one in listed.abbreviations},
    }
