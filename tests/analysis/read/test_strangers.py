"""Readings of hitters, bodies and motions that nothing was fitted or calibrated to (tests/lift/README.md), against their truth.

The truth is that of the drawn motion itself. The sample is every fourth clip of the judging set; a change that reads strangers
worse fails here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from tests.lift.judge import Row, rows_of, slowed_rows_of, sought
from tests.lift.samples import tracks_of
from tests.lift.store import load

SAMPLE = Path(__file__).parents[2] / "lift" / "data" / "judge-sample.npz"
ACTS = SAMPLE.with_name(
    "act-sample.npz"
)  # judging clips in which hitters take, check, bunt, waggle, or somebody throws
# Every twentieth of the later judging clips, which were looked through for the bat as watching does, and four of recorded motion that
# hold a swing if it were not for that.
BATS = SAMPLE.with_name("bat-sample.npz")
# What is measured now stands beside each limit; the room between them is a fiftieth, or one swing of the sample: what another machine's
# arithmetic may do. A method that reads better draws them anew.
# Mean absolute errors from the sides, before anything is withheld as not readable.
SIDE = {
    "down_front_knee": 8.80,  # 8.62
    "down_rear_knee": 6.95,  # 6.81
    "contact_front_knee": 5.22,  # 5.12
    "down_hips_square": 9.57,  # 9.38
    "down_shoulders_square": 9.58,  # 9.39
    "down_foot_opening": 7.77,  # 7.61
    "down_head_centre": 1.45,  # 1.41
    "down_stride_length": 1.47,  # 1.44
    "setup_trunk_lean": 4.35,  # 4.26
}
# Of all readings, how many intervals hold: at least and at most.
HELD = (0.909, 0.949)  # 0.929 of 618
# Of the instants of 30 swings from the sides, frames of 60 a second, how many lie within as many, and how many intervals hold.
WITHIN = {
    "contact": (1, 0.90, 0.86),  # 28, and 27
    "foot_down": (1, 0.80, 0.86),  # 25, and 27
    "swing_start": (2, 0.83, 0.86),  # 26, and 27
    "extension": (2, 0.93, 0.96),  # 29, and 30
}
# The same of 23 swings seen from anywhere, whose front feet land on the toe, flat or on the heel; and of 23 of hitters with habits of
# their own, or who differ widely from foot down to the finish.
WITHIN_OTHERS = {
    "landing": {
        "contact": (1, 0.78, 0.82),  # 19, and 20
        "foot_down": (1, 0.56, 0.86),  # 14, and 21
        "swing_start": (2, 0.78, 0.91),  # 19, and 22
        "extension": (2, 0.86, 0.86),  # 21, and 21
    },
    "own": {
        "contact": (1, 0.86, 0.86),  # 21, and 21
        "foot_down": (1, 0.78, 0.82),  # 19, and 20
        "swing_start": (2, 0.69, 0.91),  # 17, and 22
        "extension": (2, 0.86, 0.95),  # 21, and 23
    },
    "through": {
        "contact": (1, 0.90, 0.90),  # 21, and 21
        "foot_down": (1, 0.68, 0.77),  # 16, and 18
        "swing_start": (2, 0.54, 0.81),  # 13, and 19
        "extension": (2, 0.59, 0.86),  # 14, and 20
    },
    "hands": {  # of 33 found: every fifth of those by three other hands
        "contact": (1, 0.72, 0.72),  # 25, and 25
        "foot_down": (1, 0.45, 0.87),  # 16, and 30
        "swing_start": (2, 0.63, 0.87),  # 22, and 30
        "extension": (2, 0.42, 0.84),  # 15, and 29
    },
}
HELD_THROUGH = 0.883  # 0.903 of the 310 readings of those before the last
HELD_HANDS = 0.858  # 0.878 of the 426 readings of the last
FOUND_HANDS, AT_TRUE_SPEED = 0.94, 0.88  # 33, and 31, of their 34
FOUND = 0.97  # all of 42 swings, and the hand of all
NO_SWING = 0.95  # 23 of 23
SLOWED = 0.88  # all of 9
BAT_ANGLE = (4.75, 0.95)  # mean absolute error 4.65 degrees, 21 of 21 intervals hold


@lru_cache(maxsize=2)
def rows(raw: bool) -> list[Row]:
    """All rows of the sample."""
    return rows_of(SAMPLE, raw)


def chosen(raw: bool, wanted: Callable[[Row], bool]) -> tuple[np.ndarray, np.ndarray]:
    """Errors and half widths of the values that were read."""
    own = [row for row in rows(raw) if wanted(row) and row.value is not None]
    return np.array([row.value - row.truth for row in own if row.value is not None]), np.array(
        [row.half for row in own]
    )


@pytest.mark.slow
@pytest.mark.parametrize(("name", "limit"), SIDE.items())
def test_values_from_the_sides_are_about_right(name: str, limit: float) -> None:
    off, _ = chosen(True, lambda row: row.name == name and row.group == "side")
    assert len(off) >= 15
    assert np.abs(off).mean() <= limit


@pytest.mark.slow
def test_nine_tenths_of_the_intervals_hold_the_truth() -> None:
    """Of all readings together; times stand apart, for an instant that is missed altogether is another matter."""
    off, half = chosen(
        False, lambda row: not row.name.startswith(("at ", "swings", "hand", "time", "start", "down_to"))
    )
    assert len(off) >= 250
    assert HELD[0] <= np.mean(np.abs(off) <= half) <= HELD[1]


@pytest.mark.slow
@pytest.mark.parametrize(("name", "limit"), WITHIN.items())
def test_instants_from_the_sides_are_near_the_frame(name: str, limit: tuple[int, float, float]) -> None:
    off, half = chosen(False, lambda row: row.name == f"at {name}" and row.group == "side")
    assert len(off) >= 25
    assert np.mean(np.abs(off) <= limit[0] / 60) >= limit[1]
    assert np.mean(np.abs(off) <= half) >= limit[2]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("sample", "name", "limit"),
    [(sample, *each) for sample, within in WITHIN_OTHERS.items() for each in within.items()],
)
def test_instants_are_near_the_frame_however_the_hitter_moves(
    sample: str, name: str, limit: tuple[int, float, float]
) -> None:
    own = [row for row in others(sample) if row.name == f"at {name}" and row.value is not None]
    off, half = (
        np.array([row.value - row.truth for row in own if row.value is not None]),
        np.array([row.half for row in own]),
    )
    assert len(off) >= 19
    assert np.mean(np.abs(off) <= limit[0] / 60) >= limit[1]
    assert np.mean(np.abs(off) <= half) >= limit[2]


@pytest.mark.slow
def test_readings_of_hitters_who_differ_widely_hold_as_often() -> None:
    own = [
        row
        for row in others("through")
        if not row.name.startswith(("at ", "swings", "hand", "time", "start", "down_to"))
    ]
    holds = [abs(row.value - row.truth) <= row.half for row in own if row.value is not None]
    assert len(holds) >= 300
    assert np.mean(holds) >= HELD_THROUGH


@pytest.mark.slow
def test_swings_by_other_hands_are_found_at_their_speed_and_their_readings_hold_as_often() -> None:
    own = others("hands")
    found = [row.value == 1 for row in own if row.name == "swings found"]
    assert len(found) >= 20
    assert np.mean(found) >= FOUND_HANDS
    speeds = [sought(tracks_of(clip)).motion.slowdown for clip in load(SAMPLE.with_name("hands-sample.npz"))]
    assert np.mean([speed == 1.0 for speed in speeds]) >= AT_TRUE_SPEED
    told = [
        row for row in own
        if not row.name.startswith(("at ", "swings", "hand", "time", "start", "down_to")) and row.value is not None
    ]  # fmt: skip
    assert len(told) >= 200
    assert np.mean([abs(row.value - row.truth) <= row.half for row in told if row.value is not None]) >= HELD_HANDS


@lru_cache(maxsize=4)
def others(sample: str) -> list[Row]:
    """All rows of a sample of swings that land in other ways, or are a hitter's own in other things, too."""
    return rows_of(SAMPLE.with_name(f"{sample}-sample.npz"), False)


