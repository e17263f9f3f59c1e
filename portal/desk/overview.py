"""What the desk shows of a clip as a whole: where the hitter is, how loud it was, where its swings are."""

from __future__ import annotations

import logging
from typing import Any

import numpy as np
from numpy.typing import NDArray

from portal.desk.swings import result_of
from portal.intake.models import Clip
from portal.measuring.door import Tracks, TracksError, load_tracks

LOUDEST = 99  # the sound is sent in whole numbers, so that it stays under 2 kB
MOST_BARS = 400
ROOM = 0.06  # around the hitter, in shares of the hitter's own size

log = logging.getLogger(__name__)
Floats = NDArray[np.floating[Any]]


def overview(clip: Clip, swing: dict[str, Any] | None) -> dict[str, Any]:
    """Of the whole clip; without a readable track there is no box and no sound, and the desk works on.

    hitter  x0, y0, x1, y1 in upright pixels: hitter and bat over the frames of the swing; null where nobody was seen
    sound   the sound's level over equal shares of the clip's frames, 0 to 99; empty where it is silent
    """
    try:
        tracks = load_tracks(clip.measurement.tracks)
    except (OSError, TracksError) as error:
        log.warning("The track of clip %s cannot be shown as a whole: %s", clip.pk, error)
        return {"hitter": None, "sound": []}
    return {"hitter": hitter_box(tracks, swing), "sound": sound_bars(tracks)}


def hitter_box(tracks: Tracks, swing: dict[str, Any] | None) -> list[float] | None:
    first, last = (swing["start_frame"], swing["end_frame"]) if swing else (0, len(tracks.time_s) - 1)
    part = slice(first, last + 1)
    corners = np.concatenate([tracks.box_px[part].reshape(-1, 2), tracks.bat_px[part].reshape(-1, 2)])
    seen = corners[np.isfinite(corners).all(axis=1)]
    if not len(seen):
        return None
    low, high = seen.min(axis=0), seen.max(axis=0)
    room = ROOM * (high - low)
    size = np.array([tracks.clip["width"], tracks.clip["height"]], dtype=float)
    low, high = np.clip(low - room, 0.0, size), np.clip(high + room, 0.0, size)
    if (high - low < 1.0).any():
        return None
    return [round(float(value), 1) for value in (*low, *high)]


def sound_bars(tracks: Tracks) -> list[int]:
    """The greatest level within each share, so that the crack of contact is never lost between two bars."""
    time_s = tracks.time_s
    frames = len(time_s)
    if not len(tracks.sound_level) or not frames:
        return []
    level = np.nan_to_num(np.maximum(tracks.sound_level.astype(float), 0.0))
    if not level.max() > 0.0:
        return []
    count = min(frames, MOST_BARS)
    frame = np.searchsorted(time_s, tracks.sound_time_s, side="right") - 1
    inside = (frame >= 0) & (tracks.sound_time_s <= time_s[-1] + 1.0)
    bars = np.zeros(count)
    np.maximum.at(bars, np.minimum(frame[inside], frames - 1) * count // frames, level[inside])
    most = bars.max()
    return [round(LOUDEST * value / most) for value in bars] if most > 0.0 else []


def spans(clip: Clip) -> list[dict[str, Any]]:
    """Every swing of the clip by its frames, with the frames of its instants."""
    return [
        {
            "index": swing["index"], "start_frame": swing["start_frame"], "end_frame": swing["end_frame"],
            "instants": {name: one["frame"] for name, one in swing["instants"].items() if one["frame"] is not None},
        }
        for swing in result_of(clip).get("swings", [])
    ]  # fmt: skip
