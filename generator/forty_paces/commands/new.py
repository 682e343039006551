"""``fortypaces new KIND ID``: write a new content file with every key explained.

The check reports the file as unfinished until it is filled in. For a file that the library has, the
library's own text is the beginning: a project's file of the same name replaces it.
"""

from __future__ import annotations

import datetime as dt
import re
import sys
from pathlib import Path

import click

from forty_paces.authoring.layers import LAYERS_FILE, Layers, content_hash
from forty_paces.authoring.schema import skeleton
from forty_paces.commands.project import take_project
from forty_paces.outputs.common.files import naming

EPILOG = """\b
Examples:
  fortypaces new procedure brake-smoke
  fortypaces new scene mill-bend
  fortypaces new vehicle day-cab           prints lines for fleet.yml
  fortypaces check                         what is still missing?

\b
Exit status: 0 written; 1 the file is there already; 2 wrong use.
"""

_PROJECT = click.option(
    "--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here."
)


@click.group(epilog=EPILOG)
def new() -> None:
    """Begin a new content file, or a vehicle of the fleet."""


@new.command(epilog=EPILOG)
@click.argument("name", metavar="ID")
@_PROJECT
def procedure(name: str, project: Path | None) -> None:
    """Write content/procedures/ID.yml with every key and what it is for.

    ID is the file's name: small letters, digits and single hyphens. An existing
    file is never overwritten. Where the library has a procedure of that id, its
    text is copied to begin with.
    """
    _write("procedure", "procedures", name, project)


@new.command(epilog=EPILOG)
@click.argument("name", metavar="ID")
@_PROJECT
def scene(name: str, project: Path | None) -> None:
    """Write content/scenes/ID.yml: a road on which the classroom places devices."""
    _write("scene", "scenes", name, project)


@new.command(epilog=EPILOG)
@click.argument("name", metavar="ID")
@_PROJECT
def lesson(name: str, project: Path | None) -> None:
    """Write content/lessons/ID.yml: questions, examples and exercises."""
    _write("lesson", "lessons", name, project)


@new.command(epilog=EPILOG)
@click.argument("name", metavar="ID")
@_PROJECT
def scenario(name: str, project: Path | None) -> None:
    """Write content/scenarios/ID.yml: moments, choices, and what follows from them."""
    _write("scenario", "scenarios", name, project)


@new.command(epilog=EPILOG)
@click.argument("name", metavar="ID")
@_PROJECT
def rules(name: str, project: Path | None) -> None:
    """Write content/rules/ID.yml: the placing rule of a jurisdiction.

    Every figure comes from the text of the rule, and the examples are worked out
    by hand. 'rules: ID' in content/fleet.yml puts it in force.
    """
    _write("rules", "rules", name, project)


@new.command(epilog=EPILOG)
@click.argument("name", metavar="ID")
@_PROJECT
def vehicle(name: str, project: Path | None) -> None:
    """Print the lines of a vehicle for content/fleet.yml, with every key.

    What is left out is unknown, and a driver sees the steps that depend on it
    with their condition.
    """
    _refuse_bad(name)
    take_project(project)
    click.echo(skeleton(name, dt.date.today(), "vehicle"), nl=False)


def _write(kind: str, folder: str, name: str, project: Path | None) -> None:
    _refuse_bad(name)
    top = take_project(project)
    path = f"content/{folder}/{name}.yml"
    below = Layers.of(top)[0].below(path)
    text = below.file.read_text(encoding="utf-8") if below else skeleton(name, dt.date.today(), kind)
    file = top / path
    try:
        with naming(file):
            file.parent.mkdir(parents=True, exist_ok=True)
            with file.open("x", encoding="utf-8", newline="\n") as opened:
                opened.write(text)
    except FileExistsError:
        click.echo(f"{file} is there already, and was left as it is. Choose another id.", err=True)
        sys.exit(1)
    if below is None:
        click.echo(f"{file} is written. Fill it in; 'fortypaces check' says what is missing.")
        return
    click.echo(f"{file} is written. It is the library's text, which it now replaces. Add to {LAYERS_FILE}:")
    click.echo(f'files:\n  - {{file: {folder}/{name}, was: "{content_hash(below.file)}"}}')


def _refuse_bad(name: str) -> None:
    if not re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", name) or len(name) > 60:
        wanted = "small letters, digits and single hyphens, such as brake-smoke, 60 at most"
        raise click.UsageError(f'"{name}" cannot be an id; use {wanted}')
