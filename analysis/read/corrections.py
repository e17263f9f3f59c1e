"""Corrections: what a coach moved by hand, checked once before it changes any number.

A plain JSON object; every key may be absent or null:

    view            one of VIEWS                      hand    "right" or "left"
    speed_factor    how many times slower the film runs than the swing did, 1 = real time
    instants        {"<swing index>": {"contact": frame, ...}}
    keypoints       [{"frame", "keypoint", "x", "y"}] in upright pixels of that frame
    bat             [{"frame", "knob": [x, y], "barrel": [x, y]}]
    plate           [[x, y] * 5] corners in the reference frame, in order around the plate
    remove_swings   [swing index, ...]                add_swings   [{"start_frame", "end_frame"}]
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, NamedTuple

from analysis.read import constants as C
from analysis.read.terms import HANDS, INSTANTS, VIEWS
from analysis.tracks import KEYPOINT_COUNT


class CorrectionError(ValueError):
    """A correction that cannot be used; the message names every fault found."""


@dataclass(frozen=True)
class Corrections:
    """Checked corrections; the same names as in the JSON object."""

    view: str | None = None
    hand: str | None = None
    speed_factor: float | None = None
    instants: Mapping[int, Mapping[str, int]] = field(default_factory=dict)
    keypoints: tuple[dict[str, Any], ...] = ()
    bat: tuple[dict[str, Any], ...] = ()
    plate: tuple[tuple[float, float], ...] | None = None
    remove_swings: frozenset[int] = frozenset()
    add_swings: tuple[tuple[int, int], ...] = ()


def parse_corrections(given: Mapping[str, Any] | None, frames: int) -> Corrections:
    """Check corrections for a clip of so many frames; raise CorrectionError naming every fault."""
    held = {key: value for key, value in (given or {}).items() if value is not None}
    faults = [fault for key, value in held.items() for fault in _faults(key, value, frames)]
    if faults:
        raise CorrectionError("These corrections cannot be used: " + "; ".join(faults) + ".")
    return Corrections(**{key: _KINDS[key].used(value) for key, value in held.items()})


def _faults(key: str, value: Any, frames: int) -> Iterator[str]:
    if key not in _KINDS:
        yield f"there is no correction called {_short(key)}, only {', '.join(_KINDS)}"
        return
    # Each frame has so many keypoints and one bat, and every swing costs a reading.
    most = {"keypoints": KEYPOINT_COUNT * frames, "bat": frames}.get(key, C.MOST_SWINGS)
    if isinstance(value, list | dict) and len(value) > most:
        yield f"{key} holds {len(value)} entries, at most {most} can be used"
        return
    try:
        yield from _KINDS[key].faults(value, frames)
    except (TypeError, KeyError, ValueError, AttributeError, OverflowError):
        yield f"{key} is not of the expected form, got {_short(value)}"


def _short(value: Any) -> str:
    """What was given, for a message that somebody can still read."""
    text = repr(value)
    return text if len(text) <= C.LONGEST_QUOTE else f"{text[: C.LONGEST_QUOTE - 1]}…"


def _one_of(choices: tuple[str, ...]) -> Callable[[Any, int], Iterator[str]]:
    def check(value: Any, frames: int) -> Iterator[str]:
        if value not in choices:
            yield f"expected one of {', '.join(choices)}, got {_short(value)}"

    return check


def _speed(value: Any, frames: int) -> Iterator[str]:
    low, high = C.SPEED_LIMITS
    if not isinstance(value, int | float) or isinstance(value, bool) or not (low <= value <= high):
        yield f"speed_factor must lie between {low:g} and {high:g}, got {_short(value)}"


def _instants(value: Any, frames: int) -> Iterator[str]:
    for index, chosen in value.items():
        int(index)
        for name, frame in chosen.items():
            if name not in INSTANTS:
                yield f"there is no instant called {_short(name)}, only {', '.join(INSTANTS)}"
            elif frame is not None:
                yield from _frame(frame, frames, name)
        yield from _order(chosen)


def _order(chosen: Mapping[str, Any]) -> Iterator[str]:
    """The walk's order, except that the hands may go before the foot is down."""
    order = [name for name in INSTANTS if isinstance(chosen.get(name), int)]
    for first, second in itertools.pairwise(order):
        if chosen[second] < chosen[first] and (first, second) != ("foot_down", "swing_start"):
            yield f"{second} (frame {chosen[second]}) cannot come before {first} (frame {chosen[first]})"


def _keypoints(value: Any, frames: int) -> Iterator[str]:
    for move in value:
        yield from _frame(move["frame"], frames, "a keypoint")
        if not _whole(move["keypoint"]) or not 0 <= move["keypoint"] < KEYPOINT_COUNT:
            yield f"a keypoint's number must lie in 0..{KEYPOINT_COUNT - 1}, got {_short(move['keypoint'])}"
        yield from _place((move["x"], move["y"]), "a keypoint")


def _bat(value: Any, frames: int) -> Iterator[str]:
    for move in value:
        yield from _frame(move["frame"], frames, "a bat")
        yield from _place(move["knob"], "the knob")
        yield from _place(move["barrel"], "the barrel")


def _plate(value: Any, frames: int) -> Iterator[str]:
    if len(value) != 5:
        yield f"the plate has 5 corners, got {len(value)}"
    for corner in value:
        yield from _place(corner, "a corner of the plate")


def _removed(value: Any, frames: int) -> Iterator[str]:
    for index in value:
        if not _whole(index) or index < 0:
            yield f"a swing to remove is named by its index, got {_short(index)}"


def _added(value: Any, frames: int) -> Iterator[str]:
    for swing in value:
        yield from _frame(swing["start_frame"], frames, "a swing's start")
        yield from _frame(swing["end_frame"], frames, "a swing's end")
        if swing["end_frame"] - swing["start_frame"] + 1 < C.LEAST_SWING_FRAMES:
            yield f"a swing must be at least {C.LEAST_SWING_FRAMES} frames long"


def _frame(frame: Any, frames: int, what: str) -> Iterator[str]:
    if not _whole(frame) or not 0 <= frame < frames:
        yield f"{what} must be at a frame in 0..{frames - 1}, got {_short(frame)}"


def _place(place: Any, what: str) -> Iterator[str]:
    x, y = place
    if not (abs(x) < C.FARTHEST_PX and abs(y) < C.FARTHEST_PX):  # written so that NaN is refused as well
        yield f"{what} must lie within {C.FARTHEST_PX} pixels, got {_short(place)}"


def _whole(value: Any) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _chosen(value: Any) -> dict[int, dict[str, int]]:
    """Instants by swing, without those that nobody chose."""
    return {int(n): {name: at for name, at in chosen.items() if at is not None} for n, chosen in value.items()}


class _Kind(NamedTuple):
    """What is wrong with what was given in a clip of so many frames, and what becomes of it where nothing is."""

    faults: Callable[[Any, int], Iterator[str]]
    used: Callable[[Any], Any]


_KINDS: Final = {
    "view": _Kind(_one_of(VIEWS), str),
    "hand": _Kind(_one_of(HANDS), str),
    "speed_factor": _Kind(_speed, float),
    "instants": _Kind(_instants, _chosen),
    "keypoints": _Kind(_keypoints, tuple),
    "bat": _Kind(_bat, tuple),
    "plate": _Kind(_plate, lambda corners: tuple((float(x), float(y)) for x, y in corners)),
    "remove_swings": _Kind(_removed, frozenset),
    "add_swings": _Kind(_added, lambda swings: tuple((swing["start_frame"], swing["end_frame"]) for swing in swings)),
}
