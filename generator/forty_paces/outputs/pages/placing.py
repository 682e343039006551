"""Pages about placing devices: one for each kind of road, the distance tables and the rule sets.

Markdown artifacts with inline SVG drawings. Every distance comes from the placement engine.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

from forty_paces.authoring.models.rules import RuleFile
from forty_paces.drawing.formats import Size
from forty_paces.drawing.schematic import draw_placement
from forty_paces.drawing.symbols import Cause
from forty_paces.drawing.view_ends import draw_view_ends
from forty_paces.geometry.placement import place
from forty_paces.geometry.records import (
    Approach,
    HiddenBy,
    Placement,
    RoadKind,
    RuleSet,
    Situation,
    Toward,
)
from forty_paces.messages.languages import cached_by_language
from forty_paces.messages.pages import ROADS, SITE
from forty_paces.messages.quantities import PHRASES, length, posted_speeds
from forty_paces.messages.terms import TERMS, side_words
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.moved_distances import moved_example, moved_rules, moved_tables


@dataclass(frozen=True, slots=True)
class RoadPage:
    """One kind of road and the situation in its drawing."""

    path: str
    road: RoadKind
    hidden_toward: tuple[Toward, ...] = ()
    cause: Cause | None = None
    "What hides the view in the drawing."
    speed: int = 3
    "Index of the drawing's speed among the posted speeds shown."
    text: str = ""
    "Id of a text of the rule file to show on the page; empty for none."

    @property
    def title(self) -> str:
        """The title of the page."""
        return ROADS[self.path]

    @property
    def lead(self) -> str:
        """The first paragraph."""
        return ROADS[f"{self.path}-lead"]

    @property
    def hidden_by(self) -> HiddenBy:
        """What hides the view, as the placement engine names it."""
        return HiddenBy.HILL if self.cause is Cause.HILL else HiddenBy.CURVE


NEAR_SHARE, LOST_SHARE = 0.1, 0.7
"Shares of the farthest hidden place that the rule covers: the bend or crest begins, the pavement is lost."

ROAD_PAGES = (
    RoadPage(
        "two-lane",
        RoadKind.TWO_LANE,
    ),
    RoadPage(
        "divided",
        RoadKind.DIVIDED,
    ),
    RoadPage(
        "one-way",
        RoadKind.ONE_WAY,
    ),
    RoadPage(
        "right-hand-bend",
        RoadKind.TWO_LANE,
        (Toward.BEHIND,),
        Cause.BEND_RIGHT,
    ),
    RoadPage(
        "left-hand-bend",
        RoadKind.TWO_LANE,
        (Toward.BEHIND,),
        Cause.BEND_LEFT,
    ),
    RoadPage(
        "crest",
        RoadKind.TWO_LANE,
        (Toward.BEHIND,),
        Cause.HILL,
    ),
    RoadPage(
        "town",
        RoadKind.TWO_LANE,
        speed=0,
        text="district",
    ),
)


@dataclass(frozen=True, slots=True)
class SpeedRow:
    """What drivers get at one posted speed."""

    speed: str
    approaches: tuple[tuple[str, Approach], ...]
    "The side in words and what drivers get there; one entry for both sides where they get the same."


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """All pages below placing/."""
    rule_file = context.library.rules[context.library.fleet.rules]
    rules = rule_file.rule_set
    roads = tuple((page, road_figures(rules, page)) for page in ROAD_PAGES)
    yield context.page("placing/index", "pages/placing", rule_file=rule_file, roads=roads)
    for road_page in ROAD_PAGES:
        yield _road_page(context, rule_file, road_page)
    limits = moved_rules(rules)
    yield context.page(
        "placing/tables",
        "pages/placing_tables",
        limits=limits,
        drawing=draw_view_ends(rules, tuple(HiddenBy), prefix="view-ends"),
        tables=tuple((table, moved_example(table, limits)) for table in moved_tables(rules))
        if limits
        else (),
    )
    rule_files = tuple(context.library.rules.values())
    drawings = {file.id: _two_lane(file) for file in rule_files}
    yield context.page("placing/rule-sets", "pages/rule_sets", rule_files=rule_files, drawings=drawings)


def navigation() -> list[dict[str, str] | str]:
    """The pages in reading order."""
    return [
        "placing/index.md",
        *({page.title: f"placing/{page.path}.md"} for page in ROAD_PAGES),
        {SITE["roads"]: "placing/roads.md"},
        {SITE["distance-tables"]: "placing/tables.md"},
        {SITE["rule-sets"]: "placing/rule-sets.md"},
    ]


def road_figures(rules: RuleSet, page: RoadPage) -> tuple[str, ...]:
    """The distances on a kind of road as short lines, one for each side: '10, 100 ft behind'.

    Where the page shows a hidden view, the outermost device of that side has the range that the rule gives.
    """
    speed_mph, _ = posted_speeds(rules)[page.speed]
    devices = place(
        rules,
        Situation(page.road, speed_mph, **rules.reaches()),
    ).devices
    lines = []
    for toward in Toward:
        spots = sorted(device.distance_ft for device in devices if device.toward is toward)
        if not spots:
            continue
        distances = [_bare(rules, spot) for spot in spots]
        if toward in page.hidden_toward and rules.hidden:
            nearest_ft = max(spots[-1], rules.hidden.from_ft)
            ends = {"low": _bare(rules, nearest_ft), "high": _bare(rules, rules.hidden.to_ft)}
            distances[-1] = SITE["range"].format(**ends)
        form = SITE["bare-meters" if rules.metric else "bare-feet"]
        lines.append(form.format(lengths=PHRASES["joint"].join(distances), side=side_words(toward)))
    return tuple(lines)


def _bare(rules: RuleSet, length_ft: float) -> str:
    """A length without its unit."""
    return length(rules, length_ft).rpartition(" ")[0]


def _by_side(approaches: tuple[Approach, ...]) -> tuple[tuple[str, Approach], ...]:
    """What drivers get on each side; a single entry where both sides get the same."""
    sides = tuple((side_words(approach.toward), approach) for approach in approaches)
    if len(approaches) == 2 and replace(approaches[1], toward=approaches[0].toward) == approaches[0]:
        return ((TERMS["both-sides"].format(one=sides[0][0], other=sides[1][0]), approaches[0]),)
    return sides


def _road_page(context: BuildContext, rule_file: RuleFile, page: RoadPage) -> Artifact:
    rules = rule_file.rule_set
    hides = rules.hidden if page.hidden_toward else None
    near_ft, hidden_ft = (
        (NEAR_SHARE * hides.within_ft, LOST_SHARE * hides.within_ft) if hides else (0, math.inf)
    )
    at = partial(
        Situation,
        page.road,
        **rules.reaches(),
        hidden_behind_ft=hidden_ft if Toward.BEHIND in page.hidden_toward else math.inf,
        hidden_ahead_ft=hidden_ft if Toward.AHEAD in page.hidden_toward else math.inf,
        hidden_by=(page.hidden_by,),
        hidden_from_ft=near_ft if hides else None,
    )
    speed_mph, speed = posted_speeds(rules)[page.speed]
    shown = at(speed_mph=speed_mph)
    placement = place(rules, shown)
    return context.page(
        f"placing/{page.path}",
        "pages/road",
        page=page,
        rules=rules,
        placement=placement,
        hidden=length(rules, hidden_ft) if hides else "",
        begins=length(rules, near_ft),
        limits=moved_rules(rules) if hides else None,
        ends=draw_view_ends(rules, (page.hidden_by,), prefix=f"{page.path}-ends"),
        speed=speed,
        texts=tuple(text for text in rule_file.texts if text.id == page.text),
        drawings=_drawings(placement, rules, shown, page),
        rows=tuple(
            SpeedRow(words, _by_side(place(rules, at(speed_mph=speed_mph)).approaches))
            for speed_mph, words in posted_speeds(rules)
        ),
    )


@cached_by_language(maxsize=64)  # a preview draws again after every edit, and few edits change the rules
def _drawings(
    placement: Placement, rules: RuleSet, situation: Situation, page: RoadPage
) -> tuple[tuple[str, str], ...]:
    """The wide drawing for screens and paper, and the tall one for phones."""
    causes = {toward: page.cause for toward in page.hidden_toward if page.cause is not None}

    def drawn(size: Size) -> str:
        prefix = f"{page.path}-{size.value}"
        return draw_placement(
            placement,
            rules,
            situation,
            prefix=prefix,
            size=size,
            causes=causes,
            shaped=True,
            street=page.path == "town",
        )

    return tuple((size.value, drawn(size)) for size in (Size.WIDE, Size.TALL))


def _two_lane(rule_file: RuleFile) -> tuple[tuple[str, str], ...]:
    """Drawings of a rule set's devices on a two-lane road; empty where it does not cover such a road."""
    page = replace(ROAD_PAGES[0], path=f"{rule_file.id}-{ROAD_PAGES[0].path}")
    rules = rule_file.rule_set
    speed_mph, _ = posted_speeds(rules)[page.speed]
    shown = Situation(page.road, speed_mph, **rules.reaches())
    try:
        placement = place(rules, shown)
    except LookupError:
        return ()
    return _drawings(placement, rules, shown, page)
