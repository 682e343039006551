"""The Ontario edition: the whole library with no American statute, number or unit left in any text."""

import re

import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.binding import plain
from forty_paces.authoring.checks.sources import cited_ids
from forty_paces.authoring.library import inspect_project
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.common.context import BuildContext

from tests.rule_files import PROJECT

AMERICAN = re.compile(
    r"\b[Ff]ederal\b|\b[Ss]tates?\b(?! of people)|\bCFR\b|\bFMVSS\b|\bUSDOT\b|\bU\.?S\.?\b|America|"
    r"National Response|800-424|[\d.] ?(?:ft|mph|psi|lbs?|mi|yd|gal|°F|foot|pounds?)\b|\d feet\b|"
    r"(?<![A-Z\d/])\d+(?:/32)? in\b(?! the\b)|\binch|\bmiles?\b|[Ii]nterstate|Arizona|Texas"
)
"""Words and units of the United States. "11 in the evening" is a time."""

OWN_WORDS = (
    "source",
    "id",
    "step",
    "use",
    "changes",
    "phone",
    "unit",
    "leads_to",
    "procedure",
    "returns",
)
"""Keys whose values no driver reads as text."""

READ_BY_NOBODY = ("rules", "sources", "shared", "scenes", "editions", "fleet", "library")


@pytest.fixture(scope="module")
def ontario(tmp_path_factory):
    project = tmp_path_factory.mktemp("ontario")
    (project / "content").mkdir()
    (project / "content/fleet.yml").write_text(
        "carrier: Anvil Lake Carriers\nrules: ontario\n", encoding="utf-8"
    )
    (project / "content/library.yml").write_text("leave_out: []\n", encoding="utf-8")
    return inspect_project(project)


def texts(node, path):
    if isinstance(node, dict):
        for key, value in node.items():
            if key not in OWN_WORDS:
                yield from texts(value, f"{path}/{key}")
    elif isinstance(node, list):
        for item in node:
            yield from texts(item, path)
    else:
        yield path, node


def test_it_has_no_fault(ontario):
    """Among them: a text of the library has changed since the edition replaced it."""
    assert [] == [str(finding) for finding in ontario.faults]


def test_every_change_remembers_the_state_that_it_was_made_from(ontario):
    changes = plain(ontario.library.documents["content/editions/ontario.yml"].tree)["changes"]
    assert [] == [one["at"] for one in changes if "was" not in one and "add" not in one]


def test_no_text_of_it_holds_an_american_statute_number_or_unit(ontario):
    found = []
    for path, document in ontario.library.documents.items():
        if path.split("/")[1].removesuffix(".yml") in READ_BY_NOBODY:
            continue
        found += [f"{at}: {text}" for at, text in texts(plain(document.tree), path) if AMERICAN.search(text)]
    assert [] == found


def test_it_cites_no_law_of_another_country(ontario):
    cited = {
        name
        for path, document in ontario.library.documents.items()
        if path.startswith("content/procedures/")
        for _, name in cited_ids(document)
    }
    assert cited <= set(ontario.library.sources)
    assert {"mto-truck-handbook", "on-hta-199", "ca-tdg-8"} <= cited


def test_it_has_every_procedure_and_lesson_of_the_library(ontario, library):
    assert [one.id for one in library.procedures] == [one.id for one in ontario.library.procedures]
    assert list(library.lessons) == list(ontario.library.lessons)


@pytest.mark.parametrize(
    ("text", "american"),
    [
        ("Walk 40 ft.", True),
        ("Roll at 25 mph.", True),
        ("4/32 in of tread", True),
        ("49 CFR 392.22", True),
        ("the state spill line", True),
        ("At 6 in the morning", False),
        ("state of people", False),
        ("Walk 30 m.", False),
    ],
)
def test_the_scan_finds_what_it_should_and_no_more(text, american):
    assert american is bool(AMERICAN.search(text))


@pytest.mark.long
def test_the_cab_file_shows_no_american_statute_number_or_unit_in_any_keyed_text(ontario):
    """Titles of handbooks that were published in the United States stay: they say where a text is from."""
    context = BuildContext(ontario.library, PROJECT / "site_overrides")
    page = BeautifulSoup(cab_html(context), "html.parser")
    shown = [" ".join(one.get_text(" ").split()) for one in page.select("[data-key]")]
    assert len(shown) > 1000
    assert [] == [text for text in shown if AMERICAN.search(text)]
