"""What may be there once is there once, also when two ask for it in the same moment."""

from __future__ import annotations

import threading

import pytest
from django.db import IntegrityError, connection, transaction
from django.db.migrations.executor import MigrationExecutor

from portal.intake import consent
from portal.intake.models import Consent, Submission
from portal.intake.sending import open_submission
from portal.intake.states import State
from tests.portal.conftest import make_player, make_submission, make_user


def test_there_is_one_open_submission_for_a_player_in_a_camp(player, camp, guardian):
    first = open_submission(player, camp, guardian)
    assert open_submission(player, camp, guardian) == first
    with pytest.raises(IntegrityError), transaction.atomic():
        make_submission(player, camp)
    make_submission(player, camp, State.READY)  # others are as many as were sent


def test_there_is_one_holding_consent_of_each_person_and_a_second_word_finds_it(player, camp, guardian, player_user):
    held = Consent.objects.get()
    assert consent.give(player, camp, guardian, training_too=True) == held
    with pytest.raises(IntegrityError), transaction.atomic():
        Consent.objects.create(player=player, camp=camp, given_by=guardian, wording="2026-1")
    consent.give(player, camp, player_user, training_too=False)  # the word of another person stands beside it
    consent.take_back(held)
    assert consent.give(player, camp, guardian, training_too=True) != held


def test_a_state_that_is_none_cannot_be_kept(player, camp):
    kept = make_submission(player, camp)
    with pytest.raises(IntegrityError), transaction.atomic():
        Submission.objects.filter(pk=kept.pk).update(state="lost")


def test_a_rating_that_is_none_cannot_be_kept(review):
    from portal.desk.models import Rating

    with pytest.raises(IntegrityError), transaction.atomic():
        Rating.objects.create(review=review, checkpoint="down_front_knee", rate="superb")


def at_once(act, count: int = 6) -> list[object]:
    """What `act` gives to so many threads that call it in the same moment."""
    barrier, found = threading.Barrier(count), []

    def go():
        try:
            barrier.wait(20)
            found.append(act())
        finally:
            connection.close()

    threads = [threading.Thread(target=go) for _ in range(count)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return found


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_of_many_who_begin_at_once_all_get_the_same():
    from portal.camps.models import Camp

    camp = Camp.objects.create(name="Lindholt fall camp")
    guardian = make_user("lea@example.org", "Lea Sandvall")
    player = make_player(camp, guardian)
    Consent.objects.all().delete()
    begun = at_once(lambda: open_submission(player, camp, guardian).pk)
    assert begun == [Submission.objects.get().pk] * 6
    given = at_once(lambda: consent.give(player, camp, guardian, training_too=False).pk)
    assert given == [Consent.objects.get().pk] * 6


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_doubles_of_former_days_become_one():
    from portal.camps.models import Camp

    executor = MigrationExecutor(connection)
    newest = executor.loader.graph.leaf_nodes()
    executor.migrate([("intake", "0006_film_ended")])
    try:
        camp = Camp.objects.create(name="Lindholt fall camp")
        guardian = make_user("lea@example.org", "Lea Sandvall")
        player = make_player(camp, guardian)
        Consent.objects.create(player=player, camp=camp, given_by=guardian, wording="2026-1", training_too=True)
        first, _second = make_submission(player, camp), make_submission(player, camp, note="Hits left, too.")
    finally:
        MigrationExecutor(connection).migrate(newest)
    kept = Submission.objects.get()
    assert (kept.pk, kept.note) == (first.pk, "Hits left, too.")
    holding = Consent.objects.get(taken_back_at=None)
    assert (holding.training_too, Consent.objects.count()) == (True, 2)
