"""What a frame shows around the hands, laid out by direction and distance: what the bat's network looks at.

A bat is a bar from the hands outward: laid out this way it is a short row along one direction, wherever it points.
"""

from __future__ import annotations

from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from analysis.watch.pictures import Picture

__all__ = ["CHANNELS", "DIRECTIONS", "REACH", "RINGS", "grid", "look_around", "sample"]

DIRECTIONS, RINGS = 120, 24  # of what the network looks at: 3 degrees, clockwise from the picture's +x axis (y down)
FINE = 2  # pictures are laid out this much finer, then averaged
REACH: Final = 0.75  # standing heights: a bat, and how far beside the hands it may be looked for
CHANNELS = 5
# Grey levels that count as full evidence, and medians of change that are grain and a shaking camera (no source; the network
# is fitted to what comes of them).
FULL_BAR, FULL_CHANGE, FULL_APART, USUAL_NOISE = 40.0, 40.0, 60.0, 2.0
LIMB_WIDTH, BODY_WIDTH = 0.035, 0.07  # standing heights
ARMS = ((11, 13), (13, 15), (12, 14), (14, 16))
BODY = ((11, 12), (11, 23), (12, 24), (23, 24), (23, 25), (25, 27), (24, 26), (26, 28), (0, 11), (0, 12), (7, 8))

Floats = NDArray[np.float64]
Layout = NDArray[np.float32]


def grid() -> Floats:
    """Places [DIRECTIONS * FINE, RINGS * FINE, 2] around the origin, standing heights."""
    angle = (np.arange(DIRECTIONS * FINE) + 0.5) * (2 * np.pi / (DIRECTIONS * FINE))
    radius = (np.arange(RINGS * FINE) + 0.5) / (RINGS * FINE) * REACH
    return np.stack([np.cos(angle)[:, None] * radius, np.sin(angle)[:, None] * radius], axis=-1)


GRID: Final = grid()
MIDDLES: Final = GRID.reshape(DIRECTIONS, FINE, RINGS, FINE, 2).mean(axis=(1, 3))


def sample(picture: Picture, places: Floats, interpolation: int = cv2.INTER_LINEAR) -> Layout:
    """The picture's values at places [A, R, 2], px."""
    at = places.astype(np.float32)
    found = cv2.remap(picture, at[..., 0], at[..., 1], interpolation, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(found, dtype=np.float32)


def look_around(
    here: Layout, before: Layout | None, after: Layout | None, behind: Layout | None, limbs: Floats
) -> NDArray[np.uint8]:
    """What the network looks at [CHANNELS, DIRECTIONS, RINGS]: bars, movement, what is not background, arms, body.

    here, before, after   the frame and its neighbours in time laid out on the same places [A, R, 3]; None where there is none
    behind                the still background likewise; NaN where it is not known
    limbs                 keypoints [33, 2] from the hands' middle, standing heights
    """
    rows = np.empty((3, *here.shape[:2]), np.float32)
    rows[0] = bar_contrast(here) / FULL_BAR
    rows[1] = movement(here, before, after) / FULL_CHANGE
    rows[2] = 1.0 if behind is None else np.nan_to_num(change(here, behind) / FULL_APART, nan=1.0)
    look = np.empty((CHANNELS, DIRECTIONS, RINGS), np.float32)
    look[:3] = np.minimum(rows, 1.0).reshape(3, DIRECTIONS, FINE, RINGS, FINE).mean(axis=(2, 4))
    look[3], look[4] = nearness(MIDDLES, limbs, ARMS, LIMB_WIDTH), nearness(MIDDLES, limbs, BODY, BODY_WIDTH)
    return np.asarray(look * 255 + 0.5, dtype=np.uint8)


def bar_contrast(laid: Layout) -> Layout:
    """Contrast [A, R] of a thin bar against both its sides, the weaker side counting, grey levels."""
    room = 16
    around = np.concatenate([laid[-room:], laid, laid[:room]])
    best = np.zeros(laid.shape[:2], np.float32)
    for half in (1, 2, 4):
        middle = cv2.blur(around, (1, 2 * half + 1))
        side = 2 * half + 2
        here = middle[room:-room]
        left, right = here - middle[room - side : -room - side], here - middle[room + side : len(middle) - room + side]
        weaker = np.where(left * right > 0, np.minimum(np.abs(left), np.abs(right)), 0.0)
        np.maximum(best, _strongest(weaker), out=best)
    return best


def movement(laid: Layout, before: Layout | None, after: Layout | None) -> Layout:
    """How much is here now [A, R] that is neither just before nor just after, grey levels beyond the usual."""
    changes = [_strongest(np.abs(laid - other)) for other in (before, after) if other is not None]
    return _beyond_usual(np.minimum.reduce(changes)) if changes else np.zeros(laid.shape[:2], np.float32)


def change(laid: Layout, behind: Layout) -> Layout:
    """How unlike the background each place is [A, R], grey levels beyond the usual; NaN where that is not known."""
    return _beyond_usual(_strongest(np.abs(laid - behind)))


def _strongest(colours: Layout) -> Layout:
    """The largest value of three colours [A, R, 3] at each place: a third of the time that a maximum over so short an axis takes."""
    return np.maximum(np.maximum(colours[..., 0], colours[..., 1]), colours[..., 2])


def _beyond_usual(values: Layout) -> Layout:
    known = values[np.isfinite(values)]
    usual = np.median(known) if known.size else 0.0
    return np.asarray(np.maximum(values - USUAL_NOISE * usual, 0.0), dtype=np.float32)


def nearness(places: Floats, limbs: Floats, bones: tuple[tuple[int, int], ...], width: float) -> Layout:
    """How near each place lies to a bone, 1 on it, falling off over `width` standing heights; limbs [33, 2]."""
    starts, ends = limbs[[a for a, _ in bones]], limbs[[b for _, b in bones]]
    bone = (ends - starts).astype(np.float32)
    length = np.maximum((bone**2).sum(axis=1), 1e-6)
    flat = places.reshape(-1, 2).astype(np.float32)
    nearest = np.full(len(flat), np.inf, np.float32)
    for start, direction, size in zip(starts.astype(np.float32), bone, length, strict=True):
        off = flat - start
        along = np.clip((off @ direction) / size, 0, 1)
        off -= along[:, None] * direction
        np.minimum(nearest, off[:, 0] ** 2 + off[:, 1] ** 2, out=nearest)
    return np.asarray(np.exp(-0.5 * nearest / width**2).reshape(places.shape[:2]), dtype=np.float32)
