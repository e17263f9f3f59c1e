"""What a coach puts in place is seen there: a reading follows it, and becomes surer, never less sure."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from analysis.read import CHECKPOINTS, Reading, read
from analysis.read.camera import to_steady
from analysis.read.motion import clean_motion
from analysis.tracks import KEYPOINTS as K
from analysis.tracks import Tracks, load

DATA = Path(__file__).parent / "data"
FILMS = ("maple_right_chest", "cedar_right_back", "birch_right_catcher")
# An angle hangs on the pose as well: a knee put elsewhere may bend where bends are told a little less exactly.
ELSEWHERE = 1.1
# The whole strip is wanted, so that nothing is too coarse for it.
ANY = {entry.id: entry.scale for entry in CHECKPOINTS if entry.measure}


@lru_cache
def tracks_of(name: str) -> Tracks:
    return load(DATA / f"{name}.tracks.npz")


@lru_cache
def frame_of(name: str) -> int:
    frame = read(tracks_of(name)).swings[0].instants["foot_down"].frame
    assert frame is not None
    return frame


def seen_in_picture(name: str) -> np.ndarray:
    """Where the cleaned keypoints lie in each frame's own pixels, [F, 33, 2]."""
    motion = clean_motion(tracks_of(name))
    return to_steady(motion.steady, np.linalg.inv(motion.camera))


def shown(name: str, keypoint: int) -> tuple[float, float]:
    """Where a keypoint is seen when the foot is down, px."""
    x, y = seen_in_picture(name)[frame_of(name), keypoint]
    return float(x), float(y)


def knee(name: str, dx: float = 0.0, dy: float = 0.0) -> dict[str, Any]:
    """The front knee of a right-handed hitter, put so many pixels from where it is seen."""
    x, y = shown(name, K["left_knee"])
    return {"frame": frame_of(name), "keypoint": K["left_knee"], "x": x + dx, "y": y + dy}


def readings(name: str, *moves: dict[str, Any]) -> dict[str, Reading]:
    return {r.checkpoint: r for r in read(tracks_of(name), {"keypoints": list(moves)}, ANY).swings[0].readings}


def width(reading: Reading) -> float:
    assert reading.interval is not None
    return reading.interval[1] - reading.interval[0]


@pytest.mark.parametrize("name", FILMS)
def test_a_knee_dragged_away_and_back_reads_the_same_and_surer(name: str) -> None:
    before, after = (
        readings(name)["down_front_knee"],
        readings(name, knee(name, 30.0, 8.0), knee(name))["down_front_knee"],
    )
    assert after.value == pytest.approx(before.value, abs=0.5)
    assert width(after) < width(before)


@pytest.mark.parametrize("name", FILMS)
def test_no_reading_becomes_less_sure_by_a_knee_left_where_it_is(name: str) -> None:
    before, after = readings(name), readings(name, knee(name))
    for checkpoint, reading in before.items():
        if reading.interval is not None:
            assert after[checkpoint].value == pytest.approx(reading.value, abs=0.5 + 0.02 * abs(reading.value)), (
                checkpoint
            )
            assert width(after[checkpoint]) <= width(reading) * 1.001, checkpoint


@pytest.mark.parametrize("name", FILMS)
@pytest.mark.parametrize("shift", [(12.0, 0.0), (0.0, -10.0)])
def test_a_knee_put_elsewhere_is_as_sure(name: str, shift: tuple[float, float]) -> None:
    before, after = readings(name), readings(name, knee(name, *shift))
    for checkpoint in ("down_front_knee", "down_front_knee_inside", "contact_front_knee"):
        if before[checkpoint].interval is not None:
            assert width(after[checkpoint]) <= width(before[checkpoint]) * ELSEWHERE, checkpoint


def test_a_knee_placed_elsewhere_takes_its_readings_along() -> None:
    name = "maple_right_chest"  # the pitcher is to the right
    size = float(np.nanmedian(clean_motion(tracks_of(name)).height_px))
    before, after = readings(name), readings(name, knee(name, -0.05 * size))
    stride = before["down_stride_length"].value
    assert stride is not None
    moved = after["down_front_knee_inside"].value - before["down_front_knee_inside"].value
    assert 0.5 * 5.0 / stride * 100.0 < moved < 1.2 * 5.0 / stride * 100.0


def test_neighbouring_frames_learn_from_it_and_far_ones_hardly() -> None:
    name = "maple_right_chest"
    size = float(np.nanmedian(clean_motion(tracks_of(name)).height_px))
    before = readings(name)["down_front_knee_inside"].value
    moves = []
    for later in (0, 2, 40):
        move = knee(name, -0.05 * size)
        x, y = seen_in_picture(name)[frame_of(name) + later, K["left_knee"]]
        moves.append(move | {"frame": frame_of(name) + later, "x": float(x) - 0.05 * size, "y": float(y)})
    here, near, far = (readings(name, move)["down_front_knee_inside"].value - before for move in moves)
    assert here > near > far > -0.5


def test_a_joint_that_was_not_seen_is_read_where_it_is_put() -> None:
    name, heel = "maple_right_chest", K["left_heel"]
    tracks = load(DATA / f"{name}.tracks.npz")
    x, y = shown(name, heel)
    tracks.keypoints_px[:, heel] = np.nan
    swing = read(tracks).swings[0]
    hidden = swing.reading("down_foot_opening")
    move = {"frame": swing.instants["foot_down"].frame, "keypoint": heel, "x": x, "y": y}
    put = read(tracks, {"keypoints": [move]}).swings[0].reading("down_foot_opening")
    assert hidden.reason == "The parts of the body that this needs were not seen at this moment."
    assert put.reason != hidden.reason
