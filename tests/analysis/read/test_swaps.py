"""Exchanged names are found and put right; a body that was seen right is left alone."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from analysis.read.swaps import LIMBS, find_swaps, undo_swaps
from analysis.tracks import KEYPOINTS as K
from tests.analysis.read.motion import Film, film_swing


def seen(swaps: tuple[tuple[int, int], ...] = (), view: str = "chest_side") -> np.ndarray:
    tracks = film_swing(Film(view=view, noise_px=1.5, depth_noise_m=0.02, swaps=swaps))
    flat = tracks.keypoints_px / 150.0
    return np.concatenate([flat, tracks.world_m[..., 2:]], axis=-1).astype(float)


def frames(flags: np.ndarray) -> list[int]:
    return np.flatnonzero(flags).tolist()


@pytest.mark.parametrize("view", ["chest_side", "back_side", "catcher_side", "pitcher_side"])
def test_a_body_seen_right_is_left_alone(view: str) -> None:
    points = seen(view=view)
    for limb in LIMBS:
        assert frames(find_swaps(points, limb)) == []


@pytest.mark.parametrize("swap", [(40, 41), (70, 80), (20, 22)])
def test_exchanged_legs_are_found_to_the_frame(swap: tuple[int, int]) -> None:
    assert frames(find_swaps(seen((swap,)), "legs")) == list(range(*swap))


def test_exchanged_legs_do_not_touch_the_arms() -> None:
    assert frames(find_swaps(seen(((70, 80),)), "arms")) == []


@given(start=st.integers(5, 150), length=st.integers(1, 20))
@settings(max_examples=20, deadline=None)
def test_undoing_gives_back_what_was_seen_right(start: int, length: int) -> None:
    swaps = ((start, start + length),)
    clean, spoiled = seen(), seen(swaps)
    found = find_swaps(spoiled, "legs")
    [restored] = undo_swaps([spoiled], found, LIMBS["legs"])
    np.testing.assert_allclose(restored, clean)


def test_undoing_leaves_the_input_as_it_was() -> None:
    points = seen(((70, 80),))
    before = points.copy()
    undo_swaps([points], find_swaps(points, "legs"), LIMBS["legs"])
    np.testing.assert_array_equal(points, before)


def test_frames_without_a_body_are_bridged() -> None:
    points = seen(((70, 80),))
    points[74:76] = np.nan
    assert frames(find_swaps(points, "legs")) == [70, 71, 72, 73, 76, 77, 78, 79]


def test_nobody_seen_means_nothing_exchanged() -> None:
    points = np.full((20, 33, 3), np.nan)
    assert not find_swaps(points, "legs").any()


def test_limbs_name_left_before_right() -> None:
    assert LIMBS["legs"][0] == (K["left_knee"], K["right_knee"])


def test_legs_named_wrongly_for_the_rest_of_the_film_are_put_right() -> None:
    assert frames(find_swaps(seen(((100, 180),)), "legs")) == list(range(100, 180))
