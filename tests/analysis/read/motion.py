"""A swinging skeleton with answers known by hand, filmed by a pinhole camera: tracks without any video.

Field axes: x toward the pitcher, y up, z the way a right-handed hitter faces; metres. A left-handed hitter is
the mirror image in z with left and right exchanged. Every angle of interest is a script of times and values
with smooth (minimum-jerk) steps between them, so the truth of an instant follows from the script and not from
anything under test.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from analysis.read import Result, read
from analysis.tracks import KEYPOINT_COUNT, Tracks
from analysis.tracks import KEYPOINTS as K

Array = NDArray[np.float64]

# Camera's place for each view, as a direction from the hitter in right-handed field axes (mirrored for left-
# handed hitters).
TOWARD_CAMERA = {
    "chest_side": (0.0, 1.0),
    "back_side": (0.0, -1.0),
    "catcher_side": (-1.0, 0.0),
    "pitcher_side": (1.0, 0.0),
}


def ease(t: Array, script: list[tuple[float, float]]) -> Array:
    """Value at t of a script of (time, value): minimum-jerk steps between, constant outside."""
    out = np.full(np.shape(t), script[0][1], dtype=float)
    for (t0, v0), (t1, v1) in itertools.pairwise(script):
        s = np.clip((np.asarray(t) - t0) / (t1 - t0), 0.0, 1.0)
        out = np.where(np.asarray(t) >= t0, v0 + (v1 - v0) * (10 * s**3 - 15 * s**4 + 6 * s**5), out)
    return out


@dataclass(frozen=True)
class Swing:
    """One swing's script; times in s of real time from the swing's own zero."""

    foot_lifts: float = 0.75
    foot_down: float = 1.20
    foot_hangs: float = 0.0  # s that it pauses in the air, most of the stride behind it
    hands_go: float = 1.22
    contact: float = 1.42
    finish: float = 1.85
    arms_return: float | None = None
    checked: bool = False
    length: float = 3.0


@dataclass(frozen=True)
class Film:
    """How the swing is filmed and how badly it is seen."""

    view: str = "chest_side"
    hand: str = "right"
    fps: float = 60.0
    height: float = 1.5
    width_px: int = 1280
    height_px: int = 720
    focal: float = 1000.0
    distance: float = 6.0
    turn_deg: float = 0.0
    noise_px: float = 0.0
    depth_noise_m: float = 0.0
    flat_held: float = 0.0
    depth_held: float = 0.0
    swaps: tuple[tuple[int, int], ...] = ()
    dropouts: tuple[int, ...] = ()
    outliers: int = 0
    pan_px: float = 0.0
    bat_seen: bool = True
    sound: bool = False
    sound_offset_s: float = 0.0
    slow: float = 1.0
    seed: int = 0
    swings: tuple[Swing, ...] = field(default_factory=lambda: (Swing(),))


def times_of(film: Film) -> Array:
    """Film times of the frames."""
    total = sum(swing.length for swing in film.swings) * film.slow
    return np.arange(int(total * film.fps)) / film.fps


def skeleton(film: Film, real_time: Array) -> dict[str, Array]:
    """Places [F, 3] of every joint, knob and barrel, right-handed field axes, for a right-handed hitter."""
    parts: list[dict[str, Array]] = []
    start = 0.0
    for n, swing in enumerate(film.swings):
        last = n == len(film.swings) - 1
        inside = (real_time >= start) & ((real_time < start + swing.length) | last)
        parts.append(_swing(film.height, swing, real_time[inside] - start))
        start += swing.length
    return {name: np.concatenate([part[name] for part in parts]) for name in parts[0]}


def _swing(height: float, s: Swing, t: Array) -> dict[str, Array]:
    go, hit, end = s.hands_go, s.contact, s.finish
    back = end + 0.9
    come_back = s.arms_return if s.arms_return is not None else s.length - 0.9
    # Azimuths, degrees from "ahead" toward the plate side; the swing turns them down.
    arms = [(0.5, 135.0), (go - 0.15, 150.0), (go, 150.0), (end, -60.0)]
    bat = [(0.5, 200.0), (go, 225.0), (2 * hit - go, -45.0), (end, -60.0)]
    chest = [(0.5, 0.0), (go - 0.15, -22.0), (go, -22.0), (end, 105.0)]
    pelvis = [(0.6, 0.0), (s.foot_lifts + 0.2, -12.0), (s.foot_down, 0.0), (end, 90.0)]
    raise_bat = [(0.5, 55.0), (go, 50.0), (hit, -5.0), (end, 35.0)]
    reach = [(go, 0.20), (hit, 0.30), (hit + 0.06, 0.34), (end, 0.20)]
    lift_hands = [(go, 0.02), (hit, -0.17), (end, 0.03)]
    if s.checked:
        arms, chest = [*arms[:3], (go + 0.15, 120.0)], [*chest[:3], (go + 0.15, -5.0)]
        bat, pelvis = [*bat[:2], (go + 0.18, 175.0)], [*pelvis[:3], (go + 0.18, 12.0)]
        reach, lift_hands = [(go, 0.2), (go + 0.15, 0.24)], [(go, 0.02), (go + 0.15, -0.05)]
        raise_bat = [*raise_bat[:2], (go + 0.18, 30.0)]
        come_back = go + 0.6
    for script in (arms, bat, chest, pelvis, raise_bat, reach, lift_hands):
        script += [(come_back, script[-1][1]), (max(come_back + 0.8, back), script[0][1])]
    return _pose(height, s, t, {
        "arms": ease(t, arms), "bat": ease(t, bat), "chest": ease(t, chest), "pelvis": ease(t, pelvis),
        "rise": ease(t, raise_bat), "reach": ease(t, reach), "lift": ease(t, lift_hands),
        "return": np.full(t.shape, come_back),
    })  # fmt: skip


def _pose(h: float, s: Swing, t: Array, a: dict[str, Array]) -> dict[str, Array]:
    one, zero = np.ones_like(t), np.zeros_like(t)
    home = float(a["return"][0])
    top = (s.foot_lifts + s.foot_down - s.foot_hangs) / 2
    pause = [(top, 0.8), (top + s.foot_hangs, 0.8)] if s.foot_hangs else []
    step = ease(t, [(s.foot_lifts, 0.0), *pause, (s.foot_down, 1.0), (home, 1.0), (home + 0.7, 0.0)])
    up = ease(t, [(s.foot_lifts, 0.0), (top, 1.0), (top + s.foot_hangs + 1e-9, 1.0), (s.foot_down, 0.0)])
    front_x, rear_x = (0.14 + 0.11 * step) * h, -0.15 * h * one
    sway = ease(t, [(0.6, 0.0), (s.foot_lifts + 0.2, -0.02), (s.finish, 0.06), (home, 0.06), (home + 0.7, 0.0)])
    hips = np.stack([sway * h, 0.475 * h * one, zero], 1)
    lean = np.radians(20.0)
    chest = hips + np.stack([-0.02 * h * one, 0.288 * h * np.cos(lean) * one, 0.288 * h * np.sin(lean) * one], 1)
    out: dict[str, Array] = {}
    for side, sign in (("left", 1.0), ("right", -1.0)):
        out[f"{side}_hip"] = hips + sign * 0.075 * h * across(a["pelvis"])
        out[f"{side}_shoulder"] = chest + sign * 0.115 * h * across(a["chest"])
    foot_yaw = {"left": 75.0 - 30.0 * step, "right": 92.0 * one}  # azimuth of heel to toe
    for side, x, lifted in (("left", front_x, 0.07 * h * up), ("right", rear_x, zero)):
        ankle = np.stack([x, 0.045 * h + lifted, 0.0 * one], 1)
        toes = toward(foot_yaw[side])
        out[f"{side}_ankle"] = ankle
        out[f"{side}_heel"] = ankle - 0.04 * h * toes - [0, 0.03 * h, 0]
        out[f"{side}_toe"] = ankle + 0.11 * h * toes - [0, 0.035 * h, 0]
        out[f"{side}_knee"] = _joint(out[f"{side}_hip"], ankle, 0.245 * h, 0.246 * h, toes)
    hands = chest + a["reach"][:, None] * h * toward(a["arms"]) + np.stack([zero, a["lift"] * h, zero], 1)
    point = _direction(a["bat"], a["rise"])
    out["knob"], out["barrel"] = hands - 0.06 * point, hands + 0.76 * point
    for side, place in (("left", -0.02), ("right", 0.06)):
        wrist = hands + place * point
        out[f"{side}_wrist"], out[f"{side}_index"] = wrist, wrist + 0.02 * point
        out[f"{side}_elbow"] = _joint(out[f"{side}_shoulder"], wrist, 0.186 * h, 0.186 * h, [0.0, -1.0, 0.0])
    neck = chest + np.array([0.0, 0.118 * h, 0.03 * h])
    face = toward(18.0 * one)
    out["nose"] = neck + 0.065 * h * face
    for side, sign in (("left", 1.0), ("right", -1.0)):
        out[f"{side}_ear"] = neck + sign * 0.045 * h * _left_of(face)
        out[f"{side}_eye"] = neck + 0.05 * h * face + sign * 0.02 * h * _left_of(face) + [0, 0.01 * h, 0]
    return out


def toward(azimuth: Array) -> Array:
    """Horizontal unit vectors [F, 3] at an azimuth in degrees from ahead (+x) toward the plate (+z)."""
    angle = np.radians(azimuth)
    return np.stack([np.cos(angle), np.zeros_like(angle), np.sin(angle)], 1)


def across(opened: Array) -> Array:
    """From the right to the left hip or shoulder of a body opened by so many degrees; at 0 it points at the pitcher."""
    return toward(-opened)


def _left_of(forward: Array) -> Array:
    """The hitter's left for a horizontal forward direction: up x forward."""
    return np.cross([0.0, 1.0, 0.0], forward)


