"""``fortypaces editions``: a folder for each vehicle, built once, in parallel, in shares."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from click.testing import CliRunner, Result
from forty_paces.cli import main
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.edition import vehicles
from forty_paces.outputs.edition.signing import new_key
from forty_paces.outputs.edition.vehicles import Job, JobResult, State, outcomes, part_of
from forty_paces.outputs.edition.verification import Signed, verify
from forty_paces.outputs.paper import layout_cache
from hypothesis import given
from hypothesis import strategies as st

from tests.projects import small_project

pytestmark = pytest.mark.long  # whole builds, or every card laid out

FLEET = ["coach", "straight-truck", "tanker", "tractor-trailer"]


def run(project: Path, *options: str) -> Result:
    """In this process, one vehicle after the other, without PDF."""
    given = ["editions", "--project", str(project), "--out", str(project / "editions"), "--jobs", "1"]
    return CliRunner().invoke(main, [*given, "--no-pdf", *options])


def contents(folder: Path) -> dict[str, tuple[bytes, int]]:
    """Every file below a folder, with its time."""
    return {
        path.relative_to(folder).as_posix(): (path.read_bytes(), path.stat().st_mtime_ns)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def made_anew(project: Path, before: dict[str, int]) -> list[str]:
    """The vehicles whose folder differs from the one before."""
    return [name for name, number in before.items() if (project / "editions" / name).stat().st_ino != number]


def numbers(project: Path) -> dict[str, int]:
    return {name: (project / "editions" / name).stat().st_ino for name in FLEET}


def edit(file: Path, old: str, new: str) -> None:
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


@pytest.fixture(scope="module")
def pristine(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A small project with the editions of its four vehicles."""
    folder = small_project(tmp_path_factory.mktemp("fleet") / "project", linked=False)
    done = run(folder)
    assert done.exit_code == 0, done.output
    assert done.output.endswith("editions: 4 built.\n")
    return folder


@pytest.fixture
def project(pristine: Path, tmp_path: Path) -> Path:
    """A copy of it that a test may change."""
    return shutil.copytree(pristine, tmp_path / "project")


def test_every_vehicle_has_a_whole_edition_of_its_own(pristine: Path) -> None:
    assert FLEET == sorted(path.name for path in (pristine / "editions").iterdir())
    ids = set()
    for name in FLEET:
        verdict = verify(pristine / "editions" / name)
        assert verdict.whole, verdict.differences
        ids.add(verdict.edition)
    assert len(ids) == len(FLEET)


def test_each_folder_names_the_work_of_others_in_it(pristine: Path) -> None:
    folder = pristine / "editions/coach"
    bill = json.loads((folder / "sbom.cdx.json").read_text(encoding="utf-8"))
    assert verify(folder).edition == bill["metadata"]["component"]["version"]
    shipped = [one for one in bill["components"] if one["scope"] == "required"]
    assert ["Atkinson Hyperlegible"] == [one["name"] for one in shipped]
    for one in shipped[0]["properties"]:
        assert list(folder.glob(one["value"])) or one["value"].endswith(".pdf"), one


