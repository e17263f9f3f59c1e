"""Changes to the draft. Each raises the version, under a lock of its row, so that of two windows only one can win and the
other is told; a change that arrives twice is recognised by its token and not made again.

Nobody is told of their own change as of somebody else's: a window may be behind by what it has made itself, or what the
window did that it follows (the same one before it was loaded again), whose last words came later than the page.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from portal.desk import film_check
from portal.desk.models import Assignment, MarkUp, Rate, Rating, Review
from portal.desk.swings import best_swing
from portal.drills.models import Drill
from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring.models import Measurement, Stage
from portal.people.models import User

Change = Callable[[Review], None]
MOST_MADE = 100  # changes that are remembered: more than a window sends at once when it goes (MOST_CHANGES in forms.py)


@dataclass(frozen=True)
class Sender:
    """Who sends a change: the window's name ("" where it has none), those it follows, and the version it knows."""

    base: int
    window: str = ""
    follows: tuple[str, ...] = ()

    def knows(self, review: Review) -> bool:
        """Whether it has seen or made all that the draft holds."""
        if self.base == review.version:
            return True
        is_own = review.window != "" and review.window in (self.window, *self.follows)
        return is_own and review.alone_since <= self.base < review.version


class Stale(Exception):
    """The draft was changed in another window since this one last heard of it."""


class Closed(Exception):
    """The draft is not this person's to change: taken over, published or withdrawn meanwhile."""


def measured_clips(submission: Submission) -> list[Clip]:
    """The clips that can be looked at, oldest first."""
    measured = Measurement.objects.filter(stage=Stage.DONE, result__isnull=False)
    about = ("measurement__reread", "measurement__retry")
    return list(submission.clips.filter(measurement__in=measured).select_related(*about))


NOWHERE = 0  # no row has this key: what hangs on it is empty


def draft_to_show(submission: Submission, clips: Sequence[Clip] = ()) -> Review:
    """The draft of a submission, for whoever only looks: where there is none, one that lies in no database.

    With `clips` (as `measured_clips` gives them) it takes its own from them, and asks for none.
    """
    drafts = Review.objects.prefetch_related("ratings")
    drafts = drafts if clips else drafts.select_related("clip__measurement")
    review = drafts.filter(submission=submission).first() or Review(pk=NOWHERE, submission=submission)
    review.submission = submission
    review.clip = next((clip for clip in clips if clip.pk == review.clip_id), None) or review.clip
    _choose_clip(review)
    return review


def open_draft(submission: Submission) -> Review:
    """The draft of a submission, for whoever changes it: made where there is none."""
    review, _is_new = Review.objects.get_or_create(submission=submission)
    if _choose_clip(review) and submission.state != State.FILM_AGAIN:  # then the clip that comes is the one to look at
        review.save(update_fields=["clip", "swing"])
    return review


def _choose_clip(review: Review) -> bool:
    """A draft without a clip looks at the best swing of the newest measured one that shows any; whether it does so only now."""
    if review.clip_id is not None:
        return False
    review.clip = film_check.shown_first(measured_clips(review.submission))
    if review.clip is not None:
        review.swing = best_swing(review.clip.measurement.result)
    return review.clip is not None


def change(review: Review, user: User, sender: Sender, token: str, make: Change) -> int:
    """Make one change on top of what the sender knows and give the version that it made.

    Raises Stale when somebody else changed the draft since, Closed when the submission is no longer this person's to review.
    """
    with transaction.atomic():
        held = Review.objects.select_for_update().get(pk=review.pk)
        submission = Submission.objects.get(pk=held.submission_id)
        if submission.state != State.IN_REVIEW or submission.reviewer_id != user.pk:
            raise Closed
        if token and (version := dict(held.made).get(token)):
            return version  # not the newest: what others made since, this window has not seen
        if not sender.knows(held):
            raise Stale
        if not held.window or held.window not in (sender.window, *sender.follows):
            held.alone_since = held.version
        held.version += 1
        held.window = sender.window
        held.made = [*held.made, (token, held.version)][-MOST_MADE:] if token else held.made
        held.save(update_fields=["version", "window", "alone_since", "made", "saved_at"])
        make(held)
    return held.version


def set_fields(**fields: Any) -> Change:
    """Write-up, the one thing, clip and swing."""

    def make(review: Review) -> None:
        for name, value in fields.items():
            setattr(review, name, value)
        review.save(update_fields=list(fields))

    return make


def rate(checkpoint: str, given: str, words: str) -> Change:
    """What the coach says of a checkpoint; words alone rate nothing, and without either it is taken back."""

    def make(review: Review) -> None:
        if not (given or words.strip()):
            review.ratings.filter(checkpoint=checkpoint).delete()
            return
        said = {"rate": Rate(given) if given else "", "words": words, "clip_id": review.clip_id}
        Rating.objects.update_or_create(review=review, checkpoint=checkpoint, defaults=said)

    return make


def draw(clip: Clip, frame: int, **fields: Any) -> Change:
    """The drawing on one frame, whole. A frame with nothing on it is no picture."""

    def make(review: Review) -> None:
        if not (fields["shapes"] or fields["caption"] or fields["show_skeleton"]):
            review.markups.filter(clip=clip, frame=frame).delete()
            return
        if fields["for_thing"]:
            review.markups.filter(for_thing=True).update(for_thing=False)
        MarkUp.objects.update_or_create(review=review, clip=clip, frame=frame, defaults=fields)

    return make


def assign(drill: Drill, **fields: Any) -> Change:
    """Put a drill into the practice plan or change its set-up there; a new one comes last."""

    def make(review: Review) -> None:
        last = review.assignments.order_by("-position").values_list("position", flat=True).first()
        new = {"position": 0 if last is None else last + 1, **fields}
        Assignment.objects.update_or_create(review=review, drill=drill, defaults=fields, create_defaults=new)

    return make


def unassign(drill: Drill) -> Change:
    def make(review: Review) -> None:
        review.assignments.filter(drill=drill).delete()

    return make


def missing(review: Review) -> list[str]:
    """What an evaluation cannot do without, each as a sentence that says what to do."""
    sentences = []
    if review.clip_id is None:
        sentences.append(_("There is no measured clip to evaluate yet."))
    if not review.thing_title.strip():
        sentences.append(_("Choose the one thing to work on first."))
    elif not review.thing_words.strip():
        sentences.append(_("Say in a sentence why the one thing matters."))
    return sentences
