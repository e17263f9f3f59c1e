"""Listen for the crack of contact: band-limited onset strength with exact times."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import maximum_filter1d, median_filter

from analysis.watch.caps import MAX_DURATION_S, MAX_SOUND_S
from analysis.watch.container import opened

RATE = 24_000  # Hz: enough for the band, whatever the file's own rate
BAND_HZ = (1_500.0, 9_000.0)  # a bat's crack; voices and wind lie mostly below (common practice, no source)
ORDER = 4  # of the filter that leaves that band
BLOCK = 1 << 14  # samples filtered at once; what a sound leaves in the filter has died away within as many
HOP_S = 0.001
WINDOW_S = 0.003
QUIET_S = 0.25  # over which the usual level is taken
PEAK_APART_S = 0.06
MIN_PEAK = 3.0  # strengths of the usual rise
MAX_PEAKS = 40
AROUND_S = 1.0  # before the first picture and after the last one: as much sound is kept

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Heard:
    """Onset strength `level` [M] at `time_s` [M], and its peaks: times [N] refined on the waveform, strengths [N].

    Level and strength are rises of the band's loudness in decibels over the time before.
    """

    time_s: Floats
    level: Floats
    peaks_s: Floats
    peak_strength: Floats


SILENCE = Heard(np.zeros(0), np.zeros(0), np.zeros(0), np.zeros(0))


def listen(path: Path, origin_s: float = 0.0, length_s: float = MAX_DURATION_S) -> Heard:
    """Decode the clip's first sound stream and find its onsets; SILENCE when it can't be decoded.

    origin_s  the first picture's time in the file's own counting: times are told from there, as those of pictures are
    length_s  how long the pictures go on; sound far before or behind them is left out
    """
    start_s, wave = decode_sound(path, origin_s, length_s)
    return hear(wave, start_s, RATE)


def decode_sound(path: Path, origin_s: float = 0.0, length_s: float = MAX_DURATION_S) -> tuple[float, Floats]:
    """Return the time of the first sample, s, and the mono waveform [n] at RATE, -1..1, laid out by its decoded timestamps.

    origin_s and length_s as for `listen`; time 0 and no sample where nothing can be decoded.
    """
    pieces: list[tuple[float, Floats]] = []
    with opened(path) as (container, _):
        if not container.streams.audio:
            return 0.0, np.zeros(0)
        for at, values in _mono(container):
            start = at - origin_s if at is not None else _next(pieces)
            if start > length_s + AROUND_S:
                break
            if start + len(values) / RATE >= -AROUND_S:
                pieces.append((start, values))
    return _laid_out(pieces)


def hear(wave: Floats, start_s: float, rate: int) -> Heard:
    """Find the onsets in a mono waveform [n] whose first sample is at `start_s`."""
    if len(wave) < rate * 0.05:
        return SILENCE
    band = band_passed(wave, rate)
    hop, window = round(HOP_S * rate), round(WINDOW_S * rate)
    power = np.convolve(band**2, np.ones(window) / window, mode="full")[: len(band)][::hop]
    loud = 10 * np.log10(power + _floor(power))
    before = median_filter(loud, round(QUIET_S / HOP_S), mode="nearest")
    rise = np.maximum(loud - np.maximum(before, _shifted(loud, round(0.02 / HOP_S))), 0.0)
    level = np.maximum(rise - np.median(rise), 0.0)
    time_s = start_s + np.arange(len(level)) * hop / rate
    peaks = _peaks(level)
    times = np.array([start_s + _onset(band, peak * hop, rate) / rate for peak in peaks])
    order = np.argsort(times)
    return Heard(time_s, level, times[order], level[peaks][order])


def band_passed(wave: Floats, rate: int) -> Floats:
    """What a waveform [n] holds in BAND_HZ, [n], as a Butterworth filter of that order leaves it, with its delay.

    Filtered by its response block by block: SciPy's filters would do the same, and take longer to load than a clip's sound to hear.
    """
    # By the bilinear transform: digital frequency to analog, then the band to the low-pass prototype.
    s = 1j * np.tan(np.pi / 2 * np.arange(1, BLOCK) / BLOCK)
    low, high = np.tan(np.pi * np.array(BAND_HZ) / rate)
    low_pass = (s**2 + low * high) / (s * (high - low))
    poles = np.exp(1j * np.pi * (0.5 + (np.arange(ORDER) + 0.5) / ORDER))
    response = np.pad(1 / np.prod(low_pass[:, None] - poles, axis=1), 1)  # nothing passes at either end
    band = np.zeros(len(wave) + 2 * BLOCK)
    for first in range(0, len(wave), BLOCK):
        part = np.fft.rfft(wave[first : first + BLOCK], 2 * BLOCK)
        band[first : first + 2 * BLOCK] += np.fft.irfft(part * response, 2 * BLOCK)
    return band[: len(wave)]


def _mono(container: av.container.InputContainer) -> Iterator[tuple[float | None, Floats]]:
    """Yield the sound in mono at RATE, piece by piece with the time of each, until it ends or can't be mixed."""
    to_mono, source, heard = None, None, 0.0
    for frame in _sound_frames(container):
        heard += frame.samples / max(1, frame.sample_rate)
        if heard > MAX_SOUND_S:
            return
        if source != (source := (frame.format.name, frame.layout.nb_channels, frame.sample_rate)):
            to_mono = av.AudioResampler(format="flt", layout="mono", rate=RATE)  # sound may change on the way
        assert to_mono is not None
        try:
            values = [piece.to_ndarray()[0].astype(np.float64) for piece in to_mono.resample(frame)]
        except (av.error.FFmpegError, ValueError):  # more loudspeakers than can be mixed: as good as silent
            return
        if values:
            at = float(frame.pts * frame.time_base) if frame.pts is not None and frame.time_base else None
            yield at, np.nan_to_num(np.concatenate(values))


