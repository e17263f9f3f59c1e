"""Changes to the draft: made once, on top of what their window knew."""

import pytest

from portal.desk import drafts
from portal.desk.models import Review
from portal.drills.models import Drill
from portal.intake.states import State


def make(review, coach, change, *, version=None, token="t"):
    return drafts.change(review, coach, review.version if version is None else version, token, change)


def test_a_change_raises_the_version_and_saves_its_fields_alone(review, coach):
    Review.objects.filter(pk=review.pk).update(closing="written elsewhere")
    assert make(review, coach, drafts.set_fields(greeting="Hello")) == 1
    review.refresh_from_db()
    assert (review.greeting, review.closing, review.version) == ("Hello", "written elsewhere", 1)


def test_a_change_on_top_of_an_old_version_is_refused_and_changes_nothing(review, coach):
    make(review, coach, drafts.set_fields(greeting="first"), token="one")
    with pytest.raises(drafts.Stale):
        make(review, coach, drafts.set_fields(greeting="second"), version=0, token="two")
    review.refresh_from_db()
    assert (review.greeting, review.version) == ("first", 1)


def test_a_change_sent_again_is_recognised_and_not_made_twice(review, coach):
    calls = []
    assert make(review, coach, calls.append, version=0, token="same") == 1
    assert make(review, coach, calls.append, version=0, token="same") == 1
    assert len(calls) == 1


def test_a_draft_that_was_taken_over_is_closed(review, coach, other_coach):
    review.submission.reviewer = other_coach
    review.submission.save(update_fields=["reviewer"])
    with pytest.raises(drafts.Closed):
        make(review, coach, drafts.set_fields(greeting="late"))


def test_a_published_draft_is_closed(review, coach):
    review.submission.move(State.PUBLISHED)
    with pytest.raises(drafts.Closed):
        make(review, coach, drafts.set_fields(greeting="late"))


def test_rating_again_replaces_and_no_rate_takes_back(review, coach):
    drafts.rate("down_front_knee", "good", "soft")(review)
    drafts.rate("down_front_knee", "watch", "a little straight")(review)
    rating = review.ratings.get()
    assert (rating.rate, rating.words) == ("watch", "a little straight")
    drafts.rate("down_front_knee", "", "")(review)
    assert not review.ratings.exists()


def test_words_alone_rate_nothing(review):
    drafts.rate("down_front_knee", "", "a little straight")(review)
    rating = review.ratings.get()
    assert (rating.rate, rating.words) == ("", "a little straight")


def picture(**fields):
    line = {"kind": "line", "points": [[0, 0], [9, 9]], "tone": "seen"}
    about = {
        "instant": "",
        "shapes": [line],
        "show_skeleton": False,
        "caption": "",
        "in_evaluation": True,
        "for_thing": False,
    }
    return {**about, **fields}


def test_one_picture_stands_beside_the_one_thing(review):
    drafts.draw(review.clip, 5, **picture(for_thing=True))(review)
    drafts.draw(review.clip, 8, **picture(for_thing=True))(review)
    assert list(review.markups.filter(for_thing=True).values_list("frame", flat=True)) == [8]


def test_a_frame_with_nothing_on_it_is_no_picture(review):
    drafts.draw(review.clip, 5, **picture())(review)
    drafts.draw(review.clip, 5, **picture(shapes=[]))(review)
    assert not review.markups.exists()


def test_drills_keep_the_order_in_which_they_were_assigned(review):
    one, two = (Drill.objects.create(slug=slug, title=slug, in_short="s", goal="g") for slug in ("b-one", "a-two"))
    fields = {"set_up": {}, "goal": "", "words": ""}
    for drill in (one, two):
        drafts.assign(drill, **fields)(review)
    drafts.assign(one, **{**fields, "words": "slowly"})(review)
    assert [(a.drill.slug, a.position, a.words) for a in review.assignments.all()] == [
        ("b-one", 0, "slowly"),
        ("a-two", 1, ""),
    ]
    drafts.unassign(one)(review)
    assert review.assignments.get().drill == two


def test_a_new_draft_looks_at_the_last_swing_that_reaches_contact(measured_clip):
    assert drafts.open_draft(measured_clip.submission).clip == measured_clip


def test_a_draft_opened_before_measuring_finds_its_clip_later(submission, products):
    from tests.portal.conftest import make_measured_clip

    waiting = submission(State.READY)
    assert drafts.open_draft(waiting).clip is None
    clip = make_measured_clip(waiting, products)
    assert drafts.open_draft(waiting).clip == clip


def test_what_is_missing_is_said_as_what_to_do(review):
    assert drafts.missing(review) == []
    review.good, review.thing_title, review.thing_words = [" "], "", ""
    assert drafts.missing(review) == ["Choose the one thing to work on first."]
    review.thing_title = "A quieter head"
    assert "Say in a sentence why the one thing matters." in drafts.missing(review)
