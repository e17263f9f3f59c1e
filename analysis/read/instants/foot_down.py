"""Foot down: the front foot, having lifted or moved, rests on the ground and stays until contact."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from analysis.read.stage import Found, Stage, crossing

__all__ = ["find", "stride_frames"]

Array = NDArray[np.float64]

# Standing heights per second: 0.3 m/s is about 0.2; smoothing rounds the toe's stop by what is added here.
REST_SPEED: Final = 0.22
ALONG_SHARE: Final = 0.75  # of a stride's speed is seen by a camera that looks along the line
STRIDE_SHARE: Final = 1.6  # a stride is at least so many times faster somewhere
NEARLY: Final = 0.4
TAIL_SHARE: Final = 0.17
LEAST_STRIDE: Final = 0.02  # standing heights between the foot's outermost places
LOOK_BACK_S: Final = 1.6
# A stride that has not ended so long before contact is none: the front foot turns in the swing, and a pose is easily
# misjudged there.
LEAST_REST_S: Final = 0.09
# Heights of the middle of the foot above where it stands until contact, standing heights. On 40 rendered films, without a
# leg kick that hangs, it lands within 0.022; the two of a real clip that do hang, hang at 0.048 and 0.059.
IN_THE_AIR: Final = 0.033
LANDED: Final = 0.015
GROUND_PERCENTILE: Final = 20.0
HEIGHT_ERROR: Final = 0.01
TOE_SD_S: Final = 0.006  # a toe that rolls down seems to rest a little sooner or later (44 rendered swings)


def find(stage: Stage) -> Found:
    """The end of the stride: the last run of the front foot before contact."""
    stride = stride_frames(stage)
    if stride is None:
        return Found.no("The front foot was not seen to lift or move before this swing.")
    first, last = stride
    speed = stage.speed(stage.front_toe())
    # What smoothing leaves of the stride's speed when the toe has stopped is the more the quicker the stride was.
    level = max(rest_level(stage), TAIL_SHARE * float(np.max(speed[first : last + 1])))
    while last > first and speed[last] < level:
        last -= 1
    time = crossing(stage.times, speed, level, last + 1)
    slope = max(speed[last] - speed[last + 1], 1e-6) / stage.step
    slope = max(slope, level / (0.2 * stage.pace))
    return _out_of_the_air(stage, time) or Found(
        time, float(np.linalg.norm([stage.frame_sd, 0.25 * level / slope, TOE_SD_S * stage.pace]))
    )


def _out_of_the_air(stage: Stage, time: float) -> Found | None:
    """The landing of a foot that came to rest high above where it stands until contact; None when it stands there already.

    A leg kick may hang in the air as still as a foot on the ground. Only a camera at the side sees how high it hangs.
    """
    frames = stage.span(time, _until(stage))
    height = stage.front_foot()[:, 1]
    if not stage.from_side or not np.isfinite(height[frames]).any():
        return None
    above = height - np.nanpercentile(height[frames], GROUND_PERCENTILE)
    landed = frames[above[frames] <= LANDED]
    flying = frames[above[frames] > LANDED]
    flying = flying[flying < landed[-1]]
    if not flying.size or not np.interp(time, stage.times, above) > IN_THE_AIR:
        return None
    last = int(flying[-1])
    if not np.isfinite(above[last + 1]):  # hidden as it lands
        return None
    slope = max((above[last] - above[last + 1]) / stage.step, LANDED / (0.2 * stage.pace))
    return Found(crossing(stage.times, above, LANDED, last + 1), float(np.hypot(stage.frame_sd, HEIGHT_ERROR / slope)))


def _until(stage: Stage) -> float:
    """The film time before which the foot is down: contact, or the end of a swing that does not come to it."""
    contact = stage.found["contact"]
    return contact.time if contact else float(stage.times[stage.swing.end])


def rest_level(stage: Stage) -> float:
    """Speed in the picture, standing heights per second, under which the front toe rests."""
    return REST_SPEED if stage.from_side else ALONG_SHARE * REST_SPEED


def stride_frames(stage: Stage) -> tuple[int, int] | None:
    """First and last frame in which the front foot moves in the stride; None when it does not.

    A stride may pause in the air, and the foot may stir when it stands: of its runs the last one counts that goes nearly
    as far as the longest.
    """
    until = _until(stage)
    frames = stage.span(until - LOOK_BACK_S * stage.pace, until)
    toe, level = stage.front_toe(), rest_level(stage)
    speed = stage.speed(toe)
    ways: dict[tuple[int, int], float] = {}
    for first, last in _runs(speed > level, frames):
        path = toe[first : last + 1]
        far = float(np.max(np.linalg.norm(path - path[:1], axis=1), initial=0.0))
        fast = float(np.max(speed[first : last + 1], initial=0.0))
        if far >= LEAST_STRIDE and fast >= STRIDE_SHARE * level and last + 1 < stage.times.size:
            ways[first, last] = far
    landed = {run: far for run, far in ways.items() if stage.times[run[1]] < until - LEAST_REST_S * stage.pace}
    ways = landed or ways
    longest = max(ways.values(), default=0.0)
    return max((run for run, far in ways.items() if far >= NEARLY * longest), default=None)


def _runs(flags: NDArray[np.bool_], frames: NDArray[np.int_]) -> list[tuple[int, int]]:
    """Unbroken runs of true flags among consecutive frames, as (first, last)."""
    runs: list[tuple[int, int]] = []
    for frame in frames[flags[frames]].tolist():
        if runs and runs[-1][1] == frame - 1:
            runs[-1] = (runs[-1][0], frame)
        else:
            runs.append((frame, frame))
    return runs
