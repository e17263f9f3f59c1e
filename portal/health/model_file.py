"""Where the pose model lies. The portal does not load it; it only says in time when it is missing."""

from __future__ import annotations

import os
from pathlib import Path

from django.conf import settings

HINT = (
    "Build it with: python -m analysis.watch.models build --from node_modules/@mediapipe/pose --to models; "
    "or name another .task file in CAGENOTE_POSE_MODEL."
)


def path() -> Path:
    if settings.POSE_MODEL:
        return Path(settings.POSE_MODEL)
    folder = os.environ.get("CAGENOTE_MODELS") or settings.BASE_DIR / "models"
    return Path(folder) / "pose_landmarker_heavy.task"
