"""The second step: asked of owner and coaches before any page with children's things opens."""

import io

import pytest
from allauth.mfa.models import Authenticator
from allauth.mfa.totp.internal.auth import TOTP
from django.core.management import CommandError, call_command
from django.urls import reverse

from portal.people import second_step
from portal.people.models import User


@pytest.fixture(autouse=True)
def asked(settings):
    settings.SECOND_FACTOR = True


def places(client, names):
    return {name: getattr(client.get(reverse(name)), "url", "") for name in names}


@pytest.mark.parametrize("persona", ["coach", "owner"])
def test_no_page_with_children_opens_without_it(persona, request, sign_in, evaluation):
    client = sign_in(request.getfixturevalue(persona))
    clip = evaluation.submission.clips.get()
    for url in (
        reverse("queue"), reverse("desk", args=[evaluation.submission.pk]), reverse("evaluation", args=[evaluation.pk]),
        reverse("evaluation_picture", args=[evaluation.pk, "picture-1.jpg"]), reverse("clip_result", args=[clip.pk]),
        reverse("clip_file", args=[clip.pk, "poster.jpg"]), reverse("camps"), reverse("admin:index"), reverse("outbox"),
        reverse("people"), reverse("player", args=[evaluation.submission.player.pk]),
    ):  # fmt: skip
        answer = client.get(url)
        assert (answer.status_code, answer.url) == (302, reverse("mfa_index")), url


def test_nothing_is_changed_without_it(sign_in, coach, camp):
    answer = sign_in(coach).post(reverse("camp_invite", args=[camp.pk]), {"do": "close"})
    assert answer.url == reverse("mfa_index")
    camp.refresh_from_db()
    assert camp.invite_is_open


def test_families_are_not_asked(sign_in, guardian, player_user, player):
    assert sign_in(guardian).get(reverse("family")).status_code == 200
    assert sign_in(player_user).get(reverse("family")).status_code == 200
    assert sign_in(guardian).get(reverse("mfa_index")).status_code == 200


def test_the_page_says_why_and_how(sign_in, coach):
    page = sign_in(coach).get(reverse("queue"), follow=True).text
    assert "You see other people’s children here" in page
    assert "Set up the app" in page


def test_with_one_everything_opens(sign_in, coach):
    TOTP.activate(coach, "A" * 32)
    assert sign_in(coach).get(reverse("queue")).status_code == 200


def test_recovery_codes_alone_are_none(coach):
    Authenticator.objects.create(user=coach, type=Authenticator.Type.RECOVERY_CODES, data={"seed": "x", "used_mask": 0})
    assert not second_step.has_one(coach)


def test_afterwards_it_goes_on_where_the_coach_wanted_to(sign_in, coach, camp):
    client = sign_in(coach)
    client.get(reverse("camp", args=[camp.pk]))
    assert client.session[second_step.AFTER] == reverse("camp", args=[camp.pk])


def test_a_setting_switches_it_off(sign_in, coach, settings):
    settings.SECOND_FACTOR = False
    assert sign_in(coach).get(reverse("queue")).status_code == 200


def test_the_last_one_stays_and_a_second_lets_the_first_go(coach, guardian):
    adapter = second_step.SecondStepAdapter()
    app = TOTP.activate(coach, "A" * 32).instance
    assert not adapter.can_delete_authenticator(app)
    Authenticator.objects.create(user=coach, type=Authenticator.Type.WEBAUTHN, data={})
    assert adapter.can_delete_authenticator(app)
    assert adapter.can_delete_authenticator(TOTP.activate(guardian, "A" * 32).instance)


def test_a_passkey_that_is_the_last_one_stays(sign_in, coach, client):
    """The package asks the adapter for the app alone, not for passkeys."""
    passkey = Authenticator.objects.create(user=coach, type=Authenticator.Type.WEBAUTHN, data={"name": "my phone"})
    browser = sign_in(coach)
    session = browser.session
    import time

    session["account_authentication_methods"] = [{"method": "code", "at": time.time()}]
    session["account_authentication_methods_user"] = str(coach.pk)
    session.save()
    url = reverse("mfa_remove_webauthn", args=[passkey.pk])
    assert "your only second step" in browser.get(url).text
    browser.post(url)
    assert second_step.has_one(coach)


def test_the_owner_who_lost_everything_has_a_command(owner):
    TOTP.activate(owner, "A" * 32)
    said = io.StringIO()
    call_command("reset_second_step", owner.email.upper(), stdout=said)
    assert not second_step.has_one(owner)
    assert "set up a new second one" in said.getvalue()
    call_command("reset_second_step", owner.email, stdout=said)
    assert "has no second step" in said.getvalue()
    with pytest.raises(CommandError, match="no account"):
        call_command("reset_second_step", "nobody@example.org")


def test_the_app_shows_the_sites_name(owner, rf):
    from portal.owner.models import Site

    Site.get()
    Site.objects.update(name="Lindholt swings")
    assert second_step.SecondStepAdapter().get_totp_issuer() == "Lindholt swings"


def test_who_just_signed_in_is_not_asked_for_the_password_again(client, coach):
    from tests.portal.conftest import PASSWORD

    client.post(reverse("account_login"), {"login": coach.email, "password": PASSWORD})
    assert client.get(reverse("mfa_activate_totp")).status_code == 200
    session = client.session
    session["account_authentication_methods"][0]["at"] -= 600
    session.save()
    assert client.get(reverse("mfa_activate_totp")).url.startswith(reverse("account_reauthenticate"))


def test_a_wrong_code_while_setting_up_speaks_of_no_recovery_codes(client, coach):
    from tests.portal.conftest import PASSWORD

    client.post(reverse("account_login"), {"login": coach.email, "password": PASSWORD})
    client.get(reverse("mfa_activate_totp"))
    page = client.post(reverse("mfa_activate_totp"), {"code": "000000"}).text
    assert "not the six digits that the app shows now" in page
    assert "recovery code" not in page
    assert not Authenticator.objects.exists()


def test_new_words_of_the_second_step_are_ours(db):
    assert "security key" not in str(second_step.SecondStepAdapter.error_messages)
    assert User.objects.count() == 0
