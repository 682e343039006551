"""The driver's seat: a standalone page that shows each scene as an approaching driver sees it.

Frames, what is in view, and how each run ends are computed at build time. With scripts off, the page is a
list of scenes with what their drivers get, in words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from forty_paces.drawing.pixels import HEIGHT, WIDTH
from forty_paces.geometry.records import RuleSet
from forty_paces.geometry.scene import Scene
from forty_paces.messages.languages import cached_by_language
from forty_paces.messages.seat import SEAT
from forty_paces.outputs.classroom import how_many, seat_table
from forty_paces.outputs.classroom.seat_table import ALPHABET
from forty_paces.outputs.classroom.standalone import standalone_page
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import inline_json

SCRIPTS = ("measure", "hundred", "unpack", "seat_state", "seat_frame", "seat")
"""The page's scripts, in the order in which they build on each other."""


@dataclass(frozen=True, slots=True)
class InWords:
    """One approach direction in words: every comparison of its own speed."""

    scene: str
    side: str
    lines: tuple[str, ...]


def artifacts(context: BuildContext) -> Iterator[Artifact]:
    """The page, under the fleet's rule set."""
    yield Artifact("classroom/seat.html", context.kept(seat_html))


def seat_html(context: BuildContext) -> str:
    """The complete page."""
    rules = context.library.rules[context.library.fleet.rules].rule_set
    data, data_json = _data(rules, tuple(context.library.scenes.values()))
    return standalone_page(
        context,
        "classroom/seat.html.j2",
        styles=("css/classroom.css", "css/classroom-tools.css", "css/classroom-seat.css"),
        scripts=tuple(f"classroom/{name}.js" for name in SCRIPTS),
        words=SEAT,
        data=data,
        data_json=data_json,
        plain=tuple(in_words(data)),
        left_out=data["left_out"],
        hundreds=[how_many.blank("hundred")],
        assumed=how_many.assumed(rules),
        width=WIDTH,
        height=HEIGHT,
    )


@cached_by_language(maxsize=2)  # a preview builds again after every edit; few edits change rules or scenes
def _data(rules: RuleSet, scenes: tuple[Scene, ...]) -> tuple[dict[str, Any], str]:
    data = {**seat_table.table(rules, scenes), "alphabet": ALPHABET}
    return data, inline_json(data)


def in_words(data: Mapping[str, Any]) -> Iterator[InWords]:
    """What the page says of every scene at its own speed, in each light."""
    measure = data.get("measure", {"unit": "ft", "posted": "mph"})

    def length(count: int) -> str:
        return f"{count:,} {measure['unit']}"

    for scene in data["scenes"]:
        for side in scene["sides"]:
            speed = side["speeds"][side["own"]]
            posted = f"{speed['posted']} {measure['posted']}"
            lines = []
            for light, run in zip(side["lights"], side["runs"][side["own"]], strict=True):
                ends = [
                    SEAT["engine"].format(
                        device=length(run[index]),
                        warning=length(run[index + 1]),
                        result=ending(run[index + 2], speed, length, measure["posted"]),
                    )
                    for index in range(0, len(run), 3)
                ]
                lines.append(" ".join((f"{light['title']}.", *(ends or (SEAT["no-device"],)))))
            title = f"{scene['title']}, {posted}"
            yield InWords(title, SEAT[f"from-{side['toward']}"], tuple(lines))


def ending(end: int, speed: Mapping[str, Any], length: Any, posted: str) -> str:
    """How a run ends, in words: as :meth:`.seat_table.SeatSide.end` gives it."""
    needed = length(speed["needed"])
    if end > 0:
        key = "hits" if end < speed["posted"] else "hits-unbraked"
        return SEAT[key].format(needed=needed, impact=f"{end} {posted}")
    return SEAT["stops" if end else "stops-just"].format(needed=needed, left=length(-end))
