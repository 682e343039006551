"""Placement of the federal devices: published layouts, limits from both sides, brute force, invariants."""

import math
import random
from dataclasses import replace

import pytest
from forty_paces.geometry.placement import candidates_ft, choose_ft, place, place_side
from forty_paces.geometry.records import (
    DeviceLayout,
    DeviceRule,
    HiddenBy,
    HiddenViewRule,
    RoadKind,
    RuleSet,
    Situation,
    Surface,
    Toward,
    VisibilityClass,
)
from forty_paces.geometry.simple_view import SimpleView
from forty_paces.geometry.stopping import CannotStop, stopping_sight
from forty_paces.messages.placement import text, texts
from hypothesis import given
from hypothesis import strategies as st

from tests.published import published
from tests.rule_files import rule_file

US = rule_file("us").rule_set
PUBLISHED = published("placements")

SPEEDS = st.integers(min_value=15, max_value=80)
HIDDEN = st.one_of(st.just(math.inf), st.integers(min_value=0, max_value=1200).map(float))
RANGES = st.integers(min_value=50, max_value=1500).map(float)
GRADES = st.integers(min_value=-10, max_value=10).map(float)
SITUATIONS = st.builds(
    Situation,
    road=st.sampled_from(list(RoadKind)),
    speed_mph=SPEEDS.map(float),
    detection_ft=RANGES,
    hidden_behind_ft=HIDDEN,
    hidden_ahead_ft=HIDDEN,
    grade_pct=GRADES,
    reflecting_ft=st.sampled_from([None, 1600.0]),
    hidden_by=st.sampled_from([(HiddenBy.CURVE,), (HiddenBy.HILL,), (HiddenBy.CURVE, HiddenBy.HILL)]),
    hidden_from_ft=st.one_of(st.none(), st.integers(min_value=0, max_value=600).map(float)),
)


def two_lane(**values):
    """A two-lane road at 55 mph on a clear night, with the given fields replaced."""
    return Situation(**{"road": RoadKind.TWO_LANE, "speed_mph": 55.0, **US.reaches(), **values})


def signed(placement):
    """Distances as the published layouts give them: plus behind, minus ahead."""
    return [
        device.distance_ft if device.toward is Toward.BEHIND else -device.distance_ft
        for device in placement.devices
    ]


def outermost(placement, toward):
    return max(device.distance_ft for device in placement.devices if device.toward is toward)


@pytest.mark.parametrize("layout", PUBLISHED["layouts"], ids=lambda layout: layout["title"])
def test_published_layouts(layout):
    """Each case names its source in published/placements.yml."""
    placement = place(US, two_lane(road=RoadKind(layout["road"])))
    assert signed(placement) == layout["devices"]
    assert not any(device.moved for device in placement.devices)


@pytest.mark.parametrize("layout", PUBLISHED["hidden"], ids=lambda layout: layout["title"])
@pytest.mark.parametrize("hidden_ft", [110, 200, 300, 400, 490, 500])
def test_published_layouts_where_the_view_is_hidden(layout, hidden_ft):
    """Each case names its source in published/placements.yml."""
    side = {"behind": "hidden_behind_ft", "ahead": "hidden_ahead_ft"}[layout["hidden"]]
    placement = place(US, two_lane(speed_mph=70.0, **{side: float(hidden_ft)}))
    moved = [device for device in placement.devices if device.moved]
    assert [device.toward for device in moved] == [Toward(layout["hidden"])]
    assert layout["moves_from"] <= moved[0].distance_ft <= layout["moves_to"]
    assert [distance for distance in signed(placement) if distance in layout["stays"]] == layout["stays"]


def test_every_distance_of_the_federal_rule_with_its_paces():
    """49 CFR 392.22(b)."""
    expected = {
        (f"49 CFR 392.22{entry['passage']}", entry["feet"], entry["paces"]) for entry in PUBLISHED["federal"]
    }
    roads = (place(US, two_lane(road=road)) for road in RoadKind)
    found = {
        (device.source, device.distance_ft, device.paces)
        for placement in roads
        for device in placement.devices
    }
    assert found == expected


