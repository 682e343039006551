"""The skeleton of a new procedure lists every key, has findings, and loads once it is filled in."""

import datetime as dt
import re

import yaml
from forty_paces.authoring.library import inspect_project
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.models.record import Record
from forty_paces.authoring.schema import skeleton
from forty_paces.authoring.yaml_tree import parse_tree
from pydantic import BaseModel

from tests.faults.projects import BASE, TODAY, project_with

PATH = "content/procedures/loose-wheel.yml"
EMPTY = skeleton("loose-wheel", TODAY)
FULL = re.sub(r"^(\s*)#(?! )", r"\1", EMPTY, flags=re.MULTILINE)
"""The skeleton with every optional key enabled."""

WORDS = {
    "title": "Loose wheel under the trailer",
    "tile": "Loose wheel",
    "symbol": "tire-rear",
    "group": "stopped",
    "position": "2",
    "family": "tires",
    "code": "WOB2",
    "review.author": "The tests",
    "cues": "The trailer shakes.",
    "stopped": "After you have stopped, start here.",
    "blocks.title": "Make the vehicle safe",
    "do": "Stay away.",
    "why": "The wheel can roll off.",
    "finished": "The vehicle stands off the road.",
    "local_rule": "The police officer gives the orders here.",
    "name": "A. Reader",
    "day": "2026-01-05",
    "need": "Vest",
    "critical": "no",
    "opens": "distances",
    "calls": "emergency",
    "devices_out": "no",
    "places.toward": "behind",
    "places.nth": "1",
    "order_reason": "It stands outside.",
    "signal": "warning",
    "hazard": "The wheel is heavy.",
    "consequence": "It can crush you.",
    "avoid": "Keep clear of it.",
    "value": "60",
    "unit": "s",
    "how": "Count slowly.",
    "otherwise": "Wait longer.",
    "if_not.can": "There is a way",
    "if_not.title": "No way off",
    "decision.title": "What you see now",
    "see": "the wheel still turns",
    "leads_to": "engine-smoke",
    "or_to": "wheel-wobble",
    "text": "Never reach under it.",
    "facts.title": "Wheel",
    "label": "Who knows",
    "facts.items.value": "The shop",
    "at": "title",
    "rule": "no-slash",
    "reason": "The tests want it.",
}


def filled(text):
    """The text with a value in place of every empty one."""
    return yaml.safe_dump(_filled(yaml.load(text, Loader=yaml.BaseLoader), ()), allow_unicode=True)


def _filled(value, way):
    if isinstance(value, dict):
        return {key: _filled(inner, (*way, key)) for key, inner in value.items()}
    if isinstance(value, list) and value:
        return [_filled(inner, way) for inner in value]
    if value:
        return value
    if way[-1] in ("source", "when"):
        return ["practice"] if way[-1] == "source" else ["trailer"]
    if way[-1] == "id":
        return "-".join(way[:-1]).replace("_", "-")
    return next(WORDS[end] for end in (".".join(way[i:]) for i in range(len(way))) if end in WORDS)


def test_an_empty_skeleton_is_plain_yaml_and_every_gap_in_it_is_reported(tmp_path):
    assert () == parse_tree(EMPTY, "f.yml")[1]
    findings = inspect_project(project_with(tmp_path, PATH, EMPTY), TODAY).findings
    assert {PATH} == {finding.place.path for finding in findings}
    gaps = {finding.trail[1].split(" ")[0] for finding in findings}
    assert {"title", "tile", "symbol", "group", "family", "code", "stopped", "finished", "local_rule"} <= gaps


def test_once_filled_in_it_loads_without_a_finding(tmp_path):
    inspection = inspect_project(project_with(tmp_path, PATH, filled(EMPTY)), TODAY)
    assert [] == [str(finding) for finding in inspection.findings]


def test_it_names_every_key_of_every_record_with_its_description():
    def records(model, seen):
        seen.add(model)
        for field in model.model_fields.values():
            for inner in re.findall(r"[A-Z]\w+", str(field.annotation).replace("forty_paces.", "")):
                found = next((one for one in _all_records() if one.__name__ == inner), None)
                if found is not None and found not in seen:
                    records(found, seen)
        return seen

    prose = " ".join(line.strip().removeprefix("# ") for line in EMPTY.splitlines())
    for model in records(Procedure, set()):
        for name, field in model.model_fields.items():
            assert re.search(rf"^\s*#?{name}:", EMPTY, flags=re.MULTILINE), name
            assert field.description in prose, name


def _all_records() -> list[type[BaseModel]]:
    return Record.__subclasses__()


def test_with_every_optional_key_in_force_it_is_still_plain_yaml():
    assert () == parse_tree(FULL, "f.yml")[1]
    assert Procedure.model_fields.keys() == yaml.load(FULL, Loader=yaml.BaseLoader).keys()


def test_with_every_key_filled_in_it_is_a_procedure_but_for_its_single_row(tmp_path):
    """A decision needs two rows; the skeleton has one item in every list."""
    inspection = inspect_project(project_with(tmp_path, PATH, filled(FULL)), TODAY)
    reported = [(finding.trail[1:], finding.wrong) for finding in inspection.findings]
    assert [(("decision", "rows"), '"rows" needs at least 2 items')] == reported


def test_dates_are_set_for_a_year():
    assert "effective: 2026-03-01\n" in EMPTY
    assert "next_review: 2027-03-01\n" in EMPTY
    leap = skeleton("x", dt.date(2028, 2, 29))
    assert "next_review: 2029-02-28\n" in leap


def test_the_base_project_is_unharmed():
    assert not (BASE / PATH).exists()
