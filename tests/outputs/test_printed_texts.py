"""Every sentence that is printed or dealt, swept for what a careful reader would mark.

What is looked for: names of nothing ("None", "undefined"), a plural after 1, a word twice, two spaces,
a space before a stop, stops that meet, a sentence that does not end.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from bs4 import BeautifulSoup
from forty_paces.drawing.formats import Size
from forty_paces.messages.placement import texts
from forty_paces.messages.quantities import look_seconds
from forty_paces.outputs.cards.card_set import CardSet
from forty_paces.outputs.cards.placement_faces import placement_faces
from forty_paces.outputs.cards.poster import poster_document
from forty_paces.outputs.classroom.documents import class_papers, recall_papers, signoff_paper, yard_paper
from forty_paces.outputs.classroom.lessons import decks, lesson_html, notes_html
from forty_paces.outputs.classroom.placing_slides import device_words, margin_words, needed_words, right_words
from forty_paces.outputs.classroom.placing_tasks import Task, scene_task, situations
from forty_paces.outputs.classroom.worksheets import rules_of, situation_words
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper.sheets import PAPERS

LETTER = PAPERS["letter"]
FAULT = re.compile(
    r"undefined|None\b|\bnan\b|\binf\b|[{}]"
    r"|\b1 (?:feet|paces|minutes|seconds|hours|devices|meters|lines|questions|cards)\b"
    r"|\b(?:[2-9]|\d\d+) (?:foot|pace|minute|second|device|meter)\b"
    r"|\S  \S|\s[.,;:!?](?:[\s\w]|$)|[.,;:?!][.,;:]|\b([A-Za-z]+) \1\b|[a-z0-9][.?!][A-Z]|[a-z]{2}\. [a-z]"
)
BLOCKS = ("p", "li", "td", "th", "h1", "h2", "h3", "span.row")


def faults(texts: Iterator[str]) -> list[tuple[str, str]]:
    return sorted({(found[0], text) for text in texts if (found := FAULT.search(text))})


@pytest.mark.parametrize(
    "text",
    [
        "Walk 1 paces.",
        "Walk 40 pace.",
        "Move  on.",
        "Set it there ,then go.",
        "It ends..",
        "Look at the the tire.",
        "Cards STO2 1.0.Not yet reviewed.",
        "It is None ft long.",
        "Stop there. then go.",
    ],
)
def test_the_sweep_finds_what_it_is_to_find(text: str) -> None:
    assert faults(iter([text]))


@pytest.mark.parametrize("text", ["1 ft (1 pace) behind.", "49 CFR 392.22(b)(1)(i).", "Posted 55 mph. 3 in."])
def test_the_sweep_lets_good_words_pass(text: str) -> None:
    assert [] == faults(iter([text]))


def said_of(task: Task, context: BuildContext) -> Iterator[str]:
    rules = rules_of(context)
    yield from (situation_words(task), needed_words(task, rules), margin_words(task, rules))
    yield task.scene.teaching_point
    yield from texts(rules, task.solved.placement.cautions)
    yield from texts(rules, task.solved.placement.walk.order)
    for one in task.expected:
        yield from (f"{device_words(task.lengths, one)}.", right_words(task.lengths, one), one.why)


def test_every_situation_that_can_be_dealt_is_reported_in_whole_sentences(context: BuildContext) -> None:
    rules = rules_of(context)
    texts = [
        text
        for group in situations(rules, context.library.scenes.values())
        for scene in group
        for text in said_of(scene_task(rules, scene), context)
    ]
    assert len(texts) > 2000
    assert [] == faults(iter(texts))
    assert [] == [text for text in texts if not re.search(r"^[A-Z0-9].*[.!?]$", text)]


def printed(context: BuildContext) -> Iterator[tuple[str, str]]:
    for document in class_papers(context, LETTER, number=3, variants=2):
        yield document.title, document.html
    for document in recall_papers(context, decks(context), LETTER):
        yield document.title, document.html
    yield "yard", yard_paper(context, LETTER).html
    yield "sign-off", signoff_paper(context, LETTER).html
    yield "poster", poster_document(context, PAPERS["tabloid"], "x").html


def blocks(html: str) -> Iterator[str]:
    """The words of each block that holds no other block."""
    soup = BeautifulSoup(html, "html.parser")
    for number in soup.select(".number, .poster-number, .options__letter, .label"):
        number.extract()  # set by hand beside the words
    for block in soup.body.select(",".join(BLOCKS)):
        if not block.select(",".join(BLOCKS)):
            yield " ".join(block.get_text().replace("\u00a0", " ").split())
    for text in soup.select("svg text, svg title, svg desc"):
        yield " ".join(text.get_text().split())


def test_every_classroom_paper_and_the_poster_reads_well(context: BuildContext) -> None:
    count = 0
    for name, html in printed(context):
        texts = list(blocks(html))
        assert [] == faults(iter(texts)), name
        count += len(texts)
    assert count > 1000


def test_every_lesson_and_its_notes_read_well(context: BuildContext) -> None:
    for deck in decks(context):
        for html in (lesson_html(context, deck), notes_html(context, deck)):
            texts = list(blocks(html))
            assert len(texts) > 20
            assert [] == faults(iter(texts)), deck.lesson.id


def test_every_card_reads_well(half_letter: CardSet, wallet: CardSet) -> None:
    for face in (*half_letter.faces, *wallet.faces):
        assert [] == faults(blocks(f"<body>{face.html}</body>")), face.code


def test_every_placement_face_tells_devices_distances_sides_walk_and_cautions(
    context: BuildContext, half_letter: CardSet
) -> None:
    """From the paper alone: how far in feet, meters and paces, which side, which order, what care."""
    rules = rules_of(context)
    for asked in placement_faces(rules, Size.CARD):
        leaf = [face.html for face in half_letter.faces if face.code == asked.code]
        words = " ".join(block for html in leaf for block in blocks(f"<body>{html}</body>"))
        if asked.kind != "placement":
            continue
        assert len(asked.devices) == 3
        for device in asked.devices:
            side = "behind" if device.toward.value == "behind" else "ahead of"
            assert re.search(
                rf"\b{device.distance_ft:g} ft \(\d+ m\), {device.paces} paces {side} the vehicle, "
                rf"{re.escape(device.across)}\. {re.escape(device.source)}\.",
                words,
            ), (asked.code, device)
        assert all(leg in words for leg in asked.walk)
        for caution in (
            "Flashers on.",
            "Vest on.",
            "Not safe to walk that far? Go back. Do not place it.",
            "no flame",
        ):
            assert caution in words, (asked.code, caution)
        assert f"All out within {rules.time_limit_s / 60:g} min, but life goes first." in words
        assert f"Turn to {asked.more}." in words
        assert "Local rules win over this card." in words


def test_the_faces_for_a_hidden_view_tell_what_to_look_for_how_far_and_the_look_back(
    context: BuildContext, half_letter: CardSet
) -> None:
    look, moved = (face for face in placement_faces(rules_of(context), Size.CARD) if face.kind != "placement")
    said = dict.fromkeys((look.code, moved.code), "")
    for face in half_letter.faces:
        if face.code in said:
            said[face.code] += " ".join(blocks(f"<body>{face.html}</body>"))
    for words in (
        "Where the bend begins",
        "Where you lose sight of the pavement of their lane",
        "not for cars",
        "4 paces past B, then on to the next of 40, 44, 48 and so on, 200 at most",
        "Look back from there, off the road",
        "until they pass you",
        f"Turn to {moved.code}",
    ):
        assert words in said[look.code]
    assert moved.table is not None
    for row in moved.table.views:
        assert f"{row.bend_paces} ({row.hill_paces}) paces" in said[moved.code]
    for look_row in moved.table.looks:
        checks = " ".join(look_seconds(check.look_s) for check in look_row.checks)
        assert f"{look_row.paces} paces {checks}" in said[moved.code]
    assert "Over a hill one second more" in said[moved.code]