def _direction(azimuth: Array, elevation: Array) -> Array:
    rise = np.radians(elevation)[:, None]
    return np.cos(rise) * toward(azimuth) + np.sin(rise) * np.array([0.0, 1.0, 0.0])


def _joint(top: Array, bottom: Array, upper: float, lower: float, pole: Any) -> Array:
    """The knee or elbow of a two-bone limb, bent toward the pole; a limb too short is drawn straight."""
    way = bottom - top
    length = np.linalg.norm(way, axis=1, keepdims=True)
    unit = way / length
    side = np.broadcast_to(np.asarray(pole, dtype=float), way.shape)
    side = side - np.sum(side * unit, axis=1, keepdims=True) * unit
    side = side / np.linalg.norm(side, axis=1, keepdims=True)
    reach = np.minimum(length, 0.999 * (upper + lower))
    along = (upper**2 - lower**2 + reach**2) / (2 * reach)
    return top + along * unit * (length / reach) + np.sqrt(np.maximum(upper**2 - along**2, 0.0)) * side


def camera_axes(film: Film) -> Array:
    """Rows: right, down, away, in field axes; `turn_deg` walks the camera around the hitter."""
    x, z = TOWARD_CAMERA[film.view]
    if film.hand == "left":
        z = -z
    angle = np.radians(film.turn_deg)
    x, z = x * np.cos(angle) - z * np.sin(angle), x * np.sin(angle) + z * np.cos(angle)
    away = -np.array([x, 0.0, z])
    down = np.array([0.0, -1.0, 0.0])
    return np.stack([np.cross(down, away), down, away])