@pytest.mark.slow
def test_swings_are_found_and_the_hand_is_told() -> None:
    found = [row for row in rows(False) if row.name == "swings found" and not row.group.startswith("no swing")]
    hands = [row for row in rows(False) if row.name == "hand right"]
    assert np.mean([row.value == 1 for row in found]) >= FOUND
    assert np.mean([row.value == 1 for row in hands]) >= FOUND


@pytest.mark.slow
def test_what_is_no_swing_is_taken_for_none() -> None:
    found = [row for row in (*rows(False), *rows_of(ACTS, False)) if row.group.startswith("no swing")]
    assert len(found) >= 20
    assert np.mean([row.value == 0 for row in found]) >= NO_SWING


@pytest.mark.slow
def test_what_players_do_by_another_hand_is_no_swing_either() -> None:
    deeds = list(load(SAMPLE.with_name("deeds-sample.npz")))
    assert len(deeds) >= 13
    assert not any(sought(tracks_of(clip)).swings for clip in deeds)


@pytest.mark.slow
def test_whoever_holds_no_bat_swings_none() -> None:
    """As people who move so that hands and trunk alone would be taken for a swing's."""
    motions = [clip for clip in load(BATS) if clip.kind != 0]
    blind = [replace(clip, bat_px=None, bat_chance=None) for clip in motions]
    assert sum(bool(sought(tracks_of(clip)).swings) for clip in blind) == 4
    assert not any(sought(tracks_of(clip)).swings for clip in motions)


@pytest.mark.slow
def test_looking_for_the_bat_loses_no_swing_and_reads_its_angle() -> None:
    own = rows_of(BATS, False)
    found = [row.value for row in own if row.name == "swings found" and not row.group.startswith("no swing")]
    assert found == [1.0] * 21
    told = [row for row in own if row.name == "down_bat_angle" and row.value is not None]
    off = np.array([row.value - row.truth for row in told if row.value is not None])
    assert len(off) >= 16
    assert np.abs(off).mean() <= BAT_ANGLE[0]
    assert np.mean(np.abs(off) <= [row.half for row in told]) >= BAT_ANGLE[1]


@pytest.mark.slow
def test_slowed_films_are_noticed_with_their_factor() -> None:
    slowed = [row for row in slowed_rows_of(SAMPLE, most=3) if row.group != "x 1"]
    assert len(slowed) >= 9
    assert np.mean([row.value == row.truth for row in slowed]) >= SLOWED
