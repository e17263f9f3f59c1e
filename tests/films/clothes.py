"""Dress a body: skin, shirt, trousers, socks, shoes, gloves, belt, helmet or cap, all as meshes that follow the bones."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy import sparse
from scipy.spatial import ConvexHull

from .body import Body
from .meshes import Colour, Mesh, cut, pad, smooth

__all__ = ["Outfit", "dress"]


@dataclass(frozen=True)
class Outfit:
    """Colours in 0..1 and lengths as shares of the limb."""

    skin: Colour = (0.80, 0.60, 0.48)
    hair: Colour = (0.16, 0.11, 0.08)
    shirt: Colour = (0.70, 0.11, 0.12)
    sleeves: Colour | None = None  # an undershirt's long sleeves
    trousers: Colour = (0.80, 0.80, 0.78)
    socks: Colour = (0.13, 0.14, 0.18)
    shoes: Colour = (0.08, 0.08, 0.09)
    gloves: Colour = (0.07, 0.07, 0.08)
    belt: Colour = (0.08, 0.08, 0.10)
    helmet: Colour = (0.07, 0.10, 0.28)
    trouser_end: float = 0.42  # share of the shank below the knee that trousers cover; 0.95 = down to the shoe
    sleeve_end: float = 0.80  # share of the upper arm
    flap: bool = True  # a helmet with flaps over the ears, or a cap


def dress(body: Body, outfit: Outfit) -> list[Mesh]:
    """All meshes of the dressed person, at rest."""
    size = body.height / 1.78
    whole = Mesh(body.vertices, body.faces, body.weights, outfit.skin, 0.12)
    zones = _Zones(body, outfit)
    shirt = smooth(pad(smooth(cut(whole, zones.shirt), 9), 0.015 * size), 2)
    trousers = _trousers(whole, zones, size)
    worn = [
        replace(shirt, colour=outfit.shirt, shine=0.03),
        replace(trousers, colour=outfit.trousers, shine=0.03),
        replace(pad(cut(whole, zones.belt), 0.0165 * size), colour=outfit.belt, shine=0.2),
        replace(pad(cut(whole, zones.socks), 0.006 * size), colour=outfit.socks, shine=0.02),
        replace(pad(smooth(cut(whole, zones.gloves), 1), 0.005 * size), colour=outfit.gloves, shine=0.15),
        replace(cut(whole, zones.skin), colour=outfit.skin),
    ]
    if outfit.sleeves:
        worn.append(replace(pad(smooth(cut(whole, zones.sleeves), 3), 0.007 * size), colour=outfit.sleeves, shine=0.03))
    worn += [_shoe(body, side, outfit.shoes, part) for side in "LR" for part in ("upper", "sole")]
    worn += _headgear(body, outfit, size) + _face(body, outfit)
    return worn


def _trousers(whole: Mesh, zones: _Zones, size: float) -> Mesh:
    """Trousers stand off a little more toward the hem, where they hang."""
    cloth = smooth(cut(whole, zones.trousers), 14)
    low = np.clip(1 - (cloth.vertices[:, 1] - zones.hem) / (0.10 * size), 0, 1)
    return smooth(pad(cloth, (0.013 + 0.006 * low) * size), 2)


class _Zones:
    """Signed fields [V], metres, positive where a piece of clothing lies."""

    def __init__(self, body: Body, outfit: Outfit) -> None:
        v, at = body.vertices, body.head
        size = body.height / 1.78
        arm = np.maximum(body.weight_of("upperarm", "lowerarm", "wrist", "finger", "metacarpal"), 0)
        along_upper, along_fore = np.full(len(v), -1.0), np.full(len(v), -1.0)
        for side, sign in (("L", 1), ("R", -1)):
            s, e, w = at(f"upperarm01.{side}"), at(f"lowerarm01.{side}"), at(f"wrist.{side}")
            mine = (arm > 0.3) & (v[:, 0] * sign > 0)
            along_upper[mine] = ((v - s) @ (e - s) / np.sum((e - s) ** 2))[mine]
            along_fore[mine] = ((v - e) @ (w - e) / np.sum((w - e) ** 2))[mine]
        length = np.linalg.norm(at("lowerarm01.L") - at("upperarm01.L"))
        fore = np.linalg.norm(at("wrist.L") - at("lowerarm01.L"))
        on_arm = arm > 0.3
        waist = at("spine05")[1] + 0.03 * size
        neck = at("neck01") + np.array([0, 0.006, 0.012]) * size
        collar = np.minimum(
            np.linalg.norm((v - neck) * [1, 0.8, 1], axis=1) - 0.082 * size, neck[1] + 0.02 * size - v[:, 1]
        )
        body_part = np.where(on_arm, np.inf, v[:, 1] - waist)
        self.shirt = np.minimum(
            np.minimum(body_part, collar), np.where(on_arm, (outfit.sleeve_end - along_upper) * length, np.inf)
        )
        knee, ankle = at("lowerleg01.L")[1], at("foot.L")[1]
        hem = knee + (ankle - knee) * outfit.trouser_end
        self.hem = float(hem)
        on_leg = np.where(on_arm, -1.0, 1.0)
        self.trousers = np.where(on_arm, -1.0, np.minimum(waist + 0.035 * size - v[:, 1], v[:, 1] - hem))
        self.belt = np.where(on_arm, -1.0, np.minimum(waist + 0.034 * size - v[:, 1], v[:, 1] - waist + 0.006))
        self.socks = np.where(on_leg > 0, np.minimum(hem + 0.014 * size - v[:, 1], v[:, 1] - ankle * 0.82), -1.0)
        self.gloves = np.where(on_arm, (along_fore - 0.95) * fore, -1.0)
        self.sleeves = np.where(
            on_arm, np.minimum((0.97 - along_fore) * fore, (along_upper - outfit.sleeve_end + 0.03) * length), -1.0
        )
        covered = np.maximum.reduce(
            [self.shirt, self.trousers, self.socks, self.gloves - 0.01, np.where(v[:, 1] < ankle * 0.9, 1.0, -1.0)]
        )
        inner = body.weight_of("tongue", "oris05", "jaw") > 2  # nothing inside the head is drawn
        self.skin = np.where(inner, -1.0, 0.025 * size - covered)


def _one_bone(body: Body, count: int, bone: str) -> sparse.csr_matrix:
    k = body.index(bone)
    return sparse.csr_matrix((np.ones(count), (np.arange(count), np.full(count, k))), (count, len(body.bones)))


def _ball_mesh(rows: int, columns: int) -> tuple[np.ndarray, np.ndarray]:
    """Directions [N,3] of a sphere (y up) and its faces, wound outward."""
    polar = np.linspace(0, np.pi, rows)
    around = np.linspace(0, 2 * np.pi, columns, endpoint=False)
    p, a = np.meshgrid(polar, around, indexing="ij")
    directions = np.stack([np.sin(p) * np.sin(a), np.cos(p), np.sin(p) * np.cos(a)], -1).reshape(-1, 3)
    i, j = np.meshgrid(np.arange(rows - 1), np.arange(columns), indexing="ij")
    a0, a1 = i * columns + j, i * columns + (j + 1) % columns
    b0, b1 = a0 + columns, a1 + columns
    faces = np.concatenate([np.stack([a0, b0, a1], -1).reshape(-1, 3), np.stack([a1, b0, b1], -1).reshape(-1, 3)])
    return directions, faces


def _shoe(body: Body, side: str, colour: Colour, part: str) -> Mesh:
    """A shoe round the foot's convex hull; its toe box bends with the toes, its sole stands on the ground."""
    foot = body.vertices[
        body.weight_of(f"foot.{side}", *(f"toe{k}-{j}.{side}" for k in range(1, 6) for j in (1, 2, 3))) > 0.4
    ]
    foot = foot[foot[:, 1] < body.head(f"foot.{side}")[1] * 1.15]
    hull = ConvexHull(foot)
    middle = (foot.min(0) + foot.max(0)) / 2 * [1, 0, 1] + [0, 0.035 * body.height / 1.78, 0]
    directions, faces = _ball_mesh(25, 36)
    slopes = directions @ hull.equations[:, :3].T
    gaps = -(hull.equations[:, :3] @ middle + hull.equations[:, 3])
    reach = np.where(slopes > 1e-6, gaps / np.maximum(slopes, 1e-6), np.inf).min(axis=1)
    points = middle + directions * (reach + 0.007)[:, None]
    if part == "sole":
        points[:, 1] = np.clip(points[:, 1], -0.011, 0.008)
        points[:, [0, 2]] += (points[:, [0, 2]] - middle[[0, 2]]) * 0.035
        colour = tuple(min(1.0, c * 0.5 + 0.32) for c in colour)
    else:
        points[:, 1] = np.maximum(points[:, 1], -0.004)
    ball = np.mean([body.head(f"toe{k}-1.{side}") for k in range(1, 6)], axis=0)
    ahead = (ball - body.head(f"foot.{side}")) * [1, 0, 1]
    ahead /= np.linalg.norm(ahead)
    bend = np.clip(((points - ball) @ ahead) / (0.05 * body.height / 1.78) + 0.5, 0, 1)
    count = len(points)
    weights = sparse.diags(1 - bend) @ _one_bone(body, count, f"foot.{side}") + sparse.diags(bend) @ _one_bone(
        body, count, f"toe3-1.{side}"
    )
    mesh = Mesh(points, faces, sparse.csr_matrix(weights), colour, 0.2)
    return smooth(mesh, 2) if part == "upper" else mesh


