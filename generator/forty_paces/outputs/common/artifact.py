"""A generated file in memory.

Outputs yield artifacts and write nothing to disk themselves.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Artifact:
    """A file to be written: ``path`` uses forward slashes and is relative to the site."""

    path: str
    content: str | bytes

    @property
    def data(self) -> bytes:
        """The content as bytes, text in UTF-8."""
        return self.content.encode() if isinstance(self.content, str) else self.content