def test_the_hidden_view_rule_and_the_time_limit_of_the_federal_rule():
    """49 CFR 392.22(b)(1) and (b)(2)(iv)."""
    hidden = PUBLISHED["hidden_view"]
    assert US.hidden is not None
    assert (US.hidden.within_ft, US.hidden.from_ft, US.hidden.to_ft) == (
        hidden["within_ft"],
        hidden["from_ft"],
        hidden["to_ft"],
    )
    assert US.hidden.source == f"49 CFR 392.22{hidden['passage']}"
    assert US.time_limit_s == PUBLISHED["time_limit_minutes"] * 60


def test_the_plain_case_in_figures():
    placement = place(US, two_lane())
    behind = placement.approach(Toward.BEHIND)
    assert behind is not None
    assert (round(behind.needed_ft, 1), behind.warning_ft, behind.ample) == (492.5, 350.0, False)
    assert (behind.reflecting_warning_ft, behind.shortfall_ft) == (600.0, 143.0)
    assert (behind.vehicle_only_ft, behind.gain_ft, round(behind.gain_s, 2)) == (250.0, 100.0, 1.24)
    assert behind.look_ft == 0
    assert (placement.walk.distance_ft, placement.walk.seconds) == (400.0, 114)


def test_no_traffic_comes_from_ahead_on_divided_and_one_way_roads():
    for road in (RoadKind.DIVIDED, RoadKind.ONE_WAY):
        placement = place(US, two_lane(road=road, hidden_ahead_ft=200.0))
        assert [side.toward for side in placement.approaches] == [Toward.BEHIND]
        assert placement.approach(Toward.AHEAD) is None
        assert f"No traffic comes from ahead on a {road} road" in " ".join(texts(US, placement.cautions))


@pytest.mark.parametrize(("hidden_ft", "distance_ft"), [(499.9, 500), (500.0, 500), (500.1, 100)])
def test_a_device_moves_for_hiding_places_up_to_and_at_the_limit(hidden_ft, distance_ft):
    placement = place(US, two_lane(speed_mph=60.0, hidden_behind_ft=hidden_ft))
    assert outermost(placement, Toward.BEHIND) == distance_ft


@pytest.mark.parametrize(("hidden_ft", "distance_ft"), [(89.9, 100), (90.0, 100), (90.1, 110)])
def test_a_device_never_comes_nearer_than_the_rule_sets_it(hidden_ft, distance_ft):
    placement = place(US, two_lane(hidden_behind_ft=hidden_ft))
    assert outermost(placement, Toward.BEHIND) == distance_ft


@pytest.mark.parametrize(("hidden_ft", "distance_ft"), [(110.0, 120), (110.1, 130), (120.0, 130)])
def test_a_device_of_unknown_view_goes_to_the_first_whole_step_ten_feet_past_the_end_of_the_view(
    hidden_ft, distance_ft
):
    placement = place(US, two_lane(hidden_behind_ft=hidden_ft))
    assert outermost(placement, Toward.BEHIND) == distance_ft


@pytest.mark.parametrize(("detection_ft", "ample"), [(392.9, False), (393.0, True), (393.1, True)])
def test_the_margin_turns_just_where_the_warning_reaches_what_is_needed(detection_ft, ample):
    behind = place(US, two_lane(detection_ft=detection_ft, reflecting_ft=None)).approach(Toward.BEHIND)
    assert behind is not None
    assert behind.ample is ample
    assert (behind.shortfall_ft == 0) is ample


