"""``fortypaces worksheet``: print worksheets that differ between neighbors, with their answer keys.

Writes HTML and, where the machine can make it, PDF. The same number gives the same files, byte for byte.
"""

from __future__ import annotations

import json
from collections.abc import Collection
from pathlib import Path

import click

from forty_paces.authoring.findings import name_one_of
from forty_paces.authoring.library import load_library
from forty_paces.authoring.models.fleet import SheetPaper
from forty_paces.commands.progress import show_progress
from forty_paces.commands.project import find_overrides, take_project
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.classroom.documents import class_papers, worksheet_papers
from forty_paces.outputs.classroom.forms import NoForm
from forty_paces.outputs.classroom.worksheets import LETTERS, SITUATIONS, scene_groups
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.progress import track
from forty_paces.outputs.edition.offline import edition_metadata
from forty_paces.outputs.edition.publication import publish_set
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS

EPILOG = f"""\b
Examples:
  fortypaces worksheet                                   number 1, one sheet and its key
  fortypaces worksheet --number 7 --variants 12          a different sheet for each of 12
  fortypaces worksheet --test --number 7 --variants 20   matched tests for a class of 20
  fortypaces worksheet --seed 7 --scenes quarry-bend,drover-crest --out print

\b
Without --scenes a sheet has {SITUATIONS} situations out of all scenes.
Hand out neighboring letters to neighbors: at no place do they agree.
Exit status: 0 done; 1 faults in the content; 2 wrong use.
"""

PAPERS_A_VARIANT = 2
"A sheet and its answer key."


@click.command(epilog=EPILOG)
@click.option(
    "--number",
    "--seed",
    "number",
    type=click.IntRange(0, 2**32 - 1),
    default=1,
    show_default=True,
    help="The same number gives the same sheets.",
)
@click.option("--scenes", default="", metavar="A,B", help="Only these scenes, by the names of their files.")
@click.option(
    "--variants",
    type=click.IntRange(1, len(LETTERS)),
    default=1,
    show_default=True,
    help="How many different sheets.",
)
@click.option(
    "--test",
    is_flag=True,
    help="Matched tests on roads drawn from the number: one file for the class, the keys in another.",
)
@click.option("--situations", type=click.IntRange(1, 12), help="Situations on a sheet, at most one a scene.")
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
    scenes: str,
    variants: int,
    test: bool,
    situations: int | None,
    paper: str | None,
    out: Path,
    project: Path | None,
    as_json: bool,
    quiet: bool,
) -> None:
    """Print worksheets for placing the devices by hand, and an answer key for each."""
    top = take_project(project, quiet=quiet)
    library = load_library(top, symbols=NAMES)
    context = BuildContext(library, find_overrides(top))
    if test and (scenes or situations):
        raise click.UsageError("a test has its own roads: use --test without --scenes and --situations")
    groups = () if test else scene_groups(context, _scenes(scenes, library.scenes))
    if not groups and not test:
        raise click.UsageError("there is no scene to place devices in; add a file to content/scenes")
    sheet = PAPERS[paper or library.fleet.paper.value]
    count = situations or (len(groups) if scenes else None)
    why_no_pdf = pdf.missing()
    with show_progress("Worksheets", quiet=quiet) as watch:
        papers = (
            class_papers(context, sheet, number=number, variants=variants, folder="")
            if test
            else worksheet_papers(
                context, groups, sheet, number=number, variants=variants, count=count, folder=""
            )
        )
        try:
            documents = list(track(papers, PAPERS_A_VARIANT * (1 if test else variants), watch))
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


def _scenes(written: str, known: Collection[str]) -> tuple[str, ...]:
    """The scenes named on the command line; ``UsageError`` for an unknown one."""
    names = tuple(dict.fromkeys(name.strip() for name in written.split(",") if name.strip()))
    for name in names:
        if name not in known:
            raise click.UsageError(f'there is no scene "{name}"; {name_one_of(name, known)}')
    return names
