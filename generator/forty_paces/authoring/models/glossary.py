"""Models of content/glossary.yml: the terms and abbreviations that every text must use."""

from __future__ import annotations

from pydantic import Field

from forty_paces.authoring.models.record import Id, Record, Text


class Term(Record):
    """A term, its meaning, and the words that it replaces."""

    id: Id = Field(description="Stable name.")
    term: Text = Field(description="The word to use.")
    meaning: Text = Field(description="What it means, in one sentence a new driver understands.")
    instead_of: tuple[Text, ...] = Field(default=(), description="Words that must not be used for it.")


class Abbreviation(Record):
    """An abbreviation and the words in full."""

    short: Text = Field(description="The letters.")
    long: Text = Field(
        description="The words in full; a page or card has them where the short form first stands."
    )


class Glossary(Record):
    """The contents of glossary.yml."""

    terms: tuple[Term, ...] = Field(default=(), description="One term a thing.")
    abbreviations: tuple[Abbreviation, ...] = Field(default=(), description="Every abbreviation in use.")
