"""One word for one thing: the terms and short forms that every text keeps to.

In: plain text values from content/glossary.yml. Out: frozen records. Refuses to know the texts.
"""

from __future__ import annotations

from pydantic import Field

from forty_paces.authoring.models.record import Id, Record, Text


class Term(Record):
    """One thing and its one name."""

    id: Id = Field(description="Stable name.")
    term: Text = Field(description="The word to use.")
    meaning: Text = Field(description="What it means, in one sentence a new driver understands.")
    instead_of: tuple[Text, ...] = Field(default=(), description="Words that must not be used for it.")


class Abbreviation(Record):
    """Letters that stand for words."""

    short: Text = Field(description="The letters.")
    long: Text = Field(
        description="The words in full; a page or card has them where the short form first stands."
    )


class Glossary(Record):
    """The whole of glossary.yml."""

    terms: tuple[Term, ...] = Field(default=(), description="One term a thing.")
    abbreviations: tuple[Abbreviation, ...] = Field(default=(), description="Every abbreviation in use.")
