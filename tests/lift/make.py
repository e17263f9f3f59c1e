"""Draw and watch clips by number.

    python -m tests.lift.make USE FIRST LAST --out FOLDER [--bat] [--without-swings] [--processes N] [--pictures FOLDER] [--seconds S]

USE is fit, later, tune, calibrate or judge. With ``--bat`` more is drawn and the bat is looked for, too. Each process writes files of
some clips; a file that is there already is not made again. ``--seconds`` stops early: what is written until then counts.
"""

from __future__ import annotations

import argparse
import multiprocessing
import time
from pathlib import Path
from typing import Any

import numpy as np

from .clips import SIDE, SIDE_WITH_BAT
from .paint_shop import open_shop

BUNDLE = 4  # clips in a file
NAMED = {"later": "fit"}  # what is opened to fit to is named so


def _work(wish: Any, number: int, asked: Any, bell: Any, told: Any) -> None:
    import cv2

    cv2.setNumThreads(1)  # a thread for each core in each process would only take turns
    starts = list(range(wish.first, wish.last + 1, BUNDLE))[number :: wish.processes]
    from analysis.watch.models import find_model
    from analysis.watch.pose import Landmarker
    from analysis.watch.region import Region

    from .clips import Studio, clip
    from .paint_shop import Customer
    from .painter import Painter
    from .people import FITTING
    from .store import pack, save
    from .truths import truth_of

    painter = Painter(_side(wish)) if asked is None else Customer(_side(wish), number, asked, bell)
    studio = Studio(Landmarker(find_model("heavy")), Region, painter)
    made = 0
    for first in starts:
        path = wish.out / f"{NAMED.get(wish.use, wish.use)}-{first:05d}.npz"
        if path.exists():
            continue
        clips = []
        for which in range(first, min(first + BUNDLE, wish.last + 1)):
            if time.time() > wish.until:
                break
            try:
                scene = clip(which, wish.use)
                if wish.without_swings and scene.kind == "swing":
                    continue
                pictures: list[np.ndarray] | None = [] if wish.pictures else None
                whole = wish.use not in FITTING and scene.kind == "swing"
                truth = truth_of(scene.mover, float(scene.times[0]), float(scene.times[-1])) if whole else None
                if whole and truth is None:
                    continue
                if scene.act:
                    truth = {"act": {scene.act: 1.0}}
                clips.append(pack(scene, studio.film(scene, pictures), truth))
            except Exception as error:  # a body that cannot take a pose leaves one clip out, not the night's work
                print(f"{wish.use} {which}: {type(error).__name__}: {error}", flush=True)
                continue
            made += 1
            if pictures:
                _show(wish.pictures / f"{wish.use}-{which:05d}.jpg", pictures)
        if clips:
            part = path.with_suffix(".part.npz")
            save(part, clips)
            part.replace(path)
        if time.time() > wish.until:
            break
    told.put(made)


def _side(wish: Any) -> int:
    return SIDE_WITH_BAT if wish.bat else SIDE


def _show(path: Path, pictures: list[np.ndarray]) -> None:
    from PIL import Image

    chosen = [pictures[k] for k in np.linspace(0, len(pictures) - 1, 6).astype(int)]
    path.parent.mkdir(parents=True, exist_ok=True)
    Image.fromarray(np.concatenate(chosen, 1)).save(path)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Draw and watch clips by number.")
    parser.add_argument("use", choices=["fit", "later", "tune", "calibrate", "judge"])
    parser.add_argument("first", type=int)
    parser.add_argument("last", type=int)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--bat", action="store_true", help="look for the bat, too, in a larger square")
    parser.add_argument("--without-swings", action="store_true", help="leave out clips that show a swing")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--pictures", type=Path)
    parser.add_argument(
        "--painters", type=int, default=0, help="processes that draw for the others, one for each graphics card"
    )
    parser.add_argument("--seconds", type=float, default=1e9)
    wish = parser.parse_args()
    wish.until = time.time() + wish.seconds
    wish.out.mkdir(parents=True, exist_ok=True)
    began = time.time()
    context = multiprocessing.get_context("spawn")
    shop, queues, bells = open_shop(_side(wish), wish.painters, wish.processes)
    told = context.Queue()
    workers = []
    for n in range(wish.processes):
        asked = queues[n % len(queues)] if queues else None
        workers.append(context.Process(target=_work, args=(wish, n, asked, bells[n], told)))
        workers[-1].start()
    for worker in workers:
        worker.join()
    made = sum(told.get() for worker in workers if worker.exitcode == 0)
    for queue in queues:
        queue.put(None)
    for process in shop:
        process.join(10)
    print(f"{made} clips in {time.time() - began:.0f} s", flush=True)


if __name__ == "__main__":
    main()
