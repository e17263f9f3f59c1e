"""The motion of a hitter from stance to finish, as curves of wishes through key poses.

Field axes of the right-handed hitter: x toward the pitcher, y up, z toward the plate. The hitter's own origin lies between
the ankles at set-up. Lengths of ``Manner`` are metres for a person 1.78 m tall and scale with the body.
"""

from __future__ import annotations

import numpy as np

from .curves import Curve
from .keyposes import HOLD_S, RETURN_S, Rows, hands_and_bat, lower, returning, upper
from .manner import Manner, Timing
from .skeleton import Skeleton
from .stance import FootPose, Stance
from .turning import turn

__all__ = ["Motion"]


class Motion:
    """All curves of one film; ``stance(time)`` gives the wish of a moment."""

    def __init__(self, skeleton: Skeleton, manner: Manner, swings: list[Timing], end: float) -> None:
        self.skeleton, self.manner, self.swings, self.end = skeleton, manner, swings, end
        self.scale = skeleton.scale
        keys: dict[str, Rows] = {}
        for number, swing in enumerate(swings):
            for name, rows in self._swing_keys(swing).items():
                keys.setdefault(name, []).extend(rows)
                if number + 1 < len(swings):
                    keys[name].extend(returning(name, swing, rows, self.scale))
        self.curves = {
            name: Curve(rows, 0.004 if name.startswith("front_foot") else 0.007) for name, rows in keys.items()
        }
        self.curves["height"] = Curve(self._heights(), 0.02)

    def _swing_keys(self, t: Timing) -> dict[str, Rows]:
        wish = (t, self.manner, self.scale)
        return {**lower(*wish), **upper(*wish), **hands_and_bat(*wish)}

    def _highest(self, time: float, front: float, rear: float) -> float:
        """Height at which the front knee has its wished bend, or lower where the rear knee would else be straighter than ``rear``."""
        return min(self._height_for(time, "L", front), self._height_for(time, "R", rear))

    def _heights(self) -> list[tuple[float, float]]:
        """Heights of the hips that give the wished bend of one knee at each key pose."""
        m = self.manner
        keys = []
        for number, t in enumerate(self.swings):
            keys += [
                (time, self._height_for(time, "R", bend))
                for time, bend in ((t.move, m.setup_rear_knee), (t.load, m.load_rear_knee), (t.down, m.down_rear_knee))
            ]
            keys += [
                (t.contact - 0.06, self._highest(t.contact - 0.06, m.contact_front_knee + 16, 38.0 - m.rear_knee_on))
            ]
            keys += [
                (t.contact + late, self._highest(t.contact + late, m.contact_front_knee, 30.0 - m.rear_knee_on))
                for late in (0.0, 0.1, 0.2)
            ]
            keys += [(t.finish, self._highest(t.finish, m.finish_front_knee, 26.0 - m.rear_knee_on))]
            if number + 1 < len(self.swings):
                held = t.finish + HOLD_S
                keys += [(held, keys[-1][1])]
                keys += [
                    (held + RETURN_S * share, self._highest(held + RETURN_S * share, 20.0, m.setup_rear_knee))
                    for share in (0.3, 0.5, 0.75)
                ]
                keys += [(held + RETURN_S, self._height_for(held + RETURN_S, "R", m.setup_rear_knee))]
        return keys

    def _height_for(self, time: float, side: str, bend: float) -> float:
        front, rear = self._feet(time)
        foot = front if side == "L" else rear
        pelvis = (
            turn(self._at("pelvis_yaw", time), "y")
            @ turn(self._at("pelvis_side", time), "z")
            @ turn(self._at("pelvis_lean", time), "x")
        )
        body = self.skeleton.body
        hips = [body.head("upperleg01.L"), body.head("upperleg01.R")]
        hip = pelvis @ (hips[0 if side == "L" else 1] - (hips[0] + hips[1]) / 2)
        hip = hip + np.array([self._at("pelvis_x", time), 0, self._at("pelvis_z", time)])
        ankle = self.skeleton.ankle_of(side, foot)
        thigh, shank = self.skeleton.thigh[side], self.skeleton.shank[side]
        span = thigh**2 + shank**2 + 2 * thigh * shank * np.cos(np.radians(bend))
        across = (hip - ankle)[[0, 2]]
        return float(ankle[1] + np.sqrt(max(0.01, span - across @ across)) - hip[1])

    def _at(self, name: str, time: float) -> float:
        return float(self.curves[name](time))

    def _feet(self, time: float) -> tuple[FootPose, FootPose]:
        ahead = self.skeleton.ball_ahead
        front = np.array([self._at("front_foot_x", time), self._at("front_foot_y", time), ahead])
        rear = np.array([self._at("rear_foot_x", time), 0.0, ahead])
        return (
            FootPose(front, self._at("front_foot_yaw", time), self._at("front_foot_heel", time)),
            FootPose(rear, self._at("rear_foot_yaw", time), self._at("rear_foot_heel", time)),
        )

    def stance(self, time: float) -> Stance:
        """The wish at ``time`` in seconds of film."""
        at, s = self._at, self.scale
        sway = (
            self.manner.sway
            * s
            * np.array([np.sin(2 * np.pi * 0.31 * time + self.manner.phase), np.cos(2 * np.pi * 0.43 * time)])
        )
        front, rear = self._feet(time)
        rock = float(self.rock(np.array([time]))[0])
        pelvis = np.array(
            [at("pelvis_x", time) + sway[0] * 0.6 + rock, at("height", time), at("pelvis_z", time) + sway[1] * 0.4]
        )
        head = np.array([at("head_x", time) + sway[0] * 0.8 + rock, 0.0, at("head_z", time) + sway[1]])
        azimuth, radius, height = self.curves["grip"](time)
        middle = np.array([head[0], pelvis[1] + 0.49 * s, head[2] - 0.08 * s])
        around = np.radians(azimuth)
        grip = middle + np.array([radius * np.sin(around), height, radius * np.cos(around)])
        bat_az, bat_up = np.radians(self.curves["bat"](time))
        bat = np.array([np.cos(bat_up) * np.sin(bat_az), np.sin(bat_up), np.cos(bat_up) * np.cos(bat_az)])
        return Stance(
            pelvis=pelvis,
            pelvis_yaw=at("pelvis_yaw", time),
            pelvis_lean=at("pelvis_lean", time),
            pelvis_side=at("pelvis_side", time),
            chest_yaw=at("chest_yaw", time),
            head=head,
            face_yaw=at("face_yaw", time),
            face_down=at("face_down", time),
            front_foot=front,
            rear_foot=rear,
            front_knee_out=at("front_knee_out", time),
            rear_knee_out=at("rear_knee_out", time),
            grip=grip,
            bat=bat,
            front_elbow=self.curves["front_elbow"](time),
            rear_elbow=self.curves["rear_elbow"](time),
            let_go=at("let_go", time),
        )

    def rock(self, times: np.ndarray) -> np.ndarray:
        """How far the body has gone toward the pitcher on its way to and fro at times [F], metres: until it loads, then less and less."""
        m = self.manner
        still = np.clip((times - self.swings[0].move - m.rock_stops + 0.3) / 0.4, 0.0, 1.0)
        fade = 1.0 - still * still * (3.0 - 2.0 * still)
        return np.asarray(m.rock * self.scale * fade * np.sin(2 * np.pi * m.rock_hz * times + m.phase))
