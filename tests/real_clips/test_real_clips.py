"""Real clips against their labels by eye, with fixed limits. The hitter's own clip is watched in `tests/analysis/watch/test_footage.py`."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from analysis.read import read
from analysis.read.versions import METHOD
from analysis.tracks import load

from .judged import Label, Off, Seen, false_swings, kept, labels, matched, offs, seen_in, tracks_of

SWING = {"foot_down": [57.0, 1.0], "contact": [62.0, 1.0]}
WITHOUT = [name for name, label in labels().items() if not label.swings]


def by_hand(*swings: dict[str, list[float]]) -> Label:
    return replace(labels()["cage_back_side"], swings=list(swings))


def read_as(*swings: dict[str, list[float]]) -> Seen:
    return Seen(300, 30.0, list(swings), 0, "right", "back_side", 1.0, 0.1, METHOD)


@pytest.mark.parametrize("name", WITHOUT)
def test_where_nobody_holds_a_bat_nobody_is_taken_to_swing(name: str) -> None:
    path = tracks_of(name)
    assert path is not None
    tracks = load(path)
    seen = seen_in(tracks, read(tracks), labels()[name])
    assert false_swings(seen, labels()[name]) == 0
    assert seen.checked == 0
    assert seen == kept()[name]  # what the page shows is what is read today


def test_what_the_page_shows_was_read_by_todays_method() -> None:
    """After a new method: `python -m tests.real_clips`, then `python -m analysis.validate --real`."""
    assert set(kept()) == set(labels())
    assert {seen.method for seen in kept().values()} == {METHOD}


def test_labels_are_in_order_and_in_the_clip() -> None:
    for name, label in labels().items():
        last = kept()[name].frames - 1
        for swing in label.swings:
            frames = [at for at, _ in swing.values()]
            assert list(swing) == ["set_up", "load", "foot_down", "swing_start", "contact", "extension", "finish"]
            assert frames == sorted(frames)
            assert 0 <= frames[0] <= frames[-1] <= last
        for first, until, _ in label.no_swing:
            assert 0 <= first < until <= last
            assert not any(first <= swing["contact"][0] <= until for swing in label.swings)


def test_a_swing_is_found_where_its_contact_is_near() -> None:
    label = by_hand(SWING, {"contact": [166.0, 1.0]})
    near, far = {"contact": [65.0, 60.0, 70.0]}, {"contact": [100.0, 99.0, 101.0]}
    assert matched(read_as(near, far), label) == [0, None]
    assert false_swings(read_as(near, far), label) == 1
    assert false_swings(read_as(near, near), label) == 1  # one label takes one swing


def test_how_far_off_an_instant_is_and_whether_its_interval_holds() -> None:
    found = {"contact": [64.0, 63.0, 65.0], "foot_down": [60.5, 58.5, 62.0]}
    foot, contact = offs("clip", read_as(found), by_hand(SWING))
    assert (contact.frames, contact.within, contact.held) == (2.0, True, True)  # 63 is what the eye takes for possible
    assert (foot.frames, foot.within, foot.held) == (3.5, False, False)


def test_what_was_not_found_is_neither_near_nor_held() -> None:
    (contact,) = offs("clip", read_as(), by_hand({"contact": [62.0, 1.0]}))
    assert contact == Off("clip", 1, "contact", 62.0, 1.0, None, None)
    assert not contact.within
    assert not contact.held


def test_what_holds_no_bat_is_no_swing_and_a_bat_in_a_few_frames_makes_it_one() -> None:
    """In the park somebody swings both arms and jumps off a roof."""
    path = tracks_of("park")
    assert path is not None
    tracks = load(path)
    seen = tracks.bat_confidence.copy()
    seen[162:168] = 0.8
    assert not read(tracks).swings
    assert len(read(replace(tracks, bat_confidence=seen)).swings) == 1
    unwatched = replace(tracks, bat_px=np.full_like(tracks.bat_px, np.nan))
    assert len(read(unwatched).swings) == 1  # where nobody looked for a bat, its absence says nothing
