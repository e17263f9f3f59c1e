"""The small good clips that hostile ones are made of: moving test pictures and a tone, made once and kept."""

from __future__ import annotations

import functools
import tempfile
from pathlib import Path

from .kinds import ffmpeg

__all__ = ["PICTURES", "TONE", "clip", "sound", "source"]

PICTURES = 24
TONE = ("-f", "lavfi", "-i", "sine=frequency=700:duration=0.8")
FOLDER = Path(tempfile.mkdtemp(prefix="cagenote-zoo-"))


def source(
    size: str = "160x120", rate: float = 30, seconds: float = PICTURES / 30, what: str = "testsrc2"
) -> tuple[str, ...]:
    """ffmpeg's input of moving test pictures."""
    return ("-f", "lavfi", "-i", f"{what}=size={size}:rate={rate}:duration={seconds}")


@functools.cache
def clip(suffix: str = ".mp4", *arguments: str, with_sound: bool = True) -> bytes:
    """The bytes of a good clip of 24 pictures at 30 a second; an MP4's index lies behind the pictures."""
    path = FOLDER / f"good{abs(hash((suffix, arguments, with_sound)))}{suffix}"
    inputs = (*source(), *(TONE if with_sound else ()))
    codecs = (
        () if "-c:v" in arguments else ("-c:v", "libvpx" if suffix == ".webm" else "libx264", "-pix_fmt", "yuv420p")
    )
    ffmpeg(path, *codecs, "-g", "12", *arguments, inputs=inputs)
    return path.read_bytes()


@functools.cache
def sound(seconds: float, *arguments: str) -> bytes:
    """The bytes of a file that holds a tone alone."""
    path = FOLDER / f"tone{abs(hash((seconds, arguments)))}.mp4"
    ffmpeg(path, *arguments, inputs=("-f", "lavfi", "-i", f"sine=frequency=700:duration={seconds}"))
    return path.read_bytes()
