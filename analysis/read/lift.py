"""From keypoints in the picture to the body in space: the learned lift.

For every frame a small network looks at the cleaned keypoints, the learned body and the visibilities of a short window of
time, and tells where the joints are and how sure it is of each. It was fitted to rendered people, swings and other recorded
motion, by `tests/lift`; the parameters, where they come from and how they did on people and motions they were not fitted to
are in `lift.npz` beside this module.

Axes of a lifted body ("ray axes"): the direction from the camera to the hitter is z (away), x is to the right of the
picture and y up, both at right angles to that direction. Lengths are standing heights, counted from the middle of the two
hip joints. Joints are those of the body: a hip is half-way between the pivot of the thigh and the middle of the hip as
seen from outside, a toe is the tip of the second toe.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any, Final

import numpy as np

from analysis.read.apparent_lengths import apparent_lengths
from analysis.read.arrays import Array, Floats32, Frames, interpolated
from analysis.read.motion import SEEN, Motion
from analysis.read.networks import Parameters, arrays, parameters, silu
from analysis.tracks import KEYPOINTS

# Real seconds about a frame at which the cleaned curves are looked at.
WINDOW_S: Final = (-1 / 15, -1 / 30, 0.0, 1 / 30, 1 / 15)
# The joints that come out.
_PAIRED: Final = ("hip", "knee", "ankle", "heel", "toe", "shoulder", "elbow", "wrist", "ear")
JOINTS: Final = (*(f"{side}_{joint}" for joint in _PAIRED for side in ("left", "right")), "nose")
JOINT_KEYPOINTS: Final = tuple(KEYPOINTS[name] for name in JOINTS)
FARTHEST: Final = 8.0  # deviations from their mean, that features are held to
LOG_SDS: Final = (-7.0, 1.0)  # natural logarithms of the least and the largest deviation, standing heights
# Three coordinates of each joint, then the direction that is up.
OUTPUTS: Final = 3 * len(JOINTS) + 3


@dataclass(frozen=True)
class Lifted:
    """Bodies in space; F frames.

    places  [F, J, 3] joints in the order of `JOINTS`, standing heights on ray axes, from mid-hips
    sd      [F, J, 3] deviation of each coordinate
    up      [F, 3] unit vector against gravity, on ray axes; up_sd [F, 3] its deviation
    """

    places: Array
    sd: Array
    up: Array
    up_sd: Array


@dataclass(frozen=True)
class Network:
    """The fitted parameters.

    residual    its layers: the first, two for each residual block, and the last, whose outputs are the `OUTPUTS` means and the
                natural logarithms of as many deviations
    correlation [3 J, 3 J] correlation of the joints' errors in deviations
    systematic  share of the errors' variance that stays the same through a clip
    facts       where the parameters come from ("made" and the like), and what calibration gave (hitters that it was not fitted to), by
                checkpoint id and group of views (`analysis.read.groups`): "offsets" to be added to a value, "calibration" by which half
                of an interval is multiplied, "usual" half of an interval as it then is, "stretch" by how much a value is told farther
                from "centre" where half of its interval is "spread" (see `analysis.read.readings`)
    """

    residual: Parameters
    correlation: Array
    systematic: float
    facts: dict[str, Any]

    @cached_property
    def root(self) -> Array:
        """A triangle [3 J, 3 J] whose product with itself is the correlation."""
        return np.asarray(np.linalg.cholesky(self.correlation))

    def run(self, rows: Floats32) -> tuple[Array, Array]:
        """Means and deviations, [N, OUTPUTS] each, for features [N, D]."""
        first, *blocks, last = self.residual.layers
        hidden = silu(self.residual.standardised(rows, FARTHEST) @ first[0] + first[1])
        for (w1, b1), (w2, b2) in zip(blocks[::2], blocks[1::2], strict=True):
            hidden += silu(hidden @ w1 + b1) @ w2 + b2
        out = (hidden @ last[0] + last[1]).astype(np.float64)
        return out[:, :OUTPUTS], np.exp(np.clip(out[:, OUTPUTS:], *LOG_SDS))


@lru_cache(maxsize=1)
def network() -> Network:
    """The network committed with this package."""
    kept = arrays()
    correlation = np.asarray(kept["shape"], dtype=np.float64)
    return Network(parameters(), correlation, float(kept["lasting"]), json.loads(str(kept["facts"])))


def features(motion: Motion, frames: Frames) -> Floats32:
    """The network's input, [N, D], for some frames [N] of a cleaned motion.

    Keypoints in the picture are counted from mid-hips of the frame itself and divided by the standing height in pixels;
    those of the learned body by its own standing height. A keypoint that was not seen is zero with visibility zero. Last comes
    how long the parts of the body look about that time (see `analysis.read.apparent_lengths`).
    """
    times, steady, world, size = motion.times, motion.steady, motion.world / motion.height_m, motion.height_px
    flat, deep = steady[:, SEEN] * [1.0, -1.0], world[:, SEEN] * [1.0, -1.0, 1.0]
    known = np.nan_to_num(np.clip(motion.visibility[frames][:, SEEN], 0.0, 1.0))
    hips = (steady[frames, KEYPOINTS["left_hip"]] + steady[frames, KEYPOINTS["right_hip"]]) / 2.0 * [1.0, -1.0]
    parts = []
    for offset in WINDOW_S:
        moved = times[frames] + offset * motion.slowdown
        places = (interpolated(flat, times, moved) - hips[:, None]) / size[frames, None, None]
        parts += [places.reshape(len(frames), -1), interpolated(deep, times, moved).reshape(len(frames), -1)]
    long = apparent_lengths(times, steady / size[:, None, None], world, motion.slowdown, frames)
    return np.asarray(np.nan_to_num(np.concatenate([*parts, known, long], axis=1)), dtype=np.float32)


def lift(rows: Floats32) -> Lifted:
    """The bodies for features [F, D].

    What the network says of the mirror image, mirrored back, is as good a look; the two are averaged.
    """
    means, deviations = network().run(np.concatenate([rows, mirrored(rows)]))
    (mean, other), (sd, other_sd) = (out.reshape(2, len(rows), -1, 3) for out in (means, deviations))
    mean, sd = (mean + other[:, _OTHER_ROW] * MIRROR) / 2.0, np.sqrt(sd * other_sd[:, _OTHER_ROW])
    up = mean[:, -1]
    return Lifted(mean[:, :-1], sd[:, :-1], up / np.linalg.norm(up, axis=1, keepdims=True), sd[:, -1])


def mirrored(rows: Floats32) -> Floats32:
    """Features [F, D] of the picture's mirror image: left and right change names, and x its sign."""
    frames, seen, offsets = len(rows), len(SEEN), len(WINDOW_S)
    body = rows[:, : offsets * seen * 5].reshape(frames, offsets, seen * 5)
    flat = body[..., : 2 * seen].reshape(frames, offsets, seen, 2)[:, :, _OTHER_SEEN] * MIRROR[:2]
    deep = body[..., 2 * seen :].reshape(frames, offsets, seen, 3)[:, :, _OTHER_SEEN] * MIRROR
    both = np.concatenate([flat.reshape(frames, offsets, -1), deep.reshape(frames, offsets, -1)], axis=2)
    known, long = np.split(rows[:, offsets * seen * 5 :], [seen], axis=1)
    return np.concatenate([both.reshape(frames, -1), known[:, _OTHER_SEEN], long], axis=1).astype(np.float32)


def _other_side(names: Sequence[str]) -> list[int]:
    """For each name the place of the same part on the other side of the body."""
    sides = {"left": "right", "right": "left"}
    parts = [name.partition("_") for name in names]
    return [names.index(sides.get(side, side) + joined + part) for side, joined, part in parts]


MIRROR: Final = np.array([-1.0, 1.0, 1.0])
# Of what the network tells in rows of three, joints and then what is up, and of the keypoints that it sees.
_OTHER_ROW: Final = [*_other_side(JOINTS), len(JOINTS)]
_OTHER_SEEN: Final = _other_side(sorted(KEYPOINTS, key=lambda name: KEYPOINTS[name]))
