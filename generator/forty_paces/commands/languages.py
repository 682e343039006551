"""``fortypaces languages``: write the catalog that translators work from, and check what comes back."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from forty_paces.authoring.findings import ContentFault
from forty_paces.authoring.library import Library, inspect_project
from forty_paces.commands.project import find_overrides, take_project
from forty_paces.outputs.common.files import naming

EPILOG = """\b
Examples:
  fortypaces languages extract
  fortypaces languages check es_US.po

\b
Exit status: 0 all is well; 1 findings in the catalog or the content; 2 wrong use.
"""


@click.group(epilog=EPILOG)
def languages() -> None:
    """Prepare translations: list every text with its id, and check translators' files.

    A translation is not built into any page yet.
    """


@languages.command()
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    default=Path("forty-paces.pot"),
    help="The file to write.  [default: forty-paces.pot]",
)
def extract(project: Path | None, out: Path) -> None:
    """Write every text with its id, its English and where it stands, as a gettext template."""
    from forty_paces.outputs.common.catalogs import source_texts, template_catalog

    folder = take_project(project)
    library, overrides = _library(folder), find_overrides(folder)
    with naming(out):
        out.write_bytes(template_catalog(library, overrides))
    click.echo(f"{out}: {len(source_texts(library, overrides))} texts.")


@languages.command()
@click.argument(
    "files", nargs=-1, required=True, type=click.Path(exists=True, dir_okay=False, path_type=Path)
)
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
def check(files: tuple[Path, ...], project: Path | None) -> None:
    """Check catalogs: placeholders, tags, plural forms, ids, invisible characters, changed English."""
    from forty_paces.outputs.common.catalogs import read_translation, source_texts

    folder = take_project(project)
    known = source_texts(_library(folder), find_overrides(folder))
    faults = 0
    for file in files:
        read = read_translation(file, known)
        for finding in read.findings:
            click.echo(str(finding))
        faults += len(read.findings)
        usable = len(known) - len(read.missing)
        click.echo(
            f"{file}: {len(known)} texts, {usable} translated, {read.fuzzy} fuzzy, "
            f"{len(read.missing)} missing; {len(read.findings)} findings."
        )
    sys.exit(1 if faults else 0)


def _library(folder: Path) -> Library:
    inspection = inspect_project(folder)
    if inspection.library is None:
        raise ContentFault(inspection.faults)
    return inspection.library