def placed(film: Film, joints: dict[str, Array]) -> dict[str, Array]:
    """The joints of this hitter: mirrored and renamed for a left-handed one."""
    if film.hand == "right":
        return joints
    other = {"left": "right", "right": "left"}
    mirrored = {}
    for name, points in joints.items():
        side, _, rest = name.partition("_")
        mirrored[f"{other[side]}_{rest}" if side in other else name] = points * [1.0, 1.0, -1.0]
    return mirrored


def film_swing(film: Film, moved: Callable[[dict[str, Array]], dict[str, Array]] = dict) -> Tracks:
    """The tracks of a film, as seen with the film's faults; `moved` gives a hitter of another habit, as a right-handed one."""
    rng = np.random.default_rng(film.seed)
    times = times_of(film)
    joints = placed(film, moved(skeleton(film, times / film.slow)))
    axes = camera_axes(film)
    pixels = {name: _project(film, axes, points) for name, points in joints.items()}
    hips = (joints["left_hip"] + joints["right_hip"]) / 2.0
    frames = len(times)
    keypoints = np.full((frames, KEYPOINT_COUNT, 2), np.nan)
    world = np.full((frames, KEYPOINT_COUNT, 3), np.nan)
    for name, k in K.items():
        keypoints[:, k] = pixels[name]
        world[:, k] = (joints[name] - hips) @ axes.T * (1.66 / film.height)
    keypoints += rng.normal(0.0, film.noise_px, keypoints.shape) if film.noise_px else 0.0
    world += rng.normal(0.0, film.depth_noise_m, world.shape) if film.depth_noise_m else 0.0
    # Keypoints that sit beside their joints all through the film, shares of standing height.
    keypoints += (
        rng.normal(0.0, 1.0, (1, *keypoints.shape[1:])) * film.flat_held * film.height * film.focal / film.distance
    )
    world[..., 2] += rng.normal(0.0, 1.0, (1, KEYPOINT_COUNT)) * film.depth_held * 1.66
    _spoil(film, rng, keypoints, world)
    pan = film.pan_px * np.linspace(-0.5, 0.5, frames)
    camera = np.tile(np.eye(3), (frames, 1, 1))
    camera[:, 0, 2] = pan
    shift = np.stack([pan, np.zeros(frames)], 1)
    bat = np.stack([pixels["knob"], pixels["barrel"]], 1) - shift[:, None]
    bat += rng.normal(0.0, film.noise_px, bat.shape) if film.noise_px else 0.0
    keypoints -= shift[:, None]
    return Tracks(
        clip=_clip(film, times),
        watch={"version": 2, "model": "synthetic"},
        time_s=times,
        keypoints_px=keypoints.astype(np.float32),
        visibility=np.where(np.isfinite(keypoints[..., 0]), 1.0, np.nan).astype(np.float32),
        world_m=world.astype(np.float32),
        box_px=np.concatenate([np.nanmin(keypoints, 1, initial=9e3), np.nanmax(keypoints, 1, initial=-9e3)], 1),
        camera=camera.astype(np.float32),
        bat_px=(bat if film.bat_seen else np.full_like(bat, np.nan)).astype(np.float32),
        bat_confidence=np.full(frames, 0.9 if film.bat_seen else 0.0, np.float32),
        ball_px=np.full((frames, 2), np.nan, np.float32),
        **_sound(film, times),
    )


