"""No-break spaces are inserted where a printed line must not end."""

from __future__ import annotations

import pytest
from forty_paces.outputs.common.typesetting import (
    UNITS,
    html_with_no_break_spaces,
    view_box,
    with_no_break_spaces,
)
from hypothesis import given
from hypothesis import strategies as st

FIRM = "\u00a0"


def test_the_units_that_drivers_read_are_known() -> None:
    assert {"ft", "in", "m", "mi", "km", "mph", "km/h", "psi", "kPa", "lb", "percent"} <= set(UNITS)


@pytest.mark.parametrize("unit", UNITS)
def test_a_figure_stays_with_its_unit(unit: str) -> None:
    assert f"Walk 40{FIRM}{unit}, then stop." == with_no_break_spaces(f"Walk 40 {unit}, then stop.")


@pytest.mark.parametrize(
    "text", ["Stop 3 inches", "2 metal rods", "10 hours", "Unit 204 in the yard is 2 m/s"]
)
def test_other_words_may_part(text: str) -> None:
    assert text.replace("204 in", f"204{FIRM}in") == with_no_break_spaces(text)


def test_a_day_stays_with_its_month_and_a_code_with_its_part() -> None:
    assert f"of 25{FIRM}Nov 2026" == with_no_break_spaces("of 25 Nov 2026")
    assert f"49{FIRM}CFR{FIRM}392.22(b)" == with_no_break_spaces("49 CFR 392.22(b)")


def test_tags_attributes_and_paths_stay_as_they_are() -> None:
    drawn = (
        '<svg viewBox="0 0 10 20" aria-label="10 ft"><path d="M0 0 m 5 10 s 1 2"/><text>10 ft</text></svg>'
    )
    made = html_with_no_break_spaces(drawn)
    assert drawn == made.replace(FIRM, " ")
    assert 1 == made.count(FIRM)
    assert (10, 20) == view_box(made)


@given(st.text(alphabet="0123456789 ftminNovCR%<>/ap", max_size=60))
def test_no_word_changes_and_twice_is_once(text: str) -> None:
    once = html_with_no_break_spaces(text)
    assert text == once.replace(FIRM, " ")
    assert once == html_with_no_break_spaces(once)
