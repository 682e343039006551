"""The cab file alone in Firefox, driven over WebDriver BiDi by the scripts in tests/firefox."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
from forty_paces.authoring.library import Library
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import HiddenBy, RoadKind, Situation
from forty_paces.outputs.cab.screens import screen_before
from forty_paces.outputs.common.families import families
from forty_paces.outputs.common.procedure_view import view_procedure

from tests.browser.auditing import (
    AA,
    AAA_AUDIT,
    AAA_GIVEN_ELSEWHERE,
    AXE_SOURCE,
    EVERY_VIEW,
    every_view,
    held_to_aaa,
)
from tests.browser.walk_taps import MOVED_OUT, step_of
from tests.missing import node
from tests.projects import step_count
from tests.soaking import SOAK, cases, sample

pytestmark = pytest.mark.browser

PROJECT = Path(__file__).resolve().parents[2]
SCRIPTS = PROJECT / "tests/firefox"
LONGEST_S = 1800 if SOAK else 240
KILLS = cases(1, soak=20)
KILLED_AFTER_S = (0.5, 1.0, 2.0) if SOAK else (1.0,)


def report_of(script: str, *given: str) -> dict[str, Any]:
    """What a script saw, as the JSON of its last line."""
    ran = subprocess.run(
        [node(), str(SCRIPTS / script), *given],
        capture_output=True,
        text=True,
        timeout=LONGEST_S,
        cwd=PROJECT,
    )
    assert ran.returncode == 0, ran.stderr
    return dict(json.loads(ran.stdout.splitlines()[-1]))


PROCEDURE = "tire-fire"


@pytest.fixture(scope="module")
def seen(firefox: str, cab_file: Path, library: Library) -> dict[str, Any]:
    """One visit: a procedure to its end, the guided walk, a step, the record, reload; by Tab; axe-core."""
    family = screen_before(families(library.procedures))[PROCEDURE]
    where = (cab_file.as_uri(), PROCEDURE, family, step_of(library, "behind"))
    enhanced = f"({AAA_AUDIT})({json.dumps(AAA_GIVEN_ELSEWHERE)})"
    every = f"({EVERY_VIEW})({json.dumps(every_view(library, 2))})"
    by_tab = json.dumps([procedure.id for procedure in sample(library.procedures, 2)])
    return report_of("walk.mjs", firefox, *where, str(AXE_SOURCE), json.dumps(AA), enhanced, every, by_tab)


class TestWalk:
    def test_it_goes_through_without_a_fault(self, seen: dict[str, Any]) -> None:
        assert "fault" not in seen, (seen.get("fault"), seen.get("screen"))
        assert seen["faults"] == []

    def test_it_asks_for_no_other_file(self, seen: dict[str, Any], cab_file: Path) -> None:
        assert {address.split("#")[0] for address in seen["requests"] if not address.startswith("data:")} <= {
            cab_file.as_uri()
        }

    def test_the_start_screen_shows_every_family(self, seen: dict[str, Any], library: Library) -> None:
        assert seen["families"] == len(families(library.procedures))

    def test_a_procedure_is_walked_step_by_step(self, seen: dict[str, Any], library: Library) -> None:
        view = view_procedure(library.procedure(PROCEDURE))
        steps = [(block, step) for block in view.blocks for step in block.steps]
        assert [one["key"] for one in seen["steps"]] == [step.key for _, step in steps]
        for (block, step), shown in zip(steps, seen["steps"], strict=True):
            assert step.step.do in shown["text"]
            assert shown["progress"] == f"Step {step.number} of {step_count(view)} · {block.block.title}"

    def test_the_guided_walk_gives_the_distances_of_the_engine(
        self, seen: dict[str, Any], library: Library
    ) -> None:
        rules = library.rules["us"].rule_set
        given = Situation(RoadKind.TWO_LANE, 55.0, rules.detection_ft(), 300.0, hidden_by=(HiddenBy.CURVE,))
        paces = [device.paces for device in place(rules, given).devices]
        assert seen["before"] == 0, "a number before every question was answered"
        assert seen["paces"] == [str(count) for count in paces]
        assert seen["devices"] == [f"{count} paces" for count in paces]
        assert all("stands since" in line for line in seen["stand"])
        assert len(seen["stand"]) == 3

    def test_a_step_shows_the_place_that_the_walk_computed(self, seen: dict[str, Any]) -> None:
        assert seen["placing"] == MOVED_OUT

    def test_no_screen_has_a_violation_at_aa(self, seen: dict[str, Any]) -> None:
        assert seen["violations"] == {"start": [], "step": [], "plan": [], "record": []}

    def test_steps_decisions_and_ways_out_reach_aaa_contrast_and_target_size(
        self, seen: dict[str, Any]
    ) -> None:
        held_to_aaa(seen["enhanced"], AAA_GIVEN_ELSEWHERE)

    def test_the_record_is_there_after_a_reload(self, seen: dict[str, Any]) -> None:
        assert seen["kept"]["place"] == "Route 9, mile 12"
        assert len(seen["log"]) > 10
        assert seen["kept"]["log"] == seen["log"]
        assert seen["kept"]["stand"] == seen["stand"]

    @pytest.mark.long
    @pytest.mark.soak
    def test_every_step_is_reached_by_tab_and_every_kind_of_screen_holds_aa(
        self, seen: dict[str, Any], library: Library
    ) -> None:
        assert seen["audit"]["found"] == {}
        assert seen["audit"]["looked"] > 10 * len(every_view(library, 2)["views"])
        for procedure in sample(library.procedures, 2):
            expected = [step for block in view_procedure(procedure).blocks for step in block.steps]
            steps = seen["byTab"][procedure.id]["steps"]
            assert [step["key"] for step in steps] == [step.key for step in expected]
            assert all(step["focused"] for step in steps)
            assert all(
                wanted.step.do in " ".join(step["text"].split())
                for wanted, step in zip(expected, steps, strict=True)
            )
            assert seen["byTab"][procedure.id]["over"] == ("decision" if procedure.decision else "finished")


@pytest.mark.long
@pytest.mark.soak
@pytest.mark.parametrize("seconds", KILLED_AFTER_S)
@pytest.mark.parametrize("turn", range(KILLS))
def test_a_firefox_killed_a_little_after_a_tap_has_kept_it(
    firefox: str, cab_file: Path, tmp_path: Path, seconds: float, turn: int, record_property: Any
) -> None:
    seen = report_of("kill.mjs", firefox, cab_file.as_uri(), str(tmp_path), str(seconds))
    record_property("kept", seen["said"])
    assert seen["ticks"] == seen["log"]
    # A machine so loaded that it has not written yet has not said so either.
    assert (seen["ticks"], seen["said"]) == (seen["tapped"], "kept") or seen["said"] == "writing"
    assert seen["checked"] == len(seen["ticks"])
