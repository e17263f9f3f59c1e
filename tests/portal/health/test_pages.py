"""/health/ for machines, /owner/health/ for the owner, and measuring a failed clip again."""

import json
import re
import uuid
from datetime import timedelta

import pytest
import redis
from django.urls import reverse
from django.utils import timezone

from portal.health.models import Heartbeat, Part
from portal.health.state import findings
from portal.health.tasks import heartbeat, mailer_heartbeat, measurer_heartbeat
from portal.intake.states import State
from portal.measuring import door, queue
from portal.measuring.models import Measurement, Retry, Stage
from portal.outbox.models import Email, EmailState
from portal.outbox.said import NO_SERVER
from portal.people.models import User
from tests.portal.conftest import make_clip

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def all_well(settings, tmp_path, monkeypatch):
    """A site on which nothing is wrong: the tests break one thing each."""
    model = tmp_path / "model.task"
    model.touch()
    settings.POSE_MODEL = str(model)
    monkeypatch.setattr(queue, "length", lambda name: 0)
    heartbeat()
    measurer_heartbeat()
    mailer_heartbeat()


def silent(part: Part, seconds: float) -> None:
    Heartbeat.objects.filter(part=part).update(at=timezone.now() - timedelta(seconds=seconds))


def parts(client) -> dict[str, bool]:
    return client.get(reverse("health")).json()["parts"]


def marked(page: str, part: str) -> str:
    """What stands before a part of the page: OK, Look or Trouble."""
    return re.search(rf"<b>(\w+)</b>\s*<span class=\"part\">{part}</span>", page)[1]


def test_a_site_that_is_well_answers_200_to_anybody(stranger):
    response = stranger.get(reverse("health"))
    assert (response.status_code, response.json()["status"]) == (200, "ok")
    assert set(response.json()["parts"]) == {
        "database", "queue", "worker", "measurer", "waiting", "mailer", "mail", "disk", "model",
    }  # fmt: skip
    assert "no-store" in response["Cache-Control"]


def test_it_tells_a_stranger_nothing_but_yes_and_no(stranger):
    body = stranger.get(reverse("health")).json()
    assert set(body) == {"status", "parts"}
    assert all(isinstance(value, bool) for value in body["parts"].values())


@pytest.mark.parametrize("part", Part)
def test_a_silent_worker_is_trouble(stranger, part):
    silent(part, 120)
    response = stranger.get(reverse("health"))
    assert response.status_code == 503
    assert [name for name, ok in response.json()["parts"].items() if not ok] == [str(part)]


def test_a_worker_never_seen_is_trouble(stranger):
    Heartbeat.objects.all().delete()
    assert [parts(stranger)[name] for name in ("worker", "measurer", "mailer")] == [False, False, False]


def test_a_measurer_in_the_middle_of_a_long_clip_is_alive(stranger, submission):
    silent(Part.MEASURER, 3600)
    Measurement.objects.create(
        clip=make_clip(submission(State.MEASURING)), stage=Stage.WATCHING, seen_at=timezone.now()
    )
    assert parts(stranger)["measurer"]


def test_a_queue_that_is_down_does_not_hide_the_rest(stranger, monkeypatch):
    def down(name):
        raise redis.ConnectionError("refused")

    monkeypatch.setattr(queue, "length", down)
    assert [name for name, ok in parts(stranger).items() if not ok] == ["queue"]


def test_a_clip_that_waits_for_an_hour_is_trouble(stranger, submission):
    clip = make_clip(submission(State.RECEIVED))
    Measurement.objects.create(clip=clip)
    assert parts(stranger)["waiting"]
    type(clip).objects.update(created_at=timezone.now() - timedelta(hours=2))
    assert not parts(stranger)["waiting"]


def test_a_site_without_a_mail_server_says_so_loudly(owner, sign_in, settings):
    settings.OUTBOX_FORWARDS_TO = None
    client = sign_in(owner)
    page = client.get(reverse("health_page")).text
    assert marked(page, "Emails") == "Look"
    assert "no mail server is named" in page
    assert str(NO_SERVER) in page
    assert "Please look at what is marked below" in page


