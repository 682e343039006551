"""All parsed content before the checks between files: the input of every check.

A file that could not be validated has no record here, but its name is still known, so that
references to it are not reported as errors in other files.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

from forty_paces.authoring.documents import Document, ParsedRecord
from forty_paces.authoring.jurisdiction import Jurisdiction
from forty_paces.authoring.models.checklists import AfterEvent, BeforeTrip, WaysOut
from forty_paces.authoring.models.fleet import Fleet
from forty_paces.authoring.models.glossary import Glossary
from forty_paces.authoring.models.lesson import Lesson
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.models.scenario import Scenario
from forty_paces.authoring.models.scene import SceneFile
from forty_paces.authoring.models.sources import SourceFile
from forty_paces.authoring.yaml_tree import MappingNode, SequenceNode


@dataclass(frozen=True, slots=True)
class ParsedContent:
    """The content of a project, as far as it could be read."""

    today: dt.date
    documents: Mapping[str, Document]
    "Every file that could be parsed, by path, with shared passages expanded."
    procedures: tuple[ParsedRecord[Procedure], ...] = ()
    fleet: ParsedRecord[Fleet] | None = None
    sources: ParsedRecord[SourceFile] | None = None
    glossary: ParsedRecord[Glossary] | None = None
    rules: tuple[ParsedRecord[RuleFile], ...] = ()
    scenes: tuple[ParsedRecord[SceneFile], ...] = ()
    lessons: tuple[ParsedRecord[Lesson], ...] = ()
    scenarios: tuple[ParsedRecord[Scenario], ...] = ()
    before_trip: ParsedRecord[BeforeTrip] | None = None
    after_event: ParsedRecord[AfterEvent] | None = None
    ways_out: ParsedRecord[WaysOut] | None = None
    file_names: Mapping[str, frozenset[str]] = field(default_factory=dict)
    "File names by kind, including files with errors."
    symbols: frozenset[str] | None = None
    "Names of the available pictograms; None if the caller does not know them."
    jurisdiction: Jurisdiction = field(default_factory=Jurisdiction)
    "Country, numbers, names and units of the rule set in force."
    logo: str | None = None
    "The carrier's own logo as SVG."

    def names(self, kind: str) -> frozenset[str]:
        """Names of one kind, such as 'procedure', 'rule set', 'scene' or 'lesson'."""
        return self.file_names.get(kind, frozenset())

    def rules_in_force(self) -> RuleFile | None:
        """The rule set that fleet.yml names; None where it names none that could be read."""
        wanted = self.fleet.record.rules if self.fleet is not None else None
        return next((filed.record for filed in self.rules if filed.record.id == wanted), None)

    def source_ids(self) -> frozenset[str]:
        """Every id in sources.yml, read from the tree so that one invalid source does not hide the others."""
        document = self.documents.get("content/sources.yml")
        listing = document.tree.child("sources") if document is not None else None
        items = listing.items if isinstance(listing, SequenceNode) else ()
        ids = (item.text("id") for item in items if isinstance(item, MappingNode))
        return frozenset(id for id in ids if id)
