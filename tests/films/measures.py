"""What posing needs to know of a body at rest: lengths, the shape of a foot, the place of the bat in a fist, the ears."""

from __future__ import annotations

import numpy as np

from .body import Body
from .stance import FootPose
from .turning import UP, about, frame_of, turn, unit

__all__ = ["Measures"]


class Measures:
    """Measures of one body at rest; sides are "L" and "R"."""

    def __init__(self, body: Body, bat_length: float, sole: float = 0.012) -> None:
        self.body = body
        self.scale = body.height / 1.78
        self.bat_length = bat_length
        self.sole = sole
        self.hand_gap = 0.088 * self.scale
        self.first_hand = 0.065 * self.scale + 0.01
        self._measure_legs()
        self._measure_hands()
        self._measure_head()

    def _measure_legs(self) -> None:
        at = self.body.head
        self.thigh = {s: float(np.linalg.norm(at(f"lowerleg01.{s}") - at(f"upperleg01.{s}"))) for s in "LR"}
        self.shank = {s: float(np.linalg.norm(at(f"foot.{s}") - at(f"lowerleg01.{s}"))) for s in "LR"}
        self.foot_rest = {}
        for side in "LR":
            near = (
                self.body.weight_of(
                    f"foot.{side}", f"toe1-1.{side}", *(f"toe{k}-{j}.{side}" for k in range(1, 6) for j in (1, 2, 3))
                )
                > 0.5
            )
            sole = self.body.vertices[near]
            ball = np.mean([at(f"toe{k}-1.{side}") for k in (1, 2, 3, 4, 5)], axis=0)
            ankle = at(f"foot.{side}")
            ahead = unit((ball - ankle) * [1, 0, 1])
            reach = (sole - ankle) @ ahead
            heel = ankle + ahead * reach.min()
            toe = ankle + ahead * reach.max()
            ball, heel, toe = ball * [1, 0, 1], heel * [1, 0, 1], toe * [1, 0, 1]
            yaw = float(np.degrees(np.arctan2(ahead[0], ahead[2])))
            self.foot_rest[side] = {"ball": ball, "heel": heel, "toe": toe, "ankle": ankle, "yaw": yaw}

    def _measure_hands(self) -> None:
        at = self.body.head
        self.upper, self.fore, self.hand_frame, self.hand_grip = {}, {}, {}, {}
        for side in "LR":
            self.upper[side] = float(np.linalg.norm(at(f"lowerarm01.{side}") - at(f"upperarm01.{side}")))
            self.fore[side] = float(np.linalg.norm(at(f"wrist.{side}") - at(f"lowerarm01.{side}")))
            wrist, middle = at(f"wrist.{side}"), at(f"finger3-1.{side}")
            indexward = at(f"finger2-1.{side}") - at(f"finger5-1.{side}")
            frame = frame_of(middle - wrist, indexward)
            tip = self.body.tails[self.body.index(f"finger3-3.{side}")] - middle
            self.palm_sign = getattr(self, "palm_sign", {})
            self.palm_sign[side] = float(np.sign(tip @ frame[:, 2]))
            palm = frame[:, 2] * self.palm_sign[side]
            self.hand_frame[side] = frame
            self.hand_grip[side] = middle - wrist + palm * 0.026 * self.scale + frame[:, 0] * 0.010 * self.scale

    def _measure_head(self) -> None:
        head = self.body.weight_of("head", "temporalis", "special", "orbicularis", "oculi") > 0.5
        skull = self.body.vertices[head]
        eyes = (self.body.head("eye.L") + self.body.head("eye.R")) / 2
        level = np.abs(skull[:, 1] - eyes[1]) < 0.03 * self.scale
        wide = float(np.ptp(skull[level][:, 0])) / 2
        depth = self.body.head("head")[2] + 0.012 * self.scale
        self.ears_rest = {s: np.array([x, eyes[1] - 0.012 * self.scale, depth]) for s, x in (("L", wide), ("R", -wide))}
        front = skull[np.abs(skull[:, 0]) < 0.02]
        below = front[np.abs(front[:, 1] - (eyes[1] - 0.04 * self.scale)) < 0.03 * self.scale]
        self.nose_rest = below[below[:, 2].argmax()]

    @property
    def ball_ahead(self) -> float:
        """How far the ball of a foot lies ahead of its ankle, metres."""
        rest = self.foot_rest["L"]
        return float(np.linalg.norm((rest["ball"] - rest["ankle"])[[0, 2]]))

    def foot_turn(self, side: str, foot: FootPose) -> tuple[np.ndarray, np.ndarray]:
        """Rotations of the toes (flat) and of the foot with its heel raised."""
        rest = self.foot_rest[side]["yaw"]
        flat = turn(foot.yaw - rest, "y")
        axis = flat @ np.array([np.cos(np.radians(rest)), 0, -np.sin(np.radians(rest))])
        return flat, about(axis * np.radians(foot.heel)) @ flat

    def ankle_of(self, side: str, foot: FootPose) -> np.ndarray:
        """Where the ankle joint of a foot lies, [3]."""
        rest = self.foot_rest[side]
        return foot.ball + UP * self.sole + self.foot_turn(side, foot)[1] @ (rest["ankle"] - rest["ball"])
