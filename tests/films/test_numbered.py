"""The numbered clip says in every decoded frame which frame it is.

Outside check: ffmpeg and ffprobe (Debian's) decode, turn and time the files; they share no code with the reader here.
"""

from __future__ import annotations

import io
import json
import shutil
import subprocess
from pathlib import Path

import av
import numpy as np
import pytest
from PIL import Image

from tests.films.numbered import NumberUnreadable, frame_picture, frame_times, read_number, write_clip

pytestmark = pytest.mark.slow  # real video files

needs_ffmpeg = pytest.mark.skipif(
    shutil.which("ffmpeg") is None or shutil.which("ffprobe") is None, reason="ffmpeg and ffprobe are not installed"
)


def decoded_numbers(path: Path) -> list[int]:
    with av.open(str(path)) as container:
        return [read_number(frame.to_ndarray(format="rgb24")) for frame in container.decode(video=0)]


def upright_by_ffmpeg(path: Path, size: tuple[int, int]) -> list[int]:
    """Numbers read from ffmpeg's own decoding, which turns the picture as the file asks."""
    command = [
        "ffmpeg",
        "-v",
        "error",
        "-i",
        str(path),
        "-fps_mode",
        "passthrough",
        "-f",
        "rawvideo",
        "-pix_fmt",
        "rgb24",
        "-",
    ]
    raw = subprocess.run(command, check=True, capture_output=True).stdout
    pictures = np.frombuffer(raw, np.uint8).reshape(-1, size[1], size[0], 3)
    return [read_number(picture) for picture in pictures]


def times_by_ffprobe(path: Path) -> list[float]:
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
    frames = json.loads(subprocess.run(command, check=True, capture_output=True).stdout)["frames"]
    return [float(frame["pts_time"]) for frame in frames]


@pytest.mark.parametrize("number", [0, 1, 9, 255, 256, 4095, 43690, 65535])
def test_a_number_survives_jpeg_and_halving(number: int) -> None:
    small = Image.fromarray(frame_picture(number, 640, 360)).resize((320, 180))
    packed = io.BytesIO()
    small.save(packed, "JPEG", quality=60)
    assert read_number(Image.open(packed)) == number


def test_a_picture_of_two_frames_at_once_is_refused() -> None:
    mixed = (frame_picture(7, 640, 360) // 2 + frame_picture(8, 640, 360) // 2).astype(np.uint8)
    with pytest.raises(NumberUnreadable, match="is grey"):
        read_number(mixed)


def test_a_spoilt_bit_is_noticed() -> None:
    picture = frame_picture(12, 640, 360)
    picture[288:, :32] = picture[288:, :32][::-1]
    with pytest.raises(NumberUnreadable, match="check bits"):
        read_number(picture)


@pytest.mark.parametrize(("codec", "suffix"), [("h264", ".mp4"), ("hevc", ".mp4"), ("vp9", ".webm")])
def test_every_frame_of_each_codec_carries_its_number(tmp_path: Path, codec: str, suffix: str) -> None:
    path = tmp_path / f"numbered{suffix}"
    write_clip(path, frames=40, fps=60, size=(480, 270), codec=codec)
    assert decoded_numbers(path) == list(range(40))


@needs_ffmpeg
@pytest.mark.parametrize("rotation", [0, 90, 180, 270])
def test_a_turned_clip_stands_upright_in_ffmpeg(tmp_path: Path, rotation: int) -> None:
    path = tmp_path / "turned.mp4"
    write_clip(path, frames=12, size=(270, 480), rotation=rotation)
    assert upright_by_ffmpeg(path, (270, 480)) == list(range(12))


def test_pyav_reports_the_turn_and_leaves_the_picture_turned(tmp_path: Path) -> None:
    path = tmp_path / "turned.mp4"
    write_clip(path, frames=3, size=(270, 480), rotation=90)
    with av.open(str(path)) as container:
        frame = next(container.decode(video=0))
    assert (frame.width, frame.height, frame.rotation % 360) == (480, 270, 270)


@needs_ffmpeg
@pytest.mark.parametrize("b_frames", [0, 2])
def test_a_variable_rate_is_kept_to_the_tick(tmp_path: Path, b_frames: int) -> None:
    path = tmp_path / "variable.mp4"
    ticks = frame_times(50, 30, jitter=0.8)
    written = write_clip(path, frames=50, fps=30, size=(320, 180), times=ticks, b_frames=b_frames)
    assert np.ptp(np.diff(written)) > 0.01
    np.testing.assert_allclose(times_by_ffprobe(path), written, atol=1e-6)
    assert decoded_numbers(path) == list(range(50))


def test_a_wish_that_cannot_be_met_names_every_fault(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match=r"vp9 goes into \.webm.*rotation is 0.*even and at least"):
        write_clip(tmp_path / "x.mp4", codec="vp9", rotation=90, size=(33, 20))
