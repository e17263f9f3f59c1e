"""What was measured beside what the coach says, in sentences that do not read as the opposite of each other."""

import ast
import io
import re
from pathlib import Path

import pytest
from django.template.loader import render_to_string
from pypdf import PdfReader

from analysis.read.speed import FilmSpeed
from portal.desk.models import Rating
from portal.evaluations.pdf import render
from portal.evaluations.present import present
from portal.evaluations.publish import draft_snapshot
from portal.evaluations.snapshot import _point
from portal.evaluations.telling import measured_words, reason_for_family, sentence_of
from portal.look.words import CALL_SHAPES
from portal.measuring.door import CHECKPOINTS, IN_RANGE, OUT_OF_RANGE, checkpoint

CLOSE, UNREAD, EYE = "too close to call", "not readable", "coach's eye"


@pytest.mark.parametrize(
    ("call", "rating", "words"),
    [
        (IN_RANGE, "good", "Measured in range."),
        (IN_RANGE, "work_on", "Measured in range. Your coach looked at it and wants to work on it."),
        (OUT_OF_RANGE, "work_on", "Measured out of range."),
        (OUT_OF_RANGE, "good", "Measured out of range. Your coach looked at it and says it is good."),
        (
            CLOSE,
            "good",
            "So close to the edge of the green block that the film alone cannot tell. Your coach looked at it and says it is good.",
        ),
        (
            CLOSE,
            "watch",
            "So close to the edge of the green block that the film alone cannot tell. Your coach keeps an eye on it.",
        ),
        (
            UNREAD,
            "good",
            "This film does not show it well enough to measure. Your coach looked at it and says it is good.",
        ),
        (EYE, "work_on", "Seen by your coach’s eye; nothing is measured here."),
        (EYE, "watch", "Seen by your coach’s eye; nothing is measured here. Your coach keeps an eye on it."),
        (CLOSE, "", "So close to the edge of the green block that the film alone cannot tell."),
    ],
)
def test_each_call_beside_each_rating_is_a_sentence(call, rating, words):
    assert measured_words({"call": call, "rating": rating}) == words


def kept(entry, value):
    """A point as an edition keeps it, surely read as this value, wanted between 10 and 20."""
    reading = {"value": value, "interval": [value - 1, value + 1], "band": [10, 20], "scale": [0, 30]}
    return _point(entry, reading | {"call": IN_RANGE if 10 < value < 20 else OUT_OF_RANGE}, None, False)


@pytest.mark.parametrize("entry", [one for one in CHECKPOINTS if not one.by_eye], ids=lambda entry: entry.id)
def test_out_of_range_says_what_there_is_too_much_of(entry):
    """A sign alone tells a family nothing: -14° of hips are "turned in too far"."""
    low, high = entry.sides
    for value, side in ((5, low), (25, high)):
        (point,) = present({"points": [kept(entry, value)]})["numbers"]
        assert f"out of range: {side}" in " ".join(render_to_string("evaluations/parts/point.html", {"point": point}).split())
        assert measured_words(point) == f"Measured out of range: {side}."
    (point,) = present({"points": [kept(entry, 15)]})["numbers"]
    assert not any(side in render_to_string("evaluations/parts/point.html", {"point": point}) for side in entry.sides)


@pytest.mark.parametrize("call", CALL_SHAPES)
@pytest.mark.parametrize("rating", ["", "good", "watch", "work_on"])
def test_no_call_is_without_words(call, rating):
    assert measured_words({"call": call, "rating": rating}).endswith(".")


def test_a_rating_without_words_of_the_coach_has_the_books_for_its_side():
    knee = checkpoint("down_front_knee")
    assert sentence_of(knee, "good", "") == knee.good_words
    assert sentence_of(knee, "work_on", "high") == knee.high_words
    assert sentence_of(knee, "work_on", "low") == knee.low_words
    assert sentence_of(knee, "work_on", "") == ""
    assert sentence_of(knee, "", "high") == ""
    assert sentence_of(knee, "watch", "high") == ""  # nobody said more than that


