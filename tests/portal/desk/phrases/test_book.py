"""What a coach wrote before, offered as phrases: without anybody's name, and to nobody else."""

import pytest

from portal.desk.models import Phrase
from portal.desk.phrases import book
from portal.evaluations.models import Evaluation
from tests.portal.conftest import make_player


@pytest.fixture
def write(coach, evaluation):
    """write(**fields of the snapshot): one more edition by this coach, about Ida."""

    def one(**fields):
        edition = Evaluation.objects.filter(submission=evaluation.submission).count() + 1
        blank = {
            **evaluation.snapshot,
            "greeting": "",
            "good": [],
            "thing": None,
            "closing": "",
            "points": [],
            "plan": [],
        }
        snapshot = {**blank, **fields}
        return Evaluation.objects.create(
            submission=evaluation.submission, edition=edition, published_by=coach, snapshot=snapshot
        )

    return one


def texts(coach):
    return [one.text for one in book.offered(coach)]


def test_sentences_are_offered_one_by_one_the_most_used_first(write, coach):
    write(closing="See you at the field, Ida. Ten good swings a day are plenty.")
    write(closing="Ten good swings a day are plenty.")
    found = [one for one in book.offered(coach) if one.part == "closing" and one.text.startswith(("Ten", "See you at"))]
    assert [(one.text, one.times) for one in found] == [
        ("Ten good swings a day are plenty.", 2),
        ("See you at the field, {name}.", 1),
    ]


def test_another_childs_name_is_never_offered(write, coach, camp, guardian):
    make_player(camp, guardian, first_name="Otis", last_name="Brandvold")
    write(closing="Swing like Otis does, and you are there. Ask Brandvold for his glove.")
    assert not [text for text in texts(coach) if "Otis" in text or "Brandvold" in text]


def test_a_name_that_may_be_a_word_is_not_offered_at_all(write, coach):
    about = {"first_name": "Will", "name": "Will Sandvall"}
    write(player=about, closing="Will you send me a clip? Your swing is long.")
    assert "Your swing is long." in texts(coach)
    assert not [text for text in texts(coach) if "send me a clip" in text and "Will" in text]


def test_what_was_said_of_a_checkpoint_keeps_its_side(write, coach, evaluation):
    point = next(p for p in evaluation.snapshot["points"] if p["checkpoint"] == "down_foot_opening")
    write(points=[{**point, "rating": "work_on", "words": "Point the toes at the plate when you land."}])
    (one,) = [one for one in book.offered(coach) if one.text.startswith("Point the toes")]
    assert (one.part, one.checkpoint, one.side) == ("point", "down_foot_opening", "high")


def test_the_books_own_sentences_are_not_offered(write, coach):
    from portal.measuring.door import checkpoint

    write(good=[checkpoint("down_front_knee").good_words])
    assert checkpoint("down_front_knee").good_words not in texts(coach)


@pytest.mark.parametrize("name", ["why", "sentence"])
def test_what_the_book_said_when_it_was_published_is_not_offered(name, write, coach, evaluation):
    point = next(p for p in evaluation.snapshot["points"] if p["checkpoint"] == "down_foot_opening")
    given_up = "A sentence that the book does not hold any longer."
    thing = {"checkpoint": "down_foot_opening", "title": "Land shut", "words": f"Be soft at the plate. {given_up}"}
    write(points=[{**point, name: given_up}], thing=thing)
    assert "Be soft at the plate." in texts(coach)
    assert given_up not in texts(coach)


def test_what_is_kept_is_not_offered_again_and_other_coaches_see_nothing(write, coach, other_coach):
    write(closing="Ten good swings a day are plenty.")
    Phrase.objects.create(coach=coach, text="Ten good swings a day are plenty.")
    assert "Ten good swings a day are plenty." not in texts(coach)
    assert [one.text for one in book.kept(coach)] == ["Ten good swings a day are plenty."]
    assert (book.kept(other_coach), book.offered(other_coach)) == ([], [])
