"""The owner's tables lie behind the app's own sign-in and never hand out an original."""

import pytest
from django.contrib import admin
from django.urls import reverse

from portal.intake.models import Clip


def test_a_stranger_is_sent_to_the_apps_sign_in(stranger, db):
    page = stranger.get(reverse("admin:login"))
    assert page.url.startswith(reverse("account_login"))


def test_a_coach_is_refused(sign_in, coach):
    assert sign_in(coach).get(reverse("admin:login")).status_code == 403


def test_every_table_opens_for_the_owner(sign_in, owner, evaluation):
    client = sign_in(owner)
    for model in admin.site._registry:
        page = client.get(reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_changelist"))
        assert page.status_code == 200, model


@pytest.mark.parametrize("thing", ["clip", "submission"])
def test_no_page_shows_where_an_original_lies(thing, sign_in, owner, measured_clip):
    pk = measured_clip.pk if thing == "clip" else measured_clip.submission.pk
    page = sign_in(owner).get(reverse(f"admin:intake_{thing}_change", args=[pk]))
    assert page.status_code == 200
    assert "IMG_0142.MOV" in page.text
    assert "originals/" not in page.text


def test_editions_and_clips_cannot_be_edited(sign_in, owner, evaluation):
    client, clip = sign_in(owner), Clip.objects.get()
    url = reverse("admin:evaluations_evaluation_change", args=[evaluation.pk])
    assert client.post(url, {"edition": 7}).status_code == 403
    url = reverse("admin:intake_clip_delete", args=[clip.pk])
    assert client.post(url, {"post": "yes"}).status_code == 403


def test_the_owner_makes_a_coach_who_signs_in_by_code(sign_in, owner):
    from portal.people.models import User

    about = {"email": "new@example.org", "name": "Ansa Brock", "is_coach": "on", "usable_password": "false"}
    page = sign_in(owner).post(reverse("admin:people_user_add"), about)
    assert page.status_code == 302, page.context["adminform"].form.errors
    made = User.objects.get(email="new@example.org")
    assert made.is_coach
    assert not made.has_usable_password()


def test_it_speaks_of_no_sign_in_that_we_do_not_have(sign_in, owner, coach):
    """Found on a real site: the form of a new coach spoke of directories and single sign-on."""
    client = sign_in(owner)
    for url in (
        reverse("admin:index"), reverse("admin:people_user_add"), reverse("admin:people_user_change", args=[coach.pk]),
        reverse("admin:auth_user_password_change", args=[coach.pk]),
    ):  # fmt: skip
        page = client.get(url)
        assert page.status_code == 200
        for words in ("LDAP", "Single Sign-On", "Authenticator", "Email addresses"):
            assert words.lower() not in page.text.lower(), (url, words)


def test_its_own_pages_for_password_and_leaving_are_ours(sign_in, owner, settings):
    client = sign_in(owner)
    assert client.get(reverse("admin:password_change")).url == reverse("account_change_password")
    assert client.post(reverse("admin:logout")).url == reverse("home")
    assert "_auth_user_id" not in client.session


def test_it_is_entered_through_the_second_step(sign_in, owner, settings):
    settings.SECOND_FACTOR = True
    assert sign_in(owner).get(reverse("admin:index")).url == reverse("mfa_index")
