"""Choosing the hitter: whose two hands swing together, not who is largest. The walks are made up, the answers known."""

from __future__ import annotations

import numpy as np
import pytest

from analysis.watch.close import height_of, plan
from analysis.watch.follow import Walk, fits
from analysis.watch.hitter import hands_of, ranked, swing_strength, windows
from analysis.watch.people import is_whole, overlap, tiles
from analysis.watch.pose import Pose
from analysis.watch.region import Region

FPS = 60
STEP = 6  # frames between sightings


def standing(size: float, x: float, hands: tuple[float, float], apart: float = 0.1) -> Pose:
    """A standing body of trunk length `size` px at `x`, hands (in trunks from mid-hips) held `apart` trunks apart."""
    points = np.zeros((33, 2))
    points[:11] = [x, 100 - 0.4 * size]
    points[11:13] = [[x + 0.3 * size, 100], [x - 0.3 * size, 100]]
    points[13:15] = [x, 100 + 0.5 * size]
    middle = np.array([x, 100 + size]) + np.array(hands) * size
    points[15:23] = middle
    points[[15, 16], 0] += np.array([0.5, -0.5]) * apart * size
    points[23:25] = [[x + 0.2 * size, 100 + size], [x - 0.2 * size, 100 + size]]
    points[25:27] = [x, 100 + 1.9 * size]
    points[27:33] = [x, 100 + 2.7 * size]
    region = Region(x, 100 + size, 4 * size)
    return Pose(points, np.full(33, 0.9), np.zeros((33, 3)), 0.99, region)


def walk(size: float, x: float, *, swing_at: float | None = None, apart: float = 0.1, slower: float = 1.0) -> Walk:
    """Two seconds (times `slower`) of a person whose hands may swing across within a quarter of a second."""
    made = Walk()
    for frame in range(0, round(2 * FPS * slower), STEP):
        time = frame / FPS / slower
        across = 0.0 if swing_at is None else 1.6 * float(np.clip((time - swing_at) / 0.25 + 0.5, 0, 1)) - 0.8
        made.add(frame, standing(size, x, (across, -0.7), apart), np.full(512, 1 / 512))
    return made


def times(slower: float = 1.0) -> np.ndarray:
    return np.arange(round(2 * FPS * slower)) / FPS


def test_the_hitter_is_who_swings_not_who_is_large() -> None:
    onlooker, hitter = walk(200, 900), walk(40, 200, swing_at=1.0)
    assert ranked([onlooker, hitter], times())[0][1] is hitter


def test_waving_one_hand_is_no_swing() -> None:
    waving, hitter = walk(60, 900, swing_at=0.7, apart=2.0), walk(60, 200, swing_at=1.0)
    assert swing_strength(hands_of(waving, times())) == 0
    assert ranked([waving, hitter], times())[0][1] is hitter


def test_walking_by_is_no_swing() -> None:
    passing = Walk()
    for frame in range(0, 2 * FPS, STEP):
        passing.add(frame, standing(50, 100 + 5.0 * frame, (0.0, -0.5)), np.full(512, 1 / 512))
    assert swing_strength(hands_of(passing, times())) < 0.05


def test_nobody_seen_long_enough_is_nobody() -> None:
    brief = walk(50, 100, swing_at=1.0)
    for kept in (brief.frames, brief.poses, brief.sides):
        del kept[3:]
    assert ranked([brief], times()) == []
    assert ranked([], times()) == []


def test_the_window_holds_the_swing_with_room() -> None:
    hitter = walk(50, 100, swing_at=1.0)
    (window,) = windows(hands_of(hitter, times()), times(), before_s=0.5, after_s=0.4)
    assert window.first / FPS < 0.75
    assert window.last / FPS > 1.25
    assert abs(window.peaks[0] / FPS - 1.0) < 0.2


def test_a_slowed_film_has_longer_windows() -> None:
    slow = walk(50, 100, swing_at=1.0, slower=8.0)
    (window,) = windows(hands_of(slow, times(8.0)), times(8.0), before_s=0.3, after_s=0.3)
    assert window.slower > 4
    assert (window.last - window.first) / FPS > 2.4


def test_two_swings_give_two_windows() -> None:
    both = walk(50, 100, swing_at=0.5)
    later = walk(50, 100, swing_at=1.5)
    both.frames += [frame + 600 for frame in later.frames]
    both.poses += later.poses
    both.sides += later.sides
    time_s = np.arange(720) / FPS
    found = windows(hands_of(both, time_s), time_s)
    assert len(found) == 2
    made = plan(both, hands_of(both, time_s), time_s)
    assert made.close[30]
    assert not made.close[300]
    assert made.last <= 719


@pytest.mark.parametrize(("side", "expected"), [(1.0, True), (1.3, True), (1.6, False), (0.5, False)])
def test_a_body_does_not_change_its_size(side: float, expected: bool) -> None:
    assert fits(walk(50, 100), standing(50 * side, 100, (0, 0))) is expected


def test_a_body_cut_off_by_the_edge_is_not_whole() -> None:
    assert is_whole(standing(50, 200, (0, 0)), 400, 300)
    assert not is_whole(standing(50, 200, (0, 0)), 400, 220)
    assert not is_whole(standing(50, 200, (0, 0)), 200, 300)


def test_standing_height_comes_from_the_trunk() -> None:
    assert height_of(walk(57.6, 100)) == pytest.approx(200)


def test_overlap_of_boxes() -> None:
    box = np.array([0.0, 0, 10, 10])
    assert overlap(box, box) == 1
    assert overlap(box, box + 10) == 0
    assert overlap(box, np.array([0.0, 0, 10, 5])) == pytest.approx(0.5)


def test_tiles_cover_the_picture() -> None:
    covered = np.zeros((320, 426), bool)
    for tile in tiles(426, 320)[1:]:
        x0, y0 = round(tile.x - tile.side / 2), round(tile.y - tile.side / 2)
        covered[max(0, y0) : round(y0 + tile.side), max(0, x0) : round(x0 + tile.side)] = True
    assert covered.all()
    assert tiles(426, 320)[0].side == 426
