"""``fortypaces build``: build the whole edition, or leave the last good site unchanged."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from forty_paces.commands.keys import signing_key
from forty_paces.commands.progress import show_progress
from forty_paces.commands.project import take_project

EPILOG = """\b
Examples:
  fortypaces build
  fortypaces build --site D:\\editions\\yard     another folder
  fortypaces build --no-cards                   faster, while you write
  fortypaces build --sign ~/keys/yard.key       signed: see fortypaces keys

\b
Exit status: 0 built; 1 findings, and the last good site stands; 2 wrong use.
"""


@click.command(epilog=EPILOG)
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
@click.option(
    "--site",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder to build into, empty or an earlier edition; default: site.",
)
@click.option("--no-cards", is_flag=True, help="Leave the printed cards out.")
@click.option(
    "--sign", type=click.Path(exists=True, dir_okay=False, path_type=Path), help="Private key to sign with."
)
@click.option("--quiet", is_flag=True, help="Print only findings.")
def build(project: Path | None, site: Path | None, no_cards: bool, sign: Path | None, quiet: bool) -> None:
    """Build the site, the cab file, the cards and the classroom.

    Works like `mkdocs build`. While anything is wrong nothing is written, and
    the last good site stays as it is.
    """
    from forty_paces.plugin import BuildFailed, build_site

    folder = take_project(project, quiet=quiet)
    if site is not None and _meet(site, folder / "content"):
        raise click.UsageError(f"--site: {site} and the content would lie in one another; name another")
    key = signing_key(sign) if sign is not None else None
    try:
        with show_progress("Building", quiet=quiet) as watch:
            built = build_site(folder, site_dir=site, cards=not no_cards, watch=watch, key=key)
    except BuildFailed as failed:
        click.echo(str(failed), err=True)
        sys.exit(1)
    if not quiet:
        files = sum(1 for path in built.rglob("*") if path.is_file())
        signed = f"signed by key {key.public.name}" if key is not None else "unsigned"
        click.echo(f"Built {files} files into {_shown(built)}, {signed}.")


def _meet(first: Path, other: Path) -> bool:
    """Whether either folder contains the other."""
    a, b = first.resolve(), other.resolve()
    return a.is_relative_to(b) or b.is_relative_to(a)


def _shown(folder: Path) -> str:
    here = Path.cwd()
    return str(folder.relative_to(here)) if folder.is_relative_to(here) else str(folder)
