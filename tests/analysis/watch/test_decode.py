"""Every frame, upright, with its exact time: against the number each frame carries and against ffprobe (Debian's ffmpeg)."""

from __future__ import annotations

import json
import shutil
import subprocess
import tracemalloc
from pathlib import Path

import numpy as np
import pytest

from analysis.watch.container import read_header
from analysis.watch.decode import frames, scaled_size
from tests.films.numbered import frame_times, read_number, write_clip

pytestmark = pytest.mark.slow  # real video files

needs_ffprobe = pytest.mark.skipif(shutil.which("ffprobe") is None, reason="ffprobe (Debian's ffmpeg) is not installed")


def probed_times(path: Path) -> list[float]:
    """The presentation times of all frames, as ffprobe tells them."""
    command = [
        "ffprobe",
        "-v",
        "error",
        "-select_streams",
        "v",
        "-show_entries",
        "frame=pts_time",
        "-of",
        "json",
        str(path),
    ]
    done = subprocess.run(command, capture_output=True, check=True, text=True)
    return [float(frame["pts_time"]) for frame in json.loads(done.stdout)["frames"]]


@pytest.mark.parametrize("rotation", [0, 90, 180, 270])
def test_a_turned_clip_comes_out_upright(tmp_path: Path, rotation: int) -> None:
    path = tmp_path / "clip.mp4"
    write_clip(path, frames=12, size=(320, 480), rotation=rotation)
    numbers = []
    for frame in frames(path):
        picture = frame.rgb()
        assert picture.shape == (480, 320, 3)
        assert frame.size == (320, 480)
        assert picture.flags.c_contiguous
        numbers.append(read_number(picture))
    assert numbers == list(range(12))


@needs_ffprobe
@pytest.mark.parametrize(
    ("name", "codec", "fps", "b_frames", "jitter"),
    [
        ("h264.mp4", "h264", 60, 0, 0.0),
        ("b_frames.mov", "h264", 30, 2, 0.0),
        ("variable.mp4", "h264", 30, 0, 0.8),
        ("fast.mp4", "h264", 240, 0, 0.0),
        ("hevc.mov", "hevc", 60, 0, 0.0),
        ("vp9.webm", "vp9", 30, 0, 0.0),
    ],
)
def test_times_and_order_are_those_of_ffprobe(
    tmp_path: Path, name: str, codec: str, fps: int, b_frames: int, jitter: float
) -> None:
    path = tmp_path / name
    times = frame_times(30, fps, jitter)
    written = write_clip(path, frames=30, fps=fps, size=(320, 240), codec=codec, times=times, b_frames=b_frames)
    seen = list(frames(path))
    assert [read_number(frame.rgb()) for frame in seen] == list(range(30))
    found = np.array([frame.time_s for frame in seen])
    np.testing.assert_allclose(found, probed_times(path), atol=1e-6)
    np.testing.assert_allclose(np.diff(found), np.diff(written), atol=1.1e-3)  # WebM keeps whole milliseconds


def test_a_width_that_decoders_pad_still_gives_whole_pictures(tmp_path: Path) -> None:
    path = tmp_path / "odd.mp4"
    write_clip(path, frames=3, size=(426, 320))
    for frame in frames(path):
        assert frame.rgb().shape == (320, 426, 3)
        assert frame.rgb().flags.c_contiguous
        assert frame.gray(0.5).shape == (160, 212)


def test_shrinking_keeps_the_picture(tmp_path: Path) -> None:
    path = tmp_path / "clip.mp4"
    write_clip(path, frames=4, size=(1280, 720))
    assert [read_number(frame.rgb(0.4)) for frame in frames(path)] == [0, 1, 2, 3]
    assert scaled_size(1280, 720, 0.4) == (512, 288)


def test_ten_bit_film_is_decoded(tmp_path: Path) -> None:
    if shutil.which("ffmpeg") is None:
        pytest.skip("ffmpeg (Debian) is not installed")
    plain, deep = tmp_path / "plain.mp4", tmp_path / "deep.mov"
    write_clip(plain, frames=8, size=(320, 240))
    command = ["ffmpeg", "-v", "error", "-i", str(plain), "-c:v", "libx265", "-pix_fmt", "yuv420p10le", "-x265-params"]
    subprocess.run([*command, "log-level=none", "-tag:v", "hvc1", str(deep)], check=True)
    assert [read_number(frame.rgb()) for frame in frames(deep)] == list(range(8))


def test_the_header_tells_what_the_file_claims(tmp_path: Path) -> None:
    path = tmp_path / "clip.mp4"
    write_clip(path, frames=60, fps=240, size=(320, 240))
    header = read_header(path)
    assert (header.codec, header.container, header.coded_width, header.coded_height) == ("h264", "mov", 320, 240)
    assert header.nominal_fps == pytest.approx(240)
    assert header.duration_s == pytest.approx(0.25, abs=0.01)
    assert header.declared_frames == 60
    assert not header.has_sound


def test_a_long_clip_is_streamed(tmp_path: Path) -> None:
    path = tmp_path / "long.mp4"
    write_clip(path, frames=400, fps=60, size=(640, 480))
    tracemalloc.start()
    count = sum(frame.rgb().shape == (480, 640, 3) for frame in frames(path))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert count == 400
    assert peak < 12 * 640 * 480 * 3  # a few pictures, never all 400
