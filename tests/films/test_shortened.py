"""A shortened film shows the very pictures of the whole one, at their times."""

from __future__ import annotations

from pathlib import Path

import av
import numpy as np
import pytest

from tests.films.shortened import OUT, ROWAN, shortened


def shown(film: Path, first: int, last: int) -> tuple[list[float], list[np.ndarray]]:
    """Times of some frames, and the first and the last of them."""
    with av.open(str(film)) as container:
        frames = list(container.decode(video=0))[first : last + 1]
        return [frame.time - frames[0].time for frame in frames], [frames[n].to_ndarray() for n in (0, -1)]


@pytest.mark.slow
def test_it_has_the_pictures_of_the_whole_film_at_their_times() -> None:
    name, first, last = ROWAN
    times, pictures = shown(shortened(*ROWAN), 0, 10_000)
    expected_times, expected = shown(OUT / f"{name}.mp4", first, last)
    assert times == pytest.approx(expected_times, abs=1e-6)
    assert all(np.array_equal(own, whole) for own, whole in zip(pictures, expected, strict=True))