def test_signed_folders_are_the_carriers_and_a_used_number_is_refused(project: Path, tmp_path: Path) -> None:
    public = new_key(tmp_path / "yard.key")
    words = (
        *("--sign", str(tmp_path / "yard.key")),
        *("--vehicle", "coach", "--vehicle", "tanker"),
    )
    done = run(project, *words)
    assert 2 == done.output.count("needs a number that rises: add edition_number to fleet.yml"), done.output
    fleet = project / "content/fleet.yml"
    edit(fleet, "rules: us", "rules: us\nedition_number: 7\nedition_expires: 2099-01-01")
    done = run(project, *words)
    assert (0, True) == (done.exit_code, done.output.endswith("editions: 2 built.\n")), done.output
    for name in ("coach", "tanker"):
        folder = project / "editions" / name
        assert (Signed.VERIFIED, 7) == ((result := verify(folder, key=public)).signed, result.number)
        assert f"signed, key {public.name}" in (folder / "index.html").read_text(encoding="utf-8")
    other = new_key(tmp_path / "other.key")
    assert Signed.REFUSED is verify(project / "editions/coach", key=other).signed
    assert run(project, *words).output.endswith("editions: 2 unchanged.\n")

    edit(fleet, 'unit: "310"', 'unit: "311"')
    done = run(project, *words)
    assert 1 == done.exit_code
    assert "tanker holds a signed edition with the number 7, and this one has 7" in done.output
    assert "unit 310" in (project / "editions/tanker/cab.html").read_text(encoding="utf-8")
    edit(fleet, "edition_number: 7", "edition_number: 8")
    assert run(project, *words).output.endswith("editions: 2 built.\n")
    assert not [one for one in project.rglob("*") if one.is_file() and b"PRIVATE KEY" in one.read_bytes()]


@pytest.mark.parametrize("signed", [False, True])
def test_only_a_signed_folder_takes_no_layout_of_an_earlier_build(
    project: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, signed: bool
) -> None:
    monkeypatch.delenv(layout_cache.OFF, raising=False)
    seen = []

    def noted(*_: object, **__: object) -> Iterator[Artifact]:
        seen.append(layout_cache.in_use())
        return iter(())

    monkeypatch.setattr(vehicles, "artifacts", noted)
    edit(
        project / "content/fleet.yml",
        "rules: us",
        "rules: us\nedition_number: 7\nedition_expires: 2099-01-01",
    )
    new_key(tmp_path / "yard.key")
    run(project, "--vehicle", "coach", *(("--sign", str(tmp_path / "yard.key")) if signed else ()))
    assert seen == [not signed]


def test_verify_reads_the_folder_of_a_vehicle(pristine: Path) -> None:
    done = CliRunner().invoke(main, ["verify", str(pristine / "editions/tanker")])
    assert (0, True) == (done.exit_code, "is whole" in done.output)


def test_the_first_page_leads_to_everything_and_to_nothing_outside(pristine: Path) -> None:
    folder = pristine / "editions/tanker"
    soup = BeautifulSoup((folder / "index.html").read_bytes(), "html.parser")
    links = [link["href"] for link in soup.find_all("a")]
    assert [] == [link for link in links if ".." in link or not (folder / link).is_file()]
    shown = {path for path in contents(folder) if path.endswith((".html", ".txt")) and path != "index.html"}
    assert shown == set(links)
    assert "Tanker with placards, unit 310" in soup.get_text()


def test_the_cab_file_finds_the_worker_beside_it(pristine: Path) -> None:
    folder = pristine / "editions/coach"
    page = BeautifulSoup((folder / "cab.html").read_bytes(), "html.parser").html
    assert ("./", "coach") == (page["data-root"], page["data-vehicle"])
    assert (folder / "sw.js").is_file()
    assert verify(folder).edition in page.get_text()


def test_unchanged_editions_are_left_alone(project: Path) -> None:
    before = numbers(project)
    done = run(project)
    assert done.output.endswith("editions: 4 unchanged.\n")
    assert [] == made_anew(project, before)


def test_a_changed_vehicle_is_built_anew_and_no_other(project: Path) -> None:
    before = numbers(project)
    edit(project / "content/fleet.yml", 'unit: "310"', 'unit: "311"')
    done = run(project)
    assert done.output.endswith("editions: 1 built, 3 unchanged.\n")
    assert ["tanker"] == made_anew(project, before)
    assert "unit 311" in (project / "editions/tanker/cab.html").read_text(encoding="utf-8")


def test_a_new_vehicle_leaves_the_others_as_they_are(project: Path) -> None:
    before = numbers(project)
    edit(
        project / "content/fleet.yml", "vehicles:\n", "vehicles:\n  - id: spare\n    title: The spare truck\n"
    )
    assert run(project).output.endswith("editions: 1 built, 4 unchanged.\n")
    assert [] == made_anew(project, before)


