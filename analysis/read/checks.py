"""Film checks: is the clip good enough to measure, and if not, what to do differently."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Frames, median_of_known
from analysis.read.motion import Motion
from analysis.read.result import FilmCheck
from analysis.read.swings import Candidate
from analysis.tracks import KEYPOINTS as K
from analysis.tracks import Tracks

FEET: Final = tuple(K[f"{side}_{part}"] for side in ("left", "right") for part in ("ankle", "heel", "toe"))
BODY: Final = tuple(K[f"{side}_{part}"] for side in ("left", "right") for part in ("shoulder", "hip", "knee", "wrist"))
# What is said when a check is passed, and when it is not.
_WORDS: Final = {
    "fps": (
        "{rate:.0f} frames a second: quick enough for a swing.",
        (
            "The film has {rate:.0f} frames a second, so contact falls between two of them. "
            "Set the phone's camera to 60 or more, or to slow motion."
        ),
    ),
    "size": (
        "The hitter is large enough in the picture.",
        "The hitter is small in the picture. Go a step or two closer: the whole body, with a little room around it.",
    ),
    "whole_body": (
        "The whole body stays in the picture.",
        "Part of the body leaves the picture or is hidden. Leave some room on every side.",
    ),
    "feet": (
        "Both feet stay in the picture.",
        "The feet are cut off or hidden. Tilt the phone down until some ground shows below them.",
    ),
    "steady": (
        "The camera is steady.",
        "The camera moves during the swing. Lean the phone on something, or use a tripod.",
    ),
    "sound": (
        "There is sound to hear contact by.",
        "There is no sound. With sound, contact is found much more exactly.",
    ),
}
_FPS_OF_SLOWED: Final = (
    "The film seems slowed, with {rate:.0f} frames for each second of the swing: quick enough.",
    (
        "The film seems slowed, and still has only {rate:.0f} frames for each second of the swing. "
        "Set the phone's camera to 60 a second or more, or to slow motion."
    ),
)


def check_film(tracks: Tracks, motion: Motion, swings: Sequence[Candidate], contacts: int) -> tuple[FilmCheck, ...]:
    """All checks, passed or not, in the order in which a family would deal with them."""
    # Of all swings, or of the whole clip where there is none.
    spans = [np.arange(swing.start, swing.end + 1) for swing in swings] or [np.arange(tracks.frames)]
    frames = np.unique(np.concatenate(spans))
    # Of a slowed film the frames for each second of the swing count, not those for each second of the film.
    rate = (tracks.clip["measured_fps"] or tracks.clip["nominal_fps"] or 0.0) * motion.slowdown
    height = float(np.nan_to_num(median_of_known(motion.height_px[frames])))
    # Where the middle of the first frame's picture goes is how far the camera turned.
    shift = motion.camera[frames][:, :2, 2]
    wander = float(np.max(np.ptp(shift, axis=0), initial=0.0)) if len(shift) else 0.0
    passed = {
        "fps": rate >= C.GOOD_FPS,
        "size": height >= C.GOOD_HEIGHT_PX,
        "whole_body": _share_inside(tracks, frames, BODY) >= C.GOOD_SHARE,
        "feet": _share_inside(tracks, frames, FEET) >= C.GOOD_SHARE,
        "steady": wander <= C.STEADY_SHARE * height or not np.isfinite(wander),
        "sound": bool(tracks.clip["has_sound"] and tracks.sound_time_s.size),
    }
    words = _WORDS | ({"fps": _FPS_OF_SLOWED} if motion.slowdown > 1.0 else {})
    told = [FilmCheck(name, ok, words[name][not ok].format(rate=rate)) for name, ok in passed.items()]
    return (_swings(swings, contacts), *told, *_times(tracks))


def _swings(swings: Sequence[Candidate], contacts: int) -> FilmCheck:
    if not swings:
        words = "No swing was found. Film from before the load until after the finish, and try again."
    elif not contacts:
        words = "The swing stops before contact. Please film a full swing."
    else:
        words = "One swing was found." if len(swings) == 1 else f"{len(swings)} swings were found."
    return FilmCheck("swings", bool(swings and contacts), words)


def _times(tracks: Tracks) -> tuple[FilmCheck, ...]:
    """Said only where there is something to say: nearly every film's times are in order."""
    mended = tracks.clip.get("mended_times", 0)
    if not mended:
        return ()
    count = f"{mended} frame had a time stamp" if mended == 1 else f"{mended} frames had time stamps"
    words = f"{count} out of order in the file; put in order here, they may be a frame off. "
    return (FilmCheck("times", False, words + "Send the clip as the phone recorded it, not one that an app worked on."),)


def _share_inside(tracks: Tracks, frames: Frames, keypoints: tuple[int, ...]) -> float:
    """Share of frames in which all these keypoints are seen and inside the picture."""
    size = np.array([tracks.clip["width"], tracks.clip["height"]], dtype=float)
    places = tracks.keypoints_px[frames][:, list(keypoints)] / size
    inside = np.all((places > C.EDGE_SHARE) & (places < 1.0 - C.EDGE_SHARE), axis=(1, 2))
    return float(inside.mean()) if inside.size else 0.0
