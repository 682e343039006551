"""Descriptions of sources: title, how the text was read, and when."""

from __future__ import annotations

from forty_paces.authoring.models.sources import Basis, Source, SourceKind
from forty_paces.outputs.common.dates import short_date

BASIS_WORDS: dict[Basis, str] = {
    Basis.READ: "read",
    Basis.READ_IN_A_COPY: "read in a copy",
    Basis.READ_IN_PART: "read in part",
    Basis.SECOND_HAND: "second-hand",
    Basis.MEMORY: "from memory: verify before you rely on it",
    Basis.COMPUTED: "computed here",
}
"""How each basis is printed."""


def source_title(source: Source) -> str:
    """The title and the place in it, such as 'Warning devices for stopped vehicles, 49 CFR 392.22'."""
    return f"{source.title}, {source.locator}" if source.locator else source.title


def basis_words(source: Source) -> str:
    """How the text was read, such as 'read in part'; 'common practice, no source' where there is none."""
    if source.kind is SourceKind.COMMON_PRACTICE:
        return "common practice, no source"
    return BASIS_WORDS[source.basis]


def how_met(source: Source) -> str:
    """How the text was read, in which copy and when; 'common practice, no source' where there is none."""
    words = basis_words(source)
    if source.met_in is not None:
        words += (
            f" ({source.met_in})" if source.basis is not Basis.SECOND_HAND else f" (from {source.met_in})"
        )
    return words if source.checked is None else f"{words}; checked {short_date(source.checked)}"
