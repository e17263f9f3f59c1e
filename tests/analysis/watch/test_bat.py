"""The bat: against bars drawn where the test knows them, and its way through time against evidence made by hand."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from analysis.watch.bat import follow
from analysis.watch.batcertain import FACTS, chance_of
from analysis.watch.batlayout import CHANNELS, DIRECTIONS, GRID, RINGS, bar_contrast, look_around, movement, sample
from analysis.watch.batnet import NOT_THERE, PLACES, bat_net
from analysis.watch.batwatch import BatWatcher
from analysis.watch.region import Region

HEIGHT = 208.0
MIDDLE = np.array([240.0, 240.0])


def with_bat(angle: float, long: float = 90.0) -> np.ndarray:
    """A rough picture with a bright bar from the middle at `angle` degrees (clockwise from +x)."""
    picture = np.random.default_rng(4).normal(90, 4, (480, 480, 3)).clip(0, 255).astype(np.uint8)
    way = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    ends = [(MIDDLE + reach * way).round().astype(int).tolist() for reach in (-8, long)]
    cv2.line(picture, *ends, (200, 170, 120), 6, cv2.LINE_AA)
    return picture


def body() -> np.ndarray:
    """Keypoints whose hands lie in the picture's middle, the body to its left."""
    points = np.tile(MIDDLE, (33, 1))
    points[:11] = [180.0, 190.0]
    points[[11, 12]] = [[180.0, 220.0], [190.0, 222.0]]
    points[[13, 14]] = [[200.0, 250.0], [215.0, 232.0]]
    points[[23, 24]] = [[180.0, 300.0], [188.0, 300.0]]
    points[[25, 26]] = [[178.0, 350.0], [192.0, 350.0]]
    points[27:] = [180.0, 400.0]
    return points


def turn(a: float, b: float) -> float:
    """The angle between two directions, degrees."""
    return abs((a - b + 180) % 360 - 180)


def angle_of(ends: np.ndarray) -> float:
    way = ends[1] - ends[0]
    return float(np.degrees(np.arctan2(way[1], way[0])))


def laid(picture: np.ndarray) -> np.ndarray:
    return sample(picture, MIDDLE + GRID * HEIGHT)


@pytest.mark.parametrize("angle", [0, 45, 100, 200, 290, 350])
def test_a_bar_stands_out_in_its_direction(angle: float) -> None:
    strength = bar_contrast(laid(with_bat(angle)))[:, 10:26].mean(axis=1)
    assert turn((strength.argmax() + 0.5) * 360 / len(strength), angle) < 3


def test_movement_is_what_is_here_only_now() -> None:
    still = np.full((10, 10, 3), 80, np.float32)
    now, trail = still.copy(), still.copy()
    now[3, 4] = 200
    trail[7, 7] = 200
    found = movement(now, trail, still)
    assert found[3, 4] == pytest.approx(120)
    assert found[7, 7] == 0
    assert not movement(now, None, None).any()


def test_what_is_in_the_background_is_told_from_what_is_not() -> None:
    picture, nowhere = with_bat(30), (body() - MIDDLE) / HEIGHT
    behind = laid(np.full((480, 480, 3), 90, np.uint8))
    look = look_around(laid(picture), None, None, behind, nowhere)
    assert look.shape == (CHANNELS, DIRECTIONS, RINGS)
    assert look[2, 10, 5:12].mean() > 5 * look[2, 70, 5:12].mean()
    behind[:] = np.nan
    assert (look_around(laid(picture), None, None, behind, nowhere)[2] == 255).all()


def test_the_arms_are_known() -> None:
    look = look_around(laid(with_bat(30)), None, None, None, (body() - MIDDLE) / HEIGHT)
    to_elbow = round(np.degrees(np.arctan2(10, -40)) % 360 / 3)
    assert look[3, to_elbow, 2] > 200
    assert look[3, 0, 10] < 20


