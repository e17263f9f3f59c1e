"""An angle mark tells the bend of a joint, on the desk and in what is sent."""

import doctest
import json
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from portal.evaluations import angles
from portal.evaluations.angles import angle_mark

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
    assert mark.toward[1] > 0  # below the knee, between thigh and shank


@pytest.mark.parametrize("opening", [5, 30, 90])
def test_an_opening_up_to_a_right_angle_is_told_as_it_is(opening):
    turn = np.radians(opening)
    mark = angle_mark((100, 0), (0, 0), (100 * np.cos(turn), -100 * np.sin(turn)))
    assert (mark.size, mark.on) == (pytest.approx(opening), None)


def test_without_an_arm_there_is_no_mark():
    assert angle_mark((5, 5), (5, 5), (9, 9)) is None
    assert angle_mark((9, 9), (5, 5), (5, 5)) is None


def test_the_desk_tells_the_same(tmp_path):
    random = np.random.default_rng(7)
    given = random.uniform(0, 500, (200, 3, 2)).round(1).tolist()
    given += [[[0, 0], [10, 0], [20, 0]], [[0, 0], [10, 0], [0, 0]], [[0, 0], [10, 0], [10, 9]]]
    script = tmp_path / "marks.mjs"
    script.write_text(
        f"import {{ angleMark }} from {json.dumps((ROOT / 'static/js/desk/angles.js').as_uri())};"
        f"console.log(JSON.stringify({json.dumps(given)}.map((points) => angleMark(...points))));"
    )
    node = shutil.which("node")
    assert node, "node is needed to test the browser modules; `make setup` installs it"
    run = subprocess.run([node, str(script)], capture_output=True, text=True, timeout=60, check=True)
    for points, theirs in zip(given, json.loads(run.stdout), strict=True):
        mine = angle_mark(*map(tuple, points))
        assert theirs["size"] == pytest.approx(mine.size, abs=1e-5)
        assert theirs["toward"] == pytest.approx(mine.toward)
        assert theirs["on"] == (pytest.approx(mine.on) if mine.on else None)
