"""Write a film's frames and sound into one file, as a phone does: H.264 and AAC in MP4, index at the front."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from pathlib import Path

import av
import numpy as np

from .sound import RATE

__all__ = ["write"]

TICKS = 90_000


def write(
    path: Path, pictures: Iterable[np.ndarray], times: np.ndarray, samples: np.ndarray | None, fps: float, quality: int
) -> None:
    """Encode ``pictures`` (RGB uint8 [H,W,3]) shown at ``times`` [F] seconds, with mono ``samples`` or silent."""
    with av.open(str(path), "w", options={"movflags": "+faststart"}) as container:
        video = container.add_stream("libx264", rate=Fraction(fps).limit_denominator(1001))
        video.pix_fmt = "yuv420p"
        video.time_base = video.codec_context.time_base = Fraction(1, TICKS)
        video.codec_context.gop_size = int(fps)
        video.options = {"preset": "medium", "crf": str(quality), "bf": "0", "tune": "animation", "threads": "1"}
        audio = None
        if samples is not None:
            audio = container.add_stream("aac", rate=RATE, layout="mono")
            audio.bit_rate = 80_000
        for time, picture in zip(times, pictures, strict=True):
            if video.width != picture.shape[1]:
                video.width, video.height = picture.shape[1], picture.shape[0]
            frame = av.VideoFrame.from_ndarray(np.ascontiguousarray(picture), format="rgb24")
            frame.pts, frame.time_base = round(float(time) * TICKS), Fraction(1, TICKS)
            container.mux(video.encode(frame))
        container.mux(video.encode())
        if audio is not None and samples is not None:
            _write_sound(container, audio, samples)


def _write_sound(container: av.container.OutputContainer, stream: av.AudioStream, samples: np.ndarray) -> None:
    loud = np.ascontiguousarray(samples, np.float32)
    for start in range(0, len(loud), 1024):
        frame = av.AudioFrame.from_ndarray(loud[None, start : start + 1024], format="fltp", layout="mono")
        frame.sample_rate, frame.pts, frame.time_base = RATE, start, Fraction(1, RATE)
        container.mux(stream.encode(frame))
    container.mux(stream.encode())
