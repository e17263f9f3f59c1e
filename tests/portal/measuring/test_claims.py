"""Who holds a clip: one at a time, counted before decoding, and no way back for the one taken for dead."""

import pytest
from django.db import connection

from portal.intake.states import State
from portal.measuring import claims
from portal.measuring.models import Measurement, Stage

pytestmark = pytest.mark.django_db


@pytest.fixture
def sent(monkeypatch):
    """Ids of the clips whose message was sent."""
    ids = []
    monkeypatch.setattr("portal.measuring.queue.send", ids.append)
    return ids


def row(clip) -> Measurement:
    return Measurement.objects.get(clip=clip)


def test_only_one_of_two_workers_gets_the_clip(waiting_clip):
    claim = claims.take(waiting_clip.pk)
    assert claim is not None
    assert claims.take(waiting_clip.pk) is None
    held = row(waiting_clip)
    assert (held.stage, held.attempt, held.claim, claim.attempt) == (Stage.OPENING, 1, claim.token, 1)
    waiting_clip.submission.refresh_from_db()
    assert waiting_clip.submission.state == State.MEASURING


def test_a_withdrawn_clip_is_not_taken(waiting_clip):
    waiting_clip.submission.move(State.WITHDRAWN)
    assert claims.take(waiting_clip.pk) is None
    assert row(waiting_clip).attempt == 0


def test_a_clip_that_is_gone_is_not_taken(waiting_clip):
    pk = waiting_clip.pk
    waiting_clip.delete()
    assert claims.take(pk) is None


def test_every_write_needs_the_claim(waiting_clip, sent):
    old = claims.take(waiting_clip.pk)
    claims.give_back(old)
    new = claims.take(waiting_clip.pk)
    for late in (
        lambda: claims.note(old, done=5),
        lambda: claims.finish(old, result={}),
        lambda: claims.fail(old, "nobody", "…"),
    ):
        with pytest.raises(claims.ClaimLost):
            late()
    held = row(waiting_clip)
    assert (held.claim, held.stage, held.done, held.result) == (new.token, Stage.OPENING, 0, None)


def test_finishing_moves_the_submission_to_the_coach(waiting_clip):
    claims.finish(claims.take(waiting_clip.pk), result={"schema": 1}, products="clips/x/1")
    held = row(waiting_clip)
    assert held.is_measured
    assert (held.claim, held.finished_at is not None) == ("", True)
    waiting_clip.submission.refresh_from_db()
    assert waiting_clip.submission.state == State.READY


def test_failing_tells_the_family(waiting_clip, django_capture_on_commit_callbacks, guardian, mailoutbox):
    with django_capture_on_commit_callbacks(execute=True):
        claims.fail(claims.take(waiting_clip.pk), "nobody", "We could not find a hitter in this clip.")
    waiting_clip.submission.refresh_from_db()
    assert waiting_clip.submission.state == State.UNREADABLE
    assert row(waiting_clip).failure_code == "nobody"
    email = next(email for email in mailoutbox if email.to == [guardian.email])
    assert "We could not find a hitter in this clip." in email.body


def test_a_clip_given_back_waits_and_is_sent_again_once(waiting_clip, sent, django_capture_on_commit_callbacks):
    claim = claims.take(waiting_clip.pk)
    with django_capture_on_commit_callbacks(execute=True):
        assert claims.release(claim.clip_id, claim.token, claim.attempt)
        assert not claims.release(claim.clip_id, claim.token, claim.attempt)
    assert sent == [waiting_clip.pk]
    assert (row(waiting_clip).stage, row(waiting_clip).attempt) == (Stage.WAITING, 1)


def test_the_third_lost_attempt_fails_in_plain_words(waiting_clip, sent):
    for _ in range(3):
        claims.give_back(claims.take(waiting_clip.pk))
    held = row(waiting_clip)
    assert (held.stage, held.attempt, held.failure_code) == (Stage.FAILED, 3, "stopped")
    assert held.failure_words == claims.worn_out_words()
    assert claims.take(waiting_clip.pk) is None


def test_a_worker_asked_to_stop_costs_no_attempt(waiting_clip, sent):
    for _ in range(5):
        claims.give_back(claims.take(waiting_clip.pk), blameless=True)
    assert (row(waiting_clip).stage, row(waiting_clip).attempt) == (Stage.WAITING, 0)


@pytest.mark.django_db(transaction=True)
def test_two_connections_at_once_still_give_one_claim(waiting_clip):
    """Forty tries from four threads, each with its own connection."""
    from concurrent.futures import ThreadPoolExecutor

    def attempt(_):
        try:
            return claims.take(waiting_clip.pk)
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as threads:
        taken = [claim for claim in threads.map(attempt, range(40)) if claim]
    assert len(taken) == 1
    assert row(waiting_clip).attempt == 1
