"""Model of content/editions/*.yml: what differs in the library where another country's law is in force.

An edition has the name of its rule set and counts where that rule set is in force. Its changes are made in
the tree of the files, before shared passages are filled in, so that every check sees what drivers will see.
"""

from __future__ import annotations

from typing import Any, Self

from pydantic import Field, model_validator

from forty_paces.authoring.models.layers import StateHash
from forty_paces.authoring.models.record import Id, Record, SourceIds, Text, YesNo


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
