"""Frames of a scene as an approaching driver sees it, in true perspective, as whole pixels.

A frame has the ground, the paved strips and their lines, what stands beside the road, and the stopped
vehicle. Devices are apart, as points with a height, so that each of their places can be laid over each frame.
Layers order a frame from far to near: whatever lies beyond a crest is painted before the crest's ground.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from forty_paces.drawing.pixels import HEIGHT, WIDTH, Pixel, pixel, projected, simplified, steps, within
from forty_paces.drawing.profile import VEHICLE_HEIGHT_FT
from forty_paces.drawing.roadway import Markings
from forty_paces.geometry.perspective import NEAR_FT, Camera, DriverPath, Point3
from forty_paces.geometry.records import Toward
from forty_paces.geometry.road import Carriageway, Point
from forty_paces.geometry.scene import Outline, Scene, Strip, station_ft, vehicle_corners
from forty_paces.geometry.sight import TRIANGLE_HEIGHT_FT, Viewer

FIELD_DEG = 40.0
"Horizontal angle of view of the picture: true to the eye from 1.37 times its width away."
FOCAL = WIDTH / 2 / math.tan(math.radians(FIELD_DEG / 2))
CENTER = (WIDTH / 2, 230.0)
BEGIN_FT, END_FT = 16.0, 1100.0
"The road is drawn from here to there ahead of the eye."
DASH_FT, CYCLE_FT, DASHES_TO_FT = 10.0, 40.0, 250.0
"Broken lines: 10 ft and a gap of 30 (MUTCD section 3A.06); farther off they run together."
LINE_FT = 0.4
"Drawn width of a line: 4 to 6 in by MUTCD section 3A.06."
HIGHEST_FT = 26.0
"Drawn height of what no line of sight passes over."
DEPTH_FT = 26.0
"Drawn depth of a strip at its near end."
UNDER_FT = 1.2
"Clearance below the vehicle's box."


@dataclass(frozen=True, slots=True)
class LineMark:
    """A painted line: along one strip edge, drawn toward another."""

    edge: int
    toward: int
    feet: float
    "Distance between the two edges."
    yellow: bool
    double: bool = False


@dataclass(frozen=True, slots=True)
class Stretch:
    """Ground and road between the eye and a crest, or between two crests."""

    top: int
    "Height of its far end in the picture."
    edges: tuple[tuple[Pixel, ...], ...]
    "Every edge of :attr:`ApproachFrames.offsets_ft`, from near to far."
    dashes: tuple[tuple[Pixel, ...], ...]


@dataclass(frozen=True, slots=True)
class Thing:
    """A shape beside the road."""

    layer: int
    "Index of the stretch on which it stands, or behind whose near crest."
    before: bool
    "Whether it stands between the eye and the vehicle."
    kind: int
    "0 a strip, 1 a face along the road, 2 a face across it."
    corners: tuple[Pixel, ...]


@dataclass(frozen=True, slots=True)
class Frame:
    """One position of the eye."""

    stretches: tuple[Stretch, ...]
    things: tuple[Thing, ...]
    vehicle_layer: int
    vehicle: tuple[Pixel, ...]
    """Foot and top of three upright edges: of the end that faces the driver the one away from the visible
    side, the one they share, and the far one of that side.
    """


@dataclass(frozen=True, slots=True)
class DevicePoint:
    """A device in the picture: the middle of its base, and its height in tenths of a pixel."""

    x: int
    y: int
    tenths: int


@dataclass(frozen=True)
class ApproachFrames:
    """The frames of one approach direction of a scene."""

    scene: Scene
    toward: Toward
    watch: Viewer
    markings: Markings = Markings.YELLOW_CENTER
    _cameras: dict[float, Camera] = field(default_factory=dict, repr=False, compare=False)

    @cached_property
    def way(self) -> DriverPath:
        """The driver's way along the road."""
        return DriverPath(self.scene.road, self.watch.offset_ft, self.watch.height_ft, self.watch.forward)

    @cached_property
    def zero_ft(self) -> float:
        """Station of the vehicle's end that faces this traffic."""
        return station_ft(self.scene, self.toward, 0.0)

    def eye_ft(self, distance_ft: float) -> float:
        """Station of the eye at a distance before the vehicle."""
        return self.way.station(self.zero_ft, -distance_ft)

    def camera(self, distance_ft: float) -> Camera:
        """The camera at a distance before the vehicle."""
        if distance_ft not in self._cameras:
            self._cameras[distance_ft] = self.way.camera(self.eye_ft(distance_ft), FOCAL, CENTER)
        return self._cameras[distance_ft]

    @cached_property
    def offsets_ft(self) -> tuple[float, ...]:
        """Edges of paved strips and lanes, each carriageway from left to right."""
        return tuple(offset for way in self.scene.road.carriageways for offset in _edges(way))

    @cached_property
    def strips(self) -> tuple[tuple[int, int, int, int], ...]:
        """For each carriageway the edges of its pavement and of its lanes, as indexes of ``offsets_ft``."""
        found, first = [], 0
        for way in self.scene.road.carriageways:
            last = first + len(_edges(way)) - 1
            found.append((first, last, first + 1, last - 1))
            first = last + 1
        return tuple(found)

    @cached_property
    def marks(self) -> tuple[LineMark, ...]:
        """The unbroken lines."""
        return tuple(self._marks())

    def _marks(self) -> Iterator[LineMark]:
        yellow = self.markings is Markings.YELLOW_CENTER
        for way, (_, _, left, right) in zip(self.scene.road.carriageways, self.strips, strict=True):
            one_way = len({lane.forward for lane in way.lanes}) == 1
            lanes = way.lanes
            forward = lanes[0].forward
            yield LineMark(left, left + 1, lanes[0].width_ft, yellow and one_way and forward)
            yield LineMark(right, right - 1, lanes[-1].width_ft, yellow and one_way and not forward)
            for index, (one, other) in enumerate(itertools.pairwise(lanes), start=left + 1):
                if one.forward is not other.forward and not self._passing:
                    yield LineMark(index, index + 1, other.width_ft, yellow, double=True)

    @property
    def _passing(self) -> bool:
        return not self.scene.blockers and not self.scene.road.profile.pvis

    @cached_property
    def broken_ft(self) -> tuple[tuple[float, bool], ...]:
        """Offsets of the broken lines, and whether they are yellow."""
        found = []
        for way in self.scene.road.carriageways:
            for one, other in itertools.pairwise(way.lanes):
                opposed = one.forward is not other.forward
                if not opposed or self._passing:
                    found.append((other.left_ft, opposed and self.markings is Markings.YELLOW_CENTER))
        return tuple(found)

    # frames

    def frame(self, distance_ft: float) -> Frame:
        """The frame with the eye at a distance before the vehicle."""
        camera, eye_ft = self.camera(distance_ft), self.eye_ft(distance_ft)
        runs = self.way.surface_in_view(eye_ft, BEGIN_FT, END_FT)
        stretches = tuple(self._stretch(camera, eye_ft, begin, end) for begin, end in runs)
        ends = [end for _, end in runs]
        return Frame(
            stretches,
            tuple(self._things(camera, eye_ft, distance_ft, ends)),
            _layer(ends, distance_ft),
            self._vehicle(camera),
        )

    def device(self, distance_ft: float, at_ft: float, offset_ft: float) -> DevicePoint | None:
        """A device ``at_ft`` from the vehicle in the frame of an eye; None where it is beside the eye."""
        if distance_ft - at_ft < BEGIN_FT:
            return None
        camera = self.camera(distance_ft)
        foot = self.way.point(self.eye_ft(at_ft), offset_ft)
        x, y = pixel(camera.project(foot))
        return DevicePoint(x, y, round(10 * camera.scale(foot) * TRIANGLE_HEIGHT_FT))

    def height_at(self, distance_ft: float, ahead_ft: float) -> int:
        """Height in the picture of the lane so far ahead of the eye: where the reach of the lamps ends."""
        foot = self.way.point(self.way.station(self.eye_ft(distance_ft), ahead_ft), self.watch.offset_ft)
        return pixel(self.camera(distance_ft).project(foot))[1]

    def _stretch(self, camera: Camera, eye_ft: float, begin: float, end: float) -> Stretch:
        points = [
            [self.way.point(self.way.station(eye_ft, ahead), offset) for ahead in steps(begin, end)]
            for offset in self.offsets_ft
        ]
        lines = projected(camera, points)
        if not lines:
            return Stretch(HEIGHT, ((),) * len(self.offsets_ft), ())
        kept = simplified(lines)
        edges = tuple(tuple(pixel(line[index]) for index in kept) for line in lines)
        top = min(y for edge in edges for _, y in edge)
        return Stretch(top, edges, tuple(self._dashes(camera, eye_ft, begin, end)))

    def _dashes(self, camera: Camera, eye_ft: float, begin: float, end: float) -> Iterator[tuple[Pixel, ...]]:
        """Every line of a broken marking as four corners."""
        far = min(end, DASHES_TO_FT)
        ends = sorted((self.way.station(eye_ft, begin), self.way.station(eye_ft, far)))
        for offset, _ in self.broken_ft:
            for count in range(math.ceil(ends[0] / CYCLE_FT), math.floor(ends[1] / CYCLE_FT)):
                low = count * CYCLE_FT
                corners = [
                    self.way.point(station, offset + side * LINE_FT / 2)
                    for station, side in ((low, -1), (low, 1), (low + DASH_FT, 1), (low + DASH_FT, -1))
                ]
                yield tuple(map(pixel, camera.polygon(corners)))

    # what stands beside the road

    def _things(
        self, camera: Camera, eye_ft: float, distance_ft: float, ends: Sequence[float]
    ) -> Iterator[Thing]:
        for blocker in self.scene.blockers:
            if isinstance(blocker, Strip):
                yield from self._strip(camera, eye_ft, distance_ft, ends, blocker)
        faces: list[tuple[float, Thing]] = []
        for blocker in self.scene.blockers:
            if isinstance(blocker, Outline):
                faces += self._faces(camera, eye_ft, distance_ft, ends, blocker)
        yield from (thing for _, thing in sorted(faces, key=lambda one: -one[0]))

    def _strip(
        self, camera: Camera, eye_ft: float, distance_ft: float, ends: Sequence[float], strip: Strip
    ) -> Iterator[Thing]:
        sign = 1 if self.watch.forward else -1
        low, high = sorted((sign * (strip.from_ft - eye_ft), sign * (strip.to_ft - eye_ft)))
        top_ft = min(strip.height_ft, HIGHEST_FT)
        cuts = sorted({low, high, distance_ft, *ends})
        pieces = [
            (max(begin, low, NEAR_FT + 1), min(end, high, END_FT)) for begin, end in itertools.pairwise(cuts)
        ]
        for begin, end in reversed(pieces):
            if end - begin < 1:
                continue
            aheads = steps(begin, end)
            rows = [
                [self.way.point(self.way.station(eye_ft, ahead), strip.offset_ft, above) for ahead in aheads]
                for above in (0.0, top_ft)
            ]
            lines = projected(camera, rows)
            if not lines:
                continue
            feet, tops = lines
            kept = simplified([feet, tops])
            corners = [feet[index] for index in kept] + [tops[index] for index in kept[::-1]]
            layer, before = _layer(ends, (begin + end) / 2), end <= distance_ft + 1
            if begin == low:  # its near end is seen too
                outward = DEPTH_FT if strip.offset_ft > self.watch.offset_ft else -DEPTH_FT
                station = self.way.station(eye_ft, begin)
                face = [
                    self.way.point(station, strip.offset_ft + across, above)
                    for across, above in ((0.0, 0.0), (outward, 0.0), (outward, top_ft), (0.0, top_ft))
                ]
                yield from _thing(layer, before, 2, camera.polygon(face))
            yield from _thing(layer, before, 0, corners)

    def _faces(
        self, camera: Camera, eye_ft: float, distance_ft: float, ends: Sequence[float], outline: Outline
    ) -> Iterator[tuple[float, Thing]]:
        corners = list(outline.corners)
        others = [*corners[1:], corners[0]] if outline.closed and len(corners) > 2 else corners[1:]
        top_ft = min(outline.height_ft, HIGHEST_FT)
        for start, end in zip(corners, others, strict=False):
            foot = [self.way.point(*start), self.way.point(*end)]
            roof = [(x, y, z + top_ft) for x, y, z in reversed(foot)]
            shape = camera.polygon([*foot, *roof])
            aheads = [camera.seen(point)[2] for point in foot]
            middle = math.fsum(aheads) / 2
            kind = 1 if abs(end[0] - start[0]) >= abs(end[1] - start[1]) else 2
            things = _thing(_layer(ends, middle), middle < distance_ft, kind, shape)
            yield from ((middle, one) for one in things)

    # the vehicle

    def vehicle_edges(self, camera: Camera) -> tuple[tuple[Point3, Point3], ...]:
        """Foot and top of the three upright edges that :attr:`Frame.vehicle` shows."""
        rear_left, rear_right, front_right, front_left = vehicle_corners(self.scene)
        pairs = ((rear_left, front_left), (rear_right, front_right))
        if self.toward is Toward.AHEAD:
            pairs = ((front_left, rear_left), (front_right, rear_right))
        length_ft = self.scene.vehicle.length_ft
        near_z = self.scene.road.elevation_ft(self.zero_ft)
        far_z = self.scene.road.elevation_ft(length_ft if self.zero_ft == 0 else 0.0)
        (ex, ey, _), (hidden, shown) = camera.eye, pairs
        (ax, ay), (bx, by) = pairs[1][0], pairs[1][1]
        (ox, oy) = pairs[0][0]
        side_of_eye = (bx - ax) * (ey - ay) - (by - ay) * (ex - ax)
        side_of_box = (bx - ax) * (oy - ay) - (by - ay) * (ox - ax)
        if side_of_eye * side_of_box > 0:  # the eye is on the box's side of that face: the other one is seen
            hidden, shown = shown, hidden
        spots = ((hidden[0], near_z), (shown[0], near_z), (shown[1], far_z))
        return tuple(((x, y, z + UNDER_FT), (x, y, z + VEHICLE_HEIGHT_FT)) for (x, y), z in spots)

    def _vehicle(self, camera: Camera) -> tuple[Pixel, ...]:
        edges = self.vehicle_edges(camera)
        return tuple(pixel(camera.project(point)) for edge in edges for point in edge)


def _edges(way: Carriageway) -> list[float]:
    return [
        way.left_ft,
        *(lane.left_ft for lane in way.lanes),
        way.lanes[-1].right_ft,
        way.right_ft,
    ]


def _layer(ends: Sequence[float], ahead_ft: float) -> int:
    """Index of the stretch that ends at or beyond a distance; their count beyond the last."""
    return next((index for index, end in enumerate(ends) if ahead_ft <= end + 1e-6), len(ends))


def _thing(layer: int, before: bool, kind: int, corners: Sequence[Point]) -> Iterator[Thing]:
    """The shape, unless it lies wholly outside the picture."""
    shown = within(corners)
    if shown:
        yield Thing(layer, before, kind, shown)
