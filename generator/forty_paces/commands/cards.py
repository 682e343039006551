"""``fortypaces cards``: print a fleet's cards, or list which of them are out of date.

Writes HTML and PDF files into a folder, or a list to the screen. With the record of an earlier edition it
also shows what changed since.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable
from pathlib import Path

import click

from forty_paces.authoring.clock import day_of_reading
from forty_paces.authoring.findings import ContentFault, name_one_of
from forty_paces.authoring.library import load_library
from forty_paces.authoring.models.fleet import CardSize, SheetPaper, Vehicle
from forty_paces.commands.figures import day
from forty_paces.commands.progress import show_progress
from forty_paces.commands.project import find_overrides, take_project
from forty_paces.drawing.symbols import NAMES
from forty_paces.outputs.cards.binding import leaf_of
from forty_paces.outputs.cards.card_set import CardSet, card_set, finding, known_codes, try_set
from forty_paces.outputs.cards.documents import CatalogEntry, set_documents
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.cards.faces import not_reviewed
from forty_paces.outputs.cards.pieces import card_pdfs
from forty_paces.outputs.cards.side_by_side import side_by_side_document, side_by_side_plan
from forty_paces.outputs.cards.status import (
    RECORD,
    EarlierEdition,
    FaceStatus,
    InvalidRecord,
    as_json,
    changed_keys,
    face_record,
    is_stale,
    read_earlier,
    set_name,
    statuses,
)
from forty_paces.outputs.cards.ticket import making, register_csv, run_document
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.progress import ProgressListener, track
from forty_paces.outputs.common.translations import in_language
from forty_paces.outputs.edition.offline import edition_metadata
from forty_paces.outputs.edition.publication import publish_set
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS

EPILOG = """\b
Examples:
  fortypaces cards                                    every vehicle, the sizes of fleet.yml
  fortypaces cards --size a5 --paper a4 --vehicle tanker --out print
  fortypaces cards --size a6 --only ALL2,PLC1,PLC2    some faces of a small set
  fortypaces cards --fits                             which card fits which size
  fortypaces cards --status --since old/edition.json  what changed, what to print again
  fortypaces cards --since old/edition.json           with a bar beside changed lines
  fortypaces cards --since old/edition.json --again   only the leaves that changed, with a slip
  fortypaces cards --vehicle coach --run 12           twelve sets: a ticket, and a register to sign
  fortypaces cards --language es_US --vehicle coach   in another language
  fortypaces cards --language en,es_US                English and another side by side
  fortypaces cards --paper tabloid                    four half-letter cards on a sheet, for a print shop

