"""What watching would have seen beside the body, and through a phone in somebody's hand.

Clips are drawn with a body alone, by a camera that stands still. The bat's two ends are known for every frame, and a plate lies where the
ball was met; both are put into the tracks with errors of the size that was measured elsewhere, drawn by the clip's number. A camera that
turns about itself moves every pixel by a homography, whatever it shows; so a clip's tracks can be turned as a hand would have turned them.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from scipy.spatial.transform import Rotation

from analysis.read.ground import PLATE_IN
from analysis.read.lift import JOINTS
from analysis.tracks import Tracks

from .store import Kept

__all__ = ["bat_seen", "held_by_hand", "plate_corners", "plate_seen"]

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
# How a hand turns a phone: degrees about the picture's two axes and about the way it looks (deviation), at so many times a second.
SWAY, SWAY_HZ = (0.8, 0.8, 0.5), (0.2, 2.5)
FOLLOWED_PX = 0.5  # px, how far beside itself the camera's turn is found (deviation, a frame)


def bat_seen(clip: Kept, tracks: Tracks) -> Tracks:
    """The tracks of a swing with the bat as it would have been found, a line in some frames; as they are where it was looked for."""
    if clip.bat_px is not None:
        return tracks
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


def held_by_hand(clip: Kept, tracks: Tracks) -> Tracks:
    """The tracks of a clip as a phone in somebody's hand would have left them, its turns found and taken out but for an error."""
    rng = np.random.default_rng([9, clip.number])
    matrix = np.array([[clip.focal, 0.0, clip.size[0] / 2.0], [0.0, clip.focal, clip.size[1] / 2.0], [0.0, 0.0, 1.0]])
    turns = Rotation.from_rotvec(np.radians(_sway(rng, tracks.time_s)))
    turned = matrix @ turns.as_matrix() @ np.linalg.inv(matrix)
    keypoints = _turned(turned, tracks.keypoints_px)
    back = np.linalg.inv(turned)
    error = np.tile(np.eye(3), (len(back), 1, 1))
    error[:, :2, 2] = rng.normal(0.0, FOLLOWED_PX, (len(back), 2))
    camera = error @ (back / back[:, 2:, 2:])
    world = np.einsum("fij,fkj->fki", turns.as_matrix(), tracks.world_m)
    return replace(
        tracks,
        keypoints_px=keypoints.astype(np.float32),
        world_m=world.astype(np.float32),
        bat_px=_turned(turned, tracks.bat_px).astype(np.float32),
        box_px=np.concatenate([np.nanmin(keypoints, axis=1), np.nanmax(keypoints, axis=1)], axis=1).astype(np.float32),
        camera=camera.astype(np.float32),
    )


def _turned(turned: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Points [F, K, 2] through each frame's homography [F, 3, 3]."""
    moved = np.einsum("fij,fkj->fki", turned, np.concatenate([points, np.ones((*points.shape[:2], 1))], axis=2))
    return np.asarray(moved[..., :2] / moved[..., 2:])


def _sway(rng: np.random.Generator, times: np.ndarray) -> np.ndarray:
    """Turns [F, 3], degrees, 0 in the first frame: slow ones that are large, and quick ones that are small."""
    hertz = np.geomspace(*SWAY_HZ, 6)
    phases = rng.uniform(0.0, 2.0 * np.pi, (3, len(hertz)))
    waves = np.sin(2.0 * np.pi * hertz[:, None] * times + phases[..., None]) / hertz[:, None] ** 0.5
    waves = waves.sum(axis=1) / np.sqrt(0.5 * (1.0 / hertz).sum())
    return np.asarray(((waves - waves[:, :1]) * np.array(SWAY)[:, None]).T)


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
