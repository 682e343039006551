"""``fortypaces editions``: build one sealed folder for each vehicle, and keep those that are up to date."""

from __future__ import annotations

import re
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from forty_paces.authoring.edition import fingerprint
from forty_paces.authoring.findings import name_one_of
from forty_paces.authoring.library import load_library
from forty_paces.commands.keys import passphrase_for, signing_key
from forty_paces.commands.progress import show_progress
from forty_paces.commands.project import find_overrides, take_project
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.common.progress import track
from forty_paces.outputs.edition import publication
from forty_paces.outputs.edition.vehicles import (
    Job,
    JobResult,
    State,
    cores,
    outcomes,
    part_of,
    unknown_vehicle_folders,
)
from forty_paces.outputs.paper import pdf

EPILOG = """\b
Examples:
  fortypaces editions                                 every vehicle, into editions/
  fortypaces editions --vehicle tanker --vehicle coach
  fortypaces editions --jobs 8 --out D:\\editions
  fortypaces editions --part 2/8 --quiet              the second of eight machines
  fortypaces verify editions/tanker

\b
Exit status: 0 all are up to date; 1 findings, and the folders they concern stand as they were;
2 wrong use.
"""


def _share(ctx: click.Context, param: click.Parameter, value: str) -> tuple[int, int]:
    """Parse '2/8' as number and count, from 1. Raises ``click.BadParameter``."""
    given = re.fullmatch(r"([0-9]{1,6})/([0-9]{1,6})", value)
    number, count = map(int, given.groups()) if given else (0, 0)
    if not 1 <= number <= count:
        raise click.BadParameter(f"'{value}' is not a part such as 2/8: from 1/8 to 8/8")
    return number, count


@click.command(epilog=EPILOG)
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
@click.option("--vehicle", "wanted", metavar="ID", multiple=True, help="Only this vehicle; may be repeated.")
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("editions"),
    show_default=True,
    help="Folder to write to.",
)
@click.option("--jobs", type=click.IntRange(1, 256), help="Processes at once; default: one a core.")
@click.option(
    "--part",
    metavar="I/N",
    default="1/1",
    callback=_share,
    help="Build only this share, such as 2/8, where several machines share the work.",
)
@click.option("--no-pdf", is_flag=True, help="Write no PDF; the HTML pages print the same. Much faster.")
@click.option(
    "--sign", type=click.Path(exists=True, dir_okay=False, path_type=Path), help="Private key to sign with."
)
@click.option("--quiet", is_flag=True, help="Print only findings.")
def editions(
    project: Path | None,
    wanted: tuple[str, ...],
    out: Path,
    jobs: int | None,
    part: tuple[int, int],
    no_pdf: bool,
    sign: Path | None,
    quiet: bool,
) -> None:
    """Build a folder for every vehicle: its cab file, its cards, its own record.

    Each folder is complete: copy it to that vehicle's tablet, print its cards,
    check it with `fortypaces verify`. A folder whose content did not change is
    left as it is. A fault in one vehicle's edition does not stop the others.
    """
    folder = take_project(project, quiet=quiet)
    library = load_library(folder, symbols=NAMES)
    fleet = [vehicle.id for vehicle in library.fleet.vehicles]
    for name in wanted:
        if name not in fleet:
            raise click.UsageError(
                f'--vehicle: fleet.yml has no vehicle "{name}"; {name_one_of(name, fleet)}'
            )
    passphrase = ""
    if sign is not None:
        signing_key(sign)  # a key that cannot be used is said once, and not for each vehicle
        passphrase = passphrase_for(sign)
    chosen = part_of(tuple(dict.fromkeys(wanted)) or fleet, *part)
    out.mkdir(parents=True, exist_ok=True)
    for name in chosen:
        publication.clear_leftovers(out / name)
    why = "" if no_pdf else pdf.missing()
    if why:
        click.echo(f"{why}; the cards print from their HTML pages.", err=True)
    content = fingerprint(folder)
    work = [
        Job(
            folder.resolve(),
            find_overrides(folder).resolve(),
            out.resolve(),
            name,
            content,
            with_pdf=not no_pdf and not why,
            key=sign.resolve() if sign is not None else None,
            passphrase=passphrase,
        )
        for name in chosen
    ]
    results = _run(work, jobs or cores(), quiet)
    _report(results, out, quiet)
    for name in unknown_vehicle_folders(out, fleet):
        click.echo(f"{out / name}: the fleet has no such vehicle any more; remove it.", err=True)
    sys.exit(1 if any(outcome.state is State.FAILED for outcome in results) else 0)


def _run(work: Sequence[Job], processes: int, quiet: bool) -> list[JobResult]:
    """All outcomes, sorted by vehicle."""
    with show_progress("Editions", quiet=quiet) as watch:
        results = list(track(outcomes(work, processes), len(work), watch))
    return sorted(results, key=lambda outcome: outcome.vehicle)


def _report(results: Sequence[JobResult], out: Path, quiet: bool) -> None:
    for outcome in results:
        if outcome.state is State.FAILED:
            click.echo(f"{outcome.vehicle}: {outcome.words}", err=True)
    if not quiet:
        counts = [sum(outcome.state is state for outcome in results) for state in State]
        summary = ", ".join(
            f"{count} {state.value}" for count, state in zip(counts, State, strict=True) if count
        )
        click.echo(f"{out}: {summary or 'no vehicle, so no edition'}.")
