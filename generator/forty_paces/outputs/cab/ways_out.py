"""The ways out of a step, prepared for the cab file: the row of buttons and the screens behind them."""

from __future__ import annotations

from dataclasses import dataclass

from forty_paces.authoring.library import Library
from forty_paces.authoring.models.fleet import Vehicle
from forty_paces.authoring.models.procedure import Procedure
from forty_paces.authoring.models.ways_out import WayOut
from forty_paces.outputs.common.procedure_view import LineView, StepView, view_lines, view_procedure


@dataclass(frozen=True, slots=True)
class WayOutView:
    """One button of the row and its screen."""

    way: WayOut
    href: str
    "Where the button leads: the one procedure that the way out opens, or its own screen."
    lines: tuple[LineView, ...]
    steps: tuple[StepView, ...]
    "Steps of procedures that its screen repeats, under their own keys."
    opens: tuple[Procedure, ...]

    @property
    def screen(self) -> str:
        """The id of its own screen; empty where the button leads straight to a procedure."""
        return "" if self.way.straight_to else f"way-{self.way.id}"


def ways_out_views(library: Library, vehicle: Vehicle | None) -> tuple[WayOutView, ...]:
    """All ways out, without lines that cannot apply to the vehicle."""
    procedures = {procedure.id: procedure for procedure in library.procedures}
    steps = {
        f"{procedure.id}/{block.block.id}/{step.step.id}": step
        for procedure in library.procedures
        for block in view_procedure(procedure, vehicle).blocks
        for step in block.steps
    }
    return tuple(
        WayOutView(
            way=way,
            href=f"#{way.straight_to or f'way-{way.id}'}",
            lines=view_lines(f"ways-out/{way.id}", "lines", way.lines, vehicle),
            steps=tuple(steps[address] for address in way.shows if address in steps),
            opens=tuple(procedures[wanted] for wanted in way.opens),
        )
        for way in library.ways_out
    )
