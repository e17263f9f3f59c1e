"""What a line of the queue says."""

from datetime import date

import pytest

from portal.desk import film_check, worklist
from portal.intake.states import State
from portal.measuring.models import Measurement, Stage
from tests.portal.conftest import make_clip, make_measured_clip, make_swingless_clip

WEDNESDAY = date(2026, 11, 25)


@pytest.mark.parametrize(
    ("due", "words", "late"),
    [
        (date(2026, 11, 22), "November 22", "3 days late"),
        (date(2026, 11, 24), "yesterday", "1 day late"),
        (date(2026, 11, 25), "today", ""),
        (date(2026, 11, 26), "tomorrow", ""),
        (date(2026, 11, 27), "Friday", ""),
        (date(2026, 12, 2), "December 2", ""),
        (None, "no day yet", ""),
    ],
)
def test_the_promised_day_is_said_as_people_say_it(due, words, late):
    assert worklist.due_words(due, WEDNESDAY) == words
    assert worklist.late_words(due, WEDNESDAY) == late


def test_a_line_tells_the_film_and_its_check_in_a_few_words(measured_clip, coach):
    line = worklist.line(measured_clip.submission, coach, worklist.Days(WEDNESDAY))
    assert line.film == "from the chest side, 60 fps, 1 swing"
    assert line.check == "camera moves"
    assert line.poster.endswith(f"/clips/{measured_clip.pk}/poster.jpg")
    assert line.is_reviewable
    assert line.held_by is None


def test_of_several_clips_a_line_counts_all_swings(measured_clip, coach, products):
    make_measured_clip(measured_clip.submission, products)
    assert worklist.line(measured_clip.submission, coach).film == "from the chest side, 60 fps, 2 swings, 2 clips"


def test_a_line_tells_of_the_clip_that_shows_a_swing(measured_clip, coach, products):
    make_swingless_clip(measured_clip.submission, products)
    line = worklist.line(measured_clip.submission, coach)
    assert line.film == "from the chest side, 60 fps, 1 swing, 2 clips"
    assert line.poster.endswith(f"/clips/{measured_clip.pk}/poster.jpg")


def test_a_line_tells_who_reviews(measured_clip, coach, other_coach):
    measured_clip.submission.move(State.IN_REVIEW, reviewer=other_coach)
    line = worklist.line(measured_clip.submission, coach)
    assert (line.held_by, line.is_mine) == (other_coach, False)
    assert worklist.line(measured_clip.submission, other_coach).is_mine


def test_a_clip_that_could_not_be_measured_says_why(submission, coach):
    unreadable = submission(State.UNREADABLE)
    Measurement.objects.create(
        clip=make_clip(unreadable),
        stage=Stage.FAILED,
        failure_code="damaged",
        failure_words="This clip is damaged: most of its pictures can't be decoded. Please send it again.",
    )
    line = worklist.line(unreadable, coach)
    assert line.check == "clip damaged"
    assert not line.is_reviewable


@pytest.mark.parametrize(
    ("speed", "words"),
    [
        ({"speed_factor": 1.0, "speed_suspect": False}, "from the chest side, 60 fps, 1 swing"),
        (
            {"speed_factor": None, "speed_suspect": True, "speed_proposed": 4.0},
            "from the chest side, 60 fps, seems slowed 4 times, 1 swing",
        ),
        ({"speed_factor": None, "speed_suspect": True}, "from the chest side, 60 fps, seems slowed down, 1 swing"),
        ({"speed_factor": 2.5, "speed_suspect": True}, "from the chest side, 60 fps, slowed 2.5 times, 1 swing"),
        ({"speed_factor": 0.5, "speed_suspect": False}, "from the chest side, 60 fps, 1 swing"),
    ],
)
def test_a_slowed_film_is_said_to_be_one(speed, words):
    film = {"view": "chest_side", "fps": 60.0, **speed}
    assert worklist.film_words(film_check.Facts(film, 1)) == words
