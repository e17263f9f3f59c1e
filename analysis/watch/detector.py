"""Find where people are: run the detector network on a part of the picture and decode its boxes.

The layout of the network's output (anchors at strides 8, 16 and three times 32, two per cell and layer; a hip and a
circle point per box) follows MediaPipe's published pose graph; tests compare the outcome with MediaPipe itself.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from analysis.watch.models import Model
from analysis.watch.network import DETECTOR, Network
from analysis.watch.pictures import Picture
from analysis.watch.region import Floats, Region, body_region, cut

ANCHORS_PER_CELL = ((8, 2), (16, 2), (32, 6))  # (stride px, anchors per cell)
MIN_SCORE = 0.3
SAME_PLACE = 0.3  # of a body's side: nearer middles are one person


@dataclass(frozen=True)
class Detection:
    """A person detected: the region of the body and the detector's score 0..1."""

    region: Region
    score: float


class Detector:
    """The detector network of a bundle."""

    def __init__(self, model: Model) -> None:
        """Load the network."""
        self._network = Network(model, DETECTOR)
        self._anchors = anchors(self._network.side)

    def detect(self, picture: Picture, scale: float, part: Region) -> list[Detection]:
        """Find people within `part` of `picture` [H, W, 3], RGB (the frame shrunk by `scale`), surest first, each once."""
        side = self._network.side
        boxes, scores = self._network.run(cut(picture, scale, part, side))
        sure = _sigmoid(scores[:, 0])
        chosen = np.flatnonzero(sure >= MIN_SCORE)
        chosen = chosen[np.argsort(-sure[chosen])]
        found: list[Detection] = []
        for index in chosen:
            points = boxes[index, 4:8].reshape(2, 2) / side + self._anchors[index]
            middle, top = part.to_picture(points.astype(np.float64))
            detection = Detection(body_region(middle, top), float(sure[index]))
            if all(not same_place(detection.region, other.region) for other in found):
                found.append(detection)
        return found


def anchors(side: int) -> Floats:
    """Return the anchors' middles [N, 2] as x, y in 0..1, in the network's order."""
    layers = []
    for stride, count in ANCHORS_PER_CELL:
        cells = (np.arange(side // stride) + 0.5) * stride / side
        y, x = np.meshgrid(cells, cells, indexing="ij")
        layers.append(np.repeat(np.stack([x.ravel(), y.ravel()], axis=1), count, axis=0))
    return np.concatenate(layers)


def same_place(a: Region, b: Region) -> bool:
    """Say whether two body regions are the same person's: near middles and like sizes."""
    smaller, larger = sorted((a.side, b.side))
    return bool(np.hypot(a.x - b.x, a.y - b.y) < SAME_PLACE * smaller and larger < 1.8 * smaller)


def _sigmoid(values: NDArray[np.float32]) -> Floats:
    return 1.0 / (1.0 + np.exp(-np.clip(values.astype(np.float64), -100, 100)))
