"""A scenario that cannot be played, or whose figures are not computed, is refused with its place."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from types import MappingProxyType

import pytest
from forty_paces.authoring.binding import bind
from forty_paces.authoring.checks.scenarios import check_scenarios
from forty_paces.authoring.documents import Document, ParsedRecord
from forty_paces.authoring.models.scenario import Scenario
from forty_paces.authoring.models.scene import SceneFile
from forty_paces.authoring.parsed_content import ParsedContent
from forty_paces.authoring.yaml_tree import parse_file

from tests.outputs.classroom.lesson_samples import PROJECT, real_library

FILE = "content/scenarios/mill-bend.yml"
TEXT = """\
id: mill-bend
title: A flat past the mill
position: 1
version: "1.0"
effective: 2026-11-27
trip: during
minutes: 10
lines_of: [warning-devices]
rules: [us]
scene: drover-crest
story: Posted is {speed}. Drivers see you from {alone}.
figures:
  - {id: speed, compute: speed}
  - {id: alone, compute: alone, less_than: needed}
  - {id: needed, compute: needed}
  - {id: walk, compute: walk}
start: seat
moments:
  - id: seat
    meets: You stand behind a crest.
    choices:
      - id: flashers
        do: Flashers on.
        best: yes
        then: They flash.
        to: walk
        step: warning-devices/blocks/get-ready/steps/flashers-on/do
      - id: nothing
        do: I sit and wait.
        then: Drivers need {needed}.
        to: struck
        step: warning-devices/blocks/get-ready/steps/flashers-on/do
    why: They cost a second.
  - id: walk
    meets: Three triangles are in the box.
    choices:
      - id: out
        do: I set them out.
        best: yes
        then: It takes {walk}.
        to: warned
        step: warning-devices/decision/rows/hidden/do
        beside_traffic: walk
      - id: keep
        do: I keep them in.
        then: Nobody is warned.
        to: struck
        step: warning-devices/decision/rows/hidden/do
    why: Drivers get what they need.
ends:
  - {id: warned, outcome: safe, text: They all stop.}
  - {id: struck, outcome: harm, text: One does not stop.}
