"""A scene made for a test: what a scene must have, and nothing on the road that hides anything.

In: what the test is about. Out: a two-lane road with a 70 ft vehicle on its 10 ft
shoulder, posted 55 mph, where everything is made out from 500 ft; changed as told.
"""

from typing import Any

from forty_paces.geometry.records import RoadKind
from forty_paces.geometry.road import Road, two_lane
from forty_paces.geometry.scene import Scene, Stands, StoppedVehicle

WAYS = two_lane(12, 10, 8)


def made_scene(**told: Any) -> Scene:
    """The scene, with these of its values in place of the usual ones."""
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
    return Scene(**{**values, **told})
