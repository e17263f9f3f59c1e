"""Lay out one swing with every perturbation of its errors (see `analysis.read.perturbations`)."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array, Frames
from analysis.read.bat_angle import bat_reader
from analysis.read.bodies import Bodies, at_times, joint, thinned
from analysis.read.bones import Bones
from analysis.read.context import Found, SwingContext
from analysis.read.geometry import Samples, reading_axes
from analysis.read.groups import with_plate
from analysis.read.lift import JOINT_KEYPOINTS, JOINTS
from analysis.read.observations import JointObservation
from analysis.read.perturbations import POSE_INSTANTS, steps
from analysis.read.perturbed_swing import PerturbedSwing, Pose
from analysis.read.poses import perturbed_poses
from analysis.read.sides import SIDES, side_of
from analysis.read.speed import FilmSpeed

# Joints by which a lifted body is laid over the picture: large and hardly ever hidden.
ANCHORS: Final = [joint(f"{side}_{name}") for name in ("hip", "knee", "ankle", "shoulder", "ear") for side in SIDES]


def frames_of(context: SwingContext) -> Frames:
    """Frames [N] that the poses of a swing are drawn from, increasing: those about its instants, as many as are lifted of a second.

    None where no instant is known.
    """
    known = [instant for instant in context.found.values() if instant]
    if not known:
        return np.zeros(0, dtype=int)
    room = C.POSE_ROOM * max(context.step, context.slowdown / C.LIFTED_FPS)
    first = min(instant.time - C.POSE_REACH * instant.sd for instant in known) - room
    last = max(instant.time + C.POSE_REACH * instant.sd for instant in known) + room
    inside = np.flatnonzero((context.times >= first) & (context.times <= last))
    return thinned(inside, context.times, context.slowdown)


def perturb_swing(
    context: SwingContext, bodies: Bodies, bones: Bones, observed: Sequence[JointObservation], speed: FilmSpeed
) -> PerturbedSwing:
    """The moments of one swing, whose instants are found; `observed` is what a coach put in place in the clip."""
    frames = bodies.lift(frames_of(context))
    moments = context.found | {"slot": _slot_time(context, bodies, frames)}
    drawn = {name: found.time + found.sd * steps(f"time of {name}")[:, 0] for name, found in moments.items() if found}
    times: dict[str, Samples] = {name: drawn[name] for name in POSE_INSTANTS if name in drawn}
    near = _near(observed, bodies, times)
    up = _up(bodies, frames)
    ahead = np.nan_to_num(context.facing.ahead) + context.facing.ahead_sd * steps("ahead")[:, 0]
    axes = reading_axes(ahead, up, context.facing.hand)
    anchors = context.motion.space[:, [JOINT_KEYPOINTS[place] for place in ANCHORS], :2]
    drawn_joints = perturbed_poses(bodies, frames, times, bones, near)
    poses = {name: _pose(context, axes, joints, anchors, times[name]) for name, joints in drawn_joints.items()}
    wrists = [joint(f"{side}_wrist") for side in SIDES]
    hands = {name: joints[:, wrists, 2].mean(axis=1) for name, joints in drawn_joints.items()}
    return PerturbedSwing(
        poses=poses,
        times=drawn,
        missing={name: str(moment.reason) for name, moment in moments.items() if not moment},
        speed=speed,
        group=with_plate(context.group) if context.facing.by_plate else context.group,
        bat_up=bat_reader(context, up, drawn, hands),
    )


def _near(
    observed: Sequence[JointObservation], bodies: Bodies, times: Mapping[str, Samples]
) -> tuple[JointObservation, ...]:
    """What a coach put in place between the first and the last moment of this swing."""
    if not times:
        return ()
    first, last = min(float(t.min()) for t in times.values()), max(float(t.max()) for t in times.values())
    return tuple(each for each in observed if first <= bodies.times[each.frame] <= last)


def _up(bodies: Bodies, frames: Frames) -> Samples:
    """Against gravity [S, 3] on ray axes, over lifted frames [N] of a camera that stands still; without any, the picture's up."""
    best, sd = np.array([0.0, 1.0, 0.0]), np.full(3, C.UP_SD)
    if frames.size:
        best, sd = (np.nanmedian(rows[frames], axis=0) for rows in (bodies.up, bodies.up_sd))
        best = best / np.linalg.norm(best)
    drawn = best + sd * steps("up")
    return np.asarray(drawn / np.linalg.norm(drawn, axis=1, keepdims=True))


def _pose(context: SwingContext, axes: Array, joints: Array, flat: Array, times: Samples) -> Pose:
    """A pose on reading axes, carried to where it stands in the picture.

    How far along a ray the hitter goes is not seen; from a side, what goes along the picture goes along the line.

    axes    [S, 3, 3] from ray axes, see `reading_axes`; joints [S, J, 3] on ray axes at film times [S]
    flat    [F, A, 2] the keypoints of `ANCHORS` in the steadied picture, standing heights
    """
    here = at_times(flat, slice(None), context.times, times[:1])[0]
    seen = np.isfinite(here).all(axis=1) & np.isfinite(joints[0, ANCHORS]).all(axis=1)
    points = _turned(joints, axes)
    if seen.any():
        share = np.zeros(len(JOINTS))
        share[ANCHORS] = seen / seen.sum()
        x, y = at_times(flat[:, seen].mean(axis=1), slice(None), context.times, times).T
        points[..., 1] += (y - joints[..., 1] @ share)[:, None]
        if context.from_side:
            points[..., 0] += ((x - joints[..., 0] @ share) / np.cos(np.radians(context.facing.ahead)))[:, None]
    return Pose(points, context.facing.hand)


def _turned(joints: Array, axes: Array) -> Array:
    """Joints [S, J, 3] on other axes [S, 3, 3], of which nearly all are the first ones."""
    turned = (joints.reshape(-1, 3) @ np.ascontiguousarray(axes[0].T)).reshape(joints.shape)
    other = (axes != axes[0]).any(axis=(1, 2))
    turned[other] = joints[other] @ axes[other].swapaxes(1, 2)
    return np.asarray(turned)


def _slot_time(context: SwingContext, bodies: Bodies, frames: Frames) -> Found:
    """When the rear elbow is closest to the rear hip between swing start and contact."""
    start, contact = context.found["swing_start"], context.found["contact"]
    if not start or not contact:
        return Found(reason=(contact if start else start).reason)
    inside = frames[(context.times[frames] >= start.time) & (context.times[frames] <= contact.time)]
    side = side_of("rear", context.facing.hand)
    elbow, hip = (bodies.places[inside, joint(f"{side}_{part}")] for part in ("elbow", "hip"))
    gap = np.linalg.norm(elbow - hip, axis=1)
    if not np.isfinite(gap).any():
        return Found(reason="The rear elbow was not seen between swing start and contact.")
    lifted = max(context.step, context.slowdown / C.LIFTED_FPS)
    return Found(float(context.times[inside[int(np.nanargmin(gap))]]), lifted * C.FRAME_SHARE)
