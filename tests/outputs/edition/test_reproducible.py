"""Same content, same bytes: wherever, whenever and by whomever the edition is built.

What may differ is named one by one (reproducible-builds.org lists these as the
usual causes): the folder, its name, the order of hashes, time zone, language,
file mode mask, the clock, and in `make soak` the number of cores. What decides is SOURCE_DATE_EPOCH, by the
specification of the same project: UTC seconds, in place of the clock.

Other Pythons are named in FORTYPACES_OTHER_PYTHON, one after the other as in PATH;
`make pythons` makes an environment for each and names them.
"""

from __future__ import annotations

import datetime as dt
import gzip
import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
import time
import types
from pathlib import Path
from typing import Any, TypeAlias

import mkdocs.utils
import pytest
from click.testing import CliRunner
from forty_paces.authoring import library
from forty_paces.cli import main
from forty_paces.outputs.paper import layout_cache

from tests.projects import PROJECT, pages_and_pdfs, small_project
from tests.soaking import SOAK

Fingerprints: TypeAlias = dict[str, tuple[str, int]]

EPOCH = 1798761600  # 2027-01-01T00:00:00Z
BUILT_ON = "2026-12-01"

RUN = """
import datetime, os, sys, types
import mkdocs.utils
from forty_paces.authoring import library
from forty_paces.cli import main
umask, day, cores, *arguments = sys.argv[1:]
os.umask(int(umask, 8))
os.cpu_count = lambda: int(cores)
clock = datetime.datetime.fromisoformat(day).replace(tzinfo=datetime.timezone.utc)
mkdocs.utils.get_build_datetime = lambda: clock
class Day(datetime.date):
    today = classmethod(lambda cls: datetime.date.fromisoformat(day))
library.dt = types.SimpleNamespace(date=Day)
main(arguments)
"""
"""The command line on another day: the two places that ask the clock."""


OTHER_PYTHONS = [name for name in os.environ.get("FORTYPACES_OTHER_PYTHON", "").split(os.pathsep) if name]


