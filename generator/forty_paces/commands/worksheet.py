"""``fortypaces worksheet``: print matched tests that differ between neighbors, and their answer keys.

Writes HTML and, where the machine can make it, PDF. The same number gives the same files, byte for byte.
"""

from __future__ import annotations

import json
from pathlib import Path

import click

from forty_paces.authoring.library import load_library
from forty_paces.authoring.models.fleet import SheetPaper
from forty_paces.commands.progress import show_progress
from forty_paces.commands.project import find_overrides, take_project
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.classroom.documents import class_papers
from forty_paces.outputs.classroom.forms import NoForm
from forty_paces.outputs.classroom.worksheets import LETTERS
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.progress import track
from forty_paces.outputs.edition.offline import edition_metadata
from forty_paces.outputs.edition.publication import publish_set
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS

EPILOG = """\b
Examples:
  fortypaces worksheet                            number 1, one test and its key
  fortypaces worksheet --number 7 --variants 20   a different test for each of 20
  fortypaces worksheet --seed 7 --paper a4 --out print

\b
Every test has a straight road, a bend, a crest and a trap, drawn from the number.
One file holds the tests of the class, the other their keys.
Exit status: 0 done; 1 faults in the content; 2 wrong use.
"""

FILES = 2
"The tests of a class, and their answer keys."


@click.command(epilog=EPILOG)
@click.option(
    "--number",
    "--seed",
    "number",
    type=click.IntRange(0, 2**32 - 1),
    default=1,
    show_default=True,
    help="The same number gives the same tests.",
)
@click.option(
    "--variants",
    type=click.IntRange(1, len(LETTERS)),
    default=1,
    show_default=True,
    help="How many different tests.",
)
@click.option(
    "--paper",
    type=click.Choice([paper.value for paper in SheetPaper]),
    help="Paper in the printer; default: that of fleet.yml.",
)
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("worksheets"),
    show_default=True,
    help="Folder to write into.",
)
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
@click.option("--json", "as_json", is_flag=True, help="List the files as JSON and nothing else.")
@click.option("--quiet", is_flag=True, help="Print only findings.")
def worksheet(
    number: int,
    variants: int,
    paper: str | None,
    out: Path,
    project: Path | None,
    as_json: bool,
    quiet: bool,
) -> None:
    """Print matched tests for placing the devices by hand, and their answer keys."""
    top = take_project(project, quiet=quiet)
    library = load_library(top, symbols=NAMES)
    context = BuildContext(library, find_overrides(top))
    sheet = PAPERS[paper or library.fleet.paper.value]
    why_no_pdf = pdf.missing()
    with show_progress("Worksheets", quiet=quiet) as watch:
        papers = class_papers(context, sheet, number=number, variants=variants, folder="")
        try:
            documents = list(track(papers, FILES, watch))
        except NoForm as error:
            raise click.UsageError(str(error)) from error
        printed = [] if why_no_pdf else list(pdf.pdfs(documents, watch))
    written = [(f"{document.path.lstrip('/')}.html", document.html.encode()) for document in documents]
    names = [f"{document.path.lstrip('/')}.pdf" for document in documents]
    written += zip(names, printed, strict=False)
    publish_set(out, written, edition_metadata(library), library.edition.date)
    files = sorted(str(out / path) for path, _ in written)
    if as_json:
        click.echo(json.dumps({"number": number, "files": files}, indent=1))
        return
    for name in files if not quiet else ():
        click.echo(name)
    if why_no_pdf:
        click.echo(f"{why_no_pdf}; the sheets print from their HTML pages", err=True)
