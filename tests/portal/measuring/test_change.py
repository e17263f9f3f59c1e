"""Whether two readings differ by more than their errors.

The smallest detectable change of equal errors is 1.645 √2 SEM at 90 % (1.96 √2 SEM at 95 %: Weir 2005; Bland and Altman's
repeatability; from memory).
"""

from __future__ import annotations

import doctest
import json
import os
import subprocess
import sys
from itertools import combinations
from math import sqrt

import numpy as np
import pytest

from portal.measuring import change as module
from portal.measuring.change import CHANGED, NOT_COMPARABLE, NOT_SEEN, change, smallest_change, surely_common
from tests.portal.measuring import draw_shares


def reading(value, half=5.0, checkpoint="down_front_knee"):
    return {"checkpoint": checkpoint, "value": value, "interval": [value - half, value + half]}


def test_examples():
    assert doctest.testmod(module).failed == 0


def test_it_is_the_published_formula_for_two_equal_errors():
    assert smallest_change(3.0, 3.0, 0.0) == pytest.approx(1.645 * sqrt(2) * 3.0, rel=1e-3)


@pytest.mark.parametrize(("apart", "verdict"), [(0.0, NOT_SEEN), (7.0, NOT_SEEN), (-7.2, CHANGED), (20.0, CHANGED)])
def test_two_clips_differ_where_their_errors_do_not_explain_it(apart, verdict):
    told = change(reading(30.0 + apart), reading(30.0))
    assert (told["verdict"], told["difference"]) == (verdict, pytest.approx(apart))
    assert told["smallest"] == pytest.approx(5 * sqrt(2))


def test_what_both_swings_of_a_clip_err_alike_does_not_count():
    one, other = reading(35.0), reading(30.0)
    assert change(one, other)["verdict"] == NOT_SEEN
    assert change(one, other, view="chest_side")["verdict"] == CHANGED
    assert change(one, other, view="chest_side")["smallest"] < 3


def test_where_nothing_is_known_of_a_checkpoint_nothing_cancels():
    assert surely_common("down_bat_angle", "chest_side") == 0.0
    assert surely_common("down_stride_length", "unknown") == 0.0  # known from the side alone
    assert surely_common("down_front_knee", "unknown") == min(
        surely_common("down_front_knee", v) for v in ("back_side", "catcher_side")
    )


def test_the_shares_are_those_that_the_command_draws():
    kept = json.loads(draw_shares.OUT.read_text())["common"]
    drawn = draw_shares.shares_of(draw_shares.rows("tune"))
    assert kept == {
        name: {kind: pytest.approx(at, abs=0.02) for kind, at in one.items()} for name, one in drawn.items()
    }


def test_two_swings_of_hitters_that_nothing_was_drawn_from():
    """Of pairs of swings whose true difference is known, nine in ten readings at least differ by less than what can be seen."""
    held: dict[str, list[bool]] = {}
    for clip in draw_shares.rows("judge"):
        view = "chest_side" if clip["kind"] == "side" else "catcher_side"
        for checkpoint, swings in clip["read"].items():
            for (one, half, true), (other, other_half, other_true) in combinations(swings, 2):
                smallest = smallest_change(half / 1.645, other_half / 1.645, surely_common(checkpoint, view))
                held.setdefault(checkpoint, []).append(abs((one - true) - (other - other_true)) <= smallest)
    every = [one for some in held.values() for one in some]
    assert len(every) > 1500
    assert np.mean(every) >= 0.9
    assert min(np.mean(some) for some in held.values()) >= 0.7  # the worst: head over the middle, of 57 pairs


def test_what_was_not_read_is_not_compared():
    unread = {**reading(0.0), "value": None, "interval": None}
    for pair in ((reading(1.0), unread), (unread, reading(1.0)), (None, reading(1.0))):
        assert change(*pair) == {"verdict": NOT_COMPARABLE, "difference": None, "smallest": None}


def test_an_interval_that_was_cut_at_an_end_is_taken_by_its_longer_half():
    cut = {**reading(3.0), "interval": [0.0, 8.0]}
    assert change(cut, reading(3.0))["smallest"] == pytest.approx(5 * sqrt(2))


@pytest.mark.parametrize("common", [0.0, 0.6, 0.95])
def test_where_nothing_changed_nine_of_ten_pairs_say_so(common):
    random = np.random.default_rng(3)
    shared = random.standard_normal(20_000)
    one, other = (sqrt(common) * shared + sqrt(1 - common) * random.standard_normal(20_000) for _side in range(2))
    seen = np.abs(4.0 * one - 3.0 * other) <= smallest_change(4.0, 3.0, common)
    assert seen.mean() == pytest.approx(0.9, abs=0.01)


def test_the_command_that_draws_the_shares_needs_no_site():
    """As README of the films' fits says it: by itself, with no settings named."""
    bare = {name: value for name, value in os.environ.items() if not name.startswith("DJANGO")}
    done = subprocess.run(
        [sys.executable, "-c", "import tests.portal.measuring.draw_shares"], env=bare, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr.decode()
