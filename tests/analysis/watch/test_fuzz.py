"""Good clips with bytes changed at random, the same ones in every run: nothing falls over, nothing grows."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from tests.films.zoo.good import clip
from tests.films.zoo.keeper import FirstSteps

pytestmark = [
    pytest.mark.slow,  # real video files
    pytest.mark.skipif(shutil.which("ffmpeg") is None, reason="ffmpeg (Debian's) is not installed"),
]

TRIES = 60
INTERESTING = (0, 1, 0x7F, 0x80, 0xFF)


def spoilt(data: bytes, noise: random.Random, first: int, end: int) -> bytes:
    """Change some bytes between two places: single ones, a run of one value, or a piece moved over another."""
    held = bytearray(data)
    for _ in range(noise.choice((1, 1, 2, 5, 20))):
        at = noise.randrange(first, end)
        match noise.randrange(4):
            case 0:
                held[at] = noise.randrange(256)
            case 1:
                held[at] ^= 1 << noise.randrange(8)
            case 2:
                held[at : at + 4] = bytes([noise.choice(INTERESTING)]) * min(4, len(held) - at)
            case _:
                piece = held[(start := noise.randrange(first, end)) : start + noise.randrange(1, 64)]
                held[at : at + len(piece)] = piece[: len(held) - at]
    return bytes(held)


@pytest.mark.parametrize("suffix", [".mp4", ".mkv"])
@pytest.mark.parametrize("part", ["head", "anywhere"])
def test_changed_bytes_never_end_in_a_trace(suffix: str, part: str, tmp_path: Path) -> None:
    data = clip(suffix)
    noise = random.Random(f"{suffix} {part}")
    index = data.find(b"moov") if suffix == ".mp4" else 0
    first, end = (index, min(len(data), index + 1500)) if part == "head" else (0, len(data))
    worst: dict[str, object] = {}
    with FirstSteps() as first_steps:
        for number in range(TRIES):
            path = tmp_path / f"{number}{suffix}"
            path.write_bytes(spoilt(data, noise, first, end))
            told = first_steps.take(path)
            assert told["end"] != "traceback", told["words"]
            assert not told["end"].startswith("signal"), path
            worst = max(worst, told, key=lambda one: one.get("most_mb", 0))
            path.unlink()
    assert worst["most_mb"] < 500
