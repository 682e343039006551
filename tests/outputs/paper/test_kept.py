"""What is laid out is kept for the next build, and read back byte for byte, or not at all."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from forty_paces.outputs.cards import pieces
from forty_paces.outputs.paper import kept, pdf
from forty_paces.outputs.paper.pdf import Layout, LayoutJob, PageCountWrong

LEAF = '<html lang="en"><title>Leaf</title><h1>FLM1</h1><p>Get out.'


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty cache folder, in use."""
    monkeypatch.delenv(kept.OFF, raising=False)
    monkeypatch.setattr(kept, "_folder", lambda: tmp_path / "layouts")
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
    jobs = [LayoutJob(LEAF.replace("FLM1", code), 1) for code in ("FLM1", "FLM2", "FLM3")]
    first = laid_out(jobs)
    del asked[:]
    assert list(reversed(first)) == laid_out(jobs[::-1])
    assert [] == asked
    assert ["FLM1"] == [mark.label for mark in first[0].bookmarks[0]]


def test_what_is_laid_out_twice_is_the_same_as_what_was_kept(folder: Path) -> None:
    job = LayoutJob(LEAF, 1)
    laid_out([job])
    assert [pdf.layout(job)] == laid_out([job])


def test_a_document_that_is_complete_is_kept_apart_from_its_pieces(folder: Path) -> None:
    piece, whole = laid_out([LayoutJob(LEAF, 1), LayoutJob(LEAF, 1, complete=True)])
    assert whole.data == pdf.to_pdf(LEAF)
    assert piece.data != whole.data


@pytest.mark.parametrize(
    "other",
    [
        LayoutJob(LEAF + "!", 1),
        LayoutJob(LEAF, 1, tagged=False),
        LayoutJob(LEAF, 1, whole_fonts=False),
    ],
    ids=["words", "tags", "fonts"],
)
def test_another_job_is_laid_out(folder: Path, asked: list[LayoutJob], other: LayoutJob) -> None:
    laid_out([LayoutJob(LEAF, 1)])
    laid_out([other])
    assert [LayoutJob(LEAF, 1), other] == asked


def test_another_version_of_pango_lays_everything_out_again(
    folder: Path, asked: list[LayoutJob], monkeypatch: pytest.MonkeyPatch
) -> None:
    laid_out([LayoutJob(LEAF, 1)])
    monkeypatch.setattr(pdf, "_engine_state", lambda: kept.engine_state(1))
    laid_out([LayoutJob(LEAF, 1)])
    assert 2 == len(asked)


def test_every_package_of_the_engine_is_installed_and_counts() -> None:
    state = kept.engine_state(1)
    assert [] == [name for name in kept.ENGINE if f"\n{name} " not in state]


@pytest.mark.parametrize("cut", [0, 10, -1], ids=["empty", "its head cut", "its last byte lost"])
def test_a_damaged_file_is_laid_out_again(folder: Path, asked: list[LayoutJob], cut: int) -> None:
    whole = laid_out([LayoutJob(LEAF, 1)])
    [file] = folder.iterdir()
    file.write_bytes(file.read_bytes()[:cut])
    assert whole == laid_out([LayoutJob(LEAF, 1)])
    assert 2 == len(asked)


def test_what_overflows_is_not_kept(folder: Path) -> None:
    for _ in range(2):
        with pytest.raises(PageCountWrong):
            laid_out([LayoutJob(LEAF, 2)])
    assert not folder.exists()


def test_without_a_folder_that_can_be_written_everything_is_laid_out(
    folder: Path, asked: list[LayoutJob]
) -> None:
    folder.write_text("a file stands where the folder would be")
    assert laid_out([LayoutJob(LEAF, 1)]) == laid_out([LayoutJob(LEAF, 1)])
    assert 2 == len(asked)


def test_a_switch_in_the_environment_leaves_the_folder_alone(
    folder: Path, asked: list[LayoutJob], monkeypatch: pytest.MonkeyPatch
) -> None:
    laid_out([LayoutJob(LEAF, 1)])
    monkeypatch.setenv(kept.OFF, "1")
    laid_out([LayoutJob(LEAF, 1), LayoutJob(LEAF + "!", 1)])
    assert 3 == len(asked)
    assert 1 == len(list(folder.iterdir()))


def test_what_was_not_used_for_longest_goes_first(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("one", "two", "three"):
        kept.keep(name, name.encode() * 100, "")
    assert kept.read("one") is not None
    sizes = {file.name: file.stat().st_size for file in folder.iterdir()}
    monkeypatch.setattr(kept, "MOST_KEPT_BYTES", sizes["one"] + sizes["three"])
    kept.forget_oldest()
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
