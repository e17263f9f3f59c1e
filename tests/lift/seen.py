"""What watching would have seen beside the body: the bat, and home plate, as far off as they are found in pictures.

Clips are drawn with a body alone. The bat's two ends are known for every frame, and a plate lies where the ball was met; both are put
into the tracks with errors of the size that was measured elsewhere, drawn by the clip's number.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from analysis.read.ground import PLATE_IN
from analysis.read.lift import JOINTS
from analysis.tracks import Tracks

from .store import Kept

__all__ = ["bat_seen", "plate_corners", "plate_seen"]

INCH = 0.0254
FEET = [JOINTS.index(f"{side}_{part}") for side in ("left", "right") for part in ("heel", "toe")]
SOLE = 0.012  # m, below the marks of the feet
# Of the bat's judging clips (README.md): six in ten frames show a line that counts, 1.8 degrees off on average.
SHOWN, BAT_TURN_SD = 0.6, 2.2
# Of the rendered films of tests/films: how long a line is beside the bat, and how far its knob sits beside it, in standing heights.
BAT_LENGTH_SD, KNOB_SD = 0.06, 0.015
RUN = 7  # frames, in which the bat is seen or not for the same reason
CORNER_SD = 1.5  # px, as a hand puts a corner of the plate
AHEAD = 0.25  # m: the ball is met so far in front of the plate's front edge


def bat_seen(clip: Kept, tracks: Tracks) -> Tracks:
    """The tracks of a swing with the bat as it would have been found, a line in some frames."""
    rng = np.random.default_rng([7, clip.number])
    frames, ends = len(clip.times), _pixels(clip, clip.bat)
    height = clip.height * clip.focal / clip.joints[:, :2, 2].mean()
    level = np.convolve(rng.normal(size=frames + RUN - 1), np.ones(RUN) / RUN**0.5, "valid")
    shown = level < np.quantile(level, SHOWN)
    knob = ends[:, 0] + rng.normal(0, KNOB_SD * height, (frames, 2))
    turn = np.radians(rng.normal(0, BAT_TURN_SD, frames))
    way = (ends[:, 1] - ends[:, 0]) * rng.normal(1.0, BAT_LENGTH_SD, (frames, 1))
    x, y = way.T
    way = np.stack([np.cos(turn) * x - np.sin(turn) * y, np.sin(turn) * x + np.cos(turn) * y], axis=1)
    line = np.where(shown[:, None, None], np.stack([knob, knob + way], axis=1), np.nan)
    chance = np.where(shown, 0.9, 0.0)
    return replace(
        tracks,
        watch=tracks.watch | {"version": 2},
        bat_px=line.astype(np.float32),
        bat_confidence=chance.astype(np.float32),
    )


def plate_seen(clip: Kept, tracks: Tracks) -> Tracks:
    """The tracks of a swing with home plate's corners found."""
    rng = np.random.default_rng([8, clip.number])
    corners = plate_corners(clip) + rng.normal(0, CORNER_SD, (5, 2))
    return replace(tracks, plate_px=corners.astype(np.float32), plate_confidence=1.0)


def plate_corners(clip: Kept) -> np.ndarray:
    """Corners [5, 2] in the picture, px, of a plate over whose middle the bat's sweet spot passes when the ball is met, AHEAD of it."""
    field = clip.axes  # rows: toward the pitcher, up, from the hitter toward the plate
    place = int(np.argmin(np.abs(clip.times - clip.contact)))
    knob, barrel = clip.bat[place] @ field.T
    met = knob + 0.75 * (barrel - knob)
    ground = (clip.joints[:, FEET] @ field.T)[..., 1].min() - SOLE
    ahead, right = PLATE_IN.T * INCH
    # To the right as the catcher sees it: for a right-handed hitter that is from the hitter toward the plate.
    across = -right if clip.mirrored else right
    corners = np.stack([met[0] - AHEAD - ahead.max() + ahead, np.full(5, ground), met[2] + across], axis=1)
    return _pixels(clip, corners @ field)


def _pixels(clip: Kept, places: np.ndarray) -> np.ndarray:
    """Places [..., 3] in metres on the camera's axes, in the picture, px."""
    return np.asarray(places[..., :2] / places[..., 2:] * clip.focal + np.array(clip.size) / 2.0)
