"""One vehicle's own edition: its cab file, its cards, and the record that verifies both.

The result is a sealed folder that needs no other files, swapped into place only when it is complete. Its
edition id follows from everything but the other vehicles of the fleet, so that a new vehicle makes one new
folder and leaves the tablets of all others unchanged.
"""

from __future__ import annotations

import hashlib
import json
import multiprocessing
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field, replace
from enum import StrEnum
from functools import lru_cache
from pathlib import Path
from typing import Any

from forty_paces.authoring.edition import fingerprint, vehicle_edition
from forty_paces.authoring.findings import ContentFault
from forty_paces.authoring.library import Library, load_library
from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.drawing.symbols import NAMES as SYMBOLS
from forty_paces.messages.languages import speaking
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.cards.documents import CatalogEntry, set_documents
from forty_paces.outputs.cards.face_layout import WALLET_SIZE
from forty_paces.outputs.cards.pieces import card_pdfs
from forty_paces.outputs.common.context import ENGLISH_LANGUAGE, BuildContext
from forty_paces.outputs.common.files import Artifact, naming, read_text
from forty_paces.outputs.common.self_contained import content_security_policy, inline_source, minify_css
from forty_paces.outputs.common.translations import Translated, context_in, translations
from forty_paces.outputs.edition import offline, publication
from forty_paces.outputs.edition.edition_file import RECORD, CannotSeal, refuse_used_number, seal
from forty_paces.outputs.edition.signing import read_signing_key
from forty_paces.outputs.edition.verification import verify
from forty_paces.outputs.pages import bill_of_materials
from forty_paces.outputs.pages.about import SHIPPED
from forty_paces.outputs.paper import layout_cache
from forty_paces.outputs.paper.sheets import PrintDocument

LAYOUT = 4
"""Version of the folder's layout, incremented when the same inputs come to make another folder."""

FONT_LICENSE = "LICENSE-atkinson-hyperlegible.txt"
"""Included wherever the font is."""

FONT = replace(SHIPPED[0], texts=(FONT_LICENSE,), files=("cab.html", "cards/*.html", "cards/*.pdf"))
"""The one work of others in a vehicle's folder: within its documents."""


class State(StrEnum):
    """Result of building one vehicle's edition."""

    BUILT = "built"
    UNCHANGED = "unchanged"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Job:
    """One edition to build: plain values that can be sent to another process."""

    project: Path
    overrides: Path
    out: Path
    vehicle: str
    "The vehicle's id in fleet.yml, and the name of its folder."
    content: str
    "Fingerprint of the project when it was read; a process that reads a different one fails the job."
    with_pdf: bool
    key: Path | None = None
    "The private key to sign with; None leaves the edition unsigned."
    passphrase: str = field(default="", repr=False)


@dataclass(frozen=True, slots=True)
class JobResult:
    """Result of a job."""

    vehicle: str
    state: State
    words: str = ""
    "Why it failed; empty otherwise."


def part_of(vehicles: Sequence[str], number: int, count: int) -> tuple[str, ...]:
    """Part ``number`` (from 1) of ``count``: ids dealt out in sorted order, each to exactly one part."""
    return tuple(sorted(vehicles)[number - 1 :: count])


def unknown_vehicle_folders(out: Path, vehicles: Sequence[str]) -> tuple[str, ...]:
    """Folders of ``out`` with the edition of a vehicle that is not in the fleet."""
    folders = sorted(record.parent for record in out.glob(f"*/{RECORD}")) if out.is_dir() else []
    return tuple(
        folder.name for folder in folders if folder.name not in vehicles and _recorded(folder).get("vehicle")
    )


def make(job: Job) -> JobResult:
    """Bring one vehicle's folder up to date. Raises nothing: errors are reported in the outcome."""
    try:
        return _make(job)
    except ContentFault as fault:
        return JobResult(job.vehicle, State.FAILED, str(fault))
    except CannotSeal as fault:
        return JobResult(job.vehicle, State.FAILED, str(fault))
    except OSError as fault:
        named = f"{fault.filename}: " if fault.filename else ""
        return JobResult(job.vehicle, State.FAILED, f"{named}{fault.strerror or fault}")
    except Exception as fault:
        words = f"stopped by a fault of its own ({type(fault).__name__}: {fault}). Please report it."
        return JobResult(job.vehicle, State.FAILED, words)


def _make(job: Job) -> JobResult:
    library = _library(job.project, job.content)
    if library is None:
        return JobResult(job.vehicle, State.FAILED, "the content was changed meanwhile: start again")
    vehicle = next(vehicle for vehicle in library.fleet.vehicles if vehicle.id == job.vehicle)
    key = read_signing_key(job.key, job.passphrase) if job.key is not None else None
    own = offline.signed_library(own_library(job.project, library, vehicle), key)
    folder = job.out / vehicle.id
    inputs = _inputs(own, job.with_pdf)
    if _recorded(folder).get("inputs") == inputs and verify(folder).whole:
        return JobResult(vehicle.id, State.UNCHANGED)
    stage = publication.open_stage(folder)
    try:
        translated = translations(own, job.project, job.overrides)
        languages = (ENGLISH_LANGUAGE, *(one.language for one in translated))
        context = BuildContext(own, job.overrides, languages=languages)
        cabs = [cab_in(one, context, vehicle) for one in translated]
        with layout_cache.left_alone(key is not None):
            files = (*artifacts(context, vehicle, with_pdf=job.with_pdf), *cabs)
        for artifact in files:
            file = stage / artifact.path
            file.parent.mkdir(parents=True, exist_ok=True)
            with naming(file):
                file.write_bytes(artifact.data)
        about = {
            **offline.edition_metadata(own),
            "vehicle": {"id": vehicle.id, "title": vehicle.title},
            "inputs": inputs,
        }
        seal(stage, about, own.edition.date, key=key)
        if key is not None:
            refuse_used_number(stage, folder)
        publication.publish(stage, folder)
    except BaseException:
        publication.discard(stage)
        raise
    return JobResult(vehicle.id, State.BUILT)


