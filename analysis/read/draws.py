"""Draw a swing many times over within its errors (see `analysis.read.moments`)."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache
from typing import Final

import numpy as np
import scipy
from numpy.typing import NDArray

from analysis.read import errors
from analysis.read.body import longest_seen, segment
from analysis.read.geometry import Draws
from analysis.read.instants.contact import BAT_CONFIDENCE
from analysis.read.knees import leg_lengths, side_bend
from analysis.read.legs import THIGH_LENGTH, set_leg_depth
from analysis.read.moments import Moments, Pose, Unreadable
from analysis.read.motion import USED, Motion, part_of
from analysis.read.sides import side_of
from analysis.read.signals import middle
from analysis.read.stage import Found, Stage
from analysis.tracks import KEYPOINT_COUNT
from analysis.tracks import KEYPOINTS as K

__all__ = ["DRAWS", "draw_moments"]

Array = NDArray[np.float64]

DRAWS: Final = 256
COLUMNS: Final = 2048  # more than one swing asks for
SEED: Final = 20011

# Lengths in standing heights and how much they differ between people (share). Winter (from memory) has 0.288
# for the trunk, 0.332 for the arm without the hand, 0.152 for the foot; the pose model sees shoulders narrower
# than they are.
LENGTHS: Final = {"trunk": (0.30, 0.03), "shoulders": (0.205, 0.08), "hips": (0.13, 0.08), "arm": (0.325, 0.05)}
_DEPTH_TIMES: Final = np.array([errors.DEPTH_TIMES.get(part_of(k), 1.0) for k in USED])
FOOT_LENGTH, FOOT_SHARE = 0.155, 0.06
SEEN_THROUGH: Final = 8  # frames with the bat: a swing rather than a moment
BAT_LENGTHS: Final = (0.4, 0.65)  # standing heights, from a child's short bat to a tall one's long bat


@lru_cache(maxsize=1)
def _normals() -> Array:
    """Standard normal numbers [DRAWS, COLUMNS], the same for every swing; row 0 is zero, the best estimate."""
    drawn = np.random.default_rng(SEED).standard_normal((DRAWS, COLUMNS))
    drawn[0] = 0.0
    drawn.setflags(write=False)
    return drawn


class Drawer:
    """Shared draws of one swing: the same camera, body and lasting keypoint errors at all its instants."""

    def __init__(self, motion: Motion, stage: Stage) -> None:
        self.used = 0
        self.motion, self.stage = motion, stage
        self.scale = float(np.nanmedian(motion.height_px))
        self.axes = self._axes()
        self.size = 1.0 + self.spread(errors.HEIGHT_SHARE)
        self.thigh = self._thigh_length()
        self.legs = leg_lengths(stage.signals.space)
        self.held = self._keypoint_errors(errors.FLAT_HELD, errors.DEPTH_HELD)

    def spread(self, sd: float, shape: tuple[int, ...] = ()) -> Array:
        """Normal draws [DRAWS, *shape]; the first is zero, the best estimate."""
        size = int(np.prod(shape, dtype=int))
        first = self.used = self.used if self.used + size <= COLUMNS else 0
        self.used += size
        return np.asarray(sd * _normals()[:, first : first + size].reshape(DRAWS, *shape))

    def _keypoint_errors(self, flat: float, deep: float) -> Array:
        sizes = np.full((len(USED), 3), [flat, flat, deep])
        sizes[:, 2] *= _DEPTH_TIMES
        return np.asarray(self.spread(1.0, (len(USED), 3)) * sizes)

    def _axes(self) -> Array:
        """Camera axes to reading axes, [DRAWS, 3, 3], for cameras turned, tilted and rolled within their errors."""
        facing = self.stage.facing
        turn = np.radians(self.spread(facing.ahead_sd))
        roll = np.radians(self.spread(errors.CAMERA_ROLL_DEG))
        pitch = np.radians(self.spread(errors.CAMERA_PITCH_DEG))
        none, one = np.zeros(DRAWS), np.ones(DRAWS)
        about_up = _stack([[np.cos(turn), none, np.sin(turn)], [none, one, none], [-np.sin(turn), none, np.cos(turn)]])
        about_away = _stack(
            [[np.cos(roll), -np.sin(roll), none], [np.sin(roll), np.cos(roll), none], [none, none, one]]
        )
        about_right = _stack(
            [[one, none, none], [none, np.cos(pitch), -np.sin(pitch)], [none, np.sin(pitch), np.cos(pitch)]]
        )
        return np.asarray(self.stage.axes @ about_up @ about_away @ about_right)

    def _thigh_length(self) -> Draws:
        """Usual length of a thigh, drawn toward the longest that this clip shows."""
        usual, share = THIGH_LENGTH
        shown = longest_seen(segment(self.stage.signals.space[..., :2], "hip", "knee"), usual)
        return np.asarray((usual + shown) / 2.0 * (1.0 + self.spread(share)))

    def times(self, found: Found) -> Draws:
        return np.asarray(found.time + self.spread(found.sd))

    def pose(self, times: Draws, instant: str) -> Pose:
        """The pose at the drawn times of an instant; frames are joined by straight lines."""
        space, jitter = self.stage.signals.space[:, USED], self.motion.error_px[:, USED] / self.scale
        depth = self.motion.world_error[:, USED] / self.motion.height_m
        position = np.interp(times, self.stage.times, np.arange(self.stage.times.size))
        before = np.minimum(position.astype(int), self.stage.times.size - 2)
        share = (position - before)[:, None, None]
        here = (1.0 - share) * space[before] + share * space[before + 1]
        noise = np.stack([jitter[before], jitter[before], depth[before]], axis=-1)
        drawn = here + self.held + self._keypoint_errors(errors.FLAT_LOOSE, errors.DEPTH_LOOSE)
        drawn += np.nan_to_num(noise) * self.spread(1.0, (len(USED), 3))
        points = np.full((DRAWS, KEYPOINT_COUNT, 3), np.nan)
        points[:, USED] = np.einsum("sij,skj->ski", self.axes, drawn) / self.size[:, None, None]
        if self.stage.from_side:
            points = set_leg_depth(points, instant, self.stage.facing.hand, self.thigh, self.spread(1.0, (2, 2)))
        share = float(np.interp(times[0], self.stage.times, self.stage.signals.lead_share))
        return Pose(points, self.stage.facing.hand, share, self._knees(here, instant, round(position[0])))

    def _knees(self, here: Array, instant: str, frame: int) -> dict[str, Draws]:
        """Bends of the knees that a side view gives by how the legs hang; not where a coach has placed the leg by hand.

        here  [S, 24, 3] the used keypoints as seen at the drawn times, on the camera's axes
        """
        if not self.stage.from_side:
            return {}
        points = np.full((DRAWS, KEYPOINT_COUNT, 3), np.nan)
        points[:, USED] = here
        from_back = self.stage.facing.view == "back_side"
        common, bends = self.spread(1.0), {}
        for end in ("front", "rear"):
            side, own = side_of(end, self.stage.facing.hand), self.spread(1.0)
            bend = side_bend(points, side, instant, self.legs, from_back, (common, own))
            if bend is not None and not self._placed(side, frame):
                bends[end] = bend
        return bends

    def _placed(self, side: str, frame: int) -> bool:
        """Whether a coach has put a joint of this leg in place at a frame or beside it."""
        leg = [K[f"{side}_{joint}"] for joint in ("hip", "knee", "ankle")]
        return bool(self.motion.placed[max(frame - 1, 0) : frame + 2, leg].any())


def _stack(rows: list[list[Array]]) -> Array:
    """A matrix of rows of draws as [DRAWS, 3, 3]."""
    return np.moveaxis(np.array(rows), -1, 0)


def draw_moments(
    motion: Motion, stage: Stage, found: Mapping[str, Found], speed: float | None, speed_reason: str
) -> Moments:
    """The moments of one swing, drawn `DRAWS` times with a fixed seed: the same input gives the same draws."""
    drawer = Drawer(motion, stage)
    times = {name: drawer.times(instant) for name, instant in found.items() if instant}
    poses = {name: drawer.pose(drawn, name) for name, drawn in times.items()}
    slot = _slot_time(stage, found)
    if slot:
        poses["slot"] = drawer.pose(drawer.times(slot), "slot")
    return Moments(
        poses=poses,
        times=times,
        lengths=_lengths(drawer),
        missing={name: str(instant.reason) for name, instant in found.items() if not instant}
        | ({} if slot else {"slot": str(slot.reason)}),
        speed=speed,
        from_side=stage.from_side,
        speed_reason=speed_reason,
        bat_up=_bat_reader(drawer, times),
    )


def _slot_time(stage: Stage, found: Mapping[str, Found]) -> Found:
    """When the rear elbow is closest to the rear hip between swing start and contact."""
    start, contact = found["swing_start"], found["contact"]
    if not start or not contact:
        return Found.no(str((start if not start else contact).reason))
    frames = stage.span(start.time, contact.time)
    gap = np.linalg.norm(stage.point("rear_elbow") - stage.point("rear_hip"), axis=1)[frames]
    if not np.isfinite(gap).any():
        return Found.no("The rear elbow was not seen between swing start and contact.")
    return Found(float(stage.times[frames[int(np.nanargmin(gap))]]), stage.frame_sd)


def _lengths(drawer: Drawer) -> dict[str, Draws]:
    """The body's own lengths, in standing heights: usual ones, drawn toward what this clip shows of them."""
    space = drawer.stage.signals.space[..., :2]
    trunk = middle(space, "left_shoulder", "right_shoulder") - middle(space, "left_hip", "right_hip")
    shoulders, hips = (space[:, K[f"left_{name}"]] - space[:, K[f"right_{name}"]] for name in ("shoulder", "hip"))
    arm = segment(space, "shoulder", "elbow") + segment(space, "elbow", "wrist")
    ways = {"trunk": trunk, "shoulders": shoulders, "hips": hips}
    seen = {name: np.linalg.norm(way, axis=1) for name, way in ways.items()} | {"arm": arm}
    lengths = {}
    for name, (usual, share) in LENGTHS.items():
        lengths[name] = (usual + longest_seen(seen[name], usual)) / 2.0 * (1.0 + drawer.spread(share))
    lengths["foot"] = FOOT_LENGTH * (1.0 + drawer.spread(FOOT_SHARE))
    return lengths


