"""What hitters and players do that is no swing: takes, checked swings, bunts, waggles, pointing, tapping the plate, throws.

Axes as in `movers`. Each act is drawn wide, so that what tells a swing cannot learn one manner of it by heart.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tests.films.body import Body
from tests.films.stance import Stance
from tests.films.turning import shortest, turn, unit

from .movers import SOLE, Chain, Moment, Swing, Waves, swing_of

__all__ = ["ACTS", "Held", "Throw", "Waggled", "act_of"]

ACTS = ("take", "check", "bunt", "waggle", "groove", "point", "tap", "throw")
_SHARES = (0.17, 0.25, 0.10, 0.12, 0.10, 0.08, 0.06, 0.12)


def eased(share: np.ndarray) -> np.ndarray:
    """Shares that begin and end softly, between 0 and 1."""
    share = np.clip(share, 0.0, 1.0)
    return np.asarray(share * share * (3 - 2 * share))


def _eased(share: float) -> float:
    return float(eased(np.float64(share)))


class Waggled(Swing):
    """A swing whose hands and bat are never still before the load."""

    size = 0.0
    way = np.zeros(3)
    hz = 1.0

    def wish(self, time: float) -> Stance:
        plain = super().wish(time)
        fade = self.size * (1.0 - _eased((time - self.timings[0].load + 0.35) / 0.3))
        return _wobbled(plain, fade * float(np.sin(2 * np.pi * self.hz * time)), self.way)


def _wobbled(wish: Stance, size: float, way: np.ndarray) -> Stance:
    """The hands moved along ``way``, metres, and the bat swung forward with them."""
    bat = unit(wish.bat + abs(size) * 5.0 * np.array([0.5, 0.1, 0.5])) if size else wish.bat
    return replace(wish, grip=wish.grip + size * way, bat=bat)


@dataclass(frozen=True)
class _Plan:
    """Numbers drawn for one act: when it begins, how long it takes, how far it goes (0..1), and how often a second."""

    begin: float
    lasts: float
    far: float
    hz: float


class Held:
    """A swing's motion run on another clock and led elsewhere, so that no swing comes of it."""

    def __init__(self, act: str, swing: Swing, rng: np.random.Generator) -> None:
        self.act, self.swing, self.body = act, swing, swing.body
        self.bat_length = swing.bat_length
        far = {"check": (0.25, 0.72), "groove": (0.35, 0.95), "bunt": (0.85, 1.0)}.get(act, (0.3, 1.0))
        self.plan = _Plan(
            float(rng.uniform(0.35, 1.0)),
            float({"bunt": rng.uniform(0.22, 0.6), "point": rng.uniform(0.3, 0.8)}.get(act, rng.uniform(0.08, 0.3))),
            float(rng.uniform(*far)),
            float(rng.uniform(0.6, 2.3) if act != "groove" else rng.uniform(0.45, 1.3)),
        )
        self.way = rng.normal(0, 1, 3) * np.array([0.12, 0.06, 0.06])
        self.back = float(rng.uniform(0.1, 0.7))
        self.lean = float(rng.uniform(8, 32))
        self.reach = rng.normal(0, 0.06, 3) + np.array([0.42, 0.12, 0.16])

    def _clock(self, time: float) -> float:
        """The swing's own time at a time of this act."""
        t, plan = self.swing.timings[0], self.plan
        if self.act == "take":
            stop = t.start - 0.03 * plan.far
            return (
                min(time, stop - 0.05)
                if time < stop - 0.05
                else stop - 0.05 * float(np.exp((stop - 0.05 - time) / 0.05))
            )
        if self.act == "check":
            # As quick as a swing until the hitter thinks better of it, slower to a stop, and slowly back.
            slow, furthest = plan.lasts, t.start + plan.far * t.start_to_contact
            brake = furthest - slow / 2
            if time <= brake:
                return time
            late = min(time - brake, slow)
            back = self.back * t.start_to_contact * _eased((time - brake - slow - 0.1) / 0.6)
            return brake + late - late**2 / (2 * slow) - back
        if self.act == "groove":
            swung = 0.5 - 0.5 * np.cos(2 * np.pi * plan.hz * max(time - plan.begin, 0.0))
            return float(min(time, t.start) if time < plan.begin else t.start + plan.far * t.start_to_contact * swung)
        if self.act == "bunt":
            share = _eased((time - plan.begin) / plan.lasts)
            return float(t.move + share * (t.contact - 0.03 - t.move) * plan.far)
        return min(time, t.move)

    def moment(self, time: float) -> Moment:
        wish = self._led(self.swing.wish(self._clock(time)), time)
        posed = self.swing.skeleton.pose(wish)
        return Moment(posed.rotations, posed.places, (posed.knob, posed.barrel))

    def _led(self, wish: Stance, time: float) -> Stance:
        plan, size = self.plan, self.swing.skeleton.scale
        if self.act == "waggle":
            return _wobbled(wish, float(np.sin(2 * np.pi * plan.hz * time)) * plan.far, self.way * 1.6)
        if self.act == "bunt":
            share = _eased((time - plan.begin) / plan.lasts)
            bat = unit(wish.bat * (1 - share) + share * np.array([0.25, 0.35, 0.9]))
            return replace(wish, bat=bat, grip=wish.grip + share * self.way * 0.5 * size)
        if self.act == "point":
            share = _eased((time - plan.begin) / plan.lasts) * (
                1 - _eased((time - plan.begin - plan.lasts - 0.7) / 0.6)
            )
            bat = unit(wish.bat * (1 - share) + share * np.array([0.9, 0.4, 0.2]))
            to = wish.pelvis + self.reach * size + np.array([0, 0.38, 0]) * size
            return replace(wish, bat=bat, grip=wish.grip * (1 - share) + share * to)
        if self.act == "tap":
            share = 0.5 - 0.5 * float(np.cos(2 * np.pi * 0.5 * plan.hz * max(time - plan.begin, 0.0)))
            bat = unit(wish.bat * (1 - share) + share * np.array([0.15, -0.75, 0.65]))
            to = wish.pelvis + np.array([0.05, -0.12, 0.38]) * size
            return replace(
                wish,
                bat=bat,
                grip=wish.grip * (1 - share) + share * to,
                pelvis_lean=wish.pelvis_lean + self.lean * share,
            )
        return wish


