"""`try_mail`: one email right now, and what the mail server said, in words."""

import pytest

from portal.outbox.models import Email, EmailState
from portal.outbox.said import NO_SERVER
from portal.outbox.trying import try_mail
from tests.portal.outbox.peers import MailServer, Rude, silent
from tests.servers import free_port

pytestmark = pytest.mark.django_db
TO = "oda@example.org"


def test_an_email_that_is_taken_is_said_to_be_with_the_servers_own_words(mail_server):
    server = mail_server()
    outcome = try_mail(TO)
    assert outcome.ok
    assert "250 2.0.0 Ok: queued as 0001" in outcome.words
    assert server.taken[0][0] == [TO]
    assert Email.objects.get().state == EmailState.SENT


def test_a_refusal_is_told_as_the_server_said_it(mail_server):
    mail_server(MailServer(rcpt=lambda address: "550 5.1.1 No such user here"))
    outcome = try_mail(TO)
    assert not outcome.ok
    assert "550 5.1.1 No such user here" in outcome.words
    assert Email.objects.get().state == EmailState.GIVEN_UP


@pytest.mark.slow
def test_a_silent_server_costs_one_time_out(mail_server):
    server = mail_server(Rude(silent))
    assert f"127.0.0.1, port {server.port}, said nothing for 1 seconds." in try_mail(TO).words


def test_a_port_where_nobody_listens_is_named(smtp):
    port = free_port()
    smtp(port)
    assert f"Nobody answers at 127.0.0.1, port {port}; look at EMAIL_URL." in try_mail(TO).words


def test_without_a_mail_server_it_says_what_to_set(settings):
    settings.OUTBOX_FORWARDS_TO = None
    outcome = try_mail(TO)
    assert (outcome.ok, outcome.words) == (False, str(NO_SERVER))


@pytest.mark.parametrize("to", ["", "nobody", "a@b\r\nBcc: c@example.org", "a@example.org, b@example.org"])
def test_what_is_no_address_is_not_tried(mail_server, to):
    server = mail_server()
    assert not try_mail(to).ok
    assert server.connections == 0
    assert not Email.objects.exists()
