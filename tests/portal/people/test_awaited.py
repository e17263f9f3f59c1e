"""Whoever waits for a code is told truly where the email is, whatever is down; and nothing about who has an account."""

import re
from datetime import timedelta

import pytest
import redis
from django.urls import reverse
from django.utils import timezone

from portal.outbox import sending
from portal.outbox.models import Email, EmailState
from portal.people.models import User
from tests.portal.conftest import PASSWORD
from tests.portal.outbox.peers import MailServer, Rude, running, silent
from tests.servers import free_port

pytestmark = pytest.mark.django_db
NOBODY = "nobody@example.org"
ASK, STAND = "/accounts/login/code/", "/sign-in/email/"


@pytest.fixture(autouse=True)
def real_outbox(settings, monkeypatch):
    """Emails go through the outbox, as on a real site, and nobody sends them but the test."""
    settings.EMAIL_BACKEND = "portal.outbox.backend.OutboxBackend"
    monkeypatch.setattr("portal.outbox.queue.wake", lambda: None)


@pytest.fixture
def server(settings):
    """server(peer): emails leave through this mail server; server(port=…): through a port."""
    from contextlib import ExitStack

    with ExitStack() as stack:

        def name(peer=None, port=None):
            peer = stack.enter_context(running(peer or MailServer())) if port is None else None
            settings.OUTBOX_FORWARDS_TO = "portal.outbox.smtp.EmailBackend"
            settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port or peer.port
            settings.EMAIL_TIMEOUT = 1
            return peer

        yield name


def ask(client, email):
    return client.post(ASK, {"email": email}, follow=True).text


def aged(**span):
    Email.objects.update(written_at=timezone.now() - timedelta(**span))


def test_the_page_answers_at_once_and_the_email_is_on_its_way(stranger, guardian):
    page = ask(stranger, guardian.email)
    assert "The email is on its way." in page
    assert "hx-get" in page
    email = Email.objects.get()
    assert (email.to, email.state, email.urgent, email.secret) == (guardian.email, EmailState.WAITING, True, True)
    assert timedelta(minutes=13) < email.runs_out_at - timezone.now() < timedelta(minutes=15)


def test_an_email_that_has_left_is_said_to_have_and_the_page_asks_no_more(stranger, guardian, server):
    taken = server()
    ask(stranger, guardian.email)
    assert stranger.get(f"{STAND}?seen=on_its_way").status_code == 204
    sending.send_waiting()
    now = stranger.get(f"{STAND}?seen=on_its_way").text
    assert "The email has left." in now
    assert "hx-get" not in now
    code = re.search(r"\b[A-Z0-9]{3,5}-[A-Z0-9]{3,5}\b", taken.taken[0][1].get_content()).group()
    stranger.post("/accounts/login/code/confirm/", {"code": code})
    assert "_auth_user_id" in stranger.session


@pytest.mark.slow
def test_a_silent_mail_server_is_told_with_what_to_do(stranger, guardian, server):
    server(Rude(silent))
    start = timezone.now()
    ask(stranger, guardian.email)
    assert (timezone.now() - start).total_seconds() < 1, "a page waited for the mail server"
    sending.send_waiting()
    now = stranger.get(STAND).text
    assert "Our mail server does not answer right now. We keep trying" in now
    assert "Sign in with a password instead" in now
    assert stranger.post("/accounts/logout/", {"next": "/accounts/login/"}).url == "/accounts/login/"
    stranger.post("/accounts/login/", {"login": guardian.email, "password": PASSWORD})
    assert stranger.session["_auth_user_id"] == str(guardian.pk)


def test_who_asks_while_it_is_down_is_told_before_an_attempt_of_their_own(stranger, guardian, server):
    server(port=free_port())
    Email.objects.create(to="a@example.org", server_down=True, answer="refused")
    assert "Our mail server does not answer right now." in ask(stranger, guardian.email)


def test_an_address_that_is_refused_is_asked_to_be_looked_at(stranger, server):
    server(MailServer(rcpt=lambda to: "550 No such user"))
    ask(stranger, "lae@example.org")
    sending.send_waiting()
    assert "Is it spelled right?" in stranger.get(STAND).text


def test_greylisting_is_explained(stranger, guardian, server):
    server(MailServer(rcpt=lambda to: "451 Later"))
    ask(stranger, guardian.email)
    sending.send_waiting()
    assert "asks us to come again in a minute or two" in stranger.get(STAND).text


def test_a_dead_worker_is_told_after_a_while(stranger, guardian):
    ask(stranger, guardian.email)
    aged(seconds=30)
    assert "sending is held up here with us" in stranger.get(STAND).text


