"""The sound for a browser: lossless, and laid out so that its first sample is the first picture's moment."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

from analysis.watch.sound import RATE, Floats, decode_sound

# FLAC is decoded to the sample by every browser; AAC would bring a lead-in that each takes off in its own way.
NAME = "sound.flac"
PIECE = 4096  # samples; no more than a frame of FLAC may hold


def write_sound(clip: Path, path: Path, origin_s: float, length_s: float) -> bool:
    """Write the sound of `clip` over its pictures to `path`; False, and no file, where it has none that is heard.

    origin_s  the first picture's time in the file's own counting
    length_s  from the first picture to the end of the last one

    Sample n is heard n / RATE seconds after the first picture, whatever the encoder of the phone put before it.
    """
    start_s, wave = decode_sound(clip, origin_s, length_s)
    laid = over_pictures(wave, start_s, length_s)
    if not laid.any():
        return False
    with av.open(str(path), "w", format="flac", options={"fflags": "+bitexact"}) as file:
        stream = file.add_stream("flac", rate=RATE, layout="mono", options={"flags": "+bitexact"})
        stream.codec_context.format = "s16"
        for frame in _pieces(laid):
            file.mux(stream.encode(frame))
        file.mux(stream.encode(None))
    return True


def over_pictures(wave: Floats, start_s: float, length_s: float) -> NDArray[np.int16]:
    """Return the samples [length_s × RATE] of a mono waveform in -1..1 that begins at `start_s`, cut or filled with silence."""
    laid = np.zeros(max(0, round(length_s * RATE)))
    first = round(start_s * RATE)
    part = wave[max(0, -first) : max(0, len(laid) - first)]
    at = max(0, first)
    laid[at : at + len(part)] = part
    return np.asarray(np.round(np.clip(laid, -1.0, 1.0) * 32767), dtype=np.int16)


def _pieces(laid: NDArray[np.int16]) -> Iterator[av.AudioFrame]:
    for start in range(0, len(laid), PIECE):
        frame = av.AudioFrame.from_ndarray(laid[None, start : start + PIECE], format="s16", layout="mono")
        frame.sample_rate, frame.pts, frame.time_base = RATE, start, Fraction(1, RATE)
        yield frame
