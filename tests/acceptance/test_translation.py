"""Ready for a translation: every text that a driver reads has its stable key, the same everywhere.

Text without a key is furniture: the few words that templates put around the texts, the same on every page,
and what is computed from dates and codes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from bs4 import BeautifulSoup, Tag
from forty_paces.authoring.library import Library
from forty_paces.authoring.texts import texts_by_id
from forty_paces.messages.terms import CONDITIONS
from forty_paces.outputs.pages.procedures import STEP_TOOLS

from tests.acceptance.reading import loose_texts, said

Pages = Mapping[str, Tag]

ON_CARDS = re.compile(
    r"^[a-z0-9-]+/(?:title|stopped|finished|need/\d+|by_heart/[a-z0-9-]+/do|never/[a-z0-9-]+/text"
    r"|blocks/[a-z0-9-]+/title|blocks/[a-z0-9-]+/steps/[a-z0-9-]+/(?:do|measure/\w+|notice/\w+)"
    r"|blocks/[a-z0-9-]+/steps/[a-z0-9-]+/if_not/(?:can|title|lines/[a-z0-9-]+/do)"
    r"|decision/title|decision/rows/[a-z0-9-]+/(?:see|do))$"
)
"""What a card has: what to do, and nothing that explains it."""

FURNITURE = {
    *("By heart", "By heart, while rolling", "Know by heart", "You need:", ",", ".", ":"),
    *("Read and do", "Then decide", "If", "Then", "Then you are finished.", "Never", "Facts", "Report"),
    *("go on.", "Turn over: it goes on behind.", ", continued", ", notes"),
    *("Finished when:", "Before rolling again", "Version and sources", "Local rule:", "Changes:"),
    *("DANGER", "WARNING", "CAUTION", "NOTICE", "Done", "Not here", "Sources", "nothing."),
    *("Interrupted? Start the block again from its first step.", "Interrupted? Start this block again."),
    *(
        "Interrupted? Start the block again.",
        ". Interrupted? Start the block again.",
        "Back to its first step",
        "Start again from step 1",
    ),
    *("Then: is it finished?", "End.", "Record and photos", "Clocks and deadlines", "Phone numbers"),
    *("Find the triangle distances", "Record", "Call 911", "Call dispatch"),
    "Your distances on this road:",
    *(tool.title for tool in STEP_TOOLS.values()),
}
"""Words of the templates, the same on every page."""

TILE = re.compile(r"^[a-z0-9-]+/tile$")

MADE = (".review", ".sources", ".changes", ".code", ".foot", ".progress")
"""Parts made from dates, codes and the bibliography."""


CONDITION = "|".join(CONDITIONS.values())
NUMBERED = re.compile(rf"\d+\.?|With (?:{CONDITION})(?: and (?:{CONDITION}))*:")
"""Numbers of steps, and conditions, whose words are in a table of their own."""


def loose(tag: Tag, library: Library) -> Iterable[str]:
    """Words without a key that are neither furniture, numbers, conditions nor links onward."""
    known = {text for part in tag.select(", ".join(MADE)) for text in loose_texts(part)}
    ways = {f"Open: {procedure.title}" for procedure in library.procedures}
    code = "|".join(procedure.code for procedure in library.procedures)
    turn = re.compile(rf"Turn to (?:{code})(?:(?:, (?:{code}))* or (?:{code}))?\.")
    ways |= {procedure.decision.title for procedure in library.procedures if procedure.decision}
    fine = FURNITURE | known | ways
    for text in loose_texts(tag):
        plain = text.replace("\u00a0", " ")
        if not (plain in fine or NUMBERED.fullmatch(plain) or turn.fullmatch(plain)):
            yield plain


def test_a_page_holds_every_text_of_its_procedure_under_its_key(library: Library, pages: Pages) -> None:
    for procedure in library.procedures:
        wanted = texts_by_id(procedure)
        tile = wanted.pop(f"{procedure.id}/tile")
        assert tile
        assert wanted == said(pages[procedure.id])
        assert [] == list(loose(pages[procedure.id], library)), procedure.id


def test_the_cab_file_holds_the_same_texts_under_the_same_keys(
    library: Library, pages: Pages, cab_procedures: Pages, cab: BeautifulSoup
) -> None:
    tiles = sorted((tag["data-key"], tag.get_text()) for tag in cab.find_all(attrs={"data-key": TILE}))
    assert tiles == sorted((f"{procedure.id}/tile", procedure.tile) for procedure in library.procedures)
    for procedure in library.procedures:
        assert said(pages[procedure.id]) == said(cab_procedures[procedure.id])
        assert [] == list(loose(cab_procedures[procedure.id], library)), procedure.id


def test_a_card_holds_what_is_done_under_the_same_keys_and_no_other_text(
    library: Library, pages: Pages, cards: Pages
) -> None:
    for procedure in library.procedures:
        wanted = {key: text for key, text in said(pages[procedure.id]).items() if ON_CARDS.search(key)}
        assert wanted == said(cards[procedure.code])
        assert [] == list(loose(cards[procedure.code], library)), procedure.id


def test_no_key_stands_twice_on_a_page_and_none_is_used_by_two_procedures(
    library: Library, pages: Pages, cab_procedures: Pages
) -> None:
    for shown in (pages, cab_procedures):
        for name, page in shown.items():
            keys = [str(tag["data-key"]) for tag in page.select("[data-key]")]
            assert len(keys) == len(set(keys)), name
            assert all(key.startswith(f"{name}/") for key in keys)
    every = [key for procedure in library.procedures for key in texts_by_id(procedure)]
    assert len(every) == len(set(every))


def test_a_keyed_text_is_plain_words_so_that_it_can_be_replaced(pages: Pages, cab_procedures: Pages) -> None:
    for page in (*pages.values(), *cab_procedures.values()):
        for tag in page.select("[data-key]"):
            assert [] == tag.find_all(True), tag["data-key"]
