"""The pose models, built from what npm brought and checked by hash (analysis/watch/models.py knows how)."""

from __future__ import annotations

import os
from pathlib import Path

from steps import Stamps, content_key, run, step

NAMES = ("pose_landmarker_heavy.task", "pose_landmarker_full.task", "pose_landmarker_lite.task")


def build(root: Path, python: Path, stamps: Stamps) -> None:
    """Nothing to do where CAGENOTE_POSE_MODEL names a model of the operator's own."""
    if os.environ.get("CAGENOTE_POSE_MODEL"):
        return
    sources = sorted((root / "analysis" / "watch").glob("m*.py"))
    key = content_key(root / "package-lock.json", *sources)
    if stamps.fresh("models", key) and all((root / "models" / name).is_file() for name in NAMES):
        return
    with step("pose models"):
        command = [python, "-m", "analysis.watch.models", "build"]
        run([*command, "--from", root / "node_modules" / "@mediapipe" / "pose", "--to", root / "models"], cwd=root)
    stamps.write("models", key)
