"""The project's own rule files, loaded once for the tests that work with them."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.commands.rule_files import load_rules, rule_names
from forty_paces.geometry.records import HiddenViewRule
from forty_paces.geometry.units import whole_up

PROJECT = Path(__file__).resolve().parents[1]


def names() -> list[str]:
    """Every rule set there is."""
    return rule_names(PROJECT)


@cache
def rule_file(name: str) -> RuleFile:
    """One rule file, checked."""
    return load_rules(PROJECT, name)


def under_rules(rules_id: str, library: Library) -> Library:
    """The same content for a carrier that uses another rule set."""
    return replace(library, fleet=library.fleet.model_copy(update={"rules": rules_id}))


def unknown_end_ft(hidden: HiddenViewRule, b_ft: float) -> float:
    """Where the device goes if A or C is not known: the first whole step at or past B and one step more."""
    steps = whole_up(b_ft + hidden.step_ft, hidden.step_ft)
    return min(max(hidden.from_ft, steps), hidden.to_ft)
