"""The Ontario edition: the whole library with no American statute, number or unit left in any text."""

import gzip
import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest
from forty_paces.authoring.binding import plain
from forty_paces.authoring.checks.sources import cited_ids
from forty_paces.authoring.layers import Layers
from forty_paces.authoring.library import inspect_project
from forty_paces.outputs.cab.assistant import cab_html
from forty_paces.outputs.cards.card_set import card_set
from forty_paces.outputs.cards.documents import dry_run_document, faces_document, set_documents
from forty_paces.outputs.cards.poster import poster_document
from forty_paces.outputs.cards.record_pad import pad_document
from forty_paces.outputs.classroom import index as kit
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.sheets import PAPERS
from forty_paces.outputs.site import PAGES
from forty_paces.plugin import FortyPacesPlugin
from markdown import markdown

from tests.american import american, in_pages, shown_texts
from tests.rule_files import PROJECT

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


FLEET = Path(__file__).with_name("ontario_fleet.yml")
"""A carrier with vehicles, numbers and policies, all of them invented but the public ones."""

FOR_AUTHORS = {
    # It says in which units a file may be written, and quotes the findings.
    "writing.md",
    # For who makes an edition of a library: it sets Ontario's texts beside the others.
    "make-it-yours.md",
}
"""Pages that no driver reads and that name units on purpose."""


@pytest.fixture(scope="module")
def project(tmp_path_factory):
    project = tmp_path_factory.mktemp("ontario")
    (project / "content").mkdir()
    shutil.copy(FLEET, project / "content/fleet.yml")
    (project / "content/library.yml").write_text("leave_out: []\n", encoding="utf-8")
    return project


@pytest.fixture(scope="module")
def ontario(project):
    return inspect_project(project)


@pytest.fixture(scope="module")
def prose(project, ontario):
    """The library's pages in prose as the plugin hands them to MkDocs, rendered."""
    plugin = FortyPacesPlugin()
    plugin.library = ontario.library

    def rendered(found):
        page = SimpleNamespace(file=SimpleNamespace(generated_by=None, src_uri=found.file.name))
        written = found.file.read_text(encoding="utf-8")
        fitted = plugin.on_page_markdown(written, page=page, config=None, files=None)
        return markdown(fitted, extensions=["attr_list", "md_in_html", "tables", "fenced_code"])

    return {one.file.name: rendered(one) for one in Layers.of(project)[0].pages()}


@pytest.fixture(scope="module")
def context(ontario):
    return BuildContext(ontario.library, PROJECT / "site_overrides")


@pytest.fixture(scope="module")
def cab(context):
    return cab_html(context)


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
        found += [f"{at}: {text}" for at, text in texts(plain(document.tree), path) if american(text)]
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


class TestProducts:
    """Whatever somebody may read or hear of it: no figure, unit, law or authority of the United States.

    Where a text is from is not scanned: a handbook of another country that teaches a technique is named.
    """

    def test_the_cab_file(self, cab):
        assert [] == in_pages([("cab.html", cab)])
        assert len(list(shown_texts(cab))) > 5000

    def test_the_pages(self, context):
        made = [(one.path, str(one.content)) for part in PAGES for one in part(context)]
        pages = [(path, page) for path, page in made if path.endswith(".md") and path not in FOR_AUTHORS]
        assert len(pages) > 80
        assert [] == in_pages(pages)

    def test_the_pages_in_prose(self, prose):
        assert {"cards.md", "tablets.md"} <= prose.keys() - FOR_AUTHORS
        assert [] == in_pages((path, page) for path, page in prose.items() if path not in FOR_AUTHORS)
        assert "<td>140 by 216 mm</td>" in prose["cards.md"]
        assert "It must be 50 mm long." in prose["cards.md"]

    def test_the_classroom_with_its_papers(self, context):
        shown = (one for one in kit.artifacts(context, with_pdf=False) if one.path.endswith(".html"))
        made = [(one.path, str(one.content)) for one in shown]
        assert len(made) > 40
        assert [] == in_pages(made)

    def test_the_cards_with_poster_record_and_test_sheet(self, context):
        letter = PAPERS["letter"]
        cards = card_set(context, "half-letter")
        shown = [
            *(one.printed for one in set_documents(context, cards, ("letter",), folder="cards/", faces=True)),
            faces_document(context, card_set(context, "id-1"), "cards/wallet"),
            dry_run_document(context, cards, letter, "cards/test"),
            poster_document(context, letter, "cards/poster"),
            pad_document(context, letter, "cards/record"),
        ]
        assert [] == in_pages((one.path, one.html) for one in shown)


PLANTED = (
    "Walk 40 ft.",
    "Roll at 25 mph.",
    "4/32 in of tread",
    "A rule of 49 CFR 392.22",
    "the state spill line",
    "Tell the National Response Center",
    "about a quarter mile, or 2 miles",
    "State Route 31",
    "Weigh 80,000 lb and hold 5 gallons",
    "Below 32 °F",
    "your state's rules",
    "Ten-minute clock",
    "Call the railroad.",
)


@pytest.mark.parametrize("planted", PLANTED)
@pytest.mark.parametrize(
    "page",
    [
        "<p>{}</p>",
        "<svg><title>{}</title></svg>",
        '<p><button aria-label="{}">1</button></p>',
        '<script type="application/json">{{"words": ["{}"]}}</script>',
    ],
)
def test_an_american_phrase_is_found_wherever_it_is_planted(planted, page):
    assert in_pages([("page", page.format(planted))])


def test_a_phrase_planted_in_the_cab_file_is_found_once(cab):
    planted = cab.replace("</main>", "<p>Report to the DOT within 12 h.</p></main>", 1)
    assert planted != cab
    (found,) = in_pages([("cab.html", planted)])
    assert "Report to the DOT" in found


@pytest.mark.parametrize("planted", PLANTED)
def test_an_american_phrase_planted_in_a_page_in_prose_is_found(prose, planted):
    row = "<td>140 by 216 mm</td>"
    (found, *_) = in_pages([("cards.md", prose["cards.md"].replace(row, f"<td>{planted}</td>"))])
    assert found.startswith("cards.md: ")


@pytest.mark.parametrize(
    "text",
    [
        "At 6 in the morning",
        "1 in 10",
        "state of people",
        "Walk 30 m.",
        "version 1.1, in force",
        "a foot that holds",
    ],
)
def test_the_scan_finds_no_more_than_it_should(text):
    assert [] == american(text)


def test_where_a_text_is_from_may_be_named():
    page = (
        '<ul class="sources"><li>North Carolina CDL Handbook</li></ul><a href="../sources.html#x">49 CFR</a>'
    )
    assert [] == in_pages([("page", page)])


@pytest.mark.long
def test_the_cab_file_is_small_enough_to_send(cab):
    """350 kB, as for the edition of the United States."""
    assert len(gzip.compress(cab.encode(), mtime=0)) <= 350_000
