"""Files that can't be measured: each is refused with its own code and a sentence that says what to do."""

from __future__ import annotations

import struct
from pathlib import Path

import av
import numpy as np
import pytest

from analysis.watch.container import read_header
from analysis.watch.decode import frames
from analysis.watch.errors import ClipError
from analysis.watch.facts import clip_facts
from tests.films.numbered import write_clip

pytestmark = pytest.mark.slow  # real video files


def refusal(path: Path) -> ClipError:
    """How the first steps of watching refuse `path`."""
    with pytest.raises(ClipError) as caught:
        take_first_steps(path)
    assert caught.value.words.endswith(".")
    return caught.value


def take_first_steps(path: Path) -> None:
    """Open the clip, decode all of it and gather its facts, as watching does."""
    header = read_header(path)
    times = [frame.time_s for frame in frames(path)]
    clip_facts(path, header, (0, 0), 0, np.array(times))


def write_sound(path: Path, seconds: float = 1.0) -> None:
    """Write a file that holds a tone and no picture."""
    with av.open(str(path), "w") as container:
        stream = container.add_stream("aac", rate=48_000, layout="mono")
        samples = np.sin(np.arange(round(seconds * 48_000)) * 0.06).astype(np.float32)[None]
        frame = av.AudioFrame.from_ndarray(samples, format="fltp", layout="mono")
        frame.sample_rate, frame.pts = 48_000, 0
        container.mux(stream.encode(frame))
        container.mux(stream.encode(None))


def claim_duration(path: Path, hours: float) -> None:
    """Make an MP4's movie header claim a length (mvhd of ISO/IEC 14496-12, version 0)."""
    data = bytearray(path.read_bytes())
    movie = data.index(b"mvhd") + 4
    scale = struct.unpack_from(">I", data, movie + 12)[0]
    struct.pack_into(">I", data, movie + 16, int(hours * 3600 * scale))
    path.write_bytes(data)


def test_a_missing_file(tmp_path: Path) -> None:
    assert refusal(tmp_path / "gone.mp4").code == "not_there"


def test_an_empty_file(tmp_path: Path) -> None:
    path = tmp_path / "empty.mp4"
    path.touch()
    error = refusal(path)
    assert error.code == "empty"
    assert "send the clip again" in error.words


def test_text_named_like_a_video(tmp_path: Path) -> None:
    path = tmp_path / "text.mp4"
    path.write_text("Dear coach, here is the swing.\n" * 50)
    assert refusal(path).code == "not_video"


def test_a_picture_format_is_not_handed_to_its_demuxer(tmp_path: Path) -> None:
    path = tmp_path / "list.mp4"
    path.write_text("#EXTM3U\n#EXTINF:1\nfile:///etc/hostname\n")
    assert refusal(path).code == "not_video"


def test_sound_only(tmp_path: Path) -> None:
    path = tmp_path / "sound.mp4"
    write_sound(path)
    assert refusal(path).code == "no_picture"


def test_a_single_pixel(tmp_path: Path) -> None:
    path = tmp_path / "dot.mkv"
    with av.open(str(path), "w") as container:
        stream = container.add_stream("ffv1", rate=30)
        stream.width = stream.height = 1
        stream.pix_fmt = "gray"
        for index in range(20):
            frame = av.VideoFrame.from_ndarray(np.zeros((1, 1), np.uint8), format="gray")
            frame.pts = index
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    error = refusal(path)
    assert error.code == "too_small"
    assert "1×1" in error.words


def test_ten_hours_claimed(tmp_path: Path) -> None:
    path = tmp_path / "endless.mp4"
    write_clip(path, frames=30, size=(320, 240))
    claim_duration(path, 10)
    error = refusal(path)
    assert error.code == "too_long"
    assert "10 hours" in error.words


def test_ten_hours_of_pictures(tmp_path: Path) -> None:
    path = tmp_path / "slow.mp4"
    times = np.arange(20) * 90_000 * 1800  # one picture every half an hour
    write_clip(path, frames=20, size=(320, 240), times=times)
    assert refusal(path).code == "too_long"


def test_cut_off_before_its_index(tmp_path: Path) -> None:
    path = tmp_path / "cut.mp4"
    with av.open(str(path), "w") as container:  # without faststart the index comes last
        stream = container.add_stream("libx264", rate=30)
        stream.width, stream.height, stream.pix_fmt = 320, 240, "yuv420p"
        noise = np.random.default_rng(1)
        for index in range(60):
            frame = av.VideoFrame.from_ndarray(noise.integers(0, 255, (240, 320, 3), np.uint8), format="rgb24")
            frame.pts = index
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    data = path.read_bytes()
    path.write_bytes(data[: len(data) // 2])
    error = refusal(path)
    assert error.code == "truncated"
    assert "cut off" in error.words


def test_cut_off_in_the_middle_is_measured_as_far_as_it_goes(tmp_path: Path) -> None:
    path = tmp_path / "half.mp4"
    write_clip(path, frames=120, size=(320, 240), gop=10)  # faststart: the index comes first
    data = path.read_bytes()
    path.write_bytes(data[: round(len(data) * 0.6)])
    found = list(frames(path))
    assert 40 < len(found) < 110
    facts = clip_facts(path, read_header(path), (320, 240), 0, np.array([frame.time_s for frame in found]))
    assert facts["cut_off"] is True
    assert facts["frames"] == len(found)


def test_hardly_begun(tmp_path: Path) -> None:
    path = tmp_path / "begun.mp4"
    write_clip(path, frames=120, size=(320, 240), gop=10)
    data = path.read_bytes()
    path.write_bytes(data[: round(len(data) * 0.1)])
    assert refusal(path).code == "truncated"


def test_more_than_4k(tmp_path: Path) -> None:
    path = tmp_path / "huge.mp4"
    write_clip(path, frames=2, size=(5120, 2880))
    assert refusal(path).code == "too_large"
