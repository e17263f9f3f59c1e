"""Find home plate on the ground: a bright five-cornered shape with a plate's proportions near the hitter's feet."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from analysis.watch.pictures import Picture

# Official Baseball Rules 2.02: front edge 17 in, sides 8.5 in, back edges 12 in meeting in the apex. Inches; the apex
# is the origin, the front edge lies at y = 17. In order around: apex, right side, front right, front left, left side.
PLATE_IN = np.array([[0.0, 0.0], [8.5, 8.5], [8.5, 17.0], [-8.5, 17.0], [-8.5, 8.5]])
PLATE_HEIGHTS = (0.12, 0.45)  # width seen, in body heights: 17 in of 46 to 76 in, turned and nearer or farther
MAX_MISFIT = 0.035  # of the width seen: how far a corner may lie off the best view of a plate
BRIGHT, PALE = 150, 70  # least value, greatest saturation (0..255)

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Plate:
    """Home plate's corners [5, 2] px in the order of PLATE_IN, and the confidence 0..1; NaN and 0 when not seen."""

    corners_px: Floats
    confidence: float


NOT_SEEN = Plate(np.full((5, 2), np.nan), 0.0)


def find_plate(picture: Picture, scale: float, feet: Floats, height_px: float) -> Plate:
    """Find the plate in `picture` (the frame shrunk by `scale`).

    feet       [2] middle of the ankles in full pixels, in this picture's frame
    height_px  the hitter's standing height in full pixels
    """
    best = NOT_SEEN
    for outline in _bright_outlines(picture):
        corners = _five_corners(outline)
        if corners is None or not _near(corners / scale, feet, height_px):
            continue
        found = as_plate((sharpened(corners, outline) + 0.5) / scale)
        if found.confidence > best.confidence:
            best = found
    return best


def as_plate(corners: Floats) -> Plate:
    """Put five corners [5, 2], in order around a shape, into the plate's order; NOT_SEEN when it is no plate's view."""
    best, least = NOT_SEEN, np.inf
    width = float(np.ptp(corners[:, 0]))
    for around in (corners, corners[::-1]):
        for start in range(5):
            turned = np.roll(around, -start, axis=0)
            misfit = _misfit(turned) / width
            if misfit < least and _seen_from_above(turned):
                least = misfit
                best = Plate(turned, float(np.clip(1 - misfit / MAX_MISFIT, 0, 1)))
    return best if least < MAX_MISFIT else NOT_SEEN


def _bright_outlines(picture: Picture) -> list[NDArray[np.int32]]:
    tone = cv2.cvtColor(picture, cv2.COLOR_RGB2HSV)
    mask = ((tone[..., 2] >= BRIGHT) & (tone[..., 1] <= PALE)).astype(np.uint8) * 255
    outlines, _ = cv2.findContours(mask, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return [np.asarray(outline, dtype=np.int32) for outline in outlines if cv2.contourArea(outline) > 60]


def _five_corners(outline: NDArray[np.int32]) -> Floats | None:
    hull = cv2.convexHull(outline)
    if cv2.contourArea(outline) < 0.85 * cv2.contourArea(hull):
        return None
    around = cv2.arcLength(hull, True)
    for share in (0.012, 0.018, 0.025, 0.035):
        corners = cv2.approxPolyDP(hull, share * around, True).reshape(-1, 2)
        if len(corners) == 5:
            return corners.astype(np.float64)
    return None


def sharpened(corners: Floats, outline: NDArray[np.int32]) -> Floats:
    """Return the corners [5, 2] where lines fitted to the outline's sides meet: finer than any single pixel of it.

    corners  [5, 2] px; outline [N, 1, 2] whole px, around the plate. A side with too few pixels keeps its two corners.
    """
    pixels = outline.reshape(-1, 2).astype(np.float64)
    lines = [_side_line(corners[i], corners[(i + 1) % 5], pixels) for i in range(5)]
    found = corners.copy()
    for i in range(5):
        before, after = lines[i - 1], lines[i]
        if before is not None and after is not None:
            meeting = np.cross(before, after)
            place = meeting[:2] / meeting[2] if abs(meeting[2]) > 1e-9 else corners[i]
            if np.linalg.norm(place - corners[i]) < 0.1 * np.ptp(corners[:, 0]):
                found[i] = place
    return found


def _side_line(start: Floats, end: Floats, pixels: Floats) -> Floats | None:
    """Fit a line a x + b y + c = 0 to the pixels along the middle of a side."""
    span = end - start
    length = float(np.linalg.norm(span))
    along = (pixels - start) @ span / length**2
    off = np.abs((pixels - start) @ np.array([-span[1], span[0]])) / length**2
    side = pixels[(along > 0.12) & (along < 0.88) & (off < 0.08)]
    if len(side) < 6:
        return None
    middle = side.mean(axis=0)
    normal = np.linalg.eigh(np.cov((side - middle).T))[1][:, 0]
    return np.array([normal[0], normal[1], -normal @ middle])


def _near(corners: Floats, feet: Floats, height: float) -> bool:
    middle, width = corners.mean(axis=0), float(np.ptp(corners[:, 0]))
    off = (middle - feet) / height
    fits = PLATE_HEIGHTS[0] * height <= width <= PLATE_HEIGHTS[1] * height
    return bool(fits and abs(off[0]) < 0.9 and -0.3 < off[1] < 0.6 and np.ptp(corners[:, 1]) < 0.9 * width)


def _misfit(corners: Floats) -> float:
    """Return the root mean square distance of `corners` from the best perspective view of a plate, px."""
    view, _ = cv2.findHomography(PLATE_IN.astype(np.float32), corners.astype(np.float32))
    if view is None:
        return float("inf")
    seen = np.column_stack([PLATE_IN, np.ones(5)]) @ np.asarray(view).T
    if np.any(seen[:, 2] * seen[0, 2] <= 0):
        return float("inf")
    return float(np.sqrt(np.mean(np.sum((seen[:, :2] / seen[:, 2:] - corners) ** 2, axis=1))))


def _seen_from_above(corners: Floats) -> bool:
    """Say whether the corners run around as a plate's do for an eye above the ground, and not mirrored."""
    x, y = corners.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) < 0  # y is down in the picture, up in PLATE_IN
