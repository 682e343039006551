"""Compares the placement computed from a rule file with the file's hand-worked examples.

A mismatch does not say which of the two is wrong: the author has to look the rule up.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from forty_paces.authoring.documents import ParsedRecord
from forty_paces.authoring.findings import Finding
from forty_paces.authoring.models.rules import ExpectedApproach, RuleFile, WorkedExample
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import Placement
from forty_paces.geometry.stopping import CannotStop
from forty_paces.messages.quantities import feet, meters

LOOK_AGAIN = "look the rule up again: either the figure above or this example is wrong"


class ExampleMismatch(NamedTuple):
    """One difference between a worked example and the computed placement."""

    example: str
    "The id of the example."
    loc: tuple[str | int, ...]
    "Path in the file, such as ('examples', 3, 'devices')."
    wrong: str
    "What differs, as a message to the author."


def example_mismatches(rules: RuleFile) -> tuple[ExampleMismatch, ...]:
    """All mismatches of one rule file; lengths are compared to 0.1 in the unit of the rule."""
    return tuple(
        ExampleMismatch(example.id, ("examples", position, *loc), wrong)
        for position, example in enumerate(rules.examples)
        for loc, wrong in _differences(rules, example)
    )


def example_findings(filed: ParsedRecord[RuleFile]) -> Iterator[Finding]:
    """Findings where the worked examples of one rule file and its figures differ."""
    for found in example_mismatches(filed.record):
        example = filed.record.examples[int(found.loc[1])]
        lines = " and ".join(str(line) for line in _figure_lines(filed, example))
        fix = f"{LOOK_AGAIN}; the figures begin on line {lines}"
        yield filed.document.finding(found.loc, found.wrong, fix=fix)


def _figure_lines(filed: ParsedRecord[RuleFile], example: WorkedExample) -> Iterator[int]:
    """Line numbers of the layout in force, and of the hidden-view rule if the example uses it."""
    situation = example.situation
    for i, layout in enumerate(filed.record.layouts):
        below = layout.speed_below if layout.speed_below is not None else float("inf")
        if situation.road in layout.roads and layout.speed_from <= situation.speed < below:
            yield filed.document.place(("layouts", i)).line
    hidden = situation.hidden_behind is not None or situation.hidden_ahead is not None
    if hidden and filed.record.hidden_view is not None:
        yield filed.document.place(("hidden_view",)).line


def _differences(rules: RuleFile, example: WorkedExample) -> Iterator[tuple[tuple[str | int, ...], str]]:
    try:
        answer = place(rules.rule_set, rules.situation(example))
    except CannotStop as refusal:
        yield ("situation",), f"this situation has no answer: {refusal}"
        return
    expected = _expected_devices(rules, example)
    devices = _found_devices(rules, answer)
    if expected != devices:
        yield ("devices",), f"the example has {_listed(expected)}; the figures give {_listed(devices)}"
    for position, side in enumerate(example.approach):
        for key, wrong in _approach_differences(rules, side, answer):
            yield ("approach", position, key) if key else ("approach", position), wrong


def _approach_differences(
    rules: RuleFile, expected: ExpectedApproach, answer: Placement
) -> Iterator[tuple[str, str]]:
    approach = answer.approach(expected.toward)
    if approach is None:
        yield "", f"no traffic comes from {expected.toward} on this road"
        return
    for key, wanted_ft, found_ft in (
        ("needed", expected.needed, approach.needed_ft),
        ("warning", expected.warning, approach.warning_ft),
        ("reflecting", expected.reflecting, approach.reflecting_warning_ft or approach.warning_ft),
        ("look", expected.look, approach.look_ft),
    ):
        if wanted_ft is not None and _to_a_tenth(rules, wanted_ft) != _to_a_tenth(rules, found_ft):
            wanted, computed = _to_a_tenth(rules, wanted_ft), _to_a_tenth(rules, found_ft)
            yield key, f"the example says {wanted}; the figures give {computed}"
    if expected.ample != approach.ample:
        words = {True: "yes", False: "no"}
        yield "ample", f"the example says {words[expected.ample]}; the figures say {words[approach.ample]}"


def _expected_devices(rules: RuleFile, example: WorkedExample) -> tuple[str, ...]:
    return tuple(
        sorted(
            _device(rules, device.toward, device.distance, device.across, device.moved)
            for device in example.devices
        )
    )


def _found_devices(rules: RuleFile, answer: Placement) -> tuple[str, ...]:
    return tuple(
        sorted(
            _device(rules, device.toward, device.distance_ft, device.across, device.moved)
            for device in answer.devices
        )
    )


def _device(rules: RuleFile, toward: str, distance_ft: float, across: str, moved: bool) -> str:
    place = f"{toward} {_to_a_tenth(rules, distance_ft)}, {across}"
    return f"{place}, moved" if moved else place


def _to_a_tenth(rules: RuleFile, length_ft: float) -> str:
    return meters(length_ft, 1) if rules.lengths_in == "meters" else feet(length_ft, 1)


def _listed(devices: tuple[str, ...]) -> str:
    return "; ".join(devices) if devices else "no device"
