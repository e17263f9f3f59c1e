"""The seven instants of a swing: what the timing network says, in their order, with the word of bat and sound on contact."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from analysis.read import constants as C
from analysis.read.arrays import Array
from analysis.read.bodies import Bodies
from analysis.read.contact import fuse_contact
from analysis.read.context import Found, SwingContext
from analysis.read.groups import fitted
from analysis.read.instant_network import GRID_S, PREDICTED, STEP_S, instant_chances, window_input
from analysis.read.lift import network
from analysis.read.terms import INSTANT_NAMES, INSTANTS

# In the order of the search; the finish is looked for otherwise.
_SEARCHED: Final = ("contact", "foot_down", "swing_start", "load", "set_up", "extension", "finish")
_OUTSIDE: Final = {
    "set_up": "The film starts too late: the stance before the load is not in it.",
    "load": "The film starts too late: the load is not in it.",
    "foot_down": "The film starts too late: the stride is not in it.",
    "swing_start": "The film starts too late: the swing's start is not in it.",
    "contact": "The film ends before contact.",
    "extension": "The film ends before the arms are straight.",
}


def find_instants(context: SwingContext, bodies: Bodies, given: Mapping[str, int]) -> None:
    """Find all seven instants of one swing; `given` are frames a coach chose, and the others are found around them."""
    for name, frame in given.items():
        # A chosen frame says: nearest to the moment; so the moment lies within half a frame of it.
        context.found[name] = Found(float(context.times[frame]), context.frame_sd, "coach")
    centre = _centre(context)
    rows = window_input(context.motion, bodies, centre, context.facing.ahead, context.facing.hand)
    chances = dict(zip(PREDICTED, instant_chances(rows), strict=True))
    for name in _SEARCHED:
        if name not in given:
            never = _never(context, name)
            if never is not None:
                context.found[name] = Found(reason=never)
            elif name == "finish":
                context.found[name] = _calibrated(context, name, _finish(context))
            else:
                context.found[name] = _found(context, bodies, name, chances[name], centre)


def _centre(context: SwingContext) -> float:
    """The film time about which the network looks: the hands' peak, or where it is when contact is known."""
    contact = context.found.get("contact")
    if contact:
        return contact.time - C.PEAK_TO_CONTACT_S * context.slowdown
    return float(context.times[context.swing.peak])


def _found(context: SwingContext, bodies: Bodies, name: str, chances: Array, centre: float) -> Found:
    """One instant, among those found before it."""
    at = centre + GRID_S * context.slowdown
    if chances[(at < context.times[0]) | (at > context.times[-1])].sum() > C.OUTSIDE_CHANCE:
        return Found(reason=_OUTSIDE[name])
    low, high = _room(context, name)
    if name == "contact":
        usual = centre + C.PEAK_TO_CONTACT_S * context.slowdown
        low = max(low, usual - C.CONTACT_NEAR_S * context.slowdown)
        high = min(high, usual + C.CONTACT_NEAR_S * context.slowdown)
    step = STEP_S * context.slowdown
    left = np.where((at >= low - step / 2) & (at <= high + step / 2), chances, 0.0)
    if left.sum() < C.LEAST_CHANCE:
        return Found(reason=f"{INSTANT_NAMES[name]} could not be told in this swing; move it by hand to read this.")
    early, middle, late = np.interp(C.QUANTILES_90, np.cumsum(left) / left.sum(), at + step / 2)
    room = C.FILM_EDGE_STEPS * step
    if middle < context.times[0] + room or middle > context.times[-1] - room:
        return Found(reason=_OUTSIDE[name])
    if not _is_seen(bodies, middle, room):
        return Found(reason=f"{INSTANT_NAMES[name]} falls where the hitter was not seen; move it by hand to read this.")
    if name == "foot_down" and not _strides(context, middle):
        return Found(reason="The front foot was not seen to lift or move before this swing.")
    seen = _calibrated(context, name, Found(float(middle), float((late - early) / (2.0 * C.Z_90))))
    return _surely(context, fuse_contact(context, seen)) if name == "contact" else seen


