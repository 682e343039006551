"""A build is published whole or not at all."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from forty_paces.outputs.edition import publication


def _site(folder: Path, mark: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    for name in ("index.html", "a/b.html", "edition.json"):
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(mark)
    return folder


def _staged(tmp_path: Path) -> Path:
    """A new site, built and not yet published."""
    return _site(publication.open_stage(tmp_path / "site"), "new")


def _stands(tmp_path: Path) -> set[str]:
    """The marks of the site that stands there, with nothing beside it."""
    assert [path.name for path in tmp_path.iterdir()] == ["site"]
    return {path.read_text() for path in (tmp_path / "site").rglob("*.html")}


def test_the_first_build_takes_the_name(tmp_path: Path) -> None:
    publication.publish(_staged(tmp_path), tmp_path / "site")
    assert _stands(tmp_path) == {"new"}


def test_a_later_build_replaces_every_file(tmp_path: Path) -> None:
    _site(tmp_path / "site", "old")
    (tmp_path / "site" / "gone.html").write_text("old")
    publication.publish(_staged(tmp_path), tmp_path / "site")
    assert _stands(tmp_path) == {"new"}


def test_where_the_system_cannot_swap_two_renames_do_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(publication, "_exchange", lambda one, other: False)
    _site(tmp_path / "site", "old")
    publication.publish(_staged(tmp_path), tmp_path / "site")
    assert _stands(tmp_path) == {"new"}


def test_a_second_rename_that_fails_brings_the_old_site_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On Windows a file that somebody reads keeps its folder from being renamed."""
    monkeypatch.setattr(publication, "_exchange", lambda one, other: False)
    _site(tmp_path / "site", "old")
    stage = _staged(tmp_path)
    rename = Path.rename

    def refused(self: Path, target: Path) -> Path:
        if self == stage:
            raise PermissionError(13, "Permission denied", str(self))
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(PermissionError):
        publication.publish(stage, tmp_path / "site")
    publication.discard(stage)
    assert _stands(tmp_path) == {"old"}


def test_a_folder_that_holds_something_else_is_never_taken(tmp_path: Path) -> None:
    letters = tmp_path / "letters"
    letters.mkdir()
    publication.discard(publication.open_stage(letters))  # empty: nothing is lost
    (letters / "to-the-bank.txt").write_text("Dear bank,", encoding="utf-8")
    with pytest.raises(FileExistsError, match="no edition") as caught:
        publication.open_stage(letters)
    assert caught.value.filename == str(letters)
    assert [path.name for path in tmp_path.iterdir()] == ["letters"]
    assert [path.name for path in letters.iterdir()] == ["to-the-bank.txt"]


def test_a_kill_between_the_two_renames_is_repaired_by_the_next_build(tmp_path: Path) -> None:
    retired = tmp_path / (publication._RETIRED + "x") / "site"
    _site(retired, "old")
    publication.clear_leftovers(tmp_path / "site")
    assert _stands(tmp_path) == {"old"}


def test_a_discarded_stage_leaves_nothing(tmp_path: Path) -> None:
    _site(tmp_path / "site", "old")
    publication.discard(_staged(tmp_path))
    assert _stands(tmp_path) == {"old"}


def test_the_stage_of_a_dead_build_is_cleared_and_that_of_a_living_one_is_kept(tmp_path: Path) -> None:
    living = publication.open_stage(tmp_path / "site")
    dying = (
        "import sys, pathlib; from forty_paces.outputs.edition import publication as p; "
        "p.open_stage(pathlib.Path(sys.argv[1]))"
    )
    subprocess.run([sys.executable, "-c", dying, str(tmp_path / "site")], check=True)
    stages = {path for path in tmp_path.glob(publication._STAGE + "*") if path.is_dir()}
    assert len(stages) == 2, "the dead build left its stage behind"
    publication.clear_leftovers(tmp_path / "site")
    left = {path.name for path in tmp_path.iterdir()}
    assert left == {living.name, living.name + publication._OWNER}
