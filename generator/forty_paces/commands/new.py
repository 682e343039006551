"""``fortypaces new procedure ID``: write a new procedure file with every key explained.

The check reports the file as unfinished until it is filled in.
"""

from __future__ import annotations

import datetime as dt
import re
import sys
from pathlib import Path

import click

from forty_paces.authoring.skeleton import skeleton
from forty_paces.commands.project import take_project
from forty_paces.outputs.written import naming

EPILOG = """\b
Examples:
  fortypaces new procedure brake-smoke
  fortypaces check                         what is still missing in it?

\b
Exit status: 0 written; 1 the file is there already; 2 wrong use.
"""


@click.group(epilog=EPILOG)
def new() -> None:
    """Begin a new content file."""


@new.command(epilog=EPILOG)
@click.argument("procedure_id", metavar="ID")
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
def procedure(procedure_id: str, project: Path | None) -> None:
    """Write content/procedures/ID.yml with every key and what it is for.

    ID is the file's name: small letters, digits and single hyphens. An existing
    file is never overwritten.
    """
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", procedure_id) or len(procedure_id) > 60:
        wanted = "small letters, digits and single hyphens, such as brake-smoke, 60 at most"
        raise click.UsageError(f'"{procedure_id}" cannot be an id; use {wanted}')
    folder = take_project(project) / "content" / "procedures"
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / f"{procedure_id}.yml"
    try:
        with naming(file), file.open("x", encoding="utf-8", newline="\n") as opened:
            opened.write(skeleton(procedure_id, dt.date.today()))
    except FileExistsError:
        click.echo(f"{file} is there already, and was left as it is. Choose another id.", err=True)
        sys.exit(1)
    click.echo(f"{file} is written. Fill it in; 'fortypaces check' says what is missing.")
