"""What is done with a bat that is no swing: waiting, getting ready, taking, bunting, warming up, walking off.

Hitters stand right-handed, x toward the pitcher, and face the plate at +z; a script's heading turns whom it likes. Nowhere does a
bat that both hands hold sweep past its halfway at speed.
"""

from __future__ import annotations

import numpy as np
from scipy.interpolate import PchipInterpolator

from .deed_body import Script, Tracks
from .deeds_field import gait

__all__ = ["BATTING"]


def _hitter(s: Script) -> float:
    """Ready in the box, in a stance of one's own; returns half the width between the feet."""
    s.bat, s.heading = "both", float(s.rng.normal(0, 8))
    half, open_ = s.u(0.18, 0.34), s.u(-0.1, 0.12)
    s.at(
        0,
        L=(half, 0, 0.09 - open_, s.u(5, 40), 0),
        R=(-half, 0, 0.09, s.u(-12, 10), 0),
        hips=(s.u(-0.06, 0.02), s.u(0.84, 0.96), 0),
        pelvis=(60 * max(0.0, open_) + s.u(-8, 6), s.u(8, 22), 0),
        chest=(s.u(-18, 6), s.u(12, 32), s.u(-2, 6)),
        face=(s.u(65, 88), s.u(2, 12)),
        grip=(s.u(-0.48, -0.15), s.u(-0.35, 0.1), s.u(0.35, 0.6)),
        bat=(s.u(-0.6, 0.15), s.u(0.5, 1.0), s.u(-0.65, -0.1)),
    )
    return half


def _told(s: Script, name: str) -> np.ndarray:
    """What was wished first."""
    kept = s.keys[name]
    return kept[min(kept)].copy()


def _again(s: Script, time: float, *names: str, **more: tuple[float, ...]) -> None:
    """Back to (or still at) where it began, moved by ``more``."""
    for name in names:
        s.at(time, **{name: _told(s, name)})
    for name, off in more.items():
        s.at(time, **{name: _told(s, name) + np.asarray(off, float)})


def _load(s: Script, half: float, t: float, long: float) -> None:
    """The load and the stride that lands at ``t``, hands held back."""
    _again(s, t - 0.6, "hips", "pelvis", "chest", "grip", "bat")
    deep = s.u(0.03, 0.14)
    _again(
        s,
        t - 0.25,
        hips=(-0.09, 0, 0),
        pelvis=(s.u(-22, -6), 0, 0),
        chest=(s.u(-18, -4), 2, 0),
        grip=(-deep, 0.03, -0.03),
        bat=(-0.1, 0.05, 0.05),
    )
    lift = (s.u(0.02, 0.08), s.u(0.15, 0.4))[int(s.maybe(0.4))]
    s.step("L", t - 0.42, t, (half + long, _told(s, "L")[2] + s.u(-0.06, 0.06)), yaw=s.u(15, 50), lift=lift, heel=12)
    _again(
        s, t, hips=(0.45 * long, -0.03, 0), pelvis=(s.u(0, 22), 0, 0), chest=(s.u(-14, 0), 3, 0), grip=(-deep, 0.0, 0)
    )


def take(s: Script) -> None:
    """Loads, strides, holds the hands and follows the ball into the mitt."""
    half, t = _hitter(s), s.u(0.95, 1.35)
    _load(s, half, t, s.u(0.05, 0.3))
    s.at(t, face=(80, 8))
    s.at(t + 0.12, face=(70, 14))
    s.at(t + 0.42, face=(s.u(-45, 30), s.u(12, 28)))
    turned = s.u(0, 30)
    _again(
        s,
        t + 0.3,
        pelvis=(turned, 0, 0),
        chest=(0.3 * turned, 3, 0),
        hips=(0.08, -0.03, 0),
        grip=(0.0, s.u(-0.1, 0.05), 0),
    )
    _again(
        s,
        t + 1.1,
        pelvis=(turned * 0.5, -6, 0),
        chest=(0, -8, 0),
        hips=(0.05, 0.03, 0),
        grip=(0.05, -0.15, -0.05),
        bat=(0, -0.1, -0.1),
    )
    s.pivot("R", t, t + 0.3, _told(s, "R")[3] + 0.7 * turned, turned * 0.8)


