"""The README keeps its word: its pictures are there, its commands exist, its links lead somewhere."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from forty_paces.authoring.library import inspect_project
from forty_paces.cli import main
from PIL import Image

from tests.pictures.__main__ import FOLDER, LARGEST_BYTES, LOGO, PICTURES, YOURS, YOURS_FOLDER

PROJECT = Path(__file__).resolve().parents[2]
README = (PROJECT / "README.md").read_text(encoding="utf-8")
GUIDE = (PROJECT / "content/make-it-yours.md").read_text(encoding="utf-8")
DEVELOPERS = (PROJECT / "DEVELOPERS.md").read_text(encoding="utf-8")
SHOWN = re.findall(r"!\[[^\]]+\]\(([^)]+)\)|<img src=\"([^\"]+)\"[^>]*alt=\"[^\"]+\"", README)


def test_every_picture_shown_is_one_that_make_pictures_takes() -> None:
    shown = {one or other for one, other in SHOWN}
    assert {f"tests/pictures/{name}.png" for name in PICTURES} == shown


def test_every_picture_in_the_guide_for_carriers_is_one_that_make_pictures_takes() -> None:
    shown = re.findall(r"!\[[^\]]{20,}\]\(assets/pictures/([^)]+)\.png\)", GUIDE)
    assert list(YOURS) == shown
    assert {f"{name}.png" for name in YOURS} == {file.name for file in YOURS_FOLDER.iterdir()}


@pytest.mark.parametrize(
    ("folder", "name", "width_px"),
    [
        *((FOLDER, name, width_px) for name, (width_px, _) in PICTURES.items()),
        *((YOURS_FOLDER, name, width_px) for name, (width_px, _) in YOURS.items()),
    ],
)
def test_a_picture_is_as_wide_as_asked_and_small_enough_to_ship(
    folder: Path, name: str, width_px: int
) -> None:
    file = folder / f"{name}.png"
    assert file.stat().st_size <= LARGEST_BYTES
    with Image.open(file) as picture:
        assert width_px == picture.width


@pytest.mark.parametrize(
    "line", sorted(set(re.findall(r"^(?:\.\./)?tools/bin/fortypaces (.+)$", GUIDE, flags=re.M)))
)
def test_every_command_in_the_guide_is_read_without_complaint(
    line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_command(line, tmp_path, monkeypatch)


def test_the_guide_answers_as_check_does(tmp_path: Path) -> None:
    """The fleet, the looks and the changes that it shows are right as they stand."""
    folder = tmp_path / "carrier"
    assert 0 == CliRunner().invoke(main, ["init", str(folder)]).exit_code
    shown = re.findall(r"^```\n(.*?)^```$", GUIDE, flags=re.M | re.S)
    fleet = "".join(one for one in shown if one.startswith(("conditions:", "looks:")))
    changes = "".join(one for one in shown if one.startswith(("leave_out:", "texts:")))
    content = folder / "content"
    (content / "logo.svg").write_text(LOGO, encoding="utf-8")
    begun = (content / "fleet.yml").read_text(encoding="utf-8")
    (content / "fleet.yml").write_text(f"{begun}\n{fleet}", encoding="utf-8")
    (content / "library.yml").write_text(changes, encoding="utf-8")
    assert [] == [str(one) for one in inspect_project(folder).faults]


@pytest.mark.parametrize("line", re.findall(r"^    \.venv/bin/fortypaces (.+)$", README, flags=re.M))
def test_every_command_in_it_is_read_without_complaint(
    line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    read_command(line, tmp_path, monkeypatch)


def read_command(line: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Read a command without running it; a complaint is an exception."""
    (tmp_path / "site").mkdir()
    monkeypatch.chdir(tmp_path)
    verb, *arguments = shlex.split(line)
    command = main.get_command(click.Context(main), verb)
    assert command is not None, f"there is no {verb}"
    command.parse_args(click.Context(command, info_name=verb), arguments)


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_make_target_named_in_it_exists(text: str) -> None:
    targets = set(re.findall(r"^([a-z-]+):", (PROJECT / "Makefile").read_text(encoding="utf-8"), flags=re.M))
    named = set(re.findall(r"(?:`|^    )make ([a-z-]+)", text, flags=re.M))
    assert named, "the documents name their commands"
    assert set() == named - targets


@pytest.mark.parametrize(
    "document",
    [
        "README.md",
        "DEVELOPERS.md",
        "CONTRIBUTING.md",
        "SECURITY.md",
        "CHANGELOG.md",
        "tests/acceptance/README.md",
        "tests/bench/README.md",
    ],
)
def test_every_file_linked_from_a_document_exists(document: str) -> None:
    file = PROJECT / document
    linked = re.findall(r"\]\((?!https?:)([^)#]+)", file.read_text(encoding="utf-8"))
    assert [] == [name for name in linked if not (file.parent / name).exists()]
