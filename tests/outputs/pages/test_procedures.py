"""The procedure pages against the structure rules of written emergency procedures.

One fixed order of parts (IEC/IEEE 82079-1; RNIB), a notice right before its step
(ANSI Z535.6), a finished line (Degani and Wiener 1990, guideline 6), a box to tick
a step (DOE-STD-1029-92), version, dates, reviewers and sources (CAP 676).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, Tag
from forty_paces.authoring.library import Library
from forty_paces.authoring.models.procedure import Tool
from forty_paces.authoring.texts import texts_by_id
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.families import families
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.typesetting import how_met
from forty_paces.outputs.pages import procedures as pages

PROJECT = Path(__file__).resolve().parents[3]
ORDER = (
    "h1",
    ".cues",
    ".by-heart",
    ".stopped",
    ".need",
    ".steps",
    ".decision",
    ".finished",
    ".never",
    ".facts",
    ".report",
    ".roll-again",
    ".local-rule",
    ".review",
    ".sources",
)


@pytest.fixture(scope="module")
def made(library: Library) -> dict[str, Artifact]:
    context = BuildContext(library, PROJECT / "site_overrides")
    return {artifact.path: artifact for artifact in pages.artifacts(context)}


@pytest.fixture(scope="module")
def soups(made: dict[str, Artifact]) -> dict[str, BeautifulSoup]:
    return {
        path.removeprefix("procedures/").removesuffix(".md"): BeautifulSoup(artifact.content, "html.parser")
        for path, artifact in made.items()
        if path.startswith("procedures/")
    }


def shown(soup: BeautifulSoup) -> Iterator[tuple[str, str]]:
    for tag in soup.select("[data-key]"):
        yield tag["data-key"], tag.get_text()


def test_there_is_one_page_a_procedure(library: Library, soups: dict[str, BeautifulSoup]) -> None:
    assert {p.id for p in library.procedures} == set(soups)


def test_every_string_stands_on_its_page_letter_for_letter(
    library: Library, soups: dict[str, BeautifulSoup]
) -> None:
    for procedure in library.procedures:
        expected = texts_by_id(procedure)
        found = dict(shown(soups[procedure.id]))
        not_on_a_page = {
            key for key in expected if key.endswith(("/order_reason", "/tile")) or "/changes/" in key
        }
        assert {} == {key: text for key, text in found.items() if expected.get(key) != text}
        assert set() == set(expected) - set(found) - not_on_a_page


def test_the_parts_stand_in_one_fixed_order(soups: dict[str, BeautifulSoup]) -> None:
    for name, soup in soups.items():
        every = list(soup.find_all(True))
        places = [every.index(tag) for selector in ORDER if (tag := soup.select_one(selector)) is not None]
        assert sorted(places) == places, name


def test_a_notice_stands_right_before_its_step(soups: dict[str, BeautifulSoup]) -> None:
    count = 0
    for soup in soups.values():
        for notice in soup.select(".notice"):
            following = notice.find_next_sibling()
            assert isinstance(following, Tag)
            assert following.select_one(".step__do") is not None
            assert notice.select_one(".notice__symbol svg") is not None, "word, symbol and border go together"
            count += 1
    assert count >= 10


def test_every_step_has_a_number_and_a_box_to_tick(library: Library, soups: dict[str, BeautifulSoup]) -> None:
    for procedure in library.procedures:
        soup = soups[procedure.id]
        total = sum(len(block.steps) for block in procedure.blocks)
        assert [f"{n}." for n in range(1, total + 1)] == [t.get_text() for t in soup.select(".step__number")]
        assert total == len(soup.select("input.step__tick[type=checkbox]"))


def test_every_decision_row_ends_somewhere(library: Library, soups: dict[str, BeautifulSoup]) -> None:
    known = {p.id for p in library.procedures}
    for soup in soups.values():
        for row in soup.select(".decision tbody tr"):
            leads = row.select_one(".leads-to")
            assert leads is not None
            assert leads.name == "span" or leads["href"].removesuffix(".html") in known


def test_what_a_step_needs_is_linked_below_the_steps_once(
    library: Library, soups: dict[str, BeautifulSoup]
) -> None:
    linked = 0
    for procedure in library.procedures:
        opened = {step.opens for block in procedure.blocks for step in block.steps}
        needed = opened - {None, Tool.DECISION}  # the decision stands on the page itself
        links = [a["href"] for a in soups[procedure.id].select(".step-tools a")]
        assert len(links) == len(needed)
        assert {pages.STEP_TOOLS[tool].href for tool in needed} == set(links)
        linked += len(links)
    assert linked > 5


def test_every_page_says_who_reviewed_it_or_that_nobody_did(
    library: Library, soups: dict[str, BeautifulSoup]
) -> None:
    for procedure in library.procedures:
        text = soups[procedure.id].select_one(".review").get_text()
        assert (procedure.review.safety_lead is None) == ("Not yet reviewed by your safety lead" in text)
        assert f"version {procedure.version}" in text
        assert "next review by" in text


def test_the_start_page_keeps_every_tile_in_its_place(library: Library, made: dict[str, Artifact]) -> None:
    soup = BeautifulSoup(made["index.md"].content, "html.parser")
    listed = families(library.procedures)
    assert [f"#family-{one.id}" for one in listed] == [
        a["href"] for a in soup.select(".tiles--families a.tile")
    ]
    for family, section in zip(listed, soup.select(".tiles--family"), strict=True):
        assert section.h2["id"] == f"family-{family.id}"
        tiles = [a["href"] for a in section.select("a.tile")]
        assert [f"procedures/{p.id}.html" for p in family.procedures] == tiles
    assert len(library.procedures) == len(soup.select(".tiles--family a.tile"))


def test_every_source_is_listed_with_how_it_was_met(library: Library, made: dict[str, Artifact]) -> None:
    soup = BeautifulSoup(made["sources.md"].content, "html.parser")
    assert set(library.sources) == {div["id"] for div in soup.select(".source-list > div")}
    for source in library.sources.values():
        listed = soup.find(id=source.id).get_text()
        assert how_met(source).lower() in listed.lower()
        assert ("checked" in listed) == (source.checked is not None)
