"""The same film in other ways: what was done to it, and nothing else."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np
import pytest

from .variants import VARIANTS, _clock, _sound, make

FILM = Path(__file__).parents[1] / "films" / "out" / "rowan_right_chest_uneven.mp4"


def pictures(film: Path, frame: int) -> np.ndarray:
    with av.open(str(film)) as container:
        for index, picture in enumerate(container.decode(video=0)):
            if index == frame:
                return picture.to_ndarray(format="rgb24").astype(float)
    raise IndexError(frame)


@pytest.mark.slow
@pytest.mark.parametrize("way", VARIANTS)
def test_pictures_keep_their_times_and_the_sound_its_crack(way: str, tmp_path: Path) -> None:
    variant, out = VARIANTS[way], tmp_path / "other.mp4"
    make(FILM, variant, out)
    times, other = _clock(FILM)[0], _clock(out)[0]
    assert other - other[0] == pytest.approx(times[variant.later :] - times[variant.later], abs=2e-5)
    crack, again = (np.argmax(np.abs(_sound(film))) / 48_000 for film in (FILM, out))
    assert again == pytest.approx(crack - (times[variant.later] - times[0]), abs=0.003)
    plain = variant.change(pictures(FILM, 40 + variant.later).astype(np.uint8)).astype(float)
    assert np.abs(pictures(out, 40) - plain).mean() < 6.0
