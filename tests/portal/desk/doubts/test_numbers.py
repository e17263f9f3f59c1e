"""Numbers in the coach's words: those of this swing pass, others are told; a knee is told by its bend."""

import doctest

import pytest

from portal.desk.doubts import doubts_of, numbers
from portal.desk.models import MarkUp, Rating


def quoted(sentences):
    return [
        sentence
        for sentence in sentences
        if " in the " in sentence or " in your " in sentence or " in what " in sentence
    ]


def test_examples():
    assert doctest.testmod(numbers).failed == 0


@pytest.mark.parametrize(
    "words",
    [
        "Your foot opens 62°; at most 45° is wanted.",
        "Your foot opens about 65 degrees.",
        "Do it three times, on 5 days, for 20 minutes, with 100 % joy.",
        "Between foot down and contact lie 200 ms.",
        "Your front knee bends 44°, that is fine.",
        "",
    ],
)
def test_numbers_of_this_swing_pass(said, words):
    assert quoted(said(thing_words=words)) == []


def test_a_number_beside_its_reading_is_told_with_the_measured_one(said):
    (sentence,) = quoted(said(thing_words="Your foot opens 85°."))
    assert sentence == ("“85°” in the one thing: “Front foot angle” was measured as 62°. Put that number, or none.")


def test_a_number_of_what_cannot_be_read_is_told(said, review):
    Rating.objects.create(review=review, checkpoint="down_hips_square", rate="watch", words="Opened by 81° here.")
    (sentence,) = quoted(said())
    assert sentence == (
        "“81°” in your words on “Hips square”: “Hips square” cannot be read from this clip. Say it without a number."
    )


@pytest.mark.parametrize(
    ("field", "where"),
    [("greeting", "the greeting"), ("closing", "the closing words")],
)
def test_a_number_that_nothing_of_this_clip_has_is_told(said, field, where):
    (sentence,) = quoted(said(**{field: "You were 33 % better."}))
    assert sentence == f"“33 %” in {where} is no number of this clip. Take it out, or put the measured one."


def test_a_number_that_is_quoted_again_is_told_once(said):
    assert len(quoted(said(closing="You were 33 % better, and 33 % is a lot."))) == 1


def test_the_inner_angle_of_a_knee_is_turned_into_its_bend(said, review):
    Rating.objects.create(review=review, checkpoint="down_front_knee", rate="good", words="A soft 136°.")
    (sentence,) = quoted(said())
    assert "“136°” in your words on “Front knee bend at foot down” is the angle inside the knee" in sentence
    assert sentence.endswith("Write 44° of bend.")


def test_words_on_a_picture_are_read_too_and_lead_to_its_frame(review):
    shape = {"kind": "words", "points": [[10, 10]], "tone": "coach", "text": "168°"}
    about = {"clip": review.clip, "frame": 26, "instant": "contact", "caption": "See?"}
    MarkUp.objects.create(review=review, shapes=[shape], **about)
    (doubt,) = [one for one in doubts_of(review) if "168°" in one.text]
    assert "Write 12° of bend." in doubt.text
    assert (doubt.place.stop, doubt.place.anchor, doubt.place.frame) == ("contact", "caption", 26)


def test_a_picture_that_is_not_sent_is_not_read(review):
    MarkUp.objects.create(review=review, clip=review.clip, frame=26, shapes=[], caption="168°", in_evaluation=False)
    assert not [one for one in doubts_of(review) if "168°" in one.text]