@lru_cache(maxsize=100)
def reading_of(film: Film, corrections: str = "{}") -> Result:
    """What is read of a film, with corrections as JSON; many tests look at the same few films."""
    return read(film_swing(film), json.loads(corrections))


def _project(film: Film, axes: Array, points: Array) -> Array:
    centre = np.array([0.0, 0.5 * film.height, 0.0])
    seen = (points - centre) @ axes.T + [0.0, 0.0, film.distance]
    return film.focal * seen[:, :2] / seen[:, 2:] + [film.width_px / 2, film.height_px / 2]


def _spoil(film: Film, rng: np.random.Generator, keypoints: Array, world: Array) -> None:
    legs = [(K[f"left_{j}"], K[f"right_{j}"]) for j in ("knee", "ankle", "heel", "toe")]
    for first, last in film.swaps:
        for left, right in legs:
            for array in (keypoints, world):
                kept = array[first:last, left].copy()
                array[first:last, left] = array[first:last, right]
                array[first:last, right] = kept
    for _ in range(film.outliers):
        keypoints[rng.integers(len(keypoints)), rng.choice(list(K.values()))] += rng.uniform(60, 200, 2)
    for frame in film.dropouts:
        keypoints[frame], world[frame] = np.nan, np.nan


def _clip(film: Film, times: Array) -> dict[str, Any]:
    return {
        "name": "synthetic.mp4",
        "sha256": "0" * 64,
        "width": film.width_px,
        "height": film.height_px,
        "rotation": 0,
        "codec": "h264",
        "container": "mp4",
        "frames": len(times),
        "duration_s": float(len(times) / film.fps),
        "nominal_fps": film.fps,
        "measured_fps": film.fps,
        "variable_rate": False,
        "capture_fps": None,
        "has_sound": film.sound,
    }


