"""The wheel by itself: installed without a checkout, it begins, checks, builds and verifies a project.

The environment is empty but for the wheel, and sees the dependencies of this one through a path file, so that
nothing is fetched. A reader installs with pip, as the README says.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pypdfium2
import pytest
from forty_paces.authoring.library import load_library

from tests.projects import ALONE, PROJECT

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
    build_most(python, project)
    assert "is whole" in run(python, project, "verify", "site")


def build_most(python: Path, project: Path) -> None:
    """Build it with two scenes, no lesson, and the procedures that lead to no other but one another."""
    left = [f"{file.parent.name}/{file.stem}" for file in CLASSROOM[2:]]
    procedures = sorted((PROJECT / "content/procedures").glob("*.yml"))
    left += ["ways_out", *(f"procedures/{file.stem}" for file in procedures if file.stem not in ALONE)]
    (project / "content/library.yml").write_text(f"leave_out: {json.dumps(left)}\n", encoding="utf-8")
    run(python, project, "build", "--no-cards", "--quiet")


CLASSROOM = [
    file
    for folder in ("scenes", "lessons", "scenarios")
    for file in sorted((PROJECT / "content" / folder).glob("*.yml"))
]
"""What the library has for classes, scenes first."""

FLEET = """
conditions:
  - id: two-trailers
    words: two trailers
    without: one trailer or none
vehicles:
  - {id: doubles, title: Doubles, brakes: air, trailer: yes, has: [two-trailers]}
  - {id: box-truck, title: Box truck, brakes: hydraulic, trailer: no}
  - id: tanker
    title: Fuel tanker
    brakes: air
    trailer: yes
    retarder: yes
    hazardous_cargo: yes
    placarded: yes
looks:
  logo: logo.svg
  color: "#0a4d3c"
  night_color: "#f2b233"
"""
"""What is added to the file that ``init`` wrote: vehicles that differ in all that a vehicle may have."""
LOGO = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 120 60"><path d="M10 50L60 10L110 50Z"/></svg>'
PROCEDURE = """id: dock-roll
title: Trailer rolls off the dock
tile: Dock roll
symbol: breakdown
group: stopped
position: 60
family: docks
code: DCK1
version: "1.0"
effective: 2026-11-27
next_review: 2027-11-27
review: {author: Sam Ridge}
cues: [The trailer creeps away from the dock while it is loaded.]
stopped: After you have stopped the loading, start here.
blocks:
  - id: hold
    title: Hold the trailer
    steps:
      - id: clear
        do: Call everyone out of the trailer and off the dock plate.
        why: A trailer that moves tips the plate and whoever stands on it.
        source: [carrier-policy]
      - id: chock
        do: Chock the wheels of both trailers on both sides.
        why: Chocks hold where a brake leaks down.
        when: [two-trailers]
        source: [carrier-policy]
finished: The trailer stands chocked against the dock, and nobody is inside.
local_rule: The rules of the yard you are in govern how trailers are held.
changes: [{version: "1.0", day: 2026-11-27, what: First edition.}]
"""
TEXT = """texts:
  - at: fog/by_heart/low-beams/do
    was: Turn the low beams on.
    text: Put the low beams on.
    source: [carrier-policy]
"""


def test_a_carriers_own_edition_is_built_with_cards_and_verified(
    python: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Own name, three vehicles, condition, procedure, text and logo, over what it takes of the library."""
    outside = tmp_path_factory.mktemp("outside")
    run(python, outside, "init", "our-carrier")
    content = outside / "our-carrier" / "content"
    folders = ("procedures", "lessons", "scenes", "scenarios")
    files = (file for folder in folders for file in (PROJECT / "content" / folder).glob("*.yml"))
    left = ["ways_out", *(f"{one.parent.name}/{one.stem}" for one in files if one.stem != "fog")]
    (content / "procedures").mkdir()
    (content / "procedures/dock-roll.yml").write_text(PROCEDURE, encoding="utf-8")
    begun = (content / "fleet.yml").read_text(encoding="utf-8")
    assert begun.count("\ncarrier: Our carrier\n") == 1
    fleet = begun.replace("carrier: Our carrier", "carrier: Ridge Line Haulage") + FLEET
    (content / "fleet.yml").write_text(fleet, encoding="utf-8")
    (content / "logo.svg").write_text(LOGO, encoding="utf-8")
    (content / "library.yml").write_text(f"leave_out: {json.dumps(left)}\n{TEXT}", encoding="utf-8")
    inside = outside / "our-carrier"
    assert "No faults; " in run(python, inside, "check")
    run(python, inside, "build", "--quiet")
    assert "is whole" in run(python, inside, "verify", "site")
    site = inside / "site"
    assert {"all", "doubles", "box-truck", "tanker"} == {
        file.name.removeprefix("half-letter-").removesuffix("-cut-letter.pdf")
        for file in (site / "cards").glob("half-letter-*-cut-letter.pdf")
    }
    with pypdfium2.PdfDocument(site / "cards/half-letter-all.pdf") as cards:
        printed = " ".join(" ".join(page.get_textpage().get_text_range() for page in cards).split())
    cab = (site / "cab.html").read_text(encoding="utf-8")
    page = (site / "procedures/fog.html").read_text(encoding="utf-8")
    for shown in (printed, cab, page):
        assert "Put the low beams on." in shown
        assert "Turn the low beams on." not in shown
        assert "Ridge Line Haulage" in shown
    for shown in (printed, cab):
        assert "wheels of both trailers on both sides." in shown
    box_truck = (site / "vehicles/box-truck/cab.html").read_text(encoding="utf-8")
    assert "off the dock plate" in box_truck
    assert LOGO == (site / "assets/icons/icon.svg").read_text(encoding="utf-8").strip()


def test_nothing_of_the_demo_carrier_is_in_an_edition_that_is_not_the_demo(
    python: Path, project: Path
) -> None:
    """Runs after the build above, in the same project. What that leaves out is read as content."""
    if not (project / "site").is_dir():
        build_most(python, project)
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
    assert len(texts) > 60
    content = (file for file in (PROJECT / "content").rglob("*") if file.suffix in (".yml", ".po"))
    texts |= {file: file.read_text(encoding="utf-8") for file in content if file.name != "fleet.yml"}
    assert len(texts) > 160
    assert [] == [(file.name, name) for file, text in texts.items() for name in names if name in text]
    assert any("Our carrier" in text for text in texts.values())