def test_where_no_place_reaches_the_need_the_nearest_of_the_longest_is_taken():
    """The vehicle is in the curve: every step out adds as much warning, so the limit is the best."""
    situation = two_lane(
        speed_mph=70.0, detection_ft=150.0, reflecting_ft=None, hidden_behind_ft=400.0, hidden_from_ft=0.0
    )
    placement = place(US, situation)
    behind = placement.approach(Toward.BEHIND)
    assert behind is not None
    assert outermost(placement, Toward.BEHIND) == 500
    assert behind.warning_ft == 650.0
    assert behind.shortfall_ft == 728 - 650
    caution = text(US, placement.cautions[0])
    assert "Drivers from behind get about 650 ft of warning; to stop takes 728 ft" in caution
    assert "Move the vehicle to a better place" in caution


@pytest.mark.parametrize(("spare_ft", "distance_ft"), [(-1, 160), (0, 150), (1, 150), (9, 150), (10, 140)])
def test_a_place_is_enough_when_its_warning_equals_the_need(spare_ft, distance_ft):
    """In a curve that shows 400 ft, a device's warning is its own distance plus the detection range."""
    needed_ft = math.ceil(stopping_sight(55.0).total)
    asked = two_lane(
        detection_ft=needed_ft - 150.0 + spare_ft,
        reflecting_ft=None,
        hidden_behind_ft=400.0,
        hidden_from_ft=0.0,
    )
    placement = place(US, asked)
    assert outermost(placement, Toward.BEHIND) == distance_ft
    assert placement.approach(Toward.BEHIND).ample


@pytest.mark.parametrize(("spare_s", "too_slow"), [(-1, True), (0, False), (1, False)])
def test_a_walk_longer_than_the_time_limit_is_warned_of(spare_s, too_slow):
    """100 ft out and back on both sides at 3.5 ft/s: 114 s."""
    rules = replace(US, time_limit_s=114.0 + spare_s)
    placement = place(rules, two_lane())
    assert placement.walk.seconds == 114
    assert any("takes longer than" in caution for caution in texts(US, placement.cautions)) is too_slow


def test_where_nothing_gains_the_device_stays():
    """Where even the farthest device adds nothing, the nearest of equals is the rule's own distance."""
    view = SimpleView(480.0, 2000.0, 55.0)
    choices = (100.0, 200.0, 300.0)
    assert choose_ft(choices, lambda distance_ft: view.warning_ft([(distance_ft, "")]), 5000.0) == 100.0


@pytest.mark.parametrize(
    ("hidden_by", "near_ft", "distance_ft", "warning_ft"),
    [
        (HiddenBy.CURVE, 0.0, 250.0, 500.0),
        (HiddenBy.CURVE, 200.0, 410.0, 250.0),  # 200 ft in view is less than 2.5 s: not counted
        (HiddenBy.HILL, 0.0, 250.0, 500.0),
        (HiddenBy.CURVE, None, 410.0, 250.0),
        (HiddenBy.HILL, None, 410.0, 250.0),
        (HiddenBy.OBSTRUCTION, None, 410.0, 250.0),
    ],
)
def test_each_cause_and_each_unknown_end_has_its_own_answer(hidden_by, near_ft, distance_ft, warning_ft):
    """Available sight distance 400 ft at 55 mph by night: 493 ft needed, detection range 250 ft. By hand."""
    situation = two_lane(hidden_behind_ft=400.0, hidden_by=(hidden_by,), hidden_from_ft=near_ft)
    placement = place(US, situation)
    assert outermost(placement, Toward.BEHIND) == distance_ft
    assert placement.approach(Toward.BEHIND).warning_ft == warning_ft


@pytest.mark.parametrize(
    ("far_ft", "distance_ft", "warning_ft"), [(232.9, 250, 500.0), (240.0, 250, 500.0), (240.1, 260, 510.0)]
)
def test_a_device_beside_a_straight_road_counts_from_ten_feet_past_the_end_of_the_obstruction(
    far_ft, distance_ft, warning_ft
):
    situation = two_lane(hidden_behind_ft=150.0, hidden_by=(HiddenBy.OBSTRUCTION,), hidden_to_ft=far_ft)
    placement = place(US, situation)
    assert outermost(placement, Toward.BEHIND) == distance_ft
    assert placement.approach(Toward.BEHIND).warning_ft == warning_ft


