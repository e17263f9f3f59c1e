"""Emails against real mail servers on loopback: what is tried again, what is given up, and what arrives."""

import re
from datetime import timedelta
from email.utils import parsedate_to_datetime

import pytest
from django.core.mail import EmailMessage, EmailMultiAlternatives, send_mail
from django.utils import timezone

from portal.outbox import claims, sending
from portal.outbox.backend import OutboxBackend
from portal.outbox.models import Email, EmailState
from portal.outbox.writing import write
from tests.portal.outbox.peers import MailServer, Rude, closes_in_data, dribbles, silent
from tests.servers import free_port

pytestmark = pytest.mark.django_db
TO = "lea@example.org"


@pytest.fixture(autouse=True)
def nothing_wakes_by_itself(monkeypatch):
    monkeypatch.setattr("portal.outbox.queue.wake", lambda: None)


def email(to=TO, subject="The clip has arrived", **options):
    (written,) = write(EmailMessage(subject, "Hello,\n\nit is here.\n", None, [to]), **options)
    return written


def states():
    return dict(Email.objects.values_list("to", "state"))


def later(**span):
    """As if so much time had passed: every date of every email moves back."""
    for one in Email.objects.all():
        for name in ("written_at", "next_try_at", "tried_at", "give_up_at", "runs_out_at"):
            if (at := getattr(one, name)) is not None:
                setattr(one, name, at - timedelta(**span))
        one.save()


class TestWhatArrives:
    def test_it_is_an_email_by_the_rules(self, mail_server, settings):
        """RFC 5322: one Date, one Message-ID, one To; 2047: names and subjects beyond ASCII are read as written."""
        settings.DEFAULT_FROM_EMAIL = "Läuferin <camp@swings.example>"
        server = mail_server()
        body = "Grüße — ’quoted’ " + "long " * 400 + "\n.\n..two dots\nFrom here\n"
        (row,) = write(EmailMessage("Ein Brief für Zoë", body, None, [TO]))
        assert sending.send_waiting() == 1
        ((to, arrived),) = server.taken
        assert to == [TO]
        assert arrived["Subject"] == "Ein Brief für Zoë"
        assert arrived["From"].addresses[0].display_name == "Läuferin"
        assert [address.addr_spec for address in arrived["To"].addresses] == [TO]
        assert arrived["Message-ID"] == row.message_id
        assert re.fullmatch(r"<[^<>@\s]+@[^<>@\s]+>", arrived["Message-ID"])
        assert abs(parsedate_to_datetime(arrived["Date"]) - row.written_at) < timedelta(seconds=1)
        assert arrived["Auto-Submitted"] == "auto-generated"
        assert arrived.get_content().replace("\r\n", "\n") == body
        assert all(len(arrived.get_all(name)) == 1 for name in ("Date", "Message-ID", "To", "From", "Subject"))
        assert [defect for part in arrived.walk() for defect in part.defects] == []

    def test_alternatives_answers_and_enclosures_travel_whole(self, mail_server):
        server = mail_server()
        message = EmailMultiAlternatives(
            "S", "plain", None, [TO], reply_to=["coach@example.org"], headers={"X-Kind": "k"}
        )
        message.attach_alternative("<p>rich</p>", "text/html")
        message.attach("a.txt", b"\x00\xff", "application/octet-stream")
        write(message)
        sending.send_waiting()
        arrived = server.taken[0][1]
        assert arrived.get_body(("html",)).get_content().strip() == "<p>rich</p>"
        assert arrived.get_body(("plain",)).get_content().strip() == "plain"
        assert [one.get_content() for one in arrived.iter_attachments()] == [b"\x00\xff"]
        assert (arrived["Reply-To"], arrived["X-Kind"]) == ("coach@example.org", "k")

    def test_nobody_reads_who_else_got_it(self, mail_server):
        server = mail_server()
        write(EmailMessage("S", "B", None, ["a@example.org"], cc=["b@example.org"], bcc=["c@example.org"]))
        sending.send_waiting()
        assert sorted(to for to, _ in server.taken) == [["a@example.org"], ["b@example.org"], ["c@example.org"]]
        assert all(arrived["To"] == to[0] and arrived["Cc"] is None for to, arrived in server.taken)

    def test_a_header_cannot_be_smuggled_in_by_a_subject(self, mail_server):
        server = mail_server()
        email(subject="Hello\r\nBcc: all@example.org\r\n\r\nPay here")
        sending.send_waiting()
        ((to, arrived),) = server.taken
        assert (to, arrived["Bcc"]) == ([TO], None)
        assert arrived["Subject"] == "Hello Bcc: all@example.org Pay here"

    def test_one_connection_serves_all_that_wait(self, mail_server):
        server = mail_server()
        for number in range(20):
            email(f"{number}@example.org")
        assert sending.send_waiting() == 20
        assert server.connections == 1

    def test_a_server_that_has_enough_of_a_connection_gets_another(self, mail_server):
        told = []

        def every_third(content):
            told.append(content)
            return "421 4.7.0 Too many emails on one connection" if len(told) % 3 == 0 else None

        server = mail_server(MailServer(data=every_third))
        for number in range(4):
            email(f"{number}@example.org")
        assert sending.send_waiting() == 4
        assert server.connections == 2

    def test_codes_go_before_all_else(self, mail_server):
        server = mail_server()
        for number in range(3):
            email(f"{number}@example.org")
        email("code@example.org", urgent=True)
        sending.send_waiting()
        assert server.asked[0] == "code@example.org"

    def test_django_and_its_packages_write_through_the_outbox(self, mail_server, settings):
        settings.EMAIL_BACKEND = "portal.outbox.backend.OutboxBackend"
        server = mail_server()
        assert send_mail("Subject", "Body", None, [TO]) == 1
        assert server.connections == 0  # no request talks to a mail server
        sending.send_waiting()
        assert server.taken[0][1]["Subject"] == "Subject"

    def test_what_was_taken_is_noted_with_the_servers_words(self, mail_server):
        mail_server()
        email()
        sending.send_waiting()
        row = Email.objects.get()
        assert (row.state, row.attempts, row.answer) == (EmailState.SENT, 1, "250 2.0.0 Ok: queued as 0001")
        assert row.sent_at is not None