def _sound(film: Film, times: Array) -> dict[str, Any]:
    if not film.sound:
        return {}
    hops = np.arange(0.0, times[-1], 0.002)
    cracks = contact_times(film) + film.distance / 343.0 + film.sound_offset_s
    level = sum(np.exp(-((hops - crack) ** 2) / (2 * 0.003**2)) for crack in cracks)
    return {
        "sound_time_s": hops,
        "sound_level": np.asarray(level, np.float32),
        "sound_peaks_s": cracks,
        "sound_peak_strength": np.full(cracks.size, 20.0, np.float32),
    }


def contact_times(film: Film) -> Array:
    """Film times of the true contacts."""
    starts = np.cumsum([0.0, *[swing.length for swing in film.swings[:-1]]])
    return np.array([s + w.contact for s, w in zip(starts, film.swings, strict=True) if not w.checked]) * film.slow


def instants_of(film: Film, swing: int = 0) -> dict[str, float]:
    """True film times of some instants of one swing, by their definitions on the motion itself."""
    s = film.swings[swing]
    times = np.arange(0.0, s.length, 1e-3)
    joints = _swing(film.height, s, times)
    hands = (joints["left_wrist"] + joints["right_wrist"] - joints["left_hip"] - joints["right_hip"]) / 2.0
    speed = np.linalg.norm(np.gradient(hands, times, axis=0), axis=1)
    toe = np.linalg.norm(np.gradient(joints["left_toe"], times, axis=0), axis=1)
    before = times <= s.contact
    slow = before & (speed < 0.15 * speed[before].max())
    moving = before & (toe > 0.3)
    found = {"swing_start": times[slow][-1], "foot_down": times[moving][-1], "contact": s.contact}
    start = sum(other.length for other in film.swings[:swing])
    return {name: (start + float(time)) * film.slow for name, time in found.items()}


def joints_at(film: Film, time: float) -> dict[str, Array]:
    """True places [3] of all joints at a film time, for the right-handed original of the hitter."""
    return {name: path[0] for name, path in skeleton(film, np.array([time / film.slow])).items()}


def changed(film: Film, **changes: Any) -> Film:
    """The same film with some things changed."""
    return replace(film, **changes)


def part_of(tracks: Tracks, frames: Array | slice) -> Tracks:
    """The tracks of some frames alone, as if the others had never been filmed."""
    rows = (
        "time_s", "keypoints_px", "visibility", "world_m", "box_px", "camera", "bat_px", "bat_confidence", "ball_px",
    )  # fmt: skip
    kept = {name: getattr(tracks, name)[frames] for name in rows}
    return replace(tracks, clip=tracks.clip | {"frames": len(kept["time_s"]), "variable_rate": True}, **kept)
