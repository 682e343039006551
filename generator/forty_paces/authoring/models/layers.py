"""Model of content/library.yml: what a project changes in the library that it lies over.

A project with this file takes everything from the library that it does not have itself.
"""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import Field, model_validator

from forty_paces.authoring.models.procedure import SignOff, Step
from forty_paces.authoring.models.record import Id, Record, SourceIds, Text

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
