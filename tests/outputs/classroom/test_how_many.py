"""A hundred drivers: the pictures count what the engine computes, and no driver at the road sees them."""

from pathlib import Path

import pytest
from bs4 import BeautifulSoup
from forty_paces.drawing.hundred import Hundred, draw_hundreds
from forty_paces.geometry.chance import Chance, chance_of_stopping
from forty_paces.geometry.records import Toward
from forty_paces.geometry.solver import solve_scene
from forty_paces.messages.answer import CHANCE
from forty_paces.outputs.classroom.how_many import blank, compared, for_script, in_words, values
from forty_paces.outputs.classroom.placing_tasks import scene_task

from tests.outputs.classroom.lesson_samples import PROJECT, real_library

LIBRARY = real_library()
RULES = LIBRARY.rules["us"].rule_set
SQUARE, DOTTED, CROSS = "path.fp-bar-solid", "path.fp-bar", "path.fp-cross"
KEY = 1
"The key shows each symbol once."


def counted(*bands):
    grids = [Hundred("Device at 100 ft", "warned from 258 ft", band) for band in bands]
    drawn = BeautifulSoup(draw_hundreds(grids, prefix="p", desc="d"), "html.parser")
    shapes = [drawn.select(kind) for kind in (SQUARE, DOTTED, CROSS)]
    return tuple(sum(path["d"].count("M") for path in paths) - KEY for paths in shapes)


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


@pytest.mark.parametrize("name", ["drover-crest", "otter-bends"])
def test_a_script_gets_the_same_figures_for_each_side_with_a_moved_device(name):
    task = scene_task(RULES, LIBRARY.scenes[name])
    pairs = list(compared(task.solved, RULES))
    assert [pair[0].toward for pair in pairs] == [one.toward for one in task.expected if one.moved]
    for pair in pairs:
        for one, found in zip(pair, values(pair, task.lengths), strict=True):
            assert found == [one.distance_ft, one.warning_ft, *one.band.percent()]


def test_a_blank_picture_has_the_cells_and_shapes_of_a_drawn_one():
    """What a script adds to the blank: a shape for each driver, at the cell and by the path given to it."""
    band = Chance(300.0, 0.19, 0.3, 0.5)
    drawn = BeautifulSoup(draw_hundreds([Hundred("a", "b", band)] * 2, prefix="p", desc="d"), "html.parser")
    bare = BeautifulSoup(blank("p"), "html.parser")
    plan = for_script()
    filled = zip(drawn.select(".fp-hundred-grid"), bare.select(".fp-hundred-grid"), strict=True)
    for place, (grid, empty) in enumerate(filled):
        assert len(empty.select("text")) == len(grid.select("text")) == 3
        paths = zip(grid.select("path"), empty.select("path"), plan["marks"], strict=True)
        for path, bare_path, (kind, x, y, shape) in paths:
            assert bare_path["class"] == path["class"]
            first = {"stops": 0, "open": 19, "hits": 50}[kind]
            left = plan["lefts"][place] + first % 10 * plan["cell"] + x
            top = plan["top"] + first // 10 * plan["cell"] + y
            assert path["d"].startswith(f"M{left:g} {top:g}{shape}M")


def test_where_no_device_moves_there_is_nothing_to_compare():
    assert [] == list(compared(solve_scene(RULES, LIBRARY.scenes["sawmill-straight"]), RULES))


@pytest.mark.long
def test_the_explorer_names_assumptions_and_sources(built_site):
    page = BeautifulSoup((built_site / "classroom/sight.html").read_text(encoding="utf-8"), "html.parser")
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
