"""A body of sticks with a cloud of points about each, 1.78 m tall, for tests of motion: no model of people is needed for it.

It has the bones that posing asks for, by the names and in the order (each after the one it hangs on) of the bodies of `people`.
"""

from __future__ import annotations

import numpy as np
from scipy import sparse

from tests.films.body import Body

__all__ = ["stick_body"]

Place = tuple[float, float, float]
POINTS = 120  # about each stick
THICK = 0.05  # metres, of most of them
# Where each bone begins and what it hangs on; those of the left side and those in the middle.
_LEG: dict[str, tuple[str, Place]] = {
    "pelvis": ("root", (0.05, 0.93, 0.0)),
    "upperleg01": ("pelvis", (0.10, 0.90, 0.0)), "upperleg02": ("upperleg01", (0.10, 0.70, 0.006)),
    "lowerleg01": ("upperleg02", (0.10, 0.50, 0.012)), "lowerleg02": ("lowerleg01", (0.10, 0.29, 0.0)),
    "foot": ("lowerleg02", (0.10, 0.08, -0.02)),
    **{f"toe{k}-1": ("foot", (0.13 - 0.015 * k, 0.02, 0.13 - 0.006 * k)) for k in range(1, 6)},
    **{f"toe{k}-2": (f"toe{k}-1", (0.13 - 0.015 * k, 0.015, 0.16 - 0.006 * k)) for k in range(1, 6)},
    **{f"toe{k}-3": (f"toe{k}-2", (0.13 - 0.015 * k, 0.01, 0.18 - 0.006 * k)) for k in range(1, 6)},
}  # fmt: skip
_ARM: dict[str, tuple[str, Place]] = {
    "clavicle": ("spine01", (0.02, 1.42, 0.0)), "shoulder01": ("clavicle", (0.10, 1.43, -0.01)),
    "upperarm01": ("shoulder01", (0.18, 1.42, -0.02)), "upperarm02": ("upperarm01", (0.32, 1.414, -0.024)),
    "lowerarm01": ("upperarm02", (0.46, 1.41, -0.03)), "lowerarm02": ("lowerarm01", (0.58, 1.412, -0.02)),
    "wrist": ("lowerarm02", (0.70, 1.41, -0.01)),
    **{f"finger{k}-1": ("wrist", (0.80, 1.41, 0.09 - 0.025 * k)) for k in range(1, 6)},
    **{f"finger{k}-2": (f"finger{k}-1", (0.84, 1.40, 0.09 - 0.025 * k)) for k in range(1, 6)},
    **{f"finger{k}-3": (f"finger{k}-2", (0.87, 1.385, 0.09 - 0.025 * k)) for k in range(1, 6)},
}  # fmt: skip
_SPINE: dict[str, tuple[str, Place]] = {
    f"spine0{5 - k}": ("root" if k == 0 else f"spine0{6 - k}", (0.0, 1.0 + 0.085 * k, -0.01 * k)) for k in range(5)
}
_NECK: dict[str, tuple[str, Place]] = {
    "neck01": ("spine01", (0.0, 1.46, -0.02)), "neck02": ("neck01", (0.0, 1.49, -0.01)), "neck03": ("neck02", (0.0, 1.52, 0.0)),
    "head": ("neck03", (0.0, 1.56, 0.0)), "eye": ("head", (0.03, 1.66, 0.08)),
}  # fmt: skip
_IN_THE_MIDDLE = {"root", *_SPINE, *_NECK} - {"eye"}


def _sided(name: str, side: str) -> str:
    return name if name in _IN_THE_MIDDLE else f"{name}.{side}"


def stick_body() -> Body:
    """The body at rest, arms held out to the sides."""
    places: dict[str, tuple[str | None, np.ndarray]] = {"root": (None, np.array([0.0, 0.95, 0.0]))}
    # The head and what hangs on it come last: posing turns all of them at once.
    for part in (_LEG, _SPINE, _ARM, _NECK):
        for side, sign in (("L", 1), ("R", -1)):
            for name, (above, place) in part.items():
                places[_sided(name, side)] = (_sided(above, side), np.array(place) * [sign, 1, 1])
    names = list(places)
    parents = [names.index(above) if above else -1 for above, _ in places.values()]
    heads = np.array([place for _, place in places.values()])
    tails = np.array([_end(k, parents, heads) for k in range(len(names))])
    rng = np.random.default_rng(1)
    spots = [_cloud(name, heads[k], tails[k], rng) for k, name in enumerate(names)]
    owner = np.repeat(np.arange(len(names)), [len(part) for part in spots])
    vertices = np.concatenate(spots)
    vertices[:, 1] = np.clip(vertices[:, 1], 0.0, 1.78)
    weights = sparse.csr_matrix((np.ones(len(owner)), (np.arange(len(owner)), owner)))
    return Body(vertices, np.zeros((0, 3), int), weights, tuple(names), np.array(parents), heads, tails)


def _end(bone: int, parents: list[int], heads: np.ndarray) -> np.ndarray:
    """Where a bone ends: where the first that hangs on it begins, or a little further the same way."""
    for k, above in enumerate(parents):
        if above == bone:
            return heads[k]
    return heads[bone] + 0.6 * (heads[bone] - heads[parents[bone]])


def _cloud(name: str, start: np.ndarray, end: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Points about a stick; a head is a ball, and a foot has a sole."""
    if name == "head":
        ball = rng.normal(0, 1, (8 * POINTS, 3))
        return np.array([0.0, 1.67, 0.01]) + 0.11 * ball / np.linalg.norm(ball, axis=1, keepdims=True)
    if name.startswith("foot"):
        return start + rng.uniform((-0.04, -0.08, -0.05), (0.04, 0.0, 0.15), (POINTS, 3))
    thick = 0.02 if name.startswith(("finger", "toe", "eye")) else 0.08 if name.startswith("upperleg") else THICK
    around = rng.normal(0, 1, (POINTS, 3))
    along = start + rng.uniform(0, 1, (POINTS, 1)) * (end - start)
    return along + thick * around / np.linalg.norm(around, axis=1, keepdims=True)
