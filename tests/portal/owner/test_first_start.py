"""A site without an owner: the terminal's link makes one, once, and the first steps follow."""

from datetime import UTC, datetime

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse

from portal.camps.models import Camp
from portal.health.management.commands import run
from portal.outbox.models import Email
from portal.outbox.said import NO_SERVER
from portal.outbox.trying import Outcome, try_mail
from portal.owner import first_link
from portal.owner.models import Site
from portal.people import second_step
from portal.people.models import User

pytestmark = pytest.mark.django_db
ABOUT = {"name": "Oda Verne", "email": "Oda@Example.org", "password": "first pitch at noon"}


@pytest.fixture
def link():
    """The link's path, as the terminal would show it."""
    return first_link.new_link().removeprefix("http://localhost:8000")


def test_the_link_makes_an_owner_who_is_signed_in(stranger, link):
    assert "no owner yet" in stranger.get(link).text
    page = stranger.post(link, ABOUT)
    assert page.url == reverse("first_start")
    owner = User.objects.get()
    assert (owner.email, owner.name, owner.is_owner, owner.is_superuser) == ("oda@example.org", "Oda Verne", True, True)
    assert stranger.get(page.url).status_code == 200


def test_it_works_once(stranger, link, client):
    stranger.post(link, ABOUT)
    assert client.get(link).status_code == 410
    assert client.post(link, {**ABOUT, "email": "else@example.org"}).status_code == 410
    assert User.objects.count() == 1


def test_a_new_start_ends_the_link_before(stranger, link):
    newer = first_link.new_link()
    assert "opens nothing" in stranger.get(link).text
    assert stranger.get(newer).status_code == 200


def test_only_its_hash_is_kept(link):
    token = link.split("/")[2]
    assert token not in str(Site.objects.values())


def test_where_there_is_an_owner_there_is_no_link(owner, stranger):
    assert first_link.new_link() is None
    assert run.first_words() == ""
    with pytest.raises(CommandError, match="has an owner already"):
        call_command("first_link")


def test_a_superuser_of_the_terminal_ends_it_too(link, stranger):
    User.objects.create_superuser("vera@example.org", "first pitch at noon")
    assert stranger.get(link).status_code == 410


def test_an_owner_who_was_switched_off_is_none(owner):
    User.objects.update(is_active=False)
    assert first_link.new_link()


def test_an_empty_link_never_opens(stranger):
    Site.get()
    assert stranger.get("/start/x/").status_code == 410
    with pytest.raises(first_link.LinkSpent):
        first_link.check("")


def test_two_at_once_make_one_owner(link):
    token = link.split("/")[2]
    first_link.make_owner(token, "Oda Verne", "oda@example.org", None)
    with pytest.raises(first_link.LinkSpent):
        first_link.make_owner(token, "Ed Strand", "ed@example.org", None)


@pytest.mark.parametrize(
    ("field", "value", "words"), [("password", "short", "10 characters"), ("email", "oda", "valid")]
)
def test_faults_are_said(stranger, link, field, value, words):
    assert words in stranger.post(link, {**ABOUT, field: value}).text
    assert not User.objects.exists()


def test_without_a_mail_server_a_password_is_needed(stranger, link, settings):
    settings.OUTBOX_FORWARDS_TO = None
    assert "no code would reach you" in stranger.get(link).text
    stranger.post(link, {**ABOUT, "password": ""})
    assert not User.objects.exists()


def test_with_one_the_owner_may_sign_in_by_code(stranger, link, settings):
    settings.OUTBOX_FORWARDS_TO = "django.core.mail.backends.smtp.EmailBackend"
    stranger.post(link, {**ABOUT, "password": ""})
    assert not User.objects.get().has_usable_password()


def test_the_owner_later_gets_in_by_password_without_any_email(stranger, link, client, mailoutbox):
    stranger.post(link, ABOUT)
    client.post(reverse("account_login"), {"login": "oda@example.org", "password": ABOUT["password"]})
    assert "_auth_user_id" in client.session
    assert mailoutbox == []


def test_the_steps_show_what_is_done_and_what_is_next(sign_in, owner, settings):
    settings.SECOND_FACTOR = True
    client = sign_in(owner)
    page = client.get(reverse("first_start"))
    assert [(step.id, step.done) for step in page.context["steps"]] == [
        ("owner", True), ("second", False), ("name", False), ("mail", False), ("camp", False)
    ]  # fmt: skip
    assert page.context["now"] == "second"


def test_setting_up_the_second_step_leads_back_to_the_rest(sign_in, owner, settings):
    settings.SECOND_FACTOR = True
    client = sign_in(owner)
    client.get(reverse("owner_home"))
    client.get(reverse("first_start"))
    assert client.session[second_step.AFTER] == reverse("first_start")


def test_the_second_step_can_be_left_for_later(sign_in, owner, settings):
    """What was typed beside it used to be thrown away, and its page shown instead."""
    settings.SECOND_FACTOR = True
    client = sign_in(owner)
    named = client.post(reverse("site"), {"name": "Lindholt swings", "from": "first_start"})
    assert named.url == client.post(reverse("test_mail"), {"from": "first_start"}).url == reverse("first_start")
    assert Site.get().name == "Lindholt swings"
    assert Site.get().mail_tested_at
    assert client.get(reverse("owner_home")).url == reverse("mfa_index")


def test_they_can_be_left_and_gone_on_with(sign_in, owner):
    client = sign_in(owner)
    client.post(reverse("site"), {"name": "Lindholt swings", "from": "first_start"})
    page = client.get("/", follow=True)
    assert "2 steps are left" in page.text
    Camp.objects.create(name="Fall camp")
    assert client.get(reverse("first_start")).context["now"] == "mail"


