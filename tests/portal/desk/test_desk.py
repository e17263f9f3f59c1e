"""The desk's page and what is done around it."""

import json
import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from portal.desk.models import Rating, Review
from portal.evaluations.models import AccessLogEntry
from portal.intake.states import State
from tests.portal.conftest import make_measured_clip


def address(name, review, *more):
    return reverse(name, args=[review.submission_id, *more])


def data_of(answer):
    found = re.search(
        r'<script id="desk-data" type="application/json">(.*?)</script>', answer.content.decode(), re.DOTALL
    )
    return json.loads(found.group(1))


def test_the_desk_shows_the_walk_and_gives_the_modules_what_they_need(desk_client, review):
    answer = desk_client.get(address("desk", review, "foot_down"))
    assert answer.status_code == 200
    data = data_of(answer)
    assert (data["stop"], data["editable"], data["clip"]["frames"]) == ("foot_down", True, 60)
    assert data["swing"]["instants"]["contact"]["frame"] == 38
    body = answer.content.decode()
    assert body.count('data-checkpoint="') == len(data["book"])
    assert 'name="down_foot_opening-rate"' in body


@pytest.mark.parametrize("with_clip", [True, False], ids=["measured", "nothing measured"])
def test_looking_at_the_desk_writes_no_row_but_the_look(desk_client, submission, products, with_clip):
    waiting = submission(State.READY)
    if with_clip:
        make_measured_clip(waiting, products)
    names = ("desk", "desk_cards", "desk_preview", "desk_compare", "desk_wanted")
    with CaptureQueriesContext(connection) as asked:
        told = {name: desk_client.get(reverse(name, args=[waiting.pk])).status_code for name in names}
    writing = [one["sql"] for one in asked if one["sql"].startswith(("INSERT", "UPDATE", "DELETE"))]
    fine = {200} if with_clip else {200, 404}
    assert (told["desk"], told["desk_cards"], told["desk_preview"]) == (200, 200, 200)
    assert set(told.values()) <= fine, told
    assert [sql for sql in writing if AccessLogEntry._meta.db_table not in sql] == []
    assert writing, "not even the look was noted"


@pytest.mark.parametrize(("name", "most"), [("desk", 13), ("desk_cards", 6)])
def test_opening_asks_the_database_for_each_thing_once(desk_client, review, name, most):
    desk_client.get(address(name, review))  # notes the look
    with CaptureQueriesContext(connection) as asked:
        desk_client.get(address(name, review))
    assert len(asked) <= most, [one["sql"][:120] for one in asked]


def test_the_clip_on_the_desk_stays_when_another_is_measured_during_the_review(desk_client, submission, products):
    waiting = submission(State.READY)
    first = make_measured_clip(waiting, products)
    desk_client.post(reverse("desk_claim", args=[waiting.pk]))
    make_measured_clip(waiting, products)
    assert Review.objects.get().clip == first
    assert data_of(desk_client.get(reverse("desk", args=[waiting.pk])))["clip"]["id"] == str(first.pk)


def test_looking_is_noted_and_changes_no_state(desk_client, measured_clip, coach):
    submission = measured_clip.submission
    answer = desk_client.get(reverse("desk", args=[submission.pk]))
    assert "Begin the review" in answer.content.decode()
    assert not data_of(answer)["editable"]
    submission.refresh_from_db()
    assert submission.state == State.READY
    assert (AccessLogEntry.objects.get().user, AccessLogEntry.objects.get().what) == (coach, "draft")


def test_a_stop_that_is_none_is_not_there(desk_client, review):
    assert desk_client.get(address("desk", review, "wind_up")).status_code == 404


def test_another_coach_of_the_camp_looks_and_can_take_over(sign_in, review, camp, coach, other_coach):
    camp.coaches.add(other_coach)
    client = sign_in(other_coach)
    body = client.get(address("desk", review)).content.decode()
    assert "Maren Oduya is reviewing since" in body
    client.post(address("desk_claim", review), {"from": coach.pk})
    review.submission.refresh_from_db()
    assert review.submission.reviewer == other_coach


def test_a_second_claim_names_who_has_it(sign_in, review, camp, other_coach):
    camp.coaches.add(other_coach)
    answer = sign_in(other_coach).post(address("desk_claim", review), follow=True)
    assert "Maren Oduya is reviewing this since" in answer.content.decode()
    review.submission.refresh_from_db()
    assert review.submission.reviewer.name == "Maren Oduya"


def test_a_review_goes_back_into_the_queue(desk_client, review):
    answer = desk_client.post(address("desk_release", review), follow=True)
    assert "back in the queue" in answer.content.decode()
    review.submission.refresh_from_db()
    assert review.submission.state == State.READY


def test_a_family_without_a_measured_clip_still_gets_an_answer(desk_client, submission):
    unreadable = submission(State.UNREADABLE)
    body = desk_client.get(reverse("desk", args=[unreadable.pk])).content.decode()
    assert "No film to look at yet" in body
    assert reverse("desk_film_again", args=[unreadable.pk]) in body


