"""Film speed: slow motion is noticed, times wait for a coach's word, and the word settles them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from analysis.read import Result, read
from analysis.read.speed import judge_speed, tagged_factor
from tests.analysis.read.motion import Film, film_swing

TIMES = ("time_to_start", "start_to_contact", "down_to_contact")
SLOW = Film(slow=8.0, fps=30.0, noise_px=1.0)


def values(result: Result) -> list[float | None]:
    return [result.swings[0].reading(name).value for name in TIMES]


def test_real_time_is_real_time() -> None:
    film = read(film_swing(Film(noise_px=1.0))).film
    assert (film.speed_factor, film.speed_suspect, film.speed_source) == (1.0, False, "measured")


def test_a_swing_that_takes_a_second_is_suspect_and_its_times_wait() -> None:
    result = read(film_swing(SLOW))
    assert result.film.speed_suspect
    assert result.film.speed_factor is None
    for name in TIMES:
        reading = result.swings[0].reading(name)
        assert (reading.value, reading.call) == (None, "not readable")
        assert reading.reason == (
            "The film seems to run 8 times slower than life, so times cannot be told yet. "
            "Confirm the film speed, and all times are read."
        )


def test_positions_are_read_whatever_the_speed() -> None:
    slow, real = read(film_swing(SLOW)).swings[0], read(film_swing(Film(noise_px=1.0))).swings[0]
    assert slow.reading("down_stride_length").value == pytest.approx(real.reading("down_stride_length").value, abs=3.0)


def test_a_coachs_factor_gives_true_times() -> None:
    settled = read(film_swing(SLOW), {"speed_factor": 8.0})
    assert (settled.film.speed_factor, settled.film.speed_source) == (8.0, "coach")
    for got, true in zip(values(settled), values(read(film_swing(Film(noise_px=1.0)))), strict=True):
        assert got == pytest.approx(true, abs=35.0)


def test_half_speed_settled_by_a_coach_reads_like_real_time() -> None:
    half = read(film_swing(Film(slow=2.0, noise_px=1.0)), {"speed_factor": 2.0}).swings[0].reading("down_to_contact")
    real = read(film_swing(Film(noise_px=1.0))).swings[0].reading("down_to_contact")
    assert half.value == pytest.approx(real.value, abs=20.0)


def test_a_makers_tag_is_noticed_but_is_no_proof() -> None:
    tracks = film_swing(Film(noise_px=1.0))
    tagged = replace(tracks, clip=tracks.clip | {"capture_fps": 240.0})
    assert tagged_factor(tagged.clip) == pytest.approx(4.0)
    film = read(tagged).film
    assert film.speed_suspect
    assert film.speed_factor is None


@pytest.mark.parametrize(
    ("capture", "shown", "factor"), [(None, 60.0, 1.0), (60.0, 60.0, 1.0), (240.0, 30.0, 8.0), (30.0, 60.0, 1.0)]
)
def test_a_tag_means_slow_motion_only_where_it_is_faster_than_shown(
    capture: float | None, shown: float, factor: float
) -> None:
    assert tagged_factor({"capture_fps": capture, "measured_fps": shown}) == factor


def test_one_slow_swing_among_quick_ones_is_no_slow_motion() -> None:
    assert not judge_speed({}, [0.15, 0.17, 0.9], 1.0, None).suspect
    assert judge_speed({}, [0.8, 0.9, 0.15], 1.0, None).suspect
