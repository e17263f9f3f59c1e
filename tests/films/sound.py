"""The sound track: a room's or field's hum, small steps, and the crack of contact when it reaches the phone."""

from __future__ import annotations

import numpy as np
from scipy.signal import butter, sosfilt

from .film import Film, Play

__all__ = ["RATE", "SPEED_OF_SOUND", "heard", "track"]

RATE = 48_000
SPEED_OF_SOUND = 343.0  # m/s at 20 degrees C


def heard(film: Film, play: Play) -> list[float]:
    """Times in seconds at which each crack begins at the phone."""
    return [
        t.contact + float(np.linalg.norm(spot - play.camera.place)) / SPEED_OF_SOUND
        for t, spot in zip(film.timings, play.meetings, strict=True)
    ]


def track(film: Film, play: Play) -> np.ndarray:
    """Mono samples [N] in -1..1 at ``RATE``, as long as the film."""
    draw = np.random.default_rng(film.seed)
    count = int(film.seconds * RATE)
    hum = sosfilt(butter(1, 300, "low", fs=RATE, output="sos"), draw.standard_normal(count)) * 0.02
    hiss = sosfilt(butter(2, [800, 5000], "band", fs=RATE, output="sos"), draw.standard_normal(count)) * 0.0025
    total = hum + hiss
    for number, begin in enumerate(heard(film, play)):
        _add(total, begin, _crack(draw, film.person == "child"))
        _add(total, film.timings[number].down + 0.015, _step(draw))
    return np.clip(total, -0.98, 0.98)


def _add(total: np.ndarray, at: float, burst: np.ndarray) -> None:
    start = round(at * RATE)
    stop = min(len(total), start + len(burst))
    total[start:stop] += burst[: stop - start]


def _crack(draw: np.random.Generator, light: bool) -> np.ndarray:
    """A knock of 40 ms: noise that dies away in 6 ms over two ringing tones of the wood, and a faint echo."""
    time = np.arange(int(0.18 * RATE)) / RATE
    band = sosfilt(butter(2, [900, 7000], "band", fs=RATE, output="sos"), draw.standard_normal(len(time)))
    knock = band * np.exp(-time / 0.006) * 0.9
    for tone, strength in ((1150.0 if not light else 1480.0, 0.35), (2350.0, 0.18)):
        knock += strength * np.sin(2 * np.pi * tone * time) * np.exp(-time / 0.011)
    echo = np.zeros_like(knock)
    late = int(0.047 * RATE)
    echo[late:] = knock[:-late] * 0.10
    return (knock + echo) * (0.55 if light else 0.75)


def _step(draw: np.random.Generator) -> np.ndarray:
    time = np.arange(int(0.09 * RATE)) / RATE
    thud = sosfilt(butter(2, 260, "low", fs=RATE, output="sos"), draw.standard_normal(len(time)))
    return thud * np.exp(-time / 0.02) * np.minimum(time / 0.006, 1) * 0.22
