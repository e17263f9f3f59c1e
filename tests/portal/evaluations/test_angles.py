"""An angle mark tells the bend of a joint, on the desk and in what is sent."""

import doctest
import json
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from portal.evaluations import angles
from portal.evaluations.angles import angle_between, angle_mark, axis_mark

ROOT = Path(__file__).resolve().parents[3]


def test_examples():
    assert doctest.testmod(angles).failed == 0


@pytest.mark.parametrize("bend", [0, 1, 13, 44, 89])
@pytest.mark.parametrize("side", [1, -1], ids=["right", "left"])
def test_a_knee_tells_its_bend_as_the_card_does(bend, side):
    """Hip straight above the knee, the shank turned back by the bend; 0 is a straight leg."""
    turn = np.radians(bend)
    ankle = (100 - side * 80 * np.sin(turn), 100 + 80 * np.cos(turn))
    mark = angle_mark((100, 20), (100, 100), ankle)
    assert mark.size == pytest.approx(bend)
    assert mark.on == pytest.approx((100, 148))  # the thigh, drawn on
    assert clear_of(mark.toward, (0, -1), (0, 1), (ankle[0] - 100, ankle[1] - 100))


@pytest.mark.parametrize("opening", [5, 30, 90])
def test_an_opening_up_to_a_right_angle_is_told_as_it_is(opening):
    turn = np.radians(opening)
    mark = angle_mark((100, 0), (0, 0), (100 * np.cos(turn), -100 * np.sin(turn)))
    assert (mark.size, mark.on) == (pytest.approx(opening), None)


@pytest.mark.parametrize("lean", [-89, -30, -2, 0, 2, 30, 90])
def test_a_line_is_told_against_the_vertical_and_the_horizontal(lean):
    turn = np.radians(lean)
    end = (100 + 80 * np.sin(turn), 100 - 80 * np.cos(turn))
    upright, level = (axis_mark((100, 100), end, axis) for axis in ("upright", "level"))
    assert (upright.size, level.size) == (pytest.approx(abs(lean)), pytest.approx(90 - abs(lean)))
    for mark in (upright, level):
        assert clear_of(mark.toward, (end[0] - 100, end[1] - 100), (mark.on[0] - 100, mark.on[1] - 100))
        assert np.hypot(mark.on[0] - 100, mark.on[1] - 100) == pytest.approx(80)


def clear_of(toward, *arms):
    """Whether the number stands where no arm is in its way."""
    return all(angle_between(toward, (0, 0), arm) >= 44.9 for arm in arms)


def test_without_an_arm_there_is_no_mark():
    assert angle_mark((5, 5), (5, 5), (9, 9)) is None
    assert angle_mark((9, 9), (5, 5), (5, 5)) is None
    assert axis_mark((5, 5), (5, 5), "upright") is None


def test_the_desk_tells_the_same(tmp_path):
    random = np.random.default_rng(7)
    given = random.uniform(0, 500, (200, 3, 2)).round(1).tolist()
    given += [[[0, 0], [10, 0], [20, 0]], [[0, 0], [10, 0], [0, 0]], [[0, 0], [10, 0], [10, 9]]]
    script = tmp_path / "marks.mjs"
    script.write_text(
        f"import {{ angleMark, axisMark }} from {json.dumps((ROOT / 'static/js/desk/angles.js').as_uri())};"
        f"const told = ([a, b, c]) => [angleMark(a, b, c, {angles.GOES_ON}),"
        " axisMark(a, b, 'upright'), axisMark(a, b, 'level')];"
        f"console.log(JSON.stringify({json.dumps(given)}.map(told)));"
    )
    node = shutil.which("node")
    assert node, "node is needed to test the browser modules; `make setup` installs it"
    run = subprocess.run([node, str(script)], capture_output=True, text=True, timeout=60, check=True)
    for points, told in zip(given, json.loads(run.stdout), strict=True):
        a, b, c = map(tuple, points)
        for theirs, mine in zip(
            told, [angle_mark(a, b, c), axis_mark(a, b, "upright"), axis_mark(a, b, "level")], strict=True
        ):
            assert theirs["size"] == pytest.approx(mine.size, abs=1e-5)
            assert theirs["toward"] == pytest.approx(mine.toward)
            assert theirs["on"] == (pytest.approx(mine.on) if mine.on else None)
