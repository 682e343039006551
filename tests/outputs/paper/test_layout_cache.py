"""What is laid out is kept for the next build, and read back byte for byte, or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from forty_paces.outputs import site
from forty_paces.outputs.cards import pieces
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.edition import offline
from forty_paces.outputs.edition.signing import new_key, read_signing_key
from forty_paces.outputs.paper import layout_cache, pdf
from forty_paces.outputs.paper.pdf import Layout, LayoutJob, PageCountWrong
from forty_paces.plugin import build_site

from tests.projects import small_project

LEAF = '<html lang="en"><title>Leaf</title><h1>FLM1</h1><p>Get out.'
JOB = LayoutJob(LEAF, 1, whole_fonts=False)
"With the letters that it needs: to write all of a typeface takes three times as long as all else."


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty cache folder, in use."""
    monkeypatch.delenv(layout_cache.OFF, raising=False)
    monkeypatch.setattr(layout_cache, "_folder", lambda: tmp_path / "layouts")
    return tmp_path / "layouts"


def laid_out(jobs: Sequence[LayoutJob]) -> list[Layout]:
    return list(pdf.layouts(jobs, processes=1))


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[LayoutJob]:
    """The jobs that are really laid out."""
    done: list[LayoutJob] = []
    layout = pdf.layout

    def noting(job: LayoutJob) -> Layout:
        done.append(job)
        return layout(job)

    monkeypatch.setattr(pdf, "layout", noting)
    return done


def test_the_next_build_reads_back_the_same_bytes_and_headings_in_order(
    folder: Path, asked: list[LayoutJob]
) -> None:
    jobs = [replace(JOB, html=LEAF.replace("FLM1", code)) for code in ("FLM1", "FLM2", "FLM3")]
    first = laid_out(jobs)
    del asked[:]
    assert list(reversed(first)) == laid_out(jobs[::-1])
    assert [] == asked
    assert ["FLM1"] == [mark.label for mark in first[0].bookmarks[0]]


def test_what_is_laid_out_twice_is_the_same_as_what_was_kept(folder: Path) -> None:
    job = JOB
    laid_out([job])
    assert [pdf.layout(job)] == laid_out([job])


def test_a_document_that_is_complete_is_kept_apart_from_its_pieces(folder: Path) -> None:
    piece, whole = laid_out([JOB, replace(JOB, complete=True)])
    assert whole.data == pdf.to_pdf(LEAF)
    assert piece.data != whole.data


@pytest.mark.parametrize(
    "other",
    [
        replace(JOB, html=LEAF + "!"),
        replace(JOB, tagged=False),
        LayoutJob(LEAF, 1),
    ],
    ids=["words", "tags", "fonts"],
)
def test_another_job_is_laid_out(folder: Path, asked: list[LayoutJob], other: LayoutJob) -> None:
    laid_out([JOB])
    laid_out([other])
    assert [JOB, other] == asked


def test_another_version_of_pango_lays_everything_out_again(
    folder: Path, asked: list[LayoutJob], monkeypatch: pytest.MonkeyPatch
) -> None:
    laid_out([JOB])
    monkeypatch.setattr(pdf, "_engine_state", lambda: layout_cache.engine_state(1))
    laid_out([JOB])
    assert 2 == len(asked)


def test_every_package_of_the_engine_is_installed_and_counts() -> None:
    state = layout_cache.engine_state(1)
    assert [] == [name for name in layout_cache.ENGINE if f"\n{name} " not in state]


@pytest.mark.parametrize("cut", [0, 10, -1], ids=["empty", "its head cut", "its last byte lost"])
def test_a_damaged_file_is_laid_out_again(folder: Path, asked: list[LayoutJob], cut: int) -> None:
    whole = laid_out([JOB])
    [file] = folder.iterdir()
    file.write_bytes(file.read_bytes()[:cut])
    assert whole == laid_out([JOB])
    assert 2 == len(asked)


def test_what_overflows_is_not_kept(folder: Path) -> None:
    for _ in range(2):
        with pytest.raises(PageCountWrong):
            laid_out([replace(JOB, pages=2)])
    assert not folder.exists()


def test_without_a_folder_that_can_be_written_everything_is_laid_out(
    folder: Path, asked: list[LayoutJob]
) -> None:
    folder.write_text("a file stands where the folder would be")
    assert laid_out([JOB]) == laid_out([JOB])
    assert 2 == len(asked)


def test_a_switch_in_the_environment_leaves_the_folder_alone(
    folder: Path, asked: list[LayoutJob], monkeypatch: pytest.MonkeyPatch
) -> None:
    laid_out([JOB])
    monkeypatch.setenv(layout_cache.OFF, "1")
    laid_out([JOB, replace(JOB, html=LEAF + "!")])
    assert 3 == len(asked)
    assert 1 == len(list(folder.iterdir()))


def test_what_was_not_used_for_longest_goes_first(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("one", "two", "three"):
        layout_cache.keep(name, name.encode() * 100, "")
    assert layout_cache.read("one") is not None
    sizes = {file.name: file.stat().st_size for file in folder.iterdir()}
    monkeypatch.setattr(layout_cache, "MOST_KEPT_BYTES", sizes["one"] + sizes["three"])
    layout_cache.forget_oldest()
    assert {"one", "three"} == {file.name for file in folder.iterdir()}


def _cut(codes: Sequence[str]) -> set[tuple[str, ...]]:
    """The jobs for one body and two margins of each card, by what they lay out."""
    form = pieces._Form("half-letter")
    listed = [
        pieces._Piece(form, f"{kind} of {code}", f"{kind.split()[0]} {code}")
        for code in codes
        for kind in ("body", "margin one", "margin two")
    ]
    return {tuple(piece.html for piece in job) for job in pieces._together(listed)}


def test_a_new_card_leaves_all_but_a_few_jobs_as_they_were() -> None:
    codes = [f"TST{number}" for number in range(200)]
    before = _cut(codes)
    after = _cut([*codes[:90], "NEW1", *codes[90:]])
    assert 600 == sum(map(len, before))
    assert 1 <= len(after - before) <= 4 < 30 < len(before)
    assert max(map(len, after)) <= pieces._PAGES_A_JOB


def test_a_signed_edition_takes_nothing_from_the_folder_and_adds_nothing(folder: Path) -> None:
    layout_cache.keep("before", b"%PDF", "[]")
    with layout_cache.left_alone():
        assert layout_cache.read("before") is None
        layout_cache.keep("meanwhile", b"%PDF", "[]")
    assert layout_cache.read("before") == (b"%PDF", "[]")
    assert layout_cache.read("meanwhile") is None


@pytest.mark.parametrize("signed", [False, True])
def test_only_a_build_that_is_signed_leaves_it_alone(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, signed: bool
) -> None:
    seen = []

    def part(context: BuildContext) -> tuple[Artifact, ...]:
        seen.append(layout_cache.in_use())
        return ()

    monkeypatch.setattr(site, "output_builders", lambda **_: (*site.PAGES, offline.artifacts, part))
    new_key(tmp_path / "own.key")
    key = read_signing_key(tmp_path / "own.key") if signed else None
    project = small_project(tmp_path / "project")
    with (project / "content/fleet.yml").open("a", encoding="utf-8") as fleet:
        fleet.write("\nedition_number: 1\nedition_expires: 2099-01-01\n")  # a signed edition needs both
    build_site(project, key=key)
    assert seen == [not signed]
    assert layout_cache.in_use()
