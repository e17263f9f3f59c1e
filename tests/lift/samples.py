"""From watched clips to what the lift looks at and what it should answer."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np

from analysis.read.lift import JOINTS, OUTPUTS, features
from analysis.read.motion import Motion, clean_motion
from analysis.tracks import Tracks

from .store import Kept, load

__all__ = ["READ_S", "answers", "in_picture", "motion_of", "samples", "slowed", "to_ray", "tracks_of"]

# Seconds about contact in which nearly everything is read: foot down comes 0.1 to 0.35 s before.
READ_S = (-0.40, 0.06)


def tracks_of(clip: Kept) -> Tracks:
    """The clip's tracks, as watching would leave them: a still camera, contact in the sound, the bat where it was looked for."""
    frames = len(clip.times)
    step = float(np.median(np.diff(clip.times)))
    heard = bool(clip.kind == 0 and clip.times[0] < clip.contact < clip.times[-1])
    facts: dict[str, Any] = {
        "name": f"{clip.number}", "sha256": "0" * 64, "width": clip.size[0], "height": clip.size[1], "rotation": 0, "codec": "h264",
        "container": "mp4", "frames": frames, "duration_s": float(clip.times[-1] - clip.times[0] + step), "nominal_fps": round(1 / step),
        "measured_fps": 1 / step, "variable_rate": False, "capture_fps": None, "has_sound": heard,
    }  # fmt: skip
    box = np.concatenate([np.nanmin(clip.keypoints, axis=1), np.nanmax(clip.keypoints, axis=1)], axis=1)
    extra: dict[str, Any] = {}
    if heard:
        far = float(np.linalg.norm(clip.joints[:, :2].mean(axis=(0, 1)))) / 343.0
        at = clip.contact - clip.times[0] + far
        times = np.arange(0, clip.times[-1] - clip.times[0], 0.005)
        level = 0.02 + np.exp(-0.5 * ((times - at) / 0.004) ** 2)
        extra = {
            "sound_time_s": times, "sound_level": level.astype(np.float32), "sound_peaks_s": np.array([at]),
            "sound_peak_strength": np.array([1.0], np.float32),
        }  # fmt: skip
    # Where the bat was not looked for, nothing is said about it; version 2 says how likely each line is the bat.
    line, chance = np.full((frames, 2, 2), np.nan), np.zeros(frames)
    if clip.bat_px is not None and clip.bat_chance is not None:
        line, chance = clip.bat_px, clip.bat_chance
    return Tracks(
        clip=facts,
        watch={"version": 1 if clip.bat_px is None else 2},
        time_s=clip.times - clip.times[0],
        keypoints_px=clip.keypoints.astype(np.float32),
        visibility=clip.visibility.astype(np.float32),
        world_m=clip.world.astype(np.float32),
        box_px=box.astype(np.float32),
        camera=np.repeat(np.eye(3, dtype=np.float32)[None], frames, 0),
        bat_px=line.astype(np.float32),
        bat_confidence=chance.astype(np.float32),
        ball_px=np.full((frames, 2), np.nan, np.float32),
        **extra,
    )


def slowed(tracks: Tracks, factor: int) -> Tracks:
    """The tracks of the same film as if it had been taken with ``factor`` times as many frames and shown at the rate of before."""
    frames = (tracks.frames - 1) * factor + 1
    at, whole = np.arange(frames) / factor, np.arange(tracks.frames)

    def between(rows: np.ndarray) -> np.ndarray:
        low = np.minimum(at.astype(int), tracks.frames - 2)
        share = (at - low).reshape(-1, *([1] * (rows.ndim - 1)))
        return np.asarray(rows[low] * (1 - share) + rows[low + 1] * share, dtype=rows.dtype)

    step = float(np.median(np.diff(tracks.time_s)))
    clip = tracks.clip | {"frames": frames, "duration_s": frames * step, "has_sound": False}
    nothing = np.full((frames, 2, 2), np.nan, np.float32)
    return Tracks(
        clip=clip,
        watch=tracks.watch,
        time_s=np.interp(at, whole, tracks.time_s) * factor,
        keypoints_px=between(tracks.keypoints_px),
        visibility=between(tracks.visibility),
        world_m=between(tracks.world_m),
        box_px=between(tracks.box_px),
        camera=np.repeat(tracks.camera[:1], frames, 0),
        bat_px=nothing,
        bat_confidence=np.zeros(frames, np.float32),
        ball_px=np.full((frames, 2), np.nan, np.float32),
    )


def motion_of(clip: Kept) -> Motion:
    """The clip's cleaned motion."""
    return clean_motion(tracks_of(clip))


def to_ray(hips: np.ndarray) -> np.ndarray:
    """Matrices [F, 3, 3] from camera axes (x right, y down, z away) to ray axes (x right, y up, z away) for mid-hips [F, 3]."""
    away = hips / np.linalg.norm(hips, axis=1, keepdims=True)
    right = np.array([1.0, 0.0, 0.0]) - away[:, :1] * away
    right = right / np.linalg.norm(right, axis=1, keepdims=True)
    return np.stack([right, np.cross(right, away), away], axis=1)


def in_picture(joints: np.ndarray, height: float) -> np.ndarray:
    """Where a pinhole camera sees joints [F, J, 3], on its axes: [F, J, 2] right and up of mid-hips, standing heights as far away."""
    hips = joints[:, :2].mean(axis=1)
    flat = joints[..., :2] / joints[..., 2:] - (hips[:, :2] / hips[:, 2:])[:, None]
    return np.asarray(flat * (hips[:, 2] / height)[:, None, None] * [1, -1])


def answers(clip: Kept) -> np.ndarray:
    """What the lift should answer, [F, OUTPUTS]."""
    hips = clip.joints[:, :2].mean(axis=1)
    turn = to_ray(hips)
    places = np.einsum("fij,fkj->fki", turn, clip.joints - hips[:, None]) / clip.height
    up = turn @ clip.axes[1]
    return np.concatenate([places.reshape(len(places), 3 * len(JOINTS)), up], axis=1).astype(np.float32)


def samples(path: Path) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Features [N, D], answers [N, OUTPUTS] and facts [N, 5] of a file of clips.

    Facts: number, kind, person, frame, and seconds after contact (NaN where there is no swing).
    """
    parts = []
    for clip in load(path):
        motion = motion_of(clip)
        looked = features(motion, np.arange(len(motion.times)))
        wanted = answers(clip)
        good = np.isfinite(motion.height_px) & np.isfinite(wanted).all(axis=1)
        facts = np.stack(
            np.broadcast_arrays(clip.number, clip.kind, clip.person, np.arange(len(wanted)), clip.times - clip.contact),
            1,
        )
        keep = np.flatnonzero(good)
        parts.append((looked[keep].astype(np.float16), wanted[keep], facts[keep]))
    if not parts:
        return np.zeros((0, 1), np.float16), np.zeros((0, OUTPUTS), np.float32), np.zeros((0, 5))
    return tuple(np.concatenate(part) for part in zip(*parts, strict=True))  # type: ignore[return-value]
