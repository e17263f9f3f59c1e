"""Measure every checkpoint of the book at the moments of one swing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.book import CHECKPOINTS, band_for
from analysis.read.calls import call_for
from analysis.read.checkpoint import Band, Checkpoint
from analysis.read.groups import GROUPS, fitted, group_of_view, without_plate
from analysis.read.lift import network
from analysis.read.perturbations import deviation
from analysis.read.perturbed_swing import PerturbedSwing, Unreadable
from analysis.read.result import Reading
from analysis.read.terms import VIEW_NAMES


@dataclass(frozen=True)
class Spread:
    """A checkpoint's value, and half the width of its 90 % interval."""

    value: float
    half: float


def read_checkpoints(
    swing: PerturbedSwing, view: str, level: str, bands: Mapping[str, Band] | None = None
) -> tuple[Reading, ...]:
    """One reading for every checkpoint of the book, in its order."""
    return tuple(_reading(entry, swing, view, band_for(entry, level, bands)) for entry in CHECKPOINTS)


def _reading(entry: Checkpoint, swing: PerturbedSwing, view: str, band: Band) -> Reading:
    told = partial(Reading, checkpoint=entry.id, instant=entry.instant, unit=entry.unit, band=band, scale=entry.scale)
    if entry.measure is None:
        return told(value=None, interval=None, call="coach's eye", reason="Only a coach's eye can rate this.")
    try:
        spread = calibrated(entry, spread_of(entry, swing, view), swing.group)
        interval = interval_of(entry, spread)
        _refuse_too_wide(entry, view, swing.group, interval, band)
    except Unreadable as why:
        return told(value=None, interval=None, call="not readable", reason=str(why))
    return told(value=spread.value, interval=interval, call=call_for(interval, band))


def spread_of(entry: Checkpoint, swing: PerturbedSwing, view: str) -> Spread:
    """Value and spread as drawn, before calibration; raises Unreadable with the reason where there is none."""
    assert entry.measure is not None
    if view not in entry.views:
        raise Unreadable(f"This cannot be seen from {VIEW_NAMES[view]}; film from {_either(entry.views)} to read it.")
    with np.errstate(invalid="ignore", divide="ignore"):
        samples = entry.measure(swing)
    if not np.isfinite(samples[0]):
        raise Unreadable("The parts of the body that this needs were not seen at this moment.")
    return Spread(float(samples[0]), C.Z_90 * deviation(samples, 360.0 if entry.unit == "°" else None))


def calibrated(entry: Checkpoint, spread: Spread, group: str) -> Spread:
    """A spread with the stretch, the factor and the offset that calibration gave (hitters that the lift was not fitted to)."""
    told = partial(_fitted, entry, group)
    more = float(stretched(told("stretch", 0.0), spread.half, told("spread", 1.0)))
    value = spread.value + more * (spread.value - told("centre", 0.0)) + told("offsets", 0.0)
    if entry.scale[0] >= 0.0:
        value = max(value, 0.0)
    return Spread(value, spread.half * (1.0 + more) * told("calibration", 1.0))


def stretched(stretch: float, half: Array | float, usual: float) -> Array:
    """How much farther from the usual value one with half an interval [N] is said to be than it was guessed, as a share [N].

    A best guess leans toward the usual by its variance against that of hitters, so a surer value is stretched less and one that a
    coach put right hardly; `usual` is half an interval for which the share is `stretch`.
    """
    return stretch * np.minimum(np.square(half / usual), C.MOST_STRETCHED)


def interval_of(entry: Checkpoint, spread: Spread) -> tuple[float, float]:
    """90 % interval; what cannot be negative, a bend or a length, is never said to be."""
    low = spread.value - spread.half
    return low if entry.scale[0] < 0.0 else max(low, 0.0), spread.value + spread.half


def _fitted(entry: Checkpoint, group: str, what: str, otherwise: float) -> float:
    """What the facts of the lift hold about a checkpoint seen from a group of views."""
    return fitted(network().facts.get(what, {}), entry.id, group, otherwise)


def _refuse_too_wide(entry: Checkpoint, view: str, group: str, interval: tuple[float, float], band: Band) -> None:
    """Raise Unreadable where an interval is wider than the band, or than what of it lies on the reading strip."""
    room = _room(entry, band)
    width = interval[1] - interval[0]
    if width <= room:
        return
    unit = entry.unit if entry.unit.startswith(("°", "%")) else f" {entry.unit}"
    half = f"{width / 2.0:.{0 if width >= C.WHOLE_FROM else 1}f}"
    said = f"From {VIEW_NAMES[view]} this shows only to ±{half}{unit}, too coarse for the wanted range"
    shown = {name for name in GROUPS if _fitted(entry, name, "usual", np.inf) <= C.ABOUT_AS_WIDE * room / 2.0}
    helpful = shown - {without_plate(group)}
    better = [name for name in entry.views if name not in ("unknown", view) and group_of_view(name) in helpful]
    if better:
        raise Unreadable(f"{said}; film from {_either(better)} to read it.")
    if not shown:
        raise Unreadable(f"{said}; a film from one phone hardly ever shows this.")
    helps = "more frames a second help" if entry.unit == "ms" else "a sharper, closer film helps"
    raise Unreadable(f"{said}; {helps}.")


def _room(entry: Checkpoint, band: Band) -> float:
    """How wide an interval can be and still lie in the band, as far as the reading strip goes."""
    low, high = entry.scale
    if band == (None, None):
        return C.WIDEST_SHARE * (high - low)
    return (high if band[1] is None else band[1]) - (low if band[0] is None else band[0])


def _either(views: Iterable[str]) -> str:
    return " or ".join(VIEW_NAMES[view] for view in views if view != "unknown")
