"""Builds a scene for a test, with defaults that contain no obstruction.

A two-lane road with a 70 ft vehicle on its 10 ft shoulder, posted 55 mph, detection range
500 ft; the test overrides what it is about.
"""

from typing import Any

from forty_paces.geometry.records import RoadKind
from forty_paces.geometry.road import Road, two_lane
from forty_paces.geometry.scene import Scene, Stands, StoppedVehicle

WAYS = two_lane(12, 10, 8)


def made_scene(**fields: Any) -> Scene:
    """Return the default scene with the given fields replaced."""
    values = {
        "id": "tried",
        "title": "A road made for a test",
        "place": "nowhere",
        "position": 1,
        "teaching_point": "none",
        "kind": RoadKind.TWO_LANE,
        "road": Road(carriageways=WAYS),
        "vehicle": StoppedVehicle(70, 8.5, 11, Stands.SHOULDER),
        "speed_mph": 55.0,
        "detection_ft": 500.0,
    }
    return Scene(**{**values, **fields})