@pytest.mark.parametrize(
    ("sight_ft", "counts"), [(2.5 * 55 * 22 / 15, False), (2.5 * 55 * 22 / 15 + 1.1, True), (300.0, True)]
)
def test_a_device_in_view_for_less_than_two_and_a_half_seconds_counts_for_nothing(sight_ft, counts):
    view = SimpleView(sight_ft, 250.0, 55.0, near_ft=0.0)
    assert (view.warning_ft([(300.0, "center of lane or shoulder")]) > 300) is counts


@pytest.mark.parametrize(
    ("speed_mph", "distance_ft", "look_ft"),
    [(55.0, 310, 202.0), (60.0, 310, 257.0), (80.0, 310, 500.0), (80.0, 500, 409.0)],
)
def test_the_look_back_check_is_the_missing_distance_but_at_least_two_and_a_half_seconds(
    speed_mph, distance_ft, look_ft
):
    """max(N - d, 2.5 s), capped by the detection range of a reflecting device, 500 ft, and rounded up."""
    hidden_ft = distance_ft - 10.0
    placement = place(US, two_lane(speed_mph=speed_mph, hidden_behind_ft=hidden_ft))
    behind = placement.approach(Toward.BEHIND)
    assert behind.look_ft == look_ft


def test_a_moved_device_says_why_what_it_buys_and_how_to_check_it():
    situation = two_lane(hidden_behind_ft=300.0, hidden_from_ft=0.0)
    device = next(d for d in place(US, situation).devices if d.moved)
    assert text(US, device.reason).startswith(
        "Moved out from 100 ft, because the view is hidden 300 ft from the vehicle. Drivers get about 500 ft "
        "of warning in place of 350 ft; to stop takes 493 ft. Look back from there"
    )
    # 243 ft / 80.7
    assert "it must take 3½ s or more from when headlights come into view" in text(US, device.reason)
    assert device.source == "49 CFR 392.22(b)(2)(iv)"


def test_by_day_the_look_back_check_is_given_in_paces_and_lane_lines():
    situation = two_lane(hidden_behind_ft=300.0, hidden_from_ft=0.0, detection_ft=1000.0, reflecting_ft=None)
    device = next(d for d in place(US, situation).devices if d.moved)
    in_view = "traffic must be in view without a gap for 293 ft (118 paces, 7½ lane lines)"
    assert in_view in text(US, device.reason)


def test_over_a_hill_the_look_back_time_is_a_second_longer():
    """The glow of headlights shows before the lamps."""
    curve, hill = (
        place(US, two_lane(hidden_behind_ft=400.0, hidden_by=(cause,), hidden_from_ft=0.0)).approach(
            Toward.BEHIND
        )
        for cause in (HiddenBy.CURVE, HiddenBy.HILL)
    )
    assert hill.look_ft == curve.look_ft
    assert hill.look_s == curve.look_s + 1


def test_where_a_bend_and_a_crest_hide_together_the_worse_answer_counts():
    causes = [(HiddenBy.CURVE,), (HiddenBy.HILL,), (HiddenBy.CURVE, HiddenBy.HILL)]
    warnings = [
        SimpleView(500.0, 1000.0, 55.0, hidden_by=cause, near_ft=50.0).warning_ft([(200.0, "")])
        for cause in causes
    ]
    assert warnings[2] == min(warnings[:2]) == 200 + 0.8 * 450


def test_hidden_beyond_the_limit_of_the_rule_the_answer_says_what_would_help():
    placement = place(US, two_lane(speed_mph=65.0, hidden_behind_ft=501.0))
    assert "one more device farther out if one is aboard" in " ".join(texts(US, placement.cautions))
    assert not any(device.moved for device in placement.devices)
    within = place(US, two_lane(speed_mph=65.0, hidden_behind_ft=500.0))
    assert "one more device" not in " ".join(texts(US, within.cautions))


