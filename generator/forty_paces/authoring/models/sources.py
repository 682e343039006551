"""The bibliography: every figure on a page points into it.

In: content/sources.yml. Out: Source records, each saying honestly how its text was met.
"""

from __future__ import annotations

from enum import StrEnum

from pydantic import Field

from forty_paces.authoring.models.record import Day, Id, Record, Text


class SourceKind(StrEnum):
    """What sort of document a source is."""

    REGULATION = "regulation"
    STANDARD = "standard"
    HANDBOOK = "handbook"
    RESEARCH = "research"
    COMMON_PRACTICE = "common-practice"


class Basis(StrEnum):
    """How the content was met: read itself, met in another text, recalled, or computed here."""

    READ = "read"
    SECOND_HAND = "second-hand"
    MEMORY = "memory"
    COMPUTED = "computed"


class Source(Record):
    """One document or section."""

    id: Id = Field(description="The name that content files cite.")
    title: Text = Field(description="What it is called.")
    section: Text | None = Field(default=None, description="The part that is meant.")
    publisher: Text | None = Field(default=None, description="Who published it. Empty for common practice.")
    edition: Text | None = Field(default=None, description="Edition or year.")
    kind: SourceKind = Field(description="regulation, standard, handbook, research or common-practice.")
    basis: Basis = Field(description="read, second-hand, memory or computed.")
    checked: Day = Field(description="The day its figures were last checked.")
    note: Text | None = Field(default=None, description="What a reader must know before relying on it.")


class SourceFile(Record):
    """The whole of sources.yml."""

    sources: tuple[Source, ...] = Field(min_length=1, description="Every document cited anywhere.")
