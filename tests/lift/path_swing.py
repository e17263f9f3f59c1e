"""Swings whose bat and hands are planned first, as curves in space with a speed along them; the body is solved after them.

The hands go round the breastbone on a curve of azimuth, distance and height: from a waiting place back into the load, down through
a slot, through a contact point drawn anywhere a ball can be hit, out, and round to a finish. The barrel turns in a plane of its own
tilt. Chest and pelvis then turn as far as the hands need, each with its own share and lead; the trunk leans with the height of
the ball, the pelvis sinks as far as the legs ask, the head follows the ball or pulls off.

Axes are the right-handed hitter's: x toward the pitcher, y up, z toward the plate. Azimuths are degrees from +z toward +x, so that
0 is toward the plate, 90 the pitcher, -90 the catcher. Lengths are metres at 1.78 m unless said, angles degrees, times seconds.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.interpolate import CubicSpline, PchipInterpolator
from scipy.ndimage import gaussian_filter1d, minimum_filter1d

from tests.films.body import Body
from tests.films.manner import Timing
from tests.films.skeleton import Skeleton
from tests.films.stance import FootPose, Stance
from tests.films.turning import unit

from .movers import Swing

__all__ = ["PathSwing", "path_swing"]

STEP = 0.004  # s between rows of the tables
SOFT_S = 0.009  # muscles round the corners of every speed
AFTER_S = 1.35  # s of table after contact
STRIDES = ("stride", "kick", "none", "tap", "double")
STRIDE_SHARES = (0.46, 0.21, 0.13, 0.12, 0.08)
TRIES = 12  # until a swing is one that people make
QUIET, STOPPED, START_SHARE, RESTS = 0.10, 40.0, 0.15, 0.30  # as the instants are defined


class PathSwing(Swing):
    """One swing of one hitter."""

    def __init__(self, body: Body, rng: np.random.Generator, contact: float) -> None:
        self.body, self.loose = body, 0.0
        self.bat_length = float(np.clip(rng.normal(0.455, 0.03) * body.height, 0.55, 0.88))
        self.skeleton = Skeleton(body, self.bat_length)
        self.size, self.rng, self.contact = self.skeleton.scale, rng, contact
        self.time = np.arange(-0.1, contact + AFTER_S, STEP)
        # A hitter's quickness, skill and power go together loosely, and grow with the body.
        grown = float(np.clip((body.height - 1.25) / 0.5, 0, 1))
        self.quick = float(np.clip(rng.normal(0.25 + 0.45 * grown, 0.24), 0, 1))
        self.skill = float(np.clip(rng.normal(0.35 + 0.25 * grown, 0.27), 0, 1))
        self.power = float(np.clip(rng.normal(0.5, 0.28), 0, 1))
        self._draw_times()
        self._draw_ball()
        self._plan_feet()
        self._plan_carriage()
        self._plan_hands()
        self._plan_bat()
        self._turn_trunk()
        self._face_ball()
        self._settle()
        self._spline = CubicSpline(self.time, self._table())
        self.timings = [self._timing()]

    # What is drawn

    def _draw(self, low: float, high: float, lean: float = 0.5, sharp: float = 2.2) -> float:
        """A number between two ends, most likely near the share ``lean`` of the way."""
        lean = float(np.clip(lean, 0.08, 0.92))
        return low + (high - low) * float(self.rng.beta(sharp * 2 * lean, sharp * 2 * (1 - lean)))

    def _curve(self, keys: Sequence[tuple[float, float]], soft: float = 0.02) -> np.ndarray:
        """Values [F] through keys (time, value); keys that stand too close are pushed on a little."""
        times = [keys[0][0]]
        for time, _ in keys[1:]:
            times.append(max(time, times[-1] + 0.012))
        values = np.array([value for _, value in keys])
        table = PchipInterpolator(times, values)(np.clip(self.time, times[0], times[-1]))
        return gaussian_filter1d(table, soft / STEP, mode="nearest")

    def _draw_times(self) -> None:
        draw, rng = self._draw, self.rng
        self.swing_s = float(np.clip(0.275 - 0.15 * self.quick + rng.normal(0, 0.018), 0.115, 0.31))
        self.gap = float(np.clip(rng.normal(0.05, 0.065), -0.09, 0.26))  # hands go after the foot is down
        self.start = self.contact - self.swing_s
        self.down = min(self.start - self.gap, self.contact - 0.065)
        # Quickest hands, and the start of a slow beginning: the start is told by 15 % of the peak.
        self.peak = self.contact + draw(-0.065, 0.02, 0.42) * self.swing_s / 0.17
        self.rise = draw(0.8, 1.8, 0.4)
        self.go = self.peak - (self.swing_s - (self.contact - self.peak)) / (1 - START_SHARE ** (1 / self.rise))
        self.load = min(self.down, self.go) - draw(0.05, 0.40, 0.40)
        self.move = max(self.load - draw(0.22, 0.85, 0.45), 0.55)
        self.load = max(self.load, self.move + 0.2)
        self.follow_s = draw(0.34, 0.70, 0.5)
        self.stop = self.contact + self.follow_s

    def _draw_ball(self) -> None:
        """Where the ball is met: height, how far out and ahead; and how the plane of the barrel lies there."""
        draw, rng, tall = self._draw, self.rng, self.body.height
        self.low = draw(0, 1, 0.5, 1.2)  # 0 at the letters, 1 at the shins
        ball = tall * (0.67 - 0.42 * self.low)
        self.hit_height = tall * (0.615 - 0.165 * self.low + rng.normal(0, 0.012))  # of the hands
        drop = (self.hit_height - ball) / (0.72 * self.bat_length)
        self.tilt = float(np.clip(np.degrees(np.arcsin(np.clip(drop, -0.2, 0.75))) + rng.normal(0, 3), -10, 48))
        self.attack = float(np.clip(rng.normal(6 + 6 * self.power - 9 * (rng.random() < 0.2), 7), -20, 27))
        self.early = float(rng.normal(0, 11) + (18 if rng.random() < 0.12 else 0))  # barrel's azimuth there
        self.inside = draw(0, 1, 0.5, 1.2)
        self.pull_off = draw(0, 1, 0.7, 1.2) if rng.random() < 0.35 - 0.25 * self.skill else draw(0, 0.35, 0.2)
        self.brace = draw(0, 1, 0.35 + 0.4 * self.skill, 1.2)  # front leg straight at contact

    # What is planned, in this order

    def _plan_feet(self) -> None:
        draw, rng, size, down, contact = self._draw, self.rng, self.size, self.down, self.contact
        self.stride = str(rng.choice(STRIDES, p=STRIDE_SHARES))
        width = draw(0.30, 0.86, 0.45) * size
        if self.stride == "none":
            width = draw(0.52, 0.95, 0.5) * size
        go = {"stride": draw(0.05, 0.36, 0.45), "kick": draw(0.14, 0.48, 0.5), "none": draw(-0.01, 0.03)}
        step = go.get(self.stride, draw(0.05, 0.34, 0.5)) * size
        last = float(np.clip(width + step, 0.40 * size, 0.92 * size))
        opens = float(rng.normal(0, 0.08) * size)  # front foot's place across: less is open
        across = opens + float(
            rng.normal(-0.01, 0.045) * size - (0.16 * draw(0.3, 1) * size if rng.random() < 0.13 else 0)
        )
        if self.stride == "none":
            across = opens
        yaw0 = draw(-8, 42, 0.35)
        yaw1 = float(np.clip(yaw0 + rng.normal(16, 21), -8, 80))
        roll = draw(0, 28, 0.35, 1.0) * (rng.random() < 0.7)
        lift = {"stride": draw(0.02, 0.14, 0.3), "kick": draw(0.16, 0.44), "none": draw(0.014, 0.05)}.get(
            self.stride, draw(0.03, 0.14)
        ) * size
        up = float(np.clip(self.move + draw(0.0, 0.5) * (self.load - self.move), self.move, down - 0.16))
        x0, x1, span = width, last, down - up
        hang = draw(0.35, 0.7)  # of the time in the air, when the foot is highest
        x_keys, y_keys, z_keys = [(up, x0)], [(up, 0.0)], [(up, opens), (down, across)]
        if self.stride in ("tap", "double"):
            tap = draw(-0.02, 0.24) * size if self.stride == "tap" else draw(-0.05, 0.08) * size
            touch = 0.0 if rng.random() < 0.6 else 0.018 * size
            at = up + 0.45 * span
            x_keys += [(at, x0 - tap), (at + 0.06, x0 - tap)]
            y_keys += [(up + 0.22 * span, lift), (at, touch), (at + 0.06, touch), (up + 0.76 * span, 0.7 * lift)]
        elif self.stride == "kick":
            x_keys += [(up + hang * span, x0 - draw(0.0, 0.26) * size)]
            y_keys += [(up + hang * span, lift), (up + min(hang + 0.12, 0.8) * span, 0.96 * lift)]
        else:
            hover = draw(0.2, 0.9)
            y_keys += [(up + 0.35 * span, lift), (up + 0.72 * span, lift * hover)]
        x_keys.append((down, x1))
        y_keys.append((down, 0.0))
        landing = rng.choice(["toe", "flat", "heel"], p=[0.5, 0.38, 0.12])
        heel = {"toe": draw(6, 34), "flat": draw(0, 4), "heel": -draw(4, 13)}[landing]
        settle = min(draw(0.03, 0.12), 0.8 * (contact - down))
        lifted = 0.0 if landing == "heel" else draw(4, 30)
        raise_keys = [(up, 0.0), (up + 0.4 * span, max(heel, lifted)), (down - 0.012, heel), (down + settle, 0.0)]
        peel = draw(0, 14) * (rng.random() < 0.3)  # edge of the braced foot comes up, told as its heel
        raise_keys += [(contact + 0.02, 0.0), (contact + 0.25, peel)]
        front = {"x": self._curve(x_keys, 0.012), "y": self._curve(y_keys, 0.012), "z": self._curve(z_keys, 0.012)}
        front["yaw"] = self._curve(
            [(up, yaw0), (down, yaw1), (contact, yaw1 + 0.15 * roll), (contact + 0.3, yaw1 + roll)]
        )
        front["heel"] = self._curve(raise_keys, 0.012)
        # A foot set down on its heel turns about the heel, so that its ball lies higher until it is flat.
        back = float(np.linalg.norm(self.skeleton.foot_rest["L"]["heel"] - self.skeleton.foot_rest["L"]["ball"]))
        front["y"] = front["y"] + back * np.sin(np.radians(np.maximum(0, -front["heel"])))
        self.front, self.up = front, up
        self._plan_rear_foot()

    def _plan_rear_foot(self) -> None:
        draw, rng, size, contact = self._draw, self.rng, self.size, self.contact
        kind = rng.choice(["pivot", "drag", "flat", "lift"], p=[0.55, 0.18, 0.15, 0.12])
        yaw0 = draw(-22, 24)
        turned = {"pivot": draw(35, 85), "drag": draw(20, 65), "flat": draw(0, 18), "lift": draw(20, 70)}[kind]
        heel = {"pivot": draw(18, 62), "drag": draw(25, 60), "flat": draw(0, 9), "lift": draw(25, 55)}[kind]
        onward = {"pivot": draw(0, 0.03), "drag": draw(0.05, 0.26), "flat": 0.0, "lift": draw(0.02, 0.24)}[kind] * size
        high = draw(0.02, 0.12) * size if kind == "lift" else 0.0
        begin = max(self.down - 0.06, contact - draw(0.10, 0.26))
        by = draw(0.35, 0.9)  # share of the turn that is done at contact
        end = contact + draw(0.12, 0.36)

        def keys(first: float, last: float, share: float) -> np.ndarray:
            return self._curve([(begin, first), (contact, first + share * (last - first)), (end, last)])

        zero = np.zeros(len(self.time))
        self.rear = {
            "x": keys(0, onward, 0.3 * by), "y": self._curve([(contact - 0.04, 0.0), (contact + 0.12, high), (end + 0.25, 0.0)]),
            "z": zero + keys(0, float(rng.normal(0, 0.2)) * onward, 0.2), "yaw": keys(yaw0, yaw0 + turned, by),
            "heel": keys(0, heel, by * draw(0.6, 1)),
        }  # fmt: skip
        self.rear_kind = kind

    def _ankle(self, side: str, foot: dict[str, np.ndarray]) -> np.ndarray:
        """Ankles [F, 3] of a foot's poses."""
        rest = self.skeleton.foot_rest[side]
        behind, above = self.skeleton.ball_ahead, float(rest["ankle"][1])
        yaw, heel = np.radians(foot["yaw"]), np.radians(foot["heel"])
        away = -behind * np.cos(heel) + above * np.sin(heel)
        y = foot["y"] + self.skeleton.sole + above * np.cos(heel) + behind * np.sin(heel)
        return np.stack([foot["x"] + away * np.sin(yaw), y, foot["z"] + away * np.cos(yaw)], 1)

    def _plan_carriage(self) -> None:
        """How the weight is carried between the feet, and where the head is kept over it."""
        draw, rng, size, contact = self._draw, self.rng, self.size, self.contact
        sway = draw(0, 1, 0.4)
        wait = draw(0.34, 0.62)
        back = float(np.clip(wait - draw(0.02, 0.26) - 0.04 * (self.stride == "kick"), 0.10, 0.6))
        down = float(np.clip(back + draw(0.02, 0.24), 0.18, 0.60))
        hit = float(np.clip(down + draw(-0.02, 0.32), 0.28, 0.78))
        end = float(np.clip(hit + rng.normal(0.0, 0.16), 0.15, 0.90))
        share = self._curve(
            [
                (self.move, wait),
                (self.load - 0.03, back),
                (self.down + 0.02, down),
                (contact + 0.02, hit),
                (self.stop, end),
            ],
            0.03,
        )
        self.ankles = {"L": self._ankle("L", self.front), "R": self._ankle("R", self.rear)}
        # Feet in the air carry nothing: the front one's place counts where it stood, then where it will stand.
        ahead = self._curve([(self.up, self.front["x"][0]), (self.down, self.front["x"][-1])], 0.03)
        across = self._curve([(self.up, self.front["z"][0]), (self.down, self.front["z"][-1])], 0.03)
        x = self.ankles["R"][0, 0] * (1 - share) + ahead * share
        leans = draw(0.05, 0.42, 0.36, 1.6) * size  # head ahead of the hips, toward the plate
        leans_hit = leans + (draw(-0.08, 0.06) + 0.15 * (self.low - 0.35)) * size - 0.10 * self.pull_off * size
        leans_end = leans_hit + (draw(-0.2, 0.06, 0.5) + 0.1 * rng.normal(0, 0.5)) * size
        toward = self._curve(
            [
                (self.move, leans),
                (self.down, leans + draw(-0.04, 0.05) * size),
                (contact, leans_hit),
                (self.stop, leans_end),
            ]
        )
        off = draw(-0.05, 0.04) * size
        falls = rng.normal(0, 0.05) * size
        z = across * 0.5 - 0.45 * toward + off + self._curve([(contact - 0.1, 0.0), (self.stop + 0.1, falls)], 0.03)
        # A still head stays where it is while the hips go; one that goes with them sways.
        still = 1 - sway
        head_x = draw(-0.07, 0.05) * size - still * 0.48 * (x - x[0])
        head_x = head_x + self._curve(
            [(self.down, 0.0), (contact, draw(-0.13, 0.07) * size), (self.stop, draw(-0.08, 0.16) * size)], 0.03
        )
        self.lean_x = 0.24 * size * np.tanh(head_x / (0.24 * size))
        self.lean_z = np.clip(toward, -0.12 * size, 0.45 * size)
        self.hips = np.stack([x, np.zeros_like(x), z], 1)

    def _stand(self, pelvis_yaw: np.ndarray) -> None:
        """Let the pelvis down as far as the legs ask."""
        draw, contact = self._draw, self.contact
        bend, more = draw(5, 50, 0.40, 1.6), draw(-3, 18)
        soft = 4 + 44 * (1 - self.brace) * draw(0.5, 1)
        keys = {
            "L": [
                (self.move, bend), (self.down, max(bend + draw(-22, 8), 6)), (contact, soft), (contact + 0.15, soft * draw(0.5, 1)),
                (self.stop, draw(3, 30, 0.3)),
            ],
            "R": [
                (self.move, draw(5, 50, 0.36, 1.6)), (self.load, bend + more), (self.down, bend + more + draw(-8, 8)),
                (contact, draw(8, 26)), (self.stop, draw(8, 40)),
            ],
        }  # fmt: skip
        half = np.linalg.norm(self.body.head("upperleg01.L") - self.body.head("upperleg01.R")) / 2
        yaw = np.radians(pelvis_yaw)
        beside = np.stack([np.cos(yaw), 0 * yaw, -np.sin(yaw)], 1) * half

        def top(side: str, sign: int) -> np.ndarray:
            flex = np.radians(np.clip(self._curve(keys[side], 0.03), 4, 75))
            thigh, shank = self.skeleton.thigh[side], self.skeleton.shank[side]
            chord2 = thigh**2 + shank**2 + 2 * thigh * shank * np.cos(flex)
            away = (self.hips + sign * beside - self.ankles[side])[:, [0, 2]]
            return self.ankles[side][:, 1] + np.sqrt(np.maximum(chord2 - (away**2).sum(axis=1), (0.5 * thigh) ** 2))

        front = top("L", 1)
        # The front leg carries the swing: a rear leg that is too short for it comes up on its toe, and then forward.
        for gain in (1.0, 0.8, 0.6):
            short = (
                np.logaddexp(0, (front - top("R", -1)) * 40)
                / 40
                * self._curve([(self.down - 0.02, 0.0), (contact, 1.0)], 0.02)
            )
            if self.rear_kind != "flat":
                more_heel = 62 * np.tanh(gain * np.degrees(short / self.skeleton.ball_ahead) / 62)
                self.rear["heel"] = np.minimum(self.rear["heel"] + more_heel, 40 + 0.45 * self.rear["heel"])
            self.rear["x"] = self.rear["x"] + np.maximum.accumulate(gain * 0.55 * short) * (self.rear_kind != "flat")
            self.ankles["R"] = self._ankle("R", self.rear)
        rear, sharp = top("R", -1), 55 / self.size
        self.hips[:, 1] = -np.logaddexp(-sharp * front, -sharp * rear) / sharp
        self.hips[:, 1] = gaussian_filter1d(self.hips[:, 1], 0.016 / STEP, mode="nearest") - 0.004

    def _law(
        self, begin: float, peak: float, rise: float, end: float, before: float, after: float, most: float = 12.0
    ) -> tuple[np.ndarray, float]:
        """Way gone [F]: 0 until ``begin``, ``before`` at contact, ``before + after`` from ``end``; quickest at ``peak``.

        How fast it slows down follows from the way that is left; no faster than muscles can, so the way after contact may become
        longer: it is told too.
        """
        time = self.time
        up = np.clip((time - begin) / (peak - begin), 0, 1) ** rise
        low, high = 0.4, most
        way = up
        k = int(np.searchsorted(time, self.contact))
        for _ in range(28):
            fall = (low + high) / 2
            speed = np.where(time < peak, up, np.clip((end - time) / (end - peak), 0, 1) ** fall)
            way = np.cumsum(gaussian_filter1d(speed, SOFT_S / STEP))
            low, high = (fall, high) if (way[-1] - way[k]) * before > after * way[k] else (low, fall)
        return way / way[k] * before, float(way[-1] / way[k] - 1) * before

    def _plan_hands(self) -> None:
        """The hands' curve round the breastbone and their speed along it."""
        draw, rng, size = self._draw, self.rng, self.size
        wait = np.array([draw(-108, -38, 0.5), draw(0.15, 0.31), draw(-0.20, 0.12, 0.5)])
        travel = draw(0, 1, 0.45)
        # Hips that go back under a still head would leave the hands ahead of where they waited.
        stays = 0.25 * float(np.diff(np.interp([self.move, self.load], self.time, self.lean_x))[0]) / size
        at = self._round(wait[None])[0] / size + [
            -0.02 - draw(0, 0.17) * travel - max(stays, 0),
            draw(-0.13, 0.11) * travel,
            draw(-0.12, 0.06) * travel,
        ]
        load = np.array([np.degrees(np.arctan2(at[0], at[2])), np.hypot(at[0], at[2]), at[1]])
        load[0] -= 360 if load[0] > 0 else 0
        load[:2] = max(load[0], -140), min(load[1], 0.41)
        hitch = draw(0, 0.13) * (rng.random() < 0.22)  # dropped and raised again
        drift = draw(0, 1, 0.35) * min(1.0, (self.go - self.load) / 0.3)
        launch = load + drift * np.array([14, -0.02, -0.05])
        casting = draw(0, 1, 0.6 - 0.35 * self.skill, 1.5)
        arm = (self.skeleton.upper["L"] + self.skeleton.fore["L"]) / size
        chest = self._shoulder_height() / size
        reach = arm * draw(0.64, 0.98, 0.5, 1.1)
        hit = np.array(
            [
                draw(2, 48, 0.45) + 0.35 * self.early,
                min(0.27 + 0.15 * (1 - self.inside) + draw(-0.03, 0.05), 0.95 * reach),
                self.hit_height / size - chest,
            ]
        )
        slot = np.array(
            [
                launch[0] + (hit[0] - launch[0]) * draw(0.38, 0.55),
                0.20 + 0.20 * casting,
                launch[2] + (hit[2] - launch[2]) * draw(0.45, 0.85),
            ]
        )
        rise = hit[2] + draw(-0.02, 0.14)
        out = np.array([hit[0] + draw(25, 62), np.sqrt(max(reach**2 - min(rise**2, 0.8 * reach**2), 0.08)), rise])
        style = rng.choice(["high", "level", "low", "short"], p=[0.42, 0.26, 0.16, 0.16])
        high = {
            "high": draw(-0.02, 0.28),
            "level": draw(-0.16, 0.04),
            "low": draw(-0.52, -0.16),
            "short": draw(-0.34, 0.08),
        }[style]
        far = out[0] + (draw(8, 45) if style == "short" else draw(55, 115))
        end = np.array([min(far, 205), draw(0.25, 0.42) if style == "short" else draw(0.21, 0.34), high])
        between = np.array(
            [0.5 * (out[0] + end[0]), 0.6 * out[1] + 0.4 * end[1], 0.45 * out[2] + 0.55 * end[2] + draw(-0.02, 0.05)]
        )
        self.style, points = style, np.array([launch, slot, hit, out, between, end])
        points[:, 1] = np.maximum(points[:, 1], 0.19)
        flat = np.stack([np.radians(points[:, 0]) * points[:, 1], points[:, 1], points[:, 2]], 1)
        knots = np.concatenate([[0], np.cumsum(np.maximum(np.linalg.norm(np.diff(flat, axis=0), axis=1), 0.04))])
        dense = np.linspace(0, knots[-1], 600)
        path = gaussian_filter1d(PchipInterpolator(knots, points)(dense), 10, axis=0, mode="nearest")
        place = self._round(path)
        gone = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(place, axis=0), axis=1))])
        at_hit = float(np.interp(knots[2], dense, gone))
        way, _ = self._law(self.go, self.peak, self.rise, self.stop - draw(0.0, 0.10), at_hit, gone[-1] - at_hit)
        way = np.minimum(way, gone[-1])
        swing = np.stack([np.interp(way, gone, path[:, k]) for k in range(3)], 1) - path[0]
        middle = 0.5 * (self.move + self.load)
        until = max(self.go + 0.02, self.load + 0.06)
        before = [
            self._curve(
                [
                    (self.move, wait[k]),
                    (middle, 0.5 * (wait[k] + load[k]) - hitch * (k == 2)),
                    (self.load, load[k]),
                    (until, launch[k]),
                ],
                0.025,
            )
            for k in range(3)
        ]
        self.way, self.way_hit, self.arc = way, at_hit, gone[-1]
        self.hands = np.stack(before, 1) + swing
        relax = self._curve([(self.stop + 0.12, 0.0), (self.stop + 0.75, draw(0, 0.14))], 0.03)
        self.hands[:, 2] -= relax
        self.hands[:, 0] -= 60 * relax

    def _shoulder_height(self) -> float:
        """About how high the shoulders are at contact, metres: the trunk's lean and the legs' bend take off some."""
        stands = float(self.body.head("upperarm01.L")[1])
        return stands * (0.915 - 0.03 * self.low)

    def _round(self, path: np.ndarray) -> np.ndarray:
        """Places [N, 3] in metres of azimuth, distance and height round the breastbone."""
        azimuth = np.radians(path[:, 0])
        return np.stack([path[:, 1] * np.sin(azimuth), path[:, 2], path[:, 1] * np.cos(azimuth)], 1) * self.size

    def _plan_bat(self) -> None:
        """The barrel's turn in its plane, and how far it stands out of the plane before and after."""
        draw, rng, contact = self._draw, self.rng, self.contact
        tilt, attack = np.radians(self.tilt), np.radians(self.attack)
        ahead = np.array([np.cos(attack), np.sin(attack), 0])
        plate = unit(np.array([0, -np.sin(tilt), np.cos(tilt)]) - ahead * (-np.sin(tilt) * np.sin(attack)))
        normal = np.cross(plate, ahead)

        def in_plane(azimuth: float, raised: float) -> tuple[float, float]:
            """Turn in the plane and angle out of it of a direction told by azimuth and elevation."""
            a, e = np.radians(azimuth), np.radians(raised)
            way = np.array([np.cos(e) * np.sin(a), np.sin(e), np.cos(e) * np.cos(a)])
            turn = np.degrees(np.arctan2(way @ ahead, way @ plate))
            return (turn - 360 if turn > 30 else turn), float(np.degrees(np.arcsin(np.clip(way @ normal, -1, 1))))

        wait = in_plane(draw(-235, -70, 0.5), draw(0, 86, 0.60, 1.6))
        load = in_plane(draw(-225, -95, 0.5), draw(2, 84, 0.58, 1.5))
        if abs(load[0] - wait[0]) > 100:  # nobody wraps the bat half round while loading
            load = (wait[0] + 60 * np.sign(load[0] - wait[0]), load[1])
        launch = (float(np.clip(load[0] + draw(-8, 22), -245, -95)), min(load[1], 70) - draw(0, 14))
        hit = self.early
        sweep = hit - launch[0]
        full = {"high": draw(215, 320), "level": draw(180, 290), "low": draw(170, 270), "short": draw(85, 170)}[
            self.style
        ] - 0.4 * hit
        lag = draw(0.0, 0.26, 0.3 + 0.25 * self.skill) * self.swing_s
        peak = contact + draw(-0.03, 0.028, 0.5) * self.swing_s / 0.17
        turn, full = self._law(self.go + lag, peak, draw(0.8, 1.7), self.stop + 0.02, sweep, full, 5.0)
        done = np.clip(self.way / (draw(0.5, 0.8) * self.way_hit), 0, 1)
        left = (1 - done**2 * (3 - 2 * done)) * launch[1]
        tail = np.clip((turn - sweep - 40) / max(full - 40, 30), 0, 1)
        stands = {"high": draw(-15, 50), "level": draw(-15, 35), "low": draw(-30, 20), "short": draw(-20, 45)}[
            self.style
        ]
        until = max(self.go + 0.02, self.load + 0.06)
        early = [self._curve([(self.move, wait[k]), (self.load, load[k]), (until, launch[k])], 0.03) for k in range(2)]
        waggle = draw(0, 14, 0.35) * (rng.random() < 0.6)
        rate = draw(0.7, 2.0)
        calm = np.clip((self.move - draw(0.22, 0.36) - self.time) / 0.25, 0, 1)
        shake = waggle * calm**2 * (3 - 2 * calm) * np.sin(2 * np.pi * rate * self.time + rng.uniform(0, 6))
        phi = np.radians(early[0] + turn + shake)
        out = np.radians(early[1] - launch[1] + left + tail**2 * (3 - 2 * tail) * stands + 0.6 * shake)
        self.bat = (
            np.cos(out)[:, None] * (np.cos(phi)[:, None] * plate + np.sin(phi)[:, None] * ahead)
            + np.sin(out)[:, None] * normal
        )
        self.turned, self.swept, self.full = turn, sweep, full
        one = rng.random() < 0.27 and self.style != "short"
        self.let_go = self._curve(
            [(contact + draw(0.10, 0.2), 0.0), (self.stop, draw(0.12, 0.34) * self.size * one)], 0.02
        )

    def _ahead(self, lead: float) -> np.ndarray:
        """How far the swing has come [F]: 0 before, 1 at contact, 2 at its end; seen ``lead`` seconds ahead until contact."""
        fade = self._curve([(self.contact - 0.02, 1.0), (self.stop, 0.0)], 0.02)
        way = np.interp(self.time + lead * fade, self.time, self.way)
        gone = np.where(way < self.way_hit, way / self.way_hit, 1 + (way - self.way_hit) / (self.arc - self.way_hit))
        return gaussian_filter1d(gone, 0.012 / STEP, mode="nearest")

    def _turn_trunk(self) -> None:
        """Chest and pelvis turn as the hands need them, each ahead of the hands by a time of its own."""
        draw, rng = self._draw, self.rng
        coil, coiled = draw(-2, 26, 0.4), draw(-3, 22, 0.4)
        first = draw(-18, 16)
        hips0, chest0 = first, first + draw(-18, 6)
        hips_hit = draw(38, 92, 0.42 + 0.2 * self.power) + 0.25 * self.early
        chest_hit = hips_hit - draw(-12, 34, 0.4) + 6 * self.pull_off
        hips_end = max(hips_hit + draw(0, 38), 62)
        chest_end = chest_hit + draw(12, 70) * (0.6 if self.style == "short" else 1)
        hands_first = rng.random() < 0.18 * (1.4 - self.skill)
        lead = draw(0.02, 0.10, 0.35 + 0.3 * self.skill) * self.swing_s / 0.17 * (0.2 if hands_first else 1)
        late = draw(0.0, 0.6) * lead
        opening = draw(-4, 26, 0.3) * (rng.random() < 0.75)  # hips that open while the foot comes down
        spill = draw(0, 0.7) * opening

        def turned(first: float, hit: float, last: float, gone: np.ndarray) -> np.ndarray:
            return PchipInterpolator([0, 1, 2], [first, hit, last])(np.clip(gone, 0, 2))

        pelvis, chest = self._ahead(lead), self._ahead(late)
        land = self.down - 0.015

        def opened(coil: float, open_to: float) -> np.ndarray:
            return self._curve(
                [(self.move, 0.0), (0.5 * (self.load + land) - 0.02, -coil), (land + 0.03, -0.75 * coil + open_to)],
                0.03,
            )

        self.pelvis_yaw = opened(coil, opening) * np.clip(1 - pelvis, 0, 1) + turned(hips0, hips_hit, hips_end, pelvis)
        self.chest_yaw = opened(coiled, spill) * np.clip(1 - chest, 0, 1) + turned(chest0, chest_hit, chest_end, chest)
        # Nobody twists the trunk by more than this.
        self.chest_yaw = self.pelvis_yaw + 52 * np.tanh((self.chest_yaw - self.pelvis_yaw) / 52)
        self._stand(self.pelvis_yaw)

    def _face_ball(self) -> None:
        draw, contact = self._draw, self.contact
        seen = draw(35, 96, 0.62)
        follow = draw(25, 62, 0.5) if self.pull_off < 0.5 else draw(55, 92)
        turn = self._curve(
            [
                (self.move, seen),
                (self.down, seen + draw(-4, 8)),
                (contact, follow),
                (contact + 0.1, follow + draw(0, 14)),
                (self.stop, draw(62, 98)),
            ]
        )
        # A neck turns this far away from the chest and no farther.
        self.face_yaw = self.chest_yaw + 108 * np.tanh((turn - self.chest_yaw) / 108)
        nod = draw(2, 18)
        at_ball = (draw(12, 30) + 20 * self.low) * (1 - 0.7 * self.pull_off)
        self.face_down = self._curve(
            [
                (self.move, nod),
                (self.down, nod + draw(-2, 6)),
                (contact, at_ball),
                (contact + 0.12, 0.9 * at_ball),
                (self.stop, draw(-2, 18)),
            ]
        )

    def _settle(self) -> None:
        """The breastbone follows from hips and head; the hands are kept in reach of both shoulders and off the chest."""
        size, at = self.size, self.body.head
        yaw, face = np.radians(self.chest_yaw), np.radians(self.face_yaw)
        middle = (at("upperarm01.L") + at("upperarm01.R")) / 2
        above = middle[1] - (at("upperleg01.L")[1] + at("upperleg01.R")[1]) / 2
        nose = 0.055 * size
        lean = np.stack([self.lean_x - nose * np.sin(face), self.lean_z - nose * np.cos(face)], 1) / (0.64 * size)
        self.lean = lean
        breast = self.hips + np.stack(
            [lean[:, 0] * above, above * np.sqrt(np.maximum(1 - (lean**2).sum(axis=1), 0.3)), lean[:, 1] * above], 1
        )
        wrists = breast + self._round(self.hands)
        # Until they go the hands hang on the hips as much as on the breastbone, which a still head leaves behind in the stride.
        hold = self._curve([(min(self.down, self.go), 1.0), (self.contact, 0.0)], 0.02)
        wrists[:, 0] -= 0.8 * hold * above * (lean[:, 0] - lean[0, 0])
        grip = wrists + self._fists(wrists - breast + [0, 0.16 * size, 0])
        half = np.linalg.norm(at("upperarm01.L") - at("upperarm01.R")) / 2
        beside = np.stack([np.cos(yaw), 0 * yaw, -np.sin(yaw)], 1) * half
        gap = self.skeleton.hand_gap / 2
        for _ in range(10):
            for side, sign in (("L", 1), ("R", -1)):
                off = sign * gap * -self.bat
                line = grip + off - (breast + sign * beside)
                far = np.linalg.norm(line, axis=1, keepdims=True)
                most = 0.955 * (self.skeleton.upper[side] + self.skeleton.fore[side]) + 0.05 * size
                over = np.logaddexp(0, (far - most) * 60 / size) / 60 * size
                grip = grip - line / far * over * 0.8
        self.grip = gaussian_filter1d(grip, 0.006 / STEP, axis=0, mode="nearest")

    def _fists(self, arm: np.ndarray) -> np.ndarray:
        """From the wrists' middle to the grip [F, 3]: fists point as the forearms do and, while the barrel comes through, as it goes."""
        bat = self.bat
        azimuth = np.degrees(np.arctan2(bat[:, 0], bat[:, 2]))
        share = np.clip((azimuth + 100) / 50, 0, 1) * np.clip((172 - azimuth) / 110, 0, 1)
        share = (share * share * (3 - 2 * share))[:, None]
        onward = np.cross([0, 1.0, 0], bat)
        arm = arm / np.linalg.norm(arm, axis=1, keepdims=True)
        ahead = (
            arm
            - 0.55 * bat * (arm * bat).sum(axis=1, keepdims=True)
            + share * (0.55 * onward + 0.45 * np.cross(bat, onward))
        )
        ahead = ahead - 0.5 * bat * (ahead * bat).sum(axis=1, keepdims=True)
        rest = self.skeleton
        long = 0.5 * sum(float(rest.hand_grip[side] @ rest.hand_frame[side][:, 0]) for side in "LR")
        return np.asarray(
            gaussian_filter1d(
                long * ahead / np.linalg.norm(ahead, axis=1, keepdims=True), 0.008 / STEP, axis=0, mode="nearest"
            )
        )

    def _elbows(self) -> tuple[np.ndarray, np.ndarray]:
        """Where the elbows are pushed to [F, 3], front and rear: told in the chest's own axes and turned with it."""
        draw, rng = self._draw, self.rng
        flying = draw(0, 1, 0.6 - 0.4 * self.skill, 1.3)
        up = draw(-1.0, 0.5, 0.45)
        rear = np.array(
            [
                [-1.0, up, -0.3],
                [-0.7 - 0.3 * flying, -1.0 + 0.9 * flying, -0.1],
                [-0.7, -0.9 + 0.5 * flying, 0.1],
                [-0.4, -0.7, 0.7],
            ]
        )
        lead_up = draw(-0.8, 0.5, 0.5)
        front = np.array(
            [
                [0.5, -0.9 + 0.3 * lead_up, 0.5],
                [0.7, -0.4 + 0.5 * lead_up, 0.5],
                [0.8, -0.5 + 0.4 * lead_up, 0.1],
                [1.0, draw(-0.9, 0.2), 0.2],
            ]
        )
        front[:, :2] += rng.normal(0, 0.08, 2)
        gone = np.clip(self._ahead(0.02), 0, 2)
        yaw = np.radians(self.chest_yaw)
        out = []
        for keys in (front, rear):
            local = PchipInterpolator([0, 0.55, 1.0, 2.0], keys)(gone)
            x = local[:, 0] * np.cos(yaw) + local[:, 2] * np.sin(yaw)
            z = -local[:, 0] * np.sin(yaw) + local[:, 2] * np.cos(yaw)
            out.append(np.stack([x, local[:, 1], z], 1))
        return out[0], out[1]

    def _table(self) -> np.ndarray:
        """Every wish [F, 36], in the order in which `wish` takes them."""
        draw = self._draw
        yaw = np.radians(self.pelvis_yaw)
        share = draw(0.25, 0.75)
        forward = np.degrees(self.lean[:, 0] * np.sin(yaw) + self.lean[:, 1] * np.cos(yaw))
        aside = np.degrees(self.lean[:, 0] * np.cos(yaw) - self.lean[:, 1] * np.sin(yaw))
        knee_in = self._curve(
            [(self.move, draw(-14, 12)), (self.down, draw(-12, 16)), (self.contact, draw(-14, 12))], 0.03
        )
        rear_in = self._curve(
            [
                (self.move, draw(-16, 12)),
                (self.down, draw(-8, 20)),
                (self.contact, draw(-8, 22)),
                (self.stop, draw(-10, 14)),
            ],
            0.03,
        )
        head = self.hips[:, [0, 2]] + np.stack([self.lean_x, self.lean_z], 1)
        feet = [
            np.stack([foot[name] for name in ("x", "y", "z", "yaw", "heel")], 1) for foot in (self.front, self.rear)
        ]
        front, rear = self._elbows()
        angles = [
            self.pelvis_yaw,
            share * forward,
            -0.4 * share * aside,
            self.chest_yaw,
            head[:, 0],
            head[:, 1],
            self.face_yaw,
            self.face_down,
        ]
        table = np.concatenate(
            [
                self.hips,
                np.stack(angles, 1),
                *feet,
                np.stack([knee_in, rear_in], 1),
                self.grip,
                self.bat,
                front,
                rear,
                self.let_go[:, None],
            ],
            1,
        )
        # The feet's middle stands at the origin of the field while the hitter waits.
        middle = 0.5 * self.front["x"][0]
        for column in (0, 7, 11, 16, 23):
            table[:, column] -= middle
        return np.asarray(gaussian_filter1d(table, 0.005 / STEP, axis=0, mode="nearest"))

    def wish(self, time: float) -> Stance:
        """What the body is wished to do at ``time``."""
        w = self._spline(min(max(time, self.time[0]), self.time[-1]))
        front = FootPose(np.array([w[11], max(w[12], 0.0), w[13]]), float(w[14]), float(w[15]))
        rear = FootPose(np.array([w[16], max(w[17], 0.0), w[18]]), float(w[19]), float(w[20]))
        return Stance(
            pelvis=w[0:3], pelvis_yaw=float(w[3]), pelvis_lean=float(w[4]), pelvis_side=float(w[5]), chest_yaw=float(w[6]),
            head=np.array([w[7], 0.0, w[8]]), face_yaw=float(w[9]), face_down=float(w[10]), front_foot=front, rear_foot=rear,
            front_knee_out=float(w[21]), rear_knee_out=float(w[22]), grip=w[23:26], bat=unit(w[26:29]), front_elbow=w[29:32],
            rear_elbow=w[32:35], let_go=float(max(w[35], 0.0)),
        )  # fmt: skip

    def _timing(self) -> Timing:
        """The instants as the tables have them, by the same rules as they are told from the body."""
        time, contact = self.time, self.contact
        table = self._spline(time)
        bat = table[:, 26:29] / np.linalg.norm(table[:, 26:29], axis=1, keepdims=True)
        turns = np.degrees(np.linalg.norm(np.gradient(bat, time, axis=0), axis=1))
        finish = float(time[(time > contact + 0.05) & (turns < STOPPED)][0])
        sinks = np.interp(contact, time, table[:, 1]) / np.interp(self.move, time, table[:, 1])
        # What nobody does: a bat quicker than people are or that hardly stops, a body that drops into the ball.
        self.sound = bool(
            0.27 < finish - contact < 0.75 and turns.max() < 1500 + 1600 * self.body.height / 1.78 and sinks > 0.86
        )
        if not self.sound:
            return Timing(contact)
        # Wrists are where posing lays them; the rest is in the tables.
        coarse = np.arange(self.move - 0.36, contact + 0.05, 0.02)
        joints = [self.skeleton.pose(self.wish(float(at))).joints for at in coarse]
        sides = ("left", "right")
        hands = np.array([sum(j[f"{side}_wrist"] - j[f"{side}_hip"] for side in sides) / 2 for j in joints])
        hands = CubicSpline(coarse, hands)(np.clip(time, coarse[0], coarse[-1]))
        speed = np.linalg.norm(np.gradient(hands, time, axis=0), axis=1)
        foot = self.ankles["L"]
        still = (speed < 0.8 * QUIET) & (np.linalg.norm(np.gradient(foot, time, axis=0), axis=1) < 0.8 * QUIET)
        still = minimum_filter1d(still, 9)
        yaw, raised = np.radians(table[:, 14]), np.radians(np.maximum(-table[:, 15], 0))
        ahead = np.stack([np.sin(yaw) * np.cos(raised), np.sin(raised), np.cos(yaw) * np.cos(raised)], 1)
        toe = table[:, 11:14] + 0.065 * self.size * ahead
        moving = np.linalg.norm(np.gradient(toe, time, axis=0), axis=1)
        low = np.maximum(table[:, 12] + 0.2 * self.size * np.sin(np.radians(np.minimum(table[:, 15], 0))), 0)
        rests = (moving < RESTS) & (low < 0.004)
        k = int(np.searchsorted(time, contact)) - 1
        while k > 0 and rests[k]:
            k -= 1
        down = min(float(time[k + 1]), contact - 0.03)
        before = (time > self.move - 0.05) & (time < down)
        load = float(time[before][hands[before, 0].argmin()])
        load = min(max(load, self.move + 0.12), down - STEP)
        move = self.move
        for _ in range(4):
            quiet = time[still & (time < load - 0.1) & (time <= move + 0.35) & (time > self.move - 0.35)]
            move = float(quiet[-1]) if len(quiet) else move
        rising = (time > load) & (time <= contact)
        slow = time[rising & (speed < START_SHARE * speed[rising].max())]
        start = float(slow[-1]) if len(slow) else contact

        def last_below(share: float) -> float:
            some = time[rising & (speed < share * START_SHARE * speed[rising].max())]
            return float(some[-1]) if len(some) else load

        # What has no instants: hands that never rest or never go back.
        rested = still[(time > move - 0.3) & (time <= move)].mean()
        back = np.interp(self.move - 0.05, time, hands[:, 0]) - np.interp(load, time, hands[:, 0])
        self.sound = bool(
            rested > 0.5
            and back > 0.008 * self.size
            and 0.1 < contact - start < 0.33
            and speed.max() < 10.5
            and last_below(0.8) > load + STEP
            and last_below(1.25) - last_below(0.8) < 0.06  # else nobody could say when the hands go
        )
        return Timing(contact, contact - down, contact - start, down - load, load - move, finish - contact)


def path_swing(body: Body, rng: np.random.Generator, contact: float) -> PathSwing:
    """A swing of somebody with this body, met at ``contact`` seconds; the same ``rng`` seed gives the same swing."""
    swing = PathSwing(body, rng, contact)
    for _ in range(TRIES):
        if swing.sound:
            break
        swing = PathSwing(body, rng, contact)
    return swing
