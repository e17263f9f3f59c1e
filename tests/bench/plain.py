"""The plain way of watching: MediaPipe's heavy model on every frame, one after the other. `python -m tests.bench.plain CLIP`."""

from __future__ import annotations

import sys
from pathlib import Path

import mediapipe
from mediapipe.tasks.python import BaseOptions, vision

from analysis.watch.decode import frames
from analysis.watch.models import find_model


def watch_plainly(clip: Path) -> int:
    """Run the heavy pose landmarker on every frame; return in how many someone was found."""
    options = vision.PoseLandmarkerOptions(
        base_options=BaseOptions(model_asset_path=str(find_model("heavy").path)), running_mode=vision.RunningMode.IMAGE
    )
    found = 0
    with vision.PoseLandmarker.create_from_options(options) as landmarker:
        for frame in frames(clip):
            picture = mediapipe.Image(image_format=mediapipe.ImageFormat.SRGB, data=frame.rgb())
            found += bool(landmarker.detect(picture).pose_landmarks)
    return found


if __name__ == "__main__":
    print(watch_plainly(Path(sys.argv[1])))
