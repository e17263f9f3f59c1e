"""Bones keep their length: what a whole clip shows of them makes every single pose surer.

A lifted joint whose depth is in doubt lies at the middle of where it may be, so a bone between two of them comes out short; the
square of its length is what it is on average once the doubt is added, and that is what frames are compared by. Left and right
are taken to be alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.bodies import Bodies, joint
from analysis.read.lift import JOINTS, network
from analysis.read.sides import SIDES

# Chains of joints of one side; each neighbouring pair is a bone. The pelvis is one more.
CHAINS: Final = (("hip", "knee", "ankle", "heel", "toe", "ankle"), ("shoulder", "elbow", "wrist"))
_LINKS: Final = tuple(link for chain in CHAINS for link in pairwise(chain))
# Bones by the places of their ends among `JOINTS`, and what kind of bone each is, the same for left and right.
BONES: Final = (
    *((joint(f"{side}_{first}"), joint(f"{side}_{second}")) for first, second in _LINKS for side in SIDES),
    (joint("left_hip"), joint("right_hip")),
)
_FIRST, _SECOND = (np.array(ends) for ends in zip(*BONES, strict=True))
_KIND: Final = np.append(np.arange(len(_LINKS)).repeat(len(SIDES)), len(_LINKS))


@dataclass(frozen=True)
class Bones:
    """Squares of the bones' lengths [B] in the order of `BONES`, standing heights squared, and their variance [B]; NaN if never seen."""

    square: Array
    variance: Array


def measure_bones(bodies: Bodies) -> Bones:
    """The bones of the hitter as all lifted frames of the clip show them together, each as far as it is sure."""
    square, variance = _square(*_bones(bodies.places[bodies.lifted], bodies.sd[bodies.lifted]))
    known = np.isfinite(square)
    trust = np.where(known, 1.0 / np.where(known, variance, 1.0), 0.0)
    total = _of_its_kind(np.sum(trust, axis=0))
    count = np.maximum(_of_its_kind(known.sum(axis=0)), 1.0)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = _of_its_kind(np.sum(trust * np.where(known, square, 0.0), axis=0)) / total
        # Of the frames' errors one share stays through the clip, and of the rest neighbours have much in common.
        left = network().systematic + (1.0 - network().systematic) / np.sqrt(count)
        return Bones(mean, count / total * left + (2.0 * mean * C.BONE_SLIDE) ** 2)


def _of_its_kind(row: Array) -> Array:
    """Sums [B] over the bones of the same kind, left and right."""
    return np.asarray(np.bincount(_KIND, row)[_KIND])


def condition(places: Array, sd: Array, bones: Bones) -> tuple[Array, Array]:
    """What the bones' lengths say about lifted bodies, places and sd [N, J, 3]; coordinates are counted joint by joint.

    Gives what is to be added to the joints, [N, 3 J], and the root [N, 3 J, 3 J + B] of the covariance of what is left to err, by joints
    and by bones' lengths: times its own transpose it is that covariance.
    """
    count = len(places)
    root = sd.reshape(count, -1, 1) * network().root
    bone, spread = _bones(places, sd)
    innovation = bones.square - _square(bone, spread)[0]
    known = np.isfinite(innovation)
    slope = np.zeros((count, len(BONES), len(JOINTS), 3))
    rows = np.arange(len(BONES))
    slope[:, rows, _FIRST], slope[:, rows, _SECOND] = -2.0 * bone, 2.0 * bone
    slope = np.where(known[..., None], slope.reshape(count, len(BONES), -1), 0.0)  # one that is not known tells nothing
    noise = np.where(known, bones.variance + 2.0 * np.einsum("nbij,nbji->nb", spread, spread), 1.0)
    seen = slope @ root
    expected = seen @ seen.swapaxes(1, 2) + noise[..., None] * np.eye(len(BONES))
    gain = root @ np.linalg.solve(expected, seen).swapaxes(1, 2)
    shift = (gain @ np.where(known, innovation, 0.0)[..., None])[..., 0]
    return shift, np.concatenate([root - gain @ seen, gain * np.sqrt(noise)[:, None]], axis=2)


def _bones(places: Array, sd: Array) -> tuple[Array, Array]:
    """First to second end of each bone [N, B, 3], and the covariance [N, B, 3, 3] of that."""
    blocks = network().correlation.reshape(len(JOINTS), 3, len(JOINTS), 3).transpose(0, 2, 1, 3)
    first, second = sd[:, _FIRST], sd[:, _SECOND]
    across = first[..., :, None] * second[..., None, :] * blocks[_FIRST, _SECOND]
    spread = (
        first[..., :, None] * first[..., None, :] * blocks[_FIRST, _FIRST]
        + second[..., :, None] * second[..., None, :] * blocks[_SECOND, _SECOND]
        - across
        - across.swapaxes(-1, -2)
    )
    return places[:, _SECOND] - places[:, _FIRST], spread


def _square(bone: Array, spread: Array) -> tuple[Array, Array]:
    """Square of the length as it is on average, and its variance, of vectors with a covariance."""
    square = np.sum(bone**2, axis=-1) + np.trace(spread, axis1=-2, axis2=-1)
    along = np.einsum("...i,...ij,...j->...", bone, spread, bone)
    return square, 4 * along + 2.0 * np.einsum("...ij,...ji->...", spread, spread)