"""


def record(path: str, model: type) -> ParsedRecord:
    tree, parsed = parse_file(PROJECT / path, path)
    assert tree is not None
    assert not parsed
    document = Document(path.split("/")[-2], path.split("/")[-1][:-4], path, tree)
    bound, parsed = bind(document, model, conditions=None)
    assert bound is not None, parsed
    return ParsedRecord(document, bound)


def findings(folder: Path, *changes: tuple[str, str], rules: str = "us") -> list[str]:
    """The findings, as printed, after these replacements in the text above."""
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    file = folder / "mill-bend.yml"
    file.write_text(text, encoding="utf-8")
    tree, parsed = parse_file(file, FILE)
    assert tree is not None, parsed
    document = Document("scenario", "mill-bend", FILE, tree)
    scenario, parsed = bind(document, Scenario)
    if scenario is None:
        return [str(finding) for finding in parsed]
    library = real_library()
    fleet = library.fleet.model_copy(update={"rules": rules})
    draft = ParsedContent(
        today=dt.date(2026, 11, 27),
        documents=MappingProxyType({FILE: document}),
        procedures=tuple(ParsedRecord(document, one) for one in library.procedures),
        scenes=(record("content/scenes/drover-crest.yml", SceneFile),),
        rules=tuple(ParsedRecord(document, one) for one in library.rules.values()),
        fleet=ParsedRecord(document, fleet),
        scenarios=(ParsedRecord(document, scenario),),
        file_names=MappingProxyType(
            {
                "procedure": frozenset(one.id for one in library.procedures),
                "scene": frozenset({"drover-crest"}),
                "rule set": frozenset(library.rules),
            }
        ),
    )
    return [str(finding) for finding in sorted(check_scenarios(draft))]


def test_a_whole_scenario_has_no_finding(tmp_path: Path) -> None:
    assert [] == findings(tmp_path)


def test_a_choice_that_leads_nowhere_is_refused_with_its_line_and_column(tmp_path: Path) -> None:
    (said,) = findings(tmp_path, ("        to: walk\n", "        to: wlak\n"))
    assert said.splitlines() == [
        f'{FILE}:26:13: this choice leads to "wlak", which is no moment and no end [path-ends]',
        '    in:   scenario "mill-bend" > moment "seat" > choice "flashers" > to',
        "    fix: name one of: seat, struck, walk, warned (closest: walk)",
    ]


@pytest.mark.parametrize(
    ("kept", "said"),
    [(0, "no choice"), (1, "one choice only")],
)
def test_a_moment_where_nothing_is_decided_is_refused(tmp_path: Path, kept: int, said: str) -> None:
    start, end = TEXT.index("    choices:\n      - id: out"), TEXT.index("    why: Drivers get")
    choices = TEXT[start:end]
    only = choices[: choices.index("      - id: keep")] if kept else ""
    (found,) = (one for one in findings(tmp_path, (choices, only)) if "nothing is decided" in one)
    line = 37 if kept else 34
    assert f"{FILE}:{line}:" in found
    assert f'the moment "walk" has {said}, so nothing is decided there [path-ends]' in found


def test_a_loop_is_refused_at_the_choice_that_closes_it(tmp_path: Path) -> None:
    (said,) = findings(
        tmp_path,
        ("        then: Nobody is warned.\n        to: struck", "        then: Back.\n        to: seat"),
    )
    assert 'this choice leads back to "seat", so a path need never end [path-ends]' in said
    assert f"{FILE}:47:13:" in said


def test_a_choice_that_leads_to_its_own_question_is_a_loop(tmp_path: Path) -> None:
    said = findings(
        tmp_path, ("then: Nobody is warned.\n        to: struck", "then: Back.\n        to: walk")
    )
    assert any('leads back to "walk"' in one for one in said)


def test_a_moment_or_end_that_nothing_leads_to_is_refused(tmp_path: Path) -> None:
    end = "  - {id: warned, outcome: safe"
    (said,) = findings(tmp_path, (end, f"  - {{id: never, outcome: lucky, text: Nobody comes.}}\n{end}"))
    assert 'no choice leads to "never" [path-ends]' in said
    (said,) = findings(tmp_path, ("start: seat", "start: walk"))
    assert 'no choice leads to "seat" [path-ends]' in said


def test_a_start_that_is_no_moment_is_refused(tmp_path: Path) -> None:
    (said,) = findings(tmp_path, ("start: seat", "start: warned"))
    assert 'the start "warned" is no moment of this scenario [path-ends]' in said


def test_each_moment_has_one_best_choice(tmp_path: Path) -> None:
    (said,) = findings(
        tmp_path, ("        do: Flashers on.\n        best: yes\n", "        do: Flashers on.\n")
    )
    assert 'the moment "seat" has no best choice [best-path]' in said
    (said,) = findings(tmp_path, ("do: I sit and wait.\n", "do: I sit and wait.\n        best: yes\n"))
    assert 'the moment "seat" has 2 best choices [best-path]' in said


@pytest.mark.parametrize("outcome", ["lucky", "harm"])
def test_the_best_choices_lead_to_a_safe_end(tmp_path: Path, outcome: str) -> None:
    (said,) = findings(tmp_path, ("id: warned, outcome: safe", f"id: warned, outcome: {outcome}"))
    assert f'the best choices lead to "warned", whose outcome is {outcome} [best-path]' in said


@pytest.mark.parametrize("typed", ["210 ft", "3.5 s", "55 mph", "64 m", "90 km/h", "1,000 ft", "5 seconds"])
def test_a_figure_typed_by_hand_is_refused(tmp_path: Path, typed: str) -> None:
    (said,) = findings(tmp_path, ("then: They flash.", f"then: They are seen from {typed} off."))
    assert f'"{typed}" is typed by hand, and the engine can compute it [computed-figure]' in said


@pytest.mark.parametrize("quoted", ["10 min", "8 h", "911", "40 paces", "6 percent"])
def test_what_no_engine_computes_may_be_quoted(tmp_path: Path, quoted: str) -> None:
    assert [] == findings(tmp_path, ("then: They flash.", f"then: It says {quoted} here."))


def test_a_text_names_figures_that_exist_and_every_figure_is_named(tmp_path: Path) -> None:
    said = findings(tmp_path, ("Drivers need {needed}.", "Drivers need {neded}."))
    assert any('there is no figure "neded" [computed-figure]' in one for one in said)
    (said,) = findings(tmp_path, ("Posted is {speed}. Drivers", "Drivers"))
    assert 'no text names the figure "speed"' in said


def test_a_story_that_its_figures_contradict_is_refused(tmp_path: Path) -> None:
    (said,) = findings(tmp_path, ("compute: alone, less_than: needed", "compute: alone, at_least: needed"))
    assert "the figure is 363.0, and the story needs it at least 502." in said
    assert "[computed-figure]" in said


def test_a_figure_that_cannot_be_computed_is_refused(tmp_path: Path) -> None:
    (said,) = findings(tmp_path, ("{id: walk, compute: walk}", "{id: walk, compute: travel, speed_mph: 55}"))[
        :1
    ]
    assert 'the figure "walk" is no walking time' in said or 'travel needs "seconds"' in said
    said = findings(tmp_path, ("scene: drover-crest\n", ""))
    assert any("alone is computed on a scene, and the scenario names none" in one for one in said)


def test_time_beside_traffic_is_a_walking_time(tmp_path: Path) -> None:
    (said,) = findings(tmp_path, ("beside_traffic: walk", "beside_traffic: alone"))
    assert 'the figure "alone" is no walking time' in said


def test_a_choice_rests_on_a_line_that_exists(tmp_path: Path) -> None:
    old = "step: warning-devices/blocks/get-ready/steps/flashers-on/do"
    (said,) = findings(tmp_path, (old, "step: warning-devices/blocks/get-ready/steps/flasher-on/do"))
    assert 'there is no line "warning-devices/blocks/get-ready/steps/flasher-on/do" [line-known]' in said
    (said,) = findings(tmp_path, (old, "step: fog/by_heart/low-beams/do"))
    assert "is a line of another procedure than this part teaches [line-known]" in said


def test_what_is_used_twice_is_refused(tmp_path: Path) -> None:
    said = findings(tmp_path, ("id: struck, outcome", "id: warned, outcome"))
    assert any('the id "warned" is used twice among the moments and ends' in one for one in said)
    (said,) = findings(tmp_path, ("do: I sit and wait.", "do: Flashers on!"))
    assert 'the choice "Flashers on!" is offered twice [distinct-choice]' in said


def test_under_another_rule_set_it_is_not_shown_and_that_is_advice(tmp_path: Path) -> None:
    (said,) = findings(tmp_path, rules="germany")
    assert 'advice: the rule set in force is "germany", so this scenario is not shown' in said