def test_a_site_without_a_mail_server_is_not_failing(stranger, settings):
    settings.OUTBOX_FORWARDS_TO = None
    response = stranger.get(reverse("health"))
    assert (response.status_code, response.json()["parts"]["mail"]) == (200, True)


@pytest.fixture
def no_backup(monkeypatch):
    """Whatever another test of this run has backed up."""
    monkeypatch.setattr("portal.backup.making.last", lambda: None)


@pytest.mark.usefixtures("no_backup")
def test_a_demo_needs_neither_mail_server_nor_backup(stranger, settings, sign_in, owner):
    settings.OUTBOX_FORWARDS_TO, settings.DEMO = None, True
    User.objects.update(date_joined=timezone.now() - timedelta(days=3))
    assert parts(stranger)["mail"]
    page = sign_in(owner).get(reverse("health_page")).text
    assert (marked(page, "Emails"), marked(page, "Newest backup")) == ("OK", "OK")
    assert "in this demo no email leaves the machine" in page
    assert "a demo needs none" in page


@pytest.mark.usefixtures("no_backup")
def test_a_site_without_a_backup_is_to_be_looked_at_from_its_second_day(owner, sign_in, stranger):
    client = sign_in(owner)
    page = client.get(reverse("health_page")).text
    assert marked(page, "Newest backup") == "OK"
    assert "none was made yet, for the site is new" in page
    assert "Please look" not in page
    User.objects.filter(pk=owner.pk).update(date_joined=timezone.now() - timedelta(days=1, minutes=1))
    page = client.get(reverse("health_page")).text
    assert marked(page, "Newest backup") == "Look"
    assert "Let manage.py backup run each night" in page
    assert stranger.get(reverse("health")).status_code == 200
    assert "backup" not in parts(stranger)


def test_emails_that_left_and_that_were_refused_are_no_trouble(owner, sign_in):
    now = timezone.now()
    Email.objects.create(to="a@example.org", state=EmailState.SENT, sent_at=now - timedelta(minutes=3))
    Email.objects.create(to="b@example.org", state=EmailState.GIVEN_UP, answer="550 No such user")
    assert parts(sign_in(owner))["mail"]
    assert "last sent 3\xa0minutes ago; none waiting; 1 given up this week" in sign_in(owner).get("/owner/health/").text


def test_a_mail_server_that_is_down_is_told_in_its_own_words(owner, sign_in):
    Email.objects.create(to="a@example.org", server_down=True, answer="421 Try again later")
    assert not parts(sign_in(owner))["mail"]
    page = sign_in(owner).get("/owner/health/").text
    assert "none sent so far; 1 waiting, the oldest for" in page
    assert "The mail server takes none: 421 Try again later" in page


def test_an_email_that_waits_for_long_is_trouble(stranger):
    email = Email.objects.create(to="a@example.org")
    assert parts(stranger)["mail"]
    Email.objects.filter(pk=email.pk).update(written_at=timezone.now() - timedelta(minutes=20))
    assert not parts(stranger)["mail"]


def test_a_full_disk_and_a_missing_model_are_trouble(stranger, settings, tmp_path, monkeypatch):
    monkeypatch.setattr("portal.intake.room.free", lambda: 1000)
    settings.POSE_MODEL = str(tmp_path / "nothing.task")
    assert [name for name, ok in parts(stranger).items() if not ok] == ["disk", "model"]


def test_the_owner_reads_what_to_do(owner, sign_in):
    silent(Part.WORKER, 120)
    page = sign_in(owner).get(reverse("health_page")).content.decode()
    assert "Something needs a hand" in page
    assert marked(page, str(Part.WORKER.label)) == "Trouble"
    assert "Look at the logs of worker and beat" in page
    assert "mediapipe" in page