def test_an_unmoved_device_keeps_the_citation_of_its_own_rule():
    device = next(d for d in place(US, two_lane()).devices if d.distance_ft == 100)
    assert device.source == "49 CFR 392.22(b)(1)(ii)"
    assert text(US, device.reason) == "The rule sets this distance. Nothing hides the vehicle from this side."


def behind_alone(*devices):
    """The federal rule set with only these devices on a two-lane road."""
    return replace(US, layouts=(DeviceLayout(RoadKind.TWO_LANE, devices),))


@pytest.mark.parametrize(("hidden_ft", "expected"), [(300.0, "49 CFR 392.22(b)(2)(iv)"), (900.0, "Law 1")])
def test_a_device_is_cited_to_what_moved_it_a_hidden_view_or_its_own_range(hidden_ft, expected):
    """No rule set has both yet; a device must never cite a source for something else."""
    ranged = DeviceRule(Toward.BEHIND, 100.0, "shoulder", "Law 1", at_most_ft=400.0, step_ft=50.0)
    (device,) = place(behind_alone(ranged), two_lane(hidden_behind_ft=hidden_ft, hidden_from_ft=0.0)).devices
    assert (device.moved, device.source) == (True, expected)


def test_of_two_devices_at_one_distance_the_one_named_last_moves():
    pair = (
        DeviceRule(Toward.BEHIND, 100.0, "traffic side", "Law 1"),
        DeviceRule(Toward.BEHIND, 100.0, "center of lane or shoulder", "Law 2"),
    )
    placed = place(behind_alone(*pair), two_lane(hidden_behind_ft=300.0)).devices
    assert [(d.across, d.distance_ft) for d in placed] == [(pair[0].across, 100.0), (pair[1].across, 310.0)]


@pytest.mark.parametrize(
    "caution",
    [
        "Every distance is measured from the vehicle, not from one device to the next.",
        "Hold each triangle toward the traffic.",
        "Have the devices out within 10 minutes of stopping (49 CFR 392.22(b)(1)). Life goes first: walk in "
        "no lane to place one.",
        "light no fusee or other flame",
        "business or residential district",
        "Local rules and the directions of police or road crews come first.",
        "no part of the rule",
        "made out from 250 ft away, and a reflecting device from 500 ft",
    ],
)
def test_cautions_that_stand_beside_every_federal_answer(caution):
    assert caution in " ".join(texts(US, place(US, two_lane()).cautions))


def test_a_slippery_surface_is_reported_as_an_assumption():
    for surface, friction in ((Surface.SNOW, "0.15"), (Surface.ICE, "0.07")):
        cautions = " ".join(texts(US, place(US, two_lane(surface=surface)).cautions))
        assert f"For stopping on {surface} a friction of {friction} is assumed." in cautions
    assert "friction" not in " ".join(texts(US, place(US, two_lane()).cautions))


def test_traffic_from_ahead_meets_the_opposite_grade():
    placement = place(US, two_lane(grade_pct=-6.0))
    needed = [side.needed_ft for side in placement.approaches]
    assert needed == [stopping_sight(55, -6).total, stopping_sight(55, 6).total]


def test_a_slope_that_no_driver_can_stop_on_is_a_clear_error():
    for grade_pct in (-8.0, 8.0):  # uphill for one side is downhill for the other
        with pytest.raises(CannotStop):
            place(US, two_lane(grade_pct=grade_pct, surface=Surface.ICE))
    place(US, two_lane(road=RoadKind.DIVIDED, grade_pct=8.0, surface=Surface.ICE))


@pytest.mark.parametrize(
    "values",
    [
        {"speed_mph": 0.0},
        {"speed_mph": -5.0},
        {"speed_mph": math.nan},
        {"speed_mph": math.inf},
        {"detection_ft": 0.0},
        {"detection_ft": math.inf},
        {"detection_ft": math.nan},
        {"hidden_behind_ft": -1.0},
        {"hidden_ahead_ft": math.nan},
        {"reflecting_ft": 0.0},
        {"hidden_from_ft": -1.0},
        {"hidden_to_ft": math.inf},
        {"grade_pct": math.nan},
    ],
    ids=str,
)
def test_figures_that_mean_nothing_are_refused(values):
    with pytest.raises(
        ValueError, match=r"posted speed|detection range|hiding place|grade|hides the vehicle"
    ):
        place(US, two_lane(**values))


