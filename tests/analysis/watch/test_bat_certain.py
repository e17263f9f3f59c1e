"""How sure a line is the bat, held against drawn hitters that nothing was fitted to (every third judging clip of `tests.lift.bats`)."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from analysis.tracks import SURE_OF_BAT
from analysis.watch.batcertain import Certainty, certainty

DATA = Path(__file__).parent / "data" / "bat-judge.npz"


@pytest.fixture(scope="module")
def judged() -> dict[str, np.ndarray]:
    """Lines [N]: facts, ends and truth (from the hands, standing heights), whether right, whether there is a bat, and the chance."""
    with np.load(DATA) as held:
        data = {name: held[name] for name in held.files}
    count = len(data["good"])
    data["chance"] = certainty(Certainty(list(range(count)), data["ends"], data["facts"].astype(np.float64)))
    return data


def test_sure_lines_are_the_bat(judged: dict[str, np.ndarray]) -> None:
    """Before: a line in 67 % of frames, 44 % of them right."""
    bat, sure = judged["bat"], judged["chance"] >= SURE_OF_BAT
    assert judged["good"][bat & sure].mean() >= 0.87
    assert sure[bat].mean() >= 0.5


def test_hardly_a_sure_line_where_there_is_no_bat(judged: dict[str, np.ndarray]) -> None:
    """Arms raised, walking, balancing, before nets, posts and fences. Before: a line in 42 % of frames."""
    chance = judged["chance"][~judged["bat"]]
    assert chance.size > 80
    assert (chance >= SURE_OF_BAT).mean() <= 0.01


def test_sure_lines_point_where_the_bat_points(judged: dict[str, np.ndarray]) -> None:
    sure = judged["bat"] & (judged["chance"] >= SURE_OF_BAT)
    ways = [ends[sure, 1].astype(float) - ends[sure, 0] for ends in (judged["ends"], judged["truth"])]
    turns = [np.arctan2(way[:, 1], way[:, 0]) for way in ways]
    off = np.degrees(np.abs(np.angle(np.exp(1j * (turns[0] - turns[1])))))
    assert off.mean() <= 2.5
    assert (off > 20).mean() <= 0.005


def test_a_chance_says_how_often(judged: dict[str, np.ndarray]) -> None:
    """Between 0.3 and 0.6, where nothing is drawn, the few lines there are right more seldom than said."""
    bat, chance = judged["bat"], judged["chance"]
    for low, high in ((0.0, 0.3), (0.6, 0.8), (0.8, 0.9), (0.9, 1.0)):
        inside = bat & (chance >= low) & (chance < high)
        if inside.sum() >= 25:
            assert judged["good"][inside].mean() == pytest.approx(chance[inside].mean(), abs=0.12), (low, high)
