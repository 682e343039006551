"""Models of what changes the library: content/library.yml of a project, content/editions/*.yml of a country.

A project with a library.yml takes everything from the library that it does not have itself. An edition has
the name of its rule set and counts where that rule set is in force. Changes are made in the tree of the
files, those of an edition before shared passages are filled in, so that every check sees what drivers will
see.
"""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import Field, model_validator

from forty_paces.authoring.models.procedure import SignOff, Step
from forty_paces.authoring.models.record import Id, Record, SourceIds, Text, YesNo

StateHash = Annotated[str, Field(pattern=r"^[0-9a-f]{8}$")]
"""The first eight characters of the SHA-256 of a state of the library, as check gives them."""


class ReplacedText(Record):
    """One text of a library procedure in the carrier's own words."""

    at: Text = Field(
        description="The text by its id, as pages and the review report have it: fog/by_heart/low-beams/do."
    )
    was: Text | None = Field(
        default=None,
        description="The library's text at the time, word for word; check says so when it changes.",
    )
    text: Text = Field(description="Your text.")
    source: SourceIds | None = Field(
        default=None, description="Where your text is from, for a text that cites sources."
    )


class AddedStep(Record):
    """A step of the carrier's own in a library procedure."""

    into: Text = Field(description="The block: PROCEDURE/blocks/BLOCK.")
    after: Id | None = Field(default=None, description="The step that it follows.")
    before: Id | None = Field(
        default=None, description="The step that it precedes. Left out: the last place."
    )
    step: Step = Field(description="The step, with the keys of a step in a procedure.")

    @model_validator(mode="after")
    def _one_place(self) -> Self:
        if self.after is not None and self.before is not None:
            raise ValueError("the step stands both after and before another; keep one of the two")
        return self


class ReplacedFile(Record):
    """The state of a library file or entry that the project's own of the same name was made from."""

    file: Text = Field(
        description="The file below content, without .yml: procedures/fog. Or one entry of shared, sources "
        "or glossary: shared/flashers."
    )
    was: StateHash = Field(
        description="The first eight characters of its SHA-256 in the library, as check gives them."
    )


class LocalReview(Record):
    """Signatures of the carrier's own people under a library procedure."""

    procedure: Id = Field(description="The procedure.")
    version: Text = Field(description="The version that they signed; a later one is unsigned again.")
    technical: SignOff | None = Field(default=None, description="Verification: right against its sources.")
    user: SignOff | None = Field(default=None, description="Validation: a driver walked it with the card.")
    safety_lead: SignOff | None = Field(default=None, description="The carrier's safety lead signed it.")


class LibraryFile(Record):
    """The contents of library.yml."""

    library_version: Text | None = Field(
        default=None,
        description="The version of the package that this project was last checked with, in quotes.",
    )
    leave_out: tuple[Text, ...] = Field(
        default=(),
        description="Library files that do not apply here, below content without .yml: scenes/gorge-bridge.",
    )
    texts: tuple[ReplacedText, ...] = Field(default=(), description="Single texts in your own words.")
    steps: tuple[AddedStep, ...] = Field(default=(), description="Steps of your own in library procedures.")
    files: tuple[ReplacedFile, ...] = Field(
        default=(), description="The state that each replaced library file or entry was copied from."
    )
    reviews: tuple[LocalReview, ...] = Field(
        default=(), description="Signatures of your people under library procedures."
    )


class Counterpart(Record):
    """What stands in place of a law of another country wherever the library cites it."""

    law: Id = Field(description="The source that the library cites.")
    source: SourceIds = Field(
        description="What this edition cites instead. Every such text was held against it."
    )


class LocalWord(Record):
    """A word of the library that this country does not use, and its own."""

    here: Text = Field(description="The word that every text of the library gets: railway.")
    instead_of: Text = Field(
        description="The word that the library has, in small letters: railroad. Ids are left as they are."
    )


class LibraryChange(Record):
    """One difference from the library: keys of a record that are replaced, a record left out or added."""

    at: Text = Field(
        description="The record or list, by its file below content without .yml, keys and ids: "
        "shared/flashers-on, procedures/fog/facts/sight, before_trip/groups/cab/points/devices."
    )
    was: StateHash | None = Field(
        default=None,
        description="The state that the change was made from, as check gives it; check says so when the "
        "library changes it. An added record has none.",
    )
    set: dict[str, Any] | None = Field(default=None, description="Keys of the record with their new values.")
    leave_out: YesNo = Field(default=False, description="yes leaves the record out.")
    add: dict[str, Any] | None = Field(default=None, description="A record added at the end of the list.")

    @model_validator(mode="after")
    def _one_of_three(self) -> Self:
        if [self.set is not None, self.leave_out, self.add is not None].count(True) != 1:
            raise ValueError("a change does one thing; write one of set, leave_out and add")
        if self.add is not None and self.was is not None:
            raise ValueError("an added record replaces nothing; leave was out")
        return self


class EditionFile(Record):
    """The contents of a file in content/editions."""

    rules: Id = Field(description="The rule set under which it counts; the file's name without .yml.")
    law: tuple[Counterpart, ...] = Field(
        default=(), description="Laws that the library cites, and what is cited here instead."
    )
    words: tuple[LocalWord, ...] = Field(
        default=(), description="Words of the library that are called otherwise here."
    )
    changes: tuple[LibraryChange, ...] = Field(default=(), description="The differences from the library.")
