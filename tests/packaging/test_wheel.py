"""The wheel by itself: installed without a checkout, it begins, checks, builds and verifies a project.

The environment is empty but for the wheel, and sees the dependencies of this one through a path file, so that
nothing is fetched. A reader installs with pip, as the README says.
"""

from __future__ import annotations

import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest
from forty_paces.authoring.library import load_library

from tests.rule_files import PROJECT

pytestmark = pytest.mark.long


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation"]
    subprocess.run([*command, "--wheel-dir", str(folder), str(PROJECT)], check=True)
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def python(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An interpreter with the wheel installed."""
    home = tmp_path_factory.mktemp("empty") / "venv"
    venv.create(home, symlinks=True)
    found = home / "bin/python"
    own = subprocess.run(
        [found, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"],
        check=True,
        capture_output=True,
        text=True,
    ).stdout.strip()
    with zipfile.ZipFile(wheel) as archive:  # what an installer does with a wheel of pure Python
        archive.extractall(own)
    # Plain path entries: the path files of this environment are not read, so its checkout is not there.
    (Path(own) / "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return found


@pytest.fixture(scope="module")
def project(python: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("carrier") / "Ridge & Río"
    run(python, folder.parent, "init", folder.name)
    return folder


def run(python: Path, where: Path, *words: str) -> str:
    """What a verb prints; it must succeed."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run(
        [python, "-m", "forty_paces", *words], cwd=where, env=environment, capture_output=True, text=True
    )
    assert 0 == done.returncode, done.stdout + done.stderr
    return done.stdout


def test_the_wheel_holds_every_template_style_script_font_license_and_the_whole_library(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        held = {name.removeprefix("forty_paces/library/"): archive.read(name) for name in archive.namelist()}
    files = (file for top in ("content", "site_overrides") for file in (PROJECT / top).rglob("*"))
    wanted = [file.relative_to(PROJECT).as_posix() for file in files if file.is_file()]
    assert len(wanted) > 140
    for name in wanted:
        if name == "content/fleet.yml":
            assert name not in held
        else:
            assert (PROJECT / name).read_bytes() == held[name], name
    starter = {path.name for path in (PROJECT / "generator/forty_paces/starter").iterdir()}
    assert starter == {name.rpartition("/")[2] for name in held if name.startswith("forty_paces/starter/")}
    assert {"forty_paces"} == {name.split("/")[0] for name in archive.namelist() if ".dist-info/" not in name}


def test_the_installed_package_uses_its_own_library(python: Path, tmp_path: Path) -> None:
    code = "from forty_paces.package import library_root; print(library_root())"
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    done = subprocess.run([python, "-c", code], cwd=tmp_path, env=environment, capture_output=True, text=True)
    root = Path(done.stdout.strip())
    assert ("library", "forty_paces") == (root.name, root.parent.name), done.stderr
    assert not root.is_relative_to(PROJECT)


def test_a_project_begun_from_the_wheel_is_checked_built_and_verified(python: Path, project: Path) -> None:
    assert "No faults; " in run(python, project, "check")
    run(python, project, "build", "--no-cards", "--quiet")
    assert "is whole" in run(python, project, "verify", "site")


def test_nothing_of_the_demo_carrier_is_in_an_edition_that_is_not_the_demo(
    python: Path, project: Path
) -> None:
    """Runs after the build above; the fixture's project is the same."""
    if not (project / "site").is_dir():
        run(python, project, "build", "--no-cards", "--quiet")
    demo = load_library(PROJECT).fleet
    assert demo.safety_lead is not None
    names = {demo.carrier, demo.carrier.split()[0], *demo.safety_lead.split()}
    names |= {vehicle.plate for vehicle in demo.vehicles if vehicle.plate}
    names |= {phone.number for phone in demo.phones if phone.number.startswith("555-")}
    assert len(names) > 10
    texts = {
        file: file.read_bytes().decode("utf-8", "replace")
        for file in (project / "site").rglob("*")
        if file.suffix in (".html", ".js", ".json", ".webmanifest", ".xml", ".svg", ".css")
    }
    assert len(texts) > 100
    assert [] == [(file.name, name) for file, text in texts.items() for name in names if name in text]
    assert any("Our carrier" in text for text in texts.values())