def reasons_of_reading():
    """Every reason why something is not readable, as it stands in the code; what is put into it is left out."""
    for file in (Path(__file__).resolve().parents[3] / "analysis" / "read").glob("*.py"):
        for node in ast.walk(ast.parse(file.read_text())):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") in ("Unreadable", "Found"):
                given = [*node.args, *(one.value for one in node.keywords if one.arg == "reason")]
                texts = [part for one in given for part in ast.walk(one) if isinstance(part, ast.Constant)]
                yield "".join(text.value for text in texts if isinstance(text.value, str))
    for proposed in (8.0, None):
        yield FilmSpeed(None, "measured", True, proposed).reason


def test_a_family_is_never_asked_for_what_only_a_coach_can_do():
    for_coach = re.compile(r"by hand|\bdrag\b|\bConfirm\b|\bSet the\b|on the frame|\bcorrect\b")
    reasons = [reason for reason in reasons_of_reading() if reason]
    assert len([reason for reason in reasons if for_coach.search(reason)]) >= 6
    for reason in reasons:
        told = reason_for_family(reason)
        assert not for_coach.search(told), told
        assert told.endswith(".") is reason.endswith(".")
        assert not re.search("film from .*(catcher|pitcher)", told), told  # balls and bats fly there
        assert for_coach.search(reason) or told == reason or "your coach says" in told  # how to film it better is the family's


def test_nobody_is_sent_before_bat_or_ball_without_the_coach():
    reason = "From the chest side this shows only to ±30°, too coarse for the wanted range; film from {} to read it."
    told = reason_for_family(reason.format("the catcher's side or the pitcher's side"))
    assert told.endswith("wanted range; your coach says whether and how to film it from elsewhere.")
    beside = reason.format("the back side")
    assert reason_for_family(beside) == beside


def test_the_page_keeps_a_coachs_reason_from_the_family(review):
    held = draft_snapshot(review)
    held["points"][0] |= {"call": UNREAD, "value": None, "reason": "Load could not be told in this swing; move it by hand."}
    html = render_to_string("evaluations/content.html", {"content": present(held, str)})
    assert "Load could not be told in this swing." in html
    assert "by hand" not in html
    assert "by hand" in held["points"][0]["reason"]


@pytest.fixture
def content(review):
    Rating.objects.create(review=review, checkpoint="load_head_travel", rate="good")
    Rating.objects.create(review=review, checkpoint="down_foot_opening", rate="work_on")
    return present(draft_snapshot(review), str)


def test_what_the_coach_rated_comes_first_and_the_rest_is_folded(content):
    html = render_to_string("evaluations/content.html", {"content": content})
    told, folded = html.split("<details>", 1)
    assert checkpoint("load_head_travel").good_words.replace("'", "&#x27;") in told
    assert checkpoint("down_foot_opening").high_words in told
    assert "So close to the edge of the green block that the film alone cannot tell." in told
    assert re.search(r"All numbers: \d+ more were measured", folded)
    rest = [entry for entry in CHECKPOINTS if entry.id in {point["checkpoint"] for point in content["numbers"]}]
    assert len(rest) > 8
    assert all(entry.name in folded for entry in rest)
    assert "too close to call" not in told


def test_an_edition_of_before_shows_without_the_books_sentence(review):
    Rating.objects.create(review=review, checkpoint="down_foot_opening", rate="work_on")
    held = draft_snapshot(review)
    for point in held["points"]:
        del point["sentence"], point["side"]
    html = render_to_string("evaluations/content.html", {"content": present(held, str)})
    assert "Measured out of range." in html


def test_the_pdf_tells_the_same(review):
    Rating.objects.create(review=review, checkpoint="load_head_travel", rate="good")
    pages = PdfReader(io.BytesIO(render(draft_snapshot(review), {}))).pages
    texts = [" ".join(page.extract_text().split()) for page in pages]
    (annex,) = [n for n, text in enumerate(texts) if "What your coach looked at" in text]
    assert annex <= 2
    assert "Your coach looked at it and says it is good." in texts[annex]
    assert "All numbers" in " ".join(texts[annex:])
