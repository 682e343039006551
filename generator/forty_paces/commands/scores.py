"""``fortypaces scores FOLDER``: join the score files of a class, and print a record of each driver."""

from __future__ import annotations

import dataclasses
import json
import sys
from pathlib import Path

import click

from forty_paces.authoring.findings import Finding
from forty_paces.authoring.library import load_library
from forty_paces.commands.project import find_overrides, take_project
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.classroom.score_files import ScoreRow, read_folder
from forty_paces.outputs.classroom.score_report import (
    MISSED_SHOWN,
    learners,
    matrix,
    matrix_csv,
    missed_most,
    records_document,
)
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import naming
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS

EPILOG = """\b
Examples:
  fortypaces scores class-b12
  fortypaces scores class-b12 --out records      also writes matrix and records to print
  fortypaces scores class-b12 --json

\b
FOLDER holds the files that the tablets saved. No row that was cut or changed counts.
Exit status: 0 every row counts; 1 findings in the files or faults in the content; 2 wrong use.
"""


@click.command(epilog=EPILOG)
@click.argument("folder", type=click.Path(exists=True, file_okay=False, path_type=Path))
@click.option("--out", type=click.Path(file_okay=False, path_type=Path), help="Folder to write into.")
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON and nothing else.")
@click.option("--quiet", is_flag=True, help="Print only findings.")
def scores(folder: Path, out: Path | None, project: Path | None, as_json: bool, quiet: bool) -> None:
    """Show how a class did, what was missed most, and print a record for each driver.

    FOLDER holds the score files of the class; files in folders below count too.
    """
    top = take_project(project, quiet=quiet or as_json)
    library = load_library(top, symbols=NAMES)
    rows, findings = read_folder(folder, library.edition.id)
    if out is not None and rows:
        _write(BuildContext(library, find_overrides(top)), rows, out)
    if as_json:
        click.echo(json.dumps(_as_data(rows, findings), indent=1, ensure_ascii=False))
    else:
        for finding in sorted(findings):
            click.echo(str(finding), err=True)
        if not quiet:
            click.echo(_as_words(rows))
    if any(not finding.advice for finding in findings) or not rows:
        sys.exit(1)


def _write(context: BuildContext, rows: list[ScoreRow], out: Path) -> None:
    paper = PAPERS[context.library.fleet.paper.value]
    records = records_document(context, rows, paper, "records")
    written = {"matrix.csv": matrix_csv(rows).encode(), "records.html": records.html.encode()}
    if not pdf.missing():
        written["records.pdf"] = pdf.to_pdf(records.html, pages=records.pages)
    out.mkdir(parents=True, exist_ok=True)
    for name, data in written.items():
        with naming(out / name):
            (out / name).write_bytes(data)


def _as_words(rows: list[ScoreRow]) -> str:
    if not rows:
        return "No score row that counts was found."
    table = matrix(rows)
    lines = [f"{len(rows)} answers of {len(learners(rows))} numbers. Right at the first attempt:", ""]
    for group, number, *cells in table[1:]:
        lines.append(f"{group} {number}")
        lines += [f"    {head}: {cell}" for head, cell in zip(table[0][2:], cells, strict=True) if cell]
    lines += ["", "Missed most:"]
    missed = missed_most(rows)
    for one in missed[:MISSED_SHOWN]:
        sure = f", {one.sure} of them sure" if one.sure else ""
        lines.append(f"    {one.missed} of {one.of}{sure}: {one.title}: {one.asked}")
    if not missed:
        lines.append("    nothing")
    return "\n".join(lines)


def _as_data(rows: list[ScoreRow], findings: list[Finding]) -> dict[str, object]:
    head, *table = matrix(rows)
    return {
        "answers": len(rows),
        "head": head,
        "matrix": table,
        "missed": [dataclasses.asdict(one) for one in missed_most(rows)],
        "findings": [
            {"path": f.place.path, "line": f.place.line, "wrong": f.wrong, "fix": f.fix, "advice": f.advice}
            for f in sorted(findings)
        ],
    }
