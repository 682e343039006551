"""The classroom as a whole: its pages, its papers, and the page that leads to them.

In: a press. Out: artifacts below classroom/, and classroom.md. HTML always; PDF beside
each paper where the machine can make it. Refuses to know how any of them is made.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from forty_paces.outputs.artifact import Artifact
from forty_paces.outputs.cards.documents import Printed
from forty_paces.outputs.cards.print_run import pdfs
from forty_paces.outputs.classroom import exercise, lessons, sight_page
from forty_paces.outputs.classroom.papers import recall_papers, signoff_paper, worksheet_papers, yard_paper
from forty_paces.outputs.classroom.slides import Deck
from forty_paces.outputs.classroom.worksheets import scene_groups
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS
from forty_paces.outputs.press import Press

NUMBER = 1
VARIANTS = 2
"The site carries one number in two variants; any other is printed by ``fortypaces worksheet``."


@dataclass(frozen=True, slots=True)
class Listing:
    """What the index page lists."""

    decks: tuple[Deck, ...]
    papers: tuple[Printed, ...]

    def papers_of(self, kind: str) -> tuple[Printed, ...]:
        """The papers whose file name begins with that word."""
        return tuple(one for one in self.papers if one.path.rpartition("/")[2].startswith(kind))


def artifacts(press: Press, *, with_pdf: bool = True) -> Iterator[Artifact]:
    """Every file of the classroom; without its PDFs, the slowest part, where they are not wanted."""
    decks = lessons.decks(press)
    listing = Listing(decks, papers(press, decks))
    yield Artifact("classroom.md", index_page(press, listing, with_pdf=with_pdf))
    yield from lessons.artifacts(press, listing.decks)
    if press.library.scenes:
        yield from exercise.artifacts(press)
    yield from sight_page.artifacts(press)
    for one in listing.papers:
        yield Artifact(f"{one.path}.html", one.html)
    if with_pdf and not pdf.missing():
        for one, data in zip(listing.papers, pdfs(listing.papers, press.watch), strict=True):
            yield Artifact(f"{one.path}.pdf", data)


def papers(press: Press, decks: tuple[Deck, ...]) -> tuple[Printed, ...]:
    """Everything printed that the site carries, on the fleet's paper."""
    paper = PAPERS[press.library.fleet.paper.value]
    made: list[Printed] = []
    groups = scene_groups(press)
    if groups:
        made += worksheet_papers(press, groups, paper, number=NUMBER, variants=VARIANTS)
    made.append(yard_paper(press, paper))
    if decks:
        made.append(signoff_paper(press, paper))
        made += recall_papers(press, decks, paper)
    return tuple(made)


def index_page(press: Press, listing: Listing, *, with_pdf: bool = True) -> str:
    """The page that leads to the classroom, as Markdown."""
    text = press.render(
        "classroom/index.md.j2",
        listing=listing,
        has_pdf=with_pdf and not pdf.missing(),
        has_scenes=bool(press.library.scenes),
        has_sight=sight_page.is_shown(press),
        paper=PAPERS[press.library.fleet.paper.value].title,
    )
    return text.lstrip("\n")