def test_a_code_that_could_not_be_sent_in_time_is_asked_for_anew(stranger, guardian, server):
    server()
    ask(stranger, guardian.email)
    Email.objects.update(runs_out_at=timezone.now())
    sending.send_waiting()
    assert "Please ask for a new one." in stranger.get(STAND).text


def test_a_site_without_a_mail_server_says_so(stranger, guardian, settings):
    settings.OUTBOX_FORWARDS_TO = None
    assert "This site has no mail server yet" in ask(stranger, guardian.email)


def test_nothing_is_said_to_whom_no_email_was_written(stranger, guardian):
    Email.objects.create(to=guardian.email)
    assert stranger.get(STAND).status_code == 204


def test_a_queue_that_is_down_breaks_no_page_and_the_sweep_sends(stranger, guardian, server, monkeypatch):
    def down():
        raise redis.ConnectionError("refused")

    monkeypatch.setattr("portal.outbox.queue.wake", down)
    taken = server()
    assert "The email is on its way." in ask(stranger, guardian.email)
    sending.send_waiting()
    assert len(taken.taken) == 1


@pytest.mark.parametrize(
    "peer",
    [MailServer, lambda: MailServer(rcpt=lambda to: "550 No"), lambda: MailServer(rcpt=lambda to: "451 Later")],
    ids=["taken", "refused", "later"],
)
def test_known_and_unknown_addresses_are_told_the_same(client, guardian, server, peer):
    """At the first email and at the second: the unknown address gets the email that says so, each time."""
    from django.test import Client

    server(peer())
    seen = {}
    for email in (guardian.email, NOBODY):
        browser, told = Client(), []
        told.append(ask(browser, email))
        sending.send_waiting()
        told.append(browser.get(STAND).text)
        told.append(browser.post("/accounts/login/code/confirm/", {"action": "resend"}, follow=True).text)
        sending.send_waiting()
        told.append(browser.get(STAND).text)
        seen[email] = [re.sub(r'value="[\w-]{32,64}"|nonce="[^"]*"', "", page).replace(email, "X") for page in told]
        assert Email.objects.filter(to=email).count() == 2
    assert seen[guardian.email] == seen[NOBODY]


@pytest.mark.parametrize("email", ["lea@example.org", NOBODY])
def test_a_forgotten_password_is_told_the_same_way(stranger, guardian, email):
    page = stranger.post("/accounts/password/reset/", {"email": email}, follow=True).text
    assert "The email is on its way." in page
    written = Email.objects.get()
    assert (written.to, written.urgent, written.secret) == (email, True, True)
    assert written.runs_out_at is not None


def test_an_address_to_be_confirmed_as_well(stranger, server):
    server(port=free_port())
    User.objects.create_user("vera@example.org", PASSWORD)
    asked = stranger.post("/accounts/login/", {"login": "vera@example.org", "password": PASSWORD}, follow=True)
    assert "The email is on its way." in asked.text
    sending.send_waiting()
    assert "Our mail server does not answer right now." in stranger.get(STAND).text


def test_an_invitation_is_not_said_to_be_on_its_way_when_it_is_not(sign_in, guardian, camp, server):
    from datetime import date

    from tests.portal.conftest import make_player

    teen = make_player(camp, guardian, first_name="Kit", birth_year=date.today().year - 14)
    server(port=free_port())
    url = reverse("player_invite", args=[teen.pk])
    assert (
        "is on its way to kit@example.org"
        in sign_in(guardian).post(url, {"email": "kit@example.org"}, follow=True).text
    )
    sending.send_waiting()
    page = sign_in(guardian).post(url, {"email": "kit@example.org"}, follow=True).text
    assert "is written, but our mail server takes no emails right now" in page
    assert Email.objects.filter(to="kit@example.org", state=EmailState.WAITING).count() == 2


def test_a_family_reads_that_an_invitation_needs_the_owner_where_no_mail_server_is_named(
    sign_in, guardian, camp, settings
):
    from datetime import date

    from tests.portal.conftest import make_player

    settings.OUTBOX_FORWARDS_TO = None
    teen = make_player(camp, guardian, first_name="Kit", birth_year=date.today().year - 14)
    url = reverse("player_invite", args=[teen.pk])
    page = sign_in(guardian).post(url, {"email": "kit@example.org"}, follow=True).text
    assert "so it does not go out by itself. Tell the owner of this site, who can give you its link." in page
    assert "EMAIL_URL" not in page
