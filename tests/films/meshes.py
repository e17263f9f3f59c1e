"""Triangle meshes that follow the bones: cutting, padding, smoothing, posing."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy import sparse

__all__ = ["Colour", "Mesh", "cut", "normals_of", "pad", "skin", "smooth"]

Colour = tuple[float, float, float]


@dataclass(frozen=True)
class Mesh:
    """``vertices`` [V,3] at rest, ``faces`` int [T,3], ``weights`` sparse [V,B], colour in 0..1, ``shine`` 0..1."""

    vertices: np.ndarray
    faces: np.ndarray
    weights: sparse.csr_matrix
    colour: Colour
    shine: float = 0.05


def cut(mesh: Mesh, field: np.ndarray) -> Mesh:
    """The part of the mesh where ``field`` [V] is positive, cut clean along its zero line."""
    inside = field > 0
    faces, pairs = [], {}
    base = len(mesh.vertices)

    def between(a: int, b: int) -> int:
        key = (min(a, b), max(a, b))
        return pairs.setdefault(key, base + len(pairs))

    full = mesh.faces[inside[mesh.faces].all(axis=1)]
    partly = mesh.faces[inside[mesh.faces].any(axis=1) & ~inside[mesh.faces].all(axis=1)]
    for face in partly:
        for shift in range(3):
            a, b, c = np.roll(face, -shift)
            if inside[a] and not inside[b] and not inside[c]:
                faces.append((a, between(a, b), between(a, c)))
            elif not inside[a] and inside[b] and inside[c]:
                ab, ac = between(a, b), between(a, c)
                faces += [(ab, b, c), (ab, c, ac)]
    rows = np.array(list(pairs), dtype=int).reshape(-1, 2)
    share = field[rows[:, 0]] / (field[rows[:, 0]] - field[rows[:, 1]])
    mix = sparse.csr_matrix(
        (np.concatenate([1 - share, share]), (np.tile(np.arange(len(rows)), 2), rows.T.ravel())), (len(rows), base)
    )
    every = sparse.vstack([sparse.identity(base), mix]).tocsr()
    all_faces = np.concatenate([full, np.array(faces, dtype=int).reshape(-1, 3)])
    used, packed = np.unique(all_faces, return_inverse=True)
    every = every[used]
    return replace(
        mesh,
        vertices=every @ mesh.vertices,
        faces=packed.reshape(-1, 3),
        weights=sparse.csr_matrix(every @ mesh.weights),
    )


def normals_of(vertices: np.ndarray, faces: np.ndarray) -> np.ndarray:
    """Outward unit normals [V,3], weighted by area."""
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    area = np.cross(b - a, c - a)
    total = np.zeros_like(vertices)
    for axis in range(3):
        total[:, axis] = np.bincount(faces.ravel(), np.repeat(area[:, axis], 3), len(vertices))
    return total / np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-12)


def pad(mesh: Mesh, by: float | np.ndarray) -> Mesh:
    """The mesh moved outward by ``by`` metres (a number or [V])."""
    step = normals_of(mesh.vertices, mesh.faces) * np.reshape(by, (-1, 1))
    return replace(mesh, vertices=mesh.vertices + step)


def smooth(mesh: Mesh, rounds: int, keep_edge: bool = True) -> Mesh:
    """Cloth does not follow every muscle: each vertex moves to the mean of its neighbours, ``rounds`` times."""
    edges = np.concatenate([mesh.faces[:, [0, 1]], mesh.faces[:, [1, 2]], mesh.faces[:, [2, 0]]])
    count = len(mesh.vertices)
    links = sparse.csr_matrix((np.ones(len(edges)), (edges[:, 0], edges[:, 1])), (count, count))
    edge = np.asarray((links - links.T).power(2).sum(axis=1)).ravel() > 0
    links = ((links + links.T) > 0).astype(float)
    mean = sparse.diags(1 / np.maximum(np.asarray(links.sum(axis=1)).ravel(), 1)) @ links
    vertices = mesh.vertices.copy()
    still = edge if keep_edge else np.zeros(count, bool)
    for _ in range(rounds):
        moved = mean @ vertices
        vertices = np.where(still[:, None], vertices, vertices * 0.4 + moved * 0.6)
    return replace(mesh, vertices=vertices)


def skin(mesh: Mesh, rotations: np.ndarray, places: np.ndarray, heads: np.ndarray) -> np.ndarray:
    """Vertices [V,3] of the posed mesh (linear blend skinning)."""
    shift = places - np.einsum("bij,bj->bi", rotations, heads)
    moves = np.concatenate([rotations.reshape(-1, 9), shift], axis=1)
    each = mesh.weights @ moves
    return np.einsum("vij,vj->vi", each[:, :9].reshape(-1, 3, 3), mesh.vertices) + each[:, 9:]
