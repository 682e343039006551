"""Build procedures of any length for tests."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from forty_paces.authoring.models.procedure import Procedure
from forty_paces.outputs.common.context import BuildContext

SOURCE = ["common-practice"]


def step(id: str, do: str, **more: Any) -> dict[str, Any]:
    """The data of one step."""
    return {"id": id, "do": do, "why": "It keeps you safe.", "source": SOURCE, **more}


def notice(signal: str) -> dict[str, Any]:
    """The data of one notice."""
    return {
        "signal": signal,
        "hazard": "A hot tire can burst.",
        "consequence": "Parts fly out from its side.",
        "avoid": "Stand ahead of it.",
        "source": SOURCE,
    }


def procedure(id: str = "odd-noise", steps: list[dict[str, Any]] | None = None, **more: Any) -> Procedure:
    """A short procedure; ``more`` overrides any of its fields."""
    record: dict[str, Any] = {
        "id": id,
        "title": "Odd noise underneath",
        "tile": "Odd noise",
        "symbol": "breakdown",
        "group": "stopped",
        "position": 1,
        "family": "stopping",
        "code": "FLM1",
        "version": "1.0",
        "effective": "2026-11-25",
        "next_review": "2027-11-25",
        "review": {"author": "A tester"},
        "cues": ["You hear an odd noise."],
        "stopped": "After you have stopped off the road, start here.",
        "blocks": [
            {
                "id": "look",
                "title": "Look underneath",
                "steps": steps or [step("listen", "Listen at each wheel.")],
            }
        ],
        "finished": "Nothing hangs loose.",
        "local_rule": "State law wins over this page.",
    }
    return Procedure.model_validate(record | more)


def small(context: BuildContext, vehicles: int) -> BuildContext:
    """One procedure with by-heart lines, a notice and a step for tankers, and some vehicles."""
    steps = [
        step("listen", "Listen at each wheel.", notice=notice("danger")),
        step("look", "Look under the trailer."),
    ]
    fleet = context.library.fleet
    fleet = fleet.model_copy(update={"vehicles": fleet.vehicles[:vehicles]})
    library = replace(context.library, procedures=(procedure(steps=steps),), fleet=fleet)
    return BuildContext(library, context.overrides)
