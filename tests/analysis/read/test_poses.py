"""Drawn poses scatter as the lift errs: where bodies are misjudged just as it says, about 90 of 100 intervals hold the truth."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.read.bodies import Bodies
from analysis.read.bones import BONES, condition, measure_bones
from analysis.read.geometry import bend, span
from analysis.read.lift import JOINTS, network
from analysis.read.motion import Motion, clean_motion
from analysis.read.observations import JointObservation
from analysis.read.perturbations import PERTURBATIONS, deviation, steps
from analysis.read.poses import perturbed_poses
from tests.analysis.read.motion import Film, film_swing, skeleton, times_of

Array = np.ndarray
FILM = Film()
FRAMES = np.arange(40, 100)
WHEN = 70
SD = 0.012


@pytest.fixture(scope="module")
def motion() -> Motion:
    return clean_motion(film_swing(FILM))


def true_joints() -> Array:
    """[F, J, 3] of the skeleton, standing heights from mid-hips, seen from the chest side."""
    joints = skeleton(FILM, times_of(FILM))
    places = np.stack([joints[name] for name in JOINTS], axis=1) / FILM.height
    places = places - places[:, :2].mean(axis=1, keepdims=True)
    return places * [1.0, 1.0, -1.0]


def misjudged(motion: Motion, seed: int, size: float = SD) -> tuple[Bodies, Array]:
    """Bodies that are wrong as the lift says that it is wrong, and the truth."""
    rng, true, lifted = np.random.default_rng(seed), true_joints(), network()
    root = np.linalg.cholesky(lifted.correlation)
    lasts = rng.standard_normal(root.shape[0])
    times = motion.times[FRAMES]
    fresh = np.linalg.cholesky(np.exp(-np.abs(times[:, None] - times) / 0.04) + 1e-9 * np.eye(times.size))
    errors = np.sqrt(lifted.systematic) * lasts + np.sqrt(1.0 - lifted.systematic) * (
        fresh @ rng.standard_normal((times.size, root.shape[0]))
    )
    bodies = Bodies(motion)
    bodies.lift(FRAMES)
    bodies.places[FRAMES] = true[FRAMES] + size * (errors @ root.T).reshape(times.size, -1, 3)
    bodies.sd[FRAMES] = size
    return bodies, true


def drawn(bodies: Bodies, placed: tuple[JointObservation, ...] = ()) -> Array:
    bones = measure_bones(bodies)
    times = np.full(PERTURBATIONS, bodies.times[WHEN])
    return perturbed_poses(bodies, FRAMES, {"foot_down": times}, bones, placed)["foot_down"]


def knee(joints: Array) -> Array:
    hip, knee, ankle = (joints[..., JOINTS.index(f"left_{part}"), :] for part in ("hip", "knee", "ankle"))
    return bend(hip, knee, ankle)


def test_every_way_but_the_first_takes_one_step_of_one_error() -> None:
    sources = ("poses", "up", "ahead", "bat length", "time of contact", "bat at foot_down")
    moved = np.concatenate([steps(name) for name in sources], axis=1)
    assert not moved[0].any()
    assert np.abs(moved).sum(axis=1).max() == 1.0
    np.testing.assert_array_equal(moved.sum(axis=0), 0.0)
    np.testing.assert_array_equal(np.abs(moved).sum(axis=0), 2.0)


def test_about_ninety_of_a_hundred_intervals_hold_the_truth(motion: Motion) -> None:
    held = []
    for seed in range(60):
        bodies, true = misjudged(motion, seed)
        joints = drawn(bodies)
        for measure in (
            knee,
            lambda j: j[..., JOINTS.index("left_wrist"), 2],
            lambda j: j[..., JOINTS.index("nose"), 0],
        ):
            values = measure(joints)
            held.append(abs(values[0] - measure(true[WHEN])) <= 1.645 * deviation(values))
    assert 0.82 <= np.mean(held) <= 0.97


def test_bones_are_measured_as_long_as_they_are(motion: Motion) -> None:
    found, true = [], None
    for seed in range(12):
        bodies, places = misjudged(motion, seed)
        found.append(np.sqrt(measure_bones(bodies).square))
        true = np.array([np.median(span(places[FRAMES, a] - places[FRAMES, b])) for a, b in BONES])
    np.testing.assert_allclose(np.mean(found, axis=0), true, rtol=0.06)


def test_who_knows_the_bones_is_surer_and_nearer(motion: Motion) -> None:
    bare, known = [], []
    for seed in range(30):
        bodies, true = misjudged(motion, seed)
        bones = measure_bones(bodies)
        shift, left = condition(bodies.places[[WHEN]], bodies.sd[[WHEN]], bones)
        root = SD * np.linalg.cholesky(network().correlation)
        assert np.trace(left[0] @ left[0].T) < np.trace(root @ root.T)
        off = bodies.places[WHEN] - true[WHEN]
        bare.append(np.mean(off**2))
        known.append(np.mean((off + shift[0].reshape(-1, 3)) ** 2))
    assert np.mean(known) < np.mean(bare)


def test_a_joint_seen_in_place_is_there_for_sure(motion: Motion) -> None:
    bodies, _ = misjudged(motion, 1)
    place = JOINTS.index("left_knee")
    free = drawn(bodies)
    seen = drawn(bodies, (JointObservation(WHEN, place, (0.03, -0.02), 0.006),))
    moved = seen[0, place, :2] - free[0, place, :2]
    np.testing.assert_allclose(moved, [0.03, -0.02], atol=0.012)
    for axis in (0, 1):
        assert deviation(seen[:, place, axis]) < min(0.006, deviation(free[:, place, axis]))


def test_without_bodies_there_are_no_poses(motion: Motion) -> None:
    bodies = Bodies(motion)
    bones = measure_bones(misjudged(motion, 0)[0])
    got = perturbed_poses(bodies, np.zeros(0, dtype=int), {"contact": np.zeros(PERTURBATIONS)}, bones)
    assert np.isnan(got["contact"]).all()
