"""GET /clips/<clip>/<name>: pictures and review copy, to those who may see the clip; nothing else of it, ever."""

import uuid

import pytest
from django.urls import reverse

from portal.evaluations.models import AccessLogEntry
from portal.measuring import products
from portal.measuring.models import Measurement, Stage

pytestmark = pytest.mark.django_db


def address(clip, name="stills.json"):
    return reverse("clip_file", args=[clip.pk, name])


@pytest.mark.parametrize("persona", ["coach", "owner", "guardian", "player_user"])
def test_those_of_the_clip_see_it(persona, measured_clip, sign_in, request):
    response = sign_in(request.getfixturevalue(persona)).get(address(measured_clip))
    assert response.status_code == 200
    assert b"".join(response)[:1] == b"{"
    assert response["Content-Type"] == "application/json"


@pytest.mark.parametrize("persona", ["other_coach", "other_guardian"])
def test_others_do_not(persona, measured_clip, sign_in, request):
    assert sign_in(request.getfixturevalue(persona)).get(address(measured_clip)).status_code == 404


def test_a_stranger_does_not(measured_clip, stranger):
    assert stranger.get(address(measured_clip)).status_code == 404


@pytest.mark.parametrize(
    ("name", "what"),
    [("review.mp4", "film"), ("review.samples.json", "film"), ("sound.flac", "film"),
     ("stills.json", "frames"), ("stills-0-19.pack", "frames"),
     ("poster.jpg", "pictures"), ("thumb-0-contact.jpg", "pictures")],
)  # fmt: skip
def test_whatever_is_looked_at_is_noted_once(name, what, measured_clip, coach, sign_in):
    client = sign_in(coach)
    for _again in range(3):
        client.get(address(measured_clip, name))
    entry = AccessLogEntry.objects.get()
    assert (entry.user, entry.seen_as, entry.what) == (coach, "coach", what)
    assert (entry.player, entry.submission) == (measured_clip.submission.player, measured_clip.submission)


def test_a_picture_that_the_browser_has_already_is_looked_at_all_the_same(measured_clip, coach, owner, sign_in):
    mark = sign_in(owner).get(address(measured_clip, "poster.jpg"))["ETag"]
    answer = sign_in(coach).get(address(measured_clip, "poster.jpg"), headers={"If-None-Match": mark})
    assert answer.status_code == 304
    assert AccessLogEntry.objects.filter(user=coach, what="pictures").count() == 1


def test_what_the_front_sends_is_noted_too(measured_clip, coach, sign_in, settings):
    settings.MEDIA_ACCEL = True
    assert "X-Accel-Redirect" in sign_in(coach).get(address(measured_clip, "review.mp4"))
    assert AccessLogEntry.objects.get().what == "film"


def test_where_nothing_is_shown_nothing_is_noted(measured_clip, coach, other_coach, sign_in):
    sign_in(other_coach).get(address(measured_clip))
    sign_in(coach).get(address(measured_clip, "tracks.npz"))
    Measurement.objects.update(stage=Stage.WATCHING)
    sign_in(coach).get(address(measured_clip))
    assert not AccessLogEntry.objects.exists()


def test_ranges_go_through(measured_clip, coach, sign_in):
    response = sign_in(coach).get(address(measured_clip, "review.mp4"), headers={"Range": "bytes=4-7"})
    assert (response.status_code, b"".join(response), response["Content-Type"]) == (206, b"ftyp", "video/mp4")


def test_head_is_answered_and_post_is_not(measured_clip, coach, sign_in):
    client = sign_in(coach)
    assert client.head(address(measured_clip, "poster.jpg")).status_code == 200
    assert client.post(address(measured_clip, "poster.jpg")).status_code == 405


def test_a_missing_clip_is_404(coach, sign_in):
    assert sign_in(coach).get(reverse("clip_file", args=[uuid.uuid4(), "stills.json"])).status_code == 404


def test_a_clip_that_is_not_measured_has_nothing_to_show(measured_clip, coach, sign_in):
    Measurement.objects.update(stage=Stage.WATCHING)
    assert sign_in(coach).get(address(measured_clip)).status_code == 404


@pytest.mark.parametrize(
    "name", ["tracks.npz", "original", "result.json", "review.mp4.bak", ".stills.json", "errors.txt"]
)
def test_the_original_and_the_tracks_are_handed_to_nobody(name, measured_clip, owner, sign_in):
    assert sign_in(owner).get(address(measured_clip, name)).status_code == 404


@pytest.mark.parametrize(
    "name",
    ["review.mp4", "review.samples.json", "stills.json", "stills-0-149.pack", "poster.jpg", "instant-0-foot_down.jpg",
     "thumb-12-set_up.jpg", "sound.flac"],
)  # fmt: skip
def test_the_names_of_products_are_known(name):
    assert products.is_shown(name)


@pytest.mark.parametrize(
    "name",
    ["../originals/1", "stills-0-149.pack\n", "instant-0-../x.jpg", "poster.jpg/..", "instant--foot_down.jpg", ""],
)
def test_other_names_are_not(name):
    assert not products.is_shown(name)
