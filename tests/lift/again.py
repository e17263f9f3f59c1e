"""Clips of hitters who swing three times before the same camera: how much of a reading's error stays from swing to swing.

    python -m tests.lift.again USE FIRST LAST --out FOLDER

USE is tune or judge. A clip is drawn and watched from one end to the other, so that everything that reading has of it in common is in
common here, too: body, camera, light, clothes, bones, hand and line.
"""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path

import numpy as np

from tests.films.manner import Timing

from .clips import SIDE, Clip, clip
from .movers import Swing
from .truths import truth_of

__all__ = ["SWINGS", "again"]

SWINGS = 3
FPS = 60.0
# From contact to the next time that the load begins: follow-through, the finish held, the stance taken up, and a little quiet.
REST_S = 2.1


def again(number: int, use: str) -> Clip | None:
    """The clip of a number, with three swings; None where nobody swings in it."""
    once = clip(number, use)
    if not isinstance(once.mover, Swing):
        return None
    rng = np.random.default_rng([{"tune": 12, "judge": 13}[use], number])
    timings = [once.mover.timings[0]]
    while len(timings) < SWINGS:
        timings.append(_next(timings[0], timings[-1].contact, rng))
    own = np.random.default_rng([{"tune": 22, "judge": 23}[use], number])
    first, last = timings[0].move - 0.5, timings[-1].contact + 0.8
    mover = Swing(once.mover.body, once.mover.motion.manner, timings, last, own, once.mover.loose)
    return replace(once, mover=mover, times=first + np.arange(round((last - first) * FPS)) / FPS)


def _next(first: Timing, contact: float, rng: np.random.Generator) -> Timing:
    """Another swing of the same hitter: about as quick as the first."""
    spans = {
        name: float(getattr(first, name) * np.exp(rng.normal(0, 0.08)))
        for name in ("down_to_contact", "start_to_contact", "load_to_down", "move_to_load")
    }
    before = spans["down_to_contact"] + spans["load_to_down"] + spans["move_to_load"]
    return Timing(contact + REST_S + before, **spans)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Draw and watch clips with three swings.")
    parser.add_argument("use", choices=["tune", "judge"])
    parser.add_argument("first", type=int)
    parser.add_argument("last", type=int)
    parser.add_argument("--out", type=Path, required=True)
    wish = parser.parse_args()
    wish.out.mkdir(parents=True, exist_ok=True)
    from analysis.watch.models import find_model
    from analysis.watch.pose import Landmarker
    from analysis.watch.region import Region

    from .clips import Studio
    from .painter import Painter
    from .store import pack, save

    studio = Studio(Landmarker(find_model("heavy")), Region, Painter(SIDE))
    for number in range(wish.first, wish.last + 1):
        path = wish.out / f"{wish.use}-again-{number:05d}.npz"
        scene = None if path.exists() else again(number, wish.use)
        if scene is None:
            continue
        assert isinstance(scene.mover, Swing)
        ends = float(scene.times[0]), float(scene.times[-1])
        truths = [truth_of(scene.mover, *ends, which) for which in range(SWINGS)]
        if any(truth is None for truth in truths):
            continue
        try:
            seen = studio.film(scene)
        except Exception as error:  # a body that cannot take a pose leaves one clip out
            print(f"{wish.use} {number}: {type(error).__name__}: {error}", flush=True)
            continue
        contacts = {f"{n}": timing.contact for n, timing in enumerate(scene.mover.timings)}
        truth = {"contacts": contacts} | {
            f"{part} {n}": one[part] for n, one in enumerate(truths) if one for part in ("instants", "checkpoints")
        }
        save(path, [pack(scene, seen, truth)])
        print(path.name, flush=True)


if __name__ == "__main__":
    main()
