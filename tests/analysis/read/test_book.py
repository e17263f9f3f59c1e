"""The book is whole: fixed ids in the order of the walk, words for everyone, bands that fit their strips."""

from __future__ import annotations

import re

import pytest

from analysis.read import CHECKPOINTS, INSTANTS, LEVELS, VIEWS, band_for, checkpoint, checkpoints_at
from analysis.read.checkpoint import Checkpoint

# The ids of the design, in its order of instants.
IDS = [
    "setup_base_width",
    "setup_front_knee",
    "setup_rear_knee",
    "setup_trunk_lean",
    "setup_face",
    "load_hands_back",
    "load_head_travel",
    "down_front_knee",
    "down_rear_knee",
    "down_knee_balance",
    "down_front_knee_inside",
    "down_rear_knee_inside",
    "down_hips_square",
    "down_shoulders_square",
    "down_head_centre",
    "down_foot_opening",
    "down_stride_length",
    "down_bat_angle",
    "time_to_start",
    "start_to_contact",
    "down_to_contact",
    "swing_elbow_line",
    "contact_front_knee",
    "contact_head_travel",
    "contact_palms",
    "extension_reach",
    "finish_hands_height",
    "finish_balance",
    "finish_pull_across",
]

# What `why` says is right, or that it says of either side: read by eye behind both sentences of what to do.
MIDDLE = {
    "setup_base_width": "steady and still free to move",
    "setup_front_knee": "Soft knees",
    "setup_rear_knee": "soft rear leg is a spring that can still be loaded",
    "setup_trunk_lean": "A small lean",
    "setup_face": "Two eyes",
    "load_hands_back": "go back a little",
    "load_head_travel": "quiet but not stiff",
    "down_front_knee": "soft, and still holds",
    "down_rear_knee": "a straight one has nothing left to push with, and a deep one is slow",
    "down_knee_balance": "Equal knees",
    "down_front_knee_inside": "leans out or caves in",
    "down_rear_knee_inside": "leans out or caves in",
    "down_hips_square": "wound up they come late, and open they have spent it",
    "down_shoulders_square": "turned in too far, it hides the ball",
    "down_head_centre": "A centered head",
    "down_foot_opening": "opens too far lets the hips fly open, and one that lands shut holds them",
    "down_stride_length": "Too long a stride locks the hips, too short a one",
    "down_bat_angle": "flat too early must sweep around, and one too steep has far to go",
    "time_to_start": "a long wait",
    "start_to_contact": "a snatched one",
    "down_to_contact": "neither late nor long before",
    "swing_elbow_line": "in the slot",
    "contact_front_knee": "firm but not locked",
    "contact_head_travel": "the head is still and the neck is easy",
    "extension_reach": "long but not locked",
    "finish_hands_height": "at the shoulder",
    "finish_balance": "A balanced finish",
}
# What no number of the book tells.
UNTOLD = re.compile(r"\b(calm(ly)?|relaxed|athletic|high|short|strong|powerful|beautiful)\b", re.IGNORECASE)

each = pytest.mark.parametrize("entry", CHECKPOINTS, ids=lambda entry: entry.id)


def test_the_ids_are_those_of_the_design() -> None:
    assert sorted(entry.id for entry in CHECKPOINTS) == sorted(IDS)


def test_only_the_eye_rates_palms_and_the_pull_across() -> None:
    assert {entry.id for entry in CHECKPOINTS if entry.by_eye} == {"contact_palms", "finish_pull_across"}


def test_the_book_follows_the_walk() -> None:
    stops = [INSTANTS.index(entry.instant) for entry in CHECKPOINTS]
    assert stops == sorted(stops)
    assert sum(len(checkpoints_at(instant)) for instant in INSTANTS) == len(CHECKPOINTS)


@each
def test_an_entry_has_words_for_a_parent(entry: Checkpoint) -> None:
    sides = [entry.words_for(side) for side in ("low", "high")]
    for words in (entry.name, entry.definition, entry.good_words, *sides, entry.why):
        assert words == words.strip()
        assert len(words) > 5
    for sentence in (entry.definition, entry.good_words, *sides, entry.why):
        assert sentence.endswith(".")


@each
def test_too_little_and_too_much_have_sentences_of_their_own(entry: Checkpoint) -> None:
    low, high = entry.words_for("low"), entry.words_for("high")
    assert (low == high) is entry.by_eye
    assert bool(entry.words_for("")) is entry.by_eye


@each
def test_why_it_matters_never_argues_for_the_side_that_is_missed(entry: Checkpoint) -> None:
    """The same sentence is drafted behind what helps against too little and behind what helps against too much."""
    assert (entry.id in MIDDLE) is not entry.by_eye
    assert MIDDLE.get(entry.id, "") in entry.why


@each
def test_praise_says_no_more_than_the_number_tells(entry: Checkpoint) -> None:
    assert entry.by_eye or not UNTOLD.search(entry.good_words)
    low, high = entry.bands["child"]
    if low is not None and high is not None and low < 0.0 < high:  # then either side of 0 is praised alike
        assert not re.search(r"\b(closed|open(ed)?|ahead|behind|forward|back)\b", entry.good_words)


@each
def test_a_band_fits_its_strip_at_every_level(entry: Checkpoint) -> None:
    assert set(entry.bands) == set(LEVELS)
    low, high = entry.scale
    assert low < high
    for band in entry.bands.values():
        ends = [end for end in band if end is not None]
        assert ends == sorted(ends)
        assert all(low <= end <= high for end in ends)


@each
def test_an_entry_says_where_it_is_read_and_where_its_band_comes_from(entry: Checkpoint) -> None:
    assert set(entry.views) <= set(VIEWS)
    assert entry.views
    assert set(entry.instants) <= set(INSTANTS)
    assert entry.band_source


def test_a_coachs_own_band_outranks_the_books() -> None:
    entry = checkpoint("down_foot_opening")
    assert band_for(entry, "youth") == (None, 45.0)
    assert band_for(entry, "youth", {"down_foot_opening": (None, 30.0)}) == (None, 30.0)
    assert band_for(entry, "youth", {"setup_face": (0.0, 1.0)}) == (None, 45.0)


def test_an_unknown_level_is_refused() -> None:
    with pytest.raises(ValueError, match=r"one of child, youth, adult, got 'pro'"):
        band_for(CHECKPOINTS[0], "pro")


def test_an_unknown_id_is_refused() -> None:
    with pytest.raises(KeyError, match="no checkpoint 'front_knee'"):
        checkpoint("front_knee")
