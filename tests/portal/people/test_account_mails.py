"""Mails about signing in: our words, and nothing that tells a stranger who has an account."""

import re

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse

from portal.camps.models import Camp
from tests.portal.conftest import PASSWORD
from tests.portal.people.test_player_sign_in import code_in

NOBODY = "nobody@example.org"


def ask_for_code(client, email):
    return client.post(reverse("account_request_login_code"), {"email": email})


def test_a_code_signs_in(client, guardian):
    page = ask_for_code(client, guardian.email)
    (email,) = mail.outbox
    assert email.subject == "Your code for signing in"
    assert "fifteen minutes" in email.body
    assert client.post(page.url, {"code": code_in(email)}).status_code == 302
    assert client.get(reverse("family")).status_code == 200


def test_the_page_says_the_same_for_known_and_unknown_addresses(guardian):
    known, unknown = ask_for_code(Client(), guardian.email), ask_for_code(Client(), NOBODY)
    assert known.url == unknown.url
    assert [email.subject for email in mail.outbox][1] == "There is no account under this address"
    assert "invite link" in mail.outbox[1].body


def test_a_forgotten_password_is_chosen_anew(client, guardian):
    client.post(reverse("account_reset_password"), {"email": guardian.email})
    (email,) = mail.outbox
    assert email.subject == "Choose a new password"
    link = re.search(r"http://\S+?(/accounts/password/\S+)", email.body).group(1)
    page = client.get(link, follow=True)
    new = {"password1": "second base by dusk", "password2": "second base by dusk"}
    client.post(page.redirect_chain[-1][0], new)
    guardian.refresh_from_db()
    assert guardian.check_password("second base by dusk")
    assert not guardian.check_password(PASSWORD)


@pytest.mark.parametrize(
    ("email", "subject"), [(NOBODY, "Your code"), ("lea@example.org", "You have an account already")]
)
def test_the_sign_up_page_of_an_invited_browser(client, guardian, camp, email, subject):
    client.get(reverse("join", args=[Camp.objects.get().invite_token]))
    client.post(reverse("account_signup"), {"email": email})
    assert [email.subject for email in mail.outbox] == [subject]


@pytest.mark.parametrize("email", [NOBODY, "lea@example.org"])
def test_no_email_speaks_in_anybody_elses_words(client, guardian, email):
    ask_for_code(client, email)
    client.post(reverse("account_reset_password"), {"email": email})
    for email in mail.outbox:
        assert "example.com" not in email.body
        assert email.body.strip().endswith("Cagenote")


def test_an_account_keeps_the_address_it_was_made_with(guardian, sign_in):
    client = sign_in(guardian)
    assert client.get("/accounts/email/").status_code == 404
    client.post("/accounts/email/", {"email": "else@example.org", "action_add": ""})
    assert mail.outbox == []
    guardian.refresh_from_db()
    assert list(guardian.emailaddress_set.exclude(email=guardian.email)) == []


def test_the_sign_up_page_speaks_our_words(client, camp):
    client.get(reverse("join", args=[Camp.objects.get().invite_token]))
    page = client.get(reverse("account_signup")).content.decode()
    assert "Make your sign-in" in page
    assert "Sign Up" not in page


def test_signing_out_says_so_in_our_words(guardian, sign_in):
    page = sign_in(guardian).post(reverse("account_logout"), follow=True).content.decode()
    assert "You are signed out." in page
    assert "You have signed out" not in page
