"""Keypoints and bat of a stretch of frames, small enough to send: what the desk draws over the film."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from portal.measuring.door import load_tracks, usable_camera
from portal.measuring.models import Measurement

MOST_FRAMES = 600
Floats = NDArray[np.floating[Any]]


def stretch(measurement: Measurement, first: int, last: int) -> dict[str, Any]:
    """Frames `first` to `last` (inclusive, cut at the clip's ends and after 600 frames).

    With the coach's corrections laid over. Positions are upright clip pixels:

    points   per frame 33 rows [x, y, visibility], null where nothing was seen
    bat      per frame [[x, y] knob, [x, y] barrel], null where it was not surely seen
    box      per frame [x0, y0, x1, y1] or null
    camera   per frame the homography to the reference frame's pixels, nine numbers row by row; null for a frame that
             shows what the reference frame shows
    """
    tracks = load_tracks(measurement.tracks)
    frames = len(tracks.time_s)
    first = min(max(first, 0), frames - 1)
    last = min(max(last, first), frames - 1, first + MOST_FRAMES - 1)
    part = slice(first, last + 1)
    seen = np.concatenate([tracks.keypoints_px[part], tracks.visibility[part][..., None]], axis=2)
    bats = np.where(tracks.bat_is_sure[part, None, None], tracks.bat_px[part], np.nan)
    _put_in_place(seen, bats, first, measurement.corrections or {})
    return {
        "first": first,
        "last": last,
        "points": [_rows(points, 2) for points in seen],
        "bat": [_rows(bat, 1) for bat in bats],
        "box": [_row(box, 0) for box in tracks.box_px[part]],
        "camera": [_homography(camera) for camera in usable_camera(tracks.camera)[part]],
    }


def _put_in_place(seen: Floats, bats: Floats, first: int, corrections: dict[str, Any]) -> None:
    """Lay over what the coach put in place; frames outside the stretch are left alone."""
    for move in corrections.get("keypoints") or []:
        if 0 <= move["frame"] - first < len(seen):
            seen[move["frame"] - first, move["keypoint"]] = (move["x"], move["y"], 1.0)
    for move in corrections.get("bat") or []:
        if 0 <= move["frame"] - first < len(bats):
            bats[move["frame"] - first] = (move["knob"], move["barrel"])


def _homography(camera: Floats) -> list[float] | None:
    return None if np.array_equal(camera, np.eye(3)) else [float(f"{value:.9g}") for value in camera.flat]


def _rows(rows: Floats, places: int) -> list[list[float] | None] | None:
    """Rows of finite numbers; null for a row that is not, null for all when none is."""
    cleaned = [_row(row, places) for row in rows]
    return cleaned if any(row is not None for row in cleaned) else None


def _row(row: Floats, places: int) -> list[float] | None:
    return [round(float(value), places) for value in row] if np.isfinite(row).all() else None
