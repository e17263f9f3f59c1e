"""The lifted bodies of a clip: where the joints are in space, frame by frame, worked out only where it is asked for.

Positions are in standing heights on ray axes (see `analysis.read.lift`): x right, y up, z away, from mid-hips.
"""

from __future__ import annotations

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array, Flags, Frames, interpolated, step_of
from analysis.read.lift import JOINT_KEYPOINTS, JOINTS, Lifted, features, lift
from analysis.read.motion import Motion


def joint(name: str) -> int:
    """The place of "left_knee" and the like among `JOINTS`."""
    return JOINTS.index(name)


def thinned(frames: Frames, times: Array, slowdown: float) -> Frames:
    """Of consecutive frames so many that about `LIFTED_FPS` pictures a real second are left, of every stretch the same ones.

    times  [F] film time of every frame of the clip, s
    slowdown   how many times slower than life the film runs
    """
    if frames.size < 3:
        return frames
    step = step_of(times[frames]) / slowdown
    every = max(round(1.0 / (C.LIFTED_FPS * max(step, 1e-6))), 1)
    return np.asarray(frames[frames % every == 0])


class Bodies:
    """Lifted bodies by frame; F frames, J joints. NaN where nobody was seen or `lift` was not asked.

    times   [F] film time, s
    places  [F, J, 3] joints; a joint whose keypoint was not seen is NaN
    sd      [F, J, 3] deviation of each coordinate
    up      [F, 3] unit vector against gravity; up_sd [F, 3] its deviation

    known   what was lifted from this motion before, by the bytes of the frames asked for together; new ones are put in
    """

    def __init__(self, motion: Motion, known: dict[bytes, Lifted] | None = None) -> None:
        self.motion, self.slowdown, self.times = motion, motion.slowdown, motion.times
        self._known = {} if known is None else known
        count = len(motion.times)
        self.places = np.full((count, len(JOINTS), 3), np.nan)
        self.sd = np.full((count, len(JOINTS), 3), np.nan)
        self.up, self.up_sd = np.full((count, 3), np.nan), np.full((count, 3), np.nan)
        self.seen: Flags = np.asarray(np.isfinite(motion.steady[:, JOINT_KEYPOINTS]).all(axis=2))
        # Where enough of a body was seen to be lifted.
        self.shown: Flags = np.asarray(self.seen.mean(axis=1) >= C.LEAST_SEEN_SHARE)
        self._lifted = np.zeros(count, bool)

    def lift(self, frames: Frames) -> Frames:
        """Lift the bodies of these frames [N], those done before left as they are; gives those of them [M] in which there is one.

        There is none where fewer joints were seen than `LEAST_SEEN_SHARE`, or nobody in the whole clip.
        """
        new = frames[~self._lifted[frames] & self.shown[frames]]
        if new.size and np.isfinite(self.motion.height_m):
            lifted = self._lift(new)
            self.places[new] = np.where(self.seen[new][..., None], lifted.places, np.nan)
            self.sd[new] = np.hypot(lifted.sd, _jitter(self.motion, new))
            self.up[new], self.up_sd[new] = lifted.up, lifted.up_sd
            self._lifted[new] = True
        return frames[self._lifted[frames]]

    def _lift(self, frames: Frames) -> Lifted:
        """Asked for the same frames together, it gives the same; in other company the last digit may differ."""
        key = frames.tobytes()
        lifted = self._known.get(key)
        if lifted is None:
            if len(self._known) >= C.MOST_KEPT_SETS:
                self._known.clear()
            # Both at once: another thread may clear what is known in this moment.
            lifted = self._known[key] = lift(features(self.motion, frames))
        return lifted

    @property
    def lifted(self) -> Frames:
        """The frames lifted so far [N], increasing."""
        return np.flatnonzero(self._lifted)


def _jitter(motion: Motion, frames: Frames) -> Array:
    """What the jitter of the keypoints leaves in the cleaned curves, [N, J, 3] in standing heights; 0 where it is not known."""
    flat = motion.error_px[frames][:, JOINT_KEYPOINTS] / motion.height_px[frames, None]
    deep = motion.world_error[frames][:, JOINT_KEYPOINTS] / motion.height_m
    return np.nan_to_num(np.stack([flat, flat, deep], axis=-1))


def at_times(rows: Array, frames: Frames | slice, times: Array, wanted: Array) -> Array:
    """Rows [F, ...] of a clip at film times [S], by straight lines between some of its frames, held at their ends.

    frames  increasing, at least one; times [F] film time of every frame of the clip
    """
    distinct, back = np.unique(wanted, return_inverse=True)  # most ways of a swing agree on the time
    return interpolated(rows[frames], times[frames], distinct)[back]
