"""The cab file's placement script against the placement engine, on the same situations in every rule set."""

from __future__ import annotations

import json
import math
import random
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.models.rules import RuleFile
from forty_paces.geometry.placement import look_back, needed_ft, place_views, streams
from forty_paces.geometry.records import HiddenBy, RoadKind, RuleSet, Situation, Surface, Toward
from forty_paces.geometry.simple_view import SimpleView
from forty_paces.messages.answer import as_values
from forty_paces.outputs.cab.placement_data import GRADES_PCT, placement_data, speeds

from tests.missing import node
from tests.outputs.cab.sentences import SENTENCE, broken
from tests.rule_files import names, rule_file

RUNNER = Path(__file__).resolve().parents[2] / "js/run/placement.mjs"
SITUATIONS = 600
CAUSES: tuple[tuple[HiddenBy, ...], ...] = (
    (HiddenBy.CURVE,),
    (HiddenBy.HILL,),
    (HiddenBy.OBSTRUCTION,),
    (HiddenBy.CURVE, HiddenBy.HILL),
)


def lengths_ft(rules: RuleSet, random_: random.Random, limit_ft: float) -> float:
    """A whole number of the rule set's own unit, or any length; often at or next to a limit of the rule."""
    unit = rules.unit_ft
    kind = random_.randrange(4)
    if kind == 0:
        return round(limit_ft / unit) * unit + random_.choice((-unit, 0.0, unit))
    if kind == 1:
        return random_.uniform(0.0, 1.6 * limit_ft)
    return random_.randrange(0, round(1.6 * limit_ft / unit)) * unit


def hidden_side(rules: RuleSet, random_: random.Random) -> dict[str, Any] | None:
    if random_.random() < 0.25:
        return None
    limit_ft = rules.hidden.within_ft if rules.hidden else 500.0
    sight_ft = lengths_ft(rules, random_, limit_ft)
    return {
        "by": [str(cause) for cause in random_.choice(CAUSES)],
        "sight_ft": sight_ft,
        "near_ft": random_.choice((None, 0.0, lengths_ft(rules, random_, max(sight_ft, 20.0)))),
        "far_ft": random_.choice((None, lengths_ft(rules, random_, limit_ft))),
    }