def waggle(s: Script) -> None:
    """The bat is kept moving before the pitch: small circles, tips, or a lazy lowering toward the pitcher and back."""
    half = _hitter(s)
    kind, per, phase = s.rng.integers(3), s.u(0.35, 1.3), s.u(0, 6.28)
    size = s.u(0.05, 0.5) * min(1.0, per)
    on, off = s.u(0.0, 0.6), s.u(1.8, 3.4)

    def waggled(times: np.ndarray, tracks: Tracks) -> None:
        share = np.clip((times - on) / 0.3, 0, 1) * np.clip((off - times) / 0.4, 0, 1)
        wave = size * share * np.sin(2 * np.pi * times / per + phase)
        quarter = size * share * np.cos(2 * np.pi * times / per + phase)
        tracks["bat"][:, 0] += wave
        tracks["bat"][:, 2] += quarter if kind == 0 else 0.4 * wave
        tracks["grip"] += np.stack([0.12 * wave, (0.15 if kind == 2 else 0.03) * quarter, 0.05 * quarter], 1)
        tracks["hips"][:, 0] += 0.06 * wave
        tracks["L"][:, 4] += np.maximum(0, 14 * quarter / max(size, 0.1)) * s.loose

    s.more.append(waggled)
    if kind == 2:  # tips the barrel out toward the plate and lifts it again
        t = s.u(0.8, 1.2)
        _again(s, t - 0.5, "grip", "bat")
        s.at(t, grip=(s.u(-0.3, -0.1), -0.45, 0.6), bat=(s.u(-0.9, -0.5), s.u(-0.2, 0.3), 0.35))
        _again(s, t + s.u(0.5, 0.9), "grip", "bat")
    if s.maybe(0.4):  # shifts from foot to foot
        t = s.u(0.5, 1.2)
        s.step("L", t, t + 0.3, (half + s.u(-0.04, 0.06), 0.09), lift=0.05)


def pump(s: Script) -> None:
    """Slow half rehearsals: the hands start down toward the ball, stop well before it, and go back."""
    _hitter(s)
    t, per = s.u(0.6, 0.9), s.u(0.75, 1.1)
    for k in range(2):
        _again(s, t + per * k - 0.35, "grip", "bat", "chest")
        s.at(
            t + per * k,
            grip=(s.u(-0.25, -0.05), s.u(-0.55, -0.35), s.u(0.45, 0.6)),
            bat=(-0.95, s.u(0.0, 0.35), s.u(-0.1, 0.25)),
        )
        _again(s, t + per * k, chest=(s.u(4, 18), 4, 4), pelvis=(s.u(5, 30), 0, 0))
    _again(s, t + per * 2 - 0.3, "grip", "bat", "chest", "pelvis")


def slow_turn(s: Script) -> None:
    """Rehearses the turn of the hips alone, the bat kept still at the shoulder."""
    half = _hitter(s)
    t, long, far = s.u(0.45, 0.7), s.u(0.5, 0.9), s.u(40, 80)
    if s.maybe():
        _load(s, half, t, s.u(0.05, 0.2))
    _again(s, t, "pelvis", "chest")
    with_chest = s.u(0.05, 0.4)
    _again(s, t + long, pelvis=(far, 0, 0), chest=(with_chest * far, 2, 0), hips=(0.06, -0.02, 0))
    s.pivot("R", t, t + long, 0.8 * far, s.u(20, 45))
    _again(s, t + 2 * long, "pelvis", "chest", "hips")
    s.pivot("R", t + long + 0.05, t + 2 * long, 0, 0)


def checked_swing(s: Script) -> None:
    """Goes, and holds up: the barrel is stopped before it has come halfway, and drawn back."""
    half, t = _hitter(s), s.u(0.95, 1.3)
    _load(s, half, t, s.u(0.05, 0.25))
    stop = t + s.u(0.2, 0.28)
    azimuth = np.radians(s.u(-88, -52))  # of the barrel in the chest's axes, 0 = straight out over the plate
    yaw = s.u(2, 18)
    _again(s, t + 0.05, "bat", pelvis=(12, 0, 0), chest=(-8, 3, 0), grip=(-0.08, -0.03, 0))
    s.at(
        stop,
        grip=(s.u(-0.18, 0.0), s.u(-0.6, -0.4), s.u(0.45, 0.62)),
        bat=(np.sin(azimuth), s.u(-0.05, 0.35), np.cos(azimuth)),
    )
    s.at(stop, chest=(yaw, s.u(18, 30), 8), pelvis=(s.u(30, 58), 10, 0), face=(65, 20))
    s.pivot("R", t, stop, 35, 30)
    s.at(stop + s.u(0.15, 0.35), grip=(-0.25, -0.35, 0.45), bat=(-0.8, 0.6, -0.1), chest=(yaw - 12, 20, 0))
    _again(s, stop + 0.8, "grip", "bat", chest=(5, -8, 0), pelvis=(15, -4, 0))
    s.at(stop + 0.5, face=(s.u(-20, 80), 12))


