"""How sure it is that a line is the bat: the chance that both its ends are where they are said to be.

Told by a small network from how the line came about: the chances of its direction, whether the line turns and keeps its length as
its neighbours in time do, how far it lies from the hands. Fitted and brought to scale on drawn hitters that the bat's
network never saw (``python -m tests.lift.bat_fit``).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.watch.bat import BatPath, ends_at, follow, soft
from analysis.watch.batline import through_bar
from analysis.watch.batnet import bat_net

__all__ = ["FACTS", "Certainty", "certainty", "chance_of", "follow_looks"]

Floats = NDArray[np.float64]

FACTS: Final = (
    "together", "alone", "least beside", "spread", "length", "off usual length", "knob off hands", "off way between", "turn rate",
    "wrists apart", "barrel off between", "share sure", "step", "line moved", "bar",
)  # fmt: skip


@dataclass(frozen=True)
class Certainty:
    """A stretch of F frames: their indices, knob and barrel [F, 2, 2] from the hands in standing heights, facts [F, FACTS]."""

    frames: list[int]
    ends: Floats
    facts: Floats


def follow_looks(frames: list[int], time_s: Floats, looks: NDArray[np.uint8], wrists: Floats) -> Certainty:
    """Each frame's line, and what its certainty is told by, of a stretch of frames [F]; wrists [F] how far apart, standing heights."""
    scores, places = bat_net()(looks)
    path = follow(soft(scores.astype(np.float64)), time_s)
    rough = np.stack([ends_at(row, int(which)) for row, which in zip(places, path.bins, strict=True)])
    fitted = [through_bar(look, ends) for look, ends in zip(looks, rough, strict=True)]
    ends, bar = np.stack([ends for ends, _ in fitted]), np.array([strength for _, strength in fitted])
    spread = places[np.arange(len(places)), path.bins, 4].astype(np.float64)
    moved = np.linalg.norm(ends - rough, axis=2).sum(axis=1)
    return Certainty(
        frames, ends, facts_of(time_s, path, ends, np.stack([spread, wrists, moved, np.log1p(bar)], axis=1))
    )


def facts_of(time_s: Floats, path: BatPath, ends: Floats, more: Floats) -> Floats:
    """What the certainty of each frame's line is told by [F, FACTS].

    ends [F, 2, 2] from the hands, standing heights; more [F, 4]: spread of the ends as the frame's network tells it, wrists apart,
    how far the ends were moved onto a bar, how much of a bar there is
    """
    spread, wrists, moved, bar = more.T
    lines = ends[:, 1] - ends[:, 0]
    length = np.linalg.norm(lines, axis=1)
    turned = np.unwrap(np.arctan2(lines[:, 1], lines[:, 0]))
    sure = path.together > 0.8
    usual = float(np.median(length[sure])) if sure.sum() >= 3 else 0.42
    steps = np.diff(time_s)
    rates = np.abs(np.diff(turned)) / np.maximum(steps, 1e-3) if len(steps) else np.zeros(0)
    return np.stack(
        [
            _logit(path.together),
            _logit(path.alone),
            _logit(_least_beside(path.together)),
            spread,
            length,
            np.abs(length - usual),
            np.linalg.norm(ends[:, 0], axis=1),
            np.log1p(10 * np.abs(_off_between(time_s, turned))),
            np.log1p(_largest_beside(rates, len(time_s))),
            wrists,
            np.linalg.norm(_off_between(time_s, ends[:, 1]), axis=1),
            np.full(len(time_s), sure.mean()),
            np.full(len(time_s), float(np.median(steps)) * 60 if len(steps) else 1.0),
            moved,
            bar,
        ],
        axis=1,
    )


def certainty(stretch: Certainty) -> Floats:
    """The chance [F] that each frame's line is the bat."""
    return chance_of(stretch.facts, {name: value.astype(np.float64) for name, value in bat_net().certain.items()})


def chance_of(facts: Floats, certain: dict[str, Floats]) -> Floats:
    """The chance for facts [F, FACTS], by parameters: two layers, then a table from raw chances to those found true."""
    told = (facts - certain["mean"]) / certain["spread"]
    inner = np.tanh(told @ certain["first"].T + certain["first_bias"])
    raw = 1.0 / (1.0 + np.exp(-(inner @ certain["last"] + certain["last_bias"])))
    return np.asarray(np.interp(raw, certain["raw"], certain["true"]))


def _logit(chance: Floats) -> Floats:
    kept = np.clip(chance, 1e-4, 1 - 1e-4)
    return np.asarray(np.log(kept / (1 - kept)))


def _least_beside(values: Floats) -> Floats:
    """The smaller of both neighbours; at an end the only one."""
    before, after = np.concatenate([values[1:2], values[:-1]]), np.concatenate([values[1:], values[-2:-1]])
    return np.asarray(np.minimum(before, after) if len(values) > 1 else values)


def _largest_beside(rates: Floats, count: int) -> Floats:
    if not len(rates):
        return np.zeros(count)
    return np.asarray(np.maximum(np.concatenate([rates[:1], rates]), np.concatenate([rates, rates[-1:]])))


def _off_between(time_s: Floats, values: Floats) -> Floats:
    """How far each value lies from the straight way between its neighbours; at the ends, from the neighbour's."""
    off = np.zeros_like(values)
    if len(values) > 2:
        share = ((time_s[1:-1] - time_s[:-2]) / (time_s[2:] - time_s[:-2])).reshape(-1, *[1] * (values.ndim - 1))
        off[1:-1] = values[1:-1] - (1 - share) * values[:-2] - share * values[2:]
        off[0], off[-1] = off[1], off[-2]
    return off
