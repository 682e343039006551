"""How many drivers can stop: against seeded draws, published percentiles and the design values."""

import math
import random
import statistics

import pytest
from forty_paces.geometry.chance import (
    ASSUMED,
    CAUTIOUS,
    FAVORABLE,
    MIDDLE,
    Drivers,
    ReactionTime,
    Spread,
    chance_of_stopping,
    share_that_stops,
)
from forty_paces.geometry.records import Surface
from forty_paces.geometry.stopping import ASSUMED_FRICTION, DECELERATION_FPS2, stopping_sight
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.published import published

KNOWN = published("driver_behavior")
STUDIES = {
    "fambro": MIDDLE.reaction,
    "lerner": ReactionTime(CAUTIOUS.reaction.median_s, CAUTIOUS.reaction.p95_s),
    "olson": FAVORABLE.reaction,
}
DRAWS = 100_000
EVERYBODY_ALIKE = Drivers(ReactionTime(2.5, 2.5), Spread(11.2 / 32.2, 0), Spread(0, 0))


def drawn_share(distance_ft, speed_mph, drivers, grade_pct, surface):
    """The same share by drawing drivers at random, written without the module's own formulas."""
    chance = random.Random(20261126)
    held = {Surface.NORMAL: 9.9, **ASSUMED_FRICTION}[surface]
    stopped = 0
    for _ in range(DRAWS):
        speed = (
            chance.gauss(speed_mph + drivers.over_posted_mph.mean, drivers.over_posted_mph.sd) * 5280 / 3600
        )
        time = chance.lognormvariate(math.log(drivers.reaction.median_s), drivers.reaction.sigma)
        net = (
            min(chance.gauss(drivers.deceleration_g.mean, drivers.deceleration_g.sd), held) + grade_pct / 100
        )
        if speed <= 0:
            stopped += 1
        elif net > 0:
            reacting = speed * (time + drivers.reaction.added_s)
            stopped += reacting + speed**2 / (2 * 32.2 * net) <= distance_ft
    return stopped / DRAWS


@pytest.mark.parametrize("drivers", ASSUMED, ids=["cautious", "middle", "favorable"])
@pytest.mark.parametrize(
    ("distance_ft", "speed_mph", "grade_pct", "surface"),
    [
        (350, 55, 0, Surface.NORMAL),
        (492, 55, 0, Surface.NORMAL),
        (645, 65, -6, Surface.NORMAL),
        (155, 25, 5, Surface.NORMAL),
        (500, 45, 0, Surface.SNOW),
        (800, 40, -2, Surface.ICE),
    ],
)
def test_the_quadrature_agrees_with_drivers_drawn_at_random(
    drivers, distance_ft, speed_mph, grade_pct, surface
):
    """Within four standard errors of the draws."""
    computed = share_that_stops(distance_ft, speed_mph, drivers, grade_pct, surface)
    drawn = drawn_share(distance_ft, speed_mph, drivers, grade_pct, surface)
    error = math.sqrt(max(computed * (1 - computed), 1e-4) / DRAWS)
    assert computed == pytest.approx(drawn, abs=4 * error)


@pytest.mark.parametrize(("study", "measure", "seconds"), KNOWN["reaction"])
def test_reaction_times_have_the_published_means_and_percentiles(study, measure, seconds):
    """Fambro and others 1998; Lerner 1993; Olson and Sivak 1986."""
    times = STUDIES[study]
    if measure == "mean":
        assert times.median_s * math.exp(times.sigma**2 / 2) == pytest.approx(seconds, abs=0.001)
    else:
        assert times.percentile_s(measure) == pytest.approx(seconds, abs=0.001)
        assert times.share_within(seconds) == pytest.approx(measure, abs=0.001)


def test_the_cautious_drivers_react_later_and_brake_more_gently_by_the_published_amounts():
    """Wood and Zhang 2020."""
    assert CAUTIOUS.reaction.added_s == KNOWN["crash_added_s"]
    gentler = MIDDLE.deceleration_g.mean - CAUTIOUS.deceleration_g.mean
    assert gentler == pytest.approx(KNOWN["crash_gentler_g"])


@pytest.mark.parametrize("drivers", ASSUMED, ids=["cautious", "middle", "favorable"])
def test_the_design_reaction_time_covers_nine_in_ten_drivers_or_more(drivers):
    """AASHTO's 2.5 s is a 90th percentile (Wood and Zhang 2020)."""
    design = KNOWN["design_reaction"]
    assert drivers.reaction.share_within(design["seconds"]) >= design["share"] - 0.005


def test_for_the_cautious_drivers_it_covers_just_nine_in_ten():
    design = KNOWN["design_reaction"]
    covered = CAUTIOUS.reaction.share_within(design["seconds"])
    assert covered == pytest.approx(design["share"], abs=0.01)


@pytest.mark.parametrize(("share", "braking_g"), KNOWN["deceleration_g"])
def test_braking_has_the_published_percentiles(share, braking_g):
    """Koppa and others 1996; Fambro and others."""
    braking = statistics.NormalDist(MIDDLE.deceleration_g.mean, MIDDLE.deceleration_g.sd)
    assert braking.inv_cdf(share) == pytest.approx(braking_g, abs=0.001)


