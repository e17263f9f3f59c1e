"""A submission with several clips moves on when the last of them is done."""

import pytest

from portal.intake.states import State
from portal.measuring import claims
from tests.portal.measuring.conftest import make_waiting_clip

pytestmark = pytest.mark.django_db


@pytest.fixture
def two(submission):
    request = submission(State.RECEIVED)
    return request, make_waiting_clip(request), make_waiting_clip(request)


def state_of(request):
    request.refresh_from_db()
    return request.state


def test_the_first_clip_alone_changes_nothing(two):
    request, first, _ = two
    claims.finish(claims.take(first.pk), result={})
    assert state_of(request) == State.MEASURING


def test_one_measured_clip_of_two_is_enough_for_the_coach(two):
    request, first, second = two
    claims.fail(claims.take(first.pk), "nobody", "…")
    assert state_of(request) == State.MEASURING
    claims.finish(claims.take(second.pk), result={})
    assert state_of(request) == State.READY


def test_no_measured_clip_is_unreadable(two):
    request, first, second = two
    claims.fail(claims.take(first.pk), "nobody", "…")
    claims.fail(claims.take(second.pk), "dark", "…")
    assert state_of(request) == State.UNREADABLE


def test_a_clip_that_joins_a_review_leaves_it_in_review(submission):
    request = submission(State.IN_REVIEW)
    clip = make_waiting_clip(request)
    claims.finish(claims.take(clip.pk), result={})
    assert state_of(request) == State.IN_REVIEW
