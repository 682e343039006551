"""A scene described from the other end of its road, of which the same is computed."""

from dataclasses import replace

from forty_paces.geometry.profile import Profile, Pvi
from forty_paces.geometry.road import Alignment, Carriageway, Lane, Road
from forty_paces.geometry.scene import Blocker, Scene, Strip


def turned_profile(profile: Profile, about_ft: float) -> Profile:
    """The same road with stations counted the other way: s becomes ``about_ft - s``."""
    grades = [profile.first_grade_pct, *(pvi.grade_out_pct for pvi in profile.pvis)]
    turned = [
        Pvi(about_ft - pvi.station_ft, -grade_in, pvi.curve_ft)
        for pvi, grade_in in zip(profile.pvis, grades, strict=False)
    ]
    return Profile(-grades[-1], tuple(reversed(turned)))


def turned_road(road: Road, about_ft: float) -> Road:
    """The road with station s at ``about_ft - s`` and offset o at -o."""
    alignment = road.alignment
    pieces = tuple(reversed(alignment.mirrored().pieces))
    return Road(
        Alignment(about_ft - alignment.end_ft, pieces),
        turned_profile(road.profile, about_ft),
        tuple(_turned_way(way) for way in road.carriageways),
    )


def turned_scene(scene: Scene) -> Scene:
    """The same place and vehicle, front and rear exchanged."""
    length = scene.vehicle.length_ft
    blockers = tuple(_turned_blocker(blocker, length) for blocker in scene.blockers)
    vehicle = replace(scene.vehicle, offset_ft=-scene.vehicle.offset_ft)
    return replace(scene, road=turned_road(scene.road, length), blockers=blockers, vehicle=vehicle)


def _turned_way(way: Carriageway) -> Carriageway:
    mirror = way.mirrored()
    lanes = tuple(Lane(lane.center_ft, lane.width_ft, not lane.forward) for lane in mirror.lanes)
    return Carriageway(lanes, mirror.left_shoulder_ft, mirror.right_shoulder_ft)


def _turned_blocker(blocker: Blocker, about_ft: float) -> Blocker:
    if isinstance(blocker, Strip):
        from_ft, to_ft = about_ft - blocker.to_ft, about_ft - blocker.from_ft
        return replace(blocker, from_ft=from_ft, to_ft=to_ft, offset_ft=-blocker.offset_ft)
    return replace(
        blocker, corners=tuple((about_ft - station, -offset) for station, offset in blocker.corners)
    )