def _square(s: Script, start: float, end: float) -> None:
    """The bat laid out level before the chest, which turns to the pitcher; the top hand slides up the barrel."""
    low = s.u(0.78, 0.92)
    _again(s, start, "chest", "pelvis", "hips", "grip", "bat")
    s.at(start, apart=(0.0,))
    s.at(end, chest=(s.u(55, 85), s.u(15, 30), 0), pelvis=(s.u(50, 85), 10, 0), hips=(0.06, low, 0), face=(86, 8))
    s.at(end, grip=(s.u(-0.3, -0.1), s.u(-0.35, -0.05), s.u(0.6, 0.78)), bat=(-0.95, s.u(0.05, 0.4), s.u(-0.05, 0.25)))
    s.at(end, apart=(s.u(0.15, 0.32),))


def bunt(s: Script) -> None:
    """Squared early or late, pivoting on the feet or stepping round; mostly a give of the hands, sometimes pulled back."""
    half, end = _hitter(s), s.u(0.7, 1.3)
    start = end - s.u(0.3, 0.6)
    _square(s, start, end)
    if s.maybe():
        s.pivot("L", start, end, 60)
        s.pivot("R", start, end, 55, 20)
    else:
        s.step("R", start, end, (half - s.u(0.0, 0.3), s.u(0.35, 0.5)), yaw=80, lift=0.08)
        s.pivot("L", start, end, 85)
    meet = end + s.u(0.25, 0.7)
    kept = {name: s.keys[name][max(s.keys[name])] for name in ("grip", "bat", "chest", "hips")}
    for name in ("grip", "bat", "chest"):
        s.at(meet, **{name: kept[name]})
    lower = s.u(-0.2, 0.1)
    s.at(meet, hips=kept["hips"] + [0, 0.4 * min(0.0, lower), 0])
    if s.maybe(0.75):
        s.at(meet + 0.12, grip=kept["grip"] + [-0.03, lower * 0.5, -0.14])
        s.at(meet + 0.8, grip=kept["grip"] + [-0.05, -0.25, -0.1])
    else:  # takes the bat back
        s.at(meet, apart=(0.2,))
        s.at(meet + 0.4, grip=(-0.3, -0.15, 0.45), bat=(-0.4, 0.85, -0.3), apart=(0.03,))


def drag_bunt(s: Script) -> None:
    """Bunts late and on the way: the first steps to first base are under way while the ball is met."""
    half, t = _hitter(s), s.u(0.95, 1.3)
    _square(s, t - 0.5, t)
    s.pivot("L", t - 0.3, t - 0.05, 70)
    s.step("R", t - 0.35, t + 0.02, (-half + s.u(-0.02, 0.15), s.u(-0.15, 0.05)), yaw=40, lift=0.08)
    s.pivot("R", t + 0.02, t + 0.3, 60, 50)
    s.step("L", t + 0.02, t + 0.36, (half + s.u(0.1, 0.25), -0.05), yaw=80, lift=0.1)
    s.step("R", t + 0.32, t + 0.74, (half + s.u(0.55, 0.8), 0.12), yaw=90, lift=0.15, heel=40)
    s.pivot("L", t + 0.5, t + 0.74, 85, 50)
    s.step("L", t + 0.78, t + 1.2, (half + 1.3, -0.05), yaw=90, lift=0.2, heel=50)
    s.pivot("R", t + 0.95, t + 1.2, 90, 40)
    s.at(t + 0.12, hips=(0.1, 0.88, 0))
    s.at(t + 0.5, hips=(0.45, 0.9, 0), chest=(85, 25, 0), pelvis=(88, 12, 0))
    s.at(t + 1.2, hips=(1.2, 0.93, 0), chest=(88, 18, 0), pelvis=(90, 10, 0))
    s.at(t + 0.6, grip=(-0.15, -0.5, 0.6), bat=(-0.9, 0.1, 0.2))
    s.at(t + 1.2, grip=(-0.2, -0.7, 0.5), bat=(-0.9, -0.3, 0.3))


def dodge(s: Script) -> None:
    """An inside pitch: turns the back to it and ducks, or jumps back with a hollow belly."""
    half, t = _hitter(s), s.u(1.0, 1.4)
    if s.maybe(0.6):
        _load(s, half, t - 0.15, s.u(0.02, 0.15))
    _again(s, t - 0.1, "chest", "grip", "bat", pelvis=(0, 0, 0))
    s.at(t - 0.1, face=(80, 6))
    if s.maybe(0.6):
        s.at(
            t + 0.25,
            chest=(s.u(-85, -45), s.u(25, 50), -4),
            pelvis=(s.u(-60, -25), 14, 0),
            face=(s.u(-60, 0), s.u(20, 45)),
            hips=(-0.1, s.u(0.75, 0.9), -0.06),
        )
        s.at(t + 0.25, grip=(-0.1, -0.35, 0.4), bat=(-0.35, 0.75, 0.1))
        s.pivot("L", t - 0.05, t + 0.22, -20, 25)
        s.step("R", t + 0.1, t + 0.4, (-half - 0.1, -0.1), yaw=-35, lift=0.06)
    else:
        s.at(t + 0.22, chest=(-10, -12, s.u(0, 12)), pelvis=(-5, -10, 0), face=(60, -12), hips=(-0.1, 0.95, -0.42))
        s.at(t + 0.22, grip=(-0.3, 0.05, 0.4), bat=(-0.5, 0.8, -0.2))
        s.step("R", t - 0.05, t + 0.2, (-half - 0.1, -0.35), lift=0.12)
        s.step("L", t, t + 0.32, (half - 0.1, -0.4), lift=0.16)
    s.at(t + 0.9, chest=(-20, 10, 0), pelvis=(-15, 6, 0), face=(40, 8), grip=(-0.2, -0.4, 0.45), bat=(-0.5, 0.7, 0.0))


