"""Onsets in sound: against clicks whose times are known, and through a real encoder with its lead-in."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from scipy.signal import butter, sosfilt

from analysis.watch.sound import BAND_HZ, BLOCK, HOP_S, ORDER, RATE, band_passed, hear, listen


def click(rate: int, seconds: float, at: list[float], noise: float = 0.003, seed: int = 3) -> np.ndarray:
    """Noise with sharp, quickly fading bursts that begin at the given times."""
    rng = np.random.default_rng(seed)
    wave = noise * rng.standard_normal(round(seconds * rate))
    fade = np.exp(-np.arange(round(0.02 * rate)) / (0.004 * rate)) * rng.standard_normal(round(0.02 * rate))
    for time in at:
        first = round(time * rate)
        wave[first : first + len(fade)] += 0.5 * fade
    return wave


def test_clicks_are_found_to_two_milliseconds() -> None:
    times = [0.4, 1.2345, 1.9]
    heard = hear(click(RATE, 2.5, times), 0.0, RATE)
    loudest = np.sort(heard.peaks_s[np.argsort(-heard.peak_strength)[:3]])
    np.testing.assert_allclose(loudest, times, atol=0.002)


@pytest.mark.parametrize("length", [1300, BLOCK, BLOCK + 1, 3 * BLOCK - 7])
def test_the_band_is_what_scipys_filter_leaves(length: int) -> None:
    wave = np.random.default_rng(5).standard_normal(length)
    theirs = sosfilt(butter(ORDER, BAND_HZ, btype="bandpass", fs=RATE, output="sos"), wave)
    np.testing.assert_allclose(band_passed(wave, RATE), theirs, atol=1e-12)


def test_the_envelope_is_fine_enough_and_never_negative() -> None:
    heard = hear(click(RATE, 1.0, [0.5]), 2.0, RATE)
    assert HOP_S <= 0.002
    np.testing.assert_allclose(np.diff(heard.time_s), HOP_S, atol=1e-9)
    assert heard.time_s[0] == 2.0
    assert heard.level.min() >= 0
    assert heard.time_s[heard.level.argmax()] == pytest.approx(2.5, abs=0.006)


def test_a_low_thud_and_a_steady_tone_are_no_crack() -> None:
    time = np.arange(RATE * 2) / RATE
    wave = 0.3 * np.sin(2 * np.pi * 120 * time) * (time > 1.0) + 0.2 * np.sin(2 * np.pi * 3000 * time)
    wave += 0.002 * np.random.default_rng(1).standard_normal(len(time))
    cracked = wave + click(RATE, 2.0, [1.5], 0.0)
    heard = hear(cracked, 0.0, RATE)
    assert heard.peaks_s[heard.peak_strength.argmax()] == pytest.approx(1.5, abs=0.003)


@pytest.mark.parametrize("loudness", [1e-3, 1.0])
def test_strength_does_not_hang_on_the_phones_volume(loudness: float) -> None:
    usual = hear(click(RATE, 1.0, [0.5]), 0.0, RATE).peak_strength.max()
    assert hear(loudness * click(RATE, 1.0, [0.5]), 0.0, RATE).peak_strength.max() == pytest.approx(usual, rel=0.02)


def test_nothing_is_heard_in_silence() -> None:
    assert len(hear(np.zeros(RATE), 0.0, RATE).peaks_s) == 0
    assert len(hear(np.zeros(0), 0.0, RATE).time_s) == 0


@pytest.mark.parametrize(
    ("codec", "suffix", "rate"), [("aac", ".mp4", 48_000), ("aac", ".mov", 44_100), ("libopus", ".webm", 48_000)]
)
def test_a_click_keeps_its_time_through_an_encoder(tmp_path: Path, codec: str, suffix: str, rate: int) -> None:
    path = tmp_path / f"clip{suffix}"
    wave = click(rate, 1.6, [0.9])
    picture_codec = "libvpx" if suffix == ".webm" else "libx264"
    with av.open(str(path), "w") as container:
        picture = container.add_stream(picture_codec, rate=30)
        picture.width, picture.height, picture.pix_fmt = 128, 128, "yuv420p"
        sound = container.add_stream(codec, rate=rate, layout="mono")
        for index in range(48):
            frame = av.VideoFrame.from_ndarray(np.full((128, 128, 3), index, np.uint8), format="rgb24")
            frame.pts, frame.time_base = index, Fraction(1, 30)
            container.mux(picture.encode(frame))
        container.mux(picture.encode(None))
        piece = av.AudioFrame.from_ndarray(wave.astype(np.float32)[None], format="fltp", layout="mono")
        piece.sample_rate, piece.pts = rate, 0
        form = av.AudioResampler(
            format=sound.codec_context.format, layout="mono", rate=rate, frame_size=sound.codec_context.frame_size
        )
        for part in [*form.resample(piece), *form.resample(None)]:
            container.mux(sound.encode(part))
        container.mux(sound.encode(None))
    heard = listen(path)
    assert heard.peaks_s[heard.peak_strength.argmax()] == pytest.approx(0.9, abs=0.004)
