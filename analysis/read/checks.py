"""Film checks: is the clip good enough to measure, and if not, what to do differently."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array, Frames
from analysis.read.motion import Motion
from analysis.read.result import FilmCheck
from analysis.read.swings import Candidate
from analysis.tracks import KEYPOINTS as K
from analysis.tracks import Tracks

__all__ = ["check_film"]


FEET: Final = tuple(K[f"{side}_{part}"] for side in ("left", "right") for part in ("ankle", "heel", "toe"))
BODY: Final = tuple(K[f"{side}_{part}"] for side in ("left", "right") for part in ("shoulder", "hip", "knee", "wrist"))


def check_film(tracks: Tracks, motion: Motion, swings: Sequence[Candidate], contacts: int) -> tuple[FilmCheck, ...]:
    """All checks, passed or not, in the order in which a family would deal with them."""
    frames = _swing_frames(swings, tracks.frames)
    return (
        _swings(swings, contacts),
        _fps(tracks),
        _size(motion, frames),
        _whole_body(tracks, frames),
        _feet(tracks, frames),
        _steady(motion, frames),
        _sound(tracks),
        *_times(tracks),
    )


def _swings(swings: Sequence[Candidate], contacts: int) -> FilmCheck:
    if not swings:
        return FilmCheck(
            "swings", False, "No swing was found. Film from before the load until after the finish, and try again."
        )
    if not contacts:
        return FilmCheck("swings", False, "The swing stops before contact. Please film a full swing.")
    count = len(swings)
    return FilmCheck("swings", True, "One swing was found." if count == 1 else f"{count} swings were found.")


def _fps(tracks: Tracks) -> FilmCheck:
    rate = tracks.clip["measured_fps"] or tracks.clip["nominal_fps"] or 0.0
    if rate >= C.GOOD_FPS:
        return FilmCheck("fps", True, f"{rate:.0f} frames a second: quick enough for a swing.")
    return FilmCheck(
        "fps",
        False,
        f"The film has {rate:.0f} frames a second, so contact falls between two of them. "
        "Set the phone's camera to 60 or more, or to slow motion.",
    )


def _size(motion: Motion, frames: Frames) -> FilmCheck:
    height = _median(motion.height_px[frames])
    if height >= C.GOOD_HEIGHT_PX:
        return FilmCheck("size", True, "The hitter is large enough in the picture.")
    return FilmCheck(
        "size", False, "The hitter is small in the picture. Go closer, until the whole body nearly fills its height."
    )


def _whole_body(tracks: Tracks, frames: Frames) -> FilmCheck:
    if _share_inside(tracks, frames, BODY) >= C.GOOD_SHARE:
        return FilmCheck("whole_body", True, "The whole body stays in the picture.")
    return FilmCheck(
        "whole_body", False, "Part of the body leaves the picture or is hidden. Leave some room on every side."
    )


def _feet(tracks: Tracks, frames: Frames) -> FilmCheck:
    if _share_inside(tracks, frames, FEET) >= C.GOOD_SHARE:
        return FilmCheck("feet", True, "Both feet stay in the picture.")
    return FilmCheck(
        "feet", False, "The feet are cut off or hidden. Tilt the phone down until some ground shows below them."
    )


def _steady(motion: Motion, frames: Frames) -> FilmCheck:
    # Where the middle of the first frame's picture goes is how far the camera turned.
    shift = motion.camera[frames][:, :2, 2]
    wander = float(np.max(np.ptp(shift, axis=0), initial=0.0)) if len(shift) else 0.0
    if wander <= C.STEADY_SHARE * _median(motion.height_px[frames]) or not np.isfinite(wander):
        return FilmCheck("steady", True, "The camera is steady.")
    return FilmCheck(
        "steady", False, "The camera moves during the swing. Lean the phone on something, or use a tripod."
    )


def _sound(tracks: Tracks) -> FilmCheck:
    if tracks.clip["has_sound"] and tracks.sound_time_s.size:
        return FilmCheck("sound", True, "There is sound to hear contact by.")
    return FilmCheck("sound", False, "There is no sound. With sound, contact is found much more exactly.")


def _times(tracks: Tracks) -> tuple[FilmCheck, ...]:
    """Said only where there is something to say: nearly every film's times are in order."""
    mended = tracks.clip.get("mended_times", 0)
    if not mended:
        return ()
    words = "frame had a time stamp" if mended == 1 else "frames had time stamps"
    return (
        FilmCheck(
            "times",
            False,
            f"{mended} {words} out of order in the file; put in order here, they may be a frame off. "
            "Send the clip as the phone recorded it, not one that an app worked on.",
        ),
    )


def _swing_frames(swings: Sequence[Candidate], count: int) -> Frames:
    """Frames of all swings, or of the whole clip where there is none."""
    if not swings:
        return np.arange(count)
    return np.unique(np.concatenate([np.arange(swing.start, swing.end + 1) for swing in swings]))


def _share_inside(tracks: Tracks, frames: Frames, keypoints: tuple[int, ...]) -> float:
    """Share of frames in which all these keypoints are seen and inside the picture."""
    size = np.array([tracks.clip["width"], tracks.clip["height"]], dtype=float)
    places = tracks.keypoints_px[frames][:, list(keypoints)] / size
    inside = np.all((places > C.EDGE_SHARE) & (places < 1.0 - C.EDGE_SHARE), axis=(1, 2))
    return float(inside.mean()) if inside.size else 0.0


def _median(row: Array) -> float:
    seen = row[np.isfinite(row)]
    return float(np.median(seen)) if seen.size else 0.0