def _one_hand(s: Script, side: str = "R") -> None:
    s.bat = {"L": "left", "R": "right"}[side]


def step_in(s: Script) -> None:
    """Into the box or out of it, one foot after the other, the bat in both hands or trailing in one."""
    half, out = _hitter(s), s.maybe()
    t = s.u(0.5, 0.9)
    away = s.u(0.35, 0.7)
    _again(s, 0, "grip", "bat")
    if out:
        first, then = (-half * 0.6, 0.09 - away), (half * 0.4, 0.09 - away)
    else:
        first, then = (-half, 0.09), (half, 0.09)
        for side, x in (("L", 0.1), ("R", -0.12)):
            s.keys[side] = {0.0: np.array([x + s.u(-0.05, 0.05), 0, 0.09 - away, 10, 0])}
    start, end = (0.0, -away) if out else (-away, 0.0)
    s.keys["hips"] = {0.0: np.array([0, 0.93, start])}
    s.at(t - 0.1, hips=(0, 0.94, start))
    s.step("R", t, t + 0.42, first, lift=0.09)
    s.at(t + 0.5, hips=(-0.05, 0.94, (start + end) / 2))
    s.step("L", t + 0.5, t + 0.95, then, lift=0.09)
    s.at(t + 1.0, hips=(0, 0.95 if out else 0.9, end))
    s.at(t, face=(20, 25))
    s.at(t + 1.1, face=(s.u(0, 80), 8))
    low, up = (-0.1, -0.75, 0.45), (-0.3, -0.15, 0.48)
    s.at(t, grip=up if out else low)
    s.at(t + 0.9, grip=low if out else up)
    s.at(t, bat=(-0.3, 0.85, -0.3) if out else (-0.6, 0.3, 0.4))
    s.at(t + 0.9, bat=(-0.6, 0.3, 0.4) if out else (-0.3, 0.85, -0.3))
    if s.maybe(0.3):
        _one_hand(s)
        s.arms(0, (0.2, -0.97, 0.1), (0.1, -0.8, 0.55))
        s.at(0, bat=(-0.25, -0.35, 0.85))
        s.keys["bat"] = {0.0: s.keys["bat"][0.0]} if 0.0 in s.keys["bat"] else {0.0: np.array([-0.25, -0.35, 0.85])}


def dig_foot(s: Script) -> None:
    """The rear foot scrapes itself a hole; the hands wait, one raised to the umpire or both at the bat."""
    _hitter(s)
    per, t = s.u(0.35, 0.6), s.u(0.2, 0.5)
    s.at(0, face=(s.u(-20, 40), s.u(20, 40)))
    base = _told(s, "R")
    _again(s, t, hips=(0.1, 0.02, 0))
    for k in range(4):
        at = t + per * k
        s.at(at, R=base)
        s.at(at + 0.3 * per, R=base + np.array([0.03, 0.015, s.u(0.05, 0.13), s.u(-12, 12), 12]))
        s.at(at + 0.65 * per, R=base + np.array([-0.02, 0.0, -s.u(0.04, 0.14), s.u(-25, 25), 30]))
    s.at(t + 4 * per, R=base)
    _again(s, t + 4 * per, "hips")
    s.at(t + 4 * per + 0.2, face=(75, 6))
    s.at(0, grip=(-0.25, s.u(-0.7, -0.2), 0.48), bat=(-0.45, s.u(0.2, 0.9), -0.2))
    if s.maybe(0.35):  # asks for time with the rear hand
        _one_hand(s, "L")
        s.arms(0, (0.35, -0.85, 0.35), (-0.3, -0.2, 0.9), "L")
        s.at(0, bat=(0.1, 0.75, 0.5))
        s.arms(0, (0.6, 0.3, 0.3), (0.3, 0.9, 0.2), "R")
        del s.keys["bat"][min(s.keys["bat"])]
        s.at(0, bat=(0.3, 0.8, 0.4))


