"""A scene without its answer shows enough road for every device that the rule set may ask for."""

from dataclasses import replace

import pytest
from bs4 import BeautifulSoup
from forty_paces.drawing.scene_blank import blank_plan, blank_profile, reach_ft
from forty_paces.geometry.records import RoadKind
from forty_paces.geometry.solver import place_in_scene

from tests.drawing.samples import RULES, SCENE_NAMES, solved


def blank_plans(rules_id):
    """A solved scene and its blank plan, for every scene that the rule set covers."""
    for name in SCENE_NAMES:
        try:
            found = solved(name, rules_id)
        except LookupError:
            continue
        yield found, blank_plan(found, RULES[rules_id], prefix="p")


@pytest.mark.parametrize("rules_id", RULES)
def test_the_road_is_drawn_past_the_farthest_device_of_every_placement(rules_id):
    for found, plan in blank_plans(rules_id):
        for placed in found.devices:
            assert placed.device.distance_ft + 50 <= reach_ft(RULES[rules_id])
            x, y = plan.stand(placed.device.toward, placed.device.distance_ft)
            assert plan.page.left <= x <= plan.page.right
            assert plan.page.top <= y <= plan.page.bottom


@pytest.mark.parametrize("rules_id", RULES)
def test_every_two_lane_road_is_shown_as_far_so_that_its_length_tells_nothing(rules_id):
    shown = {
        (plan.frame.start_ft, round(plan.frame.end_ft - plan.scene.vehicle.length_ft, 6))
        for _, plan in blank_plans(rules_id)
        if plan.scene.kind is RoadKind.TWO_LANE
    }
    assert {(-reach_ft(RULES[rules_id]), round(reach_ft(RULES[rules_id]), 6))} == shown


def texts_of(svg):
    return {text.get_text() for text in BeautifulSoup(svg, "html.parser").select("text, title, desc")}


@pytest.mark.parametrize("name", ["drover-crest", "slate-cut", "mercer-street"])
def test_devices_already_placed_are_drawn_and_no_other(name):
    found = solved(name, "us")
    for given in (
        found.devices[:0],
        found.devices[:1],
        tuple(d for d in found.devices if not d.device.moved),
    ):
        plan = blank_plan(found, RULES["us"], prefix="p", given=given).draw()
        side = blank_profile(found, RULES["us"], prefix="s", given=given)
        for svg in (plan, side):
            drawn = BeautifulSoup(svg, "html.parser")
            assert len(given) == len(drawn.select(".fp-device-place"))
            for placed in found.devices:
                written = f"{placed.device.distance_ft:g} ft"
                is_written = any(written == text for text in texts_of(svg))
                assert is_written is any(written == f"{one.device.distance_ft:g} ft" for one in given)


@pytest.mark.parametrize("name", ["drover-crest", "tarn-ridge", "ferris-ramp"])
def test_a_blank_profile_is_the_same_whatever_the_answer(name):
    """Another speed or light moves the device; what the learner sees before answering does not change."""
    found = solved(name, "us")
    slow = place_in_scene(
        RULES["us"], replace(found.scene, speed_mph=30.0, detection_ft=200, visibility=None)
    )
    for draw in (blank_profile, lambda *a, **k: blank_plan(*a, **k).draw()):
        assert draw(found, RULES["us"], prefix="p") == draw(slow, RULES["us"], prefix="p")