def _skull(body: Body) -> np.ndarray:
    return body.vertices[body.weight_of("head", "temporalis", "special", "orbicularis", "oculi", "neck03") > 0.5]


def _headgear(body: Body, outfit: Outfit, size: float) -> list[Mesh]:
    """A dome over the skull, a brim, and on a helmet a flap over each ear; plus a little hair under it."""
    skull = _skull(body)
    eyes = (body.head("eye.L") + body.head("eye.R")) / 2
    top = skull[:, 1].max()
    dome = skull[skull[:, 1] > eyes[1] + 0.02 * size]
    middle = np.array([0.0, eyes[1] + 0.012 * size, (dome[:, 2].min() + dome[:, 2].max()) / 2])
    thick = (0.020 if outfit.flap else 0.010) * size
    radii = np.array([np.ptp(dome[:, 0]) / 2 + thick, top - middle[1] + thick, np.ptp(dome[:, 2]) / 2 + thick])
    directions, faces = _ball_mesh(33, 48)
    points = middle + directions * radii
    rim = eyes[1] + 0.030 * size - 0.035 * size * np.clip(-(points[:, 2] - middle[2]) / radii[2], -0.2, 1)
    shell = Mesh(points, faces, _one_bone(body, len(points), "head"), outfit.helmet, 0.5 if outfit.flap else 0.06)
    meshes = [cut(shell, points[:, 1] - rim), _brim(body, outfit, middle, radii, eyes, size)]
    if outfit.flap:
        meshes += [_flap(body, outfit, middle, radii, eyes, sign, size) for sign in (1, -1)]
    hair_points = middle + directions * (radii - thick * 0.7)
    hair = Mesh(hair_points, faces, _one_bone(body, len(hair_points), "head"), outfit.hair, 0.1)
    low = eyes[1] - 0.035 * size
    back = (middle[2] - 0.02 * size) - hair_points[:, 2]
    meshes.append(cut(hair, np.minimum(back, hair_points[:, 1] - low)))
    return meshes