def tap_plate(s: Script) -> None:
    """Reaches over and taps the plate's far side, with one hand or both, once or a few times."""
    _hitter(s)
    both, t, per = s.maybe(), s.u(0.9, 1.2), s.u(0.28, 0.5)
    deep = s.u(38, 62)
    low = (s.u(-0.2, 0.1), -0.65, 0.68)
    _again(s, t - 0.85, "grip", "bat", "chest", "pelvis", "hips")
    s.at(t - 0.4, face=(20, 35))
    # The barrel is lowered outside, toward the plate, and comes up the same way.
    s.at(t - 0.42, bat=(-0.6, 0.35, 0.5))
    times = int(s.rng.integers(1, 5))
    for k in range(times):
        s.at(t + per * k, grip=low, bat=(s.u(-0.1, 0.15), -0.42, 0.8))
        s.at(t + per * (k + 0.5), grip=(low[0], low[1] + 0.08, low[2]), bat=(0.0, -0.12, 0.85))
    done = t + per * (times - 0.5)
    s.at(done + 0.45, bat=(-0.6, 0.35, 0.5))
    for when in (t - 0.05, done):
        s.at(when, chest=(s.u(-5, 12), deep, 0), pelvis=(0, 0.55 * deep, 0), hips=(0, 0.86, -0.03), face=(10, 50))
    _again(s, done + 1.0, "grip", "bat", "chest", "pelvis", "hips")
    s.at(done + 0.6, face=(70, 8))
    if not both:
        _one_hand(s)
        s.arms(t - 0.5, (0.25, -0.9, 0.2), (-0.1, -0.2, 0.9))
        s.arms(t, (0.15, -0.75, 0.6), (0.0, -0.55, 0.8), "R")
        s.arms(done, (0.15, -0.75, 0.6), (0.0, -0.5, 0.8), "R")
        s.arms(t, (0.3, -0.95, 0.1), (-0.2, -0.6, 0.6), "L")
        s.arms(done + 0.6, (0.25, -0.9, 0.2), (-0.1, -0.2, 0.9))
        s.at(done + 0.6, bat=(-0.2, 0.75, 0.5))


def tap_shoes(s: Script) -> None:
    """Knocks the dirt out of the spikes: a foot is lifted across, and the bat taps it."""
    _one_hand(s)
    t, gap = s.u(0.7, 0.9), s.u(0.7, 0.9)
    s.at(0, chest=(0, 12, 0), face=(0, 20), bat=(-0.1, -0.5, 0.75))
    s.arms(0, (0.2, -0.95, 0.15), (0.1, -0.8, 0.55))
    for k, side in enumerate("RL" if s.maybe() else "LR"):
        sign = 1 if side == "L" else -1
        when, foot = t + gap * k, s.foot(side)
        s.at(when - 0.3, **{side: foot})
        lifted = (0.1 * sign, s.u(0.22, 0.4), 0.18, 10 * sign, 20)
        s.at(when - 0.08, **{side: lifted})
        s.at(when + 0.12, **{side: lifted})
        s.at(when + 0.33, **{side: foot})
        s.at(when, hips=(-0.1 * sign, 0.94, 0), chest=(5 * sign, 26, 0), face=(0, 45))
        aim = 0.12 + 0.28 * (side == "L")
        for off, near in ((-0.12, 0.35), (-0.02, 0.1), (0.06, 0.35), (0.14, 0.1)):
            s.at(when + off, bat=(aim - near * 0.6, -0.85, 0.35))
        s.arms(when, (0.25, -0.9, 0.3), (-0.1, -0.45, 0.85), "R")
    s.at(t + gap + 0.6, hips=(0, 0.98, 0), chest=(0, 8, 0), face=(0, 10), bat=(-0.1, -0.5, 0.75))


