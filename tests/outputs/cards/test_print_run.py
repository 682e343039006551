"""The files that cards add to an edition, and what happens where PDF cannot be made."""

from __future__ import annotations

import builtins
import json
import logging
from collections.abc import Iterator
from types import ModuleType

import pytest
from bs4 import BeautifulSoup
from forty_paces.outputs.cards import print_run as cards
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.families import families
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.paper import pdf

from tests.outputs.cards.card_content import small as small_project
from tests.projects import one_core


@pytest.fixture(scope="module")
def small(context: BuildContext) -> BuildContext:
    """One procedure and one vehicle, so that a whole edition of cards is quick to build.

    Other tests lay out the same cards, and a run keeps them.
    """
    return small_project(context, 1)


@pytest.fixture
def hidden(monkeypatch: pytest.MonkeyPatch) -> Iterator[type[Exception]]:
    """Make importing WeasyPrint fail as it does without Pango."""
    real = builtins.__import__

    def refuse(name: str, *more: object, **named: object) -> ModuleType:
        if name == "weasyprint" or name.startswith("weasyprint."):
            raise OSError("cannot load library 'libpango-1.0-0'")
        return real(name, *more, **named)  # type: ignore[arg-type]

    pdf._engine.cache_clear()
    monkeypatch.setattr(builtins, "__import__", refuse)
    yield OSError
    monkeypatch.undo()
    pdf._engine.cache_clear()


@pytest.fixture(scope="module")
def edition(small: BuildContext) -> list[Artifact]:
    """All artifacts of the cards of a small edition, laid out in this process."""
    with one_core():
        return list(cards.artifacts(small))


def paths(made: list[Artifact]) -> set[str]:
    return {artifact.path for artifact in made}


def test_an_edition_has_each_document_as_html_and_the_main_ones_as_pdf(
    small: BuildContext, edition: list[Artifact]
) -> None:
    made = edition
    vehicle = small.library.fleet.vehicles[0].id
    expected = {
        "cards/index.md",
        "cards/cards.json",
        "cards/half-letter-all.html",
        "cards/half-letter-all.pdf",
        "cards/half-letter-all-sheets-letter.html",
        "cards/half-letter-all-sheets-letter.pdf",
        "cards/half-letter-all-sheets-a4.pdf",
        "cards/half-letter-all-cut-letter.pdf",
        f"cards/half-letter-{vehicle}-cut-letter.html",
        f"cards/half-letter-{vehicle}-cut-letter.pdf",
        "cards/record-letter.pdf",
        f"cards/wallet-{vehicle}-fold-letter.pdf",
        "cards/test-sheet-half-letter-letter.pdf",
        "cards/poster-tabloid.pdf",
        "cards/poster-a3.pdf",
    }
    assert expected <= paths(made)
    for artifact in made:
        if artifact.path.endswith(".pdf"):
            assert artifact.data.startswith(b"%PDF-1.7")


def test_every_document_is_linked_from_the_page_of_cards(edition: list[Artifact]) -> None:
    made = edition
    page = next(artifact for artifact in made if artifact.path == "cards/index.md").data.decode()
    for path in paths(made):
        if path.endswith((".html", ".pdf")):
            assert f'href="{path.removeprefix("cards/")}"' in page, path
    assert "FLM1" in page
    assert "Not yet reviewed by your safety lead." in page


def test_the_page_of_cards_lists_them_by_family_as_the_start_screen_does(context: BuildContext) -> None:
    """In the table of versions and in that of the leaves; cover and card of numbers come before."""
    cards_of_all = card_set(context, "half-letter")
    page = BeautifulSoup(cards.index_page(context, [cards_of_all], []), "html.parser")
    placing = [face.code for face in cards_of_all.faces if face.code.startswith("PLC") and not face.more]
    wanted = [
        (None, ["ALL1", "ALL4", "ALL2"]),
        *((one.title, [p.code for p in one.procedures]) for one in families(context.library.procedures)),
        ("Placing devices", placing),
    ]
    tables = page.select("table.versions")
    assert 2 == len(tables)
    for table in tables:
        columns = len(table.select("thead th"))
        parts = []
        for body in table.select("tbody"):
            title = body.select_one('th[scope="rowgroup"]')
            assert title is None or str(columns) == title["colspan"]
            codes = [cell.get_text() for cell in body.select('th[scope="row"]')]
            parts.append((title and title.get_text(), codes))
        assert wanted == parts


def test_the_record_beside_the_cards_lists_every_face(small: BuildContext, edition: list[Artifact]) -> None:
    made = {artifact.path: artifact for artifact in edition}
    record = json.loads(made["cards/cards.json"].data)
    assert small.library.edition.id == record["edition"]
    assert {"half-letter, all"} <= {face["set"] for face in record["faces"]}
    assert {"FLM1", "PLC1", "ALL1", "ALL2"} <= {face["code"] for face in record["faces"]}


def test_without_pango_the_edition_is_built_and_one_line_says_what_to_install(
    small: BuildContext, hidden: type[Exception], caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.WARNING):
        made = list(cards.artifacts(small))
    assert not any(path.endswith(".pdf") for path in paths(made))
    assert "cards/half-letter-all.html" in paths(made)
    (said,) = [record.getMessage() for record in caplog.records if record.name.endswith("cards")]
    assert "\n" not in said
    assert "apt install libpango-1.0-0" in said
    assert "brew install pango" in said
    page = next(artifact for artifact in made if artifact.path == "cards/index.md").data.decode()
    assert "This edition has no PDF." in page
    assert ".pdf" not in page


def test_without_pango_faces_are_fitted_as_they_are_with_it(
    small: BuildContext, hidden: type[Exception]
) -> None:
    without = cards.card_sets(small)
    pdf._engine.cache_clear()
    assert [face.html for one in without for face in one.faces] == [
        face.html for one in cards.card_sets(small) for face in one.faces
    ]


def test_asking_for_a_pdf_without_pango_says_what_is_missing(hidden: type[Exception]) -> None:
    with pytest.raises(pdf.PdfUnavailable, match="needs Pango from the operating system"):
        pdf.to_pdf("<html lang=en><title>T</title><p>Words.")


def test_without_weasyprint_the_extra_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def refuse(name: str, *more: object, **named: object) -> ModuleType:
        if name == "weasyprint":
            raise ModuleNotFoundError(name)
        return real(name, *more, **named)  # type: ignore[arg-type]

    pdf._engine.cache_clear()
    monkeypatch.setattr(builtins, "__import__", refuse)
    assert "pip install 'forty-paces[pdf]'" in pdf.missing()
    monkeypatch.undo()
    pdf._engine.cache_clear()
    assert pdf.missing() == ""


def test_a_pdf_asks_nothing_of_anyone() -> None:
    """A URL in the page is not fetched: the fetcher accepts only data: URLs."""
    html = '<html lang="en"><title>T</title><body><p>Words <img alt="x" src="http://192.0.2.1/x.png">'
    with pytest.raises(pdf.AsksOutside, match=r"192\.0\.2\.1"):
        pdf.to_pdf(html)
