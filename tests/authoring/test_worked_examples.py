"""Worked examples agree with every rule file, and detect a wrong figure."""

import copy

import pytest
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.authoring.worked_examples import example_mismatches
from forty_paces.geometry.placement import place

from tests.authoring.test_rules_model import texts
from tests.rule_files import names, rule_file

EXAMPLES = [(name, example.id) for name in names() for example in rule_file(name).examples]


@pytest.mark.parametrize(("name", "example_id"), EXAMPLES)
def test_every_worked_example_of_every_rule_file_is_what_the_engine_answers(name, example_id):
    rules = rule_file(name)
    example = next(example for example in rules.examples if example.id == example_id)
    answer = place(rules.rule_set, rules.situation(example))
    expected = sorted((d.toward, round(d.distance, 6), str(d.across), d.moved) for d in example.devices)
    found = sorted((d.toward, round(d.distance_ft, 6), d.across, d.moved) for d in answer.devices)
    assert expected == found
    for side in example.approach:
        approach = answer.approach(side.toward)
        assert approach is not None
        assert approach.ample is side.ample
        tolerance_ft = 0.05 if rules.lengths_in == "feet" else 0.05 / 0.3048
        if side.needed is not None:
            assert approach.needed_ft == pytest.approx(side.needed, abs=tolerance_ft + 1e-6)
        if side.warning is not None:
            assert approach.warning_ft == pytest.approx(side.warning, abs=tolerance_ft + 1e-6)


@pytest.mark.parametrize("name", names())
def test_figures_and_examples_agree(name):
    assert example_mismatches(rule_file(name)) == ()


def changed(change):
    """The mismatches of the federal file after one change."""
    data = copy.deepcopy(texts())
    change(data)
    return example_mismatches(RuleFile.model_validate(data))


def test_a_mistyped_distance_contradicts_its_examples():
    def change(data):
        data["layouts"][1]["devices"][2]["distance"] = "210 ft"

    found = changed(change)
    assert found[0].example == "divided-clear"
    assert found[0].loc == ("examples", 1, "devices")
    assert found[0].wrong == (
        "the example has behind 10.0 ft, traffic side; behind 100.0 ft, center of lane or shoulder; "
        "behind 200.0 ft, center of lane or shoulder; the figures give behind 10.0 ft, traffic side; "
        "behind 100.0 ft, center of lane or shoulder; behind 210.0 ft, center of lane or shoulder"
    )
    assert {one.example for one in found} == {"divided-clear", "one-way-slow", "divided-near-curve"}


@pytest.mark.parametrize(
    ("change", "caught_by"),
    [
        (lambda data: data["layouts"][0]["devices"][0].update(distance="100 m"), "two-lane-clear"),
        (
            lambda data: data["layouts"][0]["devices"][0].update(across="center of lane or shoulder"),
            "fog",
        ),
        (lambda data: data["layouts"][0]["devices"][2].update(toward="behind"), "two-lane-clear"),
        (lambda data: data["hidden_view"].update(within="450 ft"), "at-the-limit"),
        (lambda data: data["hidden_view"].update(within="700 ft"), "fog-beyond-the-limit"),
        (lambda data: data["hidden_view"].update(nearest="200 ft"), "hidden-but-enough"),
        (lambda data: data["hidden_view"].update(farthest="400 ft"), "at-the-limit"),
        (lambda data: data["hidden_view"].update(step="20 ft"), "whole-steps"),
        (lambda data: data["visibility"][0].update(reach="400 ft"), "two-lane-clear"),
        (lambda data: data["visibility"][2].update(reach="200 ft"), "fog"),
        (lambda data: data["visibility"][0].update(reflecting="400 ft"), "two-lane-clear"),
        (lambda data: data.update(default_visibility="daylight"), "two-lane-clear"),
        (lambda data: data.pop("hidden_view"), "crest-behind"),
    ],
)
def test_any_changed_figure_of_the_rule_is_caught_by_an_example(change, caught_by):
    assert caught_by in {found.example for found in changed(change)}


def test_a_mistyped_example_is_reported_at_its_own_key():
    def change(data):
        data["examples"][0]["approach"][1]["needed"] = "429.5 ft"
        data["examples"][0]["approach"][0]["ample"] = "yes"
        data["examples"][2]["approach"].append({"toward": "ahead", "ample": "yes"})

    found_at = [(found.loc, found.wrong) for found in changed(change)]
    assert found_at == [
        (("examples", 0, "approach", 0, "ample"), "the example says yes; the figures say no"),
        (
            ("examples", 0, "approach", 1, "needed"),
            "the example says 429.5 ft; the figures give 492.5 ft",
        ),
        (("examples", 2, "approach", 1), "no traffic comes from ahead on this road"),
    ]


def test_an_example_on_a_slope_nobody_can_stop_on_is_reported():
    def change(data):
        data["examples"][-1]["situation"]["surface"] = "ice"
        data["examples"][-1]["situation"]["grade_pct"] = "-8"

    (found,) = changed(change)
    assert found.loc == ("examples", 16, "situation")
    assert found.wrong.startswith("this situation has no answer: on ice at a grade of -8 percent")
