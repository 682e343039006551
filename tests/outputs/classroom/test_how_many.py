"""A hundred drivers: the pictures count what the engine computes, and no driver at the road sees them."""

from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from forty_paces.drawing.hundred import Hundred, draw_hundreds
from forty_paces.geometry.chance import Chance, chance_of_stopping
from forty_paces.geometry.records import Toward
from forty_paces.geometry.solver import solve_scene
from forty_paces.messages.answer import CHANCE
from forty_paces.outputs.classroom.how_many import compared, in_words
from forty_paces.outputs.classroom.sight_page import sight_html
from forty_paces.outputs.common.context import BuildContext

from tests.outputs.classroom.lesson_samples import PROJECT, real_library

LIBRARY = real_library()
RULES = LIBRARY.rules["us"].rule_set
SQUARE, DOTTED, CROSS = "rect.fp-bar-solid", "rect.fp-bar", "line.fp-cross"
KEY = 1
"The key shows each symbol once."


def counted(*bands):
    grids = [Hundred("Device at 100 ft", "warned from 258 ft", band) for band in bands]
    drawn = BeautifulSoup(draw_hundreds(grids, prefix="p", desc="d"), "html.parser")
    return (
        len(drawn.select(SQUARE)) - KEY,
        len(drawn.select(DOTTED)) - KEY,
        len(drawn.select(CROSS)) // 2 - KEY,
    )


@pytest.mark.parametrize(
    ("low", "high", "wanted"),
    [
        (0.0, 0.0, (0, 0, 100)),
        (0.1999, 0.5, (19, 31, 50)),
        (0.2, 0.5, (20, 30, 50)),
        (0.999, 1.0, (99, 1, 0)),
        (1.0, 1.0, (100, 0, 0)),
    ],
)
def test_each_grid_has_a_hundred_drivers_in_three_shapes(low, high, wanted):
    """Shares are rounded down, as the command line prints them."""
    assert wanted == counted(Chance(300.0, low, (low + high) / 2, high))
    assert tuple(2 * count for count in wanted) == counted(*[Chance(300.0, low, low, high)] * 2)


def test_the_rules_distance_stands_beside_the_moved_one():
    """Computed from the warning, the posted speed and the grade on which these drivers brake."""
    solved = solve_scene(RULES, LIBRARY.scenes["drover-crest"])
    ((rule, moved),) = compared(solved, RULES)
    side, approach = solved.side(Toward.BEHIND), solved.placement.approach(Toward.BEHIND)
    (device,) = [one for one in solved.placement.devices if one.moved]
    assert (100.0, device.distance_ft) == (rule.distance_ft, moved.distance_ft)
    assert approach.warning_ft == moved.warning_ft > rule.warning_ft
    assert chance_of_stopping(approach.warning_ft, 55.0, side.grade_pct) == moved.band
    assert moved.band.low > rule.band.low
    assert f"of 100 drivers about {moved.band.percent()[0]} to" in in_words((rule, moved), RULES)


def test_where_no_device_moves_there_is_nothing_to_compare():
    assert [] == list(compared(solve_scene(RULES, LIBRARY.scenes["sawmill-straight"]), RULES))


def test_the_explorer_names_assumptions_and_sources():
    page = BeautifulSoup(sight_html(BuildContext(LIBRARY, PROJECT / "site_overrides")), "html.parser")
    lines = [item.get_text() for item in page.select(".hundred li")]
    assert {CHANCE[f"source-{name}"] for name in ("reaction", "braking", "speed", "met")} <= set(lines)
    assert CHANCE["limits"] == lines[-1]
    assert [line.split(":")[0] for line in lines[:3]] == ["Cautious", "Middle", "Favorable"]
    assert page.select_one(".hundred svg[role=img] desc").get_text() in page.select_one(".hundred").get_text()


@pytest.mark.parametrize("output", ["cab", "cards", "pages"])
def test_what_a_driver_holds_never_counts_drivers(output):
    folder = Path(PROJECT) / "generator/forty_paces/outputs" / output
    modules = sorted(folder.glob("*.py"))
    assert modules
    assert [] == [one.name for one in modules if "chance" in one.read_text(encoding="utf-8")]
