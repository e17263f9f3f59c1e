"""When the ball was hit, as far as the microphone tells: cracks in the sound, taken back by the time that sound takes."""

from __future__ import annotations

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import median_of_known
from analysis.read.context import Sound
from analysis.read.motion import Motion
from analysis.tracks import Tracks


def distance_m(motion: Motion, longer_side_px: float) -> float:
    """Rough distance from the phone to the hitter, from the hitter's size in the picture."""
    height = median_of_known(motion.height_px)
    if np.isnan(height):
        return float(np.mean(C.DISTANCE_LIMITS_M))
    rough = C.FOCAL_SHARE * longer_side_px * C.USUAL_HEIGHT_M / height
    return float(np.clip(rough, *C.DISTANCE_LIMITS_M))


def hear(tracks: Tracks, motion: Motion) -> Sound | None:
    """The cracks of a clip; None for a silent clip and for one in slow motion, whose sound is stretched or gone."""
    if motion.slowdown > 1.0 or not tracks.sound_peaks_s.size:
        return None
    delay = distance_m(motion, float(max(tracks.clip["width"], tracks.clip["height"]))) / C.SPEED_OF_SOUND
    return Sound(
        times=tracks.sound_peaks_s.astype(np.float64) - delay,
        strengths=tracks.sound_peak_strength.astype(np.float64),
        sd=float(np.hypot(C.DISTANCE_SHARE * delay, C.DEVICE_SD_S)),
        level_times=tracks.sound_time_s.astype(np.float64) - delay,
        level=tracks.sound_level.astype(np.float64),
    )
