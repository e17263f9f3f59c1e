"""Publishing: the draft becomes an edition that nobody changes any more. A correction is the next edition."""

from __future__ import annotations

import base64
import logging
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import DatabaseError, transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from portal.after_commit import after_commit
from portal.desk import reread
from portal.desk.models import MarkUp, Review
from portal.desk.skeleton import stretch
from portal.evaluations import beside
from portal.evaluations import snapshot as snapshots
from portal.evaluations.light import lighter
from portal.evaluations.models import Evaluation
from portal.evaluations.pictures import draw, jpeg
from portal.evaluations.stills import NoStill, still
from portal.full_disk import is_full
from portal.intake import mails, room
from portal.intake.erase import delete_folder
from portal.intake.models import Submission
from portal.intake.states import State
from portal.measuring.door import TracksError
from portal.measuring.models import Measurement
from portal.people.models import Player, User

log = logging.getLogger(__name__)


class NotPublished(Exception):
    """Nothing was published and the draft stands as it was; the message tells the coach why, and what to do."""


def publish(review: Review, coach: User) -> Evaluation:
    """Make the next edition of this draft, move the submission to published and tell the family once it holds.

    The pictures are in the storage before the row that names them, so that no edition is ever without them; they go again
    when the row provably never came to be, and what a killed process leaves is found by the leftovers.

    Raises NotPublished when a picture cannot be made or kept, or when the draft, or who reviews it, has changed since
    `review` was read; MoveNotAllowed when the submission is not in review (any more). Then nothing is kept.
    """
    made = Evaluation(submission=review.submission, published_by=coach)
    pictures = {f"picture-{n}.jpg": picture(m) for n, m in enumerate(snapshots.shown_markups(review), start=1)}
    try:
        for name, data in pictures.items():
            default_storage.save(f"{made.folder}/{name}", ContentFile(data))
        _enter(made, review, coach)
    except BaseException as error:
        _tidy(made)
        if is_full(error):
            room.tell_owner()
            raise NotPublished(
                _(
                    "Our disk is full, so nothing was published. Your draft is kept. Please tell the owner of this site, and "
                    "publish it once there is room."
                )
            ) from error
        raise
    return made


@transaction.atomic
def _enter(made: Evaluation, review: Review, coach: User) -> None:
    """The edition's row, the submission's move and the emails, all or nothing.

    Submission and draft are locked where the database can, so that two publishers do not count the same number and no
    word is added to the draft after it was copied.
    """
    submission = Submission.objects.select_for_update().get(pk=review.submission_id)
    # Before the draft, as in measuring/rereading.py: from here on the film is not read again until the edition is there.
    list(Measurement.objects.select_for_update().filter(clip=review.clip_id))
    newest = Review.objects.select_for_update().get(pk=review.pk)
    submission.move(State.PUBLISHED)
    _look_at_what_was_read_again(review)
    if newest.version != review.version or submission.reviewer_id != coach.pk:
        raise NotPublished(_("The draft was changed in another window. Look at the preview once more, then publish."))
    made.submission, made.edition = submission, next_edition(submission)
    made.snapshot = snapshots.build(review, coach, made.edition)
    made.save()
    if review.pronoun:  # chosen, not left as it was: the player's next review begins with it
        Player.objects.filter(pk=submission.player_id).update(pronoun=review.pronoun)
    mails.published(made)
    _ask_for_pdf(made)


def _look_at_what_was_read_again(review: Review) -> None:
    """Nothing is published with other calls than those the coach has seen."""
    told = reread.told(review)
    if told and told.is_to_be_seen:
        raise NotPublished(
            _(
                "The readings of this film were made anew, and some calls are others now. Look at what changed, above the film; "
                "then publish. Your draft is kept."
            )
        )
    if told:
        reread.seen(review, told.stamp)


def _tidy(made: Evaluation) -> None:
    """Take the pictures away again, unless the database may hold their edition all the same."""
    try:
        if not Evaluation.objects.filter(pk=made.pk).exists():
            delete_folder(made.folder)
    except (DatabaseError, OSError):
        log.exception("The pictures in %s are left for the leftovers.", made.folder)


def next_edition(submission: Submission) -> int:
    newest = submission.evaluations.aggregate(newest=Max("edition"))["newest"]
    return (newest or 0) + 1


def _ask_for_pdf(made: Evaluation) -> None:
    from portal.evaluations.tasks import make_pdf

    after_commit(make_pdf.delay, str(made.pk))


def draft_snapshot(review: Review) -> dict[str, Any]:
    """What publishing would hold just now, its pictures as `src` data addresses: the preview of the last stop.

    A picture that cannot be made has a `trouble`, in words, in the place of its `src`.
    """
    coach = review.submission.reviewer
    draft = snapshots.build(review, coach, next_edition(review.submission))
    for about, markup in zip(draft["pictures"], snapshots.shown_markups(review), strict=True):
        try:
            about["src"] = "data:image/jpeg;base64," + base64.b64encode(picture(markup)).decode()
        except NotPublished as trouble:
            about["src"], about["trouble"] = "", str(trouble)
    return draft


def picture(markup: MarkUp) -> bytes:
    """The marked-up frame as JPEG: the hitter alone, unless the coach keeps who else is in it.

    Raises NotPublished, with words, where the frame's film is gone or damaged.
    """
    try:
        return _drawn(markup)
    except (NoStill, TracksError, OSError, ValueError) as error:
        log.exception("The picture of frame %s of clip %s cannot be made.", markup.frame, markup.clip_id)
        raise NotPublished(
            _(
                "The picture of frame %(frame)d cannot be made: its film cannot be read. Take that picture out of the "
                "evaluation, or tell the owner of this site. Your draft is kept."
            )
            % {"frame": markup.frame}
        ) from error


def _drawn(markup: MarkUp) -> bytes:
    measurement = markup.clip.measurement
    about = (measurement.result or {})["clip"]
    seen = _seen(measurement, markup.frame)
    skeleton = seen if markup.show_skeleton else None
    frame = still(measurement, markup.frame)
    if markup.review.sends_lighter(markup.clip_id):
        frame = lighter(frame)
    if markup.keep_others:
        return jpeg(draw(frame, markup.shapes, about["width"], skeleton))
    part = beside.window(seen, markup.shapes, (about["width"], about["height"]))
    return jpeg(draw(beside.alone(frame, seen, about["width"]), markup.shapes, about["width"], skeleton, part))


def _seen(measurement: Measurement, frame: int) -> dict[str, Any]:
    """Keypoints, bat and box on this frame, each None where it was not seen; nothing where the tracks cannot be read: then
    the whole frame is blurred, and the coach sees it in the preview.
    """
    if not measurement.tracks:
        return {}
    try:
        held = stretch(measurement, frame, frame)
    except (FileNotFoundError, TracksError) as error:
        log.warning("The tracks of clip %s cannot be read: %s", measurement.clip_id, error)
        return {}
    return {name: held[name][0] for name in ("points", "bat", "box")}
