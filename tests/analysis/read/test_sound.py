"""Contact by sound: the crack is taken back by its way through the air, and only heard inside the swing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analysis.read import read
from analysis.read.constants import SPEED_OF_SOUND
from analysis.read.hearing import distance_m, hear
from analysis.read.motion import clean_motion
from analysis.tracks import Tracks
from tests.analysis.read.motion import Film, changed, contact_times, film_swing

FILM = Film(sound=True, noise_px=1.5, depth_noise_m=0.02)


def contact(tracks: Tracks):  # type: ignore[no-untyped-def]
    return read(tracks).swings[0].instants["contact"]


def with_cracks(times: list[float], strengths: list[float]) -> Tracks:
    return replace(film_swing(FILM), sound_peaks_s=np.array(times), sound_peak_strength=np.array(strengths, np.float32))


def test_sound_travels_2_9_ms_a_metre() -> None:
    # Speed of sound in air of 20 degrees Celsius, 343 m/s.
    assert pytest.approx(2.9, abs=0.05) == 1000.0 / SPEED_OF_SOUND


def test_the_crack_gives_contact() -> None:
    found = contact(film_swing(FILM))
    assert found.source == "sound"
    assert found.time_s == pytest.approx(contact_times(FILM)[0], abs=0.012)
    assert found.interval_s[0] < contact_times(FILM)[0] < found.interval_s[1]


def test_a_crack_far_from_the_swing_belongs_to_someone_else() -> None:
    found = contact(with_cracks([0.4, 2.6], [50.0, 50.0]))
    assert found.source == "measured"
    assert found.time_s == pytest.approx(contact_times(FILM)[0], abs=0.02)


def test_a_lone_loud_crack_is_believed_where_the_picture_is_off() -> None:
    """Who moves like nobody before may be told 60 ms off: then the picture is wrong, and the interval says how unsure it is."""
    crack = float(contact_times(FILM)[0]) + 0.06
    heard = contact(with_cracks([crack + FILM.distance / SPEED_OF_SOUND], [40.0]))
    assert heard.source == "sound"
    assert heard.time_s == pytest.approx(crack, abs=0.015)
    assert heard.interval_s[1] - heard.interval_s[0] > 0.02


@pytest.mark.parametrize(("times", "strengths"), [([0.08], [5.0]), ([0.08, 0.3], [40.0, 40.0]), ([0.14], [40.0])])
def test_one_that_is_faint_or_not_alone_or_farther_off_is_not(times: list[float], strengths: list[float]) -> None:
    true = float(contact_times(FILM)[0]) + FILM.distance / SPEED_OF_SOUND
    found = contact(with_cracks([true + time for time in times], strengths))
    assert found.source == "measured"
    assert found.time_s == pytest.approx(contact_times(FILM)[0], abs=0.02)


def test_a_strong_crack_outweighs_a_weak_one_nearby() -> None:
    true = float(contact_times(FILM)[0]) + FILM.distance / SPEED_OF_SOUND
    found = contact(with_cracks([true, true + 0.012], [40.0, 0.5]))
    assert found.time_s == pytest.approx(contact_times(FILM)[0], abs=0.012)


def test_a_disagreement_widens_the_interval() -> None:
    agree = contact(film_swing(FILM)).interval_s
    differ = contact(film_swing(changed(FILM, sound_offset_s=0.035))).interval_s
    assert differ[1] - differ[0] > 1.2 * (agree[1] - agree[0])


def test_a_silent_clip_has_no_sound_and_slow_motion_none_to_trust() -> None:
    tracks = film_swing(FILM)
    motion = clean_motion(tracks)
    assert hear(replace(tracks, sound_peaks_s=np.zeros(0), sound_peak_strength=np.zeros(0)), motion) is None
    assert hear(tracks, replace(motion, slowdown=8.0)) is None


def test_the_distance_is_told_from_the_hitters_size() -> None:
    # A phone sees about 65 degrees across: 1000 px of focal length belong to 1250 px of width.
    motion = clean_motion(film_swing(FILM))
    assert distance_m(motion, 1250.0) == pytest.approx(FILM.distance, rel=0.1)
    far = clean_motion(film_swing(changed(FILM, distance=12.0)))
    assert distance_m(far, 1250.0) == pytest.approx(12.0, rel=0.1)