def chances_at(angle: float, sure: float = 0.8) -> np.ndarray:
    chances = np.full(DIRECTIONS + 1, (1 - sure) / (DIRECTIONS + 1))
    chances[round(angle / 3) % DIRECTIONS] += sure
    return chances


def test_the_way_bridges_frames_without_evidence_and_ignores_a_lone_flash() -> None:
    angles = np.arange(0, 300, 15.0)
    chances = np.array([chances_at(angle) for angle in angles])
    chances[5] = 1 / (DIRECTIONS + 1)
    chances[9] = chances_at(angles[9] + 170, 0.5)
    way = follow(chances, np.arange(len(angles)) / 60)
    for index, angle in enumerate(angles):
        assert turn(way.bins[index] * 3, angle) <= (15 if index in (5, 9) else 4)
    assert way.together[[5, 9]].max() < way.together[[2, 3, 12]].min()


def test_where_no_frame_shows_a_bat_none_is_sure() -> None:
    chances = np.full((12, DIRECTIONS + 1), 0.1 / DIRECTIONS)
    chances[:, NOT_THERE] = 0.9
    assert follow(chances, np.arange(12) / 60).together.max() < 0.1
    assert len(follow(np.zeros((0, DIRECTIONS + 1)), np.zeros(0)).bins) == 0


def test_turning_the_picture_turns_the_answer() -> None:
    look = look_around(laid(with_bat(30)), None, None, None, (body() - MIDDLE) / HEIGHT)
    scores, places = bat_net()(np.stack([look, np.roll(look, 40, axis=1)]))
    assert places.shape == (2, DIRECTIONS, PLACES)
    np.testing.assert_allclose(np.roll(scores[0, :NOT_THERE], 40), scores[1, :NOT_THERE], atol=1e-3)
    np.testing.assert_allclose(scores[0, NOT_THERE], scores[1, NOT_THERE], atol=1e-3)


def test_a_chance_is_a_chance_whatever_the_facts() -> None:
    certain = {name: value.astype(np.float64) for name, value in bat_net().certain.items()}
    wild = np.random.default_rng(2).normal(0, 30, (200, len(FACTS)))
    chance = chance_of(wild, certain)
    assert ((chance >= 0) & (chance <= 1)).all()
    assert (np.diff(certain["true"]) >= 0).all()


def watched(pictures: list[np.ndarray], missing: int = -1) -> tuple[np.ndarray, np.ndarray]:
    watcher = BatWatcher(HEIGHT)
    for index, picture in enumerate(pictures):
        points = np.full((33, 2), np.nan) if index == missing else body()
        watcher.take(index, index / 60, picture, 1.0, Region(240.0, 240.0, 230.0), np.eye(3), points)
    return watcher.lines(len(pictures) + 2)


def test_the_watcher_gives_the_bat_in_full_pixels_and_nothing_where_no_body_was_seen() -> None:
    bat, chance = watched([with_bat(300 + 2 * index) for index in range(12)], missing=6)
    assert bat.shape == (14, 2, 2)
    for index in (0, 3, 5, 9, 11):
        assert turn(angle_of(bat[index]), 300 + 2 * index) < 6
        way = np.array([np.cos(np.radians(300 + 2 * index)), np.sin(np.radians(300 + 2 * index))])
        assert bat[index, 1] == pytest.approx(MIDDLE + 90 * way, abs=10)
        assert chance[index] > 0.5
    for index in (6, 12, 13):
        assert np.isnan(bat[index]).all()
        assert chance[index] == 0


def test_a_picture_without_a_bat_shows_none_surely() -> None:
    rough = np.random.default_rng(3).normal(90, 4, (480, 480, 3)).clip(0, 255).astype(np.uint8)
    fence = rough.copy()
    for x in range(20, 480, 60):
        cv2.line(fence, (x, 0), (x, 479), (40, 40, 40), 5)
    _, chance = watched([rough] * 10)
    assert chance.max() < 0.5
    _, chance = watched([fence] * 10)
    assert chance.max() < 0.5
