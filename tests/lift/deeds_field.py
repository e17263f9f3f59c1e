"""What is done without a bat: throwing, pitching, tossing, catching, fielding, running, warming up, cheering.

Throwers throw toward their own +x (sideways to the target, as one learns it) or, underhand, toward +z; a script's heading then
turns them anywhere. What matters lies between 0.5 and 2.2 s.
"""

from __future__ import annotations

import numpy as np
from scipy.interpolate import PchipInterpolator

from .deed_body import Script, Tracks

__all__ = ["FIELD", "gait"]

AT_CHEST = (0.22, -0.92, 0.3), (-0.55, 0.28, 0.78)  # both hands before the chest
LOW = (0.2, -0.75, 0.65), (-0.2, -0.55, 0.8)  # hands out in front of the knees


def gait(
    s: Script, strides: PchipInterpolator, *, step: float, lift: float, kick: float, stand: float, swing: float
) -> None:
    """Walking or running along +z: ``strides`` says how many pairs of steps are done at a time.

    ``step`` metres, ``lift`` of a foot and of its heel behind (``kick`` degrees), ``stand`` the share of a stride that a foot
    stands, ``swing`` how far the arms swing (1 is a run's).
    """

    def walked(times: np.ndarray, tracks: Tracks) -> None:
        along = strides(times)
        forward = 2 * step * (along - along[len(along) // 2])
        for side, ahead in (("L", 0.0), ("R", 0.5)):
            cycle = along + ahead
            whole, part = np.floor(cycle), cycle % 1
            air = np.clip((part - stand) / (1 - stand), 0, 1)
            smooth = air * air * (3 - 2 * air)
            at = 2 * step * (whole + smooth - ahead + stand / 2 - along[len(along) // 2])
            tracks[side][:, 2] += at
            tracks[side][:, 1] += lift * np.sin(np.pi * air) ** 2
            # The heel comes up before the foot leaves and is down again where it lands.
            late = np.clip((part - 0.7 * stand) / (1 - 0.7 * stand), 0, 1)
            tracks[side][:, 4] += kick * np.sin(np.pi * np.sqrt(late)) ** 2
            # Each arm goes with the other leg.
            other = "R" if side == "L" else "L"
            fore_aft = swing * np.cos(2 * np.pi * (cycle - 0.02))
            for limb, much in (("u", 0.75), ("f", 0.5)):
                tracks[f"{limb}{other}"][:, 2] += much * fore_aft
        tracks["hips"][:, 2] += forward
        tracks["hips"][:, 1] -= 0.03 * lift / 0.2 * (1 + np.cos(4 * np.pi * along)) * (stand < 0.5)
        turning = 9 * swing * np.cos(2 * np.pi * along)
        tracks["chest"][:, 0] += turning
        tracks["pelvis"][:, 0] -= 0.6 * turning

    s.more.append(walked)


def _throw(s: Script, t: float, slot: float, stride: float, knee: float, through: float, at: float = 0.0) -> None:
    """A throw with the right arm toward +x, let go at ``t``; ``slot`` 1 overhand, 0 sidearm; ``knee`` how high the front foot lifts.

    ``at`` is where (x) the rear foot stands. Hips turn first, then the chest, then the upper arm, and the forearm last.
    """
    slow = 1 + 0.5 * max(0.0, 0.5 - stride)
    down = t - 0.19 * slow
    s.at(
        t - 0.62 - knee, hips=(at - 0.02, 0.97, 0), pelvis=(s.u(-20, 5), 4, 0), chest=(s.u(-20, 5), 5, 0), face=(80, 4)
    )
    s.at(down - 0.12, hips=(at + 0.25 * stride, 0.93, 0), pelvis=(0, 6, 4), chest=(-14, 6, 12), face=(82, 3))
    s.step("L", t - 0.55 - knee, down, (at - 0.1 + stride, s.u(-0.1, 0.06)), yaw=s.u(50, 85), lift=0.12 + knee, heel=20)
    s.at(down, hips=(at + 0.5 * stride, 0.9 - 0.07 * stride, 0), pelvis=(26, 6, 2), chest=(-6, 4, 8))
    s.at(t - 0.06 * slow, pelvis=(74, 10, 0), chest=(46, 4, -2 - 10 * slot))
    tilt = 12 - 34 * slot
    s.at(t, hips=(at + 0.62 * stride, 0.9 - 0.1 * stride, 0), pelvis=(86, 16, 0), chest=(84, 20, tilt), face=(88, 6))
    s.at(t + 0.14, chest=(112, 34 + 12 * stride, tilt * 0.6), pelvis=(94, 22, 0), face=(88, 8))
    s.at(
        t + 0.5,
        hips=(at + (0.65 + 0.25 * through) * stride, 0.88, 0),
        chest=(112, 30, 0),
        pelvis=(98, 18, 0),
        face=(88, 5),
    )
    s.at(t + 0.95, hips=(at + (0.65 + 0.3 * through) * stride, 0.95, 0), chest=(92, 10, 0), pelvis=(92, 8, 0))
    # The throwing arm: down and back, up beside, laid back, over, and across the body.
    s.arms(t - 0.5 * slow, (0.35, -0.9, 0.1), (0.2, -0.9, 0.2), "R")
    s.arms(t - 0.34 * slow, (0.7, -0.6, -0.35), (0.55, -0.7, -0.45), "R")
    s.arms(t - 0.2 * slow, (0.95, -0.05, -0.25), (0.3, 0.15 + 0.6 * slot, -0.55), "R")
    s.arms(t - 0.095 * slow, (0.95, 0.05 + 0.1 * slot, 0.12), (0.65 - 0.2 * slot, 0.1 + 0.35 * slot, -0.8), "R")
    s.arms(t - 0.025, (0.9, 0.05 + 0.15 * slot, 0.35), (1.0 - 0.4 * slot, 0.15 + 0.7 * slot, 0.1), "R")
    s.arms(t + 0.015, (0.8, 0.02 + 0.18 * slot, 0.55), (0.45, 0.05 + 0.45 * slot, 0.8), "R")
    s.arms(t + 0.09, (0.4, -0.25, 0.88), (-0.25, -0.3, 0.92), "R")
    s.arms(t + 0.2, (-0.1, -0.6, 0.8), (-0.6, -0.75, 0.3), "R")
    s.arms(t + 0.5, (-0.05, -0.85, 0.5), (-0.5, -0.8, 0.25), "R")
    # The glove arm: out to the target, then drawn in to the chest.
    reach = s.u(-0.35, 0.3)
    s.arms(t - 0.34 * slow, (0.8, reach - 0.2, 0.35), (0.6, reach, 0.6), "L")
    s.arms(down, (0.9, reach, 0.3), (0.85, 0.1, 0.45), "L")
    s.arms(t - 0.03, (0.5, -0.75, 0.3), (0.1, 0.3, 0.9), "L")
    s.arms(t + 0.3, (0.4, -0.85, 0.0), (-0.1, 0.2, 0.9), "L")
    s.arms(t + 0.95, (0.2, -0.97, 0.1), (-0.1, -0.6, 0.7), "LR")
    # The rear foot turns over and is dragged along where the stride is long.
    s.pivot("R", down - 0.08, down - 0.01, 10, 25)
    dragged = s.foot("R")
    dragged[0] += max(0.0, 0.75 * stride - 0.45)
    dragged[3:] = 45, 50
    s.at(t + 0.06, R=dragged)
    if through > 0.5:
        s.step(
            "R", t + 0.09, t + 0.5, (at + stride + s.u(-0.1, 0.2), s.u(0.2, 0.34)), yaw=s.u(60, 95), lift=0.2, heel=45
        )


def _ready(s: Script, time: float = 0.0) -> None:
    """Standing sideways, ball and glove together."""
    s.arms(time, *AT_CHEST)
    s.at(time, pelvis=(s.u(-5, 60), 3, 0), chest=(s.u(-5, 50), 6, 0), face=(s.u(40, 85), 6))


def overhand_throw(s: Script) -> None:
    _ready(s)
    _throw(s, s.u(1.2, 1.6), s.u(0.75, 1.15), s.u(0.35, 0.95), s.u(0, 0.2), float(s.maybe(0.7)))


def sidearm_throw(s: Script) -> None:
    _ready(s)
    _throw(s, s.u(1.2, 1.6), s.u(-0.35, 0.5), s.u(0.2, 0.8), s.u(0, 0.1), float(s.maybe()))


def crow_hop_throw(s: Script) -> None:
    t = s.u(1.4, 1.7)
    _ready(s)
    hop = s.u(0.25, 0.5)
    s.at(t - 1.25, hips=(-0.1, 0.93, 0), pelvis=(60, 8, 0), chest=(50, 14, 0))
    # The rear foot crosses in front, and lands turned across the line.
    s.step("R", t - 1.15, t - 0.66, (hop - 0.13, 0.12), yaw=-5, lift=0.25, heel=10)
    s.at(t - 0.9, hips=(0.55 * hop, 0.99, 0))
    _throw(s, t, s.u(0.8, 1.15), s.u(0.6, 1.0), 0.0, 1.0, at=hop)


def dart_throw(s: Script) -> None:
    """A small child's throw: faces the target, steps with the throwing side's foot or not at all, pushes from the ear."""
    t = s.u(1.0, 1.7)
    side = s.u(0, 1)
    s.at(
        0,
        pelvis=(85, 2, 0),
        chest=(80, 3, 0),
        face=(88, 5),
        R=(-0.1, 0, 0.2, 85, 0),
        L=(-0.1, 0, -0.05, 95, 0),
        hips=(-0.05, 0.98, 0.07),
    )
    s.arms(0, (0.2, -0.95, 0.2), (-0.3, 0.1, 0.9))
    s.arms(t - 0.3, (0.6, 0.1, 0.3), (-0.1 + 0.2 * side, 0.85, -0.3), "R")
    s.at(t - 0.3, chest=(70, -6, 4), pelvis=(82, 0, 0))
    s.arms(t - 0.1, (0.55, 0.3, 0.6), (0.0, 0.8, -0.1), "R")
    s.arms(t, (0.4, 0.35, 0.85), (0.0, 0.4, 0.9), "R")
    s.at(t, chest=(94, 16, -5), pelvis=(90, 6, 0))
    s.arms(t + 0.15, (0.2, -0.2, 0.95), (-0.1, -0.5, 0.85), "R")
    s.arms(t + 0.6, (0.15, -0.95, 0.2), (0, -0.85, 0.5), "R")
    s.at(t + 0.5, chest=(86, 6, 0))
    if s.maybe():
        s.step("R", t - 0.25, t + 0.05, (s.u(0.1, 0.3), 0.2), lift=0.1)
        s.at(t - 0.3, hips=(-0.05, 0.98, 0.07))
        s.at(t + 0.1, hips=(0.12, 0.96, 0.07))


def pitch(s: Script) -> None:
    """From the stretch or the wind-up, hands to the chest or over the head."""
    t = s.u(1.55, 1.8)
    stretch = s.maybe()
    knee = s.u(0.2, 0.55)
    s.arms(0, *AT_CHEST)
    s.at(0, face=(80, 4))
    if not stretch:
        s.at(0, pelvis=(70, 3, 0), chest=(65, 4, 0), L=(0.0, 0, -0.05, 60, 0), R=(0.0, 0, 0.2, 60, 0))
        s.step("L", t - 1.65, t - 1.42, (-0.25, -0.08), lift=0.06)
        s.pivot("R", t - 1.5, t - 1.25, -5)
        if s.maybe():
            s.arms(t - 1.75, *AT_CHEST)
            s.arms(t - 1.4, (0.35, 0.75, 0.4), (-0.45, 0.75, -0.1))
    lifted = s.foot("L")
    lifted[:] = 0.05, knee + 0.1, 0.2, -20, 30
    s.arms(t - 0.95, *AT_CHEST)
    s.at(t - 0.95, hips=(-0.02, 0.97, 0.02), pelvis=(-28, -3, 0), chest=(-24, 4, 0))
    _throw(s, t, s.u(0.1, 1.1), s.u(0.95, 1.3), 0.38, float(s.maybe(0.8)))
    kept = s.keys["L"]
    # The lift of the leg, in place of the throw's own way up.
    middle = sorted(kept)[-2]
    del kept[middle]
    s.at(t - 0.75, L=lifted)
    s.at(t - 0.42, L=(0.5, 0.14, 0.1, 20, 15))


def windmill_pitch(s: Script) -> None:
    """A whole circle of the arm beside the body, toward +z, off the drive of the rear leg."""
    t, stride = s.u(1.3, 1.7), s.u(0.6, 1.1)
    s.at(0, L=(0.08, 0, 0.0, 0, 0), R=(-0.1, 0, 0.1, -10, 0), face=(0, 4))
    s.arms(0, *AT_CHEST)
    s.at(t - 0.8, hips=(0, 0.97, -0.03), chest=(0, 14, 0), pelvis=(0, 10, 0))
    s.at(t - 0.5, hips=(0, 0.9, 0.12), chest=(-5, 20, 0), pelvis=(-5, 12, 0))
    s.step("L", t - 0.52, t - 0.12, (s.u(-0.05, 0.05), stride), yaw=-25, lift=s.u(0.12, 0.3), heel=-8)
    s.at(t - 0.22, hips=(0, 0.93, 0.55 * stride), chest=(-75, 0, 6), pelvis=(-62, 2, 0))
    s.at(t, hips=(0, 0.92, 0.66 * stride), chest=(-30, -2, 10), pelvis=(-18, 4, 0))
    s.at(t + 0.25, hips=(0, 0.94, 0.75 * stride), chest=(10, 6, 0), pelvis=(4, 4, 0))
    s.pivot("R", t - 0.4, t - 0.25, -40, 40)
    s.step("R", t - 0.2, t + 0.35, (-0.14, stride - s.u(0.05, 0.3)), yaw=-10, lift=0.03, heel=45)
    s.arms(t - 0.45, (0.1, -0.2, 0.95), (0.0, 0.2, 0.95), "L")
    s.arms(t - 0.1, (0.35, -0.6, 0.7), (0.1, -0.3, 0.9), "L")
    s.arms(t + 0.2, (0.4, -0.9, 0.2), (0, -0.4, 0.9), "L")
    when = (-2, -0.85, -0.62, -0.42, -0.24, -0.1, 0, 0.12, 0.3, 0.9, 3)
    keys = np.stack([when, (-0.1, -0.15, -0.75, 0.8, 3.0, 4.9, 6.2, 7.2, 7.6, 6.5, 6.4)], 1)
    circle = PchipInterpolator(1.3 + (t + keys[:, 0] - 1.3) * s.pace, keys[:, 1])
    out, after = s.u(0.05, 0.25), s.u(0.3, 1.2)

    def round_(times: np.ndarray, tracks: Tracks) -> None:
        angle = circle(times)
        share = np.clip((times - (1.3 + (t - 2.15) * s.pace)) / 0.2, 0, 1)[:, None]
        bend = 0.25 + after * np.clip((angle - 6.4) / 1.2, 0, 1)
        for name, turned in (("uR", angle), ("fR", angle + bend)):
            world = np.stack([-out * np.ones_like(turned), -np.cos(turned), np.sin(turned)], 1)
            # Arms are told in the chest's axes, and the circle lies still while the chest turns.
            yaw = np.radians(tracks["chest"][:, 0])
            x, z = (
                world[:, 0] * np.cos(yaw) - world[:, 2] * np.sin(yaw),
                world[:, 0] * np.sin(yaw) + world[:, 2] * np.cos(yaw),
            )
            tracks[name] = tracks[name] * (1 - share) + np.stack([-x, world[:, 1], z], 1) * share

    s.more.append(round_)


def underhand_toss(s: Script) -> None:
    """To a hitter, standing or on a low seat of bent knees."""
    t, low = s.u(0.9, 1.7), s.u(0.55, 0.98)
    wide = 0.14 + 0.25 * (1 - low)
    s.at(
        0,
        L=(wide, 0, 0.12, 15, 0),
        R=(-wide, 0, -0.1, -15, 15),
        hips=(0, low, 0),
        chest=(0, 12 + 20 * (1 - low), 0),
        pelvis=(0, 8, 0),
        face=(0, 0),
    )
    s.arms(0, (0.2, -0.9, 0.3), (-0.1, -0.1, 0.95))
    back, on = s.u(0.1, 0.8), s.u(0.5, 1.3)
    for off, angle in ((-0.55, 0.2), (-0.28, -back), (0.0, 0.7), (0.18, on), (0.6, 0.2)):
        bend = 0.35 if off < 0 else 0.3 + 0.3 * on
        s.arms(t + off, (0.15, -np.cos(angle), np.sin(angle)), (0.05, -np.cos(angle + bend), np.sin(angle + bend)), "R")
    s.at(t - 0.3, chest=(-10, 14, 0), hips=(0, low, -0.02))
    s.at(t + 0.1, chest=(12, 8, 0), hips=(0, low, 0.05))
    s.at(t + 0.7, chest=(0, 10, 0), hips=(0, low, 0))
    if s.maybe(0.4) and low > 0.85:
        s.step("L", t - 0.35, t - 0.02, (0.14, s.u(0.3, 0.5)), lift=0.08)


def flip(s: Script) -> None:
    """A short toss of a fielder from low down: shovelled forward, or backhand away to the right."""
    t, low, backhand = s.u(0.9, 1.6), s.u(0.62, 0.85), s.maybe()
    s.at(
        0,
        L=(0.3, 0, 0.1, 20, 0),
        R=(-0.3, 0, 0.1, -20, 0),
        hips=(0, low, 0),
        chest=(0, 45, 0),
        pelvis=(0, 30, 0),
        face=(0, 30),
    )
    s.arms(0, *LOW)
    s.arms(t - 0.3, *LOW)
    if backhand:
        s.arms(t - 0.18, (0.3, -0.75, 0.55), (-0.9, -0.1, 0.35), "R")
        s.arms(t, (0.7, -0.45, 0.5), (0.5, -0.2, 0.8), "R")
        s.arms(t + 0.12, (0.9, -0.2, 0.35), (0.95, 0.0, 0.3), "R")
        s.at(t, chest=(-25, 35, 0), face=(-60, 15))
    else:
        s.arms(t - 0.18, (0.2, -0.97, -0.1), (0.0, -0.8, 0.5), "R")
        s.arms(t, (0.15, -0.65, 0.75), (0.0, -0.2, 0.95), "R")
        s.arms(t + 0.2, (0.1, -0.3, 0.95), (0.0, 0.1, 0.95), "R")
        s.at(t, chest=(8, 30, 0), face=(0, 5))
        s.step("R", t - 0.25, t + 0.1, (-0.2, s.u(0.4, 0.7)), lift=0.08)
        s.at(t + 0.15, hips=(0, low + 0.05, 0.25))
    s.at(t + 0.6, chest=(0, 25, 0), hips=(0, 0.9, 0.1 if backhand else 0.3))
    s.arms(t + 0.7, (0.25, -0.9, 0.3), (-0.1, -0.5, 0.85))


def catch(s: Script) -> None:
    """High, low, at either side, one-handed or with two, and drawn in to the chest."""
    t, two = s.u(0.9, 1.6), s.maybe(0.6)
    s.at(0, hips=(0, 0.92, 0), chest=(0, 14, 0), L=(0.22, 0, 0.09, 12, 0), R=(-0.22, 0, 0.09, -12, 0), face=(0, 2))
    s.arms(0, (0.25, -0.85, 0.45), (-0.1, 0.15, 0.95))
    s.arms(t - 0.45, (0.25, -0.85, 0.45), (-0.1, 0.15, 0.95))
    x, y = s.u(-1.1, 0.9), s.u(-0.9, 1.3)  # where it comes: to the left, up
    aim = np.array([x, y, 0.75])
    aim /= np.linalg.norm(aim)
    s.arms(t, aim + np.array([0.08, -0.1, 0]), aim, "L")
    if two:
        s.arms(t, aim * [-1, 1, 1] + [0.15, -0.2, 0], aim * [-1, 1, 1] + [-0.35, 0, 0], "R")
    bent = max(0.0, -y)
    s.at(
        t,
        hips=(0.15 * x, 0.93 - 0.3 * bent, 0),
        chest=(22 * x, 12 + 28 * bent - 10 * max(0.0, y), -12 * x),
        face=(40 * x, 25 * bent - 22 * y),
    )
    if abs(x) > 0.5:
        side = "L" if x > 0 else "R"
        s.step(side, t - 0.4, t, (0.55 * np.sign(x), 0.15), lift=0.1)
    elif y > 0.9:
        for side in "LR":  # leaps for it
            foot = s.foot(side)
            s.at(t - 0.22, **{side: foot})
            s.at(t, **{side: foot + np.array([0, 0.2, 0, 0, 40])})
            s.at(t + 0.24, **{side: foot})
        s.at(t - 0.3, hips=(0, 0.84, 0))
        s.at(t, hips=(0, 1.16, 0))
        s.at(t + 0.3, hips=(0, 0.88, 0))
    s.arms(t + 0.4, *AT_CHEST)
    s.at(t + 0.45, chest=(0, 10, 0), hips=(0.1 * x, 0.94, 0), face=(0, 10))


def ground_ball(s: Script) -> None:
    """Down with glove and hand between wide feet, up to the chest, and (mostly) a throw."""
    t = s.u(0.6, 0.85)
    s.at(
        0,
        L=(0.3, 0, 0.15, 15, 0),
        R=(-0.3, 0, 0.0, -15, 0),
        hips=(0, 0.85, 0),
        chest=(0, 30, 0),
        pelvis=(0, 20, 0),
        face=(0, 20),
    )
    s.arms(0, (0.25, -0.85, 0.5), (-0.05, -0.4, 0.9))
    low = s.u(0.52, 0.7)
    s.at(t, hips=(0, low, -0.02), chest=(0, 72, 0), pelvis=(0, 48, 0), face=(0, 60))
    s.arms(t, (0.12, -0.55, 0.85), (-0.25, -0.2, 0.95), "L")
    s.arms(t, (0.2, -0.5, 0.85), (-0.4, -0.05, 0.9), "R")
    s.at(t + 0.14, hips=(0, low + 0.02, 0), chest=(0, 68, 0), pelvis=(0, 45, 0), face=(0, 55))
    s.arms(t + 0.4, *AT_CHEST)
    if s.maybe(0.8):
        s.pivot("R", t + 0.25, t + 0.45, -8)
        _throw(s, t + s.u(1.05, 1.2), s.u(0.1, 1.0), s.u(0.4, 0.75), 0.0, float(s.maybe()), at=-0.15)
    else:
        s.at(t + 0.7, hips=(0, 0.95, 0), chest=(0, 12, 0), pelvis=(0, 6, 0), face=(0, 5))


def catcher(s: Script) -> None:
    """Squats with the mitt out, receives, and rises or pops up to throw; the pitcher is at +x, as the throw's target."""
    s.at(
        0,
        L=(0.0, 0, -0.22, 70, 8),
        R=(0.0, 0, 0.24, 112, 12),
        hips=(-0.2, 0.36, 0),
        pelvis=(90, 28, 0),
        chest=(88, 32, 0),
        face=(90, 0),
    )
    give, t = s.u(-0.15, 0.25), s.u(0.7, 0.9)
    for time in (0.0, t):
        s.arms(time, (0.1, -0.5, 0.85), (0.0, 0.2 + give, 0.95), "L")
        s.arms(time, (0.25, -0.9, 0.0) if give > 0 else (0.3, -0.75, 0.5), (-0.4, -0.3, 0.7), "R")
        s.at(time, hips=(-0.2, 0.36, 0))
    if s.maybe(0.7):
        s.arms(t + 0.2, *AT_CHEST)
        s.at(t + 0.12, pelvis=(70, 28, 0), chest=(50, 30, 0))
        s.step("R", t + 0.05, t + 0.3, (0.05, 0.02), yaw=0, lift=0.12, heel=10)
        s.at(t + 0.28, hips=(0.0, 0.82, 0))
        _throw(s, t + 0.92, s.u(0.7, 1.1), s.u(0.4, 0.75), 0.0, float(s.maybe()), at=0.05)
    else:
        s.arms(t + 0.12, (0.15, -0.6, 0.75), (-0.1, 0.25 + give, 0.9), "L")
        s.at(t + 0.3, hips=(-0.2, 0.38, 0), chest=(88, 30, 0), pelvis=(90, 28, 0))
        s.at(t + 0.9, hips=(-0.12, 0.95, 0), chest=(88, 8, 0), pelvis=(90, 4, 0))
        s.arms(t + 0.9, (0.2, -0.95, 0.2), (-0.1, -0.3, 0.9))


def kick(s: Script) -> None:
    """A ball kicked toward +z with the right foot, from a step or standing."""
    t, hard = s.u(1.1, 1.6), s.u(0.4, 1.0)
    s.at(0, hips=(0, 0.98, -0.35), L=(0.12, 0, -0.2, 5, 0), R=(-0.12, 0, -0.5, -10, 0), face=(0, 22))
    s.at(t - 0.6, hips=(0, 0.97, -0.3))
    s.step("L", t - 0.55, t - 0.18, (0.14, 0.08), yaw=3, lift=0.1, heel=10)
    s.at(t - 0.22, hips=(0.03, 0.95, -0.1), pelvis=(-25 * hard, 0, 4), chest=(12, 2, 4))
    s.at(t, hips=(0.06, 0.97, 0.0), pelvis=(6, -4, 0), chest=(-8, 14, 0), face=(0, 30))
    s.at(t + 0.2, hips=(0.06, 0.98, 0.08), pelvis=(22 * hard, -12 * hard, 0), chest=(-14 * hard, 4, 0), face=(0, 5))
    s.at(t + 0.75, hips=(0.05, 0.98, 0.15), pelvis=(0, 2, 0), chest=(0, 4, 0))
    s.pivot("R", t - 0.42, t - 0.32, -10, 45)
    s.at(t - 0.18, R=(-0.2, 0.1 + 0.35 * hard, -0.6, -15, 75))
    s.at(t, R=(-0.05, 0.06, 0.12, -5, 40))
    s.at(t + 0.18, R=(0.08, 0.35 + 0.5 * hard, 0.6 + 0.1 * hard, -5, 10))
    s.at(t + 0.4, R=(0.0, 0.2, 0.45, -5, 10))
    s.at(t + 0.65, R=(-0.14, 0, 0.22, -8, 0))
    for time in (0.0, t - 0.55):
        s.arms(time, (0.2, -0.96, 0.05), (0.1, -0.85, 0.4))
    s.arms(t - 0.2, (0.8, -0.4, 0.35), (0.7, -0.2, 0.6), "L")
    s.arms(t - 0.2, (0.6, -0.75, -0.2), (0.45, -0.8, 0.2), "R")
    s.arms(t + 0.15, (0.4, -0.7, 0.55), (-0.4, -0.3, 0.8), "L")
    s.arms(t + 0.15, (0.6, -0.55, -0.55), (0.6, -0.7, -0.1), "R")
    s.arms(t + 0.75, (0.2, -0.95, 0.1), (0.1, -0.85, 0.4))


def jog(s: Script) -> None:
    """In place, or past the camera at a trot or a run."""
    fast, step = s.u(1.15, 1.6), 0.0 if s.maybe(0.4) else s.u(0.25, 0.75)
    s.at(
        0,
        hips=(0, 0.95, 0),
        chest=(0, 6 + 14 * step, 0),
        pelvis=(0, 6, 0),
        L=(0.09, 0, 0.07, 3, 0),
        R=(-0.09, 0, 0.07, -3, 0),
        face=(s.u(-30, 30), 2),
    )
    s.arms(0, (0.25, -0.92, -0.15), (-0.15, 0.15, 0.9))
    strides = PchipInterpolator([-0.2, 3.6], [s.u(0, 1), s.u(0, 1) + 3.8 * fast])
    gait(s, strides, step=step, lift=s.u(0.12, 0.3), kick=s.u(35, 75), stand=s.u(0.34, 0.46), swing=s.u(0.5, 1.0))


def walk(s: Script) -> None:
    """Strolling, arms loose."""
    s.at(0, hips=(0, 0.97, 0), L=(0.08, 0, 0.07, 6, 0), R=(-0.08, 0, 0.07, -6, 0), face=(s.u(-50, 50), 5))
    strides = PchipInterpolator([-0.2, 3.6], [s.u(0, 1), s.u(0, 1) + 3.8 * s.u(0.7, 1.0)])
    gait(s, strides, step=s.u(0.4, 0.7), lift=0.07, kick=35, stand=0.61, swing=s.u(0.2, 0.55))


def jumping_jacks(s: Script) -> None:
    per, high = s.u(0.7, 1.2), s.u(1.6, 2.9)
    start, wide = s.u(0, 1), s.u(0.2, 0.4)

    def jumped(times: np.ndarray, tracks: Tracks) -> None:
        open_ = 0.5 - 0.5 * np.cos(2 * np.pi * (times / per + start))
        air = np.sin(2 * np.pi * (times / per + start)) ** 2
        angle = 0.1 + high * open_
        for side, sign in (("L", 1), ("R", -1)):
            tracks[f"u{side}"] = np.stack([np.sin(angle), -np.cos(angle), 0.08 + 0 * angle], 1)
            tracks[f"f{side}"] = np.stack([np.sin(angle * 1.04), -np.cos(angle * 1.04), 0.2 + 0 * angle], 1)
            tracks[side][:, 0] += sign * wide * open_
            tracks[side][:, 1] += 0.07 * air**2
            tracks[side][:, 4] += 8 + 18 * air
        tracks["hips"][:, 1] += 0.05 * air - 0.04

    s.more.append(jumped)


def arm_circles(s: Script) -> None:
    """One arm or both, small or windmill-wide, forward or backward, sideways or beside the head."""
    per = s.u(0.5, 1.3) * (1 if s.maybe() else -1)
    size, apart, sides = s.u(0.2, 1.4), s.u(0, 0.5), ("L", "R", "LR", "LR", "LR")[s.rng.integers(5)]
    s.at(0, L=(0.16, 0, 0.09, 10, 0), R=(-0.16, 0, 0.09, -10, 0))

    def circled(times: np.ndarray, tracks: Tracks) -> None:
        for side in sides:
            angle = 2 * np.pi * times / per + (np.pi * apart if side == "L" else 0)
            out = max(0.15, 1.1 - 0.75 * size)
            ring = np.stack([out + 0 * angle, size * np.cos(angle), size * np.sin(angle)], 1)
            tracks[f"u{side}"] = ring
            late = angle - 0.12 * np.sign(per)
            tracks[f"f{side}"] = np.stack([out + 0 * angle, size * np.cos(late), size * np.sin(late)], 1)
        tracks["chest"][:, 0] += 8 * size * np.sin(2 * np.pi * times / per) * (len(sides) == 1 or apart > 0.25)

    s.more.append(circled)


def trunk_twist(s: Script) -> None:
    """Arms out, or elbows out with the hands before the chest, turning from side to side."""
    per, far, hips = s.u(0.8, 2.0), s.u(30, 80), s.u(0.1, 0.6)
    start, loose = s.u(0, 6.28), s.u(0, 0.5)
    s.at(0, L=(0.22, 0, 0.09, 12, 0), R=(-0.22, 0, 0.09, -12, 0), hips=(0, 0.96, 0), face=(0, 3))
    how = s.rng.integers(3)
    s.arms(
        0,
        *(
            ((0.98, 0.0, 0.1), (0.95, 0.0, 0.3)),
            ((0.85, -0.1, 0.5), (-0.85, 0.0, 0.45)),
            ((0.6, -0.75, 0.2), (0.6, -0.5, 0.6)),
        )[how],
    )

    def twisted(times: np.ndarray, tracks: Tracks) -> None:
        angle = 2 * np.pi * times / per + start
        tracks["chest"][:, 0] += far * np.sin(angle)
        tracks["pelvis"][:, 0] += hips * far * np.sin(angle + 0.3)
        tracks["face"][:, 0] += s.loose * 0.5 * far * np.sin(angle)
        for side, sign in (("L", 1), ("R", -1)):  # loose arms trail behind the turn
            tracks[f"f{side}"][:, 2] -= sign * loose * np.cos(angle) * -1

    s.more.append(twisted)


def celebrate(s: Script) -> None:
    """Arms thrown up, with hops or a pumped fist."""
    t, hops, one = s.u(0.7, 1.1), s.maybe(), s.maybe(0.35)
    sides = "R" if one else "LR"
    s.arms(0, (0.14, -0.98, 0.03), (0.06, -0.9, 0.35))
    s.arms(t - 0.3, (0.3, -0.9, 0.1), (-0.1, -0.1, 0.9), sides)
    for k in range(3):
        s.arms(t + 0.4 * k, (0.45, 0.85, 0.2), (0.2, 0.95, 0.1), sides)
        s.arms(t + 0.4 * k + 0.2, (0.7, 0.3, 0.3), (0.1, 0.95, 0.1), sides)
    s.at(t, face=(0, -15), chest=(0, -6, 0))
    if hops:
        for k in range(3):
            for side in "LR":
                foot = s.foot(side)
                for off, up in ((-0.12, 0.0), (0.0, 0.16), (0.12, 0.0)):
                    s.at(t + 0.4 * k + off, **{side: foot + np.array([0, up, 0, 0, 220 * up])})
            s.at(t + 0.4 * k - 0.18, hips=(0, 0.9, 0))
            s.at(t + 0.4 * k, hips=(0, 1.13, 0))
        s.at(t + 1.05, hips=(0, 0.93, 0))


def talk(s: Script) -> None:
    """A coach who explains with both hands, points, and claps."""
    s.at(0, face=(s.u(-40, 40), 5))
    s.arms(0, (0.2, -0.95, 0.1), (-0.2, -0.2, 0.9))
    for time in np.arange(0.4, 2.8, s.u(0.3, 0.55)):
        both = s.maybe(0.6)
        for side in "LR" if both else "R":
            s.arms(
                time, (s.u(0.1, 0.7), s.u(-1, -0.3), s.u(0, 0.6)), (s.u(-0.7, 0.5), s.u(-0.2, 0.9), s.u(0.3, 0.9)), side
            )
        s.at(time, chest=(s.u(-20, 20), s.u(0, 15), 0), face=(s.u(-50, 50), s.u(-5, 20)))


FIELD = (
    overhand_throw, sidearm_throw, crow_hop_throw, dart_throw, pitch, windmill_pitch, underhand_toss, flip, catch, ground_ball, catcher,
    kick, jog, walk, jumping_jacks, arm_circles, trunk_twist, celebrate, talk,
)  # fmt: skip