class TestWhatIsRefused:
    def test_an_address_that_does_not_exist_is_given_up_at_once(self, mail_server):
        server = mail_server(MailServer(rcpt=lambda to: "550 5.1.1 No such user" if to == TO else None))
        email()
        email("b@example.org")
        assert sending.send_waiting() == 1
        assert states() == {TO: EmailState.GIVEN_UP, "b@example.org": EmailState.SENT}
        assert Email.objects.get(to=TO).answer == "550 5.1.1 No such user"
        later(days=3)
        sending.send_waiting()
        assert server.asked.count(TO) == 1

    def test_a_text_that_is_refused_is_given_up_at_once(self, mail_server):
        mail_server(MailServer(data=lambda content: "554 5.7.1 Looks like spam"))
        email()
        sending.send_waiting()
        assert (states()[TO], Email.objects.get().answer) == (EmailState.GIVEN_UP, "554 5.7.1 Looks like spam")

    @pytest.mark.parametrize("to", ["no address", "a@b@c", "a\nb@example.org", ""])
    def test_what_is_no_address_stops_nobody_else(self, mail_server, to):
        mail_server()
        Email.objects.create(to=to, sender="us@example.org", subject="S", body="B", urgent=True)
        email()
        assert sending.send_waiting() == 1
        assert states() == {to: EmailState.GIVEN_UP, TO: EmailState.SENT}

    def test_a_sender_that_is_refused_is_ours_to_mend_and_nothing_is_lost(self, mail_server, settings):
        server = mail_server(Rude(refuses_the_sender))
        email()
        sending.send_waiting()
        row = Email.objects.get()
        assert (row.state, row.server_down) == (EmailState.WAITING, True)
        assert "look at DEFAULT_FROM_EMAIL. 553 5.7.1 Not yours" in row.answer
        assert server.connections == 1