class Throw:
    """An overhand throw or a pitch: the leg lifts and strides, hips and chest turn in turn, and one arm goes. No bat."""

    def __init__(self, body: Body, rng: np.random.Generator) -> None:
        self.body, self.chain = body, Chain(body)
        self.waves = Waves(rng, 24, 0.5)
        self.loose = float(rng.uniform(0.3, 1.2))
        self.release = float(rng.uniform(0.9, 1.3))
        self.slowdown = float(rng.uniform(0.75, 1.5))
        self.lift, self.slot = float(rng.uniform(20, 110)), float(rng.uniform(-25, 60))
        self.yaw = float(rng.uniform(-25, 25))
        self.stride = float(rng.uniform(20, 48))

    def moment(self, time: float) -> Moment:
        at = (time - self.release) / self.slowdown
        w = self.waves(time) * self.loose * 0.5

        def go(start: float, end: float) -> float:
            return _eased((at - start) / (end - start))

        lifted = go(-0.75, -0.45) * (1 - go(-0.4, -0.14))
        strode, hip, chest_goes = go(-0.45, -0.14), go(-0.2, 0.02), go(-0.13, 0.06)
        cocked, whipped, after = go(-0.5, -0.1), go(-0.07, 0.05), go(0.02, 0.3)
        facing = turn(self.yaw, "y")
        hips = facing @ turn(-8 + 88 * hip + 6 * w[0], "y") @ turn(6 + 18 * after + 5 * w[1], "x") @ turn(5 * w[2], "z")
        chest = facing @ turn(-14 - 14 * cocked * (1 - chest_goes) + 112 * chest_goes + 6 * w[3], "y")
        chest = chest @ turn(4 + 32 * after + 4 * w[4], "x") @ turn(6 * w[5] - 14 * whipped, "z")
        half = hips @ _half(hips.T @ chest)
        turns = {"hips": hips, "low": hips, "mid": half, "chest": chest, "neck": chest}
        turns["head"] = facing @ turn(70 + 10 * w[6], "y") @ turn(8 + 12 * after, "x")
        hanging = np.array([0.0, -1.0, 0.0])
        throwing = unit(
            (1 - cocked) * np.array([-0.25, -0.75, 0.5])
            + cocked * np.array([-0.85, np.sin(np.radians(self.slot)) * 0.6, -0.35 + 1.0 * whipped])
            + after * np.array([1.0, -1.2, 0.9])
        )
        glove = unit(
            (1 - strode) * np.array([0.25, -0.7, 0.6])
            + strode * (1 - chest_goes) * np.array([1.0, 0.05, 0.2])
            + chest_goes * np.array([0.3, -0.8, 0.3])
        )
        bend = {"R": 85 + 15 * cocked - 80 * whipped + 25 * after, "L": 75 - 40 * strode + 60 * chest_goes}
        for side, way, at_w in (("R", throwing, 8), ("L", glove, 12)):
            turns[f"collar.{side}"] = chest
            upper = (
                chest
                @ shortest(hanging, unit(way + 0.15 * w[at_w : at_w + 3]))
                @ turn((-60 if side == "R" else 20) * (1 - whipped), "y")
            )
            fore = upper @ turn(-float(np.clip(bend[side], 5, 140)), "x")
            rest = self.chain.rest_way(f"upperarm01.{side}", f"lowerarm01.{side}")
            turns[f"upper.{side}"] = upper @ shortest(rest, hanging)
            turns[f"fore.{side}"] = fore @ shortest(self.chain.rest_way(f"lowerarm01.{side}", f"wrist.{side}"), hanging)
            turns[f"hand.{side}"] = turns[f"fore.{side}"]
        flex = {"L": 12 + self.lift * lifted + 28 * strode, "R": 14 + 20 * strode * (1 - after) + 10 * after}
        knee = {"L": 16 + self.lift * lifted + 22 * strode, "R": 22 + 26 * strode + 20 * after}
        out = {"L": -self.stride * strode, "R": -0.5 * self.stride * strode * (1 - after)}
        for side, sign in (("L", 1.0), ("R", -1.0)):
            thigh = hips @ turn(sign * (out[side] + 4 * w[16]), "z") @ turn(-flex[side], "x")
            shank = thigh @ turn(knee[side], "x")
            for name, value, bones in (
                ("thigh", thigh, ("upperleg01", "lowerleg01")), ("shank", shank, ("lowerleg01", "foot")),
            ):  # fmt: skip
                turns[f"{name}.{side}"] = value @ shortest(
                    self.chain.rest_way(*(f"{bone}.{side}" for bone in bones)), hanging
                )
            ahead = shank @ np.array([0.0, 0.0, 1.0])
            flat = turn(float(np.degrees(np.arctan2(ahead[0], ahead[2]))), "y")
            turns[f"foot.{side}"], turns[f"toes.{side}"] = flat, flat
        rotations, places = self.chain.pose(turns, np.zeros(3))
        places = places + np.array([0.5 * strode, SOLE - self.chain.lowest(rotations, places), 0])
        return Moment(rotations, places, None)


def _half(step: np.ndarray) -> np.ndarray:
    """Half of a turn."""
    spin = np.array([step[2, 1] - step[1, 2], step[0, 2] - step[2, 0], step[1, 0] - step[0, 1]]) / 2
    sine = float(np.sqrt(spin @ spin))
    if sine < 1e-9:
        return np.eye(3)
    from tests.films.turning import about

    return about(spin / sine * np.arctan2(sine, (np.trace(step) - 1) / 2) / 2)


def act_of(body: Body, rng: np.random.Generator, contact: float, loose: float) -> tuple[str, Held | Throw]:
    """An act drawn at random, with its name."""
    name = str(rng.choice(ACTS, p=_SHARES))
    if name == "throw":
        return name, Throw(body, rng)
    return name, Held(name, swing_of(body, rng, contact, loose, tempo=True), rng)