def _brim(body: Body, outfit: Outfit, middle: np.ndarray, radii: np.ndarray, eyes: np.ndarray, size: float) -> Mesh:
    angles = np.linspace(-1.15, 1.15, 25)
    outs = np.linspace(0.96, 1.0, 2)
    rows = []
    for lift in (0.0, 0.006 * size):
        for out in (0.0, 0.5, 1.0):
            far = 0.068 * size * out * np.cos(angles * 1.25).clip(0)
            x = np.sin(angles) * radii[0] * outs[0]
            z = middle[2] + np.cos(angles) * radii[2] * outs[0] + far
            y = (
                np.full_like(x, eyes[1] + 0.034 * size)
                - 0.018 * size * out
                + lift
                - 0.010 * size * np.abs(np.sin(angles)) * out
            )
            rows.append(np.stack([x, y, z], 1))
    points = np.concatenate(rows)
    n = len(angles)
    faces = []
    for layer, flip in ((0, True), (3, False)):
        for row in range(2):
            for k in range(n - 1):
                a, b = (layer + row) * n + k, (layer + row + 1) * n + k
                quad = [(a, b, a + 1), (a + 1, b, b + 1)]
                faces += [f[::-1] for f in quad] if flip else quad
    for k in range(n - 1):
        a, b = 2 * n + k, 5 * n + k
        faces += [(a, a + 1, b), (a + 1, b + 1, b)]
    return Mesh(points, np.array(faces), _one_bone(body, len(points), "head"), outfit.helmet, 0.4)


def _flap(
    body: Body, outfit: Outfit, middle: np.ndarray, radii: np.ndarray, eyes: np.ndarray, sign: int, size: float
) -> Mesh:
    directions, faces = _ball_mesh(17, 24)
    centre = np.array([sign * (radii[0] - 0.016 * size), eyes[1] - 0.010 * size, middle[2] - 0.004 * size])
    points = centre + directions * np.array([0.019, 0.058, 0.047]) * size
    return Mesh(points, faces, _one_bone(body, len(points), "head"), outfit.helmet, 0.5)


def _face(body: Body, outfit: Outfit) -> list[Mesh]:
    """Eyes: a white ball with a dark iris, so that the head has a direction."""
    directions, faces = _ball_mesh(13, 18)
    meshes = []
    for side in "LR":
        centre = body.head(f"eye.{side}") + np.array([0, 0, 0.002])
        radius = 0.0125 * body.height / 1.78 + 0.001
        ball = centre + directions * radius
        weights = _one_bone(body, len(ball), "head")
        meshes.append(Mesh(ball, faces, weights, (0.92, 0.92, 0.90), 0.4))
        iris = Mesh(centre + directions * (radius + 0.0006), faces, weights, (0.12, 0.08, 0.05), 0.5)
        meshes.append(cut(iris, directions[:, 2] - 0.88))
    return meshes
