"""The motion of a hitter from stance to finish, as curves of wishes through key poses.

Field axes of the right-handed hitter: x toward the pitcher, y up, z toward the plate. The hitter's own origin lies between
the ankles at set-up. Lengths of ``Manner`` are metres for a person 1.78 m tall and scale with the body. The key poses are
our own, after common coaching descriptions of a swing; no recording of a person was used.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from .curves import Curve
from .skeleton import FootPose, Skeleton, Stance, turn

__all__ = ["Manner", "Motion", "Timing"]

HOLD_S = 0.30  # between two swings the finish is held
RETURN_S = 0.90  # and the stance taken up again


@dataclass(frozen=True)
class Timing:
    """Times of one swing in seconds of film; the rest follows from them."""

    contact: float
    down_to_contact: float = 0.20
    start_to_contact: float = 0.155
    load_to_down: float = 0.22
    move_to_load: float = 0.50

    @property
    def down(self) -> float:
        """Front foot lands."""
        return self.contact - self.down_to_contact

    @property
    def start(self) -> float:
        """Hands begin to go."""
        return self.contact - self.start_to_contact

    @property
    def load(self) -> float:
        """Hands farthest back."""
        return self.down - self.load_to_down

    @property
    def move(self) -> float:
        """The load begins."""
        return self.load - self.move_to_load

    @property
    def finish(self) -> float:
        """The bat stops."""
        return self.contact + 0.42


@dataclass(frozen=True)
class Manner:
    """How this hitter swings: what differs from film to film. Angles in degrees, lengths in metres at 1.78 m."""

    base: float = 0.57  # between the balls of the feet at set-up
    stride: float = 0.22
    lift: float = 0.11
    opening: float = 28.0
    setup_rear_knee: float = 33.0
    load_rear_knee: float = 42.0
    down_rear_knee: float = 48.0
    down_shift: float = -0.05  # hips ahead of the middle between the feet when the foot lands
    down_rear_knee_out: float = 14.0  # turns the rear knee in, toward the pitcher
    contact_front_knee: float = 14.0
    finish_front_knee: float = 8.0
    lean: float = 17.0
    head_drift: float = 0.05
    face: float = 70.0
    hands_back: float = 0.09
    hands_height: float = 0.0
    bat_up: float = 55.0
    coil: float = 14.0
    contact_hips: float = 72.0
    contact_chest: float = 58.0
    weight_shift: float = 0.035  # how far the hips end ahead of the middle between the feet
    reach: float = 0.0
    finish_height: float = 0.10
    tilt_at_contact: float = -20.0  # elevation of the bat at contact
    heel: float = 66.0
    sway: float = 0.006
    phase: float = 0.0
    extra: dict[str, float] = field(default_factory=dict)


class Motion:
    """All curves of one film; ``stance(time)`` gives the wish of a moment."""

    def __init__(self, skeleton: Skeleton, manner: Manner, swings: list[Timing], end: float) -> None:
        self.skeleton, self.manner, self.swings, self.end = skeleton, manner, swings, end
        self.scale = skeleton.scale
        keys: dict[str, list[tuple[float, object]]] = {}
        for number, swing in enumerate(swings):
            for name, rows in self._swing_keys(swing).items():
                keys.setdefault(name, []).extend(rows)
                if number + 1 < len(swings):
                    keys[name].extend(self._return_keys(name, swing, rows))
        self.curves = {name: Curve(rows, 0.004 if name.startswith("front_foot") else 0.007) for name, rows in keys.items()}
        self.curves["height"] = Curve(self._heights(), 0.02)

    def _swing_keys(self, t: Timing) -> dict[str, list[tuple[float, object]]]:
        return {**self._lower(t), **self._upper(t), **self._bat(t)}

    def _return_keys(self, name: str, t: Timing, rows: list[tuple[float, object]]) -> list[tuple[float, object]]:
        """From the held finish back into the stance, for another swing: the front foot steps, the bat comes round in front."""
        held, back = t.finish + HOLD_S, t.finish + HOLD_S + RETURN_S
        keys = [(held, rows[-1][1]), (back, rows[0][1])]
        if name == "front_foot_y":
            keys.insert(1, ((held + back) / 2, 0.07 * self.scale))
        if name == "front_foot_x":
            keys = [(held + 0.12, rows[-1][1]), (back - 0.12, rows[0][1])]
        if name == "front_foot_heel":
            keys.insert(1, ((held + back) / 2, 12.0))
        if name == "bat":
            keys.insert(1, ((held + back) / 2, (70.0, 38.0)))
        if name == "grip":
            keys.insert(1, ((held + back) / 2, (45.0, 0.42 * self.scale, -0.20 * self.scale)))
        return keys

    def _lower(self, t: Timing) -> dict[str, list[tuple[float, object]]]:
        m, s = self.manner, self.scale
        base, stride = m.base * s, m.stride * s
        fx = base / 2
        hop = (t.down - t.load) * 0.5
        middle = stride / 2
        late = t.contact - 0.11
        return {
            "front_foot_x": [(t.move, fx), (t.load, fx - 0.02 * s), (t.load + hop, fx + stride * 0.6), (t.down - 0.01, fx + stride), (t.finish, fx + stride)],
            "front_foot_y": [(t.move, 0.0), (t.move + 0.12, 0.004), (t.load, m.lift * s), (t.load + hop, m.lift * s * 0.72), (t.down - 0.005, 0.0), (t.finish, 0.0)],
            "front_foot_yaw": [(t.move, 2.0), (t.load, 0.0), (t.down - 0.03, m.opening), (t.finish, m.opening)],
            "front_foot_heel": [(t.move, 0.0), (t.move + 0.15, 12.0), (t.load, 14.0), (t.down - 0.06, 9.0), (t.down, 7.0), (t.down + 0.045, 0.0), (t.finish, 0.0)],
            "rear_foot_yaw": [(t.move, -3.0), (t.down, -1.0), (late, 8.0), (t.contact, 48.0), (t.contact + 0.12, 66.0), (t.finish, 76.0)],
            "rear_foot_heel": [(t.move, 0.0), (t.down + 0.01, 0.0), (late, 7.0), (t.contact, m.heel * 0.74), (t.contact + 0.14, m.heel * 0.92), (t.finish, m.heel)],
            "front_knee_out": [(t.move, -6.0), (t.load, -22.0), (t.down, -8.0), (t.contact, 6.0), (t.finish, 18.0)],
            "rear_knee_out": [(t.move, 8.0), (t.load, 4.0), (t.down, m.down_rear_knee_out), (late, m.down_rear_knee_out + 8), (t.contact, 10.0), (t.finish, 2.0)],
            "pelvis_x": [(t.move, 0.0), (t.load, -0.05 * s), (t.down, middle + m.down_shift * s), (t.contact, middle + (m.weight_shift - 0.03) * s), (t.finish, middle + m.weight_shift * s)],
            "pelvis_z": [(t.move, -0.085 * s), (t.down, -0.08 * s), (t.contact, -0.02 * s), (t.finish, -0.01 * s)],
            "pelvis_yaw": [(t.move, -2.0), (t.load, -m.coil), (t.down, 4.0), (t.start + 0.01, 14.0), (t.contact - 0.05, 52.0), (t.contact, m.contact_hips), (t.contact + 0.12, m.contact_hips + 12), (t.finish, m.contact_hips + 20)],
            "pelvis_lean": [(t.move, m.lean), (t.down, m.lean + 2), (t.contact, 5.0), (t.finish, 0.0)],
            "pelvis_side": [(t.move, 0.0), (t.load, 4.0), (t.down, 1.0), (t.contact, 6.0), (t.finish, 2.0)],
        }

    def _upper(self, t: Timing) -> dict[str, list[tuple[float, object]]]:
        m, s = self.manner, self.scale
        drift, coil = m.head_drift * s, m.coil
        lean = 0.17 * s * m.lean / 17
        hit = t.contact
        return {
            "chest_yaw": [(t.move, -5.0), (t.load, -10 - coil), (t.down, -8 - coil), (t.start, -2 - coil), (hit - 0.08, 8.0), (hit, m.contact_chest), (hit + 0.06, m.contact_chest + 26), (hit + 0.18, m.contact_chest + 50), (t.finish, m.contact_chest + 58)],
            "head_x": [(t.move, 0.0), (t.load, -0.02 * s), (t.down, drift), (hit, drift - 0.005 * s), (hit + 0.2, drift + 0.02 * s), (t.finish, drift + 0.06 * s)],
            "head_z": [(t.move, lean), (t.down, lean + 0.01 * s), (hit, lean * 0.95), (t.finish, lean * 0.55)],
            "face_yaw": [(t.move, m.face), (t.down, m.face - 2), (hit - 0.06, m.face - 8), (hit, m.face - 24), (hit + 0.08, m.face - 22), (t.finish, 84.0)],
            "face_down": [(t.move, 6.0), (t.down, 9.0), (hit - 0.07, 20.0), (hit, 31.0), (hit + 0.07, 29.0), (hit + 0.25, 8.0), (t.finish, 2.0)],
            "front_elbow": [(t.move, (0.3, -1, 0.35)), (t.start, (0.2, -1, 0.35)), (hit - 0.04, (0.35, -0.9, 0.1)), (hit, (0.5, -1.0, -0.25)), (hit + 0.07, (0.5, -1.0, -0.5)), (hit + 0.2, (0.8, -0.5, -0.7)), (t.finish, (0.7, -0.45, -0.8))],
            "rear_elbow": [(t.move, (-0.6, -0.8, -0.35)), (t.load, (-0.7, -0.55, -0.5)), (t.start, (-0.6, -0.75, -0.4)), (hit - 0.07, (-0.35, -1, -0.1)), (hit, (-0.35, -1.0, 0.1)), (hit + 0.07, (-0.1, -1.0, 0.3)), (t.finish, (0.45, -1.0, 0.3))],
        }

    def _bat(self, t: Timing) -> dict[str, list[tuple[float, object]]]:
        m, s = self.manner, self.scale
        hit, quick = t.contact, t.start_to_contact / 0.155
        h = m.hands_height
        # Azimuth: 0 at the plate, 90 at the pitcher, -90 at the catcher. Grip about the chest: azimuth, radius, height.
        back = 0.30 + m.hands_back
        wait = min(t.down, t.start - 0.045)  # the hands may go before the foot is down
        grip = [
            (t.move, (-70.0, 0.30, -0.05 + h)), (t.load, (-92.0, back, -0.01 + h)),
            (wait, (-91.0, back - 0.08, -0.015 + h)), (t.start - 0.014, (-90.0, back - 0.085, -0.02 + h)),
            (hit - 0.125 * quick, (-81.0, back * 0.4 + 0.16, -0.065 + h * 0.8)), (hit - 0.09 * quick, (-62.0, 0.32, -0.15 + h * 0.6)), (hit - 0.045 * quick, (-25.0, 0.395, -0.28)),
            (hit, (18.0, 0.50 + m.reach, -0.36)), (hit + 0.03, (39.0, 0.56 + m.reach, -0.34)),
            (hit + 0.065, (60.0, 0.60 + m.reach, -0.25)), (hit + 0.13, (97.0, 0.52, -0.07)),
            (hit + 0.22, (132.0, 0.40, m.finish_height * 0.8)), (t.finish, (150.0, 0.36, m.finish_height)),
        ]
        low = m.tilt_at_contact
        bat = [
            (t.move, (-138.0, m.bat_up)), (t.load, (-146.0, m.bat_up + 2)), (t.start, (-140.0, m.bat_up - 5)),
            (hit - 0.09 * quick, (-124.0, 26.0)), (hit - 0.055 * quick, (-92.0, -3.0)), (hit - 0.03 * quick, (-56.0, low * 0.85)),
            (hit, (0.0, low)), (hit + 0.026 * quick, (46.0, low * 0.9)), (hit + 0.058 * quick, (92.0, low * 0.4)),
            (hit + 0.11 * quick, (156.0, 12.0)), (hit + 0.18 * quick, (208.0, 26.0)), (hit + 0.28, (238.0, 12.0)), (t.finish, (250.0, -6.0)),
        ]
        return {
            "grip": [(time, (az, r * s, y * s)) for time, (az, r, y) in grip],
            "bat": bat,
        }

    def _highest(self, time: float, front: float, rear: float) -> float:
        """Height at which the front knee has its wished bend, or lower where the rear knee would else be straighter than ``rear``."""
        return min(self._height_for(time, "L", front), self._height_for(time, "R", rear))

    def _heights(self) -> list[tuple[float, float]]:
        """Heights of the hips that give the wished bend of one knee at each key pose."""
        m = self.manner
        keys = []
        for number, t in enumerate(self.swings):
            keys += [(time, self._height_for(time, "R", bend)) for time, bend in (
                (t.move, m.setup_rear_knee), (t.load, m.load_rear_knee), (t.down, m.down_rear_knee))]
            keys += [(t.contact - 0.06, self._highest(t.contact - 0.06, m.contact_front_knee + 16, 38.0))]
            keys += [(t.contact + late, self._highest(t.contact + late, m.contact_front_knee, 30.0)) for late in (0.0, 0.1, 0.2)]
            keys += [(t.finish, self._highest(t.finish, m.finish_front_knee, 26.0))]
            if number + 1 < len(self.swings):
                held = t.finish + HOLD_S
                keys += [(held, keys[-1][1])]
                keys += [(held + RETURN_S * share, self._highest(held + RETURN_S * share, 20.0, m.setup_rear_knee)) for share in (0.3, 0.5, 0.75)]
                keys += [(held + RETURN_S, self._height_for(held + RETURN_S, "R", m.setup_rear_knee))]
        return keys

    def _height_for(self, time: float, side: str, bend: float) -> float:
        front, rear = self._feet(time)
        foot = front if side == "L" else rear
        pelvis = turn(self._at("pelvis_yaw", time), "y") @ turn(self._at("pelvis_side", time), "z") @ turn(self._at("pelvis_lean", time), "x")
        body = self.skeleton.body
        hips = [body.head("upperleg01.L"), body.head("upperleg01.R")]
        hip = pelvis @ (hips[0 if side == "L" else 1] - (hips[0] + hips[1]) / 2)
        hip = hip + [self._at("pelvis_x", time), 0, self._at("pelvis_z", time)]
        ankle = self.skeleton.ankle_of(side, foot)
        thigh, shank = self.skeleton.thigh[side], self.skeleton.shank[side]
        span = thigh**2 + shank**2 + 2 * thigh * shank * np.cos(np.radians(bend))
        across = (hip - ankle)[[0, 2]]
        return float(ankle[1] + np.sqrt(max(0.01, span - across @ across)) - hip[1])

    def _at(self, name: str, time: float) -> float:
        return float(self.curves[name](time))

    def _feet(self, time: float) -> tuple[FootPose, FootPose]:
        m, s = self.manner, self.scale
        ahead = self.skeleton.ball_ahead
        front = np.array([self._at("front_foot_x", time), self._at("front_foot_y", time), ahead])
        rear = np.array([-m.base * s / 2, 0.0, ahead])
        return (
            FootPose(front, self._at("front_foot_yaw", time), self._at("front_foot_heel", time)),
            FootPose(rear, self._at("rear_foot_yaw", time), self._at("rear_foot_heel", time)),
        )

    def stance(self, time: float) -> Stance:
        """The wish at ``time`` in seconds of film."""
        at, s = self._at, self.scale
        sway = self.manner.sway * s * np.array([np.sin(2 * np.pi * 0.31 * time + self.manner.phase), np.cos(2 * np.pi * 0.43 * time)])
        front, rear = self._feet(time)
        pelvis = np.array([at("pelvis_x", time) + sway[0] * 0.6, at("height", time), at("pelvis_z", time) + sway[1] * 0.4])
        head = np.array([at("head_x", time) + sway[0] * 0.8, 0.0, at("head_z", time) + sway[1]])
        azimuth, radius, height = self.curves["grip"](time)
        middle = np.array([head[0], pelvis[1] + 0.49 * s, head[2] - 0.08 * s])
        grip = middle + [radius * np.sin(np.radians(azimuth)), height, radius * np.cos(np.radians(azimuth))]
        bat_az, bat_up = np.radians(self.curves["bat"](time))
        bat = np.array([np.cos(bat_up) * np.sin(bat_az), np.sin(bat_up), np.cos(bat_up) * np.cos(bat_az)])
        return Stance(
            pelvis=pelvis, pelvis_yaw=at("pelvis_yaw", time), pelvis_lean=at("pelvis_lean", time), pelvis_side=at("pelvis_side", time),
            chest_yaw=at("chest_yaw", time), head=head, face_yaw=at("face_yaw", time), face_down=at("face_down", time),
            front_foot=front, rear_foot=rear, front_knee_out=at("front_knee_out", time), rear_knee_out=at("rear_knee_out", time),
            grip=grip, bat=bat, front_elbow=self.curves["front_elbow"](time), rear_elbow=self.curves["rear_elbow"](time),
        )