def _bat_reader(drawer: Drawer, times: Mapping[str, Draws]) -> Callable[[str], Draws] | None:
    """How much of the bat's length points up, per instant; None when the bat was never seen."""
    bat, frame_times = drawer.stage.bat, drawer.stage.times
    seen = np.flatnonzero(np.isfinite(bat[:, 0]) & (bat[:, 2] >= BAT_CONFIDENCE))
    if not seen.size:
        return None
    length = _bat_length(drawer, np.hypot(bat[seen, 0], bat[seen, 1]))

    def up(instant: str) -> Draws:
        nearest = np.abs(frame_times[seen] - times[instant][0]).min()
        if nearest > 1.5 * drawer.stage.step:
            raise Unreadable("The bat was not seen at this instant; drag its two ends on the frame to read its angle.")
        rise = np.interp(times[instant], frame_times[seen], bat[seen, 1]) + drawer.spread(errors.BAT_END)
        return np.asarray(rise / length)

    return up


def _bat_length(drawer: Drawer, seen: Array) -> Draws:
    """The bat's length in standing heights, from how long it was seen in some frames, [N].

    No picture shows the bat longer than it is, and over a swing it lies in the picture's plane at least once. In a frame or
    two, put there by hand, it may point out of that plane, anywhere up to where it would have to be longer than bats are:
    every angle is as likely.
    """
    longest = float(np.clip(np.percentile(seen, 90), *BAT_LENGTHS))
    out_of_plane: Draws | float = 0.0
    if seen.size < SEEN_THROUGH:
        out_of_plane = np.arccos(longest / BAT_LENGTHS[1]) * scipy.special.ndtr(drawer.spread(1.0))
    return np.asarray(longest / np.cos(out_of_plane) * (1.0 + drawer.spread(errors.BAT_LENGTH_SHARE)))
