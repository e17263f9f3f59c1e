"""The table that tells readings apart by whose motion they are of."""

from __future__ import annotations

import pytest

from analysis.validate.hands import by_hand, external
from analysis.validate.judged import Counted, Judged, Timed, Told
from tests.lift.numbers import DRIVEN, PATHS, SEQUENCES

BAND = (15.0, 50.0)


def told(clip: int, truth: float, value: float | None, half: float = 5.0) -> Told:
    interval = None if value is None else (value - half, value + half)
    return Told(clip, "side", 60, "down_front_knee", truth, value, interval, BAND, "in range")


def row(table: str, *start: str) -> list[str]:
    """The cells of the row that begins so."""
    rows = [[cell.strip() for cell in line.strip("|").split("|")] for line in table.splitlines()]
    return next(each for each in rows if tuple(each[: len(start)]) == start)


def test_each_hand_has_a_line_of_its_own_swings() -> None:
    clips = [3000, SEQUENCES, SEQUENCES + 1, PATHS, DRIVEN]
    judged = Judged(
        # Of the key poses one that holds; in sequence one that holds, one that does not; of the path one not readable,
        # driven one that does not.
        [told(clip, 30.0, value) for clip, value in zip(clips, (31.0, 34.0, 40.0, None, 50.0), strict=True)],
        [
            Timed(clip, "side", 60, "foot_down", off, 1.0)
            for clip, off in zip(clips, (0.5, 1.0, -1.5, None, 2.0), strict=True)
        ],
        [Counted(clip, "side", 60, "swing", 1, 1, True) for clip in clips],
    )  # fmt: skip
    table = by_hand(judged)
    first, second, third, fourth = (row(table, words, "side") for words in WORDS)
    assert first[2:4] == ["1", "100%"]
    assert first[4].startswith("100%")
    assert first[5:] == ["1.0", "–", "–", first[8]]
    assert first[8].startswith("100%")
    assert second[2:4] == ["2", "100%"]
    assert second[4].startswith("50%")
    assert second[5] == "7.0"
    assert second[8].startswith("50%")
    assert third[2:6] == ["1", "0%", "–", "–"]
    assert third[8].startswith("0%")
    assert fourth[4].startswith("0%")
    assert fourth[5] == "20.0"


WORDS = (
    "key poses, as most that is fitted to",
    "segments that turn one after another",
    "the bat's path, and the body after it",
    "muscles, ground and gravity",
)


def test_nothing_judged_makes_no_table() -> None:
    assert by_hand(Judged()) == ""


@pytest.mark.slow
def test_films_by_another_generator_stand_beside_them() -> None:
    side = row(external(), "films by another generator", "side")
    assert side[2] == "18"
    assert 60 <= int(side[3].rstrip("%")) <= 90
