"""What stands still behind the hitter: the middle value of every place over pictures spread through the clip."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from analysis.watch.pictures import Picture

PICTURES = 14
SIDE = 640  # px of the longer side of a picture kept
MIN_PICTURES = 5
MIN_LOOKS = 3  # pictures that must have seen a place for it to be known
LARGEST = 2.2  # of a picture's side: how far a panned background may reach

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Backdrop:
    """The background: picture [h, w, 3], where it is known [h, w] (255 or 0), and the homography from its pixels to the first frame's."""

    picture: Picture
    known: Picture
    to_first: Floats

    def at(self, places: Floats) -> NDArray[np.float32]:
        """Return the background's colours at `places` [A, B, 2], full pixels of the first frame; NaN where it is not known."""
        from_first = np.linalg.inv(self.to_first)
        moved = places @ from_first[:, :2].T + from_first[:, 2]
        at = (moved[..., :2] / moved[..., 2:]).astype(np.float32)
        seen = cv2.remap(self.picture, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        known = cv2.remap(self.known, at[..., 0], at[..., 1], cv2.INTER_NEAREST, borderMode=cv2.BORDER_CONSTANT)
        return np.where(known[..., None] > 0, seen.astype(np.float32), np.float32(np.nan))


class Background:
    """Takes pictures in frame order; keeps few of them, evenly spread, however long the clip."""

    def __init__(self, scale: float) -> None:
        """`scale` is how far the pictures given are shrunk."""
        self._scale = scale
        self._kept: list[tuple[int, Picture]] = []
        self._every, self._count = 1, 0

    def wants(self) -> bool:
        """Say whether the next picture would be kept: only then it need be made."""
        return self._count % self._every == 0

    def add(self, picture: Picture | None) -> None:
        """Take the next frame's picture [H, W, 3], shrunk by the scale; None where it was not wanted."""
        if picture is not None:
            self._kept.append((self._count, picture))
            if len(self._kept) > PICTURES:
                self._kept, self._every = self._kept[::2], 2 * self._every
        self._count += 1

    def backdrop(self, camera: Floats) -> Backdrop | None:
        """Return the background for the camera's mappings [F, 3, 3], or None with too few pictures."""
        if len(self._kept) < MIN_PICTURES:
            return None
        height, width = self._kept[0][1].shape[:2]
        grow = np.diag([1 / self._scale, 1 / self._scale, 1.0])  # from a kept picture's pixels to full ones
        homographies = [np.linalg.inv(grow) @ camera[index] @ grow for index, _ in self._kept]
        left, top, right, bottom = _reach(homographies, width, height)
        to_canvas = np.array([[1.0, 0, -left], [0, 1.0, -top], [0, 0, 1.0]])
        size = (int(right - left), int(bottom - top))
        stack, seen = [], []
        for homography, (_, picture) in zip(homographies, self._kept, strict=True):
            stack.append(cv2.warpPerspective(picture, to_canvas @ homography, size, flags=cv2.INTER_LINEAR))
            white = np.full((height, width), 255, np.uint8)
            seen.append(cv2.warpPerspective(white, to_canvas @ homography, size, flags=cv2.INTER_NEAREST) > 0)
        picture, looks = _middle(np.stack(stack), np.stack(seen))
        known = np.where(looks >= min(MIN_LOOKS, len(stack)), 255, 0).astype(np.uint8)
        return Backdrop(picture, known, grow @ np.linalg.inv(to_canvas))


def _middle(stack: NDArray[np.uint8], seen: NDArray[np.bool_]) -> tuple[Picture, NDArray[np.int_]]:
    """Return the middle value of each place over the pictures that saw it, and how many did."""
    looks = seen.sum(axis=0)
    if seen.all():
        return np.median(stack, axis=0).astype(np.uint8), looks
    # Unseen places sort to the end; the middle of those seen then lies at half their count.
    ordered = np.sort(np.where(seen[..., None], stack, 255), axis=0)
    place = np.broadcast_to((np.maximum(looks, 1) // 2)[None, ..., None], (1, *stack.shape[1:]))
    return np.take_along_axis(ordered, place, axis=0)[0].astype(np.uint8), looks


def _reach(homographies: list[Floats], width: int, height: int) -> tuple[float, float, float, float]:
    corners = np.array([[0, 0, 1], [width, 0, 1], [0, height, 1], [width, height, 1]], dtype=np.float64).T
    placed = np.stack([homography @ corners for homography in homographies])
    x, y = placed[:, 0] / placed[:, 2], placed[:, 1] / placed[:, 2]
    room_x, room_y = (LARGEST - 1) * width, (LARGEST - 1) * height
    return (
        float(np.floor(max(x.min(), -room_x))),
        float(np.floor(max(y.min(), -room_y))),
        float(np.ceil(min(x.max(), width + room_x))),
        float(np.ceil(min(y.max(), height + room_y))),
    )
