"""A body at rest: vertices, skinning weights and joints of one person, from the parametric body model ``anny``.

Axes at rest, metres: x to the person's left, y up, z forward; the soles touch y = 0. Building needs torch and anny (see
requirements.txt); what was built is kept in a cache file, so posing and rendering need NumPy and SciPy only.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scipy import sparse

__all__ = ["Body", "build_body"]

SHAPE_WORDS = ("gender", "age", "muscle", "weight", "height", "proportions")


@dataclass(frozen=True)
class Body:
    """One person at rest.

    ``vertices`` [V,3]; ``faces`` int [T,3]; ``weights`` sparse [V,B], rows sum to 1; ``bones`` names [B]; ``parents`` int [B],
    -1 at the root, a parent always before its child; ``heads`` [B,3] where each bone turns; ``tails`` [B,3].
    """

    vertices: np.ndarray
    faces: np.ndarray
    weights: sparse.csr_matrix
    bones: tuple[str, ...]
    parents: np.ndarray
    heads: np.ndarray
    tails: np.ndarray

    @property
    def height(self) -> float:
        """Standing height in metres."""
        return float(np.ptp(self.vertices[:, 1]))

    def index(self, bone: str) -> int:
        """Row of a bone."""
        return self.bones.index(bone)

    def head(self, bone: str) -> np.ndarray:
        """Where the bone turns at rest, [3]."""
        return self.heads[self.index(bone)]

    def weight_of(self, *starts: str) -> np.ndarray:
        """Sum of each vertex's weights on the bones whose names begin with one of ``starts``, [V]."""
        columns = [k for k, bone in enumerate(self.bones) if bone.startswith(starts)]
        return np.asarray(self.weights[:, columns].sum(axis=1)).ravel()


def build_body(shape: dict[str, float], cache: Path) -> Body:
    """The body for ``shape`` (anny's phenotype words, each 0..1), kept in the folder ``cache``."""
    wish = {word: float(shape.get(word, 0.5)) for word in SHAPE_WORDS}
    name = hashlib.sha256(json.dumps(wish, sort_keys=True).encode()).hexdigest()[:12]
    path = cache / f"body-{name}.npz"
    if not path.exists():
        cache.mkdir(parents=True, exist_ok=True)
        np.savez_compressed(path, **_from_model(wish))
    return _load(path)


def _from_model(shape: dict[str, float]) -> dict[str, np.ndarray]:
    import anny
    import torch

    torch.set_num_threads(1)
    model = anny.create_fullbody_model(triangulate_faces=True)
    still = torch.eye(4)[None, None].repeat(1, model.bone_count, 1, 1)
    out = model(pose_parameters=still, phenotype_kwargs={word: torch.tensor([value]) for word, value in shape.items()})
    return {
        "vertices": out["rest_vertices"][0].numpy(),
        "faces": model.faces.numpy(),
        "bones": np.array(model.bone_labels),
        "parents": np.array(model.bone_parents),
        "heads": out["rest_bone_heads"][0].numpy(),
        "tails": out["rest_bone_tails"][0].numpy(),
        "weight_bones": model.vertex_bone_indices.numpy(),
        "weight_values": model.vertex_bone_weights.numpy(),
    }


def _load(path: Path) -> Body:
    with np.load(path) as kept:
        data = {key: kept[key] for key in kept.files}
    count, wide = data["weight_bones"].shape
    rows = np.repeat(np.arange(count), wide)
    weights = sparse.csr_matrix(
        (data["weight_values"].ravel().astype(float), (rows, data["weight_bones"].ravel())), (count, len(data["bones"]))
    )
    weights = sparse.csr_matrix(sparse.diags(1 / np.asarray(weights.sum(axis=1)).ravel()) @ weights)
    floor = data["vertices"][:, 2].min()
    # anny: x to the left, y backward, z up.
    turned = {
        key: np.stack([v[:, 0], v[:, 2] - floor, -v[:, 1]], 1).astype(float)
        for key, v in data.items()
        if key in ("vertices", "heads", "tails")
    }
    return Body(
        turned["vertices"],
        data["faces"].astype(int),
        weights,
        tuple(str(b) for b in data["bones"]),
        data["parents"],
        turned["heads"],
        turned["tails"],
    )