# --- against an independent search ------------------------------------------------------------


def brute_force(situation, toward):
    """(outermost distance, longest warning, verdict) by trying every distance, computed independently."""
    bases = {"two-lane behind": [10, 100], "two-lane ahead": [100]}
    bases = bases.get(f"{situation.road} {toward}", [10, 100, 200])
    behind = toward is Toward.BEHIND
    hidden_ft = situation.hidden_behind_ft if behind else situation.hidden_ahead_ft
    grade_pct = situation.grade_pct if behind else -situation.grade_pct
    speed, reach, near = situation.speed_mph, situation.detection_ft, situation.hidden_from_ft
    needed = 1.47 * speed * 2.5
    if grade_pct:
        needed += speed**2 / (30 * (11.2 / 32.2 + grade_pct / 100))
    else:
        needed += 1.075 * speed**2 / 11.2
    needed = math.ceil(needed - 1e-6)
    factor = 0.8 if HiddenBy.HILL in situation.hidden_by else 1.0
    view = None if near is None else factor * max(hidden_ft - near, 0)
    known = math.isinf(hidden_ft) or (view is not None and view >= 2.5 * speed * 22 / 15 + 1)

    def warned(place_ft):
        if math.isinf(hidden_ft):
            return max(reach, place_ft + reach)
        hill, counted = HiddenBy.HILL in situation.hidden_by, 0
        seen = min(view, 4 * place_ft) if known and hill else view
        around_curve = place_ft == 10 and HiddenBy.CURVE in situation.hidden_by
        if known and not around_curve and seen >= 2.5 * speed * 22 / 15 + 1:
            counted = place_ft + min(seen, reach)
        return max(min(hidden_ft, reach), counted)

    fixed = max([min(hidden_ft, reach), *(warned(place) for place in bases[:-1])])
    tried = {
        place: math.floor(max(fixed, warned(place)) + 1e-6)
        for place in range(bases[-1], 501 if hidden_ft <= 500 else bases[-1] + 1, 10)
    }
    reaching = [place for place, warning in tried.items() if warning >= needed]
    if reaching:
        best = min(reaching)
    elif not known and hidden_ft <= 500:
        best = next((place for place in tried if place >= hidden_ft + 10), 500)
    else:
        best = min(place for place, warning in tried.items() if warning == max(tried.values()))
    return best, tried[best], bool(reaching)


def test_the_search_equals_a_brute_force_search_over_three_thousand_situations():
    chance = random.Random(39222)
    moved = short = 0
    for _ in range(3000):
        hidden = [chance.choice([math.inf, chance.randrange(0, 800, 5)]) for _ in Toward]
        situation = Situation(
            chance.choice(list(RoadKind)),
            chance.randint(15, 80),
            chance.randrange(50, 1005, 5),
            *hidden,
            chance.choice([0, chance.randint(-9, 9)]),
            hidden_by=chance.choice([(HiddenBy.CURVE,), (HiddenBy.HILL,), (HiddenBy.CURVE, HiddenBy.HILL)]),
            hidden_from_ft=chance.choice([None, 0, chance.randrange(0, 500, 5)]),
        )
        placement = place(US, situation)
        for side in placement.approaches:
            found = (outermost(placement, side.toward), side.warning_ft, side.ample)
            assert found == brute_force(situation, side.toward), situation
            moved += any(d.moved for d in placement.devices if d.toward is side.toward)
            short += not side.ample
    assert moved > 500  # the situations do exercise the search
    assert short > 300


# --- invariants --------------------------------------------------------------------------------


