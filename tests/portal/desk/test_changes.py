"""The small endpoints that the desk saves through."""

import json

import pytest
from django.urls import reverse

from portal.desk.models import Review
from portal.drills.models import Drill
from portal.intake.states import State

KINDS = ["draft", "rating", "markup", "assignment", "counting", "changes"]


def test_fields_of_the_write_up_are_saved(post_change, review):
    answer = post_change("draft", greeting="Hi!", good=["You stand tall. ", " "])
    assert answer.json() == {"version": 1, "news": ""}
    review.refresh_from_db()
    assert (review.greeting, review.good) == ("Hi!", ["You stand tall."])
    assert review.closing == "See you in spring."  # not sent, not touched


def test_which_clips_are_sent_lighter_is_a_list_of_clips(post_change, review):
    own = str(review.clip_id)
    assert post_change("draft", lighter_clips=[own]).status_code == 200
    review.refresh_from_db()
    assert review.sends_lighter(review.clip_id)
    for odd in (True, own, [True], ["x"], [own.upper()], [own] * 101):
        assert post_change("draft", version=1, lighter_clips=odd).status_code == 400
    assert post_change("draft", version=1, lighter_clips=[]).status_code == 200
    review.refresh_from_db()
    assert not review.sends_lighter(review.clip_id)


def test_the_one_thing_must_be_in_the_book(post_change, review):
    assert post_change("draft", thing_checkpoint="wrist_snap").status_code == 400
    assert post_change("draft", thing_checkpoint="load_head_travel").status_code == 200
    review.refresh_from_db()
    assert review.thing_checkpoint == "load_head_travel"


def test_a_rating_is_saved(post_change, review):
    assert post_change("rating", checkpoint="down_front_knee", rate="work_on", words="softer").status_code == 200
    assert review.ratings.get().rate == "work_on"


def test_a_drawing_is_saved_with_its_picture(post_change, review):
    shapes = [{"kind": "ring", "points": [[10, 10], [20, 10]], "tone": "coach"}]
    answer = post_change(
        "markup", clip=str(review.clip_id), frame=26, instant="foot_down", shapes=shapes, in_evaluation=True
    )
    assert answer.status_code == 200
    kept = review.markups.get()
    assert (kept.frame, kept.instant, kept.shapes[0]["kind"], kept.in_evaluation) == (26, "foot_down", "ring", True)


def test_a_drawing_on_a_clip_of_another_submission_is_refused(post_change, other_player, other_camp):
    from tests.portal.conftest import make_clip, make_submission

    foreign = make_clip(make_submission(other_player, other_camp, State.READY))
    answer = post_change("markup", clip=str(foreign.pk), frame=1, shapes=[])
    assert answer.status_code == 400


def test_a_drawing_that_cannot_be_drawn_says_which_shape(post_change, review):
    answer = post_change("markup", clip=str(review.clip_id), frame=1, shapes=[{"kind": "line", "points": []}])
    assert answer.status_code == 400
    assert "Shape 1" in answer.json()["words"]


def test_a_drill_is_assigned_changed_and_taken_out(post_change, review):
    Drill.objects.create(slug="thin-ice", title="Thin ice", in_short="s", goal="g")
    post_change("assignment", drill="thin-ice", set_up={"rounds": 5}, goal="quiet cap")
    kept = review.assignments.get()
    assert (kept.set_up["rounds"], kept.set_up["ball"], kept.goal) == (5, "tee", "quiet cap")
    assert post_change("assignment", drill="thin-ice", set_up={"rounds": 99}).status_code == 400
    post_change("assignment", drill="thin-ice", remove=True)
    assert not review.assignments.exists()


@pytest.mark.parametrize("good", [{"one": "sentence"}, [3], ["x" * 401], ["so"] * 13])
def test_good_things_that_are_none_are_refused_with_words(post_change, good):
    answer = post_change("draft", good=good)
    assert answer.status_code == 400
    assert "good things" in answer.json()["words"]


def test_a_stale_window_is_told_kindly(post_change):
    post_change("draft", greeting="one", change="one")
    answer = post_change("draft", greeting="two", change="two", version=0)
    assert answer.status_code == 409
    assert answer.json()["code"] == "stale"
    assert "another window" in answer.json()["words"]


def test_whoever_no_longer_reviews_is_told_who_does(post_change, review, camp, other_coach):
    camp.coaches.add(other_coach)
    review.submission.reviewer = other_coach
    review.submission.save(update_fields=["reviewer"])
    answer = post_change("draft", greeting="late")
    assert (answer.status_code, answer.json()["code"]) == (409, "closed")
    assert "Tibor Quist is reviewing this now" in answer.json()["words"]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("who", ["guardian", "player_user", "other_guardian", "other_coach"])
