"""Reads and checks the content folder of a project and returns it as one library.

Either a frozen :class:`Library` in a fixed order, or a :class:`ContentFault` with all
findings that stop a build. Nothing is written.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

from pydantic import BaseModel

from forty_paces.authoring.checks import ALL_CHECKS
from forty_paces.authoring.checks.reviews import OVERDUE
from forty_paces.authoring.checks.sources import SOURCES, is_foreign_law
from forty_paces.authoring.clock import day_of_reading
from forty_paces.authoring.documents import Document, ParsedRecord
from forty_paces.authoring.edition import Edition, edition_of
from forty_paces.authoring.findings import ContentFault, Finding, Place, name_one_of, printable
from forty_paces.authoring.jurisdiction import CountryEdition, Jurisdiction
from forty_paces.authoring.layers import (
    FOLDERS,
    KINDS,
    LAYERS_FILE,
    LIBRARY,
    MERGED,
    ContentFile,
    Layers,
    merged,
)
from forty_paces.authoring.looks import read_logo
from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip, WayOut, WaysOut
from forty_paces.authoring.models.fleet import Fleet
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.models.layers import EditionFile
from forty_paces.authoring.models.lesson import Lesson
from forty_paces.authoring.models.procedure import Group, Procedure
from forty_paces.authoring.models.record import AnyConditions, OwnCondition
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.models.scenario import Scenario
from forty_paces.authoring.models.scene import SceneFile
from forty_paces.authoring.models.sources import Source, SourceFile
from forty_paces.authoring.overlay import Overlay
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.published import published_findings
from forty_paces.authoring.rereading import bound, fitted
from forty_paces.authoring.sharing import Shared
from forty_paces.authoring.yaml_tree import parse_file
from forty_paces.geometry.scene import Scene

Model = TypeVar("Model", bound=BaseModel)

FILES = (
    *(
        f"content/{name}.yml"
        for name in ("fleet", "sources", "glossary", "shared", "before_trip", "after_event", "ways_out")
    ),
    LAYERS_FILE,
)
"""Content files that exist once per project."""


@dataclass(frozen=True, slots=True)
class Library:
    """Checked content in display order."""

    procedures: tuple[Procedure, ...]
    "The rolling group first, then the stopped group, each by position."
    rules: Mapping[str, RuleFile]
    "Placement rule sets with their worked examples, by id."
    scenes: Mapping[str, Scene]
    "Classroom scenes by id, simple ones first."
    lessons: Mapping[str, Lesson]
    "By id, in teaching order."
    scenarios: Mapping[str, Scenario]
    "By id, in the order of their positions."
    fleet: Fleet
    sources: Mapping[str, Source]
    "The bibliography, by id."
    glossary: Glossary
    edition: Edition
    before_trip: BeforeTrip | None
    "The pre-trip list; None if the project has none."
    after_event: AfterEvent | None
    "Calls, record, deadlines and fit-to-roll points after an event; None if the project has none."
    ways_out: tuple[WayOut, ...]
    "What the cab assistant offers on every step, in the order of its buttons."
    documents: Mapping[str, Document]
    "Every content file by path, to look up line numbers."
    logo: str | None = None
    "The carrier's own logo as SVG; None for the library's."

    def procedure(self, wanted: str) -> Procedure | None:
        """The procedure with the id ``wanted``, or None."""
        return next((procedure for procedure in self.procedures if procedure.id == wanted), None)


@dataclass(frozen=True, slots=True)
class Inspection:
    """Result of reading and checking a project."""

    library: Library | None
    "None if there are faults."
    findings: tuple[Finding, ...]
    "Faults and advice, sorted by position."
    counts: Mapping[str, int]
    "Number of files by kind."
    under_review: Library | None = None
    "Like ``library``, but also set if review dates are the only faults, so that reviewers can read it."

    @property
    def faults(self) -> tuple[Finding, ...]:
        """The findings that stop a build."""
        return tuple(finding for finding in self.findings if not finding.advice)


def load_library(
    project: Path, today: dt.date | None = None, symbols: Iterable[str] | None = None
) -> Library:
    """The checked library of a project; raises :class:`ContentFault` with every fault found.

    ``today`` decides which reviews are overdue, by default ``day_of_reading()``. ``symbols``
    are the names of the available pictograms; if None, pictogram names are not checked.
    """
    inspection = inspect_project(project, today, symbols)
    if inspection.library is None:
        raise ContentFault(inspection.faults)
    return inspection.library


def inspect_project(
    project: Path, today: dt.date | None = None, symbols: Iterable[str] | None = None
) -> Inspection:
    """Read and check everything; never raises, whatever the files contain. Takes what load_library takes."""
    layers, found = Layers.of(project)
    reading = _Reading(layers, list(found))
    draft = reading.draft(today or day_of_reading(), symbols)
    findings = [*reading.findings, *(finding for check in ALL_CHECKS for finding in check(draft))]
    ordered = tuple(sorted(_for_the_project(_once(findings))))
    faults = [finding for finding in ordered if not finding.advice]
    under_review = (
        _library(project, draft, alone=reading.edition is not None)
        if all(fault.rule == OVERDUE for fault in faults)
        else None
    )
    counts = MappingProxyType({kind: len(draft.file_names[kind]) for kind in KINDS})
    return Inspection(None if faults else under_review, ordered, counts, under_review)


def _for_the_project(findings: Iterable[Finding]) -> Iterable[Finding]:
    """Leave advice about library files out, and say of faults in them how a project changes the library."""
    for finding in findings:
        if not finding.place.path.startswith(LIBRARY):
            yield finding
        elif not finding.advice:
            path = finding.place.path.removeprefix(LIBRARY)
            way = f"in this project: see what {LAYERS_FILE} changes here, or put a file of your own at {path}"
            yield replace(finding, fix=f"{finding.fix} ({way})")


def _once(findings: Iterable[Finding]) -> Iterable[Finding]:
    """Remove duplicates: an error in a shared passage would appear for each procedure that uses it."""
    first: dict[tuple[Place, str, str], Finding] = {}
    for finding in findings:
        first.setdefault((finding.place, finding.wrong, finding.rule), finding)
    return first.values()


@dataclass(slots=True)
class _Reading:
    """Reads all files, kind by kind, and collects the findings."""

    layers: Layers
    findings: list[Finding] = field(default_factory=list)
    documents: dict[str, Document] = field(default_factory=dict)
    names: dict[str, frozenset[str]] = field(default_factory=dict)
    conditions: Mapping[str, OwnCondition] = field(default_factory=AnyConditions)
    logo: str | None = None
    jurisdiction: Jurisdiction = field(default_factory=Jurisdiction)
    edition: CountryEdition | None = None
    fits: bool = False
    "Files read from then on are fitted to the country."

    def draft(self, today: dt.date, symbols: Iterable[str] | None) -> ParsedContent:
        fleet = self._one("content/fleet.yml", "fleet", Fleet, "carrier: the carrier's name")
        if fleet is not None:
            self.conditions = fleet.record.own_conditions()
            self.logo, unfit = read_logo(self.layers.project, fleet)
            self.findings += unfit
        rules = self._folder("rules", "rule set", RuleFile)
        if not self.names["rule set"]:
            fix = "add content/rules/ID.yml, and name it in content/fleet.yml as 'rules: ID'"
            wrong = "there is no rule set, so no distance can be given"
            self.findings.append(Finding(Place("content/rules", 1, 1), wrong, fix=fix))
        self._enter_country(fleet, rules)
        passages = self._document("content/shared.yml", "shared passages")
        there = self.layers.found("content/shared.yml") is not None
        shared = Shared(passages, unreadable=there and passages is None)
        overlay = Overlay(self.layers)
        self.findings += shared.own_findings()
        sources = self._one("content/sources.yml", "bibliography", SourceFile, "sources: a list of documents")
        glossary = self._one("content/glossary.yml", "glossary", Glossary)
        procedures = self._folder("procedures", "procedure", Procedure, shared, overlay)
        self.findings += overlay.unused()
        if not self.names["procedure"]:
            wrong = "there is no procedure"
            fix = "begin with 'fortypaces new procedure ID'"
            self.findings.append(Finding(Place("content/procedures", 1, 1), wrong, fix=fix))
        ways_out = self._one("content/ways_out.yml", "ways out", WaysOut, shared=shared)
        self.findings += shared.unused_findings()
        self._strays(fleet)
        scenes = self._folder("scenes", "scene", SceneFile)
        lessons = self._folder("lessons", "lesson", Lesson)
        scenarios = self._folder("scenarios", "scenario", Scenario)
        before_trip = self._one("content/before_trip.yml", "list", BeforeTrip)
        after_event = self._one("content/after_event.yml", "list", AfterEvent)
        self.findings += self.edition.findings() if self.edition else ()
        return ParsedContent(
            today=today,
            documents=MappingProxyType(dict(sorted(self.documents.items()))),
            procedures=procedures,
            fleet=fleet,
            sources=sources,
            glossary=glossary,
            rules=rules,
            scenes=scenes,
            lessons=lessons,
            scenarios=scenarios,
            before_trip=before_trip,
            after_event=after_event,
            ways_out=ways_out,
            file_names=MappingProxyType(self.names),
            symbols=frozenset(symbols) if symbols is not None else None,
            jurisdiction=self.jurisdiction,
            logo=self.logo,
        )

    def _enter_country(
        self, fleet: ParsedRecord[Fleet] | None, rules: tuple[ParsedRecord[RuleFile], ...]
    ) -> None:
        """Take country, numbers, names and units from the rule set in force, with its edition if any."""
        carrier = fleet.record if fleet is not None else None
        in_force = next((one.record for one in rules if carrier and one.record.id == carrier.rules), None)
        found = self.layers.found(f"content/editions/{in_force.id}.yml") if in_force is not None else None
        document = self._read(found, "edition") if found else None
        filed = self._bound(document, EditionFile) if document else None
        if found and filed:
            self.edition = CountryEdition(filed.document, filed.record, found.in_library)
        self.jurisdiction, self.fits = Jurisdiction.of(carrier, in_force), True

    def _strays(self, fleet: ParsedRecord[Fleet] | None) -> None:
        """Report YAML files in places that are not read, so that a misspelled name is noticed."""
        top = self.layers.project / "content"
        self.findings += published_findings(self.layers.project, fleet)
        for file in sorted((*top.glob("*.y*ml"), *top.glob("*/*.y*ml"))):
            parts = file.relative_to(top).parts
            path = printable("/".join(("content", *parts)))
            if (
                parts[0] in (*FOLDERS, "editions", "languages")
                or path in FILES
                or any(part.startswith(".") for part in parts)
            ):
                continue
            names = FILES if len(parts) == 1 else [f"content/{folder}/{parts[1]}" for folder in FOLDERS]
            finding = Finding(Place(path, 1, 1), "this file is not read", fix=name_one_of(path, names))
            self.findings.append(finding)

    def _document(self, path: str, kind: str, needed: str = "") -> Document | None:
        """Parse the file at a fixed path; if it is missing and ``needed`` is given, add a finding."""
        found = self.layers.found(path)
        if found is None:
            if needed:
                fix = f"add the file, with at least '{needed}'"
                self.findings.append(Finding(Place(path, 1, 1), "this file is missing", fix=fix))
            return None
        document = self._read(found, kind)
        below = self.layers.below(path) if path in MERGED and not found.in_library else None
        if document is None or below is None:
            return document
        library = self._read(below, kind)
        if library is None:
            return document
        both = replace(document, tree=merged(path, document.tree, library.tree))
        self.documents[path] = both
        return both

    def _read(self, found: ContentFile, kind: str) -> Document | None:
        tree, findings = parse_file(found.file, found.shown)
        self.findings += findings
        if tree is None:
            return None
        document = Document(kind, printable(found.file.stem), found.path, tree)
        if self.fits and found.path != SOURCES:
            document = self.edition.applied(document, found) if self.edition else document
            document, findings = fitted(self.jurisdiction, document)
            self.findings += findings
        self.documents[found.path] = document
        return document

    def _one(
        self, path: str, kind: str, model: type[Model], needed: str = "", shared: Shared | None = None
    ) -> ParsedRecord[Model] | None:
        document = self._document(path, kind, needed)
        return self._bound(document, model, shared) if document is not None else None

    def _bound(
        self,
        document: Document,
        model: type[Model],
        shared: Shared | None = None,
        overlay: Overlay | None = None,
        *,
        in_library: bool = False,
    ) -> ParsedRecord[Model] | None:
        unreplaced: frozenset[Any] = frozenset()
        if shared is not None:
            document, findings, unreplaced = shared.expand(document)
            self.findings += findings
            self.documents[document.path] = document
        if overlay is not None and not unreplaced:
            document, findings = overlay.apply(document, in_library=in_library)
            self.findings += findings
            self.documents[document.path] = document
        record, findings = bound(document, model, unreplaced, self.conditions)
        self.findings += findings
        return ParsedRecord(document, record) if record is not None and not unreplaced else None

    def _folder(
        self,
        folder: str,
        kind: str,
        model: type[Model],
        shared: Shared | None = None,
        overlay: Overlay | None = None,
    ) -> tuple[ParsedRecord[Model], ...]:
        records: list[ParsedRecord[Model]] = []
        names: list[str] = []
        for found in self.layers.folder(folder):
            file = found.file
            unused = self.edition is not None and self.edition.leaves_out(found)
            if unused or file.name.startswith(".") or file.suffix == ".md":
                continue
            if file.suffix != ".yml":
                wrong = f'the name "{printable(file.name)}" does not end in .yml, so the file is not read'
                fix = "rename it to end in .yml, or move it out of this folder"
                self.findings.append(Finding(Place(found.shown, 1, 1), wrong, fix=fix))
                continue
            names.append(printable(file.stem))
            document = self._read(found, kind)
            if document is None:
                continue
            filed = self._bound(document, model, shared, overlay, in_library=found.in_library)
            if filed is not None:
                records.append(filed)
        self.names[kind] = frozenset(names)
        return tuple(records)


def _library(project: Path, draft: ParsedContent, *, alone: bool) -> Library:
    """``alone`` leaves out the rule sets and the laws of other countries."""
    procedures = tuple(sorted((filed.record for filed in draft.procedures), key=_shown_order))
    assert draft.fleet is not None  # a missing or invalid fleet file is a fault
    sources = draft.sources.record.sources if draft.sources is not None else ()
    fleet = draft.fleet.record
    scenes = sorted((filed.record for filed in draft.scenes), key=lambda scene: (scene.position, scene.id))
    lessons = sorted(
        (filed.record for filed in draft.lessons), key=lambda lesson: (lesson.position, lesson.id)
    )
    scenarios = sorted((filed.record for filed in draft.scenarios), key=lambda one: (one.position, one.id))
    return Library(
        procedures=procedures,
        rules=MappingProxyType(
            {one.record.id: one.record for one in draft.rules if not alone or one.record.id == fleet.rules}
        ),
        scenes=MappingProxyType({scene.id: scene.scene() for scene in scenes}),
        lessons=MappingProxyType({lesson.id: lesson for lesson in lessons}),
        scenarios=MappingProxyType({scenario.id: scenario for scenario in scenarios}),
        fleet=fleet,
        sources=MappingProxyType(
            {one.id: one for one in sources if not (alone and is_foreign_law(one, draft.jurisdiction))}
        ),
        glossary=draft.glossary.record if draft.glossary is not None else Glossary(),
        edition=edition_of(project, fleet, procedures),
        before_trip=draft.before_trip.record if draft.before_trip is not None else None,
        after_event=draft.after_event.record if draft.after_event is not None else None,
        ways_out=draft.ways_out.record.ways if draft.ways_out is not None else (),
        documents=draft.documents,
        logo=draft.logo,
    )


def _shown_order(procedure: Procedure) -> tuple[bool, int, str]:
    return procedure.group is not Group.ROLLING, procedure.position, procedure.id
