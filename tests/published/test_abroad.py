"""Rule sets outside the United States against the distances their texts give."""

import math

import pytest
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import RoadKind, Situation, Toward
from forty_paces.geometry.units import ft_to_m, kmh_to_mph
from forty_paces.messages.placement import text, texts

from tests.published import published
from tests.rule_files import rule_file

ABROAD = published("abroad")
AUSTRALIA = ABROAD["australia-sa"]


def signed_m(rules, road, speed_kmh):
    """Plus behind, minus ahead, as the published file has them."""
    placement = place(rules, Situation(RoadKind(road), kmh_to_mph(speed_kmh), rules.detection_ft()))
    return [
        (1 if device.toward is Toward.BEHIND else -1) * round(ft_to_m(device.distance_ft), 3)
        for device in placement.devices
    ]


@pytest.mark.parametrize("name", ABROAD["rules"])
@pytest.mark.parametrize("road", ["two-lane", "one-way", "divided"])
@pytest.mark.parametrize("speed_kmh", [30, 80, 120])
def test_published_distances(name, road, speed_kmh):
    """Each names its source in published/abroad.yml."""
    rules = rule_file(name).rule_set
    expected = ABROAD["rules"][name][road]
    if expected == "forbidden":
        assert signed_m(rules, road, speed_kmh) == []
        assert rules.layout(RoadKind(road), 50).forbidden
    else:
        assert signed_m(rules, road, speed_kmh) == expected


@pytest.mark.parametrize(
    ("speed_kmh", "tier"), [(79, "slow"), (80, "fast"), (81, "fast"), (40, "slow"), (110, "fast")]
)
@pytest.mark.parametrize("road", ["two-lane", "divided"])
def test_the_two_tiers_of_the_australian_rule(speed_kmh, tier, road):
    """Road Rules 227, South Australia: 80 km/h belongs to the faster tier."""
    found = signed_m(rule_file("australia-sa").rule_set, road, speed_kmh)
    expected = AUSTRALIA[tier][road]
    assert len(found) == len(expected)
    rear_m = max(found)
    for distance, wanted in zip(found, expected, strict=True):
        if isinstance(wanted, list):
            low, high = sorted(wanted)
            assert low <= distance <= high
        elif wanted == "between":
            assert 0 < distance < rear_m
        else:
            assert distance == wanted


@pytest.mark.parametrize("road", ["two-lane", "one-way", "divided"])
@pytest.mark.parametrize("speed_kmh", [40, 60, 79, 80, 81, 100, 110])
def test_the_one_tier_of_the_tasmanian_rule_holds_at_every_speed_and_on_every_road(road, speed_kmh):
    """Road Rules 2019, rule 227: one beside, one 50 to 150 m behind, one 50 to 150 m ahead."""
    beside_m, behind_m, ahead_m = signed_m(rule_file("australia-tas").rule_set, road, speed_kmh)
    assert beside_m == 0
    assert ABROAD["australia-tas"]["behind"][0] <= behind_m <= ABROAD["australia-tas"]["behind"][1]
    assert ABROAD["australia-tas"]["ahead"][0] <= -ahead_m <= ABROAD["australia-tas"]["ahead"][1]


@pytest.mark.parametrize("name", [*ABROAD["rules"], "australia-sa", "australia-tas"])
def test_metric_rules_are_reported_in_meters(name):
    rules = rule_file(name).rule_set
    assert rules.metric
    placed = place(rules, Situation(RoadKind.TWO_LANE, 60.0, rules.detection_ft()))
    joined = " ".join(texts(rules, placed.walk.order))
    assert " m (" in joined
    assert " ft" not in joined


def test_a_triangle_is_never_put_out_on_a_british_motorway():
    """UK Highway Code, rule 276."""
    rules = rule_file("uk").rule_set
    placement = place(rules, Situation(RoadKind.DIVIDED, 70.0, rules.detection_ft()))
    assert placement.devices == ()
    assert placement.walk.distance_ft == 0
    banned = "Never put a triangle out on a motorway (Highway Code rule 276)."
    assert text(rules, placement.cautions[0]).startswith(banned)


METRIC_SETS = ("australia-sa", "australia-tas", "brazil", "germany", "ontario", "south-africa", "uk")


@pytest.mark.parametrize("speed_mph", [49.6, 49.7, 49.70969, 50.2])
def test_a_speed_in_mph_takes_the_band_of_the_kmh_that_a_sign_shows(speed_mph):
    """49.7 mph reads 80 km/h, where the South Australian rule 227 asks for 200 m, not 50 m."""
    rules = rule_file("australia-sa").rule_set
    placement = place(rules, Situation(RoadKind.TWO_LANE, speed_mph, rules.detection_ft()))
    far_m = max(round(ft_to_m(device.distance_ft)) for device in placement.devices)
    assert rules.posted(speed_mph) in (80, 81)
    assert far_m == 200


@pytest.mark.parametrize("name", METRIC_SETS)
@pytest.mark.parametrize("speed_kmh", range(20, 131, 10))
def test_a_metric_rule_set_needs_what_the_metric_stopping_formula_gives(name, speed_kmh):
    """AASHTO Green Book, metric: 0.278·V·t + 0.039·V²/a, t = 2.5 s, a = 3.4 m/s²."""
    rules = rule_file(name).rule_set
    expected_m = 0.278 * speed_kmh * 2.5 + 0.039 * speed_kmh**2 / 3.4
    situation = Situation(RoadKind.TWO_LANE, kmh_to_mph(speed_kmh), rules.detection_ft())
    for approach in place(rules, situation).approaches:
        assert ft_to_m(approach.needed_ft) == pytest.approx(expected_m, abs=0.05)


@pytest.mark.parametrize("name", METRIC_SETS)
def test_verdict_and_shortfall_follow_from_whole_meters(name):
    """A warning rounded down and a need rounded up: no two printed figures contradict each other."""
    rules = rule_file(name).rule_set
    for speed_kmh in range(20, 131):
        situation = Situation(RoadKind.TWO_LANE, kmh_to_mph(speed_kmh), rules.detection_ft())
        for approach in place(rules, situation).approaches:
            warned_m = ft_to_m(approach.warning_ft)
            needed_m = math.ceil(ft_to_m(approach.needed_ft) - 1e-6)
            assert warned_m == pytest.approx(round(warned_m))
            assert approach.ample is (round(warned_m) >= needed_m)
            assert ft_to_m(approach.shortfall_ft) == pytest.approx(max(0, needed_m - round(warned_m)))