def cab_in(translated: Translated, context: BuildContext, vehicle: Vehicle) -> Artifact:
    """The vehicle's cab file in another language."""
    with speaking(translated.catalog):
        own = context_in(translated, context)
        shown = translated.library.fleet.vehicles[0]
        return Artifact(own.language.cab_file, cab_html(own, shown, root="./"))


def own_library(project: Path, library: Library, vehicle: Vehicle) -> Library:
    """The library as if the fleet had only this vehicle, with the edition id that follows from it."""
    fleet = library.fleet.model_copy(update={"vehicles": (vehicle,)})
    return replace(library, fleet=fleet, edition=vehicle_edition(project, fleet, library.edition.date))


def artifacts(context: BuildContext, vehicle: Vehicle, *, with_pdf: bool) -> Iterator[Artifact]:
    """Every file of the folder except ``edition.json``."""
    entries = tuple(_printed(context, vehicle))
    printed = tuple(entry.printed for entry in entries)
    yield Artifact("cab.html", cab_html(context, vehicle, root="./"))
    yield from offline.artifacts(context)
    yield Artifact(FONT_LICENSE, context.asset_text(f"fonts/{FONT_LICENSE}"))
    yield from bill_of_materials.artifacts(context, (FONT,))
    for document in printed:
        yield Artifact(f"{document.path}.html", document.html)
    sheets = tuple(entry for entry in entries if with_pdf and entry.kind != "faces")
    # One process: the vehicles are built in parallel already.
    for entry, data in zip(sheets, card_pdfs(context, sheets, processes=1), strict=True):
        yield Artifact(f"{entry.printed.path}.pdf", data)
    yield Artifact("index.html", _first_page(context, vehicle, printed, [entry.printed for entry in sheets]))


def _printed(context: BuildContext, vehicle: Vehicle) -> Iterator[CatalogEntry]:
    """The card documents of every size, on the fleet's paper."""
    fleet = context.library.fleet
    for size in (*(size.value for size in fleet.card_sizes), WALLET_SIZE):
        cards = card_set(context, size, vehicle)
        papers = [fleet.paper.value]
        yield from set_documents(context, cards, papers, folder="cards/", own_folder=True, one_up=False)


def _first_page(
    context: BuildContext, vehicle: Vehicle, printed: Sequence[PrintDocument], sheets: Sequence[PrintDocument]
) -> str:
    """The index page, shown for the address of the folder."""
    style = inline_source(
        minify_css("\n".join(context.asset_text(f"css/{name}.css") for name in ("tokens", "vehicle")))
    )
    return context.render(
        "pages/vehicle.html.j2",
        vehicle=vehicle,
        printed=printed,
        as_pdf={document.path for document in sheets},
        font_license=FONT_LICENSE,
        style=style,
        policy=content_security_policy(styles=[style]),
    )


@lru_cache(maxsize=1)
def _library(project: Path, content: str) -> Library | None:
    """The library, read once per process; None where the files no longer match the fingerprint."""
    library = load_library(project, symbols=SYMBOLS)
    return library if fingerprint(project) == content else None


def _inputs(own: Library, with_pdf: bool) -> str:
    """A hash of everything that determines the folder's content."""
    values = (LAYOUT, own.edition.id, own.edition.date.isoformat(), own.edition.key, with_pdf)
    return hashlib.sha256(json.dumps(values).encode()).hexdigest()


def _recorded(folder: Path) -> dict[str, Any]:
    """The folder's ``edition.json``; empty where none can be read."""
    try:
        record = json.loads(read_text(folder / RECORD))
    except (OSError, ValueError):
        return {}
    return record if isinstance(record, dict) else {}


def cores() -> int:
    """Number of CPU cores available to this process."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def outcomes(jobs: Sequence[Job], processes: int) -> Iterator[JobResult]:
    """Run all jobs and yield their outcomes as they finish; a killed process gives a failed outcome."""
    if min(processes, len(jobs)) < 2:
        yield from map(make, jobs)
        return
    # "spawn" on every system: forking a process that has threads may deadlock
    pool = ProcessPoolExecutor(min(processes, len(jobs)), mp_context=multiprocessing.get_context("spawn"))
    try:
        waiting = {pool.submit(make, job): job for job in jobs}
        for done in as_completed(waiting):
            try:
                yield done.result()
            except BrokenProcessPool:
                words = "the process that built it was ended from outside; try again with fewer --jobs"
                yield JobResult(waiting[done].vehicle, State.FAILED, words)
    finally:
        pool.shutdown(cancel_futures=True)