@given(SITUATIONS)
def test_devices_stay_within_the_rule(situation):
    placement = place(US, situation)
    bases = [rule.distance_ft for rule in US.layout(situation.road, situation.speed_mph).devices]
    for device, base_ft in zip(placement.devices, bases, strict=True):
        assert device.distance_ft >= base_ft
        assert not device.moved or 100 <= device.distance_ft <= 500
        assert device.moved == (device.distance_ft > base_ft)
        assert device.distance_ft % 10 == 0
        assert device.paces == device.distance_ft / 2.5


@given(SITUATIONS)
def test_without_a_hiding_place_in_the_rule_nothing_moves(situation):
    clear = replace(situation, hidden_behind_ft=math.inf, hidden_ahead_ft=math.inf)
    assert not any(device.moved for device in place(US, clear).devices)


@given(SITUATIONS, st.integers(min_value=1, max_value=40))
def test_more_speed_never_needs_less_distance(situation, faster_mph):
    slower = place(US, situation)
    faster = place(US, replace(situation, speed_mph=situation.speed_mph + faster_mph))
    for before, after in zip(slower.approaches, faster.approaches, strict=True):
        assert after.needed_ft > before.needed_ft
        assert after.ample <= before.ample


@given(SITUATIONS, st.integers(min_value=1, max_value=500))
def test_less_detection_never_gives_a_longer_warning_from_the_same_place(situation, less_ft):
    """For devices at fixed positions; a moved device may gain by its new position."""
    shared = (situation.speed_mph, None, situation.hidden_by, situation.hidden_from_ft)
    for hidden_ft in (situation.hidden_behind_ft, situation.hidden_ahead_ft):
        near = SimpleView(hidden_ft, situation.detection_ft, *shared)
        far = SimpleView(hidden_ft, situation.detection_ft + less_ft, *shared)
        for distance_ft in (0.0, 10.0, 100.0, 200.0, 350.0, 500.0):
            assert near.warning_ft([(distance_ft, "")]) <= far.warning_ft([(distance_ft, "")])
        assert near.vehicle_ft <= far.vehicle_ft


@given(SITUATIONS, st.integers(min_value=1, max_value=300))
def test_a_nearer_end_of_the_view_or_a_farther_near_end_or_more_speed_never_gives_more_warning(here, by):
    """For devices at fixed positions, worsening the shared of one side one at a time."""
    shared = {"hidden_by": here.hidden_by, "near_ft": here.hidden_from_ft}
    good = SimpleView(here.hidden_behind_ft, here.detection_ft, here.speed_mph, **shared)
    worse = [
        replace(good, sight_ft=max(0.0, min(good.sight_ft, 2000.0) - by)),
        replace(good, near_ft=None if good.near_ft is None else good.near_ft + by),
        replace(good, speed_mph=good.speed_mph + by),
        replace(good, near_ft=None),
    ]
    for spot in ((0.0, ""), (100.0, ""), (350.0, ""), (500.0, "")):
        for view in worse:
            assert view.warning_ft([spot]) <= good.warning_ft([spot])


@given(SITUATIONS, st.integers(min_value=1, max_value=500))
def test_less_detection_never_turns_a_short_warning_into_an_ample_one(situation, less_ft):
    near = place(US, situation)
    far = place(US, replace(situation, detection_ft=situation.detection_ft + less_ft))
    for nearer, farther in zip(near.approaches, far.approaches, strict=True):
        assert nearer.ample <= farther.ample
        if not farther.ample:
            assert nearer.warning_ft <= farther.warning_ft


@given(SITUATIONS)
def test_devices_never_shorten_the_warning(situation):
    for side in place(US, situation).approaches:
        assert side.warning_ft >= side.vehicle_only_ft
        assert side.gain_ft == side.warning_ft - side.vehicle_only_ft
        assert side.ample == (side.shortfall_ft == 0)


