"""Builds a lookup table: solves every situation on the grid once and collects the results in pools.

Produces the plain values of the format that :mod:`forty_paces.geometry.table` describes.
Every figure comes from the placement engine; this module computes only indexes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any

from forty_paces.geometry import explanation, units
from forty_paces.geometry.answer import plain, tenths, tenths_up
from forty_paces.geometry.cautions import standing_cautions, time_caution
from forty_paces.geometry.placement import Side, nearest_first, place_side, streams
from forty_paces.geometry.records import DeviceRule, HiddenBy, Layout, RoadKind, RuleSet, Toward
from forty_paces.geometry.simple_view import SimpleView
from forty_paces.geometry.stopping import needed_sight_ft
from forty_paces.geometry.table_axes import Axes, TableExample, located
from forty_paces.geometry.table_pools import ALPHABET, Lengths, Pool, Spans, code
from forty_paces.geometry.walk import legs, walking_distance_ft, walking_order, walking_seconds

VERSION = 2

TABLE_CAUSES = (HiddenBy.CURVE, HiddenBy.HILL)
"The table has no axis for the kind or near end of an obstruction: it gives the worse of both kinds."

_SLOTS = {
    name: "{" + name + "}" for name in ("hidden", "warning", "base_warning", "needed", "look", "look_s")
}


class Builder:
    """Collects results in pools while solving the grid once."""

    def __init__(self, rules: RuleSet, axes: Axes) -> None:
        self.rules, self.axes = rules, axes
        self.texts: Pool[str] = Pool()
        self.lengths = Lengths(rules)
        self.warnings = Spans(rules, explanation.length_down)
        self.shortfalls: Pool[tuple[Any, ...]] = Pool()
        self.shortfalls.place((0.0, 0.0, "", ""))
        self.looks: Pool[tuple[float, float]] = Pool()
        self.looks.place((0.0, 0.0))
        self.walks: Pool[float] = Pool()
        self.answers: Pool[tuple[int, ...]] = Pool()
        self.blocks: Pool[str] = Pool()
        self.grids: Pool[str] = Pool()
        self.layouts: Pool[tuple[Layout, str]] = Pool()
        self.outer: dict[tuple[int, Toward], set[float]] = {}
        for hidden_ft in axes.hidden_ft:
            if math.isfinite(hidden_ft):
                self.lengths.add(hidden_ft)
        for entry in rules.visibility:
            self.lengths.add(entry.detection_ft)
            self.lengths.add(entry.reflecting_ft or entry.detection_ft)

    def table(self, examples: Iterable[TableExample]) -> dict[str, Any]:
        """Return the whole table, in the order of the format description."""
        rules, axes = self.rules, self.axes
        sides = self._solve_everything()
        self.lengths.freeze()
        rows = {
            str(road): {str(toward): self._grid(sides, road, toward) for toward in streams(road)}
            for road in RoadKind
        }
        layouts = [self._layout(place) for place in range(len(self.layouts.entries))]
        vehicle = [
            self.warnings.place(rules.down_ft(min(hidden_ft, entry.detection_ft)))
            for hidden_ft in axes.hidden_ft
            for entry in rules.visibility
        ]
        needed = Spans(rules, explanation.length_up, pooled=False)
        for speed_mph in axes.speeds_mph:
            for grade_pct in axes.grades_pct:
                needed.place(needed_sight_ft(speed_mph, grade_pct, metric=rules.metric))
        ahead = [
            -1
            if Toward.AHEAD in streams(road)
            else self.texts.place(explanation.caution("no-traffic-ahead", road=road))
            for road in RoadKind
        ]
        short = self._short_template()
        walks = self._walks()
        return {
            "version": VERSION,
            "rules": {
                "id": rules.id,
                "title": rules.title,
                "metric": rules.metric,
                "limit_s": rules.time_limit_s,
            },
            "alphabet": ALPHABET,
            "axes": self._axes(),
            "lengths": self.lengths.columns(),
            "warnings": self.warnings.columns(),
            "needed": needed.columns(),
            "shortfalls": self._shortfall_columns(),
            "looks": {
                "ft": [tenths(look_ft) for look_ft, _ in self.looks.entries],
                "s": [look_s for _, look_s in self.looks.entries],
                "text": [explanation.look_length(rules, look_ft) for look_ft, _ in self.looks.entries],
                "s_text": [explanation.look_seconds(look_s) for _, look_s in self.looks.entries],
            },
            "walks": walks,
            "vehicle": vehicle,
            "layout": {
                str(road): [self._layout_place(road, speed) for speed in axes.speeds_mph] for road in RoadKind
            },
            "layouts": layouts,
            "rows": rows,
            "grids": self.grids.entries,
            "blocks": self.blocks.entries,
            "answers": self.answers.entries,
            "short": short,
            "beyond": self.texts.place(explanation.caution("beyond")),
            "ahead": ahead,
            "texts": self.texts.entries,
            "examples": [
                found for example in examples if (found := located(rules, axes, example)) is not None
            ],
        }

    def _solve_everything(self) -> dict[tuple[RoadKind, Toward], list[Side]]:
        """Solve every approach direction on the grid, by speed, grade, visibility, hidden distance."""
        solved: dict[tuple[RoadKind, Toward], list[Side]] = {}
        for road in RoadKind:
            for toward in streams(road):
                solved[road, toward] = list(self._solve(road, toward))
        return solved

    def _solve(self, road: RoadKind, toward: Toward) -> Iterable[Side]:
        for speed_mph in self.axes.speeds_mph:
            place = self._layout_place(road, speed_mph)
            layout = self.layouts.entries[place][0]
            outer = self.outer.setdefault((place, toward), set())
            for rule in layout.devices:
                self.lengths.add(rule.distance_ft)
            for grade_pct in self.axes.grades_pct:
                needed_ft = needed_sight_ft(speed_mph, grade_pct, metric=self.rules.metric)
                for entry in self.rules.visibility:
                    for hidden_ft in self.axes.hidden_ft:
                        view = SimpleView(
                            hidden_ft,
                            entry.detection_ft,
                            speed_mph,
                            entry.reflecting_ft,
                            TABLE_CAUSES,
                        )
                        side = place_side(self.rules, layout, toward, speed_mph, needed_ft, view)
                        if side.devices:
                            outer.add(side.devices[-1].distance_ft)
                            self.lengths.add(side.devices[-1].distance_ft)
                        yield side

    def _layout_place(self, road: RoadKind, speed_mph: float) -> int:
        """Return the index of a layout; layouts that differ only in the kind of one-sided road share one."""
        layout = self.rules.layout(road, speed_mph)
        one_sided = "" if Toward.AHEAD in streams(road) else "one-sided"
        for place, (known, kind) in enumerate(self.layouts.entries):
            if kind == one_sided and _alike(known, layout):
                return place
        return self.layouts.place((layout, one_sided))

    def _grid(self, sides: dict[tuple[RoadKind, Toward], list[Side]], road: RoadKind, toward: Toward) -> int:
        width = len(self.axes.hidden_ft)
        run = sides[road, toward]
        codes = [
            code(self.blocks.place("".join(code(self._answer(side)) for side in run[start : start + width])))
            for start in range(0, len(run), width)
        ]
        return self.grids.place("".join(codes))

    def _answer(self, side: Side) -> int:
        outermost = side.devices[-1] if side.devices else None
        return self.answers.place(
            (
                self.lengths.place(outermost.distance_ft) if outermost else -1,
                self.warnings.place(side.approach.warning_ft),
                self.warnings.place(self.rules.down_ft(side.base_warning_ft)),
                self.texts.place(self._reason(side)) if outermost else -1,
                self._shortfall(side),
                self.looks.place((side.approach.look_ft, side.approach.look_s)),
                -1
                if side.approach.reflecting_warning_ft is None
                else self.warnings.place(side.approach.reflecting_warning_ft),
                int(side.finding == "beyond" and not side.approach.ample),
            )
        )

    def _reason(self, side: Side) -> str:
        """Return the reason as a template; slots that depend on the layout alone are filled in already."""
        filled = explanation.REASONS[side.finding].format(**{**side.slots, **_SLOTS})
        told = explanation.REASONS[side.finding].format(**side.slots)
        rest = side.devices[-1].reason.removeprefix(told)
        if side.look:
            rest = rest.removesuffix(explanation.REASONS[side.look].format(**side.slots))
            rest += explanation.REASONS[side.look].format(**{**side.slots, **_SLOTS})
        return filled + rest

    def _shortfall(self, side: Side) -> int:
        approach = side.approach
        if approach.ample:
            return 0
        return self.shortfalls.place(
            (
                tenths_up(approach.shortfall_ft),
                tenths_up(approach.shortfall_s),
                explanation.length_up(self.rules, approach.shortfall_ft),
                units.seconds_up(approach.shortfall_s),
            )
        )

    def _shortfall_columns(self) -> dict[str, list[Any]]:
        names = ("ft", "s", "text", "s_text")
        return dict(zip(names, map(list, zip(*self.shortfalls.entries, strict=True)), strict=True))

    def _layout(self, place: int) -> dict[str, Any]:
        rules, (layout, one_sided) = self.rules, self.layouts.entries[place]
        sides = [toward for toward in Toward if not (one_sided and toward is Toward.AHEAD)]
        ordered = {toward: nearest_first(layout, toward) for toward in sides}
        outermost = {toward: rules_there[-1] for toward, rules_there in ordered.items() if rules_there}
        outer = {
            toward: sorted(self.lengths.place(distance) for distance in self.outer.get((place, toward), ()))
            for toward in Toward
        }
        devices = [
            {
                "toward": str(rule.toward),
                "length": self.lengths.place(rule.distance_ft),
                "across": self.texts.place(rule.across),
                "reason": self.texts.place(explanation.reason("set", {}, rule)),
                "source": self.texts.place(rule.source),
                "moved_source": self.texts.place(rules.hidden.source if rules.hidden else rule.source),
                "outer": int(outermost.get(rule.toward) is rule),
            }
            for rule in _in_answer_order(layout, sides)
        ]
        return {
            "devices": devices,
            "forbidden": self.texts.place(layout.forbidden) if layout.forbidden else -1,
            "slow": -1
            if rules.time_limit_s is None
            else self.texts.place(time_caution(rules, "too-slow", layout.leave_out_first)),
            "cautions": [
                [
                    self.texts.place(said)
                    for said in standing_cautions(rules, layout, entry.detection_ft, entry.reflecting_ft)
                ]
                for entry in rules.visibility
            ],
            "order": [self.texts.place(leg) for leg in self._order(layout, outermost)],
            "outer": {str(toward): outer[toward] for toward in Toward},
            "walk": self._walk_grid(layout, outermost, outer),
        }

    def _order(self, layout: Layout, outermost: dict[Toward, DeviceRule]) -> Sequence[str]:
        def written(rule: DeviceRule) -> str:
            if outermost.get(rule.toward) is rule:
                return "{" + str(rule.toward) + "}"
            return explanation.paced(self.rules, rule.distance_ft)

        return legs(walking_order(layout.devices), written)

    def _walk_grid(
        self, layout: Layout, outermost: dict[Toward, DeviceRule], outer: dict[Toward, list[int]]
    ) -> str:
        fixed = [rule for rule in layout.devices if outermost.get(rule.toward) is not rule]
        codes = []
        for behind in outer[Toward.BEHIND] or [-1]:
            for ahead in outer[Toward.AHEAD] or [-1]:
                moved = [
                    replace(outermost[toward], distance_ft=self.lengths.entries[length])
                    for toward, length in ((Toward.BEHIND, behind), (Toward.AHEAD, ahead))
                    if length >= 0
                ]
                codes.append(code(self.walks.place(walking_distance_ft([*fixed, *moved]))))
        return "".join(codes)

    def _walks(self) -> dict[str, list[Any]]:
        rules, distances = self.rules, self.walks.entries
        walking = [walking_seconds(distance_ft) for distance_ft in distances]
        limit_s = rules.time_limit_s
        return {
            "ft": [plain(distance_ft) for distance_ft in distances],
            "text": [explanation.length(rules, distance_ft) for distance_ft in distances],
            "seconds": walking,
            "share": [f"{round(100 * each / limit_s)} percent" if limit_s else "" for each in walking],
            "slow": [int(limit_s is not None and each > limit_s) for each in walking],
        }

    def _short_template(self) -> int:
        """Add the caution for a short warning with its slots left open."""
        names = ("side", "warning", "needed", "shortfall", "shortfall_s")
        template = explanation.CAUTIONS["short"].format(**{name: "{" + name + "}" for name in names})
        return self.texts.place(template)

    def _axes(self) -> dict[str, Any]:
        rules, axes = self.rules, self.axes
        return {
            "road": [str(road) for road in RoadKind],
            "sides": [[str(toward) for toward in streams(road)] for road in RoadKind],
            "speed": {"mph": list(axes.speeds_mph), "text": axes.speed_texts(rules)},
            "grade": {
                "pct": [plain(grade_pct) for grade_pct in axes.grades_pct],
                "text": axes.grade_texts(),
                "mirror": [axes.grades_pct.index(-grade_pct) for grade_pct in axes.grades_pct],
            },
            "visibility": {
                "id": [entry.id for entry in rules.visibility],
                "text": [entry.title for entry in rules.visibility],
                "reach": [self.lengths.place(entry.detection_ft) for entry in rules.visibility],
                "reflecting": [
                    self.lengths.place(entry.reflecting_ft or entry.detection_ft)
                    for entry in rules.visibility
                ],
                "reach_ft": [entry.detection_ft for entry in rules.visibility],
                "default": [entry.id for entry in rules.visibility].index(rules.default_visibility),
            },
            "hidden": {
                "length": [
                    self.lengths.place(hidden_ft) if math.isfinite(hidden_ft) else -1
                    for hidden_ft in axes.hidden_ft
                ],
                "ft": [hidden_ft if math.isfinite(hidden_ft) else None for hidden_ft in axes.hidden_ft],
            },
        }


def _alike(one: Layout, other: Layout) -> bool:
    return (one.devices, one.forbidden, one.note, one.leave_out_first) == (
        other.devices,
        other.forbidden,
        other.note,
        other.leave_out_first,
    )


def _in_answer_order(layout: Layout, sides: Sequence[Toward]) -> Iterable[DeviceRule]:
    """Sides with traffic first, each nearest first; then devices that face no traffic, in rule order."""
    for toward in sides:
        yield from nearest_first(layout, toward)
    yield from (rule for rule in layout.devices if rule.toward not in sides)
