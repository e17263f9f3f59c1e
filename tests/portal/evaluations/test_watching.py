"""Which film an edition lets its family watch."""

from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils import timezone

from portal.evaluations.models import Evaluation
from portal.evaluations.watching import film_of, to_watch
from portal.intake.models import Submission


def test_it_is_the_swing_with_the_marks_by_its_frames(published, full):
    film = film_of(published)
    (swing, *_rest) = full.clip.measurement.result["swings"]
    assert (film["first"], film["last"]) == (swing["start_frame"], swing["end_frame"])
    assert film["files"] == f"/clips/{full.clip.pk}/"
    assert [mark["frame"] for mark in film["marks"]] == [12, 26]
    assert film["marks"][1]["caption"] == "Your foot."
    assert film["marks"][1]["src"] == reverse("evaluation_picture", args=[published.pk, "picture-1.jpg"])


def test_the_page_offers_it_to_the_family(published, sign_in, guardian):
    html = sign_in(guardian).get(f"/evaluations/{published.pk}/").content.decode()
    assert "Watch the swing" in html
    assert f"/clips/{published.snapshot['film']['watch']['clip']}/review.mp4" in html  # without scripts


@pytest.fixture
def shown(published, sign_in, guardian):
    """Whether the page offers a film."""

    def ask():
        return "Watch the swing" in sign_in(guardian).get(f"/evaluations/{published.pk}/").content.decode()

    return ask


def test_none_where_the_film_has_ended(published, shown):
    Submission.objects.filter(pk=published.submission_id).update(film_ended_at=timezone.now())
    assert not shown()


def test_none_where_the_clip_is_gone(published, full, shown):
    full.clip.delete()
    assert not shown()


def test_none_in_an_edition_of_before(published, shown):
    snapshot = published.snapshot
    del snapshot["film"]["watch"]
    Evaluation.objects.filter(pk=published.pk).update(snapshot=snapshot)
    assert not shown()


def test_full_speed_is_the_hitters_where_the_film_itself_tells_how_slow_it_is(full):
    """As the desk plays it: what holds is what was read, whether a coach or the file said so."""
    measurement = full.clip.measurement
    measurement.result["film"]["speed_factor"] = 4.0
    measurement.save()
    assert not measurement.corrections.get("speed_factor")
    assert to_watch(full, [])["slowed"] == 4.0
    measurement.result["film"]["speed_factor"] = None  # seems slowed, and nobody has said how much
    measurement.save()
    assert to_watch(full, [])["slowed"] == 1
