"""The first draft of a request to film again: the film check in the family's sentences, and what the coach has written."""

from __future__ import annotations

from portal.desk import film_check
from portal.desk.models import Rating, Review
from portal.desk.swings import swing_of
from portal.intake.models import Submission
from portal.measuring.door import checkpoint

MOST = 900  # the form takes 1,000


def film_again_words(submission: Submission) -> str:
    """What the coach can send or change: one thing to do differently on each line, then the coach's own words from the
    desk about what the film does not show. Asked a second time, the words that were sent come back.
    """
    if submission.film_again_words:
        return submission.film_again_words
    clips = list(submission.clips.select_related("measurement"))
    lines = film_check.family_words(clips)
    lines += _words_on_unread(submission)
    kept: list[str] = []
    for line in lines:
        if line not in kept and len("\n".join([*kept, line])) <= MOST:
            kept.append(line)
    return "\n".join(kept)


def _words_on_unread(submission: Submission) -> list[str]:
    """The coach's words on checkpoints that this film does not show: they say what the next one should."""
    review = Review.objects.filter(submission=submission).select_related("clip__measurement").first()
    swing = swing_of(review) if review else None
    unread = [one["checkpoint"] for one in swing["readings"] if one["call"] == "not readable"] if swing else []
    said = Rating.objects.filter(review=review, checkpoint__in=unread).exclude(words="").order_by("pk")
    return [f"{checkpoint(rating.checkpoint).name}: {rating.words}" for rating in said]
