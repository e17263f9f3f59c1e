"""The wanted position: where knee, front foot, shoulder line or bat of a swing would be at the edge of the wanted band.

Made from the reading of that swing at its instant. The body that reading sees in space (best estimate) is bent or turned there until
its own measure has moved by what the reading lacks, with the bones as long as they are and the planted foot where it stands;
the way from one to the other is laid into the picture, from the keypoints that the film shows. So a body that lacks nothing
would be drawn where it is. Where the reading is not readable there is no wanted position, and none where nothing is lacking.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from django.utils.translation import gettext as _
from numpy.typing import NDArray

from analysis.read.corrections import parse_corrections
from analysis.read.lift import JOINT_KEYPOINTS, JOINTS
from analysis.read.perturbed_swing import Pose
from analysis.read.pipeline import analyse_clip
from analysis.read.sides import side_of
from analysis.tracks import Tracks

Array = NDArray[np.float64]
Point = tuple[float, float]

LEAST_SHOWN = 8  # joints that have to be seen for the body to be laid into the picture


class NoneWanted(Exception):
    """There is no wanted position to show; the message says why, for the coach."""


@dataclass(frozen=True)
class Wanted:
    """Points to be drawn in upright clip pixels, on which frame, and the edge of the band that they stand for."""

    frame: int
    points: list[Point]
    edge: float
    unit: str


def wanted_position(tracks: Tracks, corrections: dict[str, Any], swing: dict[str, Any], checkpoint: str) -> Wanted:
    """Of one kept swing of a clip's result. Raises NoneWanted with words for the coach."""
    if checkpoint not in BUILT:
        raise NoneWanted(_("There is no wanted position to draw for this checkpoint."))
    reading = next((one for one in swing["readings"] if one["checkpoint"] == checkpoint), None)
    if not reading or reading["value"] is None:
        raise NoneWanted(
            _("Nothing was read here, so no wanted position can be made. %(reason)s")
            % {"reason": (reading or {}).get("reason") or ""}
        )
    edge = _edge(reading)
    instant, build = BUILT[checkpoint]
    frame = swing["instants"][instant]["frame"]
    if frame is None:
        raise NoneWanted(_("This instant was not found. Put it where you see it."))
    points = build(_Seen(tracks, corrections, swing["index"], instant, frame), edge - reading["value"])
    if not np.isfinite(points).all():
        raise NoneWanted(_("This part of the body was not seen on that frame, so there is nothing to draw it from."))
    return Wanted(frame, [(round(float(x), 1), round(float(y), 1)) for x, y in points], edge, reading["unit"])


def _edge(reading: dict[str, Any]) -> float:
    """The nearest edge of the band, from outside."""
    low, high = reading["band"] or (None, None)
    if low is not None and reading["value"] < low:
        return float(low)
    if high is not None and reading["value"] > high:
        return float(high)
    raise NoneWanted(_("In this swing it was measured in range already: nothing else is wanted."))


class _Seen:
    """The hitter at the instant of one swing: in space as the reading sees it, and on the frame."""

    def __init__(self, tracks: Tracks, corrections: dict[str, Any], index: int, instant: str, frame: int) -> None:
        self.keypoints = tracks.keypoints_px[frame].astype(np.float64).copy()
        self.bat = np.where(tracks.bat_is_sure[frame], tracks.bat_px[frame], np.nan).astype(np.float64)
        for move in corrections.get("keypoints") or []:
            if move["frame"] == frame:
                self.keypoints[move["keypoint"]] = (move["x"], move["y"])
        for move in corrections.get("bat") or []:
            if move["frame"] == frame:
                self.bat = np.array([move["knob"], move["barrel"]], dtype=np.float64)
        moments = analyse_clip(tracks, parse_corrections(corrections or None, tracks.frames)).perturbed.get(index)
        if moments is None or instant not in moments.poses:
            raise NoneWanted(_("The body could not be seen in space at this instant."))
        self.moments, self.instant = moments, instant
        self.pose = Pose(moments.poses[instant].points[:1], moments.poses[instant].hand)  # the best estimate alone

    def place(self, name: str) -> Array:
        """A joint [3] in standing heights: toward the pitcher, up, to the plate."""
        return np.asarray(self.pose[name][0])

    def shown(self, name: str) -> Array:
        """Where the frame shows the joint [2]."""
        end, _under, part = name.partition("_")
        return np.asarray(self.keypoints[JOINT_KEYPOINTS[JOINTS.index(f"{side_of(end, self.pose.hand)}_{part}")]])

    def turned(self, name: str, place: Array) -> Array:
        """Where the frame would show the joint if it were at `place`."""
        return np.asarray(self.shown(name) + self._camera() @ (place - self.place(name)))

    def with_joints(self, places: dict[str, Array]) -> Pose:
        """The pose with some joints elsewhere."""
        points = self.pose.points.copy()
        for name, place in places.items():
            end, _under, part = name.partition("_")
            points[0, JOINTS.index(f"{side_of(end, self.pose.hand)}_{part}")] = place
        return Pose(points, self.pose.hand)

    def _camera(self) -> Array:
        """How the picture shows a direction in space, [2, 3] pixels a standing height: as a distant camera would, fitted to all joints
        that are seen. Two rows at right angles and alike in length, the nearest to a free fit (its singular values made one).
        """
        solid, flat = self.pose.points[0], self.keypoints[list(JOINT_KEYPOINTS)]
        seen = np.isfinite(solid).all(axis=1) & np.isfinite(flat).all(axis=1)
        if seen.sum() < LEAST_SHOWN:
            raise NoneWanted(_("Too little of the body was seen on that frame."))
        solid, flat = solid[seen] - solid[seen].mean(axis=0), flat[seen] - flat[seen].mean(axis=0)
        free, *_rest = np.linalg.lstsq(solid, flat, rcond=None)
        left, sizes, right = np.linalg.svd(free.T, full_matrices=False)
        return np.asarray(sizes.mean() * left @ right)


