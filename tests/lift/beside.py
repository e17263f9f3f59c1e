"""Put a drawn hitter and a drawn thrower side by side into one film: who is taken for the hitter?

    python -m tests.lift.beside SWING THROW --out FILE.mp4 [--sides 330 680] [--use tune]

SWING and THROW are numbers of clips (see `make.py`); the sides, px, are of the squares that hold them in a film of 1280 x 720.
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

import av
import cv2
import numpy as np

from analysis.watch.models import find_model
from analysis.watch.pose import Landmarker
from analysis.watch.region import Region

from .clips import SIDE, Studio, clip
from .painter import Painter

SIZE = 1280, 720
FPS = 60
FLOOR = 700  # px from the top: where both squares end


def pictures_of(studio: Any, number: int, use: str) -> np.ndarray:
    """The pictures [F, side, side, 3] of a clip."""
    kept: list[np.ndarray] = []
    studio.film(clip(number, use), kept)
    return np.stack(kept)


def beside(hitter: np.ndarray, thrower: np.ndarray, sides: tuple[int, int]) -> list[np.ndarray]:
    """Pictures [720, 1280, 3] of both, as long as the longer: the shorter one begins in its middle and is held before and after."""
    count = max(len(hitter), len(thrower))
    made = []
    for k in range(count):
        canvas = np.full((SIZE[1], SIZE[0], 3), (118, 124, 112), np.uint8)
        for pictures, side, left in ((hitter, sides[0], 60), (thrower, sides[1], SIZE[0] - 60 - sides[1])):
            at = int(np.clip(k - (count - len(pictures)) // 2, 0, len(pictures) - 1))
            canvas[FLOOR - side : FLOOR, left : left + side] = cv2.resize(
                pictures[at], (side, side), interpolation=cv2.INTER_AREA
            )
        made.append(canvas)
    return made


def write(pictures: list[np.ndarray], out: Path) -> None:
    """Write a film without sound."""
    with av.open(str(out), "w") as film:
        stream = film.add_stream("libx264", rate=FPS, options={"crf": "24", "preset": "slow"})
        stream.width, stream.height = SIZE
        stream.pix_fmt = "yuv420p"
        for picture in pictures:
            film.mux(stream.encode(av.VideoFrame.from_ndarray(picture, format="rgb24")))
        film.mux(stream.encode(None))


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Put a drawn hitter and a drawn thrower into one film.")
    parser.add_argument("swing", type=int)
    parser.add_argument("throw", type=int)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--sides", type=int, nargs=2, default=(330, 680))
    parser.add_argument("--use", default="tune")
    wish = parser.parse_args()
    studio = Studio(Landmarker(find_model("lite")), Region, Painter(SIDE))
    hitter, thrower = (pictures_of(studio, number, wish.use) for number in (wish.swing, wish.throw))
    write(beside(hitter, thrower, tuple(wish.sides)), wish.out)


if __name__ == "__main__":
    main()
