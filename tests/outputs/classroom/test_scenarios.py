"""The scenarios of the library: what they cover, their figures, their pages and booklets."""

from __future__ import annotations

import json
import re
from collections import Counter
from dataclasses import replace
from functools import cache

import pypdfium2
import pytest
from bs4 import BeautifulSoup
from forty_paces.authoring.models.scenario import Computed, Outcome, Trip
from forty_paces.authoring.scenario_figures import FigureKind, computed
from forty_paces.authoring.texts import list_texts, texts_by_id
from forty_paces.geometry.solver import place_in_scene
from forty_paces.outputs.classroom import scenarios
from forty_paces.outputs.classroom.lessons import lesson_context
from forty_paces.outputs.classroom.scenario_view import ScenarioView, entries, scenario_views
from forty_paces.outputs.classroom.scenarios import booklet_document
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.paper import pdf
from forty_paces.outputs.paper.sheets import PAPERS

from tests.outputs.classroom.lesson_samples import PROJECT, real_library
from tests.soaking import sample

CONTEXT = BuildContext(real_library(), PROJECT / "site_overrides")
VIEWS = {view.id: view for view in scenarios.views(CONTEXT)}
RULES = real_library().rules["us"].rule_set

ASKED_FOR = {
    "a bend at night": "night-bend",
    "a tanker fire": "tanker-smoke",
    "a live lane": "bridge-lane",
    "a downgrade": "long-grade",
    "a crash": "crest-crash",
    "a driver who is ill": "lost-miles",
}


def test_there_are_scenarios_before_during_and_after_the_trip_and_of_each_kind() -> None:
    assert set(ASKED_FOR.values()) <= set(VIEWS)
    assert set(Trip) == {view.scenario.trip for view in VIEWS.values()}


def paths(view: ScenarioView) -> list[list[str]]:
    """Every way through a scenario, as the ids met."""
    moments = {moment.id: moment for moment in view.moments}
    done, open_paths = [], [[view.scenario.start]]
    while open_paths:
        path = open_paths.pop()
        if path[-1] not in moments:
            done.append(path)
            continue
        assert len(path) <= len(moments), f"{view.id} has a loop"
        open_paths += [[*path, choice.to] for choice in moments[path[-1]].choices]
    return done


@pytest.mark.parametrize("name", VIEWS)
def test_every_way_through_ends_and_only_safe_choices_end_safe(name: str) -> None:
    view = VIEWS[name]
    ends = {end.id: end.outcome for end in view.ends}
    ways = paths(view)
    assert set(ends) == {way[-1] for way in ways}
    assert {Outcome.SAFE, Outcome.HARM} <= set(ends.values())
    best = [moment.id for moment in view.best_path()]
    assert [*best, view.best_end().id] in ways
    assert view.best_end().outcome == Outcome.SAFE


def test_figures_are_those_of_the_engine_rounded_to_the_safe_side() -> None:
    """Against the placement itself. A walk is at 3.5 ft/s (MUTCD 2009)."""
    library = real_library()
    solved = place_in_scene(RULES, library.scenes["drover-crest"])
    behind = solved.placement.approaches[0]
    values = {
        figure.compute: computed(RULES, figure, library.scenes["drover-crest"])
        for figure in library.scenarios["crest-crash"].figures
    }
    assert values[Computed.ALONE].value == behind.vehicle_only_ft
    assert values[Computed.NEEDED].value == behind.needed_ft
    assert values[Computed.WARNING].value == behind.warning_ft
    assert values[Computed.DISTANCE].value == 210
    assert values[Computed.WALK].value == round(2 * (210 + 100) / 3.5)
    assert values[Computed.WALK_OUT].value == round(210 / 3.5)
    assert values[Computed.RULE_DISTANCE].value == 100
    assert values[Computed.ALONE_TIME].value == pytest.approx(behind.vehicle_only_ft * 3600 / 5280 / 55)
    crest_view = VIEWS["crest-crash"]
    (how_far,) = (moment for moment in crest_view.moments if moment.id == "how-far")
    assert (
        "It stands 210 ft back. Drivers are warned 513 ft before the truck, and need 503 ft."
        in how_far.best.then
    )
    assert how_far.best.seconds == 177


def test_figures_without_a_scene_are_those_of_the_stopping_tables() -> None:
    """At 30 and 50 mph on 6 percent down: 215 and 474 ft (Green Book, stopping on grades, from memory)."""
    figures = {one.id: computed(RULES, one, None) for one in real_library().scenarios["long-grade"].figures}
    assert [figures[name].kind for name in ("safe", "stop-safe")] == [
        FigureKind.SPEED,
        FigureKind.NEEDED_LENGTH,
    ]
    assert "215 ft" in next(m for m in VIEWS["long-grade"].moments if m.id == "creeping").best.then
    assert any("474 ft" in one.then for moment in VIEWS["long-grade"].moments for one in moment.choices)
    blind = next(one for one in real_library().scenarios["lost-miles"].figures if one.id == "blind")
    assert computed(RULES, blind, None).value == pytest.approx(65 * 22 / 15 * 4)


