"""Changes to the draft: made once, on top of what their window knew."""

import pytest

from portal.desk import drafts
from portal.desk.forms import MOST_CHANGES
from portal.desk.models import Review
from portal.drills.models import Drill
from portal.intake.states import State
from tests.portal.conftest import make_swingless_clip


def make(review, coach, change, *, version=None, token="t", window="", follows=()):
    sender = drafts.Sender(review.version if version is None else version, window, follows)
    return drafts.change(review, coach, sender, token, change)


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


def test_a_new_draft_passes_over_a_clip_without_a_swing(measured_clip, products):
    make_swingless_clip(measured_clip.submission, products)
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


# Who is behind, and by whose changes: the window of the newest change and those before it, the window that sends (with
# the version it knows and the windows it follows), and whether it is taken. "-" is a window without a name.
A, B, C, NOBODY = "a", "b", "c", ""
TOLD_HONESTLY = [
    # made by  base  sent by  follows  taken
    ([A], 1, A, (), True),  # up to date
    ([A], 0, A, (), True),  # its own answer did not come yet
    ([A, A, A], 1, A, (), True),
    ([A], 0, B, (), False),  # another window
    ([A], 0, B, (A,), True),  # the same one, loaded again
    ([A, A, B], 0, C, (B,), False),  # follows the newest, but has not seen who came before
    ([A, A, B], 2, C, (B,), True),
    ([A, A, B], 0, C, (A, B), False),  # two windows side by side, both gone: what the first wrote was not seen
    ([A, B, A], 1, A, (), False),  # another one in between
    ([A, B, A], 2, A, (), True),
    ([A, NOBODY], 1, A, (), False),  # another swing was chosen
    ([NOBODY], 0, NOBODY, (), False),  # who has no name follows nobody
    ([NOBODY], 0, A, (NOBODY,), False),
    ([A], 2, A, (), False),  # a version that is not there (yet): the site went back to an older state
]


@pytest.mark.parametrize(("made_by", "base", "window", "follows", "taken"), TOLD_HONESTLY)
def test_who_is_behind_by_own_changes_alone_is_told_of_nobody_elses(
    review, coach, made_by, base, window, follows, taken
):
    for version, maker in enumerate(made_by):
        make(review, coach, drafts.set_fields(greeting=str(version)), version=version, token=str(version), window=maker)
    sent = {"version": base, "token": "new", "window": window, "follows": follows}
    if taken:
        assert make(review, coach, drafts.set_fields(greeting="mine"), **sent) == len(made_by) + 1
    else:
        with pytest.raises(drafts.Stale):
            make(review, coach, drafts.set_fields(greeting="mine"), **sent)
    review.refresh_from_db()
    assert review.greeting == ("mine" if taken else str(len(made_by) - 1))


def test_the_next_window_of_a_chain_goes_on_being_alone(review, coach):
    """Loaded again and again on a slow line: each window follows the one before."""
    for version, (window, follows) in enumerate([(A, ()), (B, (A,)), (C, (B, A))]):
        make(review, coach, drafts.set_fields(closing=window), version=0, token=window, window=window, follows=follows)
        review.refresh_from_db()
        assert (review.version, review.alone_since) == (version + 1, 0)


def test_a_late_twin_of_a_change_undoes_none_that_came_after_it(review, coach):
    """All that waited arrives before the one that was under way: what comes late must not bring back the older word."""
    one, two = drafts.set_fields(greeting="Hel"), drafts.set_fields(greeting="Hello")
    make(review, coach, one, version=0, token="one", window=A)
    make(review, coach, two, version=1, token="two", window=A)
    assert make(review, coach, one, version=0, token="one", window=A) == 1
    review.refresh_from_db()
    assert (review.greeting, review.version) == ("Hello", 2)


def test_a_twin_is_answered_with_its_own_version_so_that_others_words_stay_unseen(review, coach):
    make(review, coach, drafts.set_fields(greeting="mine"), version=0, token="one", window=A)
    make(review, coach, drafts.set_fields(greeting="theirs"), version=1, token="two", window=B)
    heard = make(review, coach, drafts.set_fields(greeting="mine"), version=0, token="one", window=A)
    with pytest.raises(drafts.Stale):
        make(review, coach, drafts.set_fields(greeting="over it"), version=heard, token="three", window=A)


def test_as_many_changes_are_remembered_as_a_window_can_send_at_once(review, coach):
    assert MOST_CHANGES < drafts.MOST_MADE
    for n in range(drafts.MOST_MADE + 5):
        make(review, coach, drafts.set_fields(greeting=str(n)), version=n, token=str(n), window=A)
    review.refresh_from_db()
    assert len(review.made) == drafts.MOST_MADE
    assert review.made[-1] == [str(n), n + 1]
