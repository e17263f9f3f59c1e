"""Swings that come out of physics: a coil that lets go, legs that push, and a bat that swings from the hands like a flail.

A hitter is a set of goals and stiffnesses. Before the swing every part is a damped spring whose goal switches (`flail.settle`),
feet are picked up, carried and dropped (`flail.flight`); then hips, chest, arms and bat are a driven chain (`flail.let_go`). Contact is
where the bat comes across the ball's line; the hitter learns the wrists' torque for it (`flail.shoot`). All instants are measured from what
then happened.
Right-handed, field axes: x toward the pitcher, y up, z toward the plate. Angles in degrees where not said otherwise.
"""

from __future__ import annotations

import numpy as np
from scipy.ndimage import gaussian_filter1d

from tests.films.body import Body
from tests.films.manner import Timing
from tests.films.skeleton import Skeleton
from tests.films.stance import FootPose, Stance

from .flail import STEP, Muscles, Pull, flight, let_go, settle, shoot
from .movers import Swing

__all__ = ["FlailSwing", "flail_swing"]

KINDS = {"kick": 0.2, "stride": 0.36, "lift": 0.18, "tap": 0.14, "slide": 0.12}  # what the front foot does
WAITS = {
    "ready": 0.4,
    "shoulder": 0.15,
    "plate": 0.1,
    "upright": 0.15,
    "relaxed": 0.2,
}  # how the hitter waits before the stance
FINISHES = {"high": 0.42, "round": 0.24, "low": 0.18, "short": 0.16}
SMOOTH_S = 0.007  # muscles do not switch at once
COLUMNS = (
    "px",
    "py",
    "pz",
    "p_yaw",
    "p_lean",
    "p_side",
    "c_yaw",
    "hx",
    "hz",
    "f_yaw",
    "f_down",
    "fx",
    "fy",
    "fz",
    "ff_yaw",
    "ff_heel",
    "rx",
    "ry",
    "rz",
    "rf_yaw",
    "rf_heel",
    "f_out",
    "r_out",
    "gx",
    "gy",
    "gz",
    "bx",
    "by",
    "bz",
    "fex",
    "fey",
    "fez",
    "rex",
    "rey",
    "rez",
    "off",
)


def flail_swing(body: Body, rng: np.random.Generator, contact: float) -> Swing:
    """A hitter drawn at random whose bat meets the ball at ``contact`` seconds."""
    return FlailSwing(body, rng, contact)


def between(rng: np.random.Generator, middle: float, spread: float, least: float, most: float) -> float:
    """A bell-shaped draw that is kept within limits."""
    return float(np.clip(rng.normal(middle, spread), least, most))


