"""Models of content/sources.yml: the bibliography to which every figure refers.

Each source identifies a document so that others can find it, and says how its text is known.
Only a text that was read has a reading date.
"""

from __future__ import annotations

from enum import StrEnum

from pydantic import Field

from forty_paces.authoring.models.record import Country, Day, Id, Record, Text


class SourceKind(StrEnum):
    """The type of document."""

    REGULATION = "regulation"
    STANDARD = "standard"
    HANDBOOK = "handbook"
    RESEARCH = "research"
    COMMON_PRACTICE = "common-practice"


class Basis(StrEnum):
    """How the text is known, strongest first; computed values are last."""

    READ = "read"
    READ_IN_A_COPY = "read-in-a-copy"
    READ_IN_PART = "read-in-part"
    SECOND_HAND = "second-hand"
    MEMORY = "memory"
    COMPUTED = "computed"


READ_BASES = frozenset({Basis.READ, Basis.READ_IN_A_COPY, Basis.READ_IN_PART})
"""The bases for which the text itself was read, so that a reading date is required."""


class Watch(Record):
    """A regulation known to be changing. It, and what cites it, is due for review after six months."""

    what: Text = Field(description="What is changing, in one sentence.")
    since: Text = Field(description="Since when that is known: the day and the notice or rule.")
    where: Text = Field(description="Where to look for the present state.")
    looked: Day = Field(
        description="The day on which somebody last looked. Six months later it is due again, and past "
        "that day nothing is built."
    )


class Source(Record):
    """One document, or one part of it."""

    id: Id = Field(description="The name that content files cite.")
    title: Text = Field(description="The title of the document or section, as its publisher gives it.")
    locator: Text | None = Field(
        default=None,
        description="Where in it: section, rule, page or table; 'abstract' where only that was read. "
        "Needed where a text was read.",
    )
    publisher: Text | None = Field(
        default=None,
        description="Who published it. Left out for common practice and for what is computed here.",
    )
    edition: Text | None = Field(
        default=None,
        description="Edition, year or day of the text; 'undated' where it bears none. Needed where a "
        "text was read.",
    )
    kind: SourceKind = Field(description="What sort of document it is. common-practice has no document.")
    country: Country | None = Field(
        default=None,
        description="The country or part of it for which it speaks, by its ISO 3166 code: us, ca-on. Left "
        "out where it holds anywhere. No edition rests on a regulation or standard of another country.",
    )
    basis: Basis = Field(
        description="How the text was met. read: in the publisher's own text. read-in-a-copy: word for "
        "word, in the copy that met_in names. read-in-part: an abstract, or only some of what is cited; "
        "the note says which. second-hand: another text reports it, which met_in names. memory: recalled, "
        "not read. computed: worked out here."
    )
    met_in: Text | None = Field(
        default=None,
        description="The copy that was read, or the text that reports it, by its own title or the name of "
        "its site. Needed for read-in-a-copy and second-hand.",
    )
    checked: Day | None = Field(
        default=None,
        description="The day on which the text was last read. Only for read, read-in-a-copy and "
        "read-in-part; anywhere else it is a fault.",
    )
    watch: Watch | None = Field(
        default=None,
        description="For a regulation known to be changing: what, since when, where to look, and the day "
        "of the last look.",
    )
    note: Text | None = Field(default=None, description="What a reader must know before relying on it.")


class SourceFile(Record):
    """The contents of sources.yml."""

    sources: tuple[Source, ...] = Field(min_length=1, description="Every document cited anywhere.")
