"""Looks at moves: what the two networks over time are fitted to, and what they should answer. Needs no torch.

A look is what a network sees about one time of a clip, as reading would show it; here the time, the tempo and the line's direction
are drawn at random about the true ones, as far as reading gets them wrong.
"""

from __future__ import annotations

import multiprocessing
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

import numpy as np

from analysis.read.instant_network import PREDICTED
from analysis.read.lift import JOINTS
from analysis.read.swing_classifier import COLUMNS, EVERY

from .moves import Moves, seen_by_hand

__all__ = ["in_parts", "instant_looks", "open_looks", "save_looks", "swing_looks", "warped"]

T, R = TypeVar("T"), TypeVar("R")
PART = 200  # clips whose looks are taken at once
# Looks are about a time so long before contact, give or take: the hands' peak was 0.00 s before it, give or take 0.07, in 209
# tuning swings.
CENTRE_S = (0.03, 0.07)
# How much slower or quicker than life a film may be taken to be, as a logarithm (deviation), and how far its line may be off, degrees.
TIMED_TEMPO_SD, TIMED_FACING_SD = 0.12, 7.0
FACING_SD = 12.0  # degrees, where swings are told from everything else
# How much slower or quicker than life a swing may be looked at, as a logarithm: one deviation of a swing's own tempo, and from
# where on it is none.
TEMPO_SD = 0.10
WRONG_TEMPO = (0.50, 2.3)
OFF_S = (0.22, 1.1)  # so far from its middle a swing is none

_WORK: list[Callable[[int], object]] = []  # what the processes of `in_parts` do