def build(
    folder: Path,
    *,
    cards: bool = False,
    umask: str = "022",
    day: str = BUILT_ON,
    cores: int = 1,
    lines: list[str] | None = None,
    python: str = sys.executable,
    **surroundings: str,
) -> Fingerprints:
    """Build in a process of its own; every file and folder of the site with its SHA-256 and its time.

    Without ``lines`` it has to say nothing; else they are what it says of its progress.
    """
    options = ["build", "--project", str(folder)]
    options += [] if cards else ["--no-cards"]
    options += ["--quiet"] if lines is None else []
    known = {name: value for name, value in os.environ.items() if not name.startswith(("LC_", "LANG", "TZ"))}
    known.pop("SOURCE_DATE_EPOCH", None)
    known["PYTHONPATH"] = str(
        PROJECT / "generator"
    )  # this generator, whichever one the environment was made for
    done = subprocess.run(
        [python, "-c", RUN, umask, day, str(cores), *options],
        cwd=folder,
        env={
            **known,
            "PYTHONHASHSEED": "0",
            "TZ": "UTC",
            "LC_ALL": "C",
            layout_cache.OFF: "1",
            **surroundings,
        },
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    if lines is None:
        assert (done.stdout, done.stderr) == ("", "")
    else:
        lines += done.stderr.splitlines()
    return fingerprints(folder / "site")


def build_here(folder: Path, patch: pytest.MonkeyPatch, *, day: str, **surroundings: str) -> Fingerprints:
    """The same without cards in this process: fonts and sight explorer, which have no date, are made once."""
    clock = dt.datetime.fromisoformat(day).replace(tzinfo=dt.UTC)
    day_of_clock = type("Day", (dt.date,), {"today": classmethod(lambda cls: dt.date.fromisoformat(day))})
    with patch.context() as here:
        here.setattr(mkdocs.utils, "get_build_datetime", lambda: clock)
        here.setattr(library, "dt", types.SimpleNamespace(date=day_of_clock))
        for name, value in surroundings.items():
            here.setenv(name, value)
        time.tzset()
        done = CliRunner().invoke(main, ["build", "--quiet", "--project", str(folder), "--no-cards"])
    time.tzset()
    assert (done.exit_code, done.output) == (0, "")
    return fingerprints(folder / "site")


def fingerprints(site: Path) -> Fingerprints:
    """Every path below a folder, and the folder itself, with its content's hash and its time."""
    return {
        path.relative_to(site).as_posix(): (
            hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else "",
            path.stat().st_mtime_ns,
        )
        for path in (site, *sorted(site.rglob("*")))
    }


def differences(one: Fingerprints, other: Fingerprints) -> list[str]:
    return sorted(path for path in {*one, *other} if one.get(path) != other.get(path))


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small project that nobody edits meanwhile, with an address, so that its site map has entries.

    Two vehicles: each has cards of its own, and laying them out is most of a build.
    """
    folder = small_project(tmp_path_factory.mktemp("one") / "project", linked=False)
    fleet = folder / "content/fleet.yml"
    vehicles = re.split(r"(?m)^(?=  - id: |\S)", fleet.read_text(encoding="utf-8"))
    kept = [one for one in vehicles if not one.startswith(("  - id: straight-truck\n", "  - id: tanker\n"))]
    assert len(kept) == len(vehicles) - 2
    fleet.write_text("".join(kept), encoding="utf-8")
    settings = folder / "mkdocs.yml"
    settings.write_text(settings.read_text(encoding="utf-8") + "\nsite_url: https://paces.invalid/guide/\n")
    return folder


def elsewhere(project: Path, folder: Path, *, line_ends: bytes = b"\n") -> Path:
    """A fresh checkout of the project in a folder of another name: times and line ends of its own."""
    shutil.copytree(project, folder, ignore=shutil.ignore_patterns("site"))
    for file in (folder / "content").rglob("*.*"):
        file.write_bytes(file.read_bytes().replace(b"\n", line_ends))
    for file in folder.rglob("*"):
        os.utime(file, (1_500_000_000, 1_500_000_000))
    return folder


@pytest.fixture(scope="module")
def progress() -> list[str]:
    """What the build at home says, line by line."""
    return []


@pytest.fixture(scope="module")
def built(project: Path, progress: list[str]) -> Fingerprints:
    """How it comes out at home, with cards and their PDFs."""
    return build(project, cards=True, lines=progress)


@pytest.mark.long
@pytest.mark.usefixtures("built")
def test_its_progress_counts_every_page_and_every_pdf(project: Path, progress: list[str]) -> None:
    taken, *lines = progress
    assert f"Project: {project}" == taken
    assert [] == [line for line in lines if not re.fullmatch(r"Building: \d+ of \d+", line)]
    counted = [tuple(map(int, re.findall(r"\d+", line))) for line in lines]
    assert 0 == counted[0][0]
    assert counted == sorted(counted)
    done, expected = counted[-1]
    pages, pdfs = pages_and_pdfs(project / "site")
    assert pdfs > 10
    assert expected == done > pdfs + pages > pdfs


@pytest.mark.long
def test_all_surroundings_at_once_leave_no_trace_in_pages_cards_and_pdfs(
    project: Path, built: Fingerprints, tmp_path: Path
) -> None:
    """Folder, hashes, time zone, language, mask, day and line ends, all of them others."""
    there = elsewhere(project, tmp_path / "Über die Straße & back", line_ends=b"\r\n")
    other = {"PYTHONHASHSEED": "4080", "TZ": "Pacific/Kiritimati", "LC_ALL": "de_DE.UTF-8"}
    assert [] == differences(built, build(there, cards=True, umask="077", day="2027-05-20", **other))
    assert 10 < sum(path.endswith(".pdf") for path in built)


if SOAK:  # one after another, to see which of them leaves a trace

    @pytest.mark.soak
    @pytest.mark.parametrize(
        "other",
        [
            pytest.param(
                {"PYTHONHASHSEED": "1", "TZ": "Pacific/Kiritimati"}, id="other hashes, 14 hours ahead"
            ),
            pytest.param(
                {"PYTHONHASHSEED": "4080", "TZ": "Etc/GMT+12", "LC_ALL": "C.UTF-8"},
                id="a third order of hashes, 12 hours behind, UTF-8",
            ),
            pytest.param(
                {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8", "umask": "077"},
                id="a language that may be missing, a mask that lets nobody else read",
            ),
            pytest.param({"day": "2027-05-05"}, id="five months later"),
            pytest.param({"cores": 2}, id="two cores, on which two processes lay out"),
        ],
    )
    def test_surroundings_leave_no_trace(project: Path, built: Fingerprints, other: dict[str, Any]) -> None:
        assert [] == differences(built, build(project, cards=True, **other))

    @pytest.mark.soak
    def test_a_folder_of_another_name_gives_the_same_bytes(
        project: Path, built: Fingerprints, tmp_path: Path
    ) -> None:
        there = elsewhere(project, tmp_path / "Über die Straße & back")
        assert [] == differences(built, build(there, cards=True))

    @pytest.mark.soak
    def test_line_ends_of_a_windows_checkout_give_the_same_edition(
        project: Path, built: Fingerprints, tmp_path: Path
    ) -> None:
        there = elsewhere(project, tmp_path / "windows", line_ends=b"\r\n")
        assert [] == differences(built, build(there, cards=True))


if OTHER_PYTHONS:  # asked for by name, so that nothing is left out in silence

    @pytest.fixture(scope="module")
    def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Fingerprints]:
        """All of the repository's content, and its edition by the Python that runs the tests."""
        folder = tmp_path_factory.mktemp("whole") / "project"
        for name in ("content", "site_overrides"):
            shutil.copytree(PROJECT / name, folder / name)
        shutil.copy(PROJECT / "mkdocs.yml", folder)
        return folder, build(folder, cards=True, cores=2, SOURCE_DATE_EPOCH=str(EPOCH))

    @pytest.mark.long
    @pytest.mark.parametrize("python", OTHER_PYTHONS)
    def test_another_python_in_other_surroundings_gives_the_same_bytes(
        whole: tuple[Path, Fingerprints], tmp_path: Path, python: str
    ) -> None:
        ours, theirs = (
            subprocess.run([one, "-VV"], capture_output=True, text=True, check=True).stdout
            for one in (sys.executable, python)
        )
        assert ours != theirs, "the same Python proves nothing"
        folder, first = whole
        second = build(
            elsewhere(folder, tmp_path / f"ein anderer Ort {'é' * 9}"),
            cards=True,
            python=python,
            cores=2,
            umask="077",
            PYTHONHASHSEED="11",
            TZ="Pacific/Kiritimati",
            LC_ALL="de_DE.UTF-8",
            SOURCE_DATE_EPOCH=str(EPOCH),
        )
        assert [] == differences(first, second)
        assert 30 < sum(path.endswith(".pdf") for path in first)


@pytest.mark.long
def test_the_given_second_dates_everything(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    there = elsewhere(project, tmp_path / "dated")
    given = {"SOURCE_DATE_EPOCH": str(EPOCH)}
    first = build_here(there, monkeypatch, day=BUILT_ON, TZ="Etc/GMT+12", **given)
    record = json.loads((there / "site/edition.json").read_text(encoding="utf-8"))
    assert "2027-01-01" == record["date"]
    site_map = gzip.decompress((there / "site/sitemap.xml.gz").read_bytes()).decode()
    assert {"2027-01-01"} == set(re.findall("<lastmod>(.*?)</lastmod>", site_map))
    (second,) = {seconds // 10**9 for _, seconds in first.values()}
    assert dt.date(2027, 1, 1) == dt.datetime.fromtimestamp(second, tz=dt.UTC).date()
    assert [] == differences(first, build_here(there, monkeypatch, day="2027-05-05", TZ="UTC", **given))


@pytest.mark.long
def test_without_it_the_content_dates_everything(project: Path, built: Fingerprints) -> None:
    record = json.loads((project / "site/edition.json").read_text(encoding="utf-8"))
    (second,) = {seconds // 10**9 for _, seconds in built.values()}
    assert record["date"] == dt.datetime.fromtimestamp(second, tz=dt.UTC).date().isoformat()
    assert BUILT_ON not in (project / "site/sitemap.xml").read_text(encoding="utf-8")


@pytest.mark.long
def test_what_is_compared_would_show_a_difference(project: Path, built: Fingerprints) -> None:
    page = project / "site/index.html"
    kept, times = page.read_bytes(), page.stat()
    page.write_bytes(kept + b" ")
    assert ["index.html"] == differences(built, fingerprints(project / "site"))
    page.write_bytes(kept)
    os.utime(page, ns=(times.st_atime_ns, times.st_mtime_ns))
    assert [] == differences(built, fingerprints(project / "site"))
