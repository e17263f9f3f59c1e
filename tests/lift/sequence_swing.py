"""Swings as a sequence of segments that turn in joint space, by rules of their own.

Pelvis, chest, front arm, wrists and feet each turn by pulses of angular velocity, which have an onset, a peak and an end and add up to
angles. Hands lie where the front arm's angles about the chest put them, and the bat where the hinge of the wrists puts it in a plane that
turns itself. The hips are a mass that a push draws along. Axes of the right-handed hitter: x toward the pitcher, y up, z toward the plate;
yaws run from +z toward +x; seconds, metres and degrees.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from scipy.interpolate import CubicSpline
from scipy.signal import lfilter

from tests.films.body import Body
from tests.films.manner import Timing
from tests.films.skeleton import AWAY, Skeleton
from tests.films.stance import FootPose, Stance
from tests.films.turning import turn

from .movers import Swing

__all__ = ["Sequence", "sequence_swing"]

RATE = 1000.0  # rows of the tables per second
FIRST, LAST = -0.3, 1.35  # the tables' ends: before zero, after contact
TRUNK_HZ = 50.0  # how often the trunk is posed to know where its shoulders are, while it is quick
TRIES = 12  # hitters drawn until one of them swings as a swing is read
STRAIGHT = 0.995  # of a leg's length, as far as a leg is stretched


class Pulse(NamedTuple):
    """A turn by ``amount``, slow at ``onset`` and ``end``, fastest at ``peak``."""

    amount: float
    onset: float
    peak: float
    end: float

    def part(self, t: np.ndarray) -> np.ndarray:
        """Share of the turn that is done at times [N], 0 to 1."""
        rise, fall = self.peak - self.onset, self.end - self.peak
        up, down = np.clip((t - self.onset) / rise, 0, 1), np.clip((t - self.peak) / fall, 0, 1)
        first = rise * (up / 2 - np.sin(np.pi * up) / (2 * np.pi))
        second = fall * (down / 2 + np.sin(np.pi * down) / (2 * np.pi))
        return (first + second) / ((rise + fall) / 2)


class Chance:
    """Draws of one hitter."""

    def __init__(self, rng: np.random.Generator) -> None:
        self.rng = rng

    def u(self, low: float, high: float) -> float:
        """Evenly between two numbers."""
        return float(self.rng.uniform(low, high))

    def n(self, mean: float, sd: float, low: float, high: float) -> float:
        """Round a mean, folded back at two limits, so that none piles up there."""
        value = float(self.rng.normal(mean, sd))
        value = 2 * low - value if value < low else 2 * high - value if value > high else value
        return float(np.clip(value, low, high))

    def of(self, *shares: float) -> int:
        """One of several kinds."""
        return int(self.rng.choice(len(shares), p=np.array(shares) / sum(shares)))

    def yes(self, share: float) -> bool:
        """True as often as ``share``."""
        return bool(self.rng.random() < share)


class Sequence(Swing):
    """One hitter's swing."""

    def __init__(self, body: Body, rng: np.random.Generator, contact: float) -> None:
        self.body, self.loose, self.contact = body, 0.0, contact
        self.chance = c = Chance(rng)
        self.bat_length = c.n(0.47, 0.03, 0.40, 0.54) * body.height
        self.skeleton = Skeleton(body, self.bat_length)
        self.size = self.skeleton.scale
        self.t = np.arange(FIRST, contact + LAST, 1 / RATE)
        child = float(np.clip((1.55 - body.height) / 0.35, 0, 1))
        # A beginner is slower, less in sequence and less alike from joint to joint; most, but not all, of them are small.
        self.craft = float(np.clip(c.n(0.62 - 0.3 * child, 0.24, 0.0, 1.0), 0, 1))
        self.power = c.u(0, 1)
        self._clock(child)
        self.v: dict[str, np.ndarray] = {}
        self._turns()
        self._feet()
        self._weight()
        self._head()
        self._arms()
        self._bat()
        self._lay_hands()
        self._keep()
        self._tell_times()

    # What is drawn first: when things happen -----------------------------------------------------------------------------------

    def _clock(self, child: float) -> None:
        c, contact = self.chance, self.contact
        self.go_s = c.n(0.245 - 0.092 * self.craft + 0.05 * child, 0.034, 0.135, 0.36)
        self.go = contact - self.go_s  # the swing begins as one thought; each segment is ahead of or behind it
        gap = [c.n(0.02, 0.035, -0.07, 0.10), c.u(0.08, 0.22)][c.of(0.72, 0.28)]
        self.down = self.go - gap
        self.stride_s = c.n(0.30, 0.10, 0.14, 0.62)
        self.lift = self.down - self.stride_s
        self.move = max(0.42, min(self.lift - c.u(-0.08, 0.30), self.down - 0.3))
        self.lift = max(self.lift, self.move + 0.02)
        # Hands and coil are back this long before foot down: some still go back while the foot lands.
        self.set_early = min(-c.u(0.0, (0.05, 0.18, 0.32)[c.of(0.3, 0.4, 0.3)]), -gap - c.u(0.0, 0.06))
        self.stop = contact + c.n(0.42 + 0.1 * (self.go_s - 0.16) / 0.06, 0.07, 0.29, 0.62)
        # Lags of chest, arms and wrists behind the pelvis: in sequence, all at once, or the arms first.
        order = c.of(0.25 + 0.75 * self.craft, 0.35, 0.55 * (1 - self.craft) + 0.08)
        spread = self.go_s * (c.u(0.12, 0.42), c.u(-0.05, 0.1), c.u(-0.35, -0.05))[order]
        self.ahead = {"pelvis": spread, "chest": spread * c.u(0.1, 0.6), "arm": 0.0}

    def _sum(self, start: float, *pulses: Pulse) -> np.ndarray:
        return start + sum((pulse.amount * pulse.part(self.t) for pulse in pulses), np.zeros(len(self.t)))

    def _at(self, time: float) -> int:
        return round((time - FIRST) * RATE)

    def _wave(self, size: float, slowest: float = 1.2, fastest: float = 4.0) -> np.ndarray:
        """Nobody stands like a post: a slow unrest of about ``size``."""
        rng = self.chance.rng
        parts = [np.sin(2 * np.pi * (self.t / rng.uniform(slowest, fastest) + rng.random())) for _ in range(2)]
        return size * (parts[0] + parts[1]) / 2

    def _loading(self, amount: float, early: float = 0.0) -> Pulse:
        """A pulse of the load, somewhere from its begin to foot down."""
        c = self.chance
        onset = self.move + c.u(0.0, 0.12)
        end = max(onset + 0.22, self.down + self.set_early + c.u(-0.06, 0.04) - early)
        return Pulse(amount, onset, onset + (end - onset) * c.u(0.35, 0.65), end)

    def _through(self, now: float, goal: float, onset: float, late: float, end: float) -> Pulse:
        """The pulse that brings ``now`` to ``goal`` at contact and ends ``end`` seconds after it; ``late`` is where its peak lies."""
        contact = self.contact
        one = Pulse(1.0, onset, onset + (contact + end - onset) * late, contact + end)
        return one._replace(amount=(goal - now) / float(one.part(np.array([contact]))[0]))

    # Segments -----------------------------------------------------------------------------------------------------------------

    def _turns(self) -> None:
        """Yaws of the pelvis and of the chest, lean and tilt of the pelvis."""
        c, contact = self.chance, self.contact
        self.open = c.n(3, 9, -15, 30)  # of the stance
        pelvis, chest = self.open + c.n(0, 5, -12, 12), self.open * 0.7 + c.n(-7, 8, -28, 14)
        coil = (c.u(0, 6), c.u(5, 16), c.u(14, 34))[c.of(0.3, 0.45, 0.25)]
        coil_p, coil_c = self._loading(-coil, 0.08), self._loading(-coil * c.u(0.4, 1.2) - c.u(0, 10))
        early = c.n(10, 9, -4, 36)  # the pelvis opens with the stride
        opening = Pulse(early, self.down - c.u(0.09, 0.2), self.down - 0.01, self.down + c.u(0.05, 0.11))
        follows = opening._replace(amount=early * c.u(-0.2, 0.8))
        now_p, now_c = pelvis - coil + early, chest + coil_c.amount + follows.amount
        goal_p = c.n(62 + 10 * self.craft, 13, 28, 100)
        goal_c = float(np.clip(goal_p + c.n(-6, 13, -38, 28), 20, 96))
        swing_p = self._through(
            now_p, goal_p, self.go - self.ahead["pelvis"], c.n(0.44, 0.08, 0.28, 0.62), c.u(0.02, 0.14)
        )
        swing_c = self._through(
            now_c, goal_c, self.go - self.ahead["chest"], c.n(0.54, 0.08, 0.36, 0.72), c.u(0.04, 0.17)
        )
        self.full = c.n(0.95 + 0.1 * self.power, 0.22, 0.25, 1.25)  # how far everything goes on after contact
        rest = self.stop - contact
        on_c = Pulse(
            c.n(62 * self.full, 12, 8, 90) - swing_c.amount * (1 - swing_c.part(np.array([contact]))[0]),
            contact - 0.03, contact + rest * c.u(0.15, 0.4), contact + rest * c.u(0.75, 1.0),
        )  # fmt: skip
        on_p = on_c._replace(amount=on_c.amount * c.u(0.2, 0.75), end=contact + rest * c.u(0.5, 0.95))
        back = Pulse(-c.u(0, 14), self.stop + 0.05, self.stop + 0.3, self.stop + 0.65)
        yaw = self._sum(pelvis, coil_p, opening, swing_p, on_p, back) + self._wave(1.0)
        apart = self._sum(chest, coil_c, follows, swing_c, on_c, back) + self._wave(1.0) - yaw
        self.v["pelvis_yaw"], self.v["chest_yaw"] = yaw, yaw + 58 * np.tanh(apart / 58)
        self.pelvis_pulse = swing_p
        lean = c.n(14, 7, 0, 34)
        straighten = self._through(0, -lean * c.u(-0.1, 0.9), self.go, 0.5, c.u(0.1, 0.25))
        self.v["pelvis_lean"] = self._sum(lean, self._loading(c.n(2, 4, -6, 12)), straighten) + self._wave(0.5)
        tilt = c.n(0, 3, -7, 8)
        self.v["pelvis_side"] = self._sum(
            tilt, self._loading(c.n(2, 3, -5, 9)), self._through(0, c.n(4, 5, -8, 15), self.go, 0.5, 0.15)
        )

    def _feet(self) -> None:
        c, size, contact = self.chance, self.size, self.contact
        self.base = c.n(0.54 if c.yes(0.75) else 0.34, 0.13, 0.17, 0.88) * size  # between the balls, along the line
        across = np.tan(np.radians(self.open * 0.5)) * self.base + c.n(0, 0.025, -0.07, 0.07) * size
        style = c.of(0.40, 0.20, 0.14, 0.12, 0.14)  # glide, kick, toe tap, no stride, double tap
        stride = (
            c.n(0.20, 0.09, 0.03, 0.44),
            c.n(0.24, 0.1, 0.05, 0.48),
            c.n(0.15, 0.09, 0.0, 0.4),
            c.u(-0.01, 0.04),
            c.u(0.02, 0.25),
        )[style]
        stride = min(stride * size, max(0.92 * size - self.base, 0.02 * size))
        aside = c.n(0, 0.055, -0.17, 0.17) * size * (0.35 + 2.2 * stride / size)  # minus: in the bucket
        height = (c.u(0.025, 0.12), c.u(0.14, 0.42), c.u(0.03, 0.10), c.u(0.016, 0.03), c.u(0.02, 0.07))[style] * size
        place = np.array([self.base / 2, across])
        hops = [(self.lift, self.down, np.array([stride, aside]), height)]
        if style in (2, 4):  # the foot comes in or only up, touches, and goes from there
            touch = self.down - c.u(0.42, 0.62) * (self.down - self.move)
            inward = np.array([-c.u(0.0, 0.22) if style == 2 else c.u(-0.05, 0.05), c.u(-0.02, 0.02)]) * size
            hops = [(max(self.move, touch - c.u(0.2, 0.35)), touch, inward, height * c.u(0.6, 1.1))]
            hops.append((touch + c.u(0.01, 0.08), self.down, np.array([stride, aside]) - inward, height))
        x, y, z = np.full(len(self.t), place[0]), np.zeros(len(self.t)), np.full(len(self.t), place[1])
        for start, end, by, high in hops:
            late = start + (end - start) * c.u(0.35, 0.6)
            over = Pulse(1.0, start + 0.02, late, end).part(self.t)
            top = start + (end - start) * c.u(0.35, 0.62)
            y += high * (
                Pulse(1, start, (start + top) / 2, top).part(self.t)
                - Pulse(1, top - 0.02, (top + end) / 2, end).part(self.t)
            )
            x, z = x + by[0] * over, z + by[1] * over
        yaw = c.n(self.open * 0.6 + 6, 8, -8, 38)
        opened = c.n(30, 20, -10, 80) - yaw
        turning = Pulse(opened, self.lift, self.down - 0.1 * self.stride_s - 0.03, self.down)
        later = Pulse(
            c.u(0, 14) + (c.u(8, 40) if c.yes(0.3) else 0.0), contact - 0.08, contact + 0.06, contact + c.u(0.15, 0.35)
        )
        lands = (c.u(8, 34), 0.0, -c.u(4, 14))[c.of(0.4, 0.35, 0.25)]  # heel raised, flat, toe raised
        air = Pulse(
            c.u(8, 35) if lands >= 0 else lands,
            self.lift,
            self.lift + 0.4 * self.stride_s,
            self.lift + 0.75 * self.stride_s,
        )
        ready = Pulse(lands - air.amount, self.lift + 0.35 * self.stride_s, self.lift + 0.7 * self.stride_s, self.down)
        plant_s = min(c.u(0.04, 0.11), contact - self.down)
        plant = Pulse(-lands, self.down - 0.01, self.down + plant_s * 0.5, self.down + plant_s)
        heel = self._sum(0.0, air, ready, plant)
        rest = self.skeleton.foot_rest["L"]
        sole = float(np.linalg.norm(rest["ball"] - rest["heel"]))
        self.front = np.stack([x, y + sole * np.sin(np.radians(np.maximum(0, -heel))), z], 1)
        self.v["front_yaw"], self.v["front_heel"] = self._sum(yaw, turning, later), heel
        # The rear foot turns on its ball, is dragged, stays, or comes off the ground, all of it after the pelvis.
        kind = c.of(0.46, 0.24, 0.16, 0.14)
        onset = self.pelvis_pulse.onset + c.u(0.0, 0.06)
        peak, end = contact + c.u(-0.05, 0.03), contact + c.u(0.12, 0.3)
        turned = (c.u(35, 85), c.u(20, 60), c.u(0, 18), c.u(35, 80))[kind]
        raised = (c.u(18, 58), c.u(20, 50), c.u(0, 8), c.u(40, 65))[kind]
        rear_yaw = c.n(0, 9, -18, 24)
        self.v["rear_yaw"] = self._sum(rear_yaw, Pulse(turned, onset, peak, end))
        self.v["rear_heel"] = self._sum(0.0, Pulse(raised, onset + 0.01, peak, end))
        if c.yes(0.12):  # some stand on the ball of the rear foot while they load
            self.v["rear_heel"] += c.u(3, 12) * (1 - Pulse(1, self.move, self.down - 0.1, self.down).part(self.t))
        drag = min((c.u(0, 0.03), c.u(0.05, 0.2), 0.0, c.u(0.05, 0.24))[kind] * size, 0.4 * self.base)
        off = (0.0, 0.0, 0.0, c.u(0.01, 0.07))[kind] * size
        moved = self._sum(0.0, Pulse(1.0, max(onset + 0.03, contact - 0.12), contact + 0.03, end))
        hop = self._sum(
            0.0,
            Pulse(off, contact - 0.04, contact + 0.04, contact + 0.12),
            Pulse(-off, contact + 0.1, contact + 0.2, contact + 0.32),
        )
        self.rear = np.stack([-self.base / 2 + drag * moved, hop, drag * c.u(-0.3, 0.5) * moved], 1)

    def _weight(self) -> None:
        """The hips: drawn along by a push between the feet, and as high as a knee that is bent so much lets them be."""
        c, size, contact = self.chance, self.size, self.contact
        push = (c.u(0.0, 0.07), c.u(0.06, 0.18), c.u(0.15, 0.30))[c.of(0.3, 0.45, 0.25)]
        share = c.n(0.49, 0.06, 0.33, 0.62)
        landed, hit, end = c.n(0.43, 0.07, 0.25, 0.62), c.n(0.54, 0.08, 0.33, 0.76), c.n(0.62, 0.14, 0.28, 1.0)
        back = share - push
        between = self._sum(
            share,
            Pulse(-push, self.move - 0.02, (self.move + self.lift) / 2 + 0.04, self.lift + 0.12 * self.stride_s + 0.06),
            Pulse(landed - back, self.lift + c.u(0, 0.2) * self.stride_s, self.down - c.u(0.04, 0.1), self.down + 0.05),
            Pulse(hit - landed, self.down - 0.05, self.down + 0.4 * (contact - self.down), contact + 0.01),
            Pulse(end - hit, contact - 0.04, contact + 0.1, self.stop),
        )
        mid = np.stack([self.rear, self.front], 1)[:, :, [0, 2]]
        # Weight does not follow the foot in the air: it is drawn from where both stood to where both will stand.
        step = Pulse(1.0, self.lift + 0.2 * self.stride_s, self.down - 0.02, self.down + 0.09).part(self.t)[:, None]
        first, last = mid[0, 1], mid[self._at(self.down + 0.02), 1]
        stands = first + (last - first) * step
        goal = mid[:, 0] + (stands - mid[:, 0]) * between[:, None]
        follow = c.u(32, 60)  # 1/s, of a critically damped mass on the push
        a = np.exp(-follow / RATE)
        for _ in range(2):
            goal = goal[:1] + lfilter([1 - a], [1, -a], goal - goal[:1], axis=0)
        z = c.n(-0.06, 0.03, -0.14, 0.02) * size
        falls = c.n(0, 0.05, -0.12, 0.12) * size * (1.4 - self.craft)
        sway = self._loading(c.n(0, 0.012, -0.03, 0.03) * size)
        drift = self._sum(
            z,
            sway,
            self._through(0, c.n(0.02, 0.03, -0.05, 0.08) * size, self.go, 0.5, 0.1),
            Pulse(falls, contact, contact + 0.2, self.stop),
        )
        self.pelvis = np.stack([goal[:, 0], np.zeros(len(self.t)), goal[:, 1] + drift], 1)
        self.pelvis[:, 0] += self._wave(0.006 * size)
        bends = {
            "set": c.n(34, 13, 6, 75), "down": c.n(44, 13, 14, 82), "hit": [c.n(14, 7, 6, 32), c.u(25, 62)][c.of(0.6, 0.4)],
            "end": c.n(18, 12, 6, 60),
        }  # fmt: skip
        ready = self._at(self.move)
        levels = {
            "set": (self._level("R", ready, bends["set"]) + self._level("L", ready, bends["set"] + c.n(2, 9, -18, 22)))
            / 2,
            "down": self._level("R", self._at(self.down), bends["down"]),
            "hit": self._level("L", self._at(contact), bends["hit"]),
            "end": self._level("L", self._at(self.stop), bends["end"]),
        }
        # From knee to knee the hips go up and down no faster than a crouch does.
        levels["down"] = levels["set"] + float(np.clip(levels["down"] - levels["set"], -0.13 * size, 0.04 * size))
        levels["hit"] = levels["down"] + float(np.clip(levels["hit"] - levels["down"], -0.07 * size, 0.09 * size))
        levels["end"] = levels["hit"] + float(np.clip(levels["end"] - levels["hit"], -0.06 * size, 0.08 * size))
        y = self._sum(
            levels["set"],
            Pulse(levels["down"] - levels["set"], self.move, (self.move + self.down) / 2 + 0.05, self.down + 0.02),
            Pulse(levels["hit"] - levels["down"], self.down, (self.down + contact) / 2, contact + 0.02),
            Pulse(levels["end"] - levels["hit"], contact - 0.02, contact + 0.14, self.stop + 0.05),
        )
        self.pelvis[:, 1] = y
        over = self._stretch("R")
        self.v["rear_heel"] = self.v["rear_heel"] + np.minimum(
            45, np.degrees(_soft(over, 0.008 * size) / (0.12 * size))
        )
        for _ in range(2):
            for side in "LR":
                down = _soft(self._stretch(side), 0.004 * size)
                self.pelvis[:, 1] -= down * 1.1

    def _leg_line(self, side: str) -> np.ndarray:
        """From ankle to hip, [N, 3]."""
        half = (
            float(np.linalg.norm(self.body.head("upperleg01.L") - self.body.head("upperleg01.R")))
            / 2
            * (1 if side == "L" else -1)
        )
        yaw, tilt = np.radians(self.v["pelvis_yaw"]), np.radians(self.v["pelvis_side"])
        hip = self.pelvis + half * np.stack([np.cos(yaw) * np.cos(tilt), np.sin(tilt), -np.sin(yaw) * np.cos(tilt)], 1)
        name, ball = ("front", self.front) if side == "L" else ("rear", self.rear)
        rest, turned = self.skeleton.foot_rest[side], np.radians(self.v[f"{name}_yaw"])
        ahead = float(np.linalg.norm((rest["ankle"] - rest["ball"])[[0, 2]]))
        heel, up = np.radians(self.v[f"{name}_heel"]), rest["ankle"][1] - rest["ball"][1]
        along, high = -ahead * np.cos(heel) + up * np.sin(heel), up * np.cos(heel) + ahead * np.sin(heel)
        ankle = ball + np.stack([np.sin(turned) * along, high + self.skeleton.sole, np.cos(turned) * along], 1)
        return np.asarray(hip - ankle)

    def _level(self, side: str, k: int, bend: float) -> float:
        """How high the hips are where a knee is bent by ``bend`` at row ``k``."""
        thigh, shank = self.skeleton.thigh[side], self.skeleton.shank[side]
        long = thigh**2 + shank**2 + 2 * thigh * shank * np.cos(np.radians(bend))
        line = self._leg_line(side)[k]
        return float(np.sqrt(max(long - line[0] ** 2 - line[2] ** 2, 0.05)) - (line[1] - self.pelvis[k, 1]))

    def _stretch(self, side: str) -> np.ndarray:
        """By how much a leg would be longer than it is, [N]."""
        long = self.skeleton.thigh[side] + self.skeleton.shank[side]
        return np.asarray(np.linalg.norm(self._leg_line(side), axis=1) - STRAIGHT * long)

    def _head(self) -> None:
        c, size, contact = self.chance, self.size, self.contact
        to_plate, to_pitcher = c.n(0.19, 0.09, 0.0, 0.40) * size, c.n(-0.025, 0.07, -0.19, 0.14) * size
        # The head goes with the hips by some share; what it stays behind is trunk lean toward the catcher.
        with_hips = c.n(0.55 + 0.1 * (1 - self.craft), 0.22, 0.1, 1.0)
        x0 = self.pelvis[self._at(self.move), 0]
        x = x0 + (self.pelvis[:, 0] - x0) * with_hips + to_pitcher
        lunge = self._through(0, c.n(-0.01, 0.06, -0.16, 0.13) * size, self.go, 0.5, 0.12)
        x = x + self._sum(
            0,
            lunge,
            self._loading(c.n(0, 0.02, -0.05, 0.05) * size),
            Pulse(c.n(0.0, 0.05, -0.1, 0.12) * size, contact, contact + 0.15, self.stop),
        )
        pull = -c.u(0.04, 0.14) * size if c.yes(0.15 + 0.2 * (1 - self.craft)) else c.n(0, 0.02, -0.04, 0.04) * size
        z = self.pelvis[0, 2] + (self.pelvis[:, 2] - self.pelvis[0, 2]) * c.u(0.4, 1.0)
        z = z + self._sum(
            to_plate,
            self._through(0, pull, self.go + 0.03, 0.6, 0.15),
            Pulse(-c.u(-0.02, 0.14) * size, contact + 0.02, contact + 0.2, self.stop),
        )
        out = (
            np.stack([x, z], 1)
            - self.pelvis[:, [0, 2]]
            + np.stack([self._wave(0.004 * size), self._wave(0.004 * size)], 1)
        )
        far = np.linalg.norm(out, axis=1, keepdims=True)
        self.head = self.pelvis[:, [0, 2]] + out / np.maximum(far, 1e-9) * _below(far, 0.42 * size, 0.05 * size)
        face = c.n(72, 10, 42, 92)
        watch = self._through(0, c.n(-24, 12, -55, 12) + (20 if pull < -0.04 * size else 0), self.go, 0.5, 0.04)
        look = Pulse(c.u(5, 55), contact + c.u(0.02, 0.12), contact + 0.22, self.stop + 0.2)
        wanted = self._sum(face, self._loading(c.n(2, 4, -8, 10)), watch, look) - self.v["chest_yaw"]
        self.v["face_yaw"] = self.v["chest_yaw"] + 82 * np.tanh(wanted / 82)
        nod = self._through(0, c.n(10, 7, -4, 28), self.go, 0.5, 0.05)
        self.v["face_down"] = self._sum(
            c.n(12, 6, -2, 28), nod, Pulse(-nod.amount * c.u(0.3, 1.2), contact + 0.05, contact + 0.25, self.stop + 0.2)
        )
        for name in ("front", "rear"):
            out_set = c.n(-8 if name == "front" else 8, 9, -30, 30)
            by = c.n(0, 9, -20, 20) + (-8 if name == "rear" else 4)
            self.v[f"{name}_out"] = self._sum(
                out_set, self._loading(c.n(0, 5, -12, 12)), self._through(0, by, self.go, 0.5, 0.15)
            )

    def _arms(self) -> None:
        """The front arm about its shoulder, in the chest's axes: azimuth from straight ahead, elevation, bend; the rear elbow's lift."""
        c, contact, rest = self.chance, self.contact, self.stop - self.contact
        cast = c.n(0.35 + 0.3 * (1 - self.craft), 0.22, 0.0, 1.0)  # 0: hands stay in, 1: arms go long at once
        self.cast = cast
        finish = c.of(0.42, 0.2, 0.2, 0.18)  # high, round the shoulder, low, stopped in front
        self.finish = finish
        end = rest * c.u(0.8, 1.0)
        onset = self.go - self.ahead["arm"]
        azimuth, up, bend = c.n(-57, 13, -86, -22), c.n(-6, 12, -36, 24), c.n(68, 16, 28, 108)
        back = (c.u(3, 8), c.u(7, 20), c.u(16, 40))[c.of(0.25, 0.45, 0.3)]
        load = self._loading(-min(back, 92 + azimuth if azimuth > -90 else 2.0))
        # Some hold the hands back until foot down, others let them come along with the stride again.
        slips = c.u(2, 11) if c.yes(0.55) else 0.0
        slip = Pulse(slips, load.end - 0.1, load.end + 0.02, max(load.end + 0.06, min(self.down, self.go + 0.02)))
        raise_, bar = self._loading(c.n(3, 8, -14, 22)), self._loading(c.n(-8 if back > 8 else 0, 10, -36, 14))
        self.reach = c.n(0, 1, -2, 2)  # inside pitch minus, outside plus
        high = c.n(0, 1, -2, 2)  # of the pitch
        self.high = high
        out = c.n(16 + 5 * self.reach, 8, -8, 42)  # the arm's yaw in the field at contact
        k = self._at(contact)
        swing = self._through(
            azimuth + load.amount + slips,
            out - self.v["chest_yaw"][k],
            onset,
            c.n(0.62, 0.08, 0.45, 0.78),
            c.u(0.03, 0.09),
        )
        wraps = (c.u(30, 70), c.u(50, 95), c.u(35, 80), c.u(-5, 30))[finish]
        follow = Pulse(
            wraps * min(1.0, 0.4 + 0.6 * self.full), contact - 0.02, contact + end * c.u(0.28, 0.5), contact + end
        )
        self.v["arm_yaw"] = self._sum(azimuth, load, slip, swing, follow) + self._wave(0.8)
        low = float(np.clip(c.n(-36 + 9 * high, 6, -62, -6), -62, -4))
        dip = c.n(-4, 5, -18, 8)  # hands drop under the way to the ball, or come down on it
        drop = Pulse(dip, onset - 0.02, onset + 0.3 * self.go_s, onset + 0.65 * self.go_s)
        to_ball = self._through(up + raise_.amount + dip, low, onset, c.n(0.5, 0.08, 0.3, 0.68), c.u(0.0, 0.06))
        goes_up = (c.u(48, 85), c.u(30, 55), c.u(-8, 20), c.u(5, 35))[finish] - (low + 36) * 0.6
        lift = Pulse(goes_up, contact + c.u(0.0, 0.06), contact + end * c.u(0.4, 0.6), contact + end)
        settle = Pulse(-c.u(0, 16), self.stop + 0.06, self.stop + 0.35, self.stop + 0.7)
        self.v["arm_up"] = self._sum(up, raise_, drop, to_ball, lift, settle) + self._wave(0.8)
        hit = float(np.clip(c.n(28 - 8 * self.reach, 11, 4, 66), 8, 78))
        longest = float(np.clip(hit + c.n(-18, 12, -45, 10), 3, 75))
        now = bend + bar.amount
        tuck = Pulse(c.n(14 * (1 - cast), 8, -6, 34), onset, onset + 0.25 * self.go_s, onset + 0.55 * self.go_s)
        goes = self._through(now + tuck.amount, hit, onset + self.go_s * (0.45 - 0.45 * cast), 0.72 - 0.2 * cast, 0.03)
        extra = goes.amount * (1 - float(goes.part(np.array([contact]))[0]))
        extend = Pulse(longest - hit - extra, contact - 0.03, contact + c.u(0.02, 0.05), contact + c.u(0.07, 0.15))
        fold = ((c.u(60, 100), c.u(60, 105), c.u(20, 75), c.u(10, 45))[finish] - longest) * min(
            1.0, 0.3 + 0.7 * self.full
        )
        folding = Pulse(fold, contact + c.u(0.02, 0.10), contact + end * c.u(0.45, 0.65), contact + end)
        self.v["bend"] = self._sum(bend, bar, tuck, goes, extend, folding)
        elbow = c.n(42, 20, 0, 92)
        slot = c.n(12 + 30 * (1 - self.craft) * cast, 14, -15, 75)
        self.v["rear_lift"] = self._sum(
            elbow, self._loading(c.n(6, 10, -18, 32)), Pulse(slot - elbow, onset - 0.05, onset + 0.35 * self.go_s, contact - 0.01),
            Pulse(c.u(-10, 40), contact, contact + 0.15, self.stop),
        )  # fmt: skip
        front = c.n(28, 16, -10, 70)
        self.v["front_lift"] = self._sum(
            front,
            self._loading(c.n(0, 8, -15, 20)),
            self._through(0, c.u(-10, 35), onset, 0.5, 0.1),
            Pulse(c.u(-30, 15), contact + 0.05, contact + 0.2, self.stop),
        )
        away = c.u(0.12, 0.34) * self.size if c.yes(0.22) else 0.0
        gone = contact + c.u(0.10, 0.22)
        self.v["let_go"] = self._sum(0.0, Pulse(away, gone, gone + 0.1, max(gone + 0.2, self.stop)))

    def _bat(self) -> None:
        """The hinge of the wrists, the bat's height over the swing plane, and that plane's turns (``dip`` to the plate, ``rise`` ahead)."""
        c, contact, rest = self.chance, self.contact, self.stop - self.contact
        arm = self.v["chest_yaw"] + self.v["arm_yaw"]
        lies, stands = c.n(-140, 28, -215, -75), c.n(56, 15, 14, 86)
        hinge = lies - arm[self._at(self.move)]
        cock = self._loading(c.n(-10, 12, -42, 14))
        points = c.n(-2, 11, -32, 28)  # where the bat points at contact: late and away, early and pulled
        release = self.go + self.go_s * (0.42 - 0.36 * self.cast + c.n(0, 0.06, -0.12, 0.12))
        swing = self._through(
            hinge + cock.amount, points - arm[self._at(contact)], release, c.n(0.72, 0.07, 0.52, 0.86), c.u(0.02, 0.07)
        )
        rolls = c.n(72 * self.full, 22, 10, 125)
        early = c.u(0, 0.07)
        end = rest * c.u(0.92, 1.0)
        follow = Pulse(rolls, contact - 0.03 + early, contact + end * c.u(0.22, 0.5), contact + end)
        self.v["bat_yaw"] = arm + self._sum(hinge, cock, swing, follow)
        waggle = c.of(0.45, 0.35, 0.2)
        quiet = self.move - c.u(0.12, 0.3)
        calm = 1 - Pulse(1.0, quiet - 0.35, quiet - 0.15, quiet).part(self.t)
        shake = calm * np.sin(2 * np.pi * (self.t * c.u(0.8, 2.4) + c.u(0, 1))) * (0, c.u(2, 8), c.u(8, 22))[waggle]
        self.v["bat_yaw"] = self.v["bat_yaw"] + shake * c.u(-1, 1)
        self.v["arm_up"] = self.v["arm_up"] + shake * c.u(-0.35, 0.35)
        self.v["arm_yaw"] = self.v["arm_yaw"] + shake * c.u(-0.2, 0.2)
        flat = release + c.n(0.0, 0.03, -0.07, 0.06)
        falls = Pulse(
            -1.0,
            max(self.down - 0.05, flat - 0.6 * self.go_s),
            flat + 0.1 * self.go_s,
            contact - c.u(0.0, 0.3) * self.go_s,
        )
        leans = self._loading(c.n(-2, 10, -30, 24))
        over = (c.u(-50, 5), c.u(-55, 0), c.u(-15, 25), c.u(-10, 25))[self.finish]
        after = Pulse(over, contact + 0.04, contact + end * c.u(0.45, 0.65), contact + end)
        self.v["bat_up"] = self._sum(stands, leans, falls._replace(amount=-stands - leans.amount), after) + shake
        dip = float(np.clip(c.n(29 - 7 * self.high - 3 * self.reach, 8, 2, 58), 2, 58))
        rise = c.n(5, 11, -22, 30)
        self.v["dip"] = self._sum(
            0.0,
            self._through(0, dip, self.go, 0.5, 0.0),
            Pulse(-dip * c.u(-0.2, 0.8), contact + 0.05, contact + 0.6 * end, contact + end),
        )
        self.v["rise"] = self._sum(
            0.0,
            self._through(0, rise, self.go, 0.5, 0.02),
            Pulse(c.u(-12, 14), contact + 0.02, contact + 0.5 * end, contact + end),
        )

    # From angles to places ----------------------------------------------------------------------------------------------------

    def _lay_hands(self) -> None:
        """Bat and hands, in reach of both arms and clear of the trunk."""
        size, bone = self.size, self.skeleton
        yaw, up, dip, rise = (np.radians(self.v[name]) for name in ("bat_yaw", "bat_up", "dip", "rise"))
        flat = np.stack([np.sin(yaw) * np.cos(up), np.sin(up), np.cos(yaw) * np.cos(up)], 1)
        x, y, z = (
            flat[:, 0],
            flat[:, 1] * np.cos(dip) - flat[:, 2] * np.sin(dip),
            flat[:, 1] * np.sin(dip) + flat[:, 2] * np.cos(dip),
        )
        self.bat = np.stack([x * np.cos(rise) - y * np.sin(rise), x * np.sin(rise) + y * np.cos(rise), z], 1)
        shoulders, chest = self._shoulders()
        bend = np.radians(np.clip(self.v["bend"], 3, 125))
        upper, fore = bone.upper["L"], bone.fore["L"] + 0.08 * size
        long = np.sqrt(upper**2 + fore**2 + 2 * upper * fore * np.cos(bend))
        out, high = np.radians(self.v["arm_yaw"]), np.radians(self.v["arm_up"])
        way = np.stack([np.sin(out) * np.cos(high), np.sin(high), np.cos(out) * np.cos(high)], 1)
        grip = shoulders["L"] + long[:, None] * np.einsum("nab,nb->na", chest, way)
        middle = (shoulders["L"] + shoulders["R"]) / 2
        gap, gone = bone.hand_gap / 2 * self.bat, self.v["let_go"][:, None] * AWAY
        for _ in range(4):
            axis = self.pelvis - middle
            along = np.clip(((grip - middle) * axis).sum(1) / (axis**2).sum(1), -0.75, 1)[:, None]
            grip = _apart(grip, middle + axis * along, 0.26 * size)
            for side, place in (("R", gap + gone), ("L", -gap)):
                arm = 0.965 * (bone.upper[side] + bone.fore[side]) + 0.085 * size
                far = grip + place - shoulders[side]
                now = np.linalg.norm(far, axis=1, keepdims=True)
                grip = grip + far / now * (_below(now, arm, 0.03 * size) - now)
        self.grip = grip
        poles = {}
        for name, sign in (("front", 1), ("rear", -1)):
            lift = np.radians(self.v[f"{name}_lift"])
            pushed = np.stack([sign * (0.2 + np.sin(lift)), -np.cos(lift), np.full(len(lift), -0.25)], 1)
            poles[name] = np.einsum("nab,nb->na", chest, pushed)
        self.poles = poles

    def _shoulders(self) -> tuple[dict[str, np.ndarray], np.ndarray]:
        """Both shoulders [N, 3], and the chest's axes [N, 3, 3], of a trunk under its head with arms not yet laid."""
        bone, body = self.skeleton, self.body
        rows = {side: body.index(f"upperarm01.{side}") for side in "LR"}
        chest = body.index("shoulder01.L")
        quick = np.arange(self.down - 0.12, self.contact + 0.35, 1 / TRUNK_HZ)
        before, after = (
            np.arange(FIRST, quick[0] - 0.03, 3 / TRUNK_HZ),
            np.arange(quick[-1] + 0.04, self.contact + LAST + 0.06, 3 / TRUNK_HZ),
        )
        times = np.concatenate([before, quick, after])
        kept = []
        zero = np.zeros(3)
        foot = FootPose(zero, 0.0, 0.0)
        v = self.v
        for time in times:
            k = min(self._at(time), len(self.t) - 1)
            wish = Stance(
                self.pelvis[k], v["pelvis_yaw"][k], v["pelvis_lean"][k], v["pelvis_side"][k], v["chest_yaw"][k],
                np.array([self.head[k, 0], 0.0, self.head[k, 1]]), v["face_yaw"][k], v["face_down"][k], foot, foot, 0, 0,
                zero, zero, zero, zero,
            )  # fmt: skip
            rotations = np.repeat(np.eye(3)[None], len(body.bones), 0)
            pelvis = turn(wish.pelvis_yaw, "y") @ turn(wish.pelvis_side, "z") @ turn(wish.pelvis_lean, "x")
            bone._set(rotations, pelvis, "root", "pelvis")
            bone._trunk_under_head(rotations, wish, pelvis, turn(wish.face_yaw, "y") @ turn(wish.face_down, "x"))
            places = bone._places(rotations, wish.pelvis)
            kept.append(np.concatenate([places[rows["L"]], places[rows["R"]], rotations[chest].ravel()]))
        fine = CubicSpline(times, np.array(kept))(self.t)
        return {"L": fine[:, :3], "R": fine[:, 3:6]}, fine[:, 6:].reshape(-1, 3, 3)

    def _keep(self) -> None:
        """Everything that a moment wishes for in one table."""
        names = (
            "pelvis_yaw", "pelvis_lean", "pelvis_side", "chest_yaw", "face_yaw", "face_down", "front_yaw", "front_heel", "rear_yaw",
            "rear_heel", "front_out", "rear_out", "let_go",
        )  # fmt: skip
        wide = (
            self.pelvis,
            self.head,
            self.front,
            self.rear,
            self.grip,
            self.bat,
            self.poles["front"],
            self.poles["rear"],
        )
        self.table = np.concatenate([np.stack([self.v[name] for name in names], 1), *wide], 1)

    def _tell_times(self) -> None:
        """The instants of the motion as it came out, by the definitions of the truth."""
        t, contact = self.t, self.contact
        hands = self.grip - self.pelvis
        pace = np.linalg.norm(np.gradient(hands, 1 / RATE, axis=0), axis=1)
        down = self._landed()
        before = (t > self.move - 0.3) & (t < down)
        load = t[before][hands[before, 0].argmin()]
        rising = (t > load) & (t <= contact)
        start = t[rising & (pace < 0.15 * pace[rising].max())]
        spin = np.degrees(np.linalg.norm(np.gradient(self.bat, 1 / RATE, axis=0), axis=1))
        stops = t[(t > contact + 0.05) & (spin < 40)]
        self.timings = [
            Timing(
                contact, contact - down, contact - float(start[-1] if len(start) else load), down - float(load),
                float(load) - self.move, float(stops[0]) - contact,
            )
        ]  # fmt: skip

    def _landed(self) -> float:
        """When the front foot rests: heel or toe within 5 mm of the ground and the toe slower than 0.3 m/s, but for the last 0.14 s."""
        rest, yaw, heel = (
            self.skeleton.foot_rest["L"],
            np.radians(self.v["front_yaw"]),
            np.radians(self.v["front_heel"]),
        )
        way = self.skeleton.foot_turn("L", FootPose(np.zeros(3), 0.0, 0.0))[0].T @ np.array([0.0, 0.0, 1.0])
        joint = self.body.head("toe2-1.L") - rest["ball"]
        ahead, behind = (float(np.linalg.norm(rest[end] - rest["ball"])) for end in ("toe", "heel"))
        # The toe's own joint turns with the foot, and carries a toe that stays level while the heel is up.
        near, tip = float(joint @ way), np.minimum(heel, 0)
        along = near * np.cos(heel) + joint[1] * np.sin(heel) + (ahead - near) * np.cos(tip) + joint[1] * -np.sin(tip)
        up = joint[1] * np.cos(heel) - near * np.sin(heel) - (ahead - near) * np.sin(tip) - joint[1] * np.cos(tip)
        toe = self.front + np.stack([np.sin(yaw) * along, up, np.cos(yaw) * along], 1)
        high = np.minimum(toe[:, 1], self.front[:, 1] + behind * np.sin(heel))
        moves = (high > 0.005) | (np.linalg.norm(np.gradient(toe, 1 / RATE, axis=0), axis=1) > 0.3)
        late = self.t[moves & (self.t < self.contact - 0.14)]
        landing = self.t[moves & (self.t < self.contact) & (self.t > self.down - 0.03) & (high > 0.005)]
        return float(max(late[-1] if len(late) else self.down, landing[-1] if len(landing) else 0.0))

    def sound(self) -> bool:
        """Whether the motion can be read as one swing: a load before it, and hands that gather speed as fast as hands do."""
        t = self.timings[0]
        if t.load - t.move < 0.12:
            return False
        k = self._at(self.contact)
        hands = self.grip - self.pelvis
        every = np.linalg.norm(np.gradient(hands, 1 / RATE, axis=0), axis=1)
        pace = every[k - 350 : k + 1]
        steps = np.linalg.norm(np.gradient(self.front, 1 / RATE, axis=0), axis=1) < 0.05
        still = (
            steps & (every < 0.07) & (self.t > max(t.move - 0.35, 0.05)) & (self.t < min(t.load - 0.13, t.move + 0.3))
        )
        back = hands[: self._at(t.load), 0]
        # Hands that hardly go back have no farthest place that a film could show.
        gone = back[self._at(t.move - 0.3) : self._at(t.move + 0.12)].min() - back[-1] > 0.012 * self.body.height
        # Hands that never pause between load and swing have no start of their own; wrists differ from the grip by some hundredths.
        rests = pace[self._at(t.load) - (k - 350) :].min() if t.load > self.contact - 0.35 else pace.min()
        before = (
            gone
            and still.sum() > 60
            and rests < 0.1 * pace.max()
            and t.start - t.load > 0.025
            and t.contact - t.down > 0.03
        )
        spin = np.degrees(np.linalg.norm(np.diff(self.bat, axis=0), axis=1) * RATE).max()
        quick = 0.35 * pace.max() < pace[-1] and pace.max() < 11.0 and spin < 3300
        return bool(before and quick and 0.105 < t.start_to_contact < 0.36) and self._wrists_back() < t.start - 0.012

    def _wrists_back(self) -> float:
        """When the wrists, which the bat turns about the grip, are farthest back."""
        t = self.timings[0]
        times = np.linspace(t.load - 0.06, t.down, 14)
        posed = [self.skeleton.pose(self.wish(float(time))).joints for time in times]
        back = [sum(p[f"{side}_wrist"][0] - p[f"{side}_hip"][0] for side in ("left", "right")) for p in posed]
        return float(times[int(np.argmin(back))])

    def wish(self, time: float) -> Stance:
        """What the body is wished to do at ``time``."""
        place = min(max((time - FIRST) * RATE, 0.0), len(self.table) - 1.001)
        k = int(place)
        row = self.table[k] + (self.table[k + 1] - self.table[k]) * (place - k)
        v = row[:13].tolist()
        bat = row[27:30]
        return Stance(
            pelvis=row[13:16], pelvis_yaw=v[0], pelvis_lean=v[1], pelvis_side=v[2], chest_yaw=v[3], head=np.array([row[16], 0.0, row[17]]),
            face_yaw=v[4], face_down=v[5], front_foot=FootPose(row[18:21], v[6], v[7]), rear_foot=FootPose(row[21:24], v[8], v[9]),
            front_knee_out=v[10], rear_knee_out=v[11], grip=row[24:27], bat=bat / np.sqrt(bat @ bat), front_elbow=row[30:33],
            rear_elbow=row[33:36], let_go=v[12],
        )  # fmt: skip


def _soft(value: np.ndarray, width: float) -> np.ndarray:
    """``value`` where it is above 0, else 0, with a rounded corner as wide as ``width``."""
    return (value + np.sqrt(value**2 + width**2)) / 2


def _below(value: np.ndarray, limit: float, width: float) -> np.ndarray:
    """``value`` kept below about ``limit``, with a rounded corner."""
    return limit - _soft(limit - value, width) + width**2 / (4 * limit)


def _apart(point: np.ndarray, axis: np.ndarray, least: float) -> np.ndarray:
    """Points [N, 3] moved level away from others to stand ``least`` apart."""
    out = point - axis
    far = np.linalg.norm(out, axis=1, keepdims=True)
    return np.asarray(axis + out / np.maximum(far, 1e-6) * (least + _soft(far - least, 0.04 * least)))


def sequence_swing(body: Body, rng: np.random.Generator, contact: float) -> Sequence:
    """A hitter's swing of ``body``, drawn from ``rng``; the ball is met at ``contact`` seconds."""
    swing = Sequence(body, rng, contact)
    for _ in range(TRIES):
        if swing.sound():
            break
        swing = Sequence(body, rng, contact)
    return swing
