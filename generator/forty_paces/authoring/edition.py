"""Computes the edition id and date that are printed on every output of a build.

The clock is never read: the same files give the same edition on any day and machine.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from forty_paces.authoring.clock import clock_day
from forty_paces.authoring.layers import FLEET_FILE, Layers
from forty_paces.messages.pages import SIGNATURE
from forty_paces.package import generator_version

if TYPE_CHECKING:  # only named in annotations: a placement does not wait for these models
    from forty_paces.authoring.models.fleet import Fleet
    from forty_paces.authoring.models.procedure import Procedure

_TEXT_SUFFIXES = frozenset({".yml", ".md", ".css", ".js", ".html", ".j2", ".svg", ".json", ".txt", ".po"})
"""Hashed with LF line ends, so that a checkout with CRLF gives the same edition."""

FIRST_DAY = dt.date(1970, 1, 1)
"""Date of an edition without any dated content."""


@dataclass(frozen=True, slots=True)
class Edition:
    """Id and date printed on every copy, so that outdated copies can be recognized."""

    id: str
    "First eight hexadecimal digits of the SHA-256 of content, site overrides and generator version."
    date: dt.date
    "SOURCE_DATE_EPOCH if set, else the fleet's edition date, else the newest effective date."
    number: int = 0
    "The fleet's edition number, which only rises; 0 where it has none."
    expires: dt.date | None = None
    "The last day on which the edition is meant to be used."
    key: str = ""
    "Id of the key that signs this build; empty where it is unsigned."

    @property
    def signature(self) -> str:
        """What every output of the build says of its signature."""
        return SIGNATURE["signed"].format(key=self.key) if self.key else SIGNATURE["unsigned"]


def edition_of(project: Path, fleet: Fleet | None, procedures: Iterable[Procedure]) -> Edition:
    """The edition of a project folder."""
    numbered = (fleet.edition_number, fleet.edition_expires) if fleet is not None else (0, None)
    return Edition(fingerprint(project)[:8], _date(fleet, procedures), *numbered)


def vehicle_edition(project: Path, fleet: Fleet, day: dt.date) -> Edition:
    """The edition of one vehicle: all files, with ``fleet`` in place of the fleet file.

    ``fleet`` holds that vehicle alone, so the edition does not change with other vehicles.
    """
    digest = _digest(project, without=FLEET_FILE)
    digest.update(fleet.model_dump_json().encode())
    return Edition(digest.hexdigest()[:8], day, fleet.edition_number, fleet.edition_expires)


def fingerprint(project: Path) -> str:
    """SHA-256, in hex, of the version and of path and bytes of each content and override file, by path."""
    return _digest(project).hexdigest()


def _digest(project: Path, without: str = "") -> hashlib._Hash:
    digest = hashlib.sha256()
    digest.update(generator_version().encode())
    for path, file in _files(project):
        if path == without:
            continue
        raw = file.read_bytes()
        if file.suffix in _TEXT_SUFFIXES:
            raw = raw.replace(b"\r\n", b"\n")
        name = path.encode("utf-8", "surrogateescape")
        digest.update(b"\0".join((b"", name, str(len(raw)).encode(), raw)))
    return digest


def _date(fleet: Fleet | None, procedures: Iterable[Procedure]) -> dt.date:
    fixed = clock_day() or (fleet.edition_date if fleet is not None else None)
    return fixed or max((procedure.effective for procedure in procedures), default=FIRST_DAY)


def _files(project: Path) -> Iterator[tuple[str, Path]]:
    """The project's files by path, then those of the library that it uses."""
    files = (file for folder in ("content", "site_overrides") for file in (project / folder).rglob("*"))
    named = sorted((file.relative_to(project).as_posix(), file) for file in files if file.is_file())
    for path, file in named:
        if not any(part.startswith((".", "__")) for part in path.split("/")):
            yield path, file
    yield from Layers.of(project)[0].library_files()