def test_cards_bring_the_readings_as_they_stand(desk_client, review):
    measurement = review.clip.measurement
    measurement.result["swings"][0]["readings"][1]["value"] = 33
    measurement.save(update_fields=["result"])
    body = desk_client.get(address("desk_cards", review)).content.decode()
    assert "33°" in body
    assert "<html" not in body


def test_the_preview_is_the_letter_of_the_player(desk_client, review):
    Rating.objects.create(review=review, checkpoint="down_foot_opening", rate="work_on")
    body = desk_client.get(address("desk_preview", review)).content.decode()
    assert 'class="evaluation"' in body
    assert "Keep the front foot closed a little longer" in body
    assert "You stay tall to the end." in body


def test_another_swing_is_looked_at(desk_client, review):
    measurement = review.clip.measurement
    measurement.result["swings"].append({**measurement.result["swings"][0], "index": 1})
    measurement.save(update_fields=["result"])
    choice = f"{review.clip_id}:1"
    answer = desk_client.post(address("desk_swing", review), {"choice": choice, "stop": "contact"})
    assert answer.url == address("desk", review, "contact")
    review.refresh_from_db()
    assert (review.swing, review.version) == (1, 1)


def test_while_no_swing_is_found_the_one_looked_at_keeps_its_number(desk_client, review):
    measurement = review.clip.measurement
    measurement.result["swings"] = []
    measurement.save(update_fields=["result"])
    review.swing = 1
    review.save(update_fields=["swing"])
    choice = f"{review.clip_id}:0"
    answer = desk_client.post(address("desk_swing", review), {"choice": choice, "stop": "contact"})
    assert answer.url == address("desk", review, "contact")
    review.refresh_from_db()
    assert (review.swing, review.version) == (1, 0)


@pytest.mark.parametrize("choice", ["", "x:1", "00000000-0000-0000-0000-000000000000:0"])
def test_a_swing_that_is_none_is_not_there(desk_client, review, choice):
    assert desk_client.post(address("desk_swing", review), {"choice": choice}).status_code == 404


def test_publishing_makes_an_edition_and_tells_the_family(
    desk_client, review, mailoutbox, django_capture_on_commit_callbacks, monkeypatch
):
    monkeypatch.setattr("portal.evaluations.tasks.make_pdf.delay", lambda pk: None)
    with django_capture_on_commit_callbacks(execute=True):
        answer = desk_client.post(address("desk_publish", review), {"version": review.version})
    edition = review.submission.evaluations.get()
    assert answer.url == reverse("evaluation", args=[edition.pk])
    review.submission.refresh_from_db()
    assert review.submission.state == State.PUBLISHED
    assert {address for mail in mailoutbox for address in mail.to} == {"lea@example.org", "ida@example.org"}


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"version": 7}, "changed in another window"),
        ({"thing_title": ""}, "Choose the one thing"),
    ],
)
def test_what_is_not_ready_is_not_published(desk_client, review, change, words):
    Review.objects.filter(pk=review.pk).update(**change)
    sent = 0 if "version" in change else review.version
    answer = desk_client.post(address("desk_publish", review), {"version": sent}, follow=True)
    assert words in answer.content.decode()
    assert not review.submission.evaluations.exists()


def test_only_who_reviews_can_publish(sign_in, review, camp, other_coach):
    camp.coaches.add(other_coach)
    answer = sign_in(other_coach).post(address("desk_publish", review), {"version": 0}, follow=True)
    assert "Only who reviews it can publish it." in answer.content.decode()


def test_film_again_reaches_the_family_in_the_coachs_words(
    desk_client, review, mailoutbox, django_capture_on_commit_callbacks
):
    words = "The feet are cut off. Please step back three big steps."
    with django_capture_on_commit_callbacks(execute=True):
        answer = desk_client.post(address("desk_film_again", review), {"words": words})
    assert answer.url == reverse("queue")
    review.submission.refresh_from_db()
    assert (review.submission.state, review.submission.reviewer) == (State.FILM_AGAIN, None)
    assert all(words in mail.body for mail in mailoutbox)
    assert len(mailoutbox) == 2


def test_film_again_without_a_reason_asks_for_one(desk_client, review):
    answer = desk_client.post(address("desk_film_again", review), {"words": "again"})
    assert "A few more words" in answer.content.decode()
    review.submission.refresh_from_db()
    assert review.submission.state == State.IN_REVIEW


PAGES = ["desk", "desk_cards", "desk_preview", "desk_film_again"]


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("who", ["guardian", "player_user", "other_guardian", "other_coach"])
def test_nobody_else_sees_the_desk(sign_in, request, review, name, who):
    assert sign_in(request.getfixturevalue(who)).get(address(name, review)).status_code == 404


@pytest.mark.parametrize("name", ["desk_claim", "desk_release", "desk_swing", "desk_publish"])
def test_actions_take_posts_alone_and_lead_from_the_sign_in_to_the_desk(desk_client, sign_in, guardian, review, name):
    assert desk_client.get(address(name, review)).url == address("desk", review)
    assert desk_client.put(address(name, review)).status_code == 405
    assert sign_in(guardian).get(address(name, review)).status_code == 404
