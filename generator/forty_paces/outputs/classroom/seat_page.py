"""The driver's seat: a standalone page that shows each scene as an approaching driver sees it.

Packed frames, what is in view in each, and how each run ends are computed here, at build time; the page's
script unpacks frames (``js/classroom/unpack.js``), lays a device over them and looks results up. With scripts
off, the page is a list of scenes with what their drivers get, in words.

Whole numbers are packed as short text. A number is zigzagged (0, -1, 1, -2 become 0, 1, 2, 3). Below 64 it is
one character, below 1660 two, and beyond that four. The alphabet has no character that HTML or JSON would
have to escape.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from forty_paces.drawing.approach import Frame
from forty_paces.drawing.pixels import HEIGHT, WIDTH
from forty_paces.geometry import placement, units
from forty_paces.geometry.records import RuleSet, Spot
from forty_paces.geometry.scene import Light, Scene
from forty_paces.geometry.scene_view import offset_ft
from forty_paces.geometry.solver import need
from forty_paces.geometry.stopping import CannotStop
from forty_paces.messages.classroom import TASK
from forty_paces.messages.languages import cached_by_language
from forty_paces.messages.quantities import length
from forty_paces.messages.seat import SEAT
from forty_paces.outputs.classroom import how_many
from forty_paces.outputs.classroom.exercise import reach_of
from forty_paces.outputs.classroom.lengths import LengthFormat
from forty_paces.outputs.classroom.seat_side import FAR_STEP_FT, LONGEST_FT, SeatSide
from forty_paces.outputs.classroom.standalone import standalone_page
from forty_paces.outputs.common.context import BuildContext
from forty_paces.outputs.common.files import Artifact
from forty_paces.outputs.common.self_contained import inline_json

FOG_FT = 200.0
"A light that reaches less far is drawn as fog where nothing reflects in it."


@dataclass(frozen=True, slots=True)
class SeatLight:
    """One of the lights under which a scene can be driven."""

    title: str
    look: str
    "'day', 'night' or 'fog'."


# data for the script


def table(rules: RuleSet, scenes: Sequence[Scene]) -> dict[str, Any]:
    """The data of the page as plain values for JSON, and the scenes left out with the reason."""
    pool: dict[str, int] = {}
    drawn, left_out = [], []
    for scene in scenes:
        sides = [SeatSide(rules, scene, toward) for toward in placement.streams(scene.kind)]
        reason = _why_not(sides[0])
        if reason:
            left_out.append(SEAT["left-out"].format(title=scene.title, why=SEAT[reason]))
            continue
        drawn.append(
            {
                "id": scene.id,
                "title": scene.title,
                "place": scene.place,
                "road": TASK[f"road-{scene.kind}"],
                "sides": [_side(side, pool) for side in sides],
            }
        )
    lengths, reach = LengthFormat(rules), reach_of(rules)
    return {
        **lengths.for_script(max(reach, lengths.up(LONGEST_FT + FAR_STEP_FT))),
        "words": dict(SEAT),
        "step": lengths.step,
        "scenes": drawn,
        "left_out": left_out,
        "pool": list(pool),
        "hundred": how_many.for_script(),
    }


def _why_not(side: SeatSide) -> str:
    """Why a scene cannot be drawn from the seat: a key of the texts; empty where it can."""
    if side.by_setting:
        return ""
    try:
        side.rules.layout(side.scene.kind, side.scene.speed_mph)
        need(side.rules, side.scene, side.toward)
    except CannotStop:
        return "cannot-stop"
    except LookupError:
        pass
    return "no-rule"


def _side(side: SeatSide, pool: dict[str, int]) -> dict[str, Any]:
    frames = [side.frames.frame(eye) for eye in side.eyes_ft]

    def kept(text: str) -> int:
        return pool.setdefault(text, len(pool))

    lengths = side.lengths
    spots: list[Spot | None] = [None, *side.inner, *((at_ft, side.across or "") for at_ft in side.places_ft)]
    free = [(spot, side.free(spot)) for spot in spots]
    tried = [shown for _, shown in free[1 + len(side.inner) :]]
    return {
        "toward": side.toward.value,
        "eyes": pack(deltas((eye,) for eye in (lengths.down(eye) for eye in side.eyes_ft))),
        "strips": [list(strip) for strip in side.frames.strips],
        "marks": [
            [mark.edge, mark.toward, mark.feet, int(mark.yellow), int(mark.double)]
            for mark in side.frames.marks
        ],
        "dashes": [int(yellow) for _, yellow in side.frames.broken_ft],
        "roads": pack(kept(_road(frame)) for frame in frames),
        "things": pack(kept(_things(frame)) for frame in frames),
        "vehicles": pack(kept(_vehicle(frame)) for frame in frames),
        "tracks": pack(kept(_track(side, index, tried)) for index in range(len(side.eyes_ft))),
        "inner": pack(number for eye in side.eyes_ft for number in _inner_points(side, eye)),
        "count": len(side.inner),
        "places": len(side.places_ft),
        "lights": [_light(side, light, free) for light in side.lights],
        "speeds": [_speed(side, speed) for speed in side.speeds_mph],
        "own": side.speeds_mph.index(side.own.scene.speed_mph),
        "runs": [[[*side.compared(speed, light)] for light in side.lights] for speed in side.speeds_mph],
        "stops": [[side.stops(speed, light) for light in side.lights] for speed in side.speeds_mph],
        "eye": length(side.rules, side.frames.watch.height_ft)
        if not side.rules.metric
        else f"{units.ft_to_m(side.frames.watch.height_ft):.1f} m",
    }


def _road(frame: Frame) -> str:
    numbers: list[int] = [len(frame.stretches)]
    for stretch in frame.stretches:
        numbers += [stretch.top, len(stretch.edges[0])]
        for edge in stretch.edges:
            numbers += deltas(edge)
        numbers.append(len(stretch.dashes))
        for dash in stretch.dashes:
            numbers += [len(dash), *deltas(dash)]
    return pack(numbers)


def _things(frame: Frame) -> str:
    numbers = [len(frame.things)]
    for thing in frame.things:
        numbers += [thing.layer, int(thing.before), thing.kind, len(thing.corners), *deltas(thing.corners)]
    return pack(numbers)


def _vehicle(frame: Frame) -> str:
    return pack([frame.vehicle_layer, *deltas(frame.vehicle)])


def _track(side: SeatSide, index: int, free: Sequence[Sequence[bool]]) -> str:
    """Where a device at each place is in one frame; nothing where no light shows it.

    In runs of neighboring places: the places left out before the run, its length, then its points.
    """
    if side.across is None:
        return ""
    eye, offset = side.eyes_ft[index], offset_ft(side.scene, side.across)
    reach_ft = max(side.view(light).detection_ft for light in side.lights)
    runs: list[tuple[int, list[tuple[int, int, int]]]] = []
    skipped = 0
    for at_ft, frames in zip(side.places_ft, free, strict=True):
        shown = frames[index] and eye - at_ft <= reach_ft
        point = side.frames.device(eye, at_ft, offset) if shown else None
        if point is None:
            skipped += 1
            continue
        if skipped or not runs:
            runs.append((skipped, []))
            skipped = 0
        runs[-1][1].append((point.x, point.y, point.tenths))
    return pack(number for gap, points in runs for number in (gap, len(points), *deltas(points)))


def _inner_points(side: SeatSide, eye: float) -> Iterator[int]:
    for at_ft, across in side.inner:
        point = side.frames.device(eye, at_ft, offset_ft(side.scene, across))
        yield from (0, 0, 0) if point is None else (point.x, point.y, point.tenths)


def _light(
    side: SeatSide, light: str | None, free: Sequence[tuple[Spot | None, Sequence[bool]]]
) -> dict[str, Any]:
    view = side.view(light)
    setting = _setting(side.rules, view.scene)
    reach_ft = view.made_out_ft(0.0)
    heights = [side.frames.height_at(eye, reach_ft) for eye in side.eyes_ft]
    seen = [toggles(side.in_view(spot, light, shown)) for spot, shown in free]
    return {
        "title": SEAT["in-light"].format(light=setting.title, reach=length(side.rules, view.detection_ft)),
        "look": setting.look,
        "reach": pack(deltas((height,) for height in heights)),
        "seen": pack(number for changes in seen for number in (len(changes), *changes)),
    }


def toggles(shown: Sequence[bool]) -> list[int]:
    """The frames at which something comes into view or goes out of it again, in turns."""
    return [index for index, now in enumerate(shown) if now is not (index > 0 and shown[index - 1])]


def _setting(rules: RuleSet, scene: Scene) -> SeatLight:
    found = next((one for one in rules.visibility if one.id == scene.visibility), None)
    if found is None:
        return SeatLight(SEAT[f"light-{scene.light}"], scene.light.value)
    fog = found.reflecting_ft is None and found.detection_ft <= FOG_FT
    look = Light.NIGHT if found.reflecting_ft is not None else Light.FOG if fog else Light.DAY
    return SeatLight(found.title, look.value)


def _speed(side: SeatSide, speed_mph: float) -> dict[str, Any]:
    scene = replace(side.scene, speed_mph=speed_mph)
    needed_ft, by = need(side.rules, scene, side.toward)
    return {
        "posted": side.lengths.posted_count(speed_mph),
        "fps": round(side.lengths.own(1000 * units.mph_to_fps(speed_mph)) / 1000, 3),
        "needed": side.lengths.up(needed_ft),
        "by": by,
        "ends": pack([*(side.end(speed_mph, eye) for eye in side.eyes_ft), side.end(speed_mph, 0.0)]),
    }


ALPHABET = "!#$%()*+,-./0123456789:;=?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[]^_`abcdefghijklmnopqrstuvwxyz{|}~"[:84]
_BASE = len(ALPHABET)
_ONE = 64
_LEADS = _BASE - _ONE - 1
_TWO = _ONE + _LEADS * _BASE
_LARGEST = _BASE**3 - 1


def pack(numbers: Iterable[int]) -> str:
    """Return the numbers as text; ``ValueError`` for one too large."""
    return "".join(_packed(number) for number in numbers)


def deltas(points: Iterable[tuple[int, ...]]) -> Iterator[int]:
    """Each point's difference from the one before; the first from zero."""
    last: tuple[int, ...] = ()
    for point in points:
        yield from (value - (last[index] if last else 0) for index, value in enumerate(point))
        last = point


def _packed(number: int) -> str:
    count = 2 * number if number >= 0 else -2 * number - 1
    if count < _ONE:
        return ALPHABET[count]
    if count < _TWO:
        lead, rest = divmod(count - _ONE, _BASE)
        return ALPHABET[_ONE + lead] + ALPHABET[rest]
    if count > _LARGEST:
        raise ValueError(f"{number} is too large to be packed")
    high, low = divmod(count, _BASE)
    return ALPHABET[-1] + ALPHABET[high // _BASE] + ALPHABET[high % _BASE] + ALPHABET[low]


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
    data = {**table(rules, scenes), "alphabet": ALPHABET}
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
    """How a run ends, in words: as :meth:`.seat_side.SeatSide.end` gives it."""
    needed = length(speed["needed"])
    if end > 0:
        key = "hits" if end < speed["posted"] else "hits-unbraked"
        return SEAT[key].format(needed=needed, impact=f"{end} {posted}")
    return SEAT["stops" if end else "stops-just"].format(needed=needed, left=length(-end))