def _knee(end: str) -> Callable[[_Seen, float], Array]:
    """Hip, knee, ankle: the ankle stays, thigh and shank keep their lengths, the hip sinks or rises on its line to the ankle."""

    def build(seen: _Seen, lacking: float) -> Array:
        hip, knee, ankle = (seen.place(f"{end}_{part}") for part in ("hip", "knee", "ankle"))
        thigh, shank = np.linalg.norm(hip - knee), np.linalg.norm(knee - ankle)
        up = _unit(hip - ankle)
        aside = (knee - ankle) - np.dot(knee - ankle, up) * up
        if np.linalg.norm(aside) < 0.01:  # a straight leg bends over its toes
            foot = seen.place(f"{end}_toe") - seen.place(f"{end}_heel")
            aside = foot - np.dot(foot, up) * up
        bend = np.radians(np.clip(float(seen.pose.knee_bend(end)[0]) + lacking, 0.0, 150.0))
        reach = np.sqrt(thigh**2 + shank**2 + 2.0 * thigh * shank * np.cos(bend))
        along = (shank**2 + reach**2 - thigh**2) / (2.0 * reach)
        out = np.sqrt(max(shank**2 - along**2, 0.0))
        wanted_hip, wanted_knee = ankle + reach * up, ankle + along * up + out * _unit(aside)
        ends = {f"{end}_hip": wanted_hip, f"{end}_knee": wanted_knee, f"{end}_ankle": ankle}
        return np.array([seen.turned(name, place) for name, place in ends.items()])

    return build


def _foot(seen: _Seen, lacking: float) -> Array:
    """Heel and toe of the front foot, turned about its heel on the ground."""
    heel, toe = seen.place("front_heel"), seen.place("front_toe")
    turn = _turn_by(lacking, lambda angle: 90.0 - _heading(_about_up(toe - heel, angle)), 90.0 - _heading(toe - heel))
    return np.array([seen.shown("front_heel"), seen.turned("front_toe", heel + _about_up(toe - heel, turn))])


def _line(joint: str) -> Callable[[_Seen, float], Array]:
    """Rear and front shoulder (hip), turned about the middle between them."""

    def build(seen: _Seen, lacking: float) -> Array:
        rear, front = seen.place(f"rear_{joint}"), seen.place(f"front_{joint}")
        middle = (rear + front) / 2.0

        def measured(angle: float) -> float:
            ends = {f"{end}_{joint}": middle + _about_up(place - middle, angle) for end, place in _both(rear, front)}
            return float(seen.with_joints(ends).opened(joint)[0])

        turn = _turn_by(lacking, measured, measured(0.0))
        return np.array(
            [
                seen.turned(f"{end}_{joint}", middle + _about_up(place - middle, turn))
                for end, place in _both(rear, front)
            ]
        )

    return build


def _both(rear: Array, front: Array) -> list[tuple[str, Array]]:
    return [("rear", rear), ("front", front)]


def _bat(seen: _Seen, lacking: float) -> Array:
    """Knob and barrel: the bat tips about its knob, and keeps its length and the way it points seen from above."""
    knob, barrel = seen.bat
    steep = np.radians(float(seen.moments.bat_elevation(seen.instant)[0]))
    to = np.clip(steep + np.radians(lacking), -np.pi / 2, np.pi / 2)
    bat = barrel - knob
    shown = float(np.hypot(*bat))
    # what points up is seen as it is (the camera stands nearly upright); where hardly anything does, the bat is taken as seen
    length = max(shown, -bat[1] / np.sin(steep)) if abs(np.sin(steep)) > 0.2 else shown
    level = bat[0] / np.cos(steep) if abs(np.cos(steep)) > 0.2 else np.copysign(length, bat[0] or 1.0)
    level = np.clip(level, -length, length)
    return np.array([knob, knob + np.array([level * np.cos(to), -length * np.sin(to)])])


def _turn_by(lacking: float, measured: Callable[[float], float], now: float) -> float:
    """By how many degrees to turn, so that what is measured moves by `lacking`: one way round or the other."""
    sense = np.sign(_wrapped(measured(1.0) - now)) or 1.0
    return float(sense * lacking)


def _wrapped(angle: float) -> float:
    return (angle + 180.0) % 360.0 - 180.0


def _heading(direction: Array) -> float:
    return float(np.degrees(np.arctan2(direction[2], direction[0])))


def _about_up(direction: Array, angle: float) -> Array:
    """A direction [3] turned about the vertical."""
    cos, sin = np.cos(np.radians(angle)), np.sin(np.radians(angle))
    return np.array([cos * direction[0] + sin * direction[2], direction[1], -sin * direction[0] + cos * direction[2]])


def _unit(direction: Array) -> Array:
    return np.asarray(direction / np.linalg.norm(direction))


# by checkpoint: its instant, and how its wanted position is built from what its reading lacks
BUILT: dict[str, tuple[str, Callable[[_Seen, float], Array]]] = {
    "setup_front_knee": ("set_up", _knee("front")),
    "setup_rear_knee": ("set_up", _knee("rear")),
    "down_front_knee": ("foot_down", _knee("front")),
    "down_rear_knee": ("foot_down", _knee("rear")),
    "contact_front_knee": ("contact", _knee("front")),
    "down_foot_opening": ("foot_down", _foot),
    "down_shoulders_square": ("foot_down", _line("shoulder")),
    "down_hips_square": ("foot_down", _line("hip")),
    "down_bat_angle": ("foot_down", _bat),
}
