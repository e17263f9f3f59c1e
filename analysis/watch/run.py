"""Watch a clip: from the file to its tracks, in passes that each decode it forward once."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from analysis.tracks import Tracks
from analysis.watch import background, sound
from analysis.watch.camera import SIDE, Camera
from analysis.watch.close import Closer, Plan, plan
from analysis.watch.container import Header, read_header
from analysis.watch.decode import Frame, frames
from analysis.watch.detector import Detector
from analysis.watch.errors import ClipError
from analysis.watch.facts import clip_facts
from analysis.watch.follow import Follower, Walk
from analysis.watch.hitter import hands_of
from analysis.watch.memory import give_back
from analysis.watch.models import Model, find_model
from analysis.watch.pictures import by_halves
from analysis.watch.pose import Landmarker
from analysis.watch.progress_protocol import Progress, silent
from analysis.watch.rivals import hitter_of

WATCH_VERSION = 3  # 2: the bat's confidence is a chance; 3: pictures shrunk by halves
COARSE_STEP_S = 1 / 10
SEARCH_STEP_S = 1.5
COARSE_SIDE = 960  # px of the longer side while finding, about


@dataclass
class Found:
    """What the first pass found: times, size, the walks of people and the camera's motion."""

    time_s: NDArray[np.float64]
    size: tuple[int, int]
    quarter_turns: int
    walks: list[Walk]
    camera: NDArray[np.float64]
    background: background.Backdrop | None
    origin_s: float  # the first frame's time in the file's own counting
    mended: int


def watch_clip(
    path: Path, progress: Progress = silent, model_name: str = "heavy", beside: Callable[[Frame], None] | None = None
) -> Tracks:
    """Watch the clip at `path` and return its tracks.

    progress    called with a stage ("opening", "finding", "watching"), frames done and frames in all
    beside      called with every frame of the first pass, in order: for what else is to be made of them
    Raises ClipError where the clip can't be watched, with words for the person who sent it.
    """
    path = Path(path)
    progress("opening", 0, 1)
    header = read_header(path)
    coarse, fine = find_model("lite"), find_model(model_name)
    progress("opening", 1, 1)
    found = find_people(path, header, coarse, progress, beside)
    give_back()
    clip = clip_facts(path, header, found.size, found.quarter_turns, found.time_s, found.mended)
    landmarker = Landmarker(fine)
    hitter = hitter_of(path, found.walks, found.time_s, found.camera, found.background, landmarker)
    if hitter is None:
        raise ClipError(
            "nobody",
            "We can't find a hitter in this clip. Please film from the side with the whole body in the picture, "
            "about 16 to 26 feet (5 to 8 meters) away.",
        )
    plan_ = plan(hitter, hands_of(hitter, found.time_s), found.time_s)
    closer = Closer(plan_, landmarker, found.time_s, hitter, found.camera, found.background)
    _look_closely(path, closer, progress)
    heard = sound.listen(path, found.origin_s, float(found.time_s[-1])) if header.has_sound else sound.SILENCE
    return Tracks(
        clip=clip,
        watch=_how(fine, coarse, plan_),
        time_s=found.time_s,
        **closer.arrays(),
        sound_time_s=heard.time_s,
        sound_level=heard.level,
        sound_peaks_s=heard.peaks_s,
        sound_peak_strength=heard.peak_strength,
    )


def find_people(
    path: Path, header: Header, model: Model, progress: Progress, beside: Callable[[Frame], None] | None = None
) -> Found:
    """Make the first pass: follow every whole person at a coarse step, and the camera in every frame; see `watch_clip`."""
    follower = Follower(Detector(model), Landmarker(model))
    times: list[float] = []
    size, turns, next_look, next_search = (0, 0), 0, -1.0, -1.0
    origin_s, mended = 0.0, 0
    camera: Camera | None = None
    behind: background.Background | None = None
    expected = header.declared_frames or 0
    for frame in frames(path):
        if beside is not None:
            beside(frame)
        times.append(frame.time_s)
        size, turns, origin_s, mended = frame.size, frame.quarter_turns, frame.origin_s, frame.mended
        if frame.time_s >= next_look - 1e-6:
            scale = by_halves(max(size), COARSE_SIDE)
            everywhere = frame.time_s >= next_search - 1e-6 or all(walk.lost for walk in follower.walks)
            follower.look(frame.index, frame.rgb(scale), scale, search_all=everywhere)
            next_look = frame.time_s + COARSE_STEP_S
            if everywhere:
                next_search = frame.time_s + (SEARCH_STEP_S if len(times) > 1 else SEARCH_STEP_S / 3)
            progress("finding", frame.index, max(expected, frame.index + 1))
        behind_scale = min(1.0, background.SIDE / max(size))
        behind = behind or background.Background(behind_scale)
        behind.add(frame.rgb(behind_scale) if behind.wants() else None)
        camera_scale = by_halves(max(size), SIDE)
        camera = camera or Camera(camera_scale)
        camera.add(frame.gray(camera_scale), follower.boxes())
    mappings = camera.mappings() if camera else np.zeros((0, 3, 3))
    backdrop = behind.backdrop(mappings) if behind else None
    return Found(np.array(times), size, turns, follower.walks, mappings, backdrop, origin_s, mended)


def _look_closely(path: Path, closer: Closer, progress: Progress) -> None:
    total = len(closer.plan.close)
    for frame in frames(path):
        if frame.index > closer.plan.last:
            break
        closer.take(frame)
        if closer.plan.close[frame.index]:
            progress("watching", frame.index, total)


def _how(fine: Model, coarse: Model, plan_: Plan) -> dict[str, Any]:
    return {
        "version": WATCH_VERSION,
        "model": fine.name,
        "model_sha256": fine.sha256,
        "coarse_model": coarse.name,
        "coarse_model_sha256": coarse.sha256,
        "windows": [[window.first, window.last] for window in plan_.windows],
    }
