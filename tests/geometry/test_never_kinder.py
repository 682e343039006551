"""The simple model promises no more warning than a road drawn to scale gives."""

import math
import random
from collections import Counter

import pytest
from forty_paces.geometry.records import HiddenBy

from tests.geometry.random_roads import in_force, random_road, views
from tests.rule_files import rule_file

RULE_SETS = ("us", "ontario", "uk", "germany", "south-africa", "australia-sa")


def broken_promises(seed, roads):
    """Roads on which the simple model promises over a foot more than the engine gives."""
    chance = random.Random(seed)
    broken, kinds = [], Counter()
    for _ in range(roads):
        told = random_road(chance)
        simple, engine = views(told)
        if told.hidden_by is HiddenBy.OBSTRUCTION and math.isinf(simple.sight_ft):
            continue  # an observer at the vehicle would not report an obstruction that does not hide it
        rules = rule_file(chance.choice(RULE_SETS)).rule_set
        across = chance.choice(in_force(rules))
        kinds[told.hidden_by, math.isfinite(simple.sight_ft)] += 1
        for distance in (10.0, 100.0, 200.0, *(float(chance.randrange(100, 510, 10)) for _ in range(4))):
            promised = simple.warning_ft([(distance, across)])
            given = engine.warning_ft([(distance, across)])
            if promised > given + 1:
                broken.append((told, distance, across, promised, given))
    return broken, kinds


def test_the_simple_model_is_never_kinder_than_the_road():
    broken, kinds = broken_promises(20261126, 250)
    assert broken == []
    assert all(kinds[cause, True] > 10 for cause in HiddenBy)


@pytest.mark.long
def test_the_simple_model_is_never_kinder_than_two_thousand_roads():
    broken, kinds = broken_promises(1, 2500)
    assert broken == []
    assert all(kinds[cause, True] > 100 for cause in HiddenBy)
