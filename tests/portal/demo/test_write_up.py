"""What the demo's coach draws and says: on the side that the reading lacks, and no praise beyond it."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from portal.demo import write_up
from tests.portal.measuring.test_wanted import filmed, lacking

FRONT_LEG = ("down_front_knee", "down_foot_opening")


def marks(monkeypatch, hand, checkpoint, by):
    """Of the one thing: how it is and how it is wanted, `by` degrees more; and the frame's keypoints."""
    tracks, swing = filmed(hand)
    monkeypatch.setattr(write_up, "swing_of", lambda review: lacking(swing, checkpoint, by))
    measurement = SimpleNamespace(corrections=None, result={"film": {"hand": hand}})
    review = SimpleNamespace(clip=SimpleNamespace(measurement=measurement))
    points = tracks.keypoints_px[swing["instants"]["foot_down"]["frame"]]
    return write_up._seen(points, review, checkpoint), write_up._wanted(tracks, review, checkpoint)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("checkpoint", FRONT_LEG)
def test_the_wanted_mark_lies_on_the_side_that_is_missed(monkeypatch, hand, checkpoint):
    """A knee that is too straight is to sink and one too bent to rise; a foot too closed is to open (it is long across the picture)."""
    more, less = (marks(monkeypatch, hand, checkpoint, by) for by in (25, -25))
    assert (more[1]["tone"], more[0]["tone"]) == ("wanted", "seen")

    def size(shape):
        (x0, y0), (x1, _y1) = shape["points"][0], shape["points"][-1]
        return y0 if checkpoint == "down_front_knee" else abs(x1 - x0)

    assert size(less[1]) < size(less[0])
    assert size(more[0]) < size(more[1])


def test_nothing_is_drawn_as_wanted_where_nothing_is_lacking(monkeypatch):
    tracks, swing = filmed("right")
    monkeypatch.setattr(write_up, "swing_of", lambda review: swing)
    review = SimpleNamespace(clip=SimpleNamespace(measurement=SimpleNamespace(corrections=None)))
    assert write_up._wanted(tracks, review, "finish_pull_across") is None


@pytest.mark.parametrize(
    ("interval", "is_praised"), [((2.0, 4.0), True), ((9.0, 11.0), False), ((12.0, 15.0), False), (None, False)]
)
def test_a_still_head_is_praised_only_where_it_was_read_so(interval, is_praised):
    reading = {"checkpoint": "contact_head_travel", "interval": interval, "band": [None, 10.0]}
    assert ("stayed still" in write_up.contact_words({"readings": [reading]})) is is_praised
    assert "stayed still" not in write_up.contact_words({"readings": []})


def test_where_the_hands_go_is_drawn_from_the_chest_to_them():
    tracks, swing = filmed("right")
    points = tracks.keypoints_px[swing["instants"]["contact"]["frame"]]
    shape = write_up._seen(points, SimpleNamespace(), "finish_pull_across")
    hands = (points[15] + points[16]) / 2
    assert shape["kind"] == "line"
    assert shape["points"][-1] == pytest.approx(hands.tolist(), abs=0.1)