class TestWhatIsTriedAgain:
    def test_greylisting_is_waited_for(self, mail_server):
        """451 at the first attempt, then taken: how many servers receive strangers."""
        seen = set()

        def grey(to):
            known, _ = to in seen, seen.add(to)
            return None if known else "451 4.7.1 Greylisted, come back later"

        server = mail_server(MailServer(rcpt=grey))
        email()
        assert sending.send_waiting() == 0
        row = Email.objects.get()
        assert (row.state, row.server_down) == (EmailState.WAITING, False)
        assert row.answer == "451 4.7.1 Greylisted, come back later"
        assert 60 <= (row.next_try_at - row.tried_at).total_seconds() <= 73
        assert sending.send_waiting() == 0
        assert server.asked == [TO]
        later(seconds=75)
        assert sending.send_waiting() == 1
        assert server.taken[0][1]["Message-ID"] == row.message_id

    def test_the_pauses_grow_and_end_after_two_days(self, mail_server):
        server = mail_server(MailServer(rcpt=lambda to: "450 4.2.1 Mailbox busy"))
        email()
        pauses = []
        for _attempt in range(50):
            sending.send_waiting()
            row = Email.objects.get()
            if row.state != EmailState.WAITING:
                break
            pauses.append((row.next_try_at - row.tried_at).total_seconds() / 60)
            later(seconds=pauses[-1] * 60 + 1)
        assert row.state == EmailState.GIVEN_UP
        assert row.answer == "450 4.2.1 Mailbox busy"
        assert 48 * 60 <= sum(pauses) <= 56 * 60
        assert [round(pause) for pause in pauses[:3]] == pytest.approx([1, 5.5, 16.5], rel=0.2)
        assert len(server.asked) == len(pauses) + 1 <= 16

    def test_a_code_is_never_sent_when_it_has_run_out(self, mail_server):
        server = mail_server()
        email(urgent=True, lasts=timedelta(minutes=14))
        later(minutes=15)
        assert sending.send_waiting() == 0
        assert server.asked == []
        row = Email.objects.get()
        assert row.state == EmailState.GIVEN_UP
        assert "of use for a short time only" in row.answer

    def test_a_code_is_tried_often_while_it_is_of_use(self, mail_server):
        server = mail_server(MailServer(rcpt=lambda to: "451 Later"))
        email(urgent=True, lasts=timedelta(minutes=14))
        for _step in range(14 * 6):
            sending.send_waiting()
            later(seconds=10)
        assert 5 <= len(server.asked) <= 8

    def test_an_email_that_waited_for_a_dead_worker_still_goes(self, mail_server):
        """Nobody sent it for a week: the two days count from the first attempt."""
        mail_server()
        email()
        later(days=7)
        assert sending.send_waiting() == 1


