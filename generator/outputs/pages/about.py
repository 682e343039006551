"""What this is, what it is not, and whose work is inside.

In: a press. Out: the about page. Refuses to claim a review that no file records.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from generator.outputs.artifact import Artifact
from generator.outputs.press import Press


@dataclass(frozen=True, slots=True)
class ShippedWork:
    """Something of others that every copy of the edition carries."""

    name: str
    use: str
    licence: str
    holder: str


SHIPPED = (
    ShippedWork(
        "Atkinson Hyperlegible",
        "typeface on every page, card and drawing",
        "SIL Open Font License 1.1",
        "Braille Institute of America",
    ),
    ShippedWork("MkDocs", "made the pages", "BSD 2-Clause", "Tom Christie and contributors"),
    ShippedWork(
        "Material for MkDocs",
        "styles, scripts and page frame of the site",
        "MIT",
        "Martin Donath and contributors",
    ),
    ShippedWork(
        "iframe-worker", "lets the search run when a page is opened from a folder", "MIT", "Martin Donath"
    ),
    ShippedWork("Lunr", "the search", "MIT", "Oliver Nightingale"),
    ShippedWork(
        "Material Design Icons", "buttons of the page frame", "Apache 2.0", "Pictogrammers and contributors"
    ),
)
"""Held against the files of a built site by a test."""


def artifacts(press: Press) -> Iterator[Artifact]:
    """The page ``about.html``."""
    unsigned = tuple(p for p in press.library.procedures if p.review.safety_lead is None)
    text = press.render("pages/about.md.j2", shipped=SHIPPED, unsigned=unsigned)
    yield Artifact("about.md", text.lstrip("\n"))