def test_nobody_else_may_change_a_draft(post_change, request, sign_in, who, kind):
    assert post_change(kind, client=sign_in(request.getfixturevalue(who))).status_code == 404


@pytest.mark.parametrize("kind", KINDS)
def test_somebody_who_was_signed_out_is_told_so(post_change, stranger, kind):
    answer = post_change(kind, client=stranger)
    assert (answer.status_code, answer.json()["words"]) == (401, "You were signed out.")


@pytest.mark.parametrize("kind", KINDS)
def test_a_page_of_another_account_changes_nothing(desk_client, review, other_coach, kind):
    """Two coaches at one browser: the body could be right, it is not this coach's."""
    url = reverse(f"desk_{kind}", args=[review.submission_id])
    answer = desk_client.post(url, "{}", content_type="application/json", headers={"X-Account": str(other_coach.pk)})
    assert (answer.status_code, answer.json()["code"]) == (401, "other_account")
    own = desk_client.post(
        url, "{}", content_type="application/json", headers={"X-Account": str(review.submission.reviewer_id)}
    )
    assert own.status_code == 400  # taken for what it is: an empty body


@pytest.mark.parametrize("kind", KINDS)
def test_other_methods_and_other_bodies_are_refused(desk_client, review, kind):
    url = reverse(f"desk_{kind}", args=[review.submission_id])
    assert desk_client.get(url).status_code == 405
    for body in ("no json", json.dumps([1]), json.dumps({})):
        assert desk_client.post(url, body, content_type="application/json").status_code == 400
    assert Review.objects.get(pk=review.pk).version == 0


HELLO = {"kind": "draft", "change": "one", "greeting": "Hel"}
HELLO_THERE = {"kind": "draft", "change": "two", "greeting": "Hello there"}
SOFTER = {"kind": "rating", "change": "three", "checkpoint": "down_front_knee", "rate": "work_on", "words": "softer"}


def test_all_that_waits_is_made_at_once_in_its_order(post_change, review):
    answer = post_change("changes", window="a", changes=[HELLO, SOFTER, HELLO_THERE])
    assert answer.json() == {"version": 3, "refused": [], "news": ""}
    review.refresh_from_db()
    assert (review.greeting, review.ratings.get().words) == ("Hello there", "softer")


def test_what_arrives_before_and_after_the_rest_is_made_once(post_change, review):
    """The save that was under way when its window went, which may come first or last."""
    hello = {name: value for name, value in HELLO.items() if name != "kind"}
    post_change("draft", version=0, window="a", **hello)
    assert post_change("changes", version=0, window="a", changes=[HELLO, HELLO_THERE]).json()["version"] == 2
    assert post_change("draft", version=0, window="a", **hello).json()["version"] == 1
    review.refresh_from_db()
    assert (review.greeting, review.version) == ("Hello there", 2)


def test_what_cannot_be_taken_holds_up_nothing_else(post_change, review):
    odd = [
        {"kind": "wish"},
        {"kind": [1]},
        {**SOFTER, "checkpoint": "wrist_snap"},
        {"kind": "counting", "change": "four"},
    ]
    answer = post_change("changes", window="a", changes=[odd[0], HELLO, *odd[1:], HELLO_THERE])
    assert (answer.json()["version"], answer.json()["refused"]) == (2, [None, None, "three", "four"])
    review.refresh_from_db()
    assert review.greeting == "Hello there"


def test_all_that_waits_is_refused_where_somebody_else_was_quicker(post_change, review):
    post_change("draft", greeting="theirs", window="b", change="theirs")
    assert post_change("changes", version=0, window="a", changes=[HELLO, SOFTER]).status_code == 409
    review.refresh_from_db()
    assert (review.greeting, review.ratings.count()) == ("theirs", 0)


@pytest.mark.parametrize("follows", [["a"], []])
def test_a_window_that_was_loaded_again_goes_on_over_its_own_late_words(post_change, review, follows):
    post_change("draft", version=0, greeting="late", window="a")
    answer = post_change("draft", version=0, greeting="late, and more", window="a2", follows=follows)
    assert answer.status_code == (200 if follows else 409)


@pytest.mark.parametrize(
    "odd", [{"changes": "x"}, {"changes": [1]}, {"changes": [HELLO] * 51}, {"follows": [1]}, {"follows": "a"}]
)
def test_changes_of_another_form_are_refused_with_words(post_change, odd):
    answer = post_change("changes", **{"changes": [HELLO], **odd})
    assert answer.status_code == 400
    assert answer.json()["words"]
