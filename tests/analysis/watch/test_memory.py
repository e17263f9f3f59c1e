"""What a pass leaves behind: at 4K every picture or decoder kept for nothing costs tens of megabytes."""

from __future__ import annotations

import gc
from pathlib import Path

from analysis.watch.decode import frames
from analysis.watch.memory import give_back
from tests.films.numbered import write_clip


def alive(kind: str) -> int:
    """How many objects of a class there are, also those that nobody can reach."""
    return sum(type(thing).__name__ == kind for thing in gc.get_objects())


def test_the_first_picture_is_not_kept(tmp_path: Path) -> None:
    """It was asked which way up it is, and so holds itself until the garbage is collected."""
    path = tmp_path / "clip.mp4"
    write_clip(path, frames=8, size=(320, 480))
    gc.collect()
    before = alive("VideoFrame")
    for frame in frames(path):
        if frame.index == 4:
            assert alive("VideoFrame") - before <= 2


def test_no_decoder_outlives_its_pass(tmp_path: Path) -> None:
    path = tmp_path / "clip.mp4"
    write_clip(path, frames=8, size=(320, 480))
    gc.collect()
    before = alive("VideoCodecContext")
    assert sum(1 for _ in frames(path)) == 8
    give_back()
    assert alive("VideoCodecContext") == before