def _sound_frames(container: av.container.InputContainer) -> Iterator[av.AudioFrame]:
    stream = container.streams.audio[0]
    if stream.codec_context is None:  # no decoder for it
        return
    _name_no_places(stream)
    packets = container.demux(stream)
    while True:
        try:
            packet = next(packets)
        except (StopIteration, av.error.FFmpegError):
            return
        try:
            yield from packet.decode()
        except av.error.FFmpegError:
            continue


def _name_no_places(stream: av.AudioStream) -> None:
    """Take the loudspeakers' places out of a sound whose channels stand in an order of their own.

    PyAV (18.1) keeps such an order by its address alone and frees it twice, at the latest with the second frame.
    """
    layout = stream.codec_context.layout
    if "(" in layout.name:  # as in "8 channels (FL+FR+…)"
        stream.codec_context.layout = f"{layout.nb_channels} channels"


def _next(pieces: list[tuple[float, Floats]]) -> float:
    return pieces[-1][0] + len(pieces[-1][1]) / RATE if pieces else 0.0


def _laid_out(pieces: list[tuple[float, Floats]]) -> tuple[float, Floats]:
    """Put the pieces where their timestamps say: gaps stay silent, an encoder's lead-in is where the file puts it."""
    if not pieces:
        return 0.0, np.zeros(0)
    start = pieces[0][0]
    end = max(at + len(values) / RATE for at, values in pieces)
    wave = np.zeros(round((end - start) * RATE) + 1)
    for at, values in pieces:
        first = max(0, round((at - start) * RATE))
        wave[first : first + len(values)] = values[: len(wave) - first]
    return start, wave


def _floor(power: Floats) -> float:
    """A thousandth of the loudest moment: keeps digital silence from making a whisper look like a crack."""
    return float(power.max()) * 1e-4 + 1e-12


def _shifted(values: Floats, steps: int) -> Floats:
    return np.concatenate([np.full(steps, values[0]), values[:-steps]])


def _peaks(level: Floats) -> NDArray[np.intp]:
    near = maximum_filter1d(level, 2 * round(PEAK_APART_S / HOP_S) + 1)
    found = np.flatnonzero((level == near) & (level >= MIN_PEAK))
    return found[np.argsort(-level[found])][:MAX_PEAKS]


def _onset(band: Floats, about: int, rate: int) -> float:
    """Return the sample at which the crack, near `about`, first rises by a quarter of its height above what was before."""
    first = max(0, about - round(0.03 * rate))
    quiet = np.abs(band[first : max(first + 1, about - round(0.012 * rate))])
    near = max(0, about - round(0.012 * rate))
    part = np.abs(band[near : about + round(0.006 * rate)])
    least = float(quiet.max()) + 0.25 * max(float(part.max()) - float(quiet.max()), 0.0)
    return float(near + int(np.argmax(part >= least)))