class FlailSwing(Swing):
    """One hitter's swing; everything is in the table ``self.table`` [F, columns] every `STEP` seconds from ``self.first`` on."""

    def __init__(self, body: Body, rng: np.random.Generator, contact: float) -> None:
        self.body, self.loose, self.rng = body, 0.0, rng
        self.bat_length = float(np.clip(rng.normal(0.465, 0.03) * body.height, 0.56, 0.88))
        self.skeleton = Skeleton(body, self.bat_length)
        self.size = self.skeleton.scale
        self.child = body.height < 1.5
        self.contact = contact
        # Some draws have no instants, as where the hands are on their way before they have been anywhere: those are drawn again.
        for _ in range(8):
            if self._drawn():
                break

    def _drawn(self) -> bool:
        """Draw a hitter and let him swing; False where the swing's instants would not be found."""
        rng, contact = self.rng, self.contact
        self.skill = float(rng.beta(2.2, 2.2) * (0.75 if self.child else 1.0))
        self.power = float(rng.uniform(0, 1))
        self.kind = self._one_of(KINDS)
        self.wait = self._one_of(WAITS)
        self.end = self._one_of(FINISHES)
        self._when(contact)
        self.before = np.arange(-contact - 0.5, 0.0, STEP)
        rows, struck = self._swing()
        # The chain's clock starts at zero; the film's is such that the bat meets the ball at `contact`.
        self.first = contact - (len(self.before) + struck) * STEP
        self.time = self.first + STEP * np.arange(len(rows))
        self.zero = contact - struck * STEP
        columns = self._bodily(rows)
        table = gaussian_filter1d(
            np.stack([columns[name] for name in COLUMNS], 1), SMOOTH_S / STEP, axis=0, mode="nearest"
        )
        self.table = np.ascontiguousarray(table)
        timing = self._measured()
        self.timings = [timing]
        found = (
            timing.start - timing.load > 0.03
            and timing.finish < self.time[-1] - 0.05
            and timing.load - timing.move > 0.1
        )
        return found and self.fastest < 12.5 and self.clear > 0.008 * self.size

    def _one_of(self, shares: dict[str, float]) -> str:
        return str(self.rng.choice(list(shares), p=list(shares.values())))

    def _when(self, contact: float) -> None:
        """When things are begun, seconds before (-) or after the coil lets go."""
        rng, slow = self.rng, 1.2 if self.child else 1.0
        fit = min(1.0, contact / 1.75)
        self.land = between(rng, -0.04, 0.05, -0.2, 0.05)
        self.load = self.land - between(rng, 0.24, 0.09, 0.1, 0.5) * slow * fit
        self.move = max(self.load - between(rng, 0.4, 0.13, 0.2, 0.75) * slow * fit, 0.62 - contact)
        self.ready = self.move - (0.0 if rng.random() < 0.35 else between(rng, 0.65, 0.15, 0.45, 1.0))
        self.duration = between(rng, 0.235 if self.child else 0.18 - 0.03 * self.power, 0.03, 0.12, 0.31)

    def _body_pulls(
        self, start: float, ready: float, load: float, delay: float, then: float | None = None
    ) -> list[Pull]:
        """The pulls of a part before the swing: what it waits in, the stance, the load, and ``then`` what it gives again."""
        rng = self.rng
        quick = float(rng.uniform(0.55, 1.1)) / max(0.2, self.load - self.move)
        given = [] if then is None else [(self.held, then, self.gives, 0.95)]
        return [
            (-9.0, start, 1.0, 0.9),
            (self.ready, ready, float(rng.uniform(1.7, 2.6)), 0.92),
            (self.move + delay, load, quick, float(rng.uniform(0.7, 0.97))),
            *given,
        ]

    def _swing(self) -> tuple[np.ndarray, int]:
        """Hips, chest, arms, bat, tilt (radians), reach and height of the hands (metres at 1.78 m) over time, and the row of contact."""
        rng, deg = self.rng, np.radians
        coil = between(rng, 0.5 * self.power + 0.25, 0.25, 0, 1)
        hips0 = deg(rng.normal(2, 10))
        chest0 = hips0 + deg(rng.normal(-3, 7))
        hips1 = hips0 - deg(between(rng, 22 * coil, 7, -4, 40))
        chest1 = hips1 + chest0 - hips0 - deg(between(rng, 14 * coil + 4 * self.skill, 6, -4, 30))
        arm0, arm1 = deg(between(rng, -66, 10, -88, -42)), deg(between(rng, -76, 8, -92, -52))
        # Hands that lie behind the rear shoulder would go farther back before they come: seen in the field they stay before it.
        arm1 = max(arm1, deg(between(rng, -80, 6, -92, -64)) - chest1)
        reach0, height0 = between(rng, 0.33, 0.05, 0.22, 0.44), between(rng, 0.0, 0.085, -0.2, 0.17)
        reach1, height1 = (
            reach0 + between(rng, 0.09 * self.power + 0.03, 0.04, -0.01, 0.16),
            height0 + float(rng.normal(0.01, 0.045)),
        )
        bat0, tilt0 = deg(between(rng, -150, 34, -225, -80)), deg(between(rng, 42, 18, 2, 78))
        bat1, tilt1 = bat0 - deg(between(rng, 12, 14, -20, 45)), tilt0 + deg(between(rng, -4, 10, -30, 20))
        waiting = {
            "ready": (0.0, 0.0, 0.0, 0.0, 0.0),
            "shoulder": (0.25, -0.05, -0.13, deg(-15), deg(8) - tilt0),
            "plate": (0.75, 0.08, -0.3, deg(-25) - bat0, deg(-12) - tilt0),
            "upright": (0.1, -0.02, 0.02, deg(10), 0.1),
            "relaxed": (0.35, -0.03, -0.18, deg(rng.normal(20, 15)), deg(rng.normal(-12, 15))),
        }[self.wait]
        arm_w, reach_w, height_w, bat_w, tilt_w = (float(v) * rng.uniform(0.8, 1.1) for v in waiting)
        t, late = self.before, float(rng.normal(0.0, 0.06))
        # Between load and swing the coil gives a little from below, and the hands come back with it; some hold it to the end.
        opens = deg(between(rng, 9, 9, -4, 34)) * (rng.random() < 0.85)
        comes = deg(between(rng, 12, 6, 2, 26))
        self.held, self.gives = self.load + float(rng.uniform(0.0, 0.06)), float(rng.uniform(1.2, 2.2))
        pre = np.stack(
            [
                settle(
                    t,
                    hips0 + deg(rng.normal(0, 6)),
                    self._body_pulls(hips0, hips0, hips1, float(rng.normal(0, 0.05)), hips1 + opens),
                ),
                settle(
                    t,
                    chest0,
                    self._body_pulls(
                        chest0 + deg(rng.normal(0, 6)),
                        chest0,
                        chest1,
                        float(rng.normal(0, 0.05)),
                        chest1 + opens * 0.45,
                    ),
                ),
                settle(t, arm0 + arm_w, self._body_pulls(arm0 + arm_w, arm0, arm1, late, arm1 + comes)),
                settle(t, bat0 + bat_w, self._body_pulls(bat0 + bat_w, bat0, bat1, float(rng.normal(0.05, 0.08)))),
                settle(
                    t, tilt0 + tilt_w, self._body_pulls(tilt0 + tilt_w, tilt0, tilt1, float(rng.normal(0.05, 0.08)))
                ),
                settle(t, reach0 + reach_w, self._body_pulls(reach0 + reach_w, reach0, reach1, late, reach1 - 0.012)),
                settle(t, height0 + height_w, self._body_pulls(height0 + height_w, height0, height1, late)),
            ],
            1,
        )
        pre[:, 2] += pre[:, 1]  # arms seen in the field, not from the chest
        # A waggle: the bat is rocked and the hands with it, until shortly before the load.
        if rng.random() < 0.5:
            rocked = float(rng.uniform(1.0, 2.4)) * 2 * np.pi * t + rng.uniform(0, 6)
            how = np.clip((self.move - float(rng.uniform(0.0, 0.3)) - t) / 0.3, 0, 1) ** 2 * rng.uniform(0.1, 1.0)
            for column, most, later in ((3, 0.35, 0.0), (4, 0.22, 1.3), (2, 0.07, 0.5), (6, 0.02, 1.0)):
                pre[:, column] += how * rng.uniform(0.2, 1.0) * most * np.sin(rocked + later)
        muscles = self._muscles(pre[-1], coil)
        state = [*pre[-1], *((pre[-1] - pre[-2]) / STEP)]
        hands = deg(between(rng, 14, 9, -12, 40) + 0.25 * (np.degrees(muscles.hit)))
        muscles, clock = shoot(muscles, state, self.duration, hands)
        rows, struck = let_go(muscles, state, clock, 820)
        if struck < 0:  # a bat that never comes: all it takes is stronger wrists
            raise ValueError("the bat does not come through")
        return np.concatenate([pre, rows]), struck

    def _muscles(self, now: np.ndarray, coil: float) -> Muscles:
        """How this hitter drives the swing."""
        rng, deg = self.rng, np.radians
        rotate = between(rng, 0.35 + 0.5 * self.skill, 0.2, 0.05, 1.0)  # how much comes from the hips
        self.pitch = between(rng, -0.36, 0.07, -0.52, -0.18)  # hands' height from the shoulders at contact
        self.slope = deg(between(rng, 24 - 60 * (self.pitch + 0.36), 9, -4, 48))  # bat below the hands at contact
        self.attack = deg(between(rng, 7 + 6 * self.power, 9, -14, 30))
        hips_goal = deg(between(rng, 52 + 38 * rotate, 9, 30, 100))
        chest_end = deg(between(rng, 92 + 22 * rotate, 16, 55, 138))
        through = {
            "high": (50, 0.3, 0.3),
            "round": (48, 0.34, -0.08),
            "low": (40, 0.38, -0.26),
            "short": (12, 0.45, -0.05),
        }[self.end]
        end_arm = deg(through[0] + rng.normal(0, 13))
        end_bat = {"high": 255, "round": 262, "low": 228, "short": 168}[self.end] + rng.normal(0, 24)
        casting = between(rng, 0.45 - 0.3 * self.skill, 0.15, 0, 0.8)
        arms_first = float(rng.random() < 0.18)
        wait = 0.0 if arms_first else between(rng, 0.05 * rotate, 0.02, 0, 0.11)
        bent = between(rng, 0.5, 0.3, 0, 1)  # how bent the arms stay after contact
        return Muscles(
            hips=70 + 120 * rotate,
            hips_goal=hips_goal,
            chest=between(rng, 120, 25, 70, 180),
            chest_at=between(rng, 0.035 * rotate, 0.02, 0, 0.08) * (1 - arms_first),
            twist=(now[1] - now[0], deg(between(rng, 12, 10, -8, 35))),
            arms=between(rng, 70 + 40 * (1 - rotate), 14, 45, 130),
            arms_at=wait,
            arm=(now[2] - now[1], deg(between(rng, -6, 12, -34, 25))),
            wrist=10.0,
            wrist_at=wait + between(rng, 0.06 * (1 - casting), 0.02, 0, 0.1),
            hold=min(now[3] - now[2], deg(-70)) - 0.2,
            reach=(now[5], between(rng, 0.47 + 0.1 * casting - 0.08 * bent, 0.05, 0.32, 0.58)),
            height=(now[6], self.pitch),
            tilt=now[4],
            hit=deg(between(rng, 0, 11, -28, 26)),
            blow=float(rng.choice([0.0, 0.22])) * rng.uniform(0.6, 1.3),
            through=between(rng, 0.07, 0.03, 0.02, 0.15),
            far=between(rng, 0.58 - 0.24 * bent, 0.04, 0.33, 0.62),
            end_twist=chest_end - hips_goal - deg(rng.normal(5, 6)),
            end_hips=hips_goal + deg(rng.normal(4, 8)),
            end_arm=end_arm,
            end_reach=between(rng, through[1], 0.04, 0.22, 0.5),
            end_height=through[2] + float(rng.normal(0.02, 0.1)),
            end_bat=deg(end_bat),
            end_tilt=deg(rng.normal(-8 if self.end == "high" else 4, 20)),
            end_hertz=between(rng, 1.5 if self.child else 1.75, 0.25, 1.1, 2.4),
            damped=float(rng.uniform(0.65, 1.0)),
        )

    def _bodily(self, rows: np.ndarray) -> dict[str, np.ndarray]:
        """Every column of the table."""
        size, t = self.size, self.time - self.zero
        hit = self.contact - self.zero
        out = self._feet(rows, t, hit)
        p, c, hands, bat, tilt, reach, height = rows.T
        out["p_yaw"], out["c_yaw"] = np.degrees(p), np.degrees(c)
        self._trunk(out, t, hit)
        middle = self._shoulders(out)
        grip = middle + size * np.stack([reach * np.sin(hands), height, reach * np.cos(hands)], 1)
        grip = self._within_reach(grip, middle, c)
        out["gx"], out["gy"], out["gz"] = grip.T
        a, s = self.attack, self.slope
        onward = np.array([np.cos(a), np.sin(a), 0.0])
        across = np.array([0.0, -np.sin(s), np.cos(s)])
        across = across - onward * (across @ onward)
        across /= np.linalg.norm(across)
        pole = np.cross(across, onward)
        flat = np.cos(tilt)
        way = np.outer(flat * np.cos(bat), across) + np.outer(flat * np.sin(bat), onward) + np.outer(np.sin(tilt), pole)
        out["bx"], out["by"], out["bz"] = way.T
        self._elbows(out, t, hit, c)
        loose = self.rng.random() < {"high": 0.35, "round": 0.25, "low": 0.2, "short": 0.1}[self.end]
        far = self.rng.uniform(0.1, 0.32) * size if loose else 0.0
        out["off"] = settle(t, 0.0, [(hit + self.rng.uniform(0.1, 0.28), far, self.rng.uniform(1.2, 2.2), 0.97)])
        return out

    def _feet(self, rows: np.ndarray, t: np.ndarray, hit: float) -> dict[str, np.ndarray]:
        """Both feet, and `base` and `wide`: the distance of the ankles along the line before and after the stride."""
        rng, size = self.rng, self.size
        out: dict[str, np.ndarray] = {}
        base = between(rng, 0.56, 0.14, 0.28, 0.95)
        stride = {
            "kick": (0.24, 0.1),
            "stride": (0.18, 0.09),
            "lift": (0.02, 0.03),
            "tap": (0.14, 0.09),
            "slide": (0.13, 0.06),
        }[self.kind]
        step = between(rng, *stride, -0.05, max(0.02, 1.02 - base))
        front0, front1 = rng.normal(12, 16), between(rng, 26, 20, -12, 80)
        rear_yaw = float(rng.normal(2, 11))
        open0, open1 = rng.normal(-0.01, 0.09), rng.normal(0.0, 0.08)
        ahead = self.skeleton.ball_ahead

        def ball(x: float, z: float, yaw: float) -> np.ndarray:
            return np.array(
                [x * size + ahead * np.sin(np.radians(yaw)), 0.0, z * size + ahead * np.cos(np.radians(yaw))]
            )

        start, goal = ball(base / 2, open0, front0), ball(base / 2 + step, open1, front1)
        rear = ball(-base / 2, 0.0, rear_yaw)
        top = {
            "kick": (0.28, 0.12),
            "stride": (0.08, 0.04),
            "lift": (0.05, 0.03),
            "tap": (0.07, 0.03),
            "slide": (0.02, 0.008),
        }[self.kind]
        high = between(rng, *top, 0.012, 0.6) * size
        up_s = between(rng, 0.28 if self.kind == "kick" else 0.18, 0.06, 0.08, 0.45)
        front = np.repeat(start[None], len(t), 0)
        lands = int(np.searchsorted(t, self.land))
        if self.kind == "tap":  # a first touch near the rear foot, then the stride
            tap = ball(base / 2 - between(rng, 0.12, 0.08, -0.02, 0.3), open0, front0)
            first, _ = flight(start, tap, high, up_s, rng.uniform(1.5, 2.5), rng.uniform(3, 6))
            second, down = flight(first[-1], goal, high * 0.8, up_s * 0.7, rng.uniform(2, 3.5), rng.uniform(3, 6))
            gone = lands - down
            begins = max(1, gone - len(first) - int(rng.uniform(0, 0.15) / STEP))
            self._lay(front, first, begins)
            self._lay(front, second, gone)
        else:
            # A kick gathers the foot to the rear on its way up: it is carried late, so its way across is the quicker.
            path, down = flight(start, goal, high, up_s, rng.uniform(1.4, 2.8), rng.uniform(2.5, 7))
            begins = max(1, lands - down)
            if self.kind == "kick":
                gather = between(rng, 0.14, 0.09, -0.05, 0.35) * size
                path[:down, 0] -= gather * np.sin(np.pi * np.arange(down) / down) ** 2
            self._lay(front, path, begins)
        self.lifts = t[begins]
        toe = rng.choice([18.0, 4.0, -8.0], p=[0.5, 0.35, 0.15]) * rng.uniform(0.5, 1.5)
        if self.kind == "lift" or self.kind == "slide":
            toe = abs(toe)
        heel = settle(t, 0.0, [(self.lifts, toe, 3.0, 0.9), (self.land - 0.01, 0.0, rng.uniform(3.5, 7.0), 0.95)])
        out["ff_heel"] = heel + settle(
            t, 0.0, [(hit + 0.05, -rng.choice([0, 0, 14.0]) * rng.uniform(0.3, 1.2), 2.0, 0.9)]
        )
        below = -np.minimum(out["ff_heel"], 0.0)
        out["fx"], out["fz"] = front[:, 0], front[:, 2]
        out["fy"] = front[:, 1] + np.sin(np.radians(below)) * self._from_ball("heel")
        rolls = max(0.0, rng.normal(10, 18))
        out["ff_yaw"] = settle(
            t, front0, [(self.lifts, front1, 2.4, 0.95), (hit + rng.uniform(-0.04, 0.15), front1 + rolls, 2.2, 0.97)]
        )
        # The rear leg turns the rear foot along with the hips, on its toe; or it drags, stays flat, or is lifted and steps out.
        gone = np.logaddexp(0, (np.degrees(rows[:, 0]) - between(rng, 14, 8, 0, 35)) / 8) * 8
        gone[: np.searchsorted(t, self.land - 0.1)] *= 0.0 if gone[0] > 20 else 1.0
        flat = rng.random() < 0.15
        out["rf_yaw"] = rear_yaw + gone * (rng.uniform(0.1, 0.3) if flat else rng.uniform(0.5, 0.95))
        out["rf_heel"] = np.minimum(gone * (rng.uniform(0, 0.1) if flat else rng.uniform(0.3, 0.85)), 72.0)
        drag = (0.0 if rng.random() < 0.5 else abs(rng.normal(0, 0.09))) * size
        leaves = rng.random() < 0.15
        steps = [(hit - rng.uniform(0.0, 0.08), rear[0] + drag, rng.uniform(2, 3), 0.95)]
        up = [(9.0, 0.0, 1.0, 0.9)]
        if leaves:
            off = hit + rng.uniform(0.12, 0.35)
            steps.append((off, rear[0] + drag + rng.uniform(0.05, 0.35) * size, 1.5, 0.97))
            up = [
                (off - 0.02, rng.uniform(0.03, 0.14) * size, 2.0, 0.9),
                (off + rng.uniform(0.25, 0.5), 0.0, 2.0, 0.97),
            ]
        out["rx"], out["ry"] = settle(t, rear[0], steps), np.maximum(0.0, settle(t, 0.0, up))
        out["rz"] = settle(t, rear[2], [(hit + 0.1, rear[2] + leaves * rng.normal(0.0, 0.12) * size, 1.5, 0.97)])
        out["f_out"] = settle(
            t,
            rng.normal(-6, 9),
            [(self.lifts, rng.normal(-8, 10), 2.0, 0.95), (hit - 0.1, rng.normal(0, 9), 3.0, 0.95)],
        )
        inside = rng.normal(8, 9)
        out["r_out"] = settle(
            t, inside, [(self.move, inside + rng.normal(2, 6), 1.5, 0.95), (0.0, rng.normal(4, 9), 3.5, 0.95)]
        )
        self.feet = (base * size, (base + step) * size, open0 * size, open1 * size)
        return out

    def _from_ball(self, end: str) -> float:
        """How far the heel or the toe lies from the ball of the front foot, metres."""
        rest = self.skeleton.foot_rest["L"]
        return float(np.linalg.norm(rest[end] - rest["ball"]))

    @staticmethod
    def _lay(way: np.ndarray, path: np.ndarray, begins: int) -> None:
        """Lay a flight into a foot's way; it stays where it came to stand."""
        end = min(len(way), begins + len(path))
        way[begins:end] = path[: end - begins]
        way[end:] = path[min(len(path), end - begins) - 1]

    def _trunk(self, out: dict[str, np.ndarray], t: np.ndarray, hit: float) -> None:
        """Pelvis and head: masses that are pulled from stance to load, onto the front leg, and to wherever the finish leaves them."""
        rng, size = self.rng, self.size
        base, wide, open0, open1 = self.feet
        back, low = -base / 2, self._hips_high()
        rear = {"kick": 0.26, "stride": 0.34, "lift": 0.4, "tap": 0.32, "slide": 0.38}[self.kind]
        share = [
            between(rng, 0.48, 0.06, 0.3, 0.65),
            between(rng, rear, 0.07, 0.12, 0.52),
            between(rng, 0.43, 0.06, 0.25, 0.58),
            between(rng, 0.54, 0.07, 0.36, 0.72),
            between(rng, 0.58, 0.13, 0.2, 0.92),
        ]
        x = [
            back + share[0] * base,
            back + share[1] * base,
            back + share[2] * wide,
            back + share[3] * wide,
            back + share[4] * wide,
        ]
        dip = between(rng, 0.075, 0.035, 0.012, 0.2)
        dips = [
            dip * rng.uniform(0.3, 1.0) if self.wait == "upright" else dip,
            dip,
            dip + rng.normal(0.008, 0.02),
            dip + rng.normal(0.02, 0.022),
            dip + rng.normal(0.0, 0.035),
            dip + rng.normal(-0.01, 0.04),
        ]
        z0 = rng.normal(-0.04, 0.03) * size
        z = [
            z0 + open0 / 2,
            z0 + open0 / 2 + rng.normal(0, 0.012) * size,
            z0 + open1 / 2,
            z0 + open1 / 2 + rng.normal(0, 0.03) * size,
            z0 + open1 / 2 + rng.normal(-0.01, 0.08) * size,
        ]
        begin = self.move + float(rng.normal(0, 0.05))
        go = min(self.lifts + 0.12, self.land - 0.1) + rng.normal(0.0, 0.03)
        when = (begin, go, -0.02, hit + rng.uniform(0.03, 0.15))
        quick = (
            rng.uniform(0.6, 1.1) / max(0.25, self.load - self.move),
            rng.uniform(1.2, 2.2),
            rng.uniform(1.8, 3.0),
            rng.uniform(0.8, 1.5),
        )

        def moved(start: float, goals: list[float], lag: float = 0.0, damped: float = 0.9) -> np.ndarray:
            pulls = [(w + lag, g, q, damped) for w, g, q in zip(when, goals, quick, strict=True)]
            return settle(t, start, pulls)

        out["px"], out["pz"] = moved(x[0], x[1:]), moved(z[0], z[1:])
        if rng.random() < 0.35:  # rocks from foot to foot while waiting
            out["px"] += (
                0.02
                * size
                * rng.uniform(0.3, 1.2)
                * np.sin(rng.uniform(0.4, 0.9) * 6.28 * t)
                * np.clip((self.move - 0.1 - t) / 0.5, 0, 1) ** 2
            )
        sink = settle(t, dips[0], [(self.ready, dips[1], 1.2, 0.95)]) + moved(0.0, [d - dips[1] for d in dips[2:]])
        out["py"] = self._legs_hold(out, low * (1 - sink))
        lean = [between(rng, 0.13, 0.05, 0.02, 0.26)]
        lean += [
            lean[0] + rng.normal(0, 0.015),
            lean[0] + rng.normal(-0.01, 0.025),
            lean[0] + rng.normal(-0.02, 0.04),
            rng.normal(0.02, 0.08),
        ]
        if self.wait == "upright":
            out["hz"] = settle(t, 0.0, [(self.ready, lean[0], 1.2, 0.95)]) + 0.02
        else:
            out["hz"] = np.full(len(t), lean[0])
        out["hz"] = out["pz"] + size * (out["hz"] + moved(0.0, [v - lean[0] for v in lean[1:]], 0.02))
        tip = [
            rng.normal(-0.01, 0.03),
            rng.normal(-0.02, 0.03),
            rng.normal(-0.02, 0.035),
            between(rng, -0.1, 0.055, -0.28, 0.04),
            rng.normal(-0.08, 0.09),
        ]
        heads = [a + b * size for a, b in zip(x, tip, strict=True)]
        out["hx"] = moved(heads[0], heads[1:], 0.06, 0.96)
        bow = rng.normal(12, 5)
        out["p_lean"] = moved(bow, [bow + rng.normal(1, 3), bow + rng.normal(0, 4), rng.normal(5, 6), rng.normal(0, 7)])
        out["p_side"] = moved(
            rng.normal(0, 2), [rng.normal(0, 3), rng.normal(0, 3), rng.normal(4, 5), rng.normal(2, 5)]
        )
        look = between(rng, 66, 12, 30, 92)
        ball, away = between(rng, 40, 12, 12, 75), between(rng, 70, 22, 10, 120)
        pulls_off = hit + (-0.06 if rng.random() < 0.2 else rng.uniform(0.04, 0.25))
        out["f_yaw"] = settle(
            t,
            look + rng.normal(0, 10),
            [(self.ready, look, 1.5, 0.95), (0.02, ball, 2.2, 0.95), (pulls_off, away, 1.7, 0.95)],
        )
        down = rng.normal(8, 5)
        out["f_down"] = settle(
            t, down, [(0.02, between(rng, 27, 8, 5, 48), 2.2, 0.95), (pulls_off, rng.normal(4, 9), 1.5, 0.95)]
        )

    def _hips_high(self) -> float:
        """How high the hips are when the legs are straight, metres."""
        s = self.skeleton
        return s.thigh["L"] + s.shank["L"] + s.foot_rest["L"]["ankle"][1] + s.sole

    def _ankles(self, out: dict[str, np.ndarray], side: str) -> np.ndarray:
        """Where an ankle is over time, [F, 3]."""
        names = ("fx", "fy", "fz", "ff_yaw", "ff_heel") if side == "L" else ("rx", "ry", "rz", "rf_yaw", "rf_heel")
        x, y, z, yaw, heel = (out[name] for name in names)
        rest, q, yaw = self.skeleton.foot_rest[side], np.radians(heel), np.radians(yaw)
        high, ahead = rest["ankle"][1], self.skeleton.ball_ahead
        behind, above = ahead * np.cos(q) - high * np.sin(q), high * np.cos(q) + ahead * np.sin(q)
        return np.stack([x - behind * np.sin(yaw), y + self.skeleton.sole + above, z - behind * np.cos(yaw)], 1)

    def _legs_hold(self, out: dict[str, np.ndarray], wished: np.ndarray) -> np.ndarray:
        """The pelvis's height: as wished, and no higher than both legs reach."""
        s, body = self.skeleton, self.body
        half = (body.head("upperleg01.L") - body.head("upperleg01.R"))[0] / 2
        yaw, high = np.radians(out["p_yaw"]), wished
        for side, sign in (("L", 1), ("R", -1)):
            ankle = self._ankles(out, side)
            across = np.hypot(
                out["px"] + sign * half * np.cos(yaw) - ankle[:, 0], out["pz"] - sign * half * np.sin(yaw) - ankle[:, 2]
            )
            leg = 0.985 * (s.thigh[side] + s.shank[side])
            most = ankle[:, 1] + np.sqrt(np.maximum(0.15 * leg**2, leg**2 - across**2))
            soft = 0.006 * self.size
            high = most - soft * np.logaddexp(0, (most - high) / soft)
        return high

    def _shoulders(self, out: dict[str, np.ndarray]) -> np.ndarray:
        """The middle of the shoulders, [F, 3], from pelvis and head; within two or three centimetres of where posing puts it."""
        at, rest = self.body.head, self.skeleton.ears_rest
        hips = (at("upperleg01.L") + at("upperleg01.R")) / 2
        neck = (at("upperarm01.L") + at("upperarm01.R")) / 2 - hips
        ears = (rest["L"] + rest["R"]) / 2 - hips
        face, chest = np.radians(out["f_yaw"]), np.radians(out["c_yaw"])
        lean_x = (out["hx"] - out["px"] - 0.5 * ears[2] * (np.sin(face) + np.sin(chest))) / ears[1]
        lean_z = (out["hz"] - out["pz"] - 0.5 * ears[2] * (np.cos(face) + np.cos(chest))) / ears[1]
        up = np.sqrt(np.maximum(0.3, 1 - lean_x**2 - lean_z**2))
        return np.stack(
            [
                out["px"] + neck[1] * lean_x + neck[2] * np.sin(chest),
                out["py"] + neck[1] * up,
                out["pz"] + neck[1] * lean_z + neck[2] * np.cos(chest),
            ],
            1,
        )

    def _within_reach(self, grip: np.ndarray, middle: np.ndarray, chest: np.ndarray) -> np.ndarray:
        """Draw the grip in softly where an arm would be too short for it, as the arm itself does."""
        s, at = self.skeleton, self.body.head
        half = (at("upperarm01.L") - at("upperarm01.R"))[0] / 2
        side = np.stack([np.cos(chest), np.zeros(len(chest)), -np.sin(chest)], 1)
        for _ in range(2):
            for sign in (1, -1):
                shoulder = middle + sign * half * 0.9 * side
                arm = grip - shoulder
                span = np.linalg.norm(arm, axis=1)
                most = 0.99 * (s.upper["L"] + s.fore["L"]) + 0.045 * self.size
                over = 0.012 * np.logaddexp(0, (span - most) / 0.012)
                grip = grip - arm * (over / span)[:, None]
        return grip

    def _elbows(self, out: dict[str, np.ndarray], t: np.ndarray, hit: float, chest: np.ndarray) -> None:
        """Where the elbows are pushed to: a direction seen from the chest (left, up, ahead), turned with it."""
        rng = self.rng
        flying = between(rng, 0.2, 0.35, -0.2, 1.0)  # the rear elbow up and away from the ribs
        slot = between(rng, 0.0, 0.3, -0.2, 0.9) * (1.3 - self.skill)
        wing = max(0.0, rng.normal(0.0, 0.35))  # the front elbow folds up after contact
        ways = {
            "re": ((-0.7, -0.75 + flying, -0.35), (-0.45 - slot, -0.85 + slot, 0.15), (-0.15, -0.8, 0.35)),
            "fe": ((0.3, -0.85 + 0.3 * flying, 0.35), (0.55, -0.75 + wing, 0.1), (0.65, -0.55 + 0.5 * wing, 0.55)),
        }
        sine, cosine = np.sin(chest), np.cos(chest)
        for name, (held, drawn, gone) in ways.items():
            left, up, ahead = (
                settle(t, a, [(0.02, b, 3.5, 0.95), (hit + 0.05, c, 2.5, 0.95)])
                for a, b, c in zip(held, drawn, gone, strict=True)
            )
            out[f"{name}x"], out[f"{name}y"], out[f"{name}z"] = (
                left * cosine + ahead * sine,
                up,
                -left * sine + ahead * cosine,
            )

    def _measured(self) -> Timing:
        """The instants of what was simulated."""
        col = {name: k for k, name in enumerate(COLUMNS)}
        t, contact = self.time, self.contact
        hands = self.table[:, [col["gx"], col["gy"], col["gz"]]] - self.table[:, [col["px"], col["py"], col["pz"]]]
        quick = np.linalg.norm(np.gradient(hands, STEP, axis=0), axis=1)
        toe, high = self._front_toe(col)
        foot_quick = np.linalg.norm(np.gradient(toe, STEP, axis=0), axis=1)
        hit = round((contact - t[0]) / STEP)
        moving = (foot_quick >= 0.3) | (high > 0.005)
        moving[hit:] = False
        down = int(np.flatnonzero(moving)[-1]) + 1
        load = self._farthest_back(hands[:, 0], self.move + self.zero - 0.1, down)
        slow = np.flatnonzero(quick[load:hit] < 0.15 * quick[load:hit].max())
        start = load + int(slow[-1]) if len(slow) else load
        move = max(0.1, self.move + self.zero)
        for still in (0.06, 0.09):  # wrists move a little otherwise than the grip: as quiet as can be found
            quiet = (
                (quick < still)
                & (foot_quick < still)
                & (t < min(t[load] - 0.11, self.move + self.zero + 0.2))
                & (t > 0.02)
            )
            if quiet.any():
                move = t[np.flatnonzero(quiet)[-1]]
                break
        load = self._farthest_back(hands[:, 0], move - 0.3, down)
        # How fast the hands are at most, and how much farther back the load is than anywhere after the hands have gone.
        self.fastest = float(quick.max())
        self.clear = float(hands[start:down, 0].min() - hands[load, 0]) if start < down else 1.0
        bat = self.table[:, [col["bx"], col["by"], col["bz"]]]
        turning = np.degrees(np.linalg.norm(np.gradient(bat, STEP, axis=0), axis=1))
        still = np.flatnonzero((turning < 36) & (t > contact + 0.05))
        finish = t[still[0]] if len(still) else t[-1]
        return Timing(
            contact=contact,
            down_to_contact=float(contact - t[down]),
            start_to_contact=float(contact - t[start]),
            load_to_down=float(t[down] - t[load]),
            move_to_load=float(t[load] - move),
            contact_to_finish=float(finish - contact),
        )

    def _farthest_back(self, back: np.ndarray, since: float, down: int) -> int:
        """The row before foot down at which ``back`` [F], the hands' place along the line from the hips, is least."""
        begin = int(np.searchsorted(self.time, since))
        return begin + int(back[begin:down].argmin())

    def _front_toe(self, col: dict[str, int]) -> tuple[np.ndarray, np.ndarray]:
        """The tip of the front foot, [F, 3], and how high its lower end is over the ground, [F]."""
        yaw, heel = np.radians(self.table[:, col["ff_yaw"]]), np.radians(self.table[:, col["ff_heel"]])
        ball, raised = self.table[:, [col["fx"], col["fy"], col["fz"]]], np.minimum(heel, 0.0)
        ahead, behind = self._from_ball("toe"), self._from_ball("heel")
        flat = ahead * np.cos(raised)
        toe = ball + np.stack([flat * np.sin(yaw), -ahead * np.sin(raised), flat * np.cos(yaw)], 1)
        return toe, np.minimum(toe[:, 1], ball[:, 1] + behind * np.sin(heel))

    def wish(self, time: float) -> Stance:
        """What the body is wished to do at ``time``, between the table's rows by cubics whose slopes join."""
        place = min(max((time - self.first) / STEP, 1.0), len(self.table) - 3.001)
        k = int(place)
        u = place - k
        uu, uuu = u * u, u * u * u
        weights = np.array([-uuu + 2 * uu - u, 3 * uuu - 5 * uu + 2, -3 * uuu + 4 * uu + u, uuu - uu]) / 2
        v = weights @ self.table[k - 1 : k + 3]
        bat = v[26:29] / np.sqrt(v[26:29] @ v[26:29])
        n = v.tolist()
        return Stance(
            pelvis=v[0:3],
            pelvis_yaw=n[3],
            pelvis_lean=n[4],
            pelvis_side=n[5],
            chest_yaw=n[6],
            head=np.array([n[7], 0.0, n[8]]),
            face_yaw=n[9],
            face_down=n[10],
            front_foot=FootPose(v[11:14], n[14], n[15]),
            rear_foot=FootPose(v[16:19], n[19], n[20]),
            front_knee_out=n[21],
            rear_knee_out=n[22],
            grip=v[23:26],
            bat=bat,
            front_elbow=v[29:32],
            rear_elbow=v[32:35],
            let_go=max(0.0, n[35]),
        )
