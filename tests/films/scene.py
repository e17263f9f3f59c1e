"""The field behind the hitter, computed per pixel with NumPy: ground, lines, plate, fence or net, sky.

Field axes, metres: x toward the pitcher, y up, z away from a right-handed hitter. Origin: the middle of the plate's front
edge. Plate and boxes after the Official Baseball Rules: plate 17 in wide, sides 8.5 in, back edges 12 in; boxes 4 by 6 ft,
6 in from the plate, centred on the plate; lines 4 in wide (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter

from .camera import Camera
from .meshes import Colour

__all__ = ["INCH", "PLATE", "Place", "paint"]

INCH = 0.0254
HALF = 8.5 * INCH
RAYS = ((0.17, 0.5), (0.5, 0.83), (0.83, 0.17))  # within a pixel, spread over both directions
PLATE = np.array([[0, -HALF], [0, HALF], [-HALF, HALF], [-17 * INCH, 0], [-HALF, -HALF]])  # x, z; front edge first


@dataclass(frozen=True)
class Place:
    """What kind of place it is. Colours in 0..1; distances in metres from the plate."""

    kind: str = "park"  # park: clay, grass, fence before trees; cage: turf, net, wall
    clay: Colour = (0.50, 0.315, 0.20)
    grass: Colour = (0.23, 0.44, 0.15)
    trees: Colour = (0.17, 0.33, 0.14)
    wall: Colour = (0.42, 0.44, 0.47)
    sky: Colour = (0.45, 0.62, 0.86)
    horizon: Colour = (0.74, 0.82, 0.90)
    clay_radius: float = 4.3
    fence: float = 8.0
    fence_height: float = 3.1
    posts: float = 2.9
    seed: int = 1
    brightness: float = 1.0
    warmth: float = 0.0


class _Noise:
    """Grain that looks the same at every size: a few octaves of smooth periodic noise."""

    def __init__(self, seed: int, size: int = 512) -> None:
        draw = np.random.default_rng(seed)
        self.size = size
        self.tile = gaussian_filter(draw.standard_normal((size, size)), 1.0, mode="wrap")
        self.tile /= self.tile.std()

    def at(self, u: np.ndarray, v: np.ndarray, cell: float) -> np.ndarray:
        """Noise about 1 strong at coordinates u, v whose grains are ``cell`` long."""
        x, y = u / cell * 2.5, v / cell * 2.5
        i, j = np.floor(x).astype(int), np.floor(y).astype(int)
        fx, fy = x - i, y - j
        fx, fy = fx * fx * (3 - 2 * fx), fy * fy * (3 - 2 * fy)
        t, n = self.tile, self.size
        a, b = t[j % n, i % n], t[j % n, (i + 1) % n]
        c, d = t[(j + 1) % n, i % n], t[(j + 1) % n, (i + 1) % n]
        return (a * (1 - fx) + b * fx) * (1 - fy) + (c * (1 - fx) + d * fx) * fy


def paint(place: Place, camera: Camera) -> np.ndarray:
    """RGB float32 [height, width, 3] in 0..1 of the empty field; each pixel is the mean of three rays."""
    width, height = camera.size
    total = np.zeros((height, width, 3))
    y, x = np.mgrid[0:height, 0:width].astype(float)
    for right, down in RAYS:
        total += _look(place, camera, np.stack([x + right, y + down], -1))
    tint = np.array([1 + place.warmth, 1.0, 1 - place.warmth]) * place.brightness
    return np.clip(total / len(RAYS) * tint, 0, 1).astype(np.float32)


def _look(place: Place, camera: Camera, pixels: np.ndarray) -> np.ndarray:
    rays = camera.rays(pixels)
    noise = _Noise(place.seed)
    colour = _sky(place, rays)
    colour = _behind(place, camera, rays, colour, noise)
    down = -camera.place[1] / np.minimum(rays[..., 1], -1e-6)
    points = camera.place + rays * down[..., None]
    hit = (rays[..., 1] < -1e-6) & ~_past_fence(place, camera, points)
    ground = _ground(place, points, np.linalg.norm(points - camera.place, axis=-1), noise)
    return np.where(hit[..., None], ground, colour)


def _fence_planes(place: Place, camera: Camera) -> list[tuple[np.ndarray, float]]:
    """Upright planes behind the scene as (normal pointing away from the plate, distance): straight behind and both flanks."""
    ahead = camera.rotation[2] * [1, 0, 1]
    angle = np.arctan2(ahead[2], ahead[0])
    snapped = np.round(angle / (np.pi / 2)) * (np.pi / 2)
    planes = []
    for side, far in ((0.0, place.fence), (0.62, place.fence * 1.18), (-0.62, place.fence * 1.18)):
        planes.append((np.array([np.cos(snapped + side), 0.0, np.sin(snapped + side)]), far))
    return planes


def _past_fence(place: Place, camera: Camera, points: np.ndarray) -> np.ndarray:
    past = np.zeros(points.shape[:-1], bool)
    for normal, far in _fence_planes(place, camera):
        past |= points @ normal > far
    return past


def _sky(place: Place, rays: np.ndarray) -> np.ndarray:
    steep = rays[..., 1] / np.linalg.norm(rays, axis=-1)
    share = np.clip(steep * 3.2, 0, 1)[..., None]
    return np.array(place.horizon) * (1 - share) + np.array(place.sky) * share


def _behind(place: Place, camera: Camera, rays: np.ndarray, colour: np.ndarray, noise: _Noise) -> np.ndarray:
    """Fence or net with what stands behind it, nearest plane first."""
    nearest = np.full(rays.shape[:-1], np.inf)
    for number, (normal, far) in enumerate(_fence_planes(place, camera)):
        slope = rays @ normal
        along = np.where(slope > 1e-6, (far - camera.place @ normal) / np.maximum(slope, 1e-6), np.inf)
        closer = along < nearest
        nearest = np.where(closer, along, nearest)
        points = camera.place + rays * np.where(np.isfinite(along), along, 0)[..., None]
        across = points @ np.array([-normal[2], 0, normal[0]]) + 40 + number * 7
        shade = _wall(place, across, points[..., 1], noise) * (1.0 - 0.10 * (number == 2) + 0.05 * (number == 1))
        top = 9.0 if place.kind == "cage" else place.fence_height
        colour = np.where((closer & (points[..., 1] < top))[..., None], shade, colour)
    return colour


def _wall(place: Place, u: np.ndarray, v: np.ndarray, noise: _Noise) -> np.ndarray:
    if place.kind == "cage":
        base = np.array(place.wall) * (0.95 + 0.05 * noise.at(u, v, 1.4) + 0.02 * noise.at(u, v, 0.05))[..., None]
        seam = (np.abs((u / 1.25) % 1 - 0.5) > 0.488) | (np.abs(v - 1.25) < 0.012)
        base = np.where(seam[..., None], base * 0.86, base)
        pad = v < 1.15
        base = np.where(pad[..., None], base * np.array([0.50, 0.62, 0.80]), base)
        mesh, strength, post_colour = 0.045, 0.40, np.array([0.16, 0.17, 0.18])
    else:
        leaves = (
            0.40 * noise.at(u, v, 0.6)
            + 0.40 * noise.at(u + 3, v, 0.2)
            + 0.45 * noise.at(u, v + 5, 0.08)
            + 0.45 * noise.at(u + 7, v, 0.045)
        )
        light = np.clip(1 + 0.30 * leaves + 0.10 * (v - 1.5) / 1.5, 0.25, 1.9)
        base = (
            np.array(place.trees) * light[..., None]
            + np.array([0.05, 0.06, 0.0]) * np.clip(leaves - 0.8, 0, 1)[..., None]
        )
        mesh, strength, post_colour = 0.06, 0.20, np.array([0.10, 0.11, 0.11])
    diagonal = np.minimum(np.abs(((u + v) / mesh) % 1 - 0.5), np.abs(((u - v) / mesh) % 1 - 0.5))
    wire = np.clip(1 - diagonal / 0.09, 0, 1)[..., None] * strength
    base = base * (1 - wire) + np.array([0.07, 0.08, 0.08]) * wire
    post = np.abs((u / place.posts) % 1 - 0.5) * place.posts < 0.032
    rail = np.abs(v - place.fence_height + 0.03) < 0.028
    base = np.where((post | rail)[..., None] & (v < place.fence_height)[..., None], post_colour, base)
    foot = np.clip(v / 0.35, 0, 1)[..., None]
    return base * (0.62 + 0.38 * foot)


def _ground(place: Place, points: np.ndarray, far: np.ndarray, noise: _Noise) -> np.ndarray:
    x, z = points[..., 0], points[..., 2]
    fine = np.clip(6.0 / np.maximum(far, 0.1), 0.25, 1.0)  # far grain melts into its mean
    if place.kind == "cage":
        blades = 0.07 * noise.at(x, z, 0.02) + 0.07 * noise.at(x, z, 0.09) + 0.06 * noise.at(x, z, 0.9)
        turf = np.array(place.grass) * (1 + blades * fine)[..., None]
        base = np.where((np.abs((z + 30.35) % 3.66 - 1.83) < 0.01)[..., None], turf * 0.85, turf)
        mat = (np.abs(x + 0.2) < 1.75) & (np.abs(z) < 1.9)
        rubber = (
            np.array(place.clay) * (1 + (0.08 * noise.at(x, z, 0.03) + 0.05 * noise.at(x, z, 0.5)) * fine)[..., None]
        )
        base = np.where(mat[..., None], rubber, base)
    else:
        grain = (
            0.10 * noise.at(x, z, 0.025)
            + 0.09 * noise.at(x, z, 0.10)
            + 0.08 * noise.at(x, z, 0.6)
            + 0.05 * noise.at(x, z, 2.2)
        )
        clay = np.array(place.clay) * (1 + grain * fine)[..., None]
        blades = 0.14 * noise.at(x, z, 0.03) + 0.10 * noise.at(x + 9, z, 0.15) + 0.09 * noise.at(x, z, 1.1)
        stripe = 0.035 * np.sign(np.sin((x * 0.6 + z) * np.pi / 1.6))
        grass = np.array(place.grass) * (1 + (blades + stripe) * fine)[..., None]
        edge = np.hypot(x + 0.3, z) + 0.12 * noise.at(x, z, 0.8) + 0.05 * noise.at(x, z, 0.15)
        share = np.clip((edge - place.clay_radius) / 0.25 + 0.5, 0, 1)[..., None]
        base = clay * (1 - share) + grass * share
    worn = np.clip(0.90 + 0.10 * noise.at(x, z, 0.12), 0.35, 1)[..., None]
    chalk = _lines(x, z)[..., None] * worn
    base = base * (1 - chalk) + np.array([0.86, 0.85, 0.82]) * chalk
    plate = _in_plate(x, z, 0.0)[..., None]
    rim = _in_plate(x, z, 0.018)[..., None] & ~plate
    base = np.where(rim, np.array([0.10, 0.09, 0.08]), base)
    return np.where(plate, np.array([0.90, 0.90, 0.87]) * (1 + 0.03 * noise.at(x, z, 0.05))[..., None], base)


def _in_plate(x: np.ndarray, z: np.ndarray, grow: float) -> np.ndarray:
    inside = (x < grow) & (np.abs(z) < HALF + grow)
    back = (-x - HALF) + np.abs(z) < HALF + grow * 1.41
    return inside & back


def _lines(x: np.ndarray, z: np.ndarray) -> np.ndarray:
    """1 on the chalk of the two batter's boxes, else 0."""
    thick, wide, long = 4 * INCH, 48 * INCH, 72 * INCH
    out = np.abs(z) - HALF - 6 * INCH
    along = np.abs(x + HALF)
    inside = (out > 0) & (out < wide) & (along < long / 2)
    core = (out > thick * 0.6) & (out < wide - thick * 0.6) & (along < long / 2 - thick * 0.6)
    return (inside & ~core).astype(float)