\b
Exit status: 0 done; 1 a face does not fit, or faults in the content; 2 wrong use.
"""

CARD_SIZES = tuple(size.value for size in CardSize)
SIZES = (*CARD_SIZES, WALLET_SIZE)


@click.command(epilog=EPILOG)
@click.option("--project", type=click.Path(path_type=Path), help="Folder that holds content; default: here.")
@click.option(
    "--size", type=click.Choice(SIZES), help="Finished size; default: those of fleet.yml and the wallet."
)
@click.option(
    "--vehicle", metavar="ID", help="Only this vehicle's cards, or 'all' for the set that serves all."
)
@click.option("--only", metavar="CODES", default="", help="Only these cards, such as FLM1,SKD1,PLC2.")
@click.option(
    "--paper",
    type=click.Choice([paper.value for paper in SheetPaper] + ["tabloid", "a3"]),
    help="Paper the sheets are laid out for; default: that of fleet.yml. Tabloid and A3 are for a shop.",
)
@click.option(
    "--out",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("cards"),
    show_default=True,
    help="Folder to write into.",
)
@click.option("--status", is_flag=True, help="Print nothing; list every card, its version and its dates.")
@click.option("--fits", is_flag=True, help="Print nothing; list which card fits which size.")
@click.option(
    "--since",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="edition.json of an earlier edition: marks and lists what changed since.",
)
@click.option(
    "--again",
    is_flag=True,
    help="With --since: only the leaves with a change, numbered as in the whole set, and a slip that says "
    "which leaves to take out.",
)
@click.option(
    "--run",
    "copies",
    type=click.IntRange(1, 999),
    metavar="COPIES",
    help="Also a ticket for printing so many of each set, and a register of who is handed which, as CSV too.",
)
@click.option(
    "--language",
    metavar="CODE",
    default="en",
    help="In another language that content/languages has a catalog of: es_US; en,es_US for sheets with "
    "English and the other side by side.",
)
@click.option("--json", "as_data", is_flag=True, help="With --status or --fits: JSON and nothing else.")
@click.option("--quiet", is_flag=True, help="Print only findings.")
@click.option("--today", type=day, metavar="DAY", help="Count review dates from this day.")
def cards(
    project: Path | None,
    size: str | None,
    vehicle: str | None,
    only: str,
    paper: str | None,
    out: Path,
    status: bool,
    fits: bool,
    since: Path | None,
    again: bool,
    copies: int | None,
    language: str,
    as_data: bool,
    quiet: bool,
    today: dt.date | None,
) -> None:
    """Print the cards, composed at their finished size, one face a page and on sheets to cut.

    Where the machine has WeasyPrint and Pango each document comes as PDF too. A face that
    does not fit its size is never shrunk: nothing is written, and what to shorten is listed.
    """
    if as_data and not (status or fits):
        raise click.UsageError("--json goes with --status or --fits")
    if status and fits:
        raise click.UsageError("--status and --fits are two lists; ask for one")
    if copies and (status or fits):
        raise click.UsageError("--run goes with printing, not with --status or --fits")
    if again and (since is None or only):
        raise click.UsageError("--again goes with --since, and without --only")
    folder = take_project(project, quiet=quiet)
    context = BuildContext(load_library(folder, today, NAMES), find_overrides(folder))
    both, _, other = language.partition(",")
    if other:
        if both != "en" or status or fits or since or copies or size == WALLET_SIZE:
            raise click.UsageError(
                "--language en,CODE prints whole cards, without --status, --fits, --since or --run; no wallet"
            )
        _side_by_side(context, folder, other, size, vehicle, only, paper, out, quiet=quiet)
        return
    if language != "en":  # until the command ends: cards are worded and measured in it
        context = click.get_current_context().with_resource(in_language(context, folder, language))
    if fits:
        with show_progress("Cards", quiet=quiet) as watch:
            rows = _fits(context, watch)
        _list_fits(rows, as_data)
        return
    earlier = _earlier(since) if since else None
    if again and earlier and not earlier.sets:
        click.echo(
            f"--since: {since} does not say where each card lay, so leaves are numbered anew. "
            f"Name the {RECORD} that was written beside those cards.",
            err=True,
        )
    codes = _codes(context, only)
    sizes = (
        (size,)
        if size
        else (*(card_size.value for card_size in context.library.fleet.card_sizes), WALLET_SIZE)
    )
    vehicles = _vehicles(context, vehicle)
    with show_progress("Cards", quiet=quiet) as watch:
        sets = _sets(context, sizes, vehicles, codes, earlier, watch)
        papers = [paper or context.library.fleet.paper.value]
        wanted = () if status else sets
        if again and earlier:
            wanted = tuple(_changed_leaves(cards, earlier) for cards in wanted)
        entries = [entry for cards in wanted for entry in set_documents(context, cards, papers, slip=again)]
        makings = [making(cards, PAPERS[papers[0]], copies) for cards in wanted if copies and cards.faces]
        if makings:
            on = PAPERS[context.library.fleet.paper.value]
            run = run_document(context, makings, on, "run", with_register=not again)
            entries.append(CatalogEntry(run, "run", "", on.id, ""))
        printed = [entry.printed for entry in entries]
        data = list(card_pdfs(context, entries, watch)) if not pdf.missing() else []
    if status:
        _list_status(statuses(sets, today or day_of_reading(), earlier), earlier, as_data)
        return
    files = [(f"{document.path}.html", document.html.encode()) for document in printed]
    files += [(f"{document.path}.pdf", sheet) for document, sheet in zip(printed, data, strict=False)]
    if not codes:  # the record of some leaves alone would make all others new
        record = json.dumps(face_record(context, sets), indent=1, ensure_ascii=False) + "\n"
        files.append((RECORD, record.encode()))
    if makings and not again:
        files.append(("register.csv", register_csv(context, makings).encode()))
    publish_set(out, files, edition_metadata(context.library), context.library.edition.date)
    if not quiet:
        faces = [face for cards in wanted for face in cards.faces]
        made = f"{_count(len(faces), 'face')} in {_count(len(printed), 'document')}"
        kinds = f"as HTML{' and PDF' if data else ''}"
        click.echo(f"{out}: {made}, {kinds}, {context.library.edition.signature}.")
        if unsigned := sum(face.reviewed.startswith(not_reviewed()) for face in faces):
            click.echo(f"{unsigned} of {_count(len(faces), 'face')} not yet reviewed by your safety lead.")
    if why := pdf.missing():
        click.echo(f"{why}; print the HTML pages from a browser instead.", err=True)


def _side_by_side(
    context: BuildContext,
    folder: Path,
    code: str,
    size: str | None,
    vehicle: str | None,
    only: str,
    paper: str | None,
    out: Path,
    *,
    quiet: bool,
) -> None:
    """Print sheets with each card in English and in another language."""
    fleet = context.library.fleet
    sheet = PAPERS[paper or fleet.paper.value]
    sizes = (size,) if size else tuple(one.value for one in fleet.card_sizes)
    plans = {one: plan for one in sizes if (plan := side_by_side_plan(one, sheet)) is not None}
    if not plans:
        raise click.UsageError("--language: two cards cover a sheet as half-letter on letter, or a5 on a4")
    codes = _codes(context, only)
    with show_progress("Cards", quiet=quiet) as watch:
        english = _sets(context, plans, _vehicles(context, vehicle), codes, None, watch)
        with in_language(context, folder, code) as own:
            others = _sets(own, plans, _vehicles(own, vehicle), codes, None, watch)
        made = [
            side_by_side_document(context, first, second, own.language, plans[first.size])
            for first, second in zip(english, others, strict=True)
        ]
        data = pdf.pdfs(made, watch) if not pdf.missing() else ()
        files = [(f"{document.path}.html", document.html.encode()) for document in made]
        files += [(f"{document.path}.pdf", printed) for document, printed in zip(made, data, strict=False)]
    publish_set(out, files, edition_metadata(context.library), context.library.edition.date)
    if not quiet:
        sheets = _count(sum(document.pages for document in made), "sheet")
        click.echo(f"{out}: {sheets} in {_count(len(made), 'document')}, English beside {own.language.name}.")


def _earlier(file: Path) -> EarlierEdition:
    try:
        return read_earlier(file)
    except InvalidRecord as fault:
        raise click.UsageError(f"--since: {fault}") from None


def _vehicles(context: BuildContext, wanted: str | None) -> tuple[Vehicle | None, ...]:
    vehicles = {vehicle.id: vehicle for vehicle in context.library.fleet.vehicles}
    if wanted is None:
        return (None, *vehicles.values())
    if wanted == "all":
        return (None,)
    if wanted not in vehicles:
        hint = name_one_of(wanted, ["all", *vehicles])
        raise click.UsageError(f'--vehicle: fleet.yml has no vehicle "{wanted}"; {hint}')
    return (vehicles[wanted],)


def _codes(context: BuildContext, only: str) -> frozenset[str]:
    wanted = frozenset(code.strip().upper() for code in only.split(",") if code.strip())
    if not wanted:
        return wanted
    known = known_codes(context)
    for code in sorted(wanted - known):
        raise click.UsageError(f'--only: there is no card "{code}"; {name_one_of(code, known)}')
    return wanted


def _sets(
    context: BuildContext,
    sizes: Iterable[str],
    vehicles: tuple[Vehicle | None, ...],
    only: frozenset[str],
    earlier: EarlierEdition | None,
    watch: ProgressListener,
) -> tuple[CardSet, ...]:
    """Every requested set. Raises one :class:`ContentFault` with all faces that do not fit."""
    sets: list[CardSet] = []
    faults = []
    wanted = [(size, vehicle) for size in sizes for vehicle in vehicles]
    for size, vehicle in track(wanted, len(wanted), watch):
        kept = earlier.kept(f"{size}, {vehicle.id if vehicle else 'all'}") if earlier else ()
        cards, misfits = try_set(context, size, vehicle, kept=kept)
        wanted_misfits = [misfit for misfit in misfits if not only or misfit.draft.code in only]
        if misfits and not wanted_misfits:  # the size holds these cards, if not the whole set
            cards, few = try_set(context, size, vehicle, only=only)
            wanted_misfits = list(few)
        faults += [finding(misfit) for misfit in wanted_misfits]
        if earlier and not misfits:
            changed = frozenset(key for face in cards.faces for key in changed_keys(face, earlier))
            cards = card_set(context, size, vehicle, changed=changed, since=earlier.edition, kept=kept)
        sets.append(cards.leaves_with(lambda face: face.code in only) if only and not misfits else cards)
    if faults:
        raise ContentFault(faults)
    return tuple(cards for cards in sets if cards.faces)


def _changed_leaves(cards: CardSet, earlier: EarlierEdition) -> CardSet:
    """The leaves with another version than then, each with both its faces."""
    return cards.leaves_with(lambda face: is_stale(face, set_name(cards), earlier))


def _list_status(faces: tuple[FaceStatus, ...], earlier: EarlierEdition | None, as_data: bool) -> None:
    if as_data:
        click.echo(as_json(faces))
        return
    for name in dict.fromkeys(face.set for face in faces):
        click.echo(f"{name}:")
        for status in (face for face in faces if face.set == name):
            late = "  REVIEW OVERDUE" if status.overdue else ""
            lines = f": {_count(len(status.changed), 'line')} changed" if status.changed else ""
            again = f"  PRINT AGAIN{lines}" if status.reprint else ""
            click.echo(
                f"  {status.code:<6}{status.title:<40.40} {status.version:<9} {status.leaf:<9} "
                f"{status.effective} to {status.next_review} {status.type_size:<13}{late}{again}"
            )
    if earlier:
        stale = [face for face in faces if face.reprint]
        leaves = len({(face.set, leaf_of(face.number)) for face in stale})
        which = (
            f"{_count(len(stale), 'face')} to print again, on {leaves} {'leaf' if leaves == 1 else 'leaves'}"
        )
        click.echo(f"Since edition {earlier.edition}: {which}.")
    unsigned = {face.code for face in faces if face.reviewed.startswith(not_reviewed())}
    if unsigned:
        click.echo(f"Not yet reviewed by your safety lead: {', '.join(sorted(unsigned, key=_natural))}.")


def _fits(context: BuildContext, watch: ProgressListener) -> dict[str, dict[str, str]]:
    """By card and size: the composition where the card fits, otherwise by how much it does not."""
    rows: dict[str, dict[str, str]] = {}
    for size in track(CARD_SIZES, len(CARD_SIZES), watch):
        cards, misfits = try_set(context, size)
        for face in cards.faces:
            two = ", 2 faces" if face.kind != "notes" and face.more else ""
            rows.setdefault(face.code, {}).setdefault(size, face.composition)
            rows[face.code][size] += two
        for miss in misfits:
            over = f"{_count(miss.lines_over, 'line')} over" if miss.lines_over else f'"{miss.word}" too wide'
            rows.setdefault(miss.draft.code, {})[size] = over
    return rows


def _list_fits(rows: dict[str, dict[str, str]], as_data: bool) -> None:
    if as_data:
        click.echo(json.dumps(rows, indent=1, ensure_ascii=False))
        return
    click.echo("card  " + "".join(f"{size:<24}" for size in CARD_SIZES))
    for code in sorted(rows, key=_natural):
        click.echo(f"{code:<6}" + "".join(f"{rows[code].get(size, ''):<24}" for size in CARD_SIZES).rstrip())
    for size in CARD_SIZES:
        held = sum(" over" not in row[size] and " too wide" not in row[size] for row in rows.values())
        click.echo(f"{size}: holds {held} of {len(rows)} cards.")


def _natural(code: str) -> tuple[str, int]:
    letters = code.rstrip("0123456789")
    return letters, int(code[len(letters) :] or 0)


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'s' if number != 1 else ''}"