@cache
def page_of(name: str) -> BeautifulSoup:
    return BeautifulSoup(scenarios.scenario_html(CONTEXT, VIEWS[name]), "html.parser")


def test_no_slot_is_left_in_any_text() -> None:
    for name in VIEWS:
        page = page_of(name)
        assert not re.search(r"[{}]", page.select_one("main").get_text()), name


def test_nobody_walks_to_a_device_on_a_best_path_where_there_is_no_way_off() -> None:
    """Safety first: in a live lane, in fog, before a fire and when faint, the best keeps off the road."""
    for name in ("bridge-lane", "two-triangles", "tanker-smoke", "lost-miles", "hours-after", "long-grade"):
        for moment in VIEWS[name].moments:
            assert moment.best.seconds == 0, (name, moment.id)
    lane = [moment.best.line.key for moment in VIEWS["bridge-lane"].best_path()]
    assert lane[0] == "live-lane/by_heart/belted-call/do"
    assert lane.index("live-lane/blocks/from-the-seat/steps/way-off/if_not/lines/stay-in/do") == 2
    crash = [moment.best.line.key for moment in VIEWS["crest-crash"].best_path()]
    assert crash.index("crash-scene/by_heart/call-first/do") < crash.index(
        "warning-devices/decision/rows/hidden/do"
    )


def test_every_choice_rests_on_a_line_and_shows_its_words() -> None:
    library = real_library()
    known = list_texts(library.before_trip, library.after_event)
    for procedure in library.procedures:
        known |= texts_by_id(procedure)
    for view in VIEWS.values():
        for moment in view.moments:
            for choice in moment.choices:
                assert choice.line.text == known[choice.line.key]
                assert choice.line.where


def test_neither_letter_nor_length_gives_the_best_choice_away() -> None:
    letters: Counter[str] = Counter()
    longest = asked = 0
    for view in VIEWS.values():
        for moment in view.moments:
            letters[moment.best.letter] += 1
            asked += 1
            longest += max(moment.choices, key=lambda one: len(one.do)).best
    assert max(letters.values()) <= 0.5 * asked
    assert longest <= 0.5 * asked


@pytest.mark.parametrize("name", VIEWS)
def test_numbers_of_the_booklet_lead_where_the_page_leads(name: str) -> None:
    view = VIEWS[name]
    parts = list(entries(view))
    assert [number for number, _, _ in parts] == list(range(1, len(parts) + 1))
    page = page_of(name)
    assert ", unsigned." in page.select_one(".opening__foot").get_text()
    ids = {str(one["id"]) for one in page.select("[id]")}
    assert all(str(link["href"])[1:] in ids for link in page.select("main a[href^='#']"))
    data = json.loads(page.select_one("#scenario-data").get_text())
    for moment in view.moments:
        shown = page.select(f"#moment-{moment.id} a.choice")
        assert [f"#n{choice.number}" for choice in moment.choices] == [one["href"] for one in shown]
        assert [c.to for c in moment.choices] == [c["to"] for c in data["moments"][moment.id]["choices"]]
        assert [c.best for c in moment.choices] == [c["best"] for c in data["moments"][moment.id]["choices"]]


@pytest.mark.long
@pytest.mark.soak
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_booklet_fills_the_pages_it_was_composed_on(paper: str) -> None:
    documents = [booklet_document(CONTEXT, view, PAPERS[paper], name) for name, view in VIEWS.items()]
    documents = [max(documents, key=lambda one: one.pages), *sample(documents, 3 if paper == "letter" else 2)]
    # One by one, so in this process: others would first load the layout engine.
    made = [len(pypdfium2.PdfDocument(data)) for one in documents for data in pdf.pdfs([one])]
    assert made == [document.pages for document in documents]


def test_a_booklet_fills_the_pages_it_was_composed_on_and_keeps_the_best_path_apart() -> None:
    view = VIEWS["long-grade"]
    for paper in ("letter", "a4"):
        document = booklet_document(CONTEXT, view, PAPERS[paper], "booklet")
        (data,) = pdf.pdfs([document])
        read = pypdfium2.PdfDocument(data)
        assert document.pages == len(read), paper
        words = [page.get_textpage().get_text_range() for page in read]
        first = next(n for n, text in enumerate(words) if "For the trainer" in text)
        why = view.moments[0].why.split(".")[0]
        assert not any(why in " ".join(text.split()) for text in words[:first])
        assert any(why in " ".join(text.split()) for text in words[first:])


def test_under_another_rule_set_only_stories_that_hold_there_are_shown() -> None:
    library = real_library()
    for rules in library.rules:
        fleet = library.fleet.model_copy(update={"rules": rules})
        other = replace(library, fleet=fleet)
        shown = {
            view.id for view in scenario_views(other, lesson_context(BuildContext(other, CONTEXT.overrides)))
        }
        assert shown == (set(VIEWS) if rules == "us" else {"long-grade"}), rules
