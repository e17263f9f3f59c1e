"""Times count from the first frame and always rise; a slip is mended and counted, false times are refused."""

from __future__ import annotations

from fractions import Fraction
from types import SimpleNamespace
from typing import Any

import pytest

from analysis.watch.clock import Clock
from analysis.watch.errors import ClipError


def read(*ticks: int | None, scale: int = 30) -> tuple[list[float], Clock]:
    base = Fraction(1, scale)
    stream: Any = SimpleNamespace(time_base=base, average_rate=Fraction(30), guessed_rate=None)
    clock = Clock(stream)
    frames: list[Any] = [SimpleNamespace(pts=tick, time_base=base) for tick in ticks]
    return [clock.read(frame) for frame in frames], clock


def test_times_count_from_the_first_frame() -> None:
    times, clock = read(30_000, 30_001, 30_003)
    assert times == pytest.approx([0.0, 1 / 30, 3 / 30])
    assert clock.origin_s == 1000.0
    assert clock.mended == 0


def test_times_before_nought_count_as_well() -> None:
    times, clock = read(-3, -2, -1)
    assert times == pytest.approx([0.0, 1 / 30, 2 / 30])
    assert clock.origin_s == pytest.approx(-0.1)


def test_a_frame_without_a_time_or_out_of_order_is_put_behind_the_one_before() -> None:
    times, clock = read(0, 1, None, 2, 1, 3)
    assert times == pytest.approx([0.0, 1 / 30, 1.5 / 30, 2 / 30, 2.5 / 30, 3 / 30])
    assert clock.mended == 2
    clock.refuse_if_false()


def test_first_frames_without_a_time_do_not_move_the_others() -> None:
    times, _ = read(None, 300, 301)
    assert times == pytest.approx([0.0, 0.5 / 30, 1.5 / 30])


@pytest.mark.parametrize("ticks", [range(60, 0, -1), [7] * 60, [*range(30), *range(30)]])
def test_times_that_run_backwards_are_refused(ticks: Any) -> None:
    _, clock = read(*ticks)
    with pytest.raises(ClipError, match="run backwards") as caught:
        clock.refuse_if_false()
    assert caught.value.code == "false_times"


def test_times_beyond_the_longest_clip_are_refused_at_once() -> None:
    with pytest.raises(ClipError, match="at most 2 minutes"):
        read(0, 1, 30 * 200)
