"""The bat: against bars drawn where the test knows them, and against the truth of rendered films."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from analysis.watch.bat import (
    DIRECTIONS,
    Evidence,
    bar_contrast,
    before_background,
    best_way,
    fit_line,
    lay_out,
    movement,
    off_legs,
    weigh,
)
from analysis.watch.batwatch import VIEW_PX, BatWatcher
from analysis.watch.region import Region

NOWHERE = np.array([np.nan, np.nan])


def with_bat(
    angle: float, hands: tuple[float, float] = (240.0, 240.0), length: float = 110.0, aside: float = 0.0
) -> np.ndarray:
    """A rough picture with a bright bar from the hands at `angle` degrees (clockwise from +x), `aside` px off them."""
    picture = np.random.default_rng(4).normal(90, 4, (480, 480, 3)).clip(0, 255).astype(np.uint8)
    way = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    start = np.array(hands) + aside * np.array([-way[1], way[0]])
    end = start + length * way
    cv2.line(
        picture, start.round().astype(int).tolist(), end.round().astype(int).tolist(), (200, 170, 120), 6, cv2.LINE_AA
    )
    return picture


def turn(a: float, b: float) -> float:
    """The angle between two directions, degrees."""
    return abs((a - b + 180) % 360 - 180)


@pytest.mark.parametrize("angle", [0, 45, 100, 200, 290, 350])
def test_a_bar_is_found_in_its_direction_and_length(angle: float) -> None:
    laid = lay_out(with_bat(angle), np.array([240.0, 240.0]), 110.0)
    evidence = weigh(bar_contrast(laid), movement(laid, None, None), 110.0, NOWHERE)
    assert turn(evidence.best * 360 / DIRECTIONS, angle) < 3
    assert evidence.reach_px[evidence.best] == pytest.approx(110, abs=14)
    assert evidence.score.max() > 0.3


@pytest.mark.parametrize("aside", [-8.0, 8.0])
def test_the_line_is_the_bars_own_even_where_it_misses_the_hands(aside: float) -> None:
    laid = lay_out(with_bat(30, aside=aside), np.array([240.0, 240.0]), 110.0)
    line = weigh(bar_contrast(laid), movement(laid, None, None), 110.0, NOWHERE).line
    assert line is not None
    assert turn(float(np.degrees(np.arctan2(line.way[1], line.way[0]))), 30) < 1.5
    across = np.array([-line.way[1], line.way[0]])
    assert line.point @ across == pytest.approx(aside, abs=1.5)


def test_a_forearm_is_not_the_bat() -> None:
    picture = with_bat(30)
    cv2.line(picture, (240, 240), (130, 240), (210, 180, 150), 9, cv2.LINE_AA)
    laid = lay_out(picture, np.array([240.0, 240.0]), 110.0)
    evidence = weigh(bar_contrast(laid), movement(laid, None, None), 110.0, np.array([180.0, np.nan]))
    assert turn(evidence.best * 360 / DIRECTIONS, 30) < 3


def test_a_post_behind_the_hitter_is_not_the_bat() -> None:
    behind = np.random.default_rng(4).normal(90, 4, (480, 480, 3)).clip(0, 255).astype(np.uint8)
    cv2.line(behind, (240, 20), (240, 470), (20, 20, 20), 8)
    picture = behind.copy()
    cv2.line(picture, (240, 240), (330, 300), (170, 150, 110), 6, cv2.LINE_AA)
    middle = np.array([240.0, 240.0])
    laid = lay_out(picture, middle, 110.0)
    bar = before_background(bar_contrast(laid), laid, lay_out(behind, middle, 110.0))
    assert turn(weigh(bar, movement(laid, None, None), 110.0, NOWHERE).best * 360 / DIRECTIONS, 33.7) < 3


def test_a_leg_counts_little() -> None:
    legs = np.array([[240.0, 250], [240, 300], [240, 350], [300, 250], [300, 300], [300, 350]])
    kept = off_legs(np.array([240.0, 240.0]), 110.0, legs)
    down, right = DIRECTIONS // 4, 0
    assert kept[down, 20:40].max() < 0.5
    assert kept[right, 10:20].min() == 1.0


def test_movement_is_what_is_here_only_now() -> None:
    still = np.full((10, 10, 3), 80, np.float32)
    now = still.copy()
    now[3, 4] = 200
    trail = still.copy()
    trail[7, 7] = 200
    found = movement(now, trail, still)
    assert found[3, 4] == pytest.approx(120)
    assert found[7, 7] == 0


def test_the_way_bridges_frames_without_evidence_and_ignores_a_lone_flash() -> None:
    def at(angle: float, strength: float = 0.6) -> Evidence:
        score = np.zeros(DIRECTIONS)
        score[round(angle / 360 * DIRECTIONS) % DIRECTIONS] = strength
        return Evidence(score, np.full(DIRECTIONS, 100.0))

    angles = np.arange(0, 300, 15.0)
    evidence: list[Evidence | None] = [at(angle) for angle in angles]
    evidence[5] = None
    evidence[9] = at(angles[9] + 170, 0.5)
    way = best_way(evidence, np.arange(len(angles)) / 60) * 360 / DIRECTIONS
    for index, angle in enumerate(angles):
        assert turn(way[index], angle) <= (31 if index in (5, 9) else 2)


def test_a_line_needs_something_to_hold_on_to() -> None:
    assert fit_line(np.zeros((DIRECTIONS, 56)), 10, 5, 40, 100.0) is None
    assert fit_line(np.ones((DIRECTIONS, 56)), 10, 5, 8, 100.0) is None


def test_the_watcher_gives_the_bat_in_full_pixels_and_nothing_where_no_body_was_seen() -> None:
    height = VIEW_PX / 2.3 * 2  # so that the part looked at is shrunk by two
    keypoints = np.full((33, 2), 480.0)
    keypoints[[11, 12]] = [430.0, 430.0]
    keypoints[[23, 24]] = [430.0, 560.0]
    keypoints[[25, 26, 27, 28]] = [430.0, 760.0]
    keypoints[[13, 14]] = [450.0, 470.0]
    watcher = BatWatcher(height)
    for index in range(12):
        picture = cv2.resize(with_bat(300 + 2 * index), (960, 960), interpolation=cv2.INTER_LINEAR)
        points = keypoints if index != 6 else np.full((33, 2), np.nan)
        watcher.take(index, index / 60, picture, 1.0, Region(480.0, 480.0, 100.0), np.eye(3), points)
    bat, confidence = watcher.lines(14)
    assert bat.shape == (14, 2, 2)
    for index in (0, 3, 11):
        way = bat[index, 1] - bat[index, 0]
        assert turn(float(np.degrees(np.arctan2(way[1], way[0]))), 300 + 2 * index) < 3
        assert confidence[index] > 0.4
    for index in (6, 12, 13):
        assert np.isnan(bat[index]).all()
        assert confidence[index] == 0
