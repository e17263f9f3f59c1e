"""METHOD and BOOK go up with what they stand for: else old clips would keep what a former method read."""

import copy

import pytest

from tests.analysis.read import note_versions

HINT = "Raise the number in analysis/read/versions.py, then run python -m tests.analysis.read.note_versions."


@pytest.fixture(scope="module")
def now():
    return note_versions.state()


def test_the_numbers_stand_for_what_is_noted(now):
    before = note_versions.noted()
    assert not note_versions.faults(before, now), HINT
    assert (now["method"], now["book"]) == (before["method"], before["book"]), HINT
    assert now["book_facts"] == before["book_facts"], HINT


def test_another_band_asks_for_another_book(now):
    before = {**now, "book_facts": "another"}
    assert note_versions.faults(before, now) == ["The book changed: raise BOOK."]
    assert note_versions.faults(before, {**now, "book": now["book"] + 1}) == []


def test_another_value_asks_for_another_method(now):
    before = copy.deepcopy(now)
    before["films"]["maple_right_chest"][0]["down_stride_length"][0] += 1.0
    (fault,) = note_versions.faults(before, now)
    assert "down_stride_length" in fault
    assert "raise METHOD" in fault
    assert note_versions.faults(before, {**now, "method": now["method"] + 1}) == []


def test_rounding_asks_for_nothing(now):
    before = copy.deepcopy(now)
    before["films"]["maple_right_chest"][0]["down_stride_length"][0] += 0.01
    assert note_versions.faults(before, now) == []


def test_a_swing_more_asks_for_another_method(now):
    before = copy.deepcopy(now)
    before["films"]["hazel_child_two_swings"].pop()
    assert "1 swings became 2" in note_versions.faults(before, now)[0]


def test_neither_goes_down(now):
    assert "only ever go up" in note_versions.faults({**now, "method": now["method"] + 1}, now)[0]
