"""What stands still behind the hitter: the middle value of every pixel over pictures spread through the clip."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from analysis.watch.decode import Picture

PICTURES = 16
SIDE = 640  # px of the longer side
MIN_PICTURES = 5


class Background:
    """Takes pictures in order; keeps few of them, evenly spread, however long the clip."""

    def __init__(self) -> None:
        """Start empty."""
        self._kept: list[Picture] = []
        self._every, self._count = 1, 0

    def wants(self) -> bool:
        """Say whether the next picture would be kept: only then it need be made."""
        return self._count % self._every == 0

    def add(self, picture: Picture | None) -> None:
        """Take the next picture; None where it was not wanted."""
        if picture is not None:
            self._kept.append(picture)
            if len(self._kept) > PICTURES:
                self._kept, self._every = self._kept[::2], 2 * self._every
        self._count += 1

    def picture(self, camera: NDArray[np.float64]) -> Picture | None:
        """Return the background as uint8 [h, w, 3], or None for a moving camera or too few pictures."""
        still = bool(np.allclose(camera, np.eye(3)))
        if not still or len(self._kept) < MIN_PICTURES:
            return None
        return np.asarray(np.median(np.stack(self._kept), axis=0), dtype=np.uint8)