@given(SITUATIONS)
def test_swapping_the_sides_of_a_two_lane_road_swaps_the_answer(situation):
    """The far devices mirror each other; the near device is always behind and decides nothing."""
    here = replace(situation, road=RoadKind.TWO_LANE)
    turned = replace(
        here,
        hidden_behind_ft=here.hidden_ahead_ft,
        hidden_ahead_ft=here.hidden_behind_ft,
        grade_pct=-here.grade_pct,
    )
    one, other = place(US, here), place(US, turned)
    for toward, opposite in ((Toward.BEHIND, Toward.AHEAD), (Toward.AHEAD, Toward.BEHIND)):
        assert outermost(one, toward) == outermost(other, opposite)
        side, mirrored = one.approach(toward), other.approach(opposite)
        assert side is not None
        assert mirrored is not None
        assert replace(side, toward=opposite) == mirrored


@given(SITUATIONS)
def test_each_side_is_answered_by_itself(situation):
    here = replace(situation, road=RoadKind.TWO_LANE)
    alone = replace(here, hidden_ahead_ft=math.inf)
    assert place(US, here).approach(Toward.BEHIND) == place(US, alone).approach(Toward.BEHIND)


@given(SITUATIONS)
def test_the_same_situation_always_gets_the_same_answer(situation):
    assert place(US, situation) == place(US, situation)


def test_a_view_of_another_kind_can_take_the_place_of_the_simple_one():
    """As for a fully described road: any warning for any distance."""

    class Stepped:
        hidden_ft = 320.0
        vehicle_ft = 280.0
        beyond_ft = None
        over_hill = False
        detection_ft = 1000.0
        reflecting_ft = None

        def warning_ft(self, devices, *, reflecting=False):
            return max([280.0, *(900.0 for distance_ft, _ in devices if distance_ft >= 240)])

    layout = US.layout(RoadKind.TWO_LANE, 55)
    side = place_side(US, layout, Toward.BEHIND, 55.0, 492.5, Stepped())
    assert side.devices[-1].distance_ft == 240.0
    assert side.approach.warning_ft == 900.0
    assert side.base_warning_ft == 280.0
    assert side.finding == "moved"


def test_candidates_are_the_rules_own_place_where_nothing_is_hidden():
    rule = US.layout(RoadKind.DIVIDED, 55).devices[-1]
    assert candidates_ft(US, rule, math.inf) == (200.0,)
    assert candidates_ft(US, rule, 500.0) == tuple(float(d) for d in range(200, 501, 10))
    assert candidates_ft(US, rule, 500.01) == (200.0,)


def test_every_figure_of_an_answer_comes_from_the_rule_set():
    """A fictitious rule: none of the federal figures appears."""
    across = "wherever it says"
    rules = RuleSet(
        id="elsewhere",
        title="Elsewhere",
        metric=False,
        pace_ft=7.0,
        time_limit_s=420.0,
        time_limit_source="Law 3",
        layouts=(
            DeviceLayout(
                RoadKind.TWO_LANE,
                (
                    DeviceRule(Toward.BEHIND, 77.0, across, "Law 1"),
                    DeviceRule(Toward.AHEAD, 91.0, across, "Law 2"),
                ),
            ),
        ),
        hidden=HiddenViewRule(within_ft=707.0, from_ft=84.0, to_ft=637.0, step_ft=7.0, source="Law 4"),
        visibility=(VisibilityClass("usual", "Usual", 343.0, "Law 5"),),
        default_visibility="usual",
    )
    placement = place(rules, Situation(RoadKind.TWO_LANE, 77.0, 343.0, hidden_behind_ft=607.0))
    assert signed(placement) == [623.0, -91.0]
    assert [device.paces for device in placement.devices] == [89, 13]
    assert [device.source for device in placement.devices] == ["Law 4", "Law 2"]
    assert placement.walk.limit_s == 420.0
    reasons = [device.reason for device in placement.devices]
    sentences = " ".join(texts(rules, [*placement.cautions, *placement.walk.order, *reasons]))
    assert "7 minutes of stopping (Law 3)" in sentences
    for federal in ("CFR", " 10 ft", "100 ft", "200 ft", "500 ft", "10 minutes", "40 paces", "fusee"):
        assert federal not in sentences
