"""Recorded motion of real people, as turns of body parts over time.

The trials are of the CMU Graphics Lab Motion Capture Database (mocap.cs.cmu.edu; created with funding from NSF EIA-0196217), which
may be copied, changed and used freely, though not sold as it is (from memory of the database's own page). What is kept of them
in `data/motion.npz`: 30 frames a second, made from BVH files at 120 by `python -m tests.lift.recorded FOLDER`. The zero pose
stands with its arms out, faces +z, with +x to its left and +y up.
"""

from __future__ import annotations

import gzip
import sys
from functools import lru_cache
from pathlib import Path

import numpy as np
from scipy.ndimage import gaussian_filter1d
from scipy.spatial.transform import Rotation

__all__ = ["FITTED", "JUDGING", "TUNING", "Trial", "names", "trial"]

METRES = 0.0254 / 0.45
RATE, KEPT_RATE = 120.0, 30.0
# Split by person: the number before the underscore.
FITTED = ("01", "02", "104", "105", "120", "137")
TUNING = ("144",)
JUDGING = ("90", "94")
_JOINTS = {
    "hips": "Hips", "low": "LowerBack", "mid": "Spine", "chest": "Spine1", "neck": "Neck", "head": "Head",
    "collar": "Shoulder", "upper": "Arm", "fore": "ForeArm", "hand": "Hand", "thigh": "UpLeg",
    "shank": "Leg", "foot": "Foot", "toes": "ToeBase",
}  # fmt: skip
_SIDED = ("collar", "upper", "fore", "hand", "thigh", "shank", "foot", "toes")
PARTS = tuple(f"{part}.{side}" if side else part for part in _JOINTS for side in ("LR" if part in _SIDED else [""]))
_ENDS = {"upper": "ForeArm", "fore": "Hand", "thigh": "Leg", "shank": "Foot"}
LIMBS = tuple(f"{limb}.{side}" for limb in _ENDS for side in "LR")
FILE = Path(__file__).parent / "data" / "motion.npz"


class Trial:
    """One trial.

    ``leg_length`` metres; ``rest_ways`` the direction of each limb in the zero pose.
    """

    def __init__(self, name: str) -> None:
        kept = {key.partition("/")[2]: value for key, value in _kept().items() if key.startswith(f"{name}/")}
        self._hips = kept["hips"].astype(float)
        self.seconds = len(self._hips) / KEPT_RATE
        # Turns [T, P, 3, 3] of all parts, and on from each frame to the next as rotation vectors [T - 1, P, 3].
        count = len(self._hips)
        self._turns = Rotation.from_quat(kept["turns"].reshape(-1, 4)).as_matrix().reshape(count, len(PARTS), 3, 3)
        steps = np.einsum("tpji,tpjk->tpik", self._turns[:-1], self._turns[1:])
        self._steps = Rotation.from_matrix(steps.reshape(-1, 3, 3)).as_rotvec().reshape(count - 1, len(PARTS), 3)
        self.leg_length = float(kept["leg_length"])
        self.rest_ways = dict(zip(LIMBS, kept["rest_ways"].astype(float), strict=True))

    def hips(self, time: float) -> np.ndarray:
        """Place of the hips, metres, [3]."""
        place = np.clip(time * KEPT_RATE, 0, len(self._hips) - 1.001)
        k = int(place)
        return self._hips[k] * (k + 1 - place) + self._hips[k + 1] * (place - k)

    def turns(self, time: float) -> dict[str, np.ndarray]:
        """World rotation of each part away from the zero pose."""
        place = float(np.clip(time, 0, self.seconds - 2 / KEPT_RATE)) * KEPT_RATE
        k = min(int(place), len(self._steps) - 1)
        on = Rotation.from_rotvec(self._steps[k] * (place - k)).as_matrix()
        return dict(zip(PARTS, self._turns[k] @ on, strict=True))


def _extract(path: Path) -> dict[str, np.ndarray]:
    """What is kept of a BVH file."""
    with gzip.open(path, "rt") as text:
        head, _, body = text.read().partition("MOTION")
    names, parents, offsets, orders = _joints(head)
    rows = np.array([line.split() for line in body.strip().splitlines()[2:]], dtype=float)[
        1:
    ]  # the first is the zero pose
    every = round(RATE / KEPT_RATE)
    world: dict[str, Rotation] = {}
    at = 3
    for name, parent, order in zip(names, parents, orders, strict=True):
        own = Rotation.from_euler(order, rows[::every, at : at + 3], degrees=True)
        world[name] = own if parent is None else world[parent] * own
        at += 3
    turns = np.stack([world[_joint_of(part)].as_quat(canonical=True) for part in PARTS], 1)
    offset = dict(zip(names, offsets, strict=True))
    ways = np.array([offset[_word(limb) + _ENDS[limb.split(".")[0]]] for limb in LIMBS])
    return {
        "hips": (gaussian_filter1d(rows[:, :3], RATE / 60, axis=0)[::every] * METRES).astype(np.float32),
        "turns": np.round(turns * 32767).astype(np.int16),
        "leg_length": np.float32((np.linalg.norm(offset["LeftLeg"]) + np.linalg.norm(offset["LeftFoot"])) * METRES),
        "rest_ways": (ways / np.linalg.norm(ways, axis=1, keepdims=True)).astype(np.float32),
    }


def _word(part: str) -> str:
    return {"L": "Left", "R": "Right", "": ""}[part.partition(".")[2]]


def _joint_of(part: str) -> str:
    return _word(part) + _JOINTS[part.split(".")[0]]


def _joints(head: str) -> tuple[list[str], list[str | None], list[np.ndarray], list[str]]:
    names: list[str] = []
    parents: list[str | None] = []
    offsets: list[np.ndarray] = []
    orders: list[str] = []
    stack: list[str | None] = []
    coming: str | None = None
    for line in head.splitlines():
        words = line.split()
        if not words:
            continue
        if words[0] in ("ROOT", "JOINT"):
            parents.append(stack[-1] if stack else None)
            names.append(words[1])
            coming = words[1]
        elif words[0] == "End":
            coming = None
        elif words[0] == "{":
            stack.append(coming)
        elif words[0] == "}":
            stack.pop()
        elif words[0] == "OFFSET" and stack[-1] is not None:
            offsets.append(np.array(words[1:4], dtype=float))
        elif words[0] == "CHANNELS":
            orders.append("".join(word[0] for word in words[2:] if word.endswith("rotation")))
    return names, parents, offsets, orders


def names(people: tuple[str, ...]) -> list[str]:
    """Trials of some people, by name."""
    every = sorted({key.partition("/")[0] for key in _kept()})
    return [name for name in every if name.split("_")[0] in people]


@lru_cache(maxsize=1)
def _kept() -> dict[str, np.ndarray]:
    with np.load(FILE) as kept:
        return {key: kept[key] for key in kept.files}


@lru_cache(maxsize=32)
def trial(name: str) -> Trial:
    """A trial by name."""
    return Trial(name)


if __name__ == "__main__":
    FILE.parent.mkdir(exist_ok=True)
    made: dict[str, np.ndarray] = {}
    for path in sorted(Path(sys.argv[1]).glob("*.bvh.gz")):
        name = path.name.removesuffix(".bvh.gz")
        made |= {f"{name}/{key}": value for key, value in _extract(path).items()}
    np.savez_compressed(FILE, **made)
    print(f"{FILE}: {FILE.stat().st_size / 1e6:.1f} MB")
