"""A coach whose film was read again under an open draft is told so, in plain words."""

import pytest
from django.urls import reverse
from django.utils import timezone

from portal.desk import reread
from portal.evaluations.models import Evaluation
from portal.measuring.models import Measurement, Reread, Retry, Trouble

pytestmark = pytest.mark.django_db


def change(checkpoint, before, after, swing=0):
    was, now = ({"value": value, "interval": [value - 4, value + 4], "unit": "°"} for value in (30.0, 52.0))
    return {"swing": swing, "checkpoint": checkpoint, "before": before, "after": after, "was": was, "now": now}


CHANGES = [
    change("down_front_knee", "in range", "too close to call"),
    change("down_rear_knee", "in range", "out of range"),
    change("setup_front_knee", "in range", "out of range", swing=1),
]


@pytest.fixture
def news(review):
    held = Measurement.objects.get()
    return Reread.objects.create(measurement=held, at=timezone.now(), why=["method", "book"], calls=CHANGES, swings={})


@pytest.fixture
def page(news, review, desk_client):
    return lambda: desk_client.get(reverse("desk", args=[review.submission_id])).content.decode()


def test_the_desk_says_why_and_what_changed(page):
    shown = page()
    assert "measuring got better and the book of checkpoints changed" in shown
    assert "2 checkpoints have another call now" in shown
    assert "One more in another swing." in shown
    assert "Your ratings, words and drawings stay as they are." in shown


def test_what_the_coach_has_rated_comes_first(news, review):
    review.ratings.create(checkpoint="down_rear_knee", rate="good")
    lines = reread.told(review).lines
    assert [(line.name, line.rating) for line in lines] == [("Rear knee bend", "good"), ("Front knee bend", "")]
    assert (lines[0].was, lines[0].now) == ("30°", "52°")


def test_where_no_call_changed_it_says_so(news, page, review):
    Reread.objects.update(calls=[])
    assert "Every checkpoint of this swing kept its call." in page()
    assert not reread.told(review).is_to_be_seen


def test_swings_that_went_came_or_came_back_are_told(news, review):
    Reread.objects.update(calls=[], swings={"gone": [0], "new": [1, 2], "back": True})
    told = reread.told(review)
    assert told.is_to_be_seen
    assert [words.split()[0:2] for words in told.swings] == [["A", "swing"], ["2", "swings"], ["A", "swing"]]


def test_seen_is_seen(news, review, desk_client, page):
    stamp = reread.told(review).stamp
    answer = desk_client.post(
        reverse("desk_reread_seen", args=[review.submission_id]), {"stamp": stamp, "stop": "load"}
    )
    assert answer.url.endswith("/desk/load/")
    assert "made anew on" not in page()


def test_newer_news_is_not_taken_for_seen(news, review, desk_client):
    stamp = reread.told(review).stamp
    Reread.objects.update(at=timezone.now())
    desk_client.post(reverse("desk_reread_seen", args=[review.submission_id]), {"stamp": stamp})
    assert Reread.objects.exists()


def test_who_only_looks_can_read_it_and_not_put_it_away(news, review, owner, sign_in):
    client = sign_in(owner)
    shown = client.get(reverse("desk", args=[review.submission_id])).content.decode()
    assert "made anew on" in shown
    assert "I have seen it" not in shown
    client.post(reverse("desk_reread_seen", args=[review.submission_id]), {"stamp": reread.told(review).stamp})
    assert Reread.objects.exists()


def test_nothing_is_published_with_calls_that_the_coach_has_not_seen(news, review, desk_client):
    url = reverse("desk_publish", args=[review.submission_id])
    answer = desk_client.post(url, {"version": review.version}, follow=True)
    assert "some calls are others now" in answer.content.decode()
    assert not Evaluation.objects.exists()
    reread.seen(review, reread.told(review).stamp)
    desk_client.post(url, {"version": review.version})
    assert Evaluation.objects.exists()


def test_where_no_call_changed_publishing_goes_on_and_the_news_is_old(news, review, desk_client):
    Reread.objects.update(calls=[])
    desk_client.post(reverse("desk_publish", args=[review.submission_id]), {"version": review.version})
    assert Evaluation.objects.exists()
    assert not Reread.objects.exists()


def test_an_edition_keeps_what_its_numbers_were_read_with(evaluation):
    assert evaluation.snapshot["film"]["read_with"] == Measurement.objects.get().read_with


def test_an_open_window_hears_of_it_with_its_next_change(review, post_change):
    assert post_change("rating", checkpoint="down_front_knee", rate="good").json()["news"] == ""
    Reread.objects.create(measurement=Measurement.objects.get(), at=timezone.now())
    told = post_change("rating", checkpoint="down_front_knee", rate="watch").json()["news"]
    assert told == reread.told(review).stamp


def test_the_film_says_by_what_it_was_read(review, desk_client):
    held = Measurement.objects.get()
    assert f"method {held.read_method} with book {held.read_book}" in reread.read_words(held)
    Retry.objects.create(measurement=held, method=9, book=9, trouble=Trouble.NO_TRACK)
    assert "can’t read it: its track is not kept" in reread.read_words(Measurement.objects.get())
    Measurement.objects.update(read_method=0, read_at=None)
    assert reread.read_words(Measurement.objects.get()).startswith("Read by a method from before")
    assert reread.read_words(None) == ""
