"""A measuring program that does what a test tells it, and clips that wait for it."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import numpy as np
import pytest
from django.core.files.base import ContentFile

from analysis.read import calls
from analysis.tracks import Tracks
from portal.intake.models import Clip
from portal.intake.states import State
from portal.measuring import door
from portal.measuring.models import Measurement

FAKE = Path(__file__).with_name("fake_analysis.py")
FRAMES = 60


def empty_tracks() -> Tracks:
    """A valid clip of one second in which nobody was seen."""
    nan = lambda *shape: np.full((FRAMES, *shape), np.nan, np.float32)  # noqa: E731
    clip = {
        "name": "x", "sha256": "", "width": 320, "height": 180, "rotation": 0, "codec": "h264", "container": "mp4",
        "frames": FRAMES, "duration_s": 1.0, "nominal_fps": 60.0, "measured_fps": 60.0, "variable_rate": False,
        "capture_fps": None, "has_sound": False,
    }  # fmt: skip
    return Tracks(
        clip=clip, watch={"version": 7}, time_s=np.arange(FRAMES) / 60, keypoints_px=nan(33, 2), visibility=nan(33),
        world_m=nan(33, 3), box_px=nan(4), camera=np.tile(np.eye(3, dtype=np.float32), (FRAMES, 1, 1)),
        bat_px=nan(2, 2), bat_confidence=np.zeros(FRAMES, np.float32), ball_px=nan(2),
    )  # fmt: skip


@pytest.fixture
def fake(tmp_path, products, settings, monkeypatch):
    """The folder that steers the stand-in (see fake_analysis.py)."""
    home = tmp_path / "fake"
    shutil.copytree(products, home / "products")
    empty_tracks().save(home / "tracks.npz")
    monkeypatch.setenv("CAGENOTE_FAKE", str(home))
    settings.ANALYSIS_COMMAND = [sys.executable, str(FAKE)]
    settings.DATA_DIR = tmp_path / "data"
    return home


def runs(home: Path) -> int:
    """How often the stand-in was started."""
    path = home / "runs"
    return len(path.read_text().splitlines()) if path.exists() else 0


@pytest.fixture
def waiting_clip(submission):
    """A clip that was received and waits for a worker; its message is not sent."""
    clip = make_waiting_clip(submission(State.RECEIVED))
    return clip


def make_waiting_clip(submission, body: bytes = b"film") -> Clip:
    clip = Clip(submission=submission, name="swing.mov", size=len(body))
    clip.original.save("x", ContentFile(body), save=False)
    clip.save()
    Measurement.objects.create(clip=clip)
    return clip


@pytest.fixture
def newer_method(monkeypatch):
    """A method that is one better, and reads every knee so many degrees more."""

    def come(more: float = 0.0) -> None:
        monkeypatch.setattr(door, "METHOD", door.METHOD + 1)
        real = door.read_tracks

        def read_otherwise(*given):
            result = real(*given)
            for swing in result["swings"]:
                for reading in swing["readings"]:
                    if reading["checkpoint"] == "down_front_knee" and reading["value"] is not None:
                        bend_more(reading, more)
            return result

        monkeypatch.setattr(door, "read_tracks", read_otherwise)

    return come


def bend_more(reading, more: float) -> None:
    reading["value"] += more
    reading["interval"] = [end + more for end in reading["interval"]]
    reading["call"] = calls.call_for(tuple(reading["interval"]), tuple(reading["band"]))
