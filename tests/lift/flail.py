"""The dynamics behind `flail_swing`: pulls of a muscle, a foot that flies and lands, and the chain hips - chest - arms - bat.

Nothing here is a curve drawn by hand: goals switch, springs and dampers do the rest. Angles in radians, seen from above, from
+z (the plate) toward +x (the pitcher); lengths in metres of a body of 1.78 m.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

__all__ = ["STEP", "Muscles", "Pull", "flight", "let_go", "settle", "shoot"]

STEP = 0.002  # seconds of the film per step
Pull = tuple[float, float, float, float]  # from when on, toward which value, how quick (Hz), how damped (0..0.98)
BAT, BALANCE, SPIN = 0.85, 0.5, 0.045  # a bat's mass, kg, hands to its centre, m, and inertia about it, kg m2
HIPS, CHEST, ARMS = 0.9, 0.55, 3.2  # inertias, kg m2, and the mass of both arms as felt at the hands, kg


def settle(times: np.ndarray, start: float, pulls: list[Pull]) -> np.ndarray:
    """What a damped spring does whose goal and stiffness switch: values at times [F], from rest at ``start``."""
    out, x, v = np.full(len(times), start), start, 0.0
    ordered = sorted(pulls)
    for k, (when, goal, hertz, damped) in enumerate(ordered):
        w = 2 * math.pi * hertz
        fade, d = damped * w, w * math.sqrt(1 - damped**2)
        end = ordered[k + 1][0] if k + 1 < len(ordered) else math.inf
        i, j = np.searchsorted(times, [when, end])
        t = times[i:j] - when
        a = x - goal
        b = (v + fade * a) / d
        out[i:j] = goal + np.exp(-fade * t) * (a * np.cos(d * t) + b * np.sin(d * t))
        if math.isfinite(end):
            t_end = end - when
            e, cos, sin = math.exp(-fade * t_end), math.cos(d * t_end), math.sin(d * t_end)
            x, v = goal + e * (a * cos + b * sin), e * ((b * d - fade * a) * cos - (a * d + fade * b) * sin)
    return out


def flight(
    start: np.ndarray, goal: np.ndarray, top: float, up_s: float, hertz: float, fall: float
) -> tuple[np.ndarray, int]:
    """A foot that is picked up, carried and dropped: places [F, 3] every `STEP`, and the row at which it touches the ground.

    top    height that it is pulled to for ``up_s`` seconds
    hertz  how quickly it is carried across to ``goal``; what speed is left when it lands the ground rubs off
    fall   how fast it comes down, m/s2
    """
    (x, _, z), y = (float(v) for v in start), 0.0
    vx = vy = vz = 0.0
    w = 2 * math.pi * hertz
    lift = 4.5 / up_s
    rows, touch, t = [], -1, 0.0
    while len(rows) < 700 and (touch < 0 or len(rows) < touch + 60):
        ax, az = (w * w * (goal[0] - x) - 1.6 * w * vx, w * w * (goal[2] - z) - 1.6 * w * vz)
        if touch >= 0:
            ax, az, y, vy = -90 * vx, -90 * vz, 0.0, 0.0
        elif t < up_s:
            vy += STEP * (lift * lift * (top - y) - 1.5 * lift * vy)
        else:
            vy += STEP * (-fall - 3.0 * vy)
        vx, vz = vx + STEP * ax, vz + STEP * az
        x, y, z, t = x + STEP * vx, y + STEP * vy, z + STEP * vz, t + STEP
        if touch < 0 and t > 0.02 and y <= 0:
            touch, y = len(rows), 0.0
        rows.append((x, max(0.0, y), z))
    return np.array(rows), touch


@dataclass(frozen=True)
class Muscles:
    """What drives one swing. Times in seconds of the chain's own clock, torques in N m, angles in radians.

    Pairs are (before, after) their moment: ``twist`` chest from hips, ``arm`` hands from chest, ``reach`` and ``height`` of the hands
    from the middle of the shoulders, ``tilt`` the bat out of its plane. ``end_*`` is what is gone for after contact, from ``through`` s on.
    """

    hips: float
    hips_goal: float
    chest: float  # N m per radian
    chest_at: float
    twist: tuple[float, float]
    arms: float  # N m per radian
    arms_at: float
    arm: tuple[float, float]
    wrist: float
    wrist_at: float
    hold: float  # bat from arms while the wrists are cocked
    reach: tuple[float, float]
    height: tuple[float, float]
    tilt: float
    hit: float  # the bat's angle at contact
    blow: float  # share of the bat's speed that the ball takes
    through: float
    far: float
    end_twist: float
    end_hips: float
    end_arm: float
    end_reach: float
    end_height: float
    end_bat: float
    end_tilt: float
    end_hertz: float
    damped: float


def let_go(
    m: Muscles, state: list[float], clock: float, steps: int, to_contact: bool = False, step: float = STEP
) -> tuple[np.ndarray, int]:
    """Let the coil go: rows (hips, chest, arms, bat, tilt, reach, height) [F, 7] every ``step`` s, and the row of contact.

    The row is -1 where contact never comes.

    state  the seven values, then their speeds, at the start
    clock  seconds of the chain's own time in a second of the film: a stronger hitter's clock runs faster
    """
    p, c, th, ps, be, r, h, vp, vc, vth, vps, vbe, vr, vh = state
    vp, vc, vth, vps, vbe, vr, vh = (v / clock for v in (vp, vc, vth, vps, vbe, vr, vh))
    dt, t, u, struck = step * clock, 0.0, 0.0, -1
    lowest = min(-2.1, ps - th - 0.05)
    end_w = 2 * math.pi * m.end_hertz / clock
    legs = min(1.0, 1 / clock) ** 1.5  # a quick bat is quick by arms and wrists more than by hips
    rows = []
    for k in range(steps):
        after = struck >= 0
        u = u + dt if after else 0.0
        late = min(1.0, max(0.0, (u / clock - m.through) / 0.08)) if after else 0.0
        # Hips: the rear leg pushes until the front leg stops them.
        goal = m.hips_goal + (m.end_hips - m.hips_goal) * late
        gap = min(1.0, max(-1.0, (goal - p) / 0.6))
        push = m.hips * legs * min(1.0, t / 0.05) * gap - (3.0 + 14.0 * (1 - abs(gap))) * vp
        # Chest on hips: the coil is held, then lets go.
        share = min(1.0, max(0.0, (t - m.chest_at) / 0.04))
        twist = m.twist[0] + (m.twist[1] - m.twist[0]) * share + (m.end_twist - m.twist[1]) * late
        coil = m.chest * (p + twist - c) - (5.0 + 5.0 * late) * (vc - vp)
        # Arms on chest.
        share = min(1.0, max(0.0, (t - m.arms_at) / 0.04))
        arm = m.arm[0] + (m.arm[1] - m.arm[0]) * share + (m.end_arm - m.arm[1]) * late
        pull = min(140.0, max(-140.0, m.arms * (arm - (th - c)))) - (3.0 + 9.0 * late) * (vth - vc)
        # Bat on arms: cocked wrists, a stop that it can not lag behind, then what the wrists add.
        lag = ps - th
        if after:
            inertia = SPIN + BAT * BALANCE**2
            turn = min(1.0, u / clock / 0.05) * inertia * (end_w**2 * (m.end_bat - ps) - 2 * m.damped * end_w * vps)
            turn -= inertia * m.blow / 0.012 * clock * vps if u < 0.012 * clock else 0.0
        elif t < m.wrist_at:
            turn = min(30.0, max(-30.0, 60.0 * (m.hold - lag))) - 2.0 * (vps - vth)
        else:
            turn = m.wrist * min(1.0, (t - m.wrist_at) / 0.03) - 0.3 * (vps - vth)
        if lag < lowest:
            turn += 300.0 * (lowest - lag) - 4.0 * (vps - vth)
        # A flail: arms of length r swing a bat whose weight lies BALANCE from the hands.
        flat = math.cos(be)
        ml = BAT * BALANCE * flat * r
        aa, cc, bb = (ARMS + BAT) * r * r + 0.1, SPIN + BAT * BALANCE**2 * flat * flat + 0.02, ml * math.cos(lag)
        ta, tb = pull - turn + ml * math.sin(lag) * vps * vps, turn - ml * math.sin(lag) * vth * vth
        det = aa * cc - bb * bb
        vth += dt * (ta * cc - tb * bb) / det
        vps += dt * (aa * tb - bb * ta) / det
        vp += dt * (push - 0.4 * coil) / HIPS
        vc += dt * (coil - 0.8 * pull) / CHEST
        # The turning bat flattens itself into its plane, and turning arms are drawn out.
        up = (m.end_tilt if late else 0.0) if after else (m.tilt if t < m.arms_at else 0.0)
        w = end_w if after else 14.0
        vbe += dt * (w * w * (up - be) - 1.7 * w * vbe - 0.6 * math.sin(be) * flat * vps * vps)
        going = t > m.arms_at
        # The hands drop as they come, and go out only when they are past the chest: earlier they would go backward.
        came = min(1.0, max(0.0, (th - state[2]) / 0.7)) if going else 0.0
        out = min(1.0, max(0.0, (th + 1.05) / 0.9)) if going else 0.0
        far = (m.end_reach if late else m.far) if after else m.reach[0] + (m.reach[1] - m.reach[0]) * out
        w = (end_w * 1.3 if late else 16.0) if after or going else 12.0
        vr += dt * (w * w * (far - r) - 1.8 * w * vr + 0.1 * r * vth * vth)
        low = m.end_height if late else m.height[0] + (m.height[1] - m.height[0]) * came
        w = end_w * 1.2 if late else 15.0
        vh += dt * (w * w * (low - h) - 1.8 * w * vh)
        p, c, th, ps, be, r, h = (
            p + dt * vp, c + dt * vc, th + dt * vth, ps + dt * vps, be + dt * vbe, r + dt * vr, h + dt * vh,
        )  # fmt: skip
        t += dt
        rows.append((p, c, th, ps, be, r, h))
        if not after and ps >= m.hit:
            struck = k
            if to_contact:
                break
    return np.array(rows), struck


def shoot(m: Muscles, state: list[float], seconds: float, hands: float) -> tuple[Muscles, float]:
    """Learn the swing: the wrists' torque with which the hands are at the angle ``hands`` when the bat is at contact, and the clock
    with which contact comes ``seconds`` after the hands go."""
    least, most, own, coarse = -25.0, 60.0, 0.2, 2 * STEP
    for _ in range(6):
        m = replace(m, wrist=(least + most) / 2)
        rows, struck = let_go(m, state, 1.0, 160, True, coarse)
        if struck < 0 or rows[-1, 2] > hands:
            least = m.wrist
        else:
            most = m.wrist
        if struck > 0:
            path = rows[:, 5:6] * np.stack([np.sin(rows[:, 2]), np.cos(rows[:, 2])], 1)
            quick = np.linalg.norm(np.diff(path, axis=0), axis=1)
            slow = np.flatnonzero(quick < 0.15 * quick.max())
            own = (struck - (slow[-1] if len(slow) else 0)) * coarse
    return m, float(np.clip(own / seconds, 0.45, 2.2))
