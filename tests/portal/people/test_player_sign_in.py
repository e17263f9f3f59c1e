"""A player's own sign-in: offered by a guardian, taken by the player who proves the address."""

import re
from datetime import date, timedelta

import pytest
from django.core import mail
from django.urls import reverse
from django.utils import timezone

from portal.people import invites
from portal.people.models import Player
from tests.portal.conftest import make_player

EMAIL = "kit@example.org"


@pytest.fixture
def teen(camp, guardian):
    return make_player(camp, guardian, first_name="Kit", birth_year=date.today().year - 14)


@pytest.fixture
def token(teen, guardian):
    return invites.token_for(teen, EMAIL, guardian)


def code_in(email):
    """The code of a sign-in mail: two groups of three or more letters or digits with a dash between."""
    found = re.search(r"\b[A-Z0-9]{3,5}-[A-Z0-9]{3,5}\b", email.body)
    assert found, email.body
    return found.group()


def test_the_guardian_sends_a_link_that_the_player_takes(
    sign_in, guardian, teen, client, django_capture_on_commit_callbacks
):
    with django_capture_on_commit_callbacks(execute=True):
        sign_in(guardian).post(reverse("player_invite", args=[teen.pk]), {"email": EMAIL})
    (email,) = mail.outbox
    assert email.to == [EMAIL]
    link = re.search(r"http://localhost:8000(/join/player/\S+)", email.body).group(1)
    code_page = client.post(link).url
    client.post(code_page, {"code": code_in(mail.outbox[1])})
    assert client.post(link).url == reverse("family")
    teen.refresh_from_db()
    assert teen.user.email == EMAIL
    assert teen.user.name == "Kit"


def test_a_taken_link_opens_nothing(client, teen, token, player_user):
    Player.objects.filter(pk=teen.pk).update(user=player_user)
    page = client.get(reverse("join_player", args=[token]))
    assert page.status_code == 404
    assert "This link opens nothing" in page.text


def test_an_old_link_opens_nothing(client, token, monkeypatch):
    later = timezone.now() + timedelta(days=invites.DAYS, minutes=1)
    monkeypatch.setattr("django.core.signing.time.time", later.timestamp)
    assert client.get(reverse("join_player", args=[token])).status_code == 404


def test_a_changed_link_opens_nothing(client, token):
    assert client.get(reverse("join_player", args=[token[:-2] + "xx"])).status_code == 404


def test_it_ends_with_the_guardians_say(client, teen, token, guardian):
    teen.guardians.remove(guardian)
    assert client.get(reverse("join_player", args=[token])).status_code == 404


def test_another_account_cannot_take_it(sign_in, other_guardian, teen, token):
    client = sign_in(other_guardian)
    assert "went to another address" in client.get(reverse("join_player", args=[token])).text
    assert client.post(reverse("join_player", args=[token])).status_code == 404
    teen.refresh_from_db()
    assert teen.user is None


def test_children_under_13_are_offered_none(sign_in, guardian, player):
    Player.objects.filter(pk=player.pk).update(user=None)
    url = reverse("player_invite", args=[player.pk])
    assert "from 13 on" in sign_in(guardian).get(url).text
    sign_in(guardian).post(url, {"email": EMAIL})
    assert mail.outbox == []


def test_the_guardians_own_address_is_refused(sign_in, guardian, teen):
    page = sign_in(guardian).post(reverse("player_invite", args=[teen.pk]), {"email": guardian.email})
    assert "guardian’s address" in page.text


@pytest.mark.parametrize("persona", ["coach", "owner", "other_guardian", "player_user"])
def test_only_a_guardian_offers_it(persona, request, sign_in, teen):
    client = sign_in(request.getfixturevalue(persona))
    assert client.get(reverse("player_invite", args=[teen.pk])).status_code == 404


def test_whoever_holds_the_link_is_told_no_family_name(client, guardian, token):
    guardian.name = "Ada Sandvall"
    guardian.save()
    page = client.get(reverse("join_player", args=[token])).text
    assert "Your family gives you your own sign-in" in page
    assert "Sandvall" not in page
