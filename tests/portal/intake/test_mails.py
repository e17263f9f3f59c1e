"""Mails to families: plain words, one email per address, a link that works."""

import re
from pathlib import Path

import pytest
import redis
from django.core import mail
from django.db import transaction

from portal.intake import mails
from portal.intake.states import State
from portal.measuring.models import Measurement, Stage
from portal.outbox import sending
from portal.outbox.models import Email, EmailState
from tests.portal.conftest import make_clip

MAILS = Path(__file__).resolve().parents[3] / "templates" / "mail"


@pytest.fixture
def sent(submission):
    return submission(State.READY, film_again_words="Please film from the chest side & keep the feet in.")


@pytest.fixture
def post(django_capture_on_commit_callbacks):
    """Call a mail function as if its change had been committed; the emails."""

    def call(function, *args):
        with django_capture_on_commit_callbacks(execute=True):
            function(*args)
        return mail.outbox

    return call


def test_everybody_of_the_family_gets_an_email_of_their_own(post, sent):
    emails = post(mails.received, sent)
    assert sorted(email.to for email in emails) == [["ida@example.org"], ["lea@example.org"]]


def test_nothing_goes_out_before_the_change_is_committed(sent, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=False):
        mails.received(sent)
    assert mail.outbox == []


def test_the_coachs_words_arrive_as_written(post, sent):
    email = post(mails.film_again, sent)[0]
    assert email.subject == "The coach asks for another clip"
    assert "chest side & keep the feet in." in email.body
    assert f"http://localhost:8000/submissions/{sent.pk}/" in email.body


def test_the_reason_of_a_failure_is_read_from_the_measurement(post, sent):
    words = "Nobody could be found in this clip."
    Measurement.objects.create(clip=make_clip(sent), stage=Stage.FAILED, failure_words=words)
    assert words in post(mails.unreadable, sent)[0].body


def test_a_published_evaluation_is_linked(post, evaluation):
    email = post(mails.published, evaluation)[0]
    assert email.subject == "The swing evaluation is ready"
    assert f"http://localhost:8000/evaluations/{evaluation.pk}/" in email.body
    assert "edition" not in email.body


@pytest.mark.parametrize("lacking", ["good", "thing", "plan", None])
def test_an_email_announces_only_what_the_evaluation_holds(lacking, post, evaluation):
    held = {"good": ["Quick."], "thing": {"title": "Wait for it"}, "plan": [{"slug": "statue"}]}
    evaluation.snapshot = {name: part for name, part in held.items() if name != lacking}
    body = post(mails.published, evaluation)[-1].body
    assert "evaluation is ready to read" in body
    assert ("what is already good, the one thing to work on first, and what to do this week" in body) is (lacking is None)


def test_a_new_edition_says_so(post, evaluation):
    evaluation.edition = 2
    assert "This is edition 2" in post(mails.published, evaluation)[-1].body


@pytest.mark.parametrize("email", [mails.received, mails.unreadable, mails.film_again])
def test_emails_are_clean_text(post, sent, email):
    """RFC 5322, 2.1.1: no line over 998 characters; and no template left-overs, no holes."""
    body = post(email, sent)[0].body
    assert max(len(line) for line in body.split("\n")) < 998
    assert "{" not in body
    assert "\n\n\n" not in body
    assert "&#x27;" not in body


@pytest.mark.parametrize("template", sorted(MAILS.glob("*.txt")), ids=lambda path: path.stem)
def test_no_subject_holds_what_somebody_typed(template):
    """The subject is the first line: fixed words, which a family cannot turn into a message to a stranger."""
    subject = template.read_text().split("\n", 1)[0]
    assert "{{" not in subject
    assert "blocktranslate" not in subject


OURS = {"link", "words", "days", "edition", "day", "site_url", "free_mb", "player", "submission"}


@pytest.mark.parametrize("template", sorted(MAILS.glob("*.txt")), ids=lambda path: path.stem)
def test_whatever_somebody_typed_is_made_plain(template):
    text = template.read_text()
    made = dict(re.findall(r"(\w+)=([\w.]+(?:\|[\w:\"]+)?)", text))
    for name in re.findall(r"\{\{ ([^}]+) \}\}", text):
        expression = made.get(name, name)
        assert "|plain" in expression or expression.split("|")[0].split(".")[-1] in {*OURS, "promised_by"}, name


@pytest.mark.parametrize("write", [mails.player_invite, mails.guardian_invite])
def test_who_has_no_name_invites_by_the_address_that_is_theirs(post, player, guardian, write):
    guardian.name = ""
    (email,) = post(write, player, guardian, "kit@example.org", "token")
    assert "lea@example.org" in email.body


HOSTILE = [
    "Ida\r\nBcc: all@example.org",
    "http://evil.example/pay",
    "www.evil.example",
    "evil.example now",
    "\u202egro.live",
    "call me at a@evil.example " + "x" * 300,
]


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("write", [mails.received, mails.unreadable, mails.film_again, mails.no_swing])
def test_a_name_is_neither_header_nor_link_nor_message(post, sent, write, name):
    sent.player.first_name = name
    emails = post(write, sent)
    assert len(emails) == 2
    for email in emails:
        assert "Bcc" not in email.message()
        assert email.recipients() == email.to
        links = re.findall(r"\S*[\w]\.[\w]{2,}\S*|\S*://\S*|\S+@\S+", email.body)
        assert [link for link in links if not link.startswith("http://localhost:8000/")] == []
        assert "x" * 50 not in email.body
        assert "\u202e" not in email.body


@pytest.mark.parametrize("write", [mails.player_invite, mails.guardian_invite])
def test_an_invitation_speaks_in_the_inviters_name_alone(post, player, guardian, write):
    guardian.name = "You won! http://evil.example/" + "x" * 200
    (email,) = post(write, player, guardian, "kit@example.org", "token")
    assert "evil.example" not in email.body
    assert "x" * 60 not in email.body
    assert Email.objects.get().secret


def test_an_email_exists_exactly_when_the_change_does(sent):
    """The server dies between the change and its end: neither is there. Or it does not: then both are."""
    with transaction.atomic():
        mails.received(sent)
        transaction.set_rollback(True)
    assert not Email.objects.exists()
    mails.received(sent)
    assert Email.objects.filter(about=sent.player.pk).count() == 2


def test_a_queue_that_is_down_stops_nobody(sent, monkeypatch, django_capture_on_commit_callbacks):
    def down():
        raise redis.ConnectionError("refused")

    monkeypatch.setattr("portal.outbox.queue.wake", down)
    with django_capture_on_commit_callbacks(execute=True):
        mails.received(sent)
    assert set(Email.objects.values_list("state", flat=True)) == {EmailState.WAITING}
    sending.send_waiting()  # as the sweep does
    assert len(mail.outbox) == 2
