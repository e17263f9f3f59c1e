"""People by number: nine hundred and twenty bodies drawn at random from the parametric body model, kept in one file.

Building the file needs torch and anny (tests/films/requirements.txt); what was built is kept as a mean and a few directions
of change, so that drawing needs NumPy and SciPy only. `person(n)` is always the same person. Numbers are split by use and the
split never changes: whom the lift was fitted to never judges it.
"""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

import numpy as np
from scipy import sparse

from tests.films.body import Body

__all__ = [
    "CALIBRATING", "COUNT", "FITTED", "FITTED_LATER", "FITTING", "JUDGING", "JUDGING_LATER", "TUNING", "build_people", "person",
]  # fmt: skip

COUNT = 920
FITTED, TUNING, JUDGING = range(210), range(210, 250), range(250, 300)
# Built and shown later: also to fit to, for calibrating alone, and to judge by.
FITTED_LATER, CALIBRATING, JUDGING_LATER = range(300, 700), range(700, 820), range(820, COUNT)
FITTING = ("fit", "later")  # the uses that something may be fitted to
DIRECTIONS = 60
FILE = Path(__file__).parent / "cache" / "people.npz"


def shape_of(number: int) -> dict[str, float]:
    """The body model's words for a person: from a child of about 8 to an adult, slight to heavy."""
    rng = np.random.default_rng(9_000 + number)
    young = rng.random() < 0.5
    return {
        "gender": float(rng.uniform(0, 1)),
        "age": float(rng.uniform(0.30, 0.48) if young else rng.uniform(0.5, 0.85)),
        "muscle": float(rng.uniform(0.25, 0.85)),
        "weight": float(rng.uniform(0.25, 0.80)),
        "height": float(rng.uniform(0.15, 0.85)),
        "proportions": float(rng.uniform(0.2, 0.9)),
    }


def build_people(path: Path = FILE) -> None:
    """Build the file of all people."""
    import anny
    import torch

    model = anny.create_fullbody_model(triangulate_faces=True)
    torch.set_num_threads(1)
    still = torch.eye(4)[None, None].repeat(1, model.bone_count, 1, 1)
    rows = []
    for number in range(COUNT):
        words = {word: torch.tensor([value]) for word, value in shape_of(number).items()}
        out = model(pose_parameters=still, phenotype_kwargs=words)
        parts = (out["rest_vertices"], out["rest_bone_heads"], out["rest_bone_tails"])
        rows.append(np.concatenate([part[0].detach().numpy() for part in parts]).ravel())
    every = np.array(rows, np.float32)
    mean = every.mean(axis=0)
    places, sizes, ways = np.linalg.svd(every - mean, full_matrices=False)
    ways, shares = ways[:DIRECTIONS], (places * sizes)[:, :DIRECTIONS]
    miss = np.abs(every - mean - shares @ ways).max()
    print(f"{COUNT} people; {DIRECTIONS} directions leave at most {miss * 1000:.1f} mm")
    path.parent.mkdir(parents=True, exist_ok=True)
    largest = np.abs(ways).max(axis=1, keepdims=True)
    np.savez_compressed(
        path,
        mean=mean,
        ways=np.rint(ways / largest * 32000).astype(np.int16),
        shares=(shares * largest.T / 32000).astype(np.float32),
        faces=model.faces.numpy().astype(np.int32),
        bones=np.array(model.bone_labels),
        parents=np.array(model.bone_parents),
        weight_bones=model.vertex_bone_indices.numpy().astype(np.int16),
        weight_values=model.vertex_bone_weights.numpy().astype(np.float32),
    )


@lru_cache(maxsize=1)
def _kept() -> dict[str, np.ndarray]:
    with np.load(FILE) as kept:
        return {key: kept[key] for key in kept.files}


def person(number: int) -> Body:
    """The body at rest of a person."""
    data = _kept()
    whole = (data["mean"] + data["shares"][number] @ data["ways"].astype(np.float32)).reshape(-1, 3).astype(float)
    count, wide = data["weight_bones"].shape
    bones = len(data["bones"])
    rows = np.repeat(np.arange(count), wide)
    weights = sparse.csr_matrix(
        (data["weight_values"].ravel().astype(float), (rows, data["weight_bones"].ravel().astype(int))), (count, bones)
    )
    weights = sparse.csr_matrix(sparse.diags(1 / np.asarray(weights.sum(axis=1)).ravel()) @ weights)
    # The model's axes: x to the left, y backward, z up.
    turned = np.stack([whole[:, 0], whole[:, 2] - whole[:count, 2].min(), -whole[:, 1]], 1)
    return Body(
        turned[:count],
        data["faces"].astype(int),
        weights,
        tuple(str(bone) for bone in data["bones"]),
        data["parents"],
        turned[count : count + bones],
        turned[count + bones :],
    )


if __name__ == "__main__":
    build_people()