def adjust(s: Script) -> None:
    """The bat under an arm or in one hand, the other hand at the helmet, or both at the glove's strap."""
    t, end = s.u(0.5, 0.8), s.u(1.6, 2.2)
    kind = s.rng.integers(3)
    s.at(0, face=(s.u(-20, 20), s.u(10, 35)), L=(0.17, 0, 0.09, 12, 0), R=(-0.17, 0, 0.09, -12, 0))
    _one_hand(s, "L" if s.maybe() else "R")
    hand = s.bat[0].upper()
    free = "R" if hand == "L" else "L"
    sign = 1 if hand == "L" else -1
    s.arms(0, (0.2, -0.95, 0.15), (-0.05, -0.4, 0.9))
    s.at(0, bat=(0.25 * sign, s.u(-0.3, 0.9), 0.6))
    if kind == 0:  # the helmet is pulled down
        for k in range(3):
            s.arms(t + 0.35 * k, (0.62, 0.35, 0.7), (-0.5, 0.8, 0.0), free)
            s.arms(t + 0.35 * k + 0.17, (0.62, 0.15, 0.75), (-0.5, 0.8, -0.05), free)
    elif kind == 1:  # the strap: both hands meet before the belly, and the free one pulls
        s.arms(t, (0.2, -0.95, 0.25), (-0.6, 0.05, 0.78), hand)
        s.arms(end, (0.2, -0.95, 0.25), (-0.6, 0.05, 0.78), hand)
        for k in range(4):
            s.arms(t + 0.3 * k, (0.22, -0.92, 0.3), (-0.6, 0.15, 0.75), free)
            s.arms(t + 0.3 * k + 0.15, (0.45, -0.85, 0.15), (-0.3, 0.1, 0.9), free)
    else:  # wipes the brow or hitches the trousers
        up = s.maybe()
        s.arms(
            t, *(((0.5, 0.05, 0.85), (-0.75, 0.6, -0.1)) if up else ((0.45, -0.85, -0.3), (-0.25, -0.75, 0.45))), free
        )
        s.arms(
            t + 0.5,
            *(((0.7, 0.15, 0.65), (-0.45, 0.75, 0.1)) if up else ((0.55, -0.75, -0.3), (-0.3, -0.65, 0.5))),
            free,
        )
    s.arms(end + 0.5, (0.2, -0.95, 0.15), (-0.05, -0.4, 0.9))


def point_bat(s: Script) -> None:
    """The bat held out at the pitcher or the fence in one hand, then brought back to the shoulder."""
    _hitter(s)
    hand = "R" if s.maybe(0.6) else "L"
    _one_hand(s, hand)
    t, stay, high = s.u(0.7, 1.1), s.u(0.2, 0.7), s.u(-0.05, 0.75)
    s.arms(0, (0.25, -0.9, 0.3), (-0.15, -0.1, 0.95))
    s.at(t - 0.45, chest=(10, 8, 0), bat=(0.1, 0.9, 0.4), pelvis=(5, 5, 0))
    s.arms(t - 0.4, (0.25, -0.9, 0.3), (-0.15, 0.0, 0.95))
    for when in (t, t + stay):
        s.at(
            when,
            chest=(s.u(45, 70), 4, 0),
            pelvis=(35, 4, 0),
            face=(85, -8 * high),
            bat=(0.1 if hand == "R" else 0.5, high + 0.25, 0.8),
        )
        s.arms(when, (-0.05 if hand == "R" else 0.45, -0.1 + 0.5 * high, 0.9), (0.05, 0.1 + 0.5 * high, 0.95), hand)
    s.at(t + stay + 0.6, chest=(5, 12, 0), pelvis=(2, 8, 0), bat=(-0.1, 0.9, -0.25))
    s.arms(t + stay + 0.6, (0.4, -0.75, 0.35), (-0.1, 0.5, 0.75), hand)


def bat_circles(s: Script) -> None:
    """One arm swings the bat round to loosen the shoulder: beside the body, overhead, or with the wrist alone."""
    hand = "R" if s.maybe(0.7) else "L"
    _one_hand(s, hand)
    kind, per, sense = s.rng.integers(3), s.u(0.7, 1.5), 1 if s.maybe() else -1
    sign = 1 if hand == "L" else -1
    s.at(0, L=(0.2, 0, 0.09, 12, 0), R=(-0.2, 0, 0.09, -12, 0))

    def circled(times: np.ndarray, tracks: Tracks) -> None:
        angle = 2 * np.pi * times / per * sense
        c, si, one = np.cos(angle), np.sin(angle), np.ones_like(angle)
        late = angle - 0.5 * sense
        if kind == 0:  # the whole arm, beside the body
            tracks[f"u{hand}"] = np.stack([0.3 * one, -c, si], 1)
            tracks[f"f{hand}"] = np.stack([0.2 * one, -c, si], 1)
            tracks["bat"] = np.stack([0.45 * sign * one, -np.cos(late), np.sin(late)], 1)
        elif kind == 1:  # over the head
            tracks[f"u{hand}"] = np.stack([0.6 + 0.15 * c, 0.75 * one, 0.25 + 0.15 * si], 1)
            tracks[f"f{hand}"] = np.stack([0.1 + 0.3 * c, 0.9 * one, 0.1 + 0.3 * si], 1)
            tracks["bat"] = np.stack([c * sign, 0.25 * one, si], 1)
        else:  # the wrist, before the body
            tracks[f"u{hand}"] = np.stack([0.2 * one, -0.9 + 0.05 * c, 0.3 + 0.05 * si], 1)
            tracks[f"f{hand}"] = np.stack([0.1 * si, -0.1 + 0.15 * c, 0.95 * one], 1)
            tracks["bat"] = np.stack([0.8 * si * sign, c, 0.55 * one], 1)

    s.more.append(circled)


