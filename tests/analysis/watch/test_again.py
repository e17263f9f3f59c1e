"""Frames looked at once more are the same frames, to the pixel, wherever their key pictures lie."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from analysis.watch import again
from analysis.watch.again import frames_again
from analysis.watch.decode import frames
from tests.films.numbered import SOUND_RATE, frame_times, read_number, write_clip

pytestmark = pytest.mark.slow  # real video files

COUNT = 150
WANTED = [3, 61, 62, 90, 149]


def again_and_before(path: Path, wanted: list[int]) -> tuple[list[tuple[int, float]], list[tuple[int, float]], bool]:
    """Index and time of the frames again and in the first decoding; and whether their pictures are the same."""
    first = list(frames(path))
    second = list(frames_again(path, wanted, np.array([frame.time_s for frame in first])))
    same = all(np.array_equal(frame.rgb(), first[frame.index].rgb()) for frame in second)
    return [(f.index, f.time_s) for f in second], [(first[at].index, first[at].time_s) for at in wanted], same


@pytest.mark.parametrize(
    ("name", "codec", "gop", "b_frames", "jitter", "rotation"),
    [
        ("plain.mp4", "h264", 30, 0, 0.0, 0),
        ("b_frames.mov", "h264", 12, 3, 0.0, 90),
        ("variable.mp4", "h264", 30, 2, 0.8, 0),
        ("one_key.mp4", "h264", 400, 2, 0.0, 0),
        ("hevc.mov", "hevc", 30, 3, 0.0, 270),
        ("vp9.webm", "vp9", 30, 0, 0.0, 0),
    ],
)
def test_frames_again_are_those_of_the_first_decoding(
    tmp_path: Path, name: str, codec: str, gop: int, b_frames: int, jitter: float, rotation: int
) -> None:
    path, times = tmp_path / name, frame_times(COUNT, 60, jitter)
    how = {"codec": codec, "gop": gop, "b_frames": b_frames, "rotation": rotation}
    write_clip(path, frames=COUNT, fps=60, size=(320, 240), times=times, sound=None if codec == "vp9" else np.zeros(SOUND_RATE), **how)
    found, expected, same = again_and_before(path, WANTED)
    assert found == expected
    assert same


@pytest.mark.parametrize(
    "kind",
    ["open-gop=1:bframes=4:b-pyramid=2:keyint=25", "intra-refresh=1:keyint=25", "open-gop=1:bframes=4:keyint=25"],
)
@pytest.mark.parametrize("suffix", [".mp4", ".mkv"])
def test_pictures_that_lean_on_others_beyond_a_key_picture_are_whole(tmp_path: Path, kind: str, suffix: str) -> None:
    if shutil.which("ffmpeg") is None:
        pytest.skip("ffmpeg (Debian) is not installed")
    plain, path = tmp_path / "plain.mp4", tmp_path / f"clip{suffix}"
    write_clip(plain, frames=COUNT, fps=60, size=(320, 240))
    encode = ["-c:v", "libx265" if "pyramid" not in kind and "intra" not in kind else "libx264"]
    encode += ["-x265-params", f"log-level=none:{kind}"] if "libx265" in encode else ["-x264-params", kind]
    subprocess.run(["ffmpeg", "-v", "error", "-i", str(plain), *encode, str(path)], check=True)
    every = list(range(0, COUNT, 7))
    found, expected, same = again_and_before(path, every)
    assert found == expected
    assert same


def test_most_of_a_film_is_not_decoded_for_one_frame_near_its_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "clip.mp4"
    write_clip(path, frames=COUNT, fps=60, size=(320, 240), gop=30)
    time_s = np.array([frame.time_s for frame in frames(path)])
    seen = 0
    known = again.decoded

    def counted(container: object, stream: object) -> object:
        nonlocal seen
        for source in known(container, stream):
            seen += 1
            yield source

    monkeypatch.setattr(again, "decoded", counted)
    assert [read_number(frame.rgb()) for frame in frames_again(path, [140], time_s)] == [140]
    assert 0 < seen <= 60


def test_where_the_times_are_not_the_files_own_the_film_is_decoded_from_its_beginning(tmp_path: Path) -> None:
    path = tmp_path / "clip.mp4"
    write_clip(path, frames=60, fps=60, size=(320, 240))
    mended = np.array([frame.time_s for frame in frames(path)])
    mended[30:] += 0.004  # as after a slip of the encoder
    assert [read_number(frame.rgb()) for frame in frames_again(path, [29, 45], mended)] == [29, 45]


def test_nothing_wanted_gives_nothing(tmp_path: Path) -> None:
    assert list(frames_again(tmp_path / "not there.mp4", [], np.zeros(0))) == []
