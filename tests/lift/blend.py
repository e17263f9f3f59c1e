"""Blend networks that went on from one lift, each its own way, into one: the weighted mean of their parameters.

    python -m tests.lift.blend FILE=WEIGHT... --tune FOLDER --out FILE
    python -m tests.lift.blend FILE=WEIGHT... --instants --out FILE
    python -m tests.lift.blend FILE=WEIGHT... --swings --out FILE

What goes on from a lift with few clips more learns them, and forgets of what it knew; how much of each depends on how long it goes
on. The mean of where several courses end, and of where they began, keeps nearly all of the one and loses less of the other
(Wortsman and others 2022, "Model soups" and "Robust fine-tuning of zero-shot models"; from memory). The first file is the one that
the others went on from: what they standardise by is the same, and FILE keeps its networks of instants and of swings. What the
tuning clips (tune-* in FOLDER) teach about the errors is learned anew. With ``--instants`` it is the networks of instants, with
``--swings`` those that tell swings, whose mean takes the place of the one in FILE, and all else in it stays. Needs torch.
"""

from __future__ import annotations

import argparse
import multiprocessing
from pathlib import Path

import numpy as np

__all__ = ["blended"]

# Of a network's arrays, beside the weights and biases of its layers.
PARTS = ("mean", "std", "last", "bias")

Arrays = dict[str, np.ndarray]


def blended(files: dict[Path, float], prefix: str = "") -> Arrays:
    """The weighted mean of the lifts in some files: w0, b0 and so on, mean and std; ValueError where they do not belong together.

    prefix  of the names of another network of theirs, as time_
    """
    lifts = [_network(path, prefix) for path in files]
    for path, own in zip(files, lifts, strict=True):
        if {name: value.shape for name, value in own.items()} != {
            name: value.shape for name, value in lifts[0].items()
        }:
            raise ValueError(f"{path} is a network of another size than the first.")
        if not all(np.allclose(own[name], lifts[0][name], rtol=1e-4) for name in (f"{prefix}mean", f"{prefix}std")):
            raise ValueError(f"{path} did not go on from the first: it standardises what it looks at by other numbers.")
    return {name: np.average([own[name] for own in lifts], axis=0, weights=list(files.values())) for name in lifts[0]}


def _network(path: Path, prefix: str) -> Arrays:
    with np.load(path) as kept:
        own = {name: name.removeprefix(prefix) for name in kept.files if name.startswith(prefix)}
        names = [name for name, word in own.items() if word in PARTS or (word[0] in "wb" and word[1:].isdigit())]
        return {name: kept[name].astype(np.float64) for name in names}


def _blend_beside(files: dict[Path, float], out: Path, prefix: str, about: str, fitted_by: str) -> None:
    """Put the mean of the networks of a kind that stand beside some lifts into ``out``."""
    from .training import facts_of, put_into  # here, so that what is tested of this module needs no torch

    mixed = blended(files, prefix)
    facts = {
        "made_by": f"{fitted_by} and tests.lift.blend", "weights": list(files.values()),
        "the mean of": [facts_of(path, about) for path in files],
    }  # fmt: skip
    small = {
        name: rows.astype(np.float16 if name.removeprefix(prefix).startswith("w") else np.float32)
        for name, rows in mixed.items()
    }
    put_into(out, prefix, small, {about: facts})


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Blend networks that went on from one lift.")
    parser.add_argument("files", nargs="+", metavar="FILE=WEIGHT", help="the first is what the others went on from")
    parser.add_argument("--tune", type=Path, help="folder of tune-*.npz")
    parser.add_argument("--instants", action="store_true", help="blend the networks of instants instead")
    parser.add_argument("--swings", action="store_true", help="blend the networks that tell swings instead")
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--processes", type=int, default=multiprocessing.cpu_count())
    wish = parser.parse_args()
    files = {Path(name): float(weight) for name, weight in (each.rsplit("=", 1) for each in wish.files)}
    if wish.instants:
        _blend_beside(files, wish.out, "time_", "instants", "tests.lift.time_fit")
        return
    if wish.swings:
        _blend_beside(files, wish.out, "deed_", "deeds", "tests.lift.deed_fit")
        return
    if not wish.tune:
        parser.error("say where the tuning clips are (--tune)")
    _blend_lifts(files, wish)


def _blend_lifts(files: dict[Path, float], wish: argparse.Namespace) -> None:
    import torch  # here, so that what is tested of this module needs none

    from .fit import Lift, facts_of_course, go_on, load_samples, write

    mixed = blended(files)
    wide, blocks = mixed["w0"].shape[1], sum(name[0] == "w" for name in mixed) // 2 - 1
    net = Lift(len(mixed["mean"]), wide, blocks, 0.0)
    mean, std = go_on(net, mixed, "cpu")
    courses = [facts_of_course(path) for path in files]
    facts: dict[str, object] = {
        "made_by": "tests.lift.make, tests.lift.fit and tests.lift.blend", "clips": max(courses[1:] or courses, key=_clips)["clips"],
        "wide": wide, "blocks": blocks, "going on from": courses[0], "weights": list(files.values()),
        "blended with": [{name: fact for name, fact in course.items() if name != "going on from"} for course in courses[1:]],
        "torch": torch.__version__,
    }  # fmt: skip
    tune = load_samples(sorted(wish.tune.glob("tune-*.npz")), wish.processes)
    write(wish.out, net, mean, std, tune, facts, "cpu")


def _clips(course: dict[str, object]) -> int:
    return int(str(course["clips"]))


if __name__ == "__main__":
    main()