class TestServersThatAreDown:
    @pytest.mark.slow
    def test_a_silent_server_costs_one_time_out_for_all_emails_together(self, mail_server):
        server = mail_server(Rude(silent))
        for number in range(10):
            email(f"{number}@example.org")
        start = timezone.now()
        assert sending.send_waiting() == 0
        assert (timezone.now() - start).total_seconds() < 3
        assert server.connections == 1
        rows = Email.objects.all()
        assert {(row.state, row.server_down) for row in rows} == {(EmailState.WAITING, True)}
        assert all(f"port {server.port}, said nothing for 1 seconds" in row.answer for row in rows)
        assert sending.send_waiting() == 0
        assert server.connections == 1

    def test_a_dead_port_is_named_and_nothing_is_lost(self, smtp):
        port = free_port()
        smtp(port)
        email()
        sending.send_waiting()
        row = Email.objects.get()
        assert row.state == EmailState.WAITING
        assert row.answer == f"Nobody answers at 127.0.0.1, port {port}; look at EMAIL_URL."

    def test_a_server_that_hangs_up_in_the_middle_has_not_taken_it(self, mail_server):
        mail_server(Rude(closes_in_data))
        email()
        sending.send_waiting()
        row = Email.objects.get()
        assert (row.state, row.server_down) == (EmailState.WAITING, True)
        assert "hung up in the middle" in row.answer

    def test_an_email_that_breaks_the_connection_holds_up_no_other_for_long(self, mail_server):
        """Whatever is in it: the others come first the next time."""
        server = mail_server(MailServer(data=lambda content: "421 Choked" if b"poison" in content else None))
        email("poison@example.org", urgent=True)
        email()
        sending.send_waiting()
        later(seconds=73)
        Email.objects.filter(to="poison@example.org").update(next_try_at=timezone.now() + timedelta(hours=1))
        assert sending.send_waiting() == 1
        assert [to for to, _ in server.taken] == [[TO]]

    def test_when_the_server_is_back_all_that_waited_for_it_goes_at_once(self, mail_server, smtp):
        smtp(free_port())
        email("a@example.org")
        email("b@example.org")
        sending.send_waiting()
        later(minutes=5)
        sending.send_waiting()
        server = mail_server()
        email("new@example.org")
        assert sending.send_waiting() == 3
        assert {to[0] for to, _ in server.taken} == {"a@example.org", "b@example.org", "new@example.org"}
        assert not Email.objects.filter(server_down=True).exists()

    @pytest.mark.slow
    def test_a_slow_server_is_waited_for(self, mail_server):
        mail_server(Rude(takes_its_time))
        email()
        assert sending.send_waiting() == 1

    @pytest.mark.slow
    def test_a_server_that_dribbles_is_cut_off(self, mail_server, monkeypatch):
        """Each sign comes in time, the line never ends: the worker's own limit ends it."""
        import signal

        from celery.exceptions import SoftTimeLimitExceeded

        def over(number, frame):
            raise SoftTimeLimitExceeded

        mail_server(Rude(dribbles))
        email()
        before = signal.signal(signal.SIGALRM, over)
        signal.alarm(2)
        try:
            assert sending.send_waiting() == 0
        finally:
            signal.alarm(0)
            signal.signal(signal.SIGALRM, before)
        assert "answers so slowly that no email gets through" in Email.objects.get().answer


class TestClaims:
    def test_an_email_is_taken_once(self):
        email()
        assert claims.take() is not None
        assert claims.take() is None

    def test_an_email_whose_worker_died_is_sent_again_with_the_same_id(self, mail_server):
        server = mail_server()
        row = email()
        claims.take()
        assert sending.send_waiting() == 0
        later(minutes=4)
        assert sending.send_waiting() == 1
        assert server.taken[0][1]["Message-ID"] == row.message_id

    def test_what_the_server_took_is_sent_whoever_holds_it_by_now(self, mail_server):
        """A worker taken for dead comes back with an ok."""
        email()
        held = claims.take()
        later(minutes=4)
        claims.revive_the_stale()
        claims.settle(held, claims.Answer(claims.Meaning.TAKEN, "250 ok"))
        assert states()[TO] == EmailState.SENT

    def test_who_lost_the_email_changes_nothing(self):
        email()
        held = claims.take()
        Email.objects.update(state=EmailState.GIVEN_UP, claim="")
        claims.settle(held, claims.Answer(claims.Meaning.LATER, "451"))
        assert states()[TO] == EmailState.GIVEN_UP

    def test_without_a_mail_server_emails_are_kept_and_nothing_is_tried(self, settings):
        settings.OUTBOX_FORWARDS_TO = None
        OutboxBackend().send_messages([EmailMessage("S", "B", None, ["a@example.org", "b@example.org"])])
        assert set(states().values()) == {EmailState.KEPT}
        assert sending.send_waiting() == 0

    def test_what_waits_while_no_server_is_named_waits_on(self, settings):
        email()
        settings.OUTBOX_FORWARDS_TO = None
        assert sending.send_waiting() == 0
        assert states()[TO] == EmailState.WAITING


def refuses_the_sender(connection, over):
    lines = connection.makefile("rb")
    connection.sendall(b"220 here\r\n")
    for line in lines:
        connection.sendall(b"553 5.7.1 Not yours\r\n" if line.upper().startswith(b"MAIL") else b"250 ok\r\n")


def takes_its_time(connection, over):
    """Half a time-out before every answer."""
    lines = connection.makefile("rb")
    over.wait(0.5)
    connection.sendall(b"220 here\r\n")
    in_email = False
    for line in lines:
        if in_email and line != b".\r\n":
            continue
        over.wait(0.5)
        in_email = line.upper().startswith(b"DATA")
        connection.sendall(b"354 go on\r\n" if in_email else b"250 ok\r\n")