def test_the_page_is_the_owners_alone(coach, guardian, player_user, stranger, sign_in):
    for client in (sign_in(coach), sign_in(guardian), sign_in(player_user), stranger):
        assert client.get(reverse("health_page")).status_code == 404


def test_other_methods_are_refused(owner, sign_in):
    client = sign_in(owner)
    assert client.post(reverse("health")).status_code == 405
    assert client.post(reverse("health_page")).status_code == 405


@pytest.fixture
def failed(submission):
    clip = make_clip(submission(State.UNREADABLE))
    return Measurement.objects.create(
        clip=clip, stage=Stage.FAILED, attempt=3, failure_code="stopped", failure_words="It stopped three times."
    )


def test_the_owner_has_a_failed_clip_measured_again(
    failed, owner, sign_in, monkeypatch, django_capture_on_commit_callbacks
):
    sent = []
    monkeypatch.setattr(queue, "send", sent.append)
    client = sign_in(owner)
    assert "It stopped three times." in client.get(reverse("health_page")).content.decode()
    with django_capture_on_commit_callbacks(execute=True):
        response = client.post(reverse("measure_again", args=[failed.clip_id]), follow=True)
    assert "waits for a worker again" in response.content.decode()
    failed.refresh_from_db()
    assert (failed.stage, failed.attempt, failed.failure_words) == (Stage.WAITING, 0, "")
    assert failed.clip.submission.state == State.RECEIVED
    assert sent == [failed.clip_id]


def test_a_clip_measured_meanwhile_is_left_alone(failed, owner, sign_in):
    Measurement.objects.update(stage=Stage.DONE)
    response = sign_in(owner).post(reverse("measure_again", args=[failed.clip_id]), follow=True)
    assert "nothing was changed" in response.content.decode()
    failed.refresh_from_db()
    assert failed.stage == Stage.DONE


def test_only_the_owner_may_measure_again(failed, coach, guardian, stranger, sign_in, owner):
    for client in (sign_in(coach), sign_in(guardian)):
        assert client.post(reverse("measure_again", args=[failed.clip_id])).status_code == 404
    assert stranger.post(reverse("measure_again", args=[failed.clip_id]))["Location"].startswith(
        reverse("account_login")
    )
    assert sign_in(owner).post(reverse("measure_again", args=[uuid.uuid4()])).status_code == 404
    failed.refresh_from_db()
    assert failed.stage == Stage.FAILED


def test_the_answer_is_json_without_secrets(stranger, settings):
    text = json.dumps(stranger.get(reverse("health")).json())
    assert settings.SECRET_KEY not in text
    assert "postgres" not in text


def reread_finding():
    return next(finding for finding in findings() if finding.id == "reread")


def test_the_page_says_how_many_old_readings_are_left(measured_clip):
    assert (reread_finding().ok, reread_finding().seen) == (True, "none left to be read again")
    Measurement.objects.update(read_method=0)
    assert (reread_finding().ok, reread_finding().seen) == (True, "1 clip is left to be read again")


def test_a_clip_without_a_track_is_no_trouble_and_is_told(measured_clip):
    Measurement.objects.update(read_method=0)
    Retry.objects.create(measurement=measured_clip.measurement, method=door.METHOD, book=door.BOOK, trouble="no_track")
    assert reread_finding().ok
    assert "1 stays as it was, for its track is not kept" in reread_finding().seen


def test_a_clip_that_could_not_be_read_again_is_the_owners_and_no_alarm(measured_clip, sign_in, owner, stranger):
    Measurement.objects.update(read_method=0)
    Retry.objects.create(measurement=measured_clip.measurement, method=door.METHOD, book=door.BOOK, trouble="failed")
    page = sign_in(owner).get(reverse("health_page")).content.decode()
    assert "1 could not be read again" in page
    assert marked(page, "Readings by an older method") == "Look"
    assert "manage.py read_again tries once more" in page
    assert "reread" not in parts(stranger)
