"""The outbox: for the owner, and for anybody in a demo, where no mail leaves the machine."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from portal.outbox import retention, sending
from portal.outbox.models import Email, EmailState
from portal.outbox.said import NO_SERVER
from tests.portal.outbox.peers import MailServer


@pytest.fixture
def email(db):
    return Email.objects.create(to="lea@example.org", sender="us", subject="Your code", body="<b>ABC-DEF</b>")


@pytest.fixture
def urls(email):
    return [reverse("outbox"), reverse("email", args=[email.pk])]


def test_the_owner_reads_it(sign_in, owner, urls):
    client = sign_in(owner)
    assert "Your code" in client.get(urls[0]).text
    assert "&lt;b&gt;ABC-DEF&lt;/b&gt;" in client.get(urls[1]).text


@pytest.mark.parametrize("persona", ["coach", "guardian", "player_user"])
def test_nobody_else_does(persona, request, sign_in, urls):
    client = sign_in(request.getfixturevalue(persona))
    assert [client.get(url).status_code for url in urls] == [404, 404]


def test_strangers_do_not(stranger, urls):
    assert [stranger.get(url).status_code for url in urls] == [404, 404]


def test_in_a_demo_everybody_does(stranger, urls, settings):
    settings.DEMO = True
    assert [stranger.get(url).status_code for url in urls] == [200, 200]
    assert "In this demo no email leaves the machine" in stranger.get(urls[0]).text


def test_no_such_email(sign_in, owner):
    assert sign_in(owner).get(reverse("email", args=[404])).status_code == 404


def test_it_is_read_only(sign_in, owner, urls):
    assert [sign_in(owner).post(url).status_code for url in urls] == [405, 405]


def test_many_emails_come_in_pages(sign_in, owner):
    Email.objects.bulk_create(Email(to=f"{n}@example.org", sender="us", subject=f"No {n}") for n in range(31))
    assert "Page 1 of 2" in sign_in(owner).get(reverse("outbox")).text


class TestStates:
    def test_each_is_told_in_words_with_what_the_server_said(self, sign_in, owner, email):
        Email.objects.update(state=EmailState.GIVEN_UP, answer="550 No such user", secret=False)
        client = sign_in(owner)
        for url in (reverse("outbox"), reverse("email", args=[email.pk])):
            page = client.get(url).text
            assert "given up" in page
            assert "550 No such user" in page

    def test_the_list_can_be_narrowed_to_one_state(self, sign_in, owner):
        Email.objects.create(to="a@example.org", subject="Gone", state=EmailState.SENT)
        Email.objects.create(to="b@example.org", subject="Stuck", state=EmailState.WAITING)
        page = sign_in(owner).get(reverse("outbox"), {"state": "waiting"}).text
        assert "Stuck" in page
        assert "Gone" not in page
        assert "Gone" in sign_in(owner).get(reverse("outbox"), {"state": "no such state"}).text

    def test_a_site_without_a_mail_server_says_so_loudly(self, sign_in, owner, settings):
        settings.OUTBOX_FORWARDS_TO = None
        assert str(NO_SERVER) in sign_in(owner).get(reverse("outbox")).text

    def test_a_server_that_is_down_is_told(self, sign_in, owner):
        Email.objects.create(to="a@example.org", server_down=True, answer="Nobody answers at mail.example")
        assert "Nobody answers at mail.example" in sign_in(owner).get(reverse("outbox")).text


class TestByHand:
    def test_a_refused_email_is_tried_again(self, sign_in, owner, mail_server, django_capture_on_commit_callbacks):
        server = mail_server(MailServer(rcpt=lambda to: "550 No" if len(server.asked) == 1 else None))
        email = Email.objects.create(to="lea@example.org", sender="us@example.org", subject="S", body="B")
        sending.send_waiting()
        client = sign_in(owner)
        assert "Try again now" in client.get(reverse("email", args=[email.pk])).text
        with django_capture_on_commit_callbacks(execute=True):
            client.post(reverse("email_again", args=[email.pk]))
        email.refresh_from_db()
        assert (email.state, email.attempts) == (EmailState.SENT, 1)

    def test_an_email_that_was_kept_goes_once_a_server_is_named(
        self, sign_in, owner, mail_server, django_capture_on_commit_callbacks
    ):
        server = mail_server()
        email = Email.objects.create(to="lea@example.org", sender="us@example.org", state=EmailState.KEPT, body="B")
        with django_capture_on_commit_callbacks(execute=True):
            sign_in(owner).post(reverse("email_again", args=[email.pk]))
        assert [to for to, _ in server.taken] == [["lea@example.org"]]

    @pytest.mark.parametrize(
        "fields",
        [
            {"state": EmailState.SENT},
            {"state": EmailState.SENDING},
            {"state": EmailState.GIVEN_UP, "body": ""},
            {"state": EmailState.GIVEN_UP, "runs_out_at": timezone.now() - timedelta(seconds=1)},
        ],
        ids=["sent", "being sent", "blanked", "run out"],
    )
    def test_what_makes_no_sense_is_not_offered(self, sign_in, owner, fields):
        email = Email.objects.create(to="lea@example.org", **{"body": "B", **fields})
        client = sign_in(owner)
        assert "Try again now" not in client.get(reverse("email", args=[email.pk])).text
        page = client.post(reverse("email_again", args=[email.pk]), follow=True).text
        assert "nothing was changed" in page
        email.refresh_from_db()
        assert email.state == fields["state"]

    def test_a_waiting_email_is_given_up(self, sign_in, owner):
        email = Email.objects.create(to="lea@example.org", body="B", answer="451 Later")
        sign_in(owner).post(reverse("email_give_up", args=[email.pk]))
        email.refresh_from_db()
        assert (email.state, email.answer) == (EmailState.GIVEN_UP, "Given up by hand. 451 Later")

    def test_readers_of_a_demo_change_nothing(self, stranger, settings, email):
        settings.DEMO = True
        page = stranger.get(reverse("email", args=[email.pk])).text
        assert "Give up" not in page
        answer = stranger.post(reverse("email_give_up", args=[email.pk]))
        assert answer["Location"].startswith(reverse("account_login"))
        email.refresh_from_db()
        assert email.state != EmailState.GIVEN_UP


class TestSecrets:
    def test_a_code_is_for_the_addressee_alone(self, sign_in, owner, email):
        Email.objects.update(secret=True)
        page = sign_in(owner).get(reverse("email", args=[email.pk])).text
        assert "ABC-DEF" not in page
        assert "for the addressee alone" in page
        admin = sign_in(owner).get(f"/admin/outbox/email/{email.pk}/change/").text
        assert "ABC-DEF" not in admin

    def test_where_no_email_leaves_the_outbox_is_the_way_to_it(self, sign_in, owner, email):
        Email.objects.update(secret=True, state=EmailState.KEPT)
        assert "ABC-DEF" in sign_in(owner).get(reverse("email", args=[email.pk])).text


class TestRetention:
    def old(self, days, **fields):
        at = timezone.now() - timedelta(days=days)
        return Email.objects.create(**{"to": "a@example.org", "body": "B", "written_at": at, "state": "sent", **fields})

    def test_emails_are_kept_for_90_days(self):
        self.old(91), self.old(89)
        assert retention.forget(timezone.now()) == 1
        assert Email.objects.count() == 1

    def test_codes_are_blanked_after_a_day(self, db):
        code = self.old(2, secret=True, parts={"alternatives": [["<p>code</p>", "text/html"]]})
        fresh, plain, waiting = self.old(0.5, secret=True), self.old(2), self.old(1.5, secret=True, state="waiting")
        retention.forget(timezone.now())
        for one in (code, fresh, plain, waiting):
            one.refresh_from_db()
        assert (code.body, code.parts) == ("", {})
        assert (fresh.body, plain.body, waiting.body) == ("B", "B", "B")

    def test_a_player_and_an_address_are_forgotten(self, player, other_player):
        self.old(1, about=player.pk), self.old(1, about=other_player.pk), self.old(1, to="A@Example.org")
        assert retention.forget_player(player.pk) == 1
        assert retention.forget_address("a@example.org") == 2

    pytestmark = pytest.mark.django_db
