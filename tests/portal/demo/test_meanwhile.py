"""What somebody does to a submission in the very moment in which the demo works on it."""

import pytest

from portal.demo.meanwhile import theirs_first, untouched
from portal.desk import claims, drafts
from portal.evaluations.publish import NotPublished
from portal.intake.models import Submission
from portal.intake.receiving import Refused
from portal.intake.states import MoveNotAllowed, State
from portal.people.models import User
from tests.portal.conftest import make_clip

pytestmark = pytest.mark.django_db


@pytest.fixture
def ready(submission):
    return submission(State.READY)


@pytest.fixture
def other(camp):
    return User.objects.create(email="other@example.org", name="Other Coach", is_coach=True)


def elsewhere(one: Submission) -> Submission:
    """The same row, as another request has it."""
    return Submission.objects.get(pk=one.pk)


def test_who_was_quicker_keeps_the_review(ready, coach, other):
    with theirs_first(ready, coach):
        claims.claim(elsewhere(ready), other)
        claims.claim(ready, coach)
    assert elsewhere(ready).reviewer == other


def test_who_was_quicker_to_withdraw_has_withdrawn(ready, coach):
    claims.claim(ready, coach)
    with theirs_first(ready, coach):
        elsewhere(ready).move(State.WITHDRAWN)
        ready.move(State.PUBLISHED)
    assert elsewhere(ready).state == State.WITHDRAWN


def test_a_row_that_is_gone_is_no_trouble(ready, coach):
    with theirs_first(ready, coach):
        elsewhere(ready).delete()
        ready.move(State.IN_REVIEW, reviewer=coach)


def test_words_written_at_the_desk_meanwhile_are_kept(ready, coach):
    with theirs_first(ready, coach):
        claims.claim(ready, coach)
        review = drafts.open_draft(ready)
        drafts.change(review, coach, drafts.Sender(0), "t", drafts.set_fields(greeting="Mine."))
        raise NotPublished("The draft was changed in another window.")
    review.refresh_from_db()
    assert review.greeting == "Mine."


def test_what_fails_though_nobody_came_by_is_raised(ready, coach):
    with pytest.raises(MoveNotAllowed), theirs_first(ready):
        ready.move(State.PUBLISHED)
    with pytest.raises(Refused), theirs_first(ready):
        raise Refused("disk_full", "Our disk is full.", 507)
    claims.claim(ready, coach)
    drafts.open_draft(ready)
    with pytest.raises(NotPublished), theirs_first(ready, coach):
        raise NotPublished("The picture of frame 3 cannot be made.")


def test_only_what_nobody_touched_goes_on(ready, coach):
    clip = make_clip(ready)
    assert untouched(clip, State.READY) == ready
    assert untouched(clip, State.UNREADABLE) is None
    make_clip(ready)
    assert untouched(clip, State.READY) is None


def test_a_review_that_was_begun_and_put_back_counts_as_touched(ready, coach):
    clip = make_clip(ready)
    claims.claim(ready, coach)
    drafts.open_draft(ready)
    claims.release(ready, coach)
    assert untouched(clip, State.READY) is None
