"""The ten-minute drill: its acts are the procedure's steps and the engine's walk."""

import json

import pytest
from forty_paces.geometry.scene import Scene
from forty_paces.outputs.classroom.drill import SCENES, drill_html, road_acts
from forty_paces.outputs.classroom.placing_tasks import scene_task
from forty_paces.outputs.common.context import BuildContext

from tests.outputs.classroom.lesson_samples import PROJECT, real_library

LIBRARY = real_library()
RULES = LIBRARY.rules["us"].rule_set
(PROCEDURE,) = (one for one in LIBRARY.procedures if one.id == "warning-devices")


def solved(name: str):
    scene = LIBRARY.scenes[name]
    assert isinstance(scene, Scene)
    return scene_task(RULES, scene)


@pytest.mark.parametrize(
    "name", ["sawmill-straight", "drover-crest", "basin-highway-left", "heron-creek-bend"]
)
def test_the_seconds_on_foot_are_the_engines_for_the_whole_walk(name):
    task = solved(name)
    acts = list(road_acts(task, PROCEDURE))
    assert task.solved.placement.walk.seconds == sum(act["seconds"] for act in acts)
    assert all(act["seconds"] >= 0 for act in acts)


def test_the_acts_stand_in_the_order_of_the_procedure_and_of_the_walk():
    ids = [act["id"] for act in road_acts(solved("drover-crest"), PROCEDURE)]
    assert ids == [
        *("flashers-on", "parking-brake-on", "call-from-seat", "way-off", "vest-on", "out-away-side"),
        *("face-traffic", "device-1", "device-2", "look-2", "back-behind", "device-3", "back-ahead"),
        "wait-clear",
    ]


def test_texts_and_reasons_are_the_procedures_own():
    acts = {act["id"]: act for act in road_acts(solved("sawmill-straight"), PROCEDURE)}
    for block in PROCEDURE.blocks:
        for step in block.steps:
            if step.id in acts:
                assert (step.do, step.why) == (acts[step.id]["text"], acts[step.id]["why"])


def test_the_rules_own_place_of_a_moved_device_is_a_choice_that_is_too_near():
    """Drover crest, 55 mph by day: the far device behind moves from 100 to 210 ft."""
    acts = {act["id"]: act for act in road_acts(solved("drover-crest"), PROCEDURE)}
    assert "210 ft" in acts["device-2"]["text"]
    (wrong,) = acts["device-2"]["wrong"]
    assert wrong["text"] == "Device 2: 100 ft behind."
    assert wrong["why"].startswith("Too near: drivers need ")


def test_every_wrong_choice_says_what_it_would_cost():
    for name in ("drover-crest", "basin-highway-left"):
        for act in road_acts(solved(name), PROCEDURE):
            for wrong in act["wrong"]:
                assert wrong["why"]
                assert wrong["text"] != act["text"]


def test_the_page_has_the_roads_with_a_moved_device_first_and_the_rules_clock():
    html = drill_html(BuildContext(LIBRARY, PROJECT / "site_overrides"))
    data = json.loads(html.split('id="drill-data">')[1].split("</script>")[0])
    assert 600 == data["limit"], "49 CFR 392.22(b)(1): within ten minutes"
    assert SCENES == len(data["roads"])
    moved = [any("look-" in act["id"] for act in road["acts"]) for road in data["roads"]]
    assert moved == sorted(moved, reverse=True)
