"""A build is published whole or not at all."""

from __future__ import annotations

import datetime as dt
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from forty_paces.outputs.edition import publication
from forty_paces.outputs.edition.verification import verify


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


class TestPrintedSets:
    """What `cards` and `worksheet` write."""

    def put(self, tmp_path: Path, edition: str, *names: str) -> Path:
        about = {"edition": edition, "date": "2026-11-25", "day": "25 November 2026"}
        files = ((name, name.encode()) for name in names)
        publication.publish_set(tmp_path / "print", files, about, dt.date(2026, 11, 25))
        return tmp_path / "print"

    def test_the_folder_is_sealed_and_nothing_is_left_beside_it(self, tmp_path: Path) -> None:
        out = self.put(tmp_path, "aaaaaaaa", "a5/tanker.html", "a5/tanker.pdf")
        assert (True, 3) == (verify(out).whole, verify(out).files)
        assert [out] == list(tmp_path.iterdir())

    def test_files_of_the_same_edition_are_gathered_and_those_of_another_go(self, tmp_path: Path) -> None:
        self.put(tmp_path, "aaaaaaaa", "coach.html", "tanker.html")
        out = self.put(tmp_path, "aaaaaaaa", "tanker.html", "van.html")
        assert {"coach.html", "tanker.html", "van.html", "edition.json"} == {f.name for f in out.iterdir()}
        assert verify(out).whole
        out = self.put(tmp_path, "bbbbbbbb", "van.html")
        assert {"van.html", "edition.json"} == {f.name for f in out.iterdir()}

    def test_a_folder_that_was_changed_by_hand_is_replaced_and_not_gathered(self, tmp_path: Path) -> None:
        out = self.put(tmp_path, "aaaaaaaa", "coach.html")
        (out / "coach.html").write_text("changed", encoding="utf-8")
        out = self.put(tmp_path, "aaaaaaaa", "van.html")
        assert {"van.html", "edition.json"} == {f.name for f in out.iterdir()}

    def test_a_folder_with_files_of_somebody_is_refused_and_keeps_them(self, tmp_path: Path) -> None:
        (tmp_path / "print").mkdir()
        (tmp_path / "print" / "letter.txt").write_text("mine", encoding="utf-8")
        with pytest.raises(FileExistsError, match="holds files that are no edition"):
            self.put(tmp_path, "aaaaaaaa", "van.html")
        assert ["letter.txt"] == [f.name for f in (tmp_path / "print").iterdir()]

    def test_stopped_in_the_middle_the_last_set_stands_whole(self, tmp_path: Path) -> None:
        out = self.put(tmp_path, "aaaaaaaa", "coach.html")

        def failing() -> Iterator[tuple[str, bytes]]:
            yield "van.html", b"van"
            raise KeyboardInterrupt

        about = {"edition": "aaaaaaaa", "date": "2026-11-25", "day": "25 November 2026"}
        with pytest.raises(KeyboardInterrupt):
            publication.publish_set(out, failing(), about, dt.date(2026, 11, 25))
        assert (True, [out]) == (verify(out).whole, list(tmp_path.iterdir()))
        assert {"coach.html", "edition.json"} == {f.name for f in out.iterdir()}
