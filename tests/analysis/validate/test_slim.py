"""A plot in fewer bytes is the same plot."""

from __future__ import annotations

from io import StringIO
from xml.dom import minidom

import matplotlib as mpl
import pytest
from matplotlib.figure import Figure

from analysis.validate.slim import slim


@pytest.fixture
def drawn() -> str:
    with mpl.rc_context({"svg.fonttype": "none", "font.size": 8}):
        figure = Figure(figsize=(2, 2))
        axes = figure.subplots()
        dots = axes.plot(range(50), range(50), "o", color="#0072B2", alpha=0.5, label="side")
        dots[0].set_gid("dots-circle")
        axes.plot([10.123], [40.0], "o", color="#0072B2", alpha=0.5)
        axes.set_title("1.2345 of x")
        out = StringIO()
        figure.savefig(out, format="svg", metadata={"Date": None})
    return out.getvalue()


def test_it_is_less_than_half_as_long_and_still_xml(drawn: str) -> None:
    small = slim(drawn)
    assert len(small) < 0.5 * len(drawn)
    assert minidom.parseString(small).documentElement.tagName == "svg"


def test_all_dots_are_there_in_one_stroke(drawn: str) -> None:
    small = slim(drawn)
    stroke = next(line for line in small.splitlines() if "h0M" in line)
    assert stroke.count("h0") == 50
    assert "stroke: #0072b2; stroke-opacity: 0.5" in stroke
    assert "stroke-linecap: round" in stroke


def test_words_stay_and_every_mark_that_is_used_is_told(drawn: str) -> None:
    tree = minidom.parseString(slim(drawn))
    words = [text.firstChild.data for text in tree.getElementsByTagName("text")]
    assert "1.2345 of x" in words
    told = {path.getAttribute("id") for path in tree.getElementsByTagName("path")}
    used = {mark.getAttribute("xlink:href")[1:] for mark in tree.getElementsByTagName("use")}
    assert used
    assert used <= told