def test_changed_words_are_in_every_edition(project: Path) -> None:
    before = numbers(project)
    edit(project / "content/fleet.yml", "number: 555-0110", "number: 555-0119")
    assert run(project).output.endswith("editions: 4 built.\n")
    assert FLEET == made_anew(project, before)


@pytest.mark.parametrize("harm", ["changed", "missing", "extra"])
def test_a_folder_that_is_not_whole_is_made_anew(project: Path, harm: str) -> None:
    file = project / "editions/coach/cards/wallet.html"
    if harm == "changed":
        file.write_bytes(file.read_bytes() + b" ")
    elif harm == "missing":
        file.unlink()
    else:
        file.with_name("note.html").write_text("x")
    assert run(project).output.endswith("editions: 1 built, 3 unchanged.\n")
    assert verify(project / "editions/coach").whole


def test_side_by_side_gives_what_one_after_the_other_gives(project: Path) -> None:
    done = run(project, "--out", str(project / "side"), "--jobs", "2")
    assert done.exit_code == 0, done.output
    assert contents(project / "editions") == contents(project / "side")


def test_the_parts_of_several_machines_come_to_the_whole(project: Path) -> None:
    for number in (1, 2, 3):
        done = run(project, "--out", str(project / f"part-{number}"), "--part", f"{number}/3")
        assert done.exit_code == 0, done.output
    parts = {number: contents(project / f"part-{number}") for number in (1, 2, 3)}
    assert [2, 1, 1] == [len({path.split("/")[0] for path in part}) for part in parts.values()]
    assert contents(project / "editions") == {**parts[1], **parts[2], **parts[3]}


@given(st.lists(st.text(min_size=1), unique=True), st.integers(1, 40))
def test_every_vehicle_falls_to_exactly_one_part(vehicles: list[str], count: int) -> None:
    parts = [part_of(vehicles, number, count) for number in range(1, count + 1)]
    assert sorted(vehicles) == sorted(name for part in parts for name in part)
    assert max(map(len, parts)) - min(map(len, parts)) <= 1
    assert parts == [part_of(vehicles[::-1], number, count) for number in range(1, count + 1)]


def test_what_is_wrong_with_one_vehicle_keeps_no_other_waiting(project: Path) -> None:
    before = numbers(project)
    old = contents(project / "editions/tractor-trailer")
    fleet = project / "content/fleet.yml"
    edit(fleet, 'title: Tractor and trailer\n    unit: "204"', f"title: {'Longtractor' * 12}")
    edit(fleet, 'unit: "31"', 'unit: "32"')
    done = run(project)
    assert done.exit_code == 1
    assert "tractor-trailer: content/" in done.output
    assert "fix:" in done.output
    assert done.output.count("nothing was written") == 1
    assert "editions: 1 built, 2 unchanged, 1 failed.\n" in done.output
    assert ["coach"] == made_anew(project, before)
    assert old == contents(project / "editions/tractor-trailer")


def test_a_folder_that_cannot_be_written_is_reported(project: Path) -> None:
    shutil.rmtree(project / "editions/coach")
    (project / "editions/coach").write_text("in the way")
    done = run(project)
    assert done.exit_code == 1
    assert "coach: Not a directory" in done.output
    assert "in the way" == (project / "editions/coach").read_text()
    assert "Traceback" not in done.output
    assert "3 unchanged" in done.output


def test_a_vehicle_that_left_the_fleet_is_reported_and_not_removed(project: Path) -> None:
    fleet = project / "content/fleet.yml"
    text = fleet.read_text(encoding="utf-8")
    start = text.index("  - id: coach")
    fleet.write_text(text[:start] + text[text.index("  - id: tanker") :], encoding="utf-8")
    done = run(project)
    assert done.exit_code == 0
    assert "coach: the fleet has no such vehicle any more; remove it." in done.output
    assert verify(project / "editions/coach").whole


