"""One file of the edition, in memory.

In: a path below the site and its content. Out: the same, frozen. Refuses to
touch the disk: outputs return artifacts, and only the plugin hands them on.
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
