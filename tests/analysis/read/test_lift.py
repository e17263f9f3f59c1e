"""The lift, judged on hitters, bodies and motions that it was not fitted to (tests/lift/README.md).

The truth is that of the drawn motion itself; beside it stands the learned body of the pose model ("world landmarks"), which the lift
has to beat to be worth anything.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from analysis.read.apparent_lengths import LENGTHS
from analysis.read.lift import JOINTS, WINDOW_S, features, lift, mirrored, network
from analysis.read.motion import SEEN
from analysis.tracks import KEYPOINTS as K
from tests.lift.judge import group_of
from tests.lift.samples import answers, motion_of
from tests.lift.store import load

SAMPLE = Path(__file__).parents[2] / "lift" / "data" / "judge-sample.npz"
J = {name: place for place, name in enumerate(JOINTS)}
Z_90 = 1.645


@lru_cache(maxsize=1)
def judged() -> dict[str, np.ndarray]:
    """Lifted, world and true joints [N, J, 3], deviations, and whether the camera stood at a side [N], every fourth frame."""
    parts = []
    for clip in load(SAMPLE):
        motion = motion_of(clip)
        world = motion.world[:, [K[name] for name in JOINTS]] * [1, -1, 1] / motion.height_m
        good = np.flatnonzero(np.isfinite(world).all(axis=(1, 2)))[::4]
        body = lift(features(motion, good))
        truth = answers(clip)[good, : 3 * len(JOINTS)].reshape(-1, len(JOINTS), 3)
        side = np.full(len(truth), clip.kind == 0 and group_of(clip.azimuth) == "side")
        parts.append((body.places, body.sd, world[good], truth, side))
    names = ("places", "sd", "world", "truth", "side")
    return {name: np.concatenate(part) for name, part in zip(names, zip(*parts, strict=True), strict=True)}


def bends(joints: np.ndarray) -> np.ndarray:
    """Bend of both knees [N, 2], degrees."""
    out = []
    for side in ("left", "right"):
        hip, knee, ankle = (joints[:, J[f"{side}_{name}"]] for name in ("hip", "knee", "ankle"))
        first, second = knee - hip, ankle - knee
        across = np.linalg.norm(np.cross(first, second), axis=1)
        out.append(np.degrees(np.arctan2(across, np.sum(first * second, axis=1))))
    return np.stack(out, axis=1)


def off_heading(joints: np.ndarray, truth: np.ndarray, first: str, second: str) -> np.ndarray:
    """How far a line seen from above is turned away from the true one [N], degrees, without sign."""
    ways = [each[:, J[first]] - each[:, J[second]] for each in (joints, truth)]
    angles = [np.degrees(np.arctan2(way[:, 2], way[:, 0])) for way in ways]
    return np.asarray(np.abs((angles[0] - angles[1] + 180) % 360 - 180))


@pytest.mark.slow
def test_joints_lie_nearer_to_the_truth_than_those_of_the_pose_model() -> None:
    seen = judged()
    ours, theirs = (np.linalg.norm(seen[name] - seen["truth"], axis=2).mean() for name in ("places", "world"))
    assert ours < 0.06
    assert ours < 0.75 * theirs


@pytest.mark.slow
def test_knees_of_strangers_bend_as_they_do() -> None:
    seen = judged()
    own = seen["side"]
    truth = bends(seen["truth"][own])
    ours, theirs = (np.abs(bends(seen[name][own]) - truth).mean() for name in ("places", "world"))
    assert ours < 10.0
    assert ours < 0.8 * theirs


@pytest.mark.slow
@pytest.mark.parametrize(
    ("first", "second", "limit"),
    [("left_shoulder", "right_shoulder", 9.0), ("left_hip", "right_hip", 9.0), ("left_ankle", "right_ankle", 7.0)],
)
def test_lines_across_the_body_run_as_they_do(first: str, second: str, limit: float) -> None:
    seen = judged()
    ours, theirs = (np.median(off_heading(seen[name], seen["truth"], first, second)) for name in ("places", "world"))
    assert ours < limit
    assert ours < theirs


@pytest.mark.slow
def test_nine_tenths_of_the_coordinates_lie_where_the_lift_is_sure_they_do() -> None:
    seen = judged()
    held = np.abs(seen["places"] - seen["truth"]) <= Z_90 * seen["sd"]
    assert 0.86 < held[:, 2:].mean() < 0.97  # the two hips are counted from their own middle


def test_a_mirrored_hitter_is_lifted_to_the_mirror_image() -> None:
    rng = np.random.default_rng(3)
    rows = rng.normal(0, 0.2, (4, len(SEEN) * (5 * len(WINDOW_S) + 1) + LENGTHS)).astype(np.float32)
    there, back = lift(rows), lift(mirrored(rows))
    swap = [JOINTS.index(_other(name)) for name in JOINTS]
    assert np.allclose(back.places[:, swap] * [-1, 1, 1], there.places, atol=1e-4)


def _other(name: str) -> str:
    sides = {"left": "right", "right": "left"}
    side, _, joint = name.partition("_")
    return f"{sides[side]}_{joint}" if joint else name


def test_the_parameters_are_small_and_say_where_they_come_from() -> None:
    path = Path(__file__).parents[3] / "analysis" / "read" / "lift.npz"
    assert path.stat().st_size < 4_000_000
    assert network().facts["clips"] > 1000
    assert np.linalg.eigvalsh(network().correlation).min() > 0
