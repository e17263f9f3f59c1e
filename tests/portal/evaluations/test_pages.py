"""The published page, its pictures and its PDF: what they show, and to whom."""

from __future__ import annotations

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from portal.evaluations.models import AccessLogEntry
from portal.evaluations.publish import publish
from portal.intake.states import State

NOBODY = "/evaluations/00000000-0000-0000-0000-000000000000/"


@pytest.fixture
def url(published):
    return f"/evaluations/{published.pk}/"


def text(response):
    return " ".join(response.content.decode().split())


@pytest.mark.parametrize("who", ["guardian", "player_user", "coach", "owner"])
def test_family_coach_and_owner_read_it(request, sign_in, url, who):
    response = sign_in(request.getfixturevalue(who)).get(url)
    assert response.status_code == 200
    assert "Hi Ida, here is your swing." in text(response)


@pytest.mark.parametrize("who", ["other_guardian", "other_coach"])
@pytest.mark.parametrize("tail", ["", "picture-1.jpg", "pdf/"])
def test_others_get_404(request, sign_in, url, published, who, tail):
    published.keep_pdf("evaluations/x.pdf")
    assert sign_in(request.getfixturevalue(who)).get(url + tail).status_code == 404


@pytest.mark.parametrize("tail", ["", "picture-1.jpg", "pdf/"])
def test_strangers_sign_in_first(stranger, url, tail):
    assert stranger.get(url + tail).url.startswith("/accounts/login/")


def test_a_missing_evaluation_is_404(sign_in, guardian):
    assert sign_in(guardian).get(NOBODY).status_code == 404


@pytest.mark.parametrize("tail", ["", "picture-1.jpg", "pdf/"])
def test_pages_to_read_take_no_post(sign_in, guardian, url, tail):
    assert sign_in(guardian).post(url + tail).status_code == 405


def test_plain_words_come_before_numbers(sign_in, guardian, url):
    html = text(sign_in(guardian).get(url))
    order = [
        "What is already good",
        "The one thing",
        "This week",
        "See you in spring.",
        "What your coach looked at",
        "All numbers",
    ]
    assert [html.index(heading) for heading in order] == sorted(html.index(heading) for heading in order)


def test_the_one_thing_has_its_picture_with_words_for_it(sign_in, guardian, url):
    html = text(sign_in(guardian).get(url))
    assert f'src="{url}picture-1.jpg"' in html
    assert 'alt="The swing at foot down, with the coach’s marks. Your foot."' in html
    assert "yellow dashes: how we want it" in html


def test_numbers_carry_strip_call_and_the_coachs_word(sign_in, guardian, url):
    html = text(sign_in(guardian).get(url))
    assert 'aria-label="62°, give or take 10°, wanted: at most 45°"' in html
    assert "Toes to the plate." in html
    assert html.count('class="strip"') >= 10


def test_the_one_thing_leads_the_numbers(sign_in, guardian, url):
    told = sign_in(guardian).get(url).context["content"]["told"]
    assert [p["checkpoint"] for p in told] == ["down_foot_opening", "down_front_knee", "contact_palms"]


def test_pictures_come_privately_and_only_those_of_the_edition(sign_in, guardian, url, published):
    client = sign_in(guardian)
    response = client.get(url + "picture-1.jpg")
    assert (response.status_code, response["Content-Type"]) == (200, "image/jpeg")
    assert "private" in response["Cache-Control"]
    default_storage.save(f"{published.folder}/other.jpg", ContentFile(b"x"))
    assert client.get(url + "other.jpg").status_code == 404


def test_the_pdf_is_linked_once_it_is_there(sign_in, guardian, url, published):
    client = sign_in(guardian)
    assert "The PDF is being made" in text(client.get(url))
    assert client.get(url + "pdf/").status_code == 404
    published.keep_pdf(default_storage.save(f"{published.folder}/evaluation.pdf", ContentFile(b"%PDF-")))
    assert "Save as PDF" in text(client.get(url))
    response = client.get(url + "pdf/")
    assert (response.status_code, response["Content-Type"]) == (200, "application/pdf")
    assert 'filename="swing-ida-1.pdf"' in response["Content-Disposition"]


def test_the_coach_is_led_to_a_correction_and_the_family_is_not(sign_in, coach, guardian, url):
    assert "Correct it: a new edition" in text(sign_in(coach).get(url))
    assert "Correct it" not in text(sign_in(guardian).get(url))


def test_an_old_edition_points_to_the_new_one(sign_in, guardian, coach, url, full, published):
    full.submission.refresh_from_db()
    full.submission.move(State.IN_REVIEW, reviewer=coach)
    second = publish(full, coach)
    client = sign_in(guardian)
    old, new = client.get(url), client.get(f"/evaluations/{second.pk}/")
    assert "There is a newer edition." in text(old)
    assert f"/evaluations/{second.pk}/" in text(old)
    assert "There is a newer edition." not in text(new)
    assert "All editions" in text(new)


def test_who_read_it_is_noted_once(sign_in, coach, guardian, url):
    for _again in range(2):
        sign_in(coach).get(url)
    sign_in(guardian).get(url)
    assert sorted(AccessLogEntry.objects.values_list("user__name", "what")) == [
        ("Lea Sandvall", "evaluation"), ("Maren Oduya", "evaluation"),
    ]  # fmt: skip


def test_the_least_of_an_edition_can_be_read(sign_in, guardian, evaluation):
    response = sign_in(guardian).get(f"/evaluations/{evaluation.pk}/")
    assert response.status_code == 200
    assert "Hi Ida, here is your swing." in text(response)


def test_words_of_the_write_up_cannot_become_markup(sign_in, guardian, coach, full, asked):
    full.greeting = "<script>alert(1)</script>"
    full.save()
    html = sign_in(guardian).get(f"/evaluations/{publish(full, coach).pk}/").content.decode()
    assert "<script>alert" not in html
    assert "&lt;script&gt;alert(1)" in html
