"""Draws what is beside a broken-scale road: obstructions, a street's houses, a hill in profile.

The elements go under the road; the hill is a panel of its own.
"""

from __future__ import annotations

import math

from forty_paces.drawing import marks, svg
from forty_paces.drawing.schematic_layout import INSIDE, STREET, SchematicLayout
from forty_paces.drawing.svg import Element, Point, element, points
from forty_paces.drawing.text import TextBlock, TextLine, balanced
from forty_paces.geometry.records import Toward
from forty_paces.messages.drawings import DRAWING

PANEL_HEIGHT = 176.0
"Height of the profile panel of a hill."


def drawn(ground: SchematicLayout) -> list[Element]:
    """Draw everything beside the road."""
    shapes = [shape for toward in Toward for shape in _block(ground, toward)]
    return shapes + (_street(ground) if ground.street else [])


def _block(ground: SchematicLayout, toward: Toward) -> list[Element]:
    """The obstruction: a strip along the inside of a bend, or one object beside a straight road."""
    inside, stop = ground.inside(toward), ground.hidden_stop(toward)
    if inside is None or stop is None:
        return []
    edge = ground.paved[1] if inside > 0 else ground.paved[0]
    sign = -1 if toward is Toward.BEHIND else 1
    far = ground.sheet.start if sign < 0 else ground.sheet.end
    begin = stop.station - sign * 6
    end = far if toward in ground.bends else begin + sign * min(46.0, abs(far - begin))
    near, deep = edge + inside * 5, edge + inside * (INSIDE - 3)
    return [svg.polygon(ground.roadway.band(near, deep, begin, end), "fp-obstacle")]


def _street(ground: SchematicLayout) -> list[Element]:
    """Sidewalk, houses and lamps on the far side."""
    roadway, sheet, out = ground.roadway, ground.sheet, -ground.side
    curb = ground.far_edge + out * 16
    shapes = [svg.polygon(roadway.band(ground.far_edge, curb, sheet.start, sheet.end), "fp-walk")]
    long, gap = 74.0, 12.0
    count = max(1, int((sheet.end - sheet.start) / (long + gap)))
    pitch = (sheet.end - sheet.start) / count
    for index in range(count):
        begin = sheet.start + index * pitch + gap / 2
        front, back = ground.far_edge + out * 18, ground.far_edge + out * (STREET - 2)
        shapes.append(svg.polygon(roadway.band(front, back, begin, begin + pitch - gap), "fp-obstacle"))
        lamp = roadway.at(begin - gap / 2 + pitch / 2, ground.far_edge + out * 8)
        shapes += [svg.circle(*lamp, 5, "fp-lamp"), svg.circle(*lamp, 2, "fp-ruler-mark")]
    return shapes


def hill_panel(
    width: float, *, from_behind: bool, number: int | None, sizes: tuple[float, float, float]
) -> list[Element]:
    """Draw a hill in profile: the vehicle beyond it, the approaching driver, and what that driver sees.

    ``number`` is that of a device on the driver's side of the crest, None where there is none. The
    vehicle's direction of travel is to the right.
    """
    left, right, foot = 8.0, width - 8.0, PANEL_HEIGHT - 22
    span = right - left
    rise = 56.0

    def at(share: float, above: float = 0.0) -> Point:
        """A point above the ground; ``share`` counts from the approaching driver's end."""
        along = share if from_behind else 1 - share
        level = math.exp(-(((share - 0.54) / 0.17) ** 2))
        return left + span * along, foot - 12 - rise * level - above

    surface = [at(step / 80) for step in range(81)]
    ends = sorted((surface[0], surface[-1]))
    ordered = surface if from_behind else surface[::-1]
    shapes = [
        svg.polygon([*ordered, (ends[1][0], foot), (ends[0][0], foot)], "fp-terrain"),
        element("polyline", "fp-road-line", points=points(ordered)),
    ]
    eye, crest = at(0.1, 16), at(0.55, 1)
    beyond = (crest[0] + (crest[0] - eye[0]) * 0.98, crest[1] + (crest[1] - eye[1]) * 0.98)
    shapes += [svg.line(eye, beyond, "fp-sight-back"), svg.line(eye, beyond, "fp-sight")]
    shapes += _truck(at(0.88))
    shapes += _car(at(0.1), 1 if from_behind else -1)
    small = sizes[2]
    x, y = at(0.1, 24)
    sees = DRAWING["sees-device" if number is not None else "sees-nothing"].format(device=number)
    label = TextBlock(tuple(TextLine(part, small) for part in balanced(sees, small, span * 0.42)))
    shapes += label.draw(left + 2 if from_behind else right - 2, 4, "start" if from_behind else "end")
    shapes.append(marks.leader((x, 4 + label.height + 2), (x, y + 2)))
    if number is not None:
        mark_x, mark_y = at(0.42)
        shapes += [svg.line(eye, (mark_x, mark_y - 10), kind) for kind in ("fp-sight-back", "fp-sight")]
        shapes.append(marks.device((mark_x, mark_y - 12), number))
    shapes += TextBlock((TextLine(DRAWING["from-the-side"], small),)).draw(left, PANEL_HEIGHT - 21)
    return shapes


def _truck(middle: Point) -> list[Element]:
    """The stopped vehicle from the side, facing right, its wheels at ``middle``."""
    x, y = middle
    return [
        svg.rect(x - 36, y - 32, 50, 26, "fp-vehicle-fine"),
        svg.polygon(
            [(x + 17, y - 6), (x + 17, y - 28), (x + 29, y - 28), (x + 36, y - 18), (x + 36, y - 6)],
            "fp-vehicle-fine",
        ),
        svg.polygon(
            [(x + 24, y - 25), (x + 28, y - 25), (x + 33, y - 18), (x + 24, y - 18)], "fp-vehicle-glass"
        ),
        *(svg.circle(x + shift, y - 5, 5, "fp-vehicle-fine") for shift in (-28, -17, 28)),
    ]


def _car(middle: Point, facing: int) -> list[Element]:
    """The approaching car, its wheels at ``middle``; ``facing`` is 1 to the right, -1 to the left."""
    x, y = middle
    body = [(-20, -5), (-20, -12), (-11, -13), (-7, -20), (5, -20), (11, -13), (20, -11), (20, -5)]
    return [
        svg.polygon([(x + facing * dx, y + dy) for dx, dy in body], "fp-vehicle-fine"),
        *(svg.circle(x + shift, y - 4, 4, "fp-vehicle-fine") for shift in (-12, 12)),
    ]