def bat_twirl(s: Script) -> None:
    """The fingers spin the bat like a wheel beside the body, while standing or strolling."""
    hand = "R" if s.maybe(0.7) else "L"
    _one_hand(s, hand)
    sign, per, sense = (1 if hand == "L" else -1), s.u(0.4, 0.9), 1 if s.maybe() else -1
    on, off = s.u(0.2, 0.7), s.u(1.7, 3.0)
    turns = PchipInterpolator(
        [-0.2, on, (on + off) / 2, off, 3.6], np.array([0, 0, 0.5, 1, 1]) * np.ceil((off - on) / per)
    )
    s.arms(0, (0.25, -0.92, 0.2), (0.05, s.u(-0.75, -0.1), 0.75), hand)

    def spun(times: np.ndarray, tracks: Tracks) -> None:
        angle = 2 * np.pi * turns(times) * sense
        tracks["bat"] = np.stack([0.4 * sign + 0 * angle, np.cos(angle + 0.6), np.sin(angle + 0.6)], 1)
        tracks[f"f{hand}"][:, 1] += 0.12 * np.sin(angle)
        tracks[f"f{hand}"][:, 0] += 0.1 * np.cos(angle)

    s.more.append(spun)
    if s.maybe(0.35):
        gait(
            s,
            PchipInterpolator([-0.2, 3.6], [0.1, 0.1 + s.u(2.4, 3.4)]),
            step=s.u(0.3, 0.55),
            lift=0.07,
            kick=32,
            stand=0.61,
            swing=0.0,
        )


def wait_on_shoulder(s: Script) -> None:
    """The bat dropped on the shoulder; looks about, shifts the weight."""
    half = _hitter(s)
    s.heading = s.u(-180, 180)
    near = s.u(0.4, 0.9)
    s.at(0, hips=(s.u(-0.08, 0.08), 0.97, 0), chest=(s.u(-8, 12), 6, 0), pelvis=(s.u(-5, 10), 4, s.u(-6, 6)))
    s.at(0, L=(half * near, 0, 0.09, 15, 0), R=(-half * near, 0, 0.09, -12, 0))
    t = s.u(0.4, 0.8)
    rest = {"grip": (-0.3, s.u(-0.3, -0.1), s.u(0.32, 0.42)), "bat": (s.u(-0.45, 0.0), s.u(0.25, 0.5), -0.85)}
    if s.maybe():
        s.at(t, **rest)
    else:
        s.at(0, **rest)
    for time in (0.6, 1.2, 1.9, 2.6):
        s.at(
            time,
            face=(s.u(-50, 80), s.u(-5, 15)),
            hips=(s.u(-0.09, 0.09), s.u(0.95, 0.99), 0),
            pelvis=(s.u(-8, 10), 4, s.u(-5, 5)),
        )
    if s.maybe(0.5):
        s.step("L", t + 0.5, t + 0.85, (half * near + s.u(-0.1, 0.12), 0.1), lift=0.05)


def yoke_twist(s: Script) -> None:
    """The bat across the shoulders behind the neck, a hand near each end, turning from side to side, or bending."""
    s.bat = "wide"
    per, far, hips, start = s.u(0.9, 2.4), s.u(25, 85), s.u(0.15, 0.9), s.u(0, 6.28)
    bend = s.u(8, 28) * s.maybe(0.4)
    wide = s.u(0.16, 0.42)
    s.at(
        0,
        L=(wide, 0, 0.09, 12, 0),
        R=(-wide, 0, 0.09, -12, 0),
        hips=(0, s.u(0.88, 0.98), 0),
        face=(s.u(-10, 60), 3),
        chest=(0, s.u(2, 25), 0),
    )
    over = s.u(-0.1, 0.35)
    s.arms(0, (0.75, -0.78, -0.25), (-0.1 + over, 0.5, -0.55))

    def twisted(times: np.ndarray, tracks: Tracks) -> None:
        angle = 2 * np.pi * times / per + start
        tracks["chest"][:, 0] += far * np.sin(angle)
        tracks["chest"][:, 2] += bend * np.sin(angle + 0.4)
        tracks["pelvis"][:, 0] += hips * far * np.sin(angle + 0.35)
        tracks["hips"][:, 0] += 0.06 * wide * np.sin(angle + 0.3)
        for side, sign in (("L", 1), ("R", -1)):  # the heel that is turned away from comes up
            lift = np.maximum(0, sign * -np.sin(angle + 0.35)) ** 2
            tracks[side][:, 4] += 0.6 * hips * far * lift
            tracks[side][:, 3] += 0.6 * hips * far * lift * -sign

    s.more.append(twisted)


