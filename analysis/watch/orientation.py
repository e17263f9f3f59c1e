"""Which way up a stored picture belongs: quarter turns, and mirrored where the file says so.

The file gives a matrix for showing (`tkhd` of ISO/IEC 14496-12, 8.3.2; libav's display matrix): nine numbers in fixed
point, of which the first two of each row turn and mirror. What stands between two quarters goes to the nearer one.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast

import cv2
import numpy as np
from av.sidedata.sidedata import Type
from av.video.frame import VideoFrame
from numpy.typing import NDArray

from analysis.watch.errors import ClipError

TURNS = {1: cv2.ROTATE_90_COUNTERCLOCKWISE, 2: cv2.ROTATE_180, 3: cv2.ROTATE_90_CLOCKWISE}


@dataclass(frozen=True)
class Orientation:
    """First mirrored left to right, if at all, then turned by quarters counter-clockwise, as np.rot90 counts."""

    quarter_turns: int = 0
    mirrored: bool = False

    def upright(self, picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
        """Return the stored picture [H, W, ...] the right way up, C-contiguous."""
        mirrored = cv2.flip(picture, 1) if self.mirrored else picture
        # By OpenCV, in a tenth of the time that NumPy takes to lay a turned picture down.
        turned = cv2.rotate(mirrored, TURNS[self.quarter_turns]) if self.quarter_turns else mirrored
        return np.ascontiguousarray(turned, dtype=np.uint8)


UPRIGHT = Orientation()


def orientation(source: VideoFrame) -> Orientation:
    """Return how the frame is to be shown; upright where its matrix says nothing sensible.

    Ask for one frame of a clip: a frame that was asked for its side data lives on until the garbage is collected.
    """
    try:
        data = cast(Any, source.side_data)[Type.DISPLAYMATRIX]  # PyAV's types name only some kinds
    except KeyError:
        return UPRIGHT
    matrix = np.frombuffer(bytes(data), np.int32)
    return from_matrix(*(float(matrix[place]) for place in (0, 1, 3, 4)))


def from_matrix(a: float, b: float, c: float, d: float) -> Orientation:
    """Return the orientation nearest to the matrix that shows the stored (x, y) at (a·x + c·y, b·x + d·y), y down."""
    if a * d - b * c == 0.0:
        return UPRIGHT
    mirrored = a * d - b * c < 0
    if mirrored:  # taken out of it, it only turns
        a, b = -a, -b
    clockwise = np.degrees(np.arctan2(b, a))
    return Orientation(round(-clockwise / 90) % 4, mirrored)


def turned_over() -> ClipError:
    """The refusal of a clip that turns on the way: a hitter can't be followed through that."""
    return ClipError(
        "changing_picture",
        "The picture in this file turns over on the way. Please film one swing without turning the phone "
        "and send that clip.",
    )
