"""The review sheet: one whole sheet a procedure, nothing claimed, each route as its file has it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag
from forty_paces.authoring.library import Library, load_library
from forty_paces.authoring.models.procedure import SignOff
from forty_paces.drawing.formats import Size
from forty_paces.drawing.route import draw_route
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.pages import review as review_page

from tests.drawing.samples import assert_legible
from tests.drawing.test_route import assert_a_route

OVERRIDES = Path(__file__).resolve().parents[3] / "site_overrides"


@pytest.fixture(scope="module")
def sheets(library: Library) -> dict[str, Tag]:
    """Each procedure's part of the page."""
    (page,) = review_page.artifacts(BuildContext(library, OVERRIDES))
    assert page.path == "review.md"
    soup = BeautifulSoup(page.content, "html.parser")
    return {str(tag["aria-labelledby"]): tag for tag in soup.select("section.review-sheet")}


def test_every_procedure_has_its_sheet_in_reading_order(library: Library, sheets: dict[str, Tag]) -> None:
    assert [p.id for p in library.procedures] == list(sheets)


def test_a_sheet_names_version_dates_and_every_source_with_how_it_was_met(
    library: Library, sheets: dict[str, Tag]
) -> None:
    for procedure in library.procedures:
        said = sheets[procedure.id].get_text(" ", strip=True)
        assert f"Version {procedure.version}, in force from {procedure.effective.day} " in said
        listed = sheets[procedure.id].select("ul.sources li")
        cited = {link["href"] for item in listed for link in item.select("a")}
        steps = [step for block in procedure.blocks for step in block.steps]
        assert {f"sources.html#{name}" for step in steps for name in step.source} <= cited
        assert all(item.select_one(".basis").get_text().strip() for item in listed)


def test_nobody_is_said_to_have_signed_and_the_lines_are_empty(
    library: Library, sheets: dict[str, Tag]
) -> None:
    for procedure in library.procedures:
        rows = sheets[procedure.id].select("table.signatures:not(.walks) tbody tr")
        assert ["nobody yet"] * 3 == [row.select("td")[0].get_text() for row in rows]
        assert all(not cell.get_text() for row in rows for cell in row.select("td")[1:])
        assert "Not yet reviewed by anybody." in sheets[procedure.id].get_text()


def test_a_sheet_has_lines_for_three_walks_and_two_scores_and_counts_what_may_be_missed(
    library: Library, sheets: dict[str, Tag]
) -> None:
    for procedure in library.procedures:
        walks, scores = sheets[procedure.id].select("table.walks")
        assert ["Driver 1", "Driver 2", "Driver 3"] == [one.get_text() for one in walks.select("tbody th")]
        assert ["Rater 1", "Rater 2"] == [one.get_text() for one in scores.select("tbody th")]
        assert not any(cell.get_text() for table in (walks, scores) for cell in table.select("td"))
        critical = sum(step.critical for block in procedure.blocks for step in block.steps)
        allowed = int(0.06 * 3 * critical)  # 6 % of what three drivers do, whole steps
        said = sheets[procedure.id].get_text(" ")
        assert f"together they may miss {allowed} of {3 * critical}." in said


def test_a_signature_in_the_file_is_printed_and_the_claim_that_there_is_none_goes(library: Library) -> None:
    first = library.procedures[0]
    signed = SignOff(name="A. Reader, mechanic", day=dt.date(2026, 12, 1))
    review = first.review.model_copy(update={"technical": signed})
    changed = first.model_copy(update={"review": review})
    others = library.procedures[1:]
    (page,) = review_page.artifacts(BuildContext(replace(library, procedures=(changed, *others)), OVERRIDES))
    sheet = BeautifulSoup(page.content, "html.parser").select("section.review-sheet")[0].get_text()
    assert "A. Reader, mechanic, 2026-12-01" in sheet
    assert "Not yet reviewed by anybody." not in sheet


def test_each_table_to_sign_names_the_code_and_version_that_is_signed(
    library: Library, sheets: dict[str, Tag]
) -> None:
    """Sheets come apart: a signature on one of them is for this text."""
    for procedure in library.procedures:
        tables = sheets[procedure.id].select("table.signatures")
        assert len(tables) == 3
        for table in tables:
            assert f"{procedure.code} {procedure.version}" in table.thead.get_text(" ", strip=True)
        assert "Right card in 10 s?" in sheets[procedure.id].get_text(" ", strip=True)


@pytest.mark.parametrize("size", review_page.SIZES)
def test_every_procedures_route_is_drawn_as_its_file_has_it(library: Library, size: Size) -> None:
    titles = {p.id: p.title for p in library.procedures}
    for procedure in library.procedures:
        route = review_page.route_of(procedure, titles)
        assert [block.steps for block in route.blocks] == [len(block.steps) for block in procedure.blocks]
        assert procedure.decision is not None
        opened = ["; ".join(titles[id_] for id_ in row.opens) for row in procedure.decision.rows]
        assert opened == [row.opens for row in route.rows]
        svg = draw_route(route, prefix="r", title=procedure.title, size=size)
        assert_a_route(svg, route)
        assert_legible(svg, at_px={Size.WIDE: 640, Size.TALL: 390}[size])


def test_the_page_reads_the_same_on_every_day() -> None:
    days = (dt.date(2026, 12, 1), dt.date(2027, 5, 1))
    read = [load_library(OVERRIDES.parent, day) for day in days]
    first, second = (next(iter(review_page.artifacts(BuildContext(one, OVERRIDES)))).content for one in read)
    assert first == second
