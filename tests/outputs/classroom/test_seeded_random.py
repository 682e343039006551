"""The seeded random generator: Marsaglia's xorshift, evenly distributed and reproducible."""

from collections import Counter

import pytest
from forty_paces.outputs.classroom.seeded_random import SeededRandom
from hypothesis import given
from hypothesis import strategies as st


def test_the_step_is_marsaglias_xorshift_with_13_17_5():
    """The first value after Marsaglia's 32-bit seed 2463534242 is 723471715.

    Source: Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8(14), 2003.
    """
    random = SeededRandom(0)
    random._state = 2463534242
    assert 723471715 == random._next()


def test_the_same_number_deals_the_same_and_another_deals_otherwise():
    def dealt(number):
        random = SeededRandom(number)
        return [random.below(1000) for _ in range(20)]

    assert dealt(7) == dealt(7)
    assert dealt(7) != dealt(8)


def test_words_stand_for_a_number_and_their_parting_counts():
    assert SeededRandom.named("tires", "a").below(10**9) == SeededRandom.named("tires", "a").below(10**9)
    assert SeededRandom.named("tires", "a").below(10**9) != SeededRandom.named("tiresa").below(10**9)


@given(st.integers(0, 2**32 - 1), st.lists(st.integers(), max_size=40))
def test_a_shuffle_keeps_every_item(number, items):
    assert sorted(items) == sorted(SeededRandom(number).shuffled(items))


def test_every_place_of_a_shuffle_is_about_equally_likely():
    first = Counter(SeededRandom(number).shuffled("abcd")[0] for number in range(4000))
    assert set("abcd") == set(first)
    assert all(850 < count < 1150 for count in first.values())


@pytest.mark.parametrize("number", [0, 1, 2**32 - 1])
def test_no_number_gets_stuck(number):
    random = SeededRandom(number)
    assert len({random.below(2**31) for _ in range(50)}) > 45
