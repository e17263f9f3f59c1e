"""When the ball was hit, as far as the microphone tells: cracks in the sound, taken back by the way of the sound."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.camera import FOCAL_SHARE
from analysis.read.context import Sound
from analysis.read.motion import Motion
from analysis.tracks import Tracks

__all__ = ["distance_m", "hear", "loud_cracks"]

SPEED_OF_SOUND: Final = 343.0  # m/s in air of 20 °C: 2.9 ms for each metre

USUAL_HEIGHT_M: Final = 1.5
DISTANCE_LIMITS_M: Final = (2.0, 25.0)
# How wrong the distance may be, as a share: zoom and the hitter's size are not known (125 swings drawn to tune by).
DISTANCE_SHARE: Final = 0.7
# A bat on a ball is one of the loudest cracks of a clip: at least so strong, of the strongest.
LOUD_SHARE: Final = 0.5
# Sound and picture of one phone are offset by up to about this, s (from memory).
DEVICE_SD_S: Final = 0.006


def distance_m(motion: Motion, longer_side_px: float) -> float:
    """Rough distance from the phone to the hitter, from the hitter's size in the picture."""
    seen = motion.height_px[np.isfinite(motion.height_px)]
    if not seen.size:
        return float(np.mean(DISTANCE_LIMITS_M))
    rough = FOCAL_SHARE * longer_side_px * USUAL_HEIGHT_M / float(np.median(seen))
    return float(np.clip(rough, *DISTANCE_LIMITS_M))


def hear(tracks: Tracks, motion: Motion, slowdown: float) -> Sound | None:
    """The cracks of a clip; None for a silent clip and for one in slow motion, whose sound is stretched or gone."""
    if slowdown > 1.0 or not tracks.sound_peaks_s.size:
        return None
    way = distance_m(motion, float(max(tracks.clip["width"], tracks.clip["height"]))) / SPEED_OF_SOUND
    return Sound(
        times=tracks.sound_peaks_s.astype(np.float64) - way,
        strengths=tracks.sound_peak_strength.astype(np.float64),
        sd=float(np.hypot(DISTANCE_SHARE * way, DEVICE_SD_S)),
        level_times=tracks.sound_time_s.astype(np.float64) - way,
        level=tracks.sound_level.astype(np.float64),
    )


def loud_cracks(sound: Sound | None) -> NDArray[np.float64]:
    """Film times of the loudest cracks, s."""
    if sound is None or not sound.times.size:
        return np.zeros(0)
    return np.asarray(sound.times[sound.strengths >= LOUD_SHARE * sound.strengths.max()])
