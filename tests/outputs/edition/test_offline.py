"""What makes a site stay on a tablet: the manifest, the status, the record of the edition."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import json
from pathlib import Path

import pytest
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import SignOff
from forty_paces.authoring.texts import texts_by_id
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.edition_status import review_day, status_script
from forty_paces.outputs.edition.edition_file import CannotSeal
from forty_paces.outputs.edition.offline import (
    artifacts,
    edition_metadata,
    seal_site,
)
from forty_paces.outputs.edition.verification import verify

from tests.outputs.hostile import HOSTILE, poisoned

PROJECT = Path(__file__).resolve().parents[3]


def context_of(library: Library) -> BuildContext:
    return BuildContext(library, PROJECT / "site_overrides")


@pytest.fixture(scope="module")
def made(library: Library) -> dict[str, bytes]:
    return {artifact.path: artifact.data for artifact in artifacts(context_of(library))}


class TestArtifacts:
    def test_the_manifest_has_what_browsers_ask_of_an_installable_page(self, made: dict[str, bytes]) -> None:
        # W3C web app manifest; Chromium's criteria: name, start page, display, icons of 192 and 512 px.
        manifest = json.loads(made["manifest.webmanifest"])
        assert manifest["start_url"] == "./cab.html"
        assert manifest["scope"] == "./"
        assert manifest["display"] == "standalone"
        assert "Larkspur Basin Freight" in manifest["name"]
        sizes = {(icon["sizes"], icon.get("purpose")) for icon in manifest["icons"]}
        assert {("192x192", "any"), ("512x512", "any"), ("512x512", "maskable")} <= sizes
        assert {icon["src"] for icon in manifest["icons"]} <= set(made)

    def test_nothing_in_the_manifest_leaves_the_folder(self, made: dict[str, bytes]) -> None:
        manifest = json.loads(made["manifest.webmanifest"])
        paths = [
            manifest["id"],
            manifest["start_url"],
            manifest["scope"],
            *(i["src"] for i in manifest["icons"]),
        ]
        assert not any(path.startswith("/") or ".." in path or ":" in path for path in paths)

    def test_the_worker_comes_unsealed_so_that_a_preview_installs_nothing(
        self, made: dict[str, bytes]
    ) -> None:
        assert b"const EDITION = null;" in made["sw.js"]

    def test_the_status_script_knows_its_edition(self, library: Library) -> None:
        first = status_script(context_of(library)).split("\n", 1)[0]
        metadata = json.loads(first.removeprefix("window.fortyPacesEdition = ").rstrip(";"))
        assert metadata["id"] == library.edition.id
        assert metadata["date"] == library.edition.date.isoformat()
        assert metadata["reviewBy"] == review_day(library).isoformat()


class TestRecord:
    def test_each_procedure_stands_with_its_version_and_review_date(self, library: Library) -> None:
        shown = [(p["id"], p["version"], p["next_review"]) for p in edition_metadata(library)["procedures"]]
        assert shown == [(p.id, p.version, p.next_review.isoformat()) for p in library.procedures]

    def test_a_review_that_did_not_happen_is_not_claimed(self, library: Library) -> None:
        for procedure in edition_metadata(library)["procedures"]:
            assert procedure["review"] == {"technical": None, "user": None, "safety_lead": None}

    def test_a_signature_that_was_given_is_reported(self, library: Library) -> None:
        signed = SignOff(name="Odalys Brandvold, safety lead", day=dt.date(2026, 12, 1))
        first = library.procedures[0]
        review = first.review.model_copy(update={"safety_lead": signed})
        changed = (first.model_copy(update={"review": review}), *library.procedures[1:])
        metadata = edition_metadata(dataclasses.replace(library, procedures=changed))["procedures"][0][
            "review"
        ]
        assert metadata["safety_lead"] == {"name": "Odalys Brandvold, safety lead", "day": "2026-12-01"}

    def test_every_string_has_twelve_digits_of_its_sha256(self, library: Library) -> None:
        expected = {
            key: hashlib.sha256(text.encode()).hexdigest()[:12]
            for procedure in library.procedures
            for key, text in texts_by_id(procedure).items()
        }
        assert edition_metadata(library)["strings"] == expected

    def test_one_changed_word_changes_one_hash(self, library: Library) -> None:
        first = library.procedures[0]
        changed = (first.model_copy(update={"finished": first.finished + " Now."}), *library.procedures[1:])
        before, now = (
            edition_metadata(library)["strings"],
            edition_metadata(dataclasses.replace(library, procedures=changed))["strings"],
        )
        assert {key for key in before if before[key] != now[key]} == {f"{first.id}/finished"}

    def test_the_edition_is_due_with_the_first_of_its_procedures(self, library: Library) -> None:
        early = library.procedures[3].model_copy(update={"next_review": dt.date(2027, 1, 31)})
        changed = (*library.procedures[:3], early, *library.procedures[4:])
        assert review_day(dataclasses.replace(library, procedures=changed)) == dt.date(2027, 1, 31)

    def test_the_edition_is_due_when_a_watched_source_is(self, library: Library) -> None:
        watched = next(source for source in library.sources.values() if source.watch is not None)
        looked = watched.watch.model_copy(update={"looked": dt.date(2026, 6, 30)})
        sources = {**library.sources, watched.id: watched.model_copy(update={"watch": looked})}
        assert review_day(dataclasses.replace(library, sources=sources)) == dt.date(2026, 12, 30)


class TestFinish:
    def write(self, made: dict[str, bytes], folder: Path) -> None:
        for path, data in {**made, "index.html": b"<p>start</p>"}.items():
            (folder / path).parent.mkdir(parents=True, exist_ok=True)
            (folder / path).write_bytes(data)

    def test_a_finished_folder_is_whole(
        self, made: dict[str, bytes], library: Library, tmp_path: Path
    ) -> None:
        self.write(made, tmp_path)
        seal_site(tmp_path, library)
        verdict = verify(tmp_path)
        assert verdict.whole
        assert (verdict.edition, verdict.date) == (library.edition.id, library.edition.date.isoformat())

    def test_a_file_written_afterwards_is_outside_the_edition(
        self, made: dict[str, bytes], library: Library, tmp_path: Path
    ) -> None:
        self.write(made, tmp_path)
        seal_site(tmp_path, library)
        (tmp_path / "late.html").write_text("late", encoding="utf-8")
        assert [difference.path for difference in verify(tmp_path).differences] == ["late.html"]

    def test_without_the_worker_nothing_is_finished(self, library: Library, tmp_path: Path) -> None:
        with pytest.raises(CannotSeal):
            seal_site(tmp_path, library)
        assert list(tmp_path.iterdir()) == []

    def test_hostile_texts_stay_inside_their_quotes(self, library: Library, tmp_path: Path) -> None:
        spoiled = poisoned(library)
        self.write({artifact.path: artifact.data for artifact in artifacts(context_of(spoiled))}, tmp_path)
        seal_site(tmp_path, spoiled)
        assert verify(tmp_path).whole
        assert HOSTILE in json.loads((tmp_path / "edition.json").read_text(encoding="utf-8"))["carrier"]
