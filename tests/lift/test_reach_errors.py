"""Errors of drawn swings on swings that are not drawn: on the right side, at the right moment, as large as asked for."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from analysis.read.lift import JOINTS, features
from tests.lift.judge import SAMPLE
from tests.lift.mirror import OTHER_JOINT
from tests.lift.reach_errors import Seen, errors_shown, neighbours, with_errors
from tests.lift.samples import motion_of
from tests.lift.store import gathered, load, save

CLIP = next(clip for clip in load(SAMPLE) if clip.kind == 0)


@pytest.fixture
def shown(tmp_path: Path) -> Seen:
    path = tmp_path / "tune-0.npz"
    save(path, gathered([SAMPLE], 1)[:1])
    [off] = errors_shown(path)
    return off


def still(off: Seen, windows: int = 5) -> Seen:
    """A swing of the same moments of which nothing moves and everything lies in the middle."""
    count, joints = len(off.after), len(JOINTS)
    flat, deep = np.zeros((count, windows, joints, 2)), np.zeros((count, windows, joints, 3))
    return replace(off, flat=flat, deep=deep, body=deep[:, 0])


def test_a_part_of_the_errors_is_that_part_of_each(shown: Seen) -> None:
    rng = np.random.default_rng(0)
    whole, half, none = (with_errors(still(shown), [shown], part, True, rng) for part in (1.0, 0.5, 0.0))
    assert np.allclose(whole, 2 * half)
    assert not none.any()
    assert np.abs(whole).mean() > 0.01
    assert with_errors(still(shown), [shown], 1.0, False, rng).shape[1] == 5 * len(JOINTS) * 2


def test_errors_come_at_their_moment(shown: Seen) -> None:
    order = np.random.default_rng(1).permutation(len(shown.after))
    later = replace(still(shown), after=shown.after[order])
    got = with_errors(later, [shown], 1.0, False, np.random.default_rng(0)).reshape(len(order), 5, len(JOINTS), 2)
    assert np.allclose(got[:, 2], shown.flat[order])


def test_truth_and_errors_are_what_the_lift_sees(shown: Seen) -> None:
    """In the middle of its window; the truth is that of the clip."""
    motion = motion_of(CLIP)
    frames = np.flatnonzero(np.isin(CLIP.times - CLIP.contact, shown.after))
    looked = features(motion, frames).reshape(len(frames), -1)
    hips = CLIP.joints[frames, :2].mean(axis=1)
    true = CLIP.joints[frames, :, :2] / CLIP.joints[frames, :, 2:] - (hips[:, :2] / hips[:, 2:])[:, None]
    true = true * (hips[:, 2] / CLIP.height)[:, None, None] * [1, -1]
    seen = (true + shown.flat).reshape(len(frames), -1)
    for column in seen.T:  # every place the lift looks at is among its features
        assert np.abs(looked - column[:, None]).max(axis=0).min() < 2e-3


def test_a_left_handed_hitter_is_given_the_mirror_of_a_right_handed_ones(shown: Seen) -> None:
    other = replace(still(shown), mirrored=not shown.mirrored, azimuth=-shown.azimuth)
    assert neighbours([other], [shown, replace(shown, azimuth=shown.azimuth + 90)]) == [[shown]]
    got = with_errors(other, [shown], 1.0, True, np.random.default_rng(0))
    flat = got[:, : 5 * len(JOINTS) * 2].reshape(len(got), 5, len(JOINTS), 2)
    assert np.allclose(flat[:, 0], shown.flat[:, OTHER_JOINT] * [-1, 1])
