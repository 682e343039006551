"""``fortypaces check``: report everything that is wrong with the content, in about a second.

Prints findings with file, line and column, and their count.
"""

from __future__ import annotations

import datetime as dt
import json
import sys
from pathlib import Path
from typing import Any

import click

from forty_paces.authoring.findings import Finding
from forty_paces.authoring.library import Inspection, inspect_project
from forty_paces.commands.figures import day
from forty_paces.commands.project import take_project
from forty_paces.drawing.symbols import NAMES

EPILOG = """\b
Examples:
  fortypaces check
  fortypaces check --today 2027-06-01     which reviews will be overdue by then?
  fortypaces check --json

\b
Exit status: 0 no fault (advice may stand); 1 faults; 2 wrong use.
"""


@click.command(epilog=EPILOG)
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
@click.option(
    "--today",
    type=day,
    metavar="DAY",
    help="Count review dates from this day instead of today.",
)
@click.option("--json", "as_json", is_flag=True, help="Print the findings as JSON and nothing else.")
def check(project: Path | None, today: dt.date | None, as_json: bool) -> None:
    """Check all content without building anything.

    Every finding names the file, line and column, what is wrong, where it stands
    and what to write instead. Advice is listed, but stops no build.
    """
    inspection = inspect_project(take_project(project), today, NAMES)
    if as_json:
        click.echo(json.dumps(_as_data(inspection), indent=1, ensure_ascii=False))
    else:
        for finding in inspection.findings:
            click.echo(str(finding))
        click.echo(_closing(inspection))
    sys.exit(1 if inspection.faults else 0)


def _as_data(inspection: Inspection) -> dict[str, Any]:
    return {
        "faults": len(inspection.faults),
        "advice": len(inspection.findings) - len(inspection.faults),
        "read": dict(inspection.counts),
        "findings": [_finding(finding) for finding in inspection.findings],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    place = finding.place
    return {
        "file": place.path,
        "line": place.line,
        "column": place.column,
        "advice": finding.advice,
        "rule": finding.rule,
        "at": finding.address,
        "wrong": finding.wrong,
        "in": list(finding.trail),
        "fix": finding.fix,
    }


def _closing(inspection: Inspection) -> str:
    faults = len(inspection.faults)
    advice = len(inspection.findings) - faults
    read = ", ".join(
        f"{count} {kind}{'s' if count != 1 else ''}" for kind, count in inspection.counts.items() if count
    )
    summary = f"{faults} finding{'s' if faults != 1 else ''}" if faults else "No faults"
    if advice:
        summary += f", {advice} of advice" if faults else f"; {advice} of advice"
    return f"{summary} in {read or 'an empty project'}."
