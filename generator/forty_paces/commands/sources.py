"""``fortypaces sources``: the sources of each procedure's by-heart lines and critical steps."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import click

from forty_paces.authoring.checks.sources import watch_due
from forty_paces.authoring.findings import ContentFault, name_one_of
from forty_paces.authoring.grounds import (
    FIRMEST_FIRST,
    Ground,
    GroundedLine,
    LineKind,
    ProcedureGrounds,
    grounds,
    shares,
)
from forty_paces.authoring.library import inspect_project
from forty_paces.authoring.models.sources import Source
from forty_paces.commands.project import find_project

EPILOG = """\b
Examples:
  fortypaces sources
  fortypaces sources tire-fire brakes-lost
  fortypaces sources --weak          only lines with no text that anybody read
  fortypaces sources --json

\b
Exit status: 0 the list is made; 1 faults in the content; 2 wrong use.
"""

WORDS: dict[Ground, str] = {
    Ground.READ: "read",
    Ground.READ_IN_A_COPY: "read in a copy",
    Ground.READ_IN_PART: "read in part",
    Ground.COMPUTED: "computed here",
    Ground.SECOND_HAND: "second-hand",
    Ground.MEMORY: "memory",
    Ground.COMMON_PRACTICE: "common practice, no source",
}

WEAK = (Ground.SECOND_HAND, Ground.MEMORY, Ground.COMMON_PRACTICE)
"""Bases without a text that anybody read."""


@click.command(epilog=EPILOG)
@click.argument("procedures", nargs=-1, metavar="[PROCEDURE]...")
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
@click.option("--weak", is_flag=True, help="List only lines whose best source nobody read.")
@click.option("--json", "as_json", is_flag=True, help="Print the list as JSON and nothing else.")
def sources(procedures: tuple[str, ...], project: Path | None, weak: bool, as_json: bool) -> None:
    """Show what each by-heart line and critical step rests on, and the shares.

    A line counts by the best of its own sources. Without PROCEDURE all are listed.
    """
    inspection = inspect_project(find_project(project))
    library = inspection.under_review
    if library is None:
        raise ContentFault(inspection.faults)
    listed = _chosen(grounds(library), procedures)
    if as_json:
        click.echo(json.dumps(_as_data(listed, weak), indent=1, ensure_ascii=False))
        return
    for line in _text(listed, weak):
        click.echo(line)


def _chosen(listed: tuple[ProcedureGrounds, ...], wanted: tuple[str, ...]) -> tuple[ProcedureGrounds, ...]:
    known = {grounds.procedure.id: grounds for grounds in listed}
    for name in wanted:
        if name not in known:
            raise click.UsageError(f'there is no procedure "{name}"; {name_one_of(name, known)}')
    return tuple(grounds for grounds in listed if not wanted or grounds.procedure.id in wanted)


def _shown(grounds: ProcedureGrounds, weak: bool) -> tuple[GroundedLine, ...]:
    return tuple(line for line in grounds.lines if not weak or line.best in WEAK)


def _text(listed: Iterable[ProcedureGrounds], weak: bool) -> Iterator[str]:
    every: list[GroundedLine] = []
    for entry in listed:
        every += entry.lines
        lines = _shown(entry, weak)
        if not lines:
            continue
        yield f"{entry.procedure.code}  {entry.procedure.title} ({entry.procedure.id})"
        for line in lines:
            yield f"  {line.kind.value:<8}  {WORDS[line.best]:<26}  {line.at}"
            yield from textwrap.wrap(line.text, 96, initial_indent="      ", subsequent_indent="      ")
            yield f"      {', '.join(source.id for source in line.sources)}"
        yield ""
    yield from _summary(every)


def _summary(lines: list[GroundedLine]) -> Iterator[str]:
    by_kind = {kind: [line for line in lines if line.kind is kind] for kind in LineKind}
    counted = {kind: shares(of_kind) for kind, of_kind in by_kind.items()}
    yield f"{'Best source of the line':<28}{'By heart':>14}{'Critical':>14}"
    for ground in FIRMEST_FIRST:
        cells = (_share(counted[kind][ground], len(by_kind[kind])) for kind in LineKind)
        yield f"{WORDS[ground]:<28}" + "".join(f"{cell:>14}" for cell in cells)
    yield f"{'all':<28}" + "".join(f"{len(by_kind[kind]):>7}{'':>7}" for kind in LineKind).rstrip()


def _share(count: int, of: int) -> str:
    percent = f"{count * 100 / of:.0f} %" if of else ""
    return f"{count:>4}  {percent:>5}"


def _as_data(listed: tuple[ProcedureGrounds, ...], weak: bool) -> dict[str, Any]:
    every = [line for grounds in listed for line in grounds.lines]
    return {
        "procedures": [
            {
                "id": grounds.procedure.id,
                "code": grounds.procedure.code,
                "lines": [_line_data(line) for line in _shown(grounds, weak)],
            }
            for grounds in listed
        ],
        "shares": {
            kind.value: {
                ground.value: count
                for ground, count in shares(line for line in every if line.kind is kind).items()
            }
            for kind in LineKind
        },
    }


def _line_data(line: GroundedLine) -> dict[str, Any]:
    return {
        "at": line.at,
        "kind": line.kind.value,
        "text": line.text,
        "best": line.best.value,
        "sources": [_source_data(source) for source in line.sources],
    }


def _source_data(source: Source) -> dict[str, Any]:
    due = watch_due(source)
    return {
        "id": source.id,
        "basis": source.basis.value,
        "met_in": source.met_in,
        "checked": source.checked.isoformat() if source.checked else None,
        "watch_due": due.isoformat() if due else None,
    }
