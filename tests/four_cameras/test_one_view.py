"""What one view alone says of a real person, held against four calibrated cameras together.

Limits are set a little above what was found when they were written; the aim is 10 degrees, and nearer than the world landmarks in
every camera. The second is true of all four, also of the fourth, tilted sideways by 26 degrees; the first of none: the strongly bent
elbow (up to 109 degrees) is read 20 to 30 degrees too straight everywhere, by the world landmarks too. The reference itself is
unsure by some degrees: it is made of the same network's keypoints.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest

from .angles import BENDS, LINES, Compared, all_compared
from .limit import limits

KNEES = ("left knee", "right knee")
# Mean absolute errors over all frames, in degrees, by camera: all seven angles.
MOST = {"cam01": 12.0, "cam02": 15.5, "cam03": 13.0, "cam04": 16.0}
MOST_OF_KNEES = 16.5


@lru_cache(maxsize=1)
def compared() -> dict[str, Compared]:
    """By camera."""
    return {each.camera: each for each in all_compared()}


def mean_error(errors: dict[str, np.ndarray], names: tuple[str, ...] = (*BENDS, *LINES)) -> float:
    """Mean over frames, then over angles: an angle that is told in few frames counts as much."""
    return float(np.mean([np.nanmean(errors[name]) for name in names]))


@pytest.mark.parametrize("camera", MOST)
def test_each_view_alone_tells_the_body_about_as_four_do(camera: str) -> None:
    assert mean_error(compared()[camera].lift) <= MOST[camera]
    assert mean_error(compared()[camera].lift, KNEES) <= MOST_OF_KNEES


@pytest.mark.parametrize("camera", MOST)
def test_the_lift_is_nearer_than_the_world_landmarks(camera: str) -> None:
    each = compared()[camera]
    assert mean_error(each.lift) < mean_error(each.world)


def test_the_lift_is_nearer_over_all_cameras() -> None:
    lift = np.mean([mean_error(each.lift) for each in compared().values()])
    world = np.mean([mean_error(each.world) for each in compared().values()])
    assert lift <= 0.9 * world
    assert np.mean([mean_error(each.lift, KNEES) for each in compared().values()]) <= 12.4  # 12.1


def test_the_reference_is_surer_than_what_is_held_against_it() -> None:
    """Any three cameras say nearly what four do; better keypoints bring the lift nearer, and not near."""
    for limit in limits():
        own = mean_error(compared()[limit.camera].lift)
        assert limit.others < 4.0
        assert limit.others < limit.nearly
        assert limit.nearly <= own + 1.0
    assert np.mean([limit.nearly for limit in limits()]) < np.mean([mean_error(each.lift) for each in compared().values()])
