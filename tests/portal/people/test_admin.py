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
