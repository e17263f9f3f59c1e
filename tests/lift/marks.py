"""Where the joints of a posed body are: each is a point at rest that follows one bone.

A hip is half-way between the thigh's pivot and the middle of the hip as seen from outside: across, the middle of the thigh
below the crotch; front to back, the middle of the body at the pivot's height. A toe is the tip of the second toe; the heel
is the middle of the sole's rear end.
"""

from __future__ import annotations

import numpy as np

from analysis.read.lift import JOINTS
from tests.films.body import Body
from tests.films.measures import Measures

__all__ = ["Marks"]


class Marks:
    """The marks of one body."""

    def __init__(self, body: Body) -> None:
        self.body = body
        measured = Measures(body, 0.8)
        size = measured.scale
        rest: dict[str, tuple[str, np.ndarray]] = {}
        for side, name, sign in (("L", "left", 1), ("R", "right", -1)):
            pivot = body.head(f"upperleg01.{side}")
            rest[f"{name}_hip"] = ("root", (pivot + self._outside(pivot, sign, size)) / 2)
            for joint, bone in (
                ("knee", "lowerleg01"), ("ankle", "foot"), ("shoulder", "upperarm01"), ("elbow", "lowerarm01"), ("wrist", "wrist"),
            ):  # fmt: skip
                rest[f"{name}_{joint}"] = (f"{bone}.{side}", body.head(f"{bone}.{side}"))
            foot = measured.foot_rest[side]
            rest[f"{name}_heel"] = (f"foot.{side}", self._heel(side, foot["heel"], size))
            tip = body.tails[body.index(f"toe2-3.{side}")]
            rest[f"{name}_toe"] = (f"toe2-3.{side}", tip * [1, 0, 1])
            rest[f"{name}_ear"] = ("head", measured.ears_rest[side])
        rest["nose"] = ("head", measured.nose_rest)
        self.bones = np.array([body.index(rest[name][0]) for name in JOINTS])
        self.rest = np.array([rest[name][1] for name in JOINTS]) - body.heads[self.bones]

    def _outside(self, pivot: np.ndarray, sign: int, size: float) -> np.ndarray:
        body = self.body
        leg = (body.weight_of("upperarm", "lowerarm", "wrist", "finger", "metacarpal") < 0.1) & (
            body.vertices[:, 0] * sign > 0
        )
        points = body.vertices[leg]
        level = points[np.abs(points[:, 1] - pivot[1]) < 0.02 * size]
        below = points[np.abs(points[:, 1] - (pivot[1] - 0.12 * size)) < 0.02 * size]
        return np.array(
            [
                (below[:, 0].min() + below[:, 0].max()) / 2,
                pivot[1],
                (level[:, 2].min() + level[:, 2].max()) / 2,
            ]
        )

    def _heel(self, side: str, rear: np.ndarray, size: float) -> np.ndarray:
        body = self.body
        near = body.weight_of(f"foot.{side}") > 0.4
        sole = body.vertices[near]
        back = sole[(sole[:, 2] < rear[2] + 0.03 * size) & (sole[:, 1] < 0.04 * size)]
        return np.array([back[:, 0].mean() if len(back) else rear[0], 0.0, rear[2]])

    def at(self, rotations: np.ndarray, places: np.ndarray) -> np.ndarray:
        """Joints [J, 3] in the order of `JOINTS` for rotations [B, 3, 3] and places [B, 3]."""
        return places[self.bones] + np.einsum("jab,jb->ja", rotations[self.bones], self.rest)
