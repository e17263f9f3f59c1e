"""Readings of films that another generator made (tests/lift/README.md, "Yet another hand"), against their truth.

Nothing was fitted, calibrated or chosen by these films, and nothing may be: a change that reads them worse fails here, and is looked at by
what it does to other films. They showed where drawn motion was too narrow, which methods 14 and 16 widened.
"""

from __future__ import annotations

from functools import lru_cache

import pytest

from tests.lift.external import READINGS, Judged, Summary, judged, summary

# What is measured now stands beside each limit; the room between them is a fiftieth of an error, and one film: what another machine's
# arithmetic may do. A method that reads better draws them anew; the films are few, so a share is known to a tenth.
# Mean absolute errors of the instants, ms of life, and how many intervals hold at least.
INSTANTS = {
    "side": {  # 18 films
        "set_up": (97.1, 7),  # 95.2, 8
        "load": (200.0, 8),  # 196.1, 9
        "foot_down": (34.1, 12),  # 33.5, 13
        "swing_start": (9.6, 17),  # 9.4, 18
        "contact": (10.0, 10),  # 9.8, 11
        "extension": (25.9, 15),  # 25.4, 16
        "finish": (80.6, 16),  # 79.0, 17
    },
    "along": {  # 8 films
        "set_up": (107.1, 6),  # 105.0, 7
        "load": (242.0, 2),  # 237.3, 3
        "foot_down": (53.4, 5),  # 52.3, 6
        "swing_start": (8.1, 7),  # 7.9, 8
        "contact": (14.3, 4),  # 14.0, 5
        "extension": (34.9, 4),  # 34.2, 5
        "finish": (68.6, 5),  # 67.2, 6
    },
}
# Mean absolute errors of the readings that are told in at least six films.
ERRORS = {
    "side": {
        "setup_base_width": 0.053,  # 0.052
        "setup_trunk_lean": 5.89,  # 5.77
        "setup_face": 4.63,  # 4.54
        "load_hands_back": 2.02,  # 1.98
        "load_head_travel": 0.90,  # 0.88
        "down_rear_knee": 5.67,  # 5.56
        "down_front_knee_inside": 2.78,  # 2.72
        "down_rear_knee_inside": 1.68,  # 1.65
        "down_shoulders_square": 5.99,  # 5.87
        "down_head_centre": 0.91,  # 0.89
        "down_foot_opening": 7.10,  # 6.96
        "down_stride_length": 1.70,  # 1.67
        "down_bat_angle": 7.91,  # 7.76
        "time_to_start": 34.4,  # 33.7
        "start_to_contact": 9.67,  # 9.48
        "down_to_contact": 35.9,  # 35.2
        "contact_front_knee": 3.57,  # 3.50
        "contact_head_travel": 1.47,  # 1.44
        "extension_reach": 6.05,  # 5.93
        "finish_hands_height": 7.58,  # 7.43
        "finish_balance": 2.08,  # 2.04
    },
    "along": {
        "setup_rear_knee": 2.87,  # 2.81
        "setup_trunk_lean": 1.39,  # 1.36
        "down_front_knee": 5.42,  # 5.31
        "down_rear_knee": 3.03,  # 2.98
        "down_shoulders_square": 7.63,  # 7.48
        "down_foot_opening": 22.0,  # 21.5
        "down_bat_angle": 6.95,  # 6.82
        "time_to_start": 53.5,  # 52.5
        "start_to_contact": 19.1,  # 18.8
        "down_to_contact": 51.7,  # 50.7
        "extension_reach": 4.30,  # 4.22
        "finish_hands_height": 2.95,  # 2.89
    },
}
# Of all readings: how many are told and what share of their intervals holds, at least, and how many calls are wrong, at most.
TOGETHER = {
    "side": (361, 0.849, 6),  # 363 of 486, 0.854, 5
    "along": (108, 0.922, 3),  # 110 of 216, 0.927, 2
}


@lru_cache(maxsize=1)
def films() -> tuple[Judged, ...]:
    """All films, read once."""
    return tuple(judged())


def summed(group: str, *names: str) -> Summary:
    """What the films of a group of views do in some instants or readings."""
    return summary(row for film in films() for row in film.rows if row.group == group and row.name in names)


@pytest.mark.slow
@pytest.mark.parametrize(("group", "name"), [(group, name) for group, own in INSTANTS.items() for name in own])
def test_instants_are_as_near_and_as_sure_as_they_were(group: str, name: str) -> None:
    error, held = INSTANTS[group][name]
    own = summed(group, name)
    assert own.told == own.count
    assert own.error <= error
    assert round(own.held * own.told) >= held


@pytest.mark.slow
@pytest.mark.parametrize(("group", "name"), [(group, name) for group, own in ERRORS.items() for name in own])
def test_readings_are_as_near_as_they_were(group: str, name: str) -> None:
    own = summed(group, name)
    assert own.told >= 5
    assert own.error <= ERRORS[group][name]


@pytest.mark.slow
@pytest.mark.parametrize("group", TOGETHER)
def test_as_much_is_told_and_holds_as_did(group: str) -> None:
    told, held, wrong = TOGETHER[group]
    own = summed(group, *READINGS)
    assert own.told >= told
    assert own.held >= held
    assert own.wrong <= wrong


@pytest.mark.slow
def test_every_swing_hand_and_view_is_told_and_none_else() -> None:
    swings = [film for film in films() if film.truth.instants]
    assert len(swings) == 26
    assert [film.truth.number for film in swings if not film.found] == []
    assert [film.truth.number for film in swings if film.hand != film.truth.hand] == []
    assert [film.truth.number for film in swings if film.view != film.truth.view] == []
    # A throw is taken for a swing since method 16, where nine films without one held none before; nothing is chosen by these films.
    assert [film.truth.kind for film in films() if film.false] in (["throw"], [])


@pytest.mark.slow
def test_films_at_true_speed_are_taken_for_that_and_one_slowed_four_times_is_noticed() -> None:
    wrong = [film.truth.slowdown for film in films() if film.slowdown != film.truth.slowdown]
    assert wrong in ([2], [])  # a film slowed twice is not noticed
