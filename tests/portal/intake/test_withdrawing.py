"""Taking it back deletes what was kept, files included."""

import os
from datetime import timedelta
from functools import partial
from pathlib import Path
from uuid import uuid4

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from portal.desk.models import MarkUp, Review
from portal.evaluations import access_log
from portal.evaluations.models import AccessLogEntry, Evaluation, What
from portal.intake import consent, erase, tasks
from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring.models import Measurement
from portal.people.models import Player
from tests.portal.conftest import make_clip, make_submission


def files(settings) -> list[str]:
    root = Path(settings.MEDIA_ROOT)
    return sorted(str(path.relative_to(root)) for path in root.rglob("*") if path.is_file())


@pytest.fixture
def published(evaluation, measured_clip, coach):
    """A submission with everything that can hang on it, a PDF and a drawing too."""
    MarkUp.objects.create(review=Review.objects.get(), clip=measured_clip, frame=3)
    default_storage.save(f"{evaluation.folder}/pictures/1.png", ContentFile(b"png"))
    default_storage.save(f"{evaluation.folder}/evaluation.pdf", ContentFile(b"pdf"))
    access_log.note(coach, evaluation.submission.player, What.DRAFT, evaluation.submission)
    return evaluation.submission


@pytest.fixture
def another(player, camp):
    """A submission of the same player that is left alone."""
    other = make_submission(player, camp, State.READY)
    make_clip(other)
    return other


