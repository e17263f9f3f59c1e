"""The same film as somebody else might have sent it: packed anew, scaled, cropped, mirrored, started later."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import av
import cv2
import numpy as np

from tests.films.encode import write
from tests.films.sound import RATE

__all__ = ["VARIANTS", "Variant", "make"]

Picture = np.ndarray


@dataclass(frozen=True)
class Variant:
    """What is done to each picture, how hard it is packed (as `tests.films.encode.write` counts), and frames left out at the start."""

    change: Callable[[Picture], Picture]
    quality: int = 20
    later: int = 0


def _as_it_is(picture: Picture) -> Picture:
    return picture


def _scaled(picture: Picture) -> Picture:
    high, wide = picture.shape[:2]
    return cv2.resize(picture, (int(wide * 0.375) * 2, int(high * 0.375) * 2), interpolation=cv2.INTER_AREA)


def _cropped(picture: Picture) -> Picture:
    """Six in a hundred off the left, two off the right, four off the top, two off the foot."""
    high, wide = picture.shape[:2]
    cut = picture[int(0.04 * high) : int(0.98 * high), int(0.06 * wide) : int(0.98 * wide)]
    return cut[: cut.shape[0] // 2 * 2, : cut.shape[1] // 2 * 2]


def _mirrored(picture: Picture) -> Picture:
    return picture[:, ::-1]


VARIANTS = {
    "packed anew": Variant(_as_it_is, quality=30),
    "scaled": Variant(_scaled),
    "cropped": Variant(_cropped),
    "mirrored": Variant(_mirrored),
    "started later": Variant(_as_it_is, later=7),
}


def make(film: Path, variant: Variant, out: Path) -> None:
    """Write the film anew, with its sound, at the times that its pictures had."""
    times, rate = _clock(film)
    samples = _sound(film)
    if samples is not None:
        samples = samples[round((times[variant.later] - times[0]) * RATE) :]
    left = times[variant.later :] - times[variant.later]
    write(out, _pictures(film, variant), left, samples, rate, variant.quality)


def _clock(film: Path) -> tuple[np.ndarray, float]:
    with av.open(str(film)) as container:
        times = np.array([float(frame.time) for frame in container.decode(video=0)])
        return times, float(container.streams.video[0].average_rate)


def _pictures(film: Path, variant: Variant) -> Iterator[Picture]:
    with av.open(str(film)) as container:
        for index, frame in enumerate(container.decode(video=0)):
            if index >= variant.later:
                yield variant.change(frame.to_ndarray(format="rgb24"))


def _sound(film: Path) -> np.ndarray | None:
    """Mono samples from the time of the first picture, or None of a silent film."""
    with av.open(str(film)) as container:
        if not container.streams.audio:
            return None
        resampler = av.AudioResampler(format="flt", layout="mono", rate=RATE)
        parts = [out.to_ndarray()[0] for frame in container.decode(audio=0) for out in resampler.resample(frame)]
        start = float(container.streams.audio[0].start_time or 0) * float(container.streams.audio[0].time_base)
    samples = np.concatenate(parts)
    return np.concatenate([np.zeros(round(start * RATE), np.float32), samples]) if start > 0 else samples
