"""A checkpoint on its card: made once for what it shows, never shown for something else, and no word of a coach kept."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.template import Context, Template

from portal.desk.stops import stops
from portal.desk.swings import swing_of
from portal.desk.templatetags import desk as tags


def drawn(point, is_mine=True):
    return Template("{% load desk %}{% point one is_mine %}").render(Context({"one": point, "is_mine": is_mine}))


@pytest.fixture
def point(review):
    tags._kept.cache_clear()
    walk = stops(review, swing_of(review))
    return next(one for stop in walk for one in stop.points if one.entry.id == "down_front_knee")


def test_the_same_is_made_once_and_looks_as_if_made_anew(point):
    first = drawn(point)
    assert drawn(replace(point, reading=dict(point.reading))) == first
    assert (tags._kept.cache_info().hits, tags._kept.cache_info().misses) == (1, 1)
    assert first.strip() == tags._drawn(point, True).strip()


@pytest.mark.parametrize(
    "other",
    [
        lambda point: replace(point, reading={**point.reading, "value": 77.25}),
        lambda point: replace(point, reading={**point.reading, "call": "too close to call"}),
        lambda point: replace(point, reading={**point.reading, "own_band": True}),
        lambda point: replace(point, rating="watch" if point.rating != "watch" else "good"),
        lambda point: replace(point, is_thing=not point.is_thing),
        lambda point: replace(point, words="Sit into it."),
    ],
    ids=["value", "call", "own band", "rating", "the one thing", "words"],
)
def test_whatever_changes_is_seen_at_once(point, other):
    before = drawn(point)
    after = drawn(other(point))
    assert after != before
    assert after.strip() == tags._drawn(other(point), True).strip()


def test_a_stranger_is_shown_no_fields_of_its_coach(point):
    assert "data-words" in drawn(point)
    assert "data-words" not in drawn(point, is_mine=False)


def test_what_a_coach_wrote_is_shown_and_kept_nowhere(point):
    said = replace(point, words="Sit into it.")
    assert 'value="Sit into it."' in drawn(said)
    assert tags._kept.cache_info().currsize == 0
