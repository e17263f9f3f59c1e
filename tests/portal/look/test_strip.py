"""The reading strip: positions worked out by hand in strip_cases.json, which the browser module is held to as well."""

from __future__ import annotations

import json
import shutil
import subprocess
from dataclasses import asdict
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from portal.look.strip import geometry

HERE = Path(__file__).parent
CASES = json.loads((HERE / "strip_cases.json").read_text())


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["what"])
def test_parts_lie_where_the_table_says(case):
    assert asdict(geometry(*case["in"])) == case["out"] | {"ticks": tuple(case["out"]["ticks"])}


def test_the_browser_module_agrees_with_the_same_table():
    node = shutil.which("node")
    assert node, "node is needed to test the browser modules; `make setup` installs it"
    run = subprocess.run([node, "--test", str(HERE / "strip.test.mjs")], capture_output=True, text=True, timeout=60)
    assert run.returncode == 0, run.stdout + run.stderr


@pytest.mark.parametrize("scale", [(90, 0), (5, 5), (0, float("inf")), (float("nan"), 1)])
def test_a_scale_that_does_not_rise_is_refused(scale):
    with pytest.raises(ValueError, match="two finite numbers in rising order"):
        geometry(scale, None, 1, None)


def test_an_interval_the_wrong_way_round_is_refused():
    with pytest.raises(ValueError, match="got 5 to 3"):
        geometry((0, 10), None, 4, (5, 3))


numbers = st.floats(-1000, 1000)


@given(low=numbers, length=st.floats(0.1, 500), value=numbers, half=st.floats(0, 200))
def test_nothing_is_drawn_beyond_the_scale(low, length, value, half):
    at = geometry((low, low + length), (value - half, None), value, (value - half, value + half))
    drawn = [at.needle, *(x for span in (at.band, at.bar) if span for x in (span.start, span.end))]
    assert all(0 <= x <= 100 for x in drawn if x is not None)
    assert (at.needle is None) == (at.off is not None)
