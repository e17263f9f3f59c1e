"""Looks that the networks over time are fitted to: each shows the time, tempo and side that its answer says."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from analysis.read.instant_network import GRID_S, INPUTS, JOINT_COUNT, PREDICTED
from analysis.read.lift import JOINTS
from analysis.read.swing_classifier import COLUMNS, EVERY, MIDDLE
from tests.lift.looks import (
    CENTRE_S,
    OFF_S,
    PART,
    TEMPO_SD,
    instant_looks,
    open_looks,
    save_looks,
    swing_looks,
    warped,
)
from tests.lift.mirror import OTHER_JOINT
from tests.lift.moves import Moves

ROOT = Path(__file__).parents[2]
CONTACT = 1.7
INSTANTS = {
    "set_up": 0.4, "load": 0.9, "foot_down": 1.45, "swing_start": 1.53, "contact": CONTACT, "extension": 1.8, "finish": 2.4,
}  # fmt: skip
# Among a look's joints, the front wrist of a right-handed hitter; up is the second of three coordinates.
WRIST_UP = 2 * JOINT_COUNT + 3 * 4 + 1
hands = pytest.mark.parametrize("hand", ["right", "left"])


def clock(hand: str, kind: int = 0) -> Moves:
    """A hitter whose front wrist is as high as film time after contact says, s, in standing heights; all else stays in its place."""
    times = np.arange(0.0, 3.0, 1 / 60)
    places = np.zeros((times.size, len(JOINTS), 3))
    places[:, JOINTS.index("left_wrist"), 1] = times - CONTACT
    if hand == "left":
        places = places[:, OTHER_JOINT] * [-1, 1, 1]
    instants, contact = (INSTANTS, CONTACT) if kind == 0 else ({}, float("nan"))
    return Moves(
        "fit", 1, kind, "" if kind == 0 else "take", 3, hand, 20.0, contact, times, np.zeros((times.size, 33, 2)), places,
        np.ones((times.size, 33)), instants,
    )  # fmt: skip


@hands
def test_a_looks_instants_lie_where_it_shows_them(hand: str) -> None:
    rows, goals = instant_looks([clock(hand)], np.random.default_rng(1), 12)
    assert rows.shape == (12, INPUTS, GRID_S.size)
    assert goals.shape == (12, len(PREDICTED))
    for row, instants in zip(rows, goals, strict=True):
        shown = np.flatnonzero((instants > GRID_S[0]) & (instants < GRID_S[-1]))
        assert shown.size >= 5
        found = np.interp(instants[shown], GRID_S, row[WRIST_UP].astype(float))
        assert np.allclose(found, [INSTANTS[PREDICTED[k]] - CONTACT for k in shown], atol=2e-3)


def test_looks_at_instants_lie_before_contact_at_tempos_about_the_true_one() -> None:
    rows, goals = instant_looks([clock("right")] * 20, np.random.default_rng(2), 20)
    contact = goals[:, PREDICTED.index("contact")]
    assert contact.mean() == pytest.approx(CENTRE_S[0], abs=0.02)
    assert contact.std() == pytest.approx(CENTRE_S[1], abs=0.02)
    middle = GRID_S.size // 2
    tempo = (rows[:, WRIST_UP, middle + 6] - rows[:, WRIST_UP, middle - 6]).astype(float) / (12 / 60)
    assert 0.08 < np.log(tempo).std() < 0.16
    alone, _ = instant_looks([clock("right")], np.random.default_rng(2), 1)
    assert alone[0, WRIST_UP, middle + 6] - alone[0, WRIST_UP, middle - 6] == pytest.approx(12 / 60, abs=2e-3)


def shown(row: np.ndarray) -> tuple[float, float]:
    """Of a look at swings [len(COLUMNS), G], film time after contact at its middle, s, and film time for each second of it."""
    up = row[list(COLUMNS).index(WRIST_UP)].astype(float)
    return float(up[MIDDLE]), float((up[MIDDLE + 2] - up[MIDDLE - 2]) / (4 * EVERY / 60))


@hands
def test_looks_at_a_swing_are_about_its_contact_and_at_its_own_tempo(hand: str) -> None:
    rng = np.random.default_rng(3)
    looks = [swing_looks(clock(hand), 10, rng) for _ in range(40)]
    rows, goals = [row for each in looks for row in each[0]], np.array([goal for each in looks for goal in each[1]])
    assert rows[0].shape == (len(COLUMNS), GRID_S[::EVERY].size)
    assert 0.4 < goals.mean() < 0.6
    off, tempo = np.array([shown(row) for row in rows]).T
    told, reach = np.abs(np.log(np.maximum(tempo, 1e-3))), CENTRE_S[0] + 4.5 * CENTRE_S[1]
    swings = goals == 1
    assert np.abs(off[swings]).max() < reach
    assert told[swings].max() < 6 * TEMPO_SD
    assert off[swings].mean() == pytest.approx(-CENTRE_S[0], abs=0.02)
    # Everything else is away from contact, or much too quick or slow; a swing's two parts may be warped by some tenths.
    assert ((np.abs(off) > 0.6 * OFF_S[0]) | (told > 0.05))[~swings].all()
    assert (told[~swings] > 0.4).sum() > 20
    assert (np.abs(off[~swings]) > OFF_S[0]).sum() > 20


def test_looks_at_what_is_no_swing_are_none() -> None:
    rows, goals = swing_looks(clock("right", kind=3), 10, np.random.default_rng(4))
    assert len(rows) == 10
    assert not any(goals)


def test_a_warped_swing_meets_the_ball_when_it_did() -> None:
    move = clock("right")
    found = warped(move, np.random.default_rng(5))
    assert np.interp(found.contact, found.times, found.places[:, JOINTS.index("left_wrist"), 1]) == pytest.approx(
        0, abs=1e-9
    )
    before, after = np.diff(found.times)[[0, -1]] * 60
    assert 0.6 < before < 1.6
    assert before != pytest.approx(after)
    assert (np.diff(found.times) > 0).all()


def test_kept_looks_are_those_of_all_files_in_their_order(tmp_path: Path) -> None:
    looks = [
        instant_looks([clock(hand)], np.random.default_rng(k), 2) for k, hand in enumerate(("right", "left", "right"))
    ]
    save_looks(tmp_path / "one.npz", looks[:2])
    save_looks(tmp_path / "two.npz", looks[2:])
    rows, goals = open_looks([tmp_path / "one.npz", tmp_path / "two.npz"])
    assert rows.shape == (6, INPUTS, GRID_S.size)
    assert np.array_equal(rows, np.concatenate([part for part, _ in looks]))
    assert np.allclose(goals, np.concatenate([part for _, part in looks]), atol=1e-6)
    assert int(np.load(tmp_path / "one.npz")["swings"]) == 2


IN_PARTS = """
from tests.lift.looks import in_parts
draw = lambda items, rng: [(item, rng.random()) for item in items]
print([in_parts(list(range(407)), draw, seed) for seed in (1, 1, 2)])
"""


def test_parts_come_in_order_and_draw_by_numbers_of_their_own() -> None:
    """In a process of its own: it forks, which a process with threads must not."""
    told = subprocess.run(
        [sys.executable, "-c", IN_PARTS], cwd=ROOT, capture_output=True, check=True, timeout=120
    ).stdout
    one, again, other = ast.literal_eval(told.decode())
    assert [len(part) for part in one] == [PART, PART, 7]
    assert [item for part in one for item, _ in part] == list(range(407))
    assert one == again != other
    assert one[0][0][1] != one[1][0][1]