def _never(context: SwingContext, name: str) -> str | None:
    """Why an instant never comes in this swing; None where it may."""
    if name == "contact" and not context.full:
        return "This swing was checked: it stops before contact."
    return context.found["contact"].reason if name in ("extension", "finish") else None


def _calibrated(context: SwingContext, name: str, found: Found) -> Found:
    """An instant with the offset and the factor of its deviation that calibration gave (hitters that nothing was fitted to)."""
    if not found:
        return found
    facts = network().facts["instants"]
    sd = found.sd * fitted(facts["factors"], name, context.group, 1.0)
    time = found.time + context.slowdown * fitted(facts["offsets"], name, context.group, 0.0)
    return Found(float(np.clip(time, *_room(context, name))), float(max(sd, context.frame_sd)))


def _surely(context: SwingContext, contact: Found) -> Found:
    """Contact, where a crack told it, with the factor of its deviation that calibration gave; its time is the sound's own matter."""
    if contact.source != "sound":
        return contact
    factor = fitted(network().facts["instants"].get("heard", {}), "contact", context.group, 1.0)
    return Found(contact.time, float(max(contact.sd * factor, context.frame_sd)), contact.source)


def _room(context: SwingContext, name: str) -> tuple[float, float]:
    """The film times between which an instant lies, by the swings beside it and the instants found so far."""
    low, high = float(context.times[context.earliest]), float(context.times[context.latest])
    for other, found in context.found.items():
        if not found or {other, name} == {"foot_down", "swing_start"}:  # the hands may go before the foot is down
            continue
        if INSTANTS.index(other) < INSTANTS.index(name):
            low = max(low, found.time)
        else:
            high = min(high, found.time - (C.LEAST_SWING_S * context.slowdown if name == "swing_start" else 0.0))
    return low, high


def _strides(context: SwingContext, down: float) -> bool:
    """Whether the front foot was elsewhere shortly before it is said to be down; also where it was not seen."""
    foot = context.front_foot()[context.span(down - C.STRIDE_S * context.slowdown, down)]
    foot = foot[np.isfinite(foot).all(axis=1)]
    return foot.shape[0] < 3 or bool(np.linalg.norm(foot - foot[-1], axis=1).max() >= C.LEAST_STRIDE)


def _is_seen(bodies: Bodies, time: float, room: float) -> bool:
    """Whether a body was seen at a film time and so much (s) before and after it: at the edge of that an instant may lie beyond."""
    off = bodies.times[bodies.shown] - time
    near = off[np.abs(off) <= C.BODY_NEAR_S * bodies.slowdown]
    return bool(near.size and near.min() <= -room and near.max() >= room)


def _finish(context: SwingContext) -> Found:
    """After extension, the moment at which the hands come to rest, or are slowest before they go back."""
    after = context.found["extension"] or context.found["contact"]
    frames = context.span(after.time, after.time + C.FINISH_WITHIN_S * context.slowdown)
    speed = _calm_speed(context)
    frames = frames[np.isfinite(speed[frames])]
    if frames.size < 3:
        return Found(reason="The film ends before the swing does.")
    slow = speed[frames] < C.FINISH_SHARE * np.nanmax(speed[context.swing.start : context.swing.end + 1])
    if not slow.any():
        return Found(reason="The hands were not seen to come to rest after this swing.")
    place = int(np.argmax(slow))
    while place + 1 < frames.size and C.FINISH_SPEED < speed[frames[place]] > speed[frames[place + 1]]:
        place += 1
    time = float(context.times[frames[place]]) + C.FINISH_BAT_S * context.slowdown
    return Found(min(time, float(context.times[-1])), max(context.frame_sd, C.FINISH_SD_S * context.slowdown))


def _calm_speed(context: SwingContext) -> Array:
    """Speed of the hands [F] over a span of time about each frame: what is left of jitter when a body hardly moves."""
    half = C.SPEED_OVER_S * context.slowdown / 2.0
    times = context.times
    start, end = (np.clip(times + aside, times[0], times[-1]) for aside in (-half, half))
    moved = [np.interp(end, times, row) - np.interp(start, times, row) for row in context.motion.hands.T]
    return np.asarray(np.linalg.norm(moved, axis=0) / np.maximum(end - start, 1e-9) * context.slowdown)