def overhead_stretch(s: Script) -> None:
    """The bat held up with a hand at each end: leans to each side, or goes behind the head and down before the thighs."""
    s.bat = "wide"
    t, lean = s.u(0.5, 0.9), s.u(10, 32)
    wide = s.u(0.15, 0.35)
    s.at(0, L=(wide, 0, 0.09, 12, 0), R=(-wide, 0, 0.09, -12, 0), face=(0, -4))
    up = (s.u(0.15, 0.35), 0.93, 0.12), (s.u(-0.15, 0.15), 0.98, s.u(-0.15, 0.15))
    if s.maybe():
        s.arms(0, *up)
        first = 1 if s.maybe() else -1
        for k in range(3):
            s.at(t + 0.75 * k, chest=(0, 4, lean * first * (-1) ** k), pelvis=(0, 2, 0.2 * lean * first * (-1) ** k))
    else:
        down = (0.18, -0.95, 0.2), (0.02, -0.93, 0.35)
        s.arms(0, *down)
        s.arms(t - 0.2, *down)
        s.arms(t + 0.15, (0.2, -0.2, 0.95), (0.02, 0.05, 1.0))
        for when in (t + 0.5, t + 1.0):
            s.arms(when, *up)
            s.at(when, chest=(0, -s.u(0, 12), 0), face=(0, -14))
        s.arms(t + 1.35, (0.2, -0.2, 0.95), (0.02, 0.05, 1.0))
        s.arms(t + 1.8, *down)
        s.at(t + 1.8, chest=(0, s.u(5, 50), 0), pelvis=(0, s.u(2, 25), 0), face=(0, 20))


def walk_off(s: Script) -> None:
    """Walks away, the bat dragged behind, carried at the barrel, or hanging from one hand."""
    hand = "R" if s.maybe() else "L"
    _one_hand(s, hand)
    sign = 1 if hand == "L" else -1
    s.at(
        0,
        hips=(0, 0.97, 0),
        L=(0.08, 0, 0.07, 6, 0),
        R=(-0.08, 0, 0.07, -6, 0),
        face=(s.u(-40, 40), s.u(5, 30)),
        chest=(0, s.u(2, 16), 0),
    )
    how = s.rng.integers(3)
    s.at(
        0,
        bat=((0.25 * sign, -0.6, -0.75), (0.1 * sign, -0.35, 0.8), (0.15 * sign, 0.9, 0.35))[how],
        hold=((0.0,), (0.0,), (0.3,))[how],
    )
    s.arms(0, *((0.2, -0.97, -0.1), (0.12, -0.95, 0.12)) if how < 2 else ((0.2, -0.95, 0.1), (0.05, -0.7, 0.7)), hand)
    rate = s.u(0.65, 1.0)
    begin, first = s.u(-0.2, 0.9), s.u(0.02, 0.09)
    strides = PchipInterpolator(
        [-0.3, begin, begin + 0.5, 3.7], [first, first, first + 0.25 * rate, first + 0.25 * rate + rate * (3.2 - begin)]
    )
    gait(s, strides, step=s.u(0.35, 0.65), lift=0.07, kick=33, stand=0.61, swing=s.u(0.05, 0.35))


def hand_over(s: Script) -> None:
    """Holds the bat by its barrel or handle and gives it to somebody, with a step or without."""
    hand = "R" if s.maybe() else "L"
    _one_hand(s, hand)
    sign = 1 if hand == "L" else -1
    t = s.u(0.9, 1.4)
    s.at(0, bat=(0.1 * sign, s.u(-0.9, 0.9), 0.55), hold=(s.u(0, 0.4),), face=(s.u(-20, 20), 8))
    s.arms(0, (0.18, -0.97, 0.05), (0.05, -0.85, 0.5), hand)
    s.arms(t - 0.5, (0.18, -0.97, 0.05), (0.05, -0.7, 0.65), hand)
    for when in (t, t + s.u(0.3, 0.6)):
        s.arms(when, (s.u(0.0, 0.4), -0.55, 0.8), (0.05, s.u(-0.15, 0.25), 0.97), hand)
        s.at(when, chest=(-12 * sign, s.u(5, 18), 0), bat=(-0.2 * sign, s.u(0.7, 1.0), 0.3))
    s.arms(t + 1.1, (0.18, -0.97, 0.1), (0.05, -0.75, 0.6), hand)
    if s.maybe(0.6):
        s.step(hand, t - 0.45, t - 0.05, (0.14 * sign, s.u(0.35, 0.55)), lift=0.08)
        s.at(t - 0.5, hips=(0, 0.98, 0))
        s.at(t, hips=(0, 0.96, 0.2))


BATTING = (
    take, waggle, pump, slow_turn, checked_swing, bunt, drag_bunt, dodge, step_in, dig_foot, tap_plate, tap_shoes, adjust, point_bat,
    bat_circles, bat_twirl, wait_on_shoulder, yoke_twist, overhead_stretch, walk_off, hand_over,
)  # fmt: skip
