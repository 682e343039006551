"""The seal of an edition and the check of a copy, on a small folder made by hand."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from forty_paces.commands.verify import verify as verify_command
from forty_paces.outputs.edition.edition_file import (
    CannotSeal,
    DifferenceKind,
    hashes_below,
    list_key,
    listed_in,
    remove_file_list,
    seal,
    verify,
)

PROJECT = Path(__file__).resolve().parents[3]
WORKER_CODE = (PROJECT / "site_overrides/assets/js/sw.js").read_text(encoding="utf-8")
DAY = dt.date(2026, 11, 25)
ABOUT = {
    "edition": "1a2b3c4d",
    "date": "2026-11-25",
    "day": "25 November 2026",
    "carrier": "Larkspur Basin Freight",
}


@pytest.fixture
def edition(tmp_path: Path) -> Path:
    """A sealed folder of five files, one in a folder, one empty, one not ASCII."""
    site = tmp_path / "site"
    (site / "assets").mkdir(parents=True)
    (site / "index.html").write_text("<p>start</p>", encoding="utf-8")
    (site / "assets" / "look.css").write_text("p { color: black }", encoding="utf-8")
    (site / "assets" / "Ünit 7.svg").write_text("<svg/>", encoding="utf-8")
    (site / "empty.txt").touch()
    (site / "sw.js").write_text(WORKER_CODE, encoding="utf-8", newline="\n")
    seal(site, ABOUT, DAY)
    return site


def kinds(site: Path) -> list[tuple[str, DifferenceKind]]:
    return [(d.path, d.kind) for d in verify(site).differences]


class TestSealing:
    def test_the_record_holds_the_sha256_of_every_other_file(self, edition: Path) -> None:
        record = json.loads((edition / "edition.json").read_text(encoding="utf-8"))
        expected = {
            path: hashlib.sha256((edition / path).read_bytes()).hexdigest()
            for path in ("assets/look.css", "assets/Ünit 7.svg", "empty.txt", "index.html")
        }
        assert expected == record["files"]

    def test_the_worker_lists_every_file_and_the_record_itself(self, edition: Path) -> None:
        listed = dict(listed_in((edition / "sw.js").read_text(encoding="utf-8"))["files"])
        assert hashlib.sha256((edition / "edition.json").read_bytes()).hexdigest() == listed.pop(
            "edition.json"
        )
        assert hashes_below(edition) == listed

    def test_the_workers_code_is_the_overrides_code_with_only_the_list_put_in(self, edition: Path) -> None:
        assert remove_file_list((edition / "sw.js").read_text(encoding="utf-8")) == WORKER_CODE

    def test_sealing_twice_changes_no_byte(self, edition: Path) -> None:
        before = {file: file.read_bytes() for file in sorted(edition.rglob("*")) if file.is_file()}
        seal(edition, ABOUT, DAY)
        assert before == {file: file.read_bytes() for file in sorted(edition.rglob("*")) if file.is_file()}

    def test_all_files_of_an_edition_carry_one_time_and_another_edition_another(self, edition: Path) -> None:
        first = {file.stat().st_mtime for file in edition.rglob("*") if file.is_file()}
        (edition / "index.html").write_text("<p>changed</p>", encoding="utf-8")
        seal(edition, ABOUT, DAY)
        second = {file.stat().st_mtime for file in edition.rglob("*") if file.is_file()}
        assert 1 == len(first) == len(second)
        assert first != second

    def test_a_folder_without_the_worker_cannot_be_sealed(self, tmp_path: Path) -> None:
        with pytest.raises(CannotSeal, match=r"sw\.js is missing"):
            seal(tmp_path, ABOUT, DAY)

    def test_a_worker_without_a_place_for_the_list_cannot_be_sealed(self, tmp_path: Path) -> None:
        (tmp_path / "sw.js").write_text("self.addEventListener('fetch', () => {});\n", encoding="utf-8")
        with pytest.raises(CannotSeal, match="no place for the list"):
            seal(tmp_path, ABOUT, DAY)

    def test_the_same_list_has_the_same_key_in_any_order(self) -> None:
        assert list_key({"a": "1", "b": "2"}) == list_key({"b": "2", "a": "1"})
        assert list_key({"a": "1", "b": "2"}) != list_key({"a": "2", "b": "1"})


class TestVerifying:
    def test_a_fresh_edition_is_whole(self, edition: Path) -> None:
        verdict = verify(edition)
        assert verdict.whole
        assert (verdict.edition, verdict.date, verdict.files) == ("1a2b3c4d", "2026-11-25", 6)

    def test_a_copy_is_whole(self, edition: Path, tmp_path: Path) -> None:
        shutil.copytree(edition, tmp_path / "stick")
        assert verify(tmp_path / "stick").whole

    @pytest.mark.parametrize("path", ["assets/look.css", "assets/Ünit 7.svg", "index.html"])
    def test_one_turned_bit_is_found(self, edition: Path, path: str) -> None:
        data = bytearray((edition / path).read_bytes())
        data[len(data) // 2] ^= 1
        (edition / path).write_bytes(data)
        assert [(path, DifferenceKind.CHANGED)] == kinds(edition)

    def test_every_single_turned_bit_of_the_worker_is_found(self, edition: Path) -> None:
        whole = (edition / "sw.js").read_bytes()
        for at in range(0, len(whole), 37):
            (edition / "sw.js").write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
            assert not verify(edition).whole, at

    def test_every_single_turned_bit_of_the_record_is_found(self, edition: Path) -> None:
        whole = (edition / "edition.json").read_bytes()
        for at in range(len(whole)):
            (edition / "edition.json").write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
            assert not verify(edition).whole, at

    def test_a_missing_file_is_found(self, edition: Path) -> None:
        (edition / "empty.txt").unlink()
        assert kinds(edition) == [("empty.txt", DifferenceKind.MISSING)]

    def test_an_extra_file_is_found(self, edition: Path) -> None:
        (edition / "assets" / "stray.html").write_text("stray", encoding="utf-8")
        assert kinds(edition) == [("assets/stray.html", DifferenceKind.EXTRA)]

    def test_a_renamed_file_is_found_with_its_new_name(self, edition: Path) -> None:
        (edition / "index.html").rename(edition / "home.html")
        (difference,) = verify(edition).differences
        assert (difference.path, difference.kind, difference.now) == (
            "index.html",
            DifferenceKind.RENAMED,
            "home.html",
        )

    def test_a_missing_worker_is_found(self, edition: Path) -> None:
        (edition / "sw.js").unlink()
        assert kinds(edition) == [("sw.js", DifferenceKind.MISSING)]

    def test_a_worker_with_windows_line_ends_is_found(self, edition: Path) -> None:
        text = (edition / "sw.js").read_bytes().replace(b"\n", b"\r\n")
        (edition / "sw.js").write_bytes(text)
        assert kinds(edition) == [("sw.js", DifferenceKind.CHANGED)]

    def test_the_record_of_another_edition_is_found(self, edition: Path, tmp_path: Path) -> None:
        other = tmp_path / "other"
        shutil.copytree(edition, other)
        (other / "index.html").write_text("<p>newer</p>", encoding="utf-8")
        seal(other, {**ABOUT, "edition": "ffffffff"}, DAY)
        shutil.copy(other / "edition.json", edition / "edition.json")
        assert {"index.html", "sw.js"} == {path for path, _ in kinds(edition)}

    @pytest.mark.parametrize("name", [".DS_Store", "Thumbs.db", "desktop.ini", "._index.html"])
    def test_what_systems_leave_behind_is_no_difference(self, edition: Path, name: str) -> None:
        (edition / "assets" / name).write_bytes(b"left")
        assert verify(edition).whole

    @pytest.mark.parametrize(
        ("text", "kind"),
        [
            ("", DifferenceKind.UNREADABLE),
            ("[]", DifferenceKind.UNREADABLE),
            ("{", DifferenceKind.UNREADABLE),
            ("[" * 100_000, DifferenceKind.UNREADABLE),
            ('{"format": 99}', DifferenceKind.UNREADABLE),
            (
                '{"format": 1, "edition": "a", "date": "b", "day": "c", "worker": {}, "files": []}',
                DifferenceKind.UNREADABLE,
            ),
            (
                '{"format": 1, "edition": "a", "date": "b", "day": "c", "worker": {}, "files": {"../x": ""}}',
                DifferenceKind.UNREADABLE,
            ),
        ],
    )
    def test_a_broken_record_is_a_finding_and_never_a_crash(
        self, edition: Path, text: str, kind: DifferenceKind
    ) -> None:
        (edition / "edition.json").write_text(text, encoding="utf-8")
        assert [("edition.json", kind)] == kinds(edition)

    def test_an_empty_folder_is_no_edition(self, tmp_path: Path) -> None:
        assert kinds(tmp_path) == [("edition.json", DifferenceKind.MISSING)]


class TestCommand:
    def test_a_whole_copy_exits_0_and_says_so(self, edition: Path) -> None:
        result = CliRunner().invoke(verify_command, [str(edition)])
        expected = "Edition 1a2b3c4d of 2026-11-25 is whole: 6 files, each as it was made.\n"
        assert (0, expected) == (result.exit_code, result.output)

    def test_the_record_itself_may_be_named(self, edition: Path) -> None:
        assert CliRunner().invoke(verify_command, [str(edition / "edition.json")]).exit_code == 0

    def test_a_damaged_copy_exits_1_and_names_the_file(self, edition: Path) -> None:
        (edition / "index.html").write_text("<p>stort</p>", encoding="utf-8")
        result = CliRunner().invoke(verify_command, [str(edition)])
        expected = (
            "index.html: was changed since the edition was made\n"
            "1 finding: this is not edition 1a2b3c4d of 2026-11-25. Copy it again.\n"
        )
        assert (1, expected) == (result.exit_code, result.output)

    def test_json_is_the_only_thing_printed(self, edition: Path) -> None:
        (edition / "index.html").rename(edition / "home.html")
        result = CliRunner().invoke(verify_command, [str(edition), "--json"])
        finding = {
            "path": "index.html",
            "kind": "renamed",
            "words": "was renamed to home.html",
            "now": "home.html",
        }
        expected = {
            "edition": "1a2b3c4d",
            "date": "2026-11-25",
            "files": 6,
            "whole": False,
            "findings": [finding],
        }
        assert (1, expected) == (result.exit_code, json.loads(result.output))

    def test_a_folder_that_is_not_there_is_wrong_use(self, tmp_path: Path) -> None:
        assert CliRunner().invoke(verify_command, [str(tmp_path / "nowhere")]).exit_code == 2