def test_only_the_vehicles_asked_for_are_built(project: Path) -> None:
    done = run(project, "--vehicle", "tanker", "--vehicle", "coach", "--out", str(project / "two"))
    assert done.exit_code == 0
    assert ["coach", "tanker"] == sorted(path.name for path in (project / "two").iterdir())


def test_what_a_killed_run_left_is_cleared_and_what_it_moved_is_brought_back(project: Path) -> None:
    out = project / "editions"
    stage = out / ".site-stage-dead"
    stage.mkdir()
    stage.with_name(stage.name + ".owner").write_text("999999999")
    retired = out / ".site-retired-dead"
    retired.mkdir()
    (out / "coach").rename(retired / "coach")
    assert run(project, "--vehicle", "tanker").exit_code == 0
    assert (retired / "coach/cab.html").is_file(), "another vehicle's run leaves it where it is"
    assert run(project).output.endswith("editions: 4 unchanged.\n")
    assert FLEET == sorted(path.name for path in out.iterdir())


def test_pdf_is_made_and_its_absence_is_part_of_what_is_compared(project: Path) -> None:
    done = CliRunner().invoke(
        main,
        ["editions", "--project", str(project), "--out", str(project / "editions"), "--vehicle", "coach"],
    )
    assert done.exit_code == 0, done.output
    assert done.output.endswith("editions: 1 built.\n")
    folder = project / "editions/coach"
    found = [path for path in contents(folder) if path.endswith(".pdf")]
    assert ["cards/half-letter-cut-letter.pdf", "cards/wallet-fold-letter.pdf"] == found
    assert all((folder / path).read_bytes().startswith(b"%PDF-") for path in found)
    links = BeautifulSoup((folder / "index.html").read_bytes(), "html.parser").find_all("a")
    assert set(found) < {link["href"] for link in links}
    assert verify(folder).whole


@pytest.mark.parametrize("part", ["0/2", "3/2", "1", "1/", "/2", "a/b", "-1/2", "1/0", "1/2/3", "١/٢"])
def test_a_part_that_is_none_is_wrong_use(project: Path, part: str) -> None:
    done = run(project, f"--part={part}")
    assert done.exit_code == 2
    assert "is not a part such as 2/8" in done.output


def test_an_unknown_vehicle_is_wrong_use_and_the_nearest_is_named(project: Path) -> None:
    done = run(project, "--vehicle", "tankr")
    assert done.exit_code == 2
    assert 'fleet.yml has no vehicle "tankr"' in done.output
    assert "closest: tanker" in done.output


def test_faulty_content_stops_all_and_nothing_is_written(project: Path) -> None:
    edit(project / "content/procedures/hydroplaning.yml", "version:", "verison:")
    before = contents(project / "editions")
    done = run(project)
    assert done.exit_code == 1
    assert "content/procedures/hydroplaning.yml" in done.output
    assert before == contents(project / "editions")


def test_content_that_changes_meanwhile_is_refused(project: Path) -> None:
    job = Job(project, project / "site_overrides", project / "out", "coach", "another content", False)
    (job_result,) = outcomes([job], 1)
    assert JobResult("coach", State.FAILED, "the content was changed meanwhile: start again") == job_result


class Deadly:
    """A job that ends the process that runs it."""

    vehicle = "coach"

    def __reduce__(self) -> tuple[object, tuple[int]]:
        return os._exit, (3,)


def test_a_process_that_is_ended_from_outside_is_reported_for_every_job() -> None:
    found = list(outcomes([Deadly(), Deadly()], 2))
    assert [State.FAILED] * 2 == [one.state for one in found]
    assert "try again with fewer --jobs" in found[0].words


def test_the_record_tells_whose_edition_it_is(pristine: Path) -> None:
    record = json.loads((pristine / "editions/tanker/edition.json").read_text(encoding="utf-8"))
    assert {"id": "tanker", "title": "Tanker with placards"} == record["vehicle"]