def test_what_is_left_can_be_put_away(sign_in, owner):
    client = sign_in(owner)
    client.post(reverse("first_start"))
    assert "steps are left" not in client.get("/", follow=True).text
    assert client.get(reverse("first_start")).status_code == 200


def test_the_sites_name_stands_on_every_page_and_in_emails(sign_in, owner, stranger, guardian, mailoutbox):
    answer = sign_in(owner).post(reverse("site"), {"name": "Lindholt swings", "from": "first_start"})
    assert answer.url == reverse("first_start")
    assert "<title>Lindholt swings</title>" in stranger.get("/").text
    stranger.post(reverse("account_request_login_code"), {"email": guardian.email})
    assert mailoutbox[-1].body.strip().endswith("Lindholt swings")
    try_mail(owner.email)
    assert Email.objects.latest("pk").body.strip().endswith("Lindholt swings")


@pytest.mark.parametrize("page", ["first_start", "owner_home"])
def test_the_owner_sees_what_time_it_is_by_the_site(sign_in, owner, settings, monkeypatch, page):
    settings.TIME_ZONE = "America/Chicago"
    monkeypatch.setattr("django.utils.timezone.now", lambda: datetime(2026, 11, 30, 3, 5, tzinfo=UTC))
    words = "it is Sunday, November 29, 9:05 PM (America/Chicago)"
    assert words in " ".join(sign_in(owner).get(reverse(page)).text.split())


def test_an_empty_name_is_refused(sign_in, owner):
    assert "required" in sign_in(owner).post(reverse("site"), {"name": " "}).text


@pytest.mark.parametrize("persona", ["coach", "guardian", "player_user"])
def test_the_owners_pages_are_the_owners(persona, request, sign_in):
    client = sign_in(request.getfixturevalue(persona))
    for name in ("owner_home", "first_start", "site", "people"):
        assert client.get(reverse(name)).status_code == 404, name


class TestTerminal:
    def test_it_says_loudly_that_no_email_leaves(self, settings):
        settings.OUTBOX_FORWARDS_TO = None
        words = run.warnings()
        assert "NO EMAIL WILL LEAVE" in words
        assert "EMAIL_URL=" in words
        assert words.count("\n  !") >= 4

    def test_and_nothing_where_a_server_is_named_or_in_a_demo(self, settings):
        settings.DEMO, settings.OUTBOX_FORWARDS_TO = True, None
        assert run.warnings() == ""
        settings.DEMO, settings.OUTBOX_FORWARDS_TO = False, "django.core.mail.backends.smtp.EmailBackend"
        assert run.warnings() == ""

    def test_it_shows_the_link(self, stranger):
        words = run.first_words()
        path = words.split("http://localhost:8000")[1].split()[0]
        assert stranger.get(path).status_code == 200

    def test_the_command_for_other_sets_prints_it_too(self, capsys):
        call_command("first_link")
        assert capsys.readouterr().out.startswith("http://localhost:8000/start/")


@pytest.mark.parametrize("name", ["owner_home", "people", "health_page", "first_start"])
def test_the_owners_pages_say_that_no_email_leaves(name, sign_in, owner, settings):
    settings.OUTBOX_FORWARDS_TO = None
    assert str(NO_SERVER) in sign_in(owner).get(reverse(name)).text
    settings.OUTBOX_FORWARDS_TO = "django.core.mail.backends.smtp.EmailBackend"
    assert "No email leaves this machine" not in sign_in(owner).get(reverse(name)).text


@pytest.mark.parametrize("name", ["owner_home", "people"])
def test_the_owners_pages_say_that_the_mail_server_takes_none(name, sign_in, owner, settings):
    settings.OUTBOX_FORWARDS_TO = "django.core.mail.backends.smtp.EmailBackend"
    assert "The mail server takes no emails" not in sign_in(owner).get(reverse(name)).text
    Email.objects.create(to="a@example.org", server_down=True, answer="Nobody answers at mail.example")
    page = sign_in(owner).get(reverse(name)).text
    assert "The mail server takes no emails" in page
    assert "Nobody answers at mail.example" in page
    assert reverse("outbox") in page


class TestMail:
    @pytest.fixture(autouse=True)
    def server(self, settings, monkeypatch):
        """What the mail server answers is tried in tests/portal/outbox; here, what the page makes of it."""
        self.outcome = Outcome(True, "The mail server took it: 250 queued.")
        monkeypatch.setattr("portal.owner.views.home.try_mail", lambda to: self.outcome)
        settings.DEFAULT_FROM_EMAIL = "Lindholt swings <swings@example.org>"

    def test_the_answer_is_said_and_the_step_is_done(self, sign_in, owner):
        page = sign_in(owner).post(reverse("test_mail"), {"from": "first_start"}, follow=True)
        assert page.redirect_chain[-1][0] == reverse("first_start")
        assert "250 queued" in page.text
        assert Site.get().mail_tested_at

    def test_a_refusal_is_said_and_the_step_is_not(self, sign_in, owner):
        self.outcome = Outcome(False, "550 no such mailbox")
        assert "550 no such mailbox" in sign_in(owner).post(reverse("test_mail"), follow=True).text
        assert Site.get().mail_tested_at is None

    def test_a_sender_that_servers_throw_away_is_said(self, sign_in, owner, settings):
        settings.DEFAULT_FROM_EMAIL = "Cagenote <cagenote@localhost>"
        assert "set DEFAULT_FROM_EMAIL" in sign_in(owner).post(reverse("test_mail"), follow=True).text