def test_withdrawing_deletes_all_that_was_made_from_the_clips(
    sign_in, guardian, published, another, settings, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        page = sign_in(guardian).post(reverse("submission_withdraw", args=[published.pk]))
    assert page.url == reverse("submission", args=[published.pk])
    published.refresh_from_db()
    assert published.state == State.WITHDRAWN
    for model in (Review, Evaluation, MarkUp, Measurement):
        assert not model.objects.exists(), model
    assert list(Clip.objects.values_list("submission", flat=True)) == [another.pk]
    assert files(settings) == [f"originals/{another.clips.get().pk}"]


def test_the_log_of_who_saw_it_stays(published):
    erase.withdraw(published)
    assert AccessLogEntry.objects.filter(submission=published).count() == 1


def test_words_that_tell_of_the_player_go_too(submission):
    sent = submission(State.FILM_AGAIN, note="She has a sore wrist.", film_again_words="Closer, please.")
    erase.withdraw(sent)
    sent.refresh_from_db()
    assert (sent.note, sent.film_again_words) == ("", "")


def test_files_stay_when_the_change_is_undone(published, settings, django_capture_on_commit_callbacks):
    before = files(settings)
    with django_capture_on_commit_callbacks(execute=True), transaction.atomic():
        erase.withdraw(published)
        transaction.set_rollback(True)
    assert files(settings) == before


def test_withdrawing_twice_is_fine(submission):
    sent = submission(State.READY)
    erase.withdraw(sent)
    erase.withdraw(sent)
    assert sent.state == State.WITHDRAWN


def test_it_is_asked_first(sign_in, guardian, submission):
    sent = submission(State.READY)
    page = sign_in(guardian).get(reverse("submission_withdraw", args=[sent.pk]))
    assert "can’t be undone" in page.text
    sent.refresh_from_db()
    assert sent.state == State.READY


@pytest.mark.parametrize("persona", ["coach", "owner", "other_guardian", "player_user"])
def test_only_who_speaks_for_the_player_withdraws(persona, request, sign_in, submission):
    sent = submission(State.READY)
    client = sign_in(request.getfixturevalue(persona))
    assert client.post(reverse("submission_withdraw", args=[sent.pk])).status_code == 404
    sent.refresh_from_db()
    assert sent.state == State.READY


def test_a_grown_up_player_speaks_for_themself(sign_in, player_user, player, submission):
    Player.objects.filter(pk=player.pk).update(birth_year=player.birth_year - 10, adult_said_at=timezone.now())
    sent = submission(State.READY)
    assert sign_in(player_user).post(reverse("submission_withdraw", args=[sent.pk])).status_code == 302


def test_no_such_submission(sign_in, guardian):
    assert sign_in(guardian).post(reverse("submission_withdraw", args=[uuid4()])).status_code == 404


class TestConsent:
    def url(self, player):
        return reverse("consent_take_back", args=[player.consents.get().pk])

    def test_taking_it_back_deletes_everything_of_that_camp_and_nothing_else(
        self, sign_in, guardian, player, published, another, other_camp, settings, django_capture_on_commit_callbacks
    ):
        elsewhere = make_submission(player, other_camp, State.READY)
        kept = make_clip(elsewhere)
        with django_capture_on_commit_callbacks(execute=True):
            sign_in(guardian).post(self.url(player))
        states = dict(Submission.objects.values_list("pk", "state"))
        assert states == {published.pk: "withdrawn", another.pk: "withdrawn", elsewhere.pk: "ready"}
        assert files(settings) == [f"originals/{kept.pk}"]

    def test_the_consent_is_kept_as_taken_back(self, sign_in, guardian, player, camp):
        sign_in(guardian).post(self.url(player))
        given = player.consents.get()
        assert not given.holds
        assert consent.holding(player, camp) is None

    def test_it_says_how_much_will_go(self, sign_in, guardian, player, another):
        assert "One submission and its evaluation go." in sign_in(guardian).get(self.url(player)).text

    def test_once_taken_back_there_is_nothing_to_ask(self, sign_in, guardian, player):
        client = sign_in(guardian)
        client.post(self.url(player))
        assert client.get(self.url(player)).url == reverse("player", args=[player.pk])

    @pytest.mark.parametrize("persona", ["coach", "other_coach", "other_guardian", "player_user"])
    def test_only_who_speaks_for_the_player_and_the_owner(self, persona, request, sign_in, player):
        client = sign_in(request.getfixturevalue(persona))
        assert client.post(self.url(player)).status_code == 404
        assert player.consents.get().holds

    def test_no_such_consent(self, sign_in, guardian):
        assert sign_in(guardian).get(reverse("consent_take_back", args=[99])).status_code == 404


class TestLeftovers:
    LATER = timedelta(hours=1, minutes=1)

    @pytest.fixture
    def lost(self, measured_clip, evaluation):
        """What crashes left behind, beside things that are in use."""
        gone = uuid4()
        names = [f"originals/{gone}", f"clips/{gone}", f"evaluations/{gone}", "incoming/clip-x.part"]
        for name in (names[0], f"{names[1]}/poster.jpg", f"{names[2]}/pictures/1.png", names[3]):
            default_storage.save(name, ContentFile(b"x"))
        default_storage.save("clips/readme.txt", ContentFile(b"not ours"))
        return names

    def test_what_a_crash_left_behind_is_found_and_what_is_in_use_is_not(self, lost):
        assert erase.leftovers(timezone.now() + self.LATER) == lost

    def test_what_was_written_just_now_may_still_be_on_its_way(self, lost):
        assert erase.leftovers() == []

    def test_the_hourly_task_deletes_it_and_nothing_else(self, lost, settings, monkeypatch):
        monkeypatch.setattr(tasks.erase, "erase_leftovers", partial(erase.erase_leftovers, old=-timedelta(minutes=1)))
        before = files(settings)
        tasks.erase_leftovers()
        left = files(settings)
        assert left == [name for name in before if not any(name.startswith(one) for one in lost)]
        assert len(before) - len(left) == 4

    def test_half_a_form_of_a_killed_server_goes_and_one_that_comes_in_just_now_stays(self, settings, tmp_path):
        settings.FILE_UPLOAD_TEMP_DIR = tmp_path / "on-the-way"
        settings.FILE_UPLOAD_TEMP_DIR.mkdir()
        old, new = settings.FILE_UPLOAD_TEMP_DIR / "old.upload.mp4", settings.FILE_UPLOAD_TEMP_DIR / "new.upload.mp4"
        old.touch()
        new.touch()
        os.utime(old, (1, 1))
        assert erase.erase_half_sent() == 1
        assert (old.exists(), new.exists()) == (False, True)
        erase.erase_half_sent(old=timedelta(0))
        assert not new.exists()

    def test_half_made_products_of_a_killed_worker_go_and_those_in_use_stay(self, measured_clip):
        """The clip's products, what its present worker fills, and what another one left."""
        Measurement.objects.update(products=f"{measured_clip.folder}/0123456789ab", claim="c" * 32)
        for folder in ("0123456789ab", "c" * 12, "deadbeef0000"):
            default_storage.save(f"{measured_clip.folder}/{folder}/review.mp4", ContentFile(b"x"))
        assert erase.leftovers(timezone.now() + self.LATER) == [f"{measured_clip.folder}/deadbeef0000"]

    def test_an_empty_storage_has_none(self, db):
        assert erase.leftovers() == []