def test_one_driver_in_ten_brakes_more_gently_than_the_design_value():
    """AASHTO's 11.2 ft/s² is a 10th percentile (Wood and Zhang 2020)."""
    design = KNOWN["design_deceleration"]
    assert design["fps2"] == DECELERATION_FPS2
    braking = statistics.NormalDist(MIDDLE.deceleration_g.mean, MIDDLE.deceleration_g.sd)
    assert braking.cdf(design["fps2"] / 32.2) == pytest.approx(design["share_gentler"], abs=0.005)


@pytest.mark.parametrize(("mean_mph", "sd_mph", "p85_mph"), KNOWN["two_lane_counts"])
def test_counted_speeds_are_about_normal(mean_mph, sd_mph, p85_mph):
    """FHWA-HRT-14-020, table 55; percentiles there are whole miles per hour."""
    assert statistics.NormalDist(mean_mph, sd_mph).inv_cdf(0.85) == pytest.approx(p85_mph, abs=1.4)


def test_the_standard_deviations_of_speed_are_those_counted():
    counted = [row[1] for row in KNOWN["two_lane_counts"]]
    assert CAUTIOUS.over_posted_mph.sd == max(counted)
    assert FAVORABLE.over_posted_mph.sd == min(counted)
    assert MIDDLE.over_posted_mph.sd == pytest.approx(statistics.mean(counted), abs=0.03)


def test_as_many_go_ten_miles_an_hour_over_as_were_counted():
    """NHTSA, National Traffic Speeds Survey III."""
    low, high = KNOWN["ten_over"]
    over = statistics.NormalDist(MIDDLE.over_posted_mph.mean, MIDDLE.over_posted_mph.sd)
    assert low <= 1 - over.cdf(10) <= high


@pytest.mark.parametrize("speed_mph", [25, 40, 55, 70])
def test_drivers_who_are_all_like_the_design_driver_stop_at_the_design_distance(speed_mph):
    """1.47 and 1.075 are rounded constants of the book: half a percent either way."""
    needed_ft = stopping_sight(speed_mph).total
    assert share_that_stops(0.995 * needed_ft, speed_mph, EVERYBODY_ALIKE) == 0
    assert share_that_stops(1.005 * needed_ft, speed_mph, EVERYBODY_ALIKE) == 1


@pytest.mark.parametrize("speed_mph", [30, 45, 55, 65, 75])
def test_a_warning_as_long_as_the_stopping_sight_distance_leaves_drivers_who_cannot_stop(speed_mph):
    band = chance_of_stopping(stopping_sight(speed_mph).total, speed_mph)
    assert 0.4 < band.low < band.middle < band.high < 1
    assert band.low < 0.75


@settings(max_examples=40)
@given(
    st.floats(min_value=0, max_value=1500),
    st.floats(min_value=0, max_value=300),
    st.floats(min_value=15, max_value=80),
    st.sampled_from(ASSUMED),
)
def test_more_distance_never_lets_fewer_stop(distance_ft, more_ft, speed_mph, drivers):
    shorter = share_that_stops(distance_ft, speed_mph, drivers)
    assert 0 <= shorter <= share_that_stops(distance_ft + more_ft, speed_mph, drivers) + 1e-12 <= 1 + 1e-9


@settings(max_examples=40)
@given(st.floats(min_value=100, max_value=1000), st.floats(min_value=15, max_value=75))
def test_speed_descent_and_snow_never_let_more_stop(distance_ft, speed_mph):
    share = share_that_stops(distance_ft, speed_mph, MIDDLE)
    assert share_that_stops(distance_ft, speed_mph + 5, MIDDLE) <= share + 1e-12
    assert share_that_stops(distance_ft, speed_mph, MIDDLE, -5) <= share + 1e-12
    snow, ice = (share_that_stops(distance_ft, speed_mph, MIDDLE, 0, one) for one in list(Surface)[1:])
    assert ice <= snow + 1e-12 <= share + 2e-12


def test_the_band_is_from_the_worst_to_the_best_set():
    shares = [share_that_stops(400, 55, drivers) for drivers in ASSUMED]
    band = chance_of_stopping(400, 55)
    assert (band.low, band.middle, band.high) == (min(shares), shares[1], max(shares))
    assert band.distance_ft == 400


def test_percents_are_rounded_down_so_that_no_band_promises_that_all_stop():
    assert chance_of_stopping(2000, 55).percent()[2] == 99
    assert chance_of_stopping(0, 55).percent() == (0, 0, 0)


def test_where_the_slope_wins_nobody_stops():
    assert share_that_stops(5000, 40, MIDDLE, -8, Surface.ICE) == 0


@pytest.mark.parametrize(
    ("distance_ft", "speed_mph", "grade_pct"), [(-1, 55, 0), (math.inf, 55, 0), (400, math.nan, 0)]
)
def test_figures_that_are_none_are_refused(distance_ft, speed_mph, grade_pct):
    with pytest.raises(ValueError, match="must be"):
        share_that_stops(distance_ft, speed_mph, MIDDLE, grade_pct)


def test_a_mean_and_a_percentile_that_do_not_fit_are_refused():
    with pytest.raises(ValueError, match="no lognormal times have the mean 1 s"):
        ReactionTime.from_mean(1.0, 0.95, 9.0)