def made_situations(rules: RuleSet) -> list[dict[str, Any]]:
    """Every road, speed, grade, surface, light and cause at least once, combined by a fixed seed."""
    random_ = random.Random(f"placement {rules.id}")
    roads, surfaces = list(RoadKind), list(Surface)
    count = {"speed": len(speeds(rules)), "grade": len(GRADES_PCT), "visibility": len(rules.visibility)}
    made = []
    for at in range(SITUATIONS):
        picked = {key: at if at < size else random_.randrange(size) for key, size in count.items()}
        made.append(
            {
                "road": str(roads[at % len(roads)]),
                "surface": str(surfaces[at // len(roads) % len(surfaces)]),
                **picked,
                "hidden": {str(toward): hidden_side(rules, random_) for toward in Toward},
            }
        )
    return made


def view(rules: RuleSet, made: dict[str, Any], toward: Toward) -> SimpleView:
    hidden = made["hidden"][str(toward)]
    seen = rules.visibility[made["visibility"]]
    speed_mph = speeds(rules)[made["speed"]]
    if hidden is None:
        return SimpleView(math.inf, seen.detection_ft, speed_mph, seen.reflecting_ft)
    return SimpleView(
        hidden["sight_ft"],
        seen.detection_ft,
        speed_mph,
        seen.reflecting_ft,
        tuple(HiddenBy(cause) for cause in hidden["by"]),
        hidden["near_ft"],
        hidden["far_ft"],
    )


def situation(rules: RuleSet, made: dict[str, Any]) -> Situation:
    return Situation(
        road=RoadKind(made["road"]),
        speed_mph=speeds(rules)[made["speed"]],
        **rules.reaches(rules.visibility[made["visibility"]].id),
        grade_pct=GRADES_PCT[made["grade"]],
        surface=Surface(made["surface"]),
    )


def expected_of(rules: RuleSet, made: dict[str, Any]) -> dict[str, Any]:
    views = {toward: view(rules, made, toward) for toward in Toward}
    answer = place_views(rules, situation(rules, made), views)
    alone = {str(side.toward): side.vehicle_only_ft for side in answer.approaches}
    return {**as_values(rules, answer), "vehicle_only_ft": alone}


def run_script(data: dict[str, Any], folder: Path, *, situations: list[Any], looks: list[Any]) -> Any:
    """What the script computes under Node."""
    folder.mkdir(parents=True, exist_ok=True)
    given, written = folder / "in.json", folder / "out.json"
    given.write_text(json.dumps({"data": data, "situations": situations, "looks": looks}), encoding="utf-8")
    subprocess.run([node(), str(RUNNER), str(given), str(written)], check=True, timeout=120)
    return json.loads(written.read_text(encoding="utf-8"))


@pytest.fixture(scope="module", params=names())
def rules(request: pytest.FixtureRequest) -> RuleFile:
    return rule_file(request.param)


def made_looks(rules: RuleSet) -> list[dict[str, Any]]:
    """A device in each situation, looked back from at a step of the rule."""
    random_ = random.Random(f"look back {rules.id}")
    return [
        {
            "situation": made,
            "toward": str(random_.choice(streams(RoadKind(made["road"])))),
            "distance_ft": random_.randrange(3, 51) * 10 * rules.unit_ft,
        }
        for made in made_situations(rules)
    ]


@pytest.fixture(scope="module")
def script(rules: RuleFile, tmp_path_factory: pytest.TempPathFactory) -> Any:
    plain = rules.rule_set
    return run_script(
        placement_data(rules),
        tmp_path_factory.mktemp("placement") / plain.id,
        situations=made_situations(plain),
        looks=made_looks(plain),
    )


def test_the_script_computes_what_the_engine_computes_to_the_letter(rules: RuleFile, script: Any) -> None:
    plain = rules.rule_set
    pairs = list(zip(made_situations(plain), script["placements"], strict=True))
    assert len(pairs) >= 500
    for made, computed in pairs:
        assert computed == expected_of(plain, made), made


def test_the_situations_reach_every_outcome_of_the_rule(rules: RuleFile) -> None:
    plain = rules.rule_set
    answers = [expected_of(plain, made) for made in made_situations(plain)]
    devices = [device for answer in answers for device in answer["devices"]]
    sides = [side for answer in answers for side in answer["approach"].values()]
    assert {side["ample"] for side in sides} == {True, False}
    movable = plain.hidden is not None or any(
        rule.step_ft is not None for layout in plain.layouts for rule in layout.devices
    )
    assert {device["moved"] for device in devices} >= ({True, False} if movable else {False})
    if movable:
        assert sum(device["moved"] for device in devices) > 50
        assert any(side["look_ft"] for side in sides)


def test_the_look_back_check_of_a_device_carried_farther_is_the_engines(rules: RuleFile, script: Any) -> None:
    plain = rules.rule_set
    for look, computed in zip(made_looks(plain), script["looks"], strict=True):
        made, toward = look["situation"], Toward(look["toward"])
        where = situation(plain, made)
        expected = look_back(
            plain,
            view(plain, made, toward),
            where.speed_mph,
            needed_ft(plain, where, toward),
            look["distance_ft"],
        )
        assert (computed["look_ft"], computed["look_s"]) == expected, look


def test_no_text_is_broken_and_every_one_is_a_sentence(rules: RuleFile, script: Any) -> None:
    texts = set()
    shortest_ft = (
        2 * rules.rule_set.unit_ft
    )  # a view of less is 0 in whole units, which the walk never offers
    for made, answer in zip(made_situations(rules.rule_set), script["placements"], strict=True):
        if any(side and side["sight_ft"] < shortest_ft for side in made["hidden"].values()):
            continue
        texts.update(device["reason"] for device in answer["devices"])
        texts.update(answer["walk"]["order"])
        texts.update(answer["cautions"])
    assert len(texts) >= 10
    assert broken(sorted(texts)) == []
    assert [text for text in texts if not SENTENCE.search(text)] == []


def test_no_text_passes_a_verdict(script: Any) -> None:
    written = json.dumps(script["placements"]).lower()
    assert "enough" not in written
    assert "safe" not in written.replace("unsafe", "")


def test_the_worked_examples_agree_with_the_script(rules: RuleFile, script: Any) -> None:
    carried = placement_data(rules)["examples"]
    assert {example["id"] for example in carried} <= {example.id for example in rules.examples}
    assert len(carried) >= 3
    assert script["disagreements"] == []


def test_every_federal_example_is_carried() -> None:
    federal = rule_file("us")
    carried = [example["id"] for example in placement_data(federal)["examples"]]
    assert carried == [example.id for example in federal.examples]


def spoiled(data: dict[str, Any], how: str) -> dict[str, Any]:
    changed: dict[str, Any] = json.loads(json.dumps(data))
    if how == "a device 10 ft off":
        changed["layouts"][0]["devices"][0]["distance_ft"] += 10
    elif how == "stopping distances a foot short":
        grid = changed["needed_ft"]["normal"]
        changed["needed_ft"]["normal"] = [[ft - 1 for ft in row] for row in grid]
    elif how == "devices seen from twice as far":
        for seen in changed["visibility"]:
            seen["reflecting_ft"] = 2 * (seen["reflecting_ft"] or seen["detection_ft"])
            seen["detection_ft"] *= 2
    elif how == "a smaller step":
        changed["rules"]["hidden"]["step_ft"] = 5
    elif how == "a hill like a curve":
        changed["constants"]["hill_factor"] = 1.0
    elif how == "a shorter look back":
        changed["constants"]["least_view_s"] = 2.0
    return changed


@pytest.mark.parametrize(
    "how",
    [
        "a device 10 ft off",
        "stopping distances a foot short",
        "devices seen from twice as far",
        "a smaller step",
        "a hill like a curve",
        "a shorter look back",
    ],
)
def test_data_that_are_wrong_disagree_with_the_worked_examples(tmp_path: Path, how: str) -> None:
    data = spoiled(placement_data(rule_file("us")), how)
    assert run_script(data, tmp_path, situations=[], looks=[])["disagreements"] != []


def test_of_two_devices_at_one_distance_the_script_moves_the_one_that_the_engine_moves(
    tmp_path: Path,
) -> None:
    federal = rule_file("us")
    data = placement_data(federal)
    layout = data["layouts"][0]
    last = layout["devices"][-1]
    layout["devices"] = [
        {**last, "toward": "behind", "across": across}
        for across in ("traffic side", "center of lane or shoulder")
    ]
    hill = {"by": ["hill"], "sight_ft": 300.0, "near_ft": None, "far_ft": None}
    made = {
        "road": "two-lane",
        "speed": 8,
        "grade": 2,
        "surface": "normal",
        "visibility": 0,
        "hidden": {"behind": hill, "ahead": None},
    }
    (answer,) = run_script(data, tmp_path, situations=[made], looks=[])["placements"]
    behind = [(device["across"], device["moved"]) for device in answer["devices"]]
    assert behind == [("traffic side", False), ("center of lane or shoulder", True)]


def test_data_of_another_version_are_refused(tmp_path: Path) -> None:
    data = {**placement_data(rule_file("us")), "version": 2}
    with pytest.raises(subprocess.CalledProcessError):
        run_script(data, tmp_path, situations=[], looks=[])


def test_the_data_are_plain_and_small(rules: RuleFile) -> None:
    written = json.dumps(placement_data(rules))
    assert len(written.encode()) < 40_000
    assert json.loads(written) == json.loads(json.dumps(placement_data(rules)))


def every_number(value: object) -> Iterator[float]:
    if isinstance(value, dict):
        for one in value.values():
            yield from every_number(one)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from every_number(one)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield float(value)


def test_the_data_hold_no_number_that_json_cannot_carry(rules: RuleFile) -> None:
    assert all(math.isfinite(number) for number in every_number(placement_data(rules)))