def in_parts(items: list[T], work: Callable[[list[T], np.random.Generator], R], seed: int) -> list[R]:
    """What ``work`` makes of some items at a time, by all processors; each part draws by numbers of its own.

    The processes are forked, so that the items need not travel.
    """

    def part(n: int) -> R:
        return work(items[n * PART : (n + 1) * PART], np.random.default_rng([seed, n]))

    count = -(-len(items) // PART)
    if count < 2:
        return [part(n) for n in range(count)]
    _WORK[:] = [part]
    with multiprocessing.get_context("fork").Pool() as pool:
        return pool.map(_do, range(count), chunksize=1)  # type: ignore[return-value]


def _do(n: int) -> object:
    return _WORK[0](n)


def instant_looks(moves: list[Moves], rng: np.random.Generator, looks: int) -> tuple[np.ndarray, np.ndarray]:
    """So many looks at each swing [N, INPUTS, G], and its instants [N, I] in real seconds from the look's middle.

    With one look its tempo is the true one.
    """
    rows, goals = [], []
    for each in moves:
        for _ in range(looks):
            slowdown = float(np.exp(rng.normal(0, TIMED_TEMPO_SD))) if looks > 1 else 1.0
            centre = each.instants["contact"] - float(rng.normal(*CENTRE_S))
            ahead = each.ahead + float(rng.normal(0, TIMED_FACING_SD))
            look = seen_by_hand(each, centre, slowdown, ahead, each.hand)
            goals.append((np.array([each.instants[name] for name in PREDICTED]) - centre) / slowdown)
            rows.append(look.T.astype(np.float16))
    return np.array(rows), np.array(goals)


def save_looks(path: Path, looks: list[tuple[np.ndarray, np.ndarray]]) -> None:
    """Write looks at swings, [N, INPUTS, G] and [N, I] of each, into one file."""
    rows, goals = (np.concatenate(part) for part in zip(*looks, strict=True))
    np.savez(path, rows=rows, goals=goals.astype(np.float32), swings=len(looks))
    print(f"{len(rows)} looks at {len(looks)} swings")


def open_looks(paths: list[Path]) -> tuple[np.ndarray, np.ndarray]:
    """The looks of some files, [N, INPUTS, G] and [N, I]."""
    files = [np.load(path) for path in paths]
    rows, goals = (np.concatenate([file[name] for file in files]) for name in ("rows", "goals"))
    return rows, goals


def _line(move: Moves, hand: str, centre: float, reach: float) -> float:
    """Direction of the line for a hitter of this hand as the ankles tell it, degrees."""
    near = (move.times >= centre - 1.2 * reach) & (move.times <= centre)
    rear, front = ("right", "left") if hand == "right" else ("left", "right")
    way = move.places[near][:, JOINTS.index(f"{front}_ankle")] - move.places[near][:, JOINTS.index(f"{rear}_ankle")]
    way = way[np.isfinite(way).all(axis=1)]
    if not len(way):
        return 0.0
    return float(np.degrees(np.arctan2(np.median(way[:, 2]), np.median(way[:, 0]))))


def _peaks(move: Moves, reach: float) -> np.ndarray:
    """Film times at which the hands run quickest, best first, none near another."""
    hands = move.steady[:, [15, 16]].mean(1) - move.steady[:, [23, 24]].mean(1)
    speed = np.nan_to_num(np.linalg.norm(np.gradient(hands, move.times, axis=0), axis=1))
    width = max(round(0.1 * reach / max(np.median(np.diff(move.times)), 1e-3)), 1)
    speed = np.convolve(speed, np.ones(width) / width, "same")
    found: list[float] = []
    for k in np.argsort(-speed):
        if all(abs(move.times[k] - other) > 0.3 * reach for other in found):
            found.append(float(move.times[k]))
        if len(found) == 4:
            break
    return np.array(found)


def warped(move: Moves, rng: np.random.Generator) -> Moves:
    """A swing whose way to contact and whose way on from it each run a little quicker or slower."""
    off = move.times - move.contact
    times = move.contact + off * np.where(off < 0, np.exp(rng.normal(0, 0.10)), np.exp(rng.normal(0, 0.12)))
    return replace(move, times=times)


def swing_looks(move: Moves, count: int, rng: np.random.Generator) -> tuple[list[np.ndarray], list[int]]:
    """Looks at one clip [len(COLUMNS), G / EVERY], as halves, and of each whether it is one at a swing (1) or not (0)."""
    rows, goals = [], []
    swings = np.isfinite(move.contact)
    for n in range(count):
        tempo, hand, goal, of = float(np.exp(rng.normal(0, TEMPO_SD))), move.hand, 0, move
        draw = n / count
        if swings:
            of = warped(move, rng)
            centre = of.contact - float(rng.normal(*CENTRE_S)) * tempo
            if draw < 0.5:
                goal = 1
            elif draw < 0.8:  # of the wrong tempo
                tempo = float(np.exp(rng.uniform(*WRONG_TEMPO) * (1 if rng.random() < 0.65 else -0.6)))
                tempo = 1 / tempo  # the film is slower than it is taken to be
                centre = of.contact - float(rng.normal(*CENTRE_S))
            else:
                centre = of.contact + float(rng.uniform(*OFF_S) * rng.choice([-1, 1]))
                centre = float(np.clip(centre, of.times[0], of.times[-1]))
                if abs(centre - of.contact) < OFF_S[0]:
                    continue
        else:
            tempo = tempo if draw < 0.7 else float(np.exp(rng.uniform(-1.6, 0.5)))
            peaks = _peaks(move, 1.0)
            centre = (
                float(peaks[n % len(peaks)] + rng.normal(0, 0.03))
                if draw < 0.8
                else float(rng.uniform(move.times[0], move.times[-1]))
            )
            if move.kind != 3 and rng.random() < 0.5:
                hand = "left" if hand == "right" else "right"
        ahead = move.ahead if move.kind in (0, 3) and np.isfinite(move.ahead) else _line(move, hand, centre, 1.0)
        ahead += float(rng.normal(0, FACING_SD))
        rows.append(seen_by_hand(of, centre, tempo, ahead, hand)[::EVERY, COLUMNS].T.astype(np.float16))
        goals.append(goal)
    return rows, goals
