"""Whose address it is, for accounts that were made in any way."""

from allauth.account.models import EmailAddress
from django.core import mail
from django.test import Client
from django.urls import reverse

from portal.people import proving
from portal.people.models import User
from tests.portal.people.test_account_mails import ask_for_code
from tests.portal.people.test_player_sign_in import code_in


def test_a_code_proves_the_address_of_an_account_without_a_row(client, db):
    user = User.objects.create_user("ansa@example.org")
    page = ask_for_code(client, user.email)
    client.post(page.url, {"code": code_in(mail.outbox[0])})
    assert client.get(reverse("family")).status_code == 200
    assert EmailAddress.objects.get().verified
    assert len(mail.outbox) == 1


def test_an_account_of_the_terminal_is_proven(db):
    User.objects.create_superuser("vera@example.org", "first pitch at noon")
    row = EmailAddress.objects.get()
    assert (row.email, row.verified, row.primary) == ("vera@example.org", True, True)


def test_an_address_that_the_owner_changed_signs_nobody_in_any_more(client, sign_in, owner, guardian):
    """Found while walking: a code for the account still went to the address it had before."""
    about = {"email": "lea@new.example.org", "name": guardian.name, "is_active": "on"}
    answer = sign_in(owner).post(reverse("admin:people_user_change", args=[guardian.pk]), about)
    assert answer.status_code == 302, answer.context["adminform"].form.errors
    ask_for_code(client, "lea@example.org")
    assert mail.outbox[-1].subject == "There is no account under this address"
    ask_for_code(Client(), "lea@new.example.org")
    assert mail.outbox[-1].to == ["lea@new.example.org"]
    assert mail.outbox[-1].subject == "Your code for signing in"


def test_the_row_is_kept_when_nothing_changed(guardian):
    row = EmailAddress.objects.get()
    assert proving.row_of(guardian) == row
    assert row.verified
