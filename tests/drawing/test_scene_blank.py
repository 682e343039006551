"""A scene without its answer shows enough road for every device that the rule set may ask for."""

import pytest
from forty_paces.drawing.scene_blank import blank_plan, reach_ft
from forty_paces.geometry.records import RoadKind

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
