"""The facts of a clip, for its tracks: what the file claims beside what decoding found."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from analysis.watch import boxes
from analysis.watch.caps import MAX_FPS
from analysis.watch.container import Header, sha256
from analysis.watch.errors import ClipError, cut_off, damaged, false_times, no_picture_decodes

MIN_FRAMES = 12
MIN_SHARE_DECODED = 0.2
VARIABLE = 0.25  # of the usual step: frames further off make a rate variable
VARIABLE_SHARE = 0.02


def clip_facts(
    path: Path, header: Header, size: tuple[int, int], quarter_turns: int, time_s: NDArray[np.float64], mended: int = 0
) -> dict[str, Any]:
    """Return the clip's facts; raise ClipError when too little of it could be decoded.

    time_s  [F] presentation times, increasing
    mended  how many times were out of order or missing; told only where there are some
    """
    _refuse_too_little(path, header, time_s)
    steps = np.diff(time_s)
    usual = float(np.median(steps))
    if usual * MAX_FPS < 1.0:
        raise false_times(f"tell of {1.0 / usual:,.0f} frames a second")
    facts: dict[str, Any] = {
        # A name may hold bytes that are no text; what is written as JSON can't.
        "name": path.name.encode("utf-8", "replace").decode("utf-8"),
        "sha256": sha256(path),
        "width": size[0],
        "height": size[1],
        "rotation": (quarter_turns * 90) % 360,
        "codec": header.codec,
        "container": header.container,
        "frames": len(time_s),
        "duration_s": float(time_s[-1] - time_s[0] + usual),
        "declared_duration_s": header.duration_s,
        "nominal_fps": header.nominal_fps,
        "measured_fps": 1.0 / usual,
        "variable_rate": bool(np.mean(np.abs(steps - usual) > VARIABLE * usual) > VARIABLE_SHARE),
        "capture_fps": header.capture_fps,
        "has_sound": header.has_sound,
        "cut_off": bool(header.declared_frames and len(time_s) < 0.9 * header.declared_frames),
    }
    return facts | ({"mended_times": mended} if mended else {})


def _refuse_too_little(path: Path, header: Header, time_s: NDArray[np.float64]) -> None:
    claimed = header.declared_frames or 0
    if len(time_s) == 0 and not claimed:
        raise no_picture_decodes()
    if claimed > len(time_s) and len(time_s) < max(MIN_FRAMES, MIN_SHARE_DECODED * claimed):
        raise damaged() if boxes.goes_to_the_end(path) else cut_off()
    if len(time_s) < MIN_FRAMES:
        raise ClipError(
            "too_short", "This clip holds only a few pictures. Please film the whole swing and send it again."
        )
