"""Classifies by-heart lines and critical steps by the quality of their sources, and counts them.

A line counts with the best of the sources that it cites itself.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.models.sources import Basis, Source, SourceKind


class Ground(StrEnum):
    """How a line's source is known, strongest first. Computed values are based on a text that was read."""

    READ = "read"
    READ_IN_A_COPY = "read-in-a-copy"
    READ_IN_PART = "read-in-part"
    COMPUTED = "computed"
    SECOND_HAND = "second-hand"
    MEMORY = "memory"
    COMMON_PRACTICE = "common-practice"


FIRMEST_FIRST = tuple(Ground)

_OF_BASIS: Mapping[Basis, Ground] = {basis: Ground(basis.value) for basis in Basis}


class LineKind(StrEnum):
    """The two kinds of line that are counted."""

    BY_HEART = "by-heart"
    CRITICAL = "critical"


@dataclass(frozen=True, slots=True)
class GroundedLine:
    """One by-heart line or critical step with its sources."""

    at: str
    "Its stable name within the procedure: 'by_heart/steer' or 'blocks/secure/steps/flashers'."
    kind: LineKind
    text: str
    sources: tuple[Source, ...]
    "In the order in which the line cites them."

    @property
    def best(self) -> Ground:
        """The strongest ground among its sources."""
        return min((ground_of(source) for source in self.sources), key=FIRMEST_FIRST.index)


@dataclass(frozen=True, slots=True)
class ProcedureGrounds:
    """The counted lines of one procedure, and every source that the procedure cites."""

    procedure: Procedure
    lines: tuple[GroundedLine, ...]


def ground_of(source: Source) -> Ground:
    """The ground of a source; common practice has no text, whatever its basis says."""
    return Ground.COMMON_PRACTICE if source.kind is SourceKind.COMMON_PRACTICE else _OF_BASIS[source.basis]


def grounds(library: Library) -> tuple[ProcedureGrounds, ...]:
    """The counted lines of every procedure, in display order."""
    return tuple(
        ProcedureGrounds(procedure, tuple(_lines(procedure, library.sources)))
        for procedure in library.procedures
    )


def shares(lines: Iterable[GroundedLine]) -> dict[Ground, int]:
    """Number of lines by their best ground, strongest first; includes grounds with no lines."""
    counted = Counter(line.best for line in lines)
    return {ground: counted[ground] for ground in FIRMEST_FIRST}


def _lines(procedure: Procedure, known: Mapping[str, Source]) -> Iterator[GroundedLine]:
    for line in procedure.by_heart:
        cited = tuple(known[name] for name in line.source)
        yield GroundedLine(f"by_heart/{line.id}", LineKind.BY_HEART, line.do, cited)
    for block in procedure.blocks:
        for step in block.steps:
            if step.critical:
                cited = tuple(known[name] for name in step.source)
                at = f"blocks/{block.id}/steps/{step.id}"
                yield GroundedLine(at, LineKind.CRITICAL, step.do, cited)
