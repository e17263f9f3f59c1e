"""Publishing: the draft becomes an edition that nobody changes any more. A correction is the next edition."""

from __future__ import annotations

import base64
import logging
import uuid
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import Max

from portal.after_commit import after_commit
from portal.desk.models import MarkUp, Review
from portal.desk.skeleton import stretch
from portal.evaluations import beside
from portal.evaluations import snapshot as snapshots
from portal.evaluations.models import Evaluation
from portal.evaluations.pictures import draw, jpeg
from portal.evaluations.stills import still
from portal.intake import mails
from portal.intake.models import Submission
from portal.intake.states import State
from portal.measuring.door import TracksError
from portal.measuring.models import Measurement
from portal.people.models import User

log = logging.getLogger(__name__)


def publish(review: Review, coach: User) -> Evaluation:
    """Make the next edition of this draft, move the submission to published and tell the family once it holds.

    Raises MoveNotAllowed when the submission is not in review (any more); then nothing is kept.
    """
    key = uuid.uuid4()
    pictures = {f"picture-{n}.jpg": picture(m) for n, m in enumerate(snapshots.shown_markups(review), start=1)}
    with transaction.atomic():
        # the row is locked where the database can, so that two publishers do not count the same number
        submission = Submission.objects.select_for_update().get(pk=review.submission_id)
        edition = next_edition(submission)
        made = Evaluation(
            id=key,
            submission=submission,
            edition=edition,
            published_by=coach,
            snapshot=snapshots.build(review, coach, edition),
        )
        submission.move(State.PUBLISHED)
        made.save()
        for name, data in pictures.items():
            default_storage.save(f"{made.folder}/{name}", ContentFile(data))
        mails.published(made)
        _ask_for_pdf(made)
    return made


def next_edition(submission: Submission) -> int:
    newest = submission.evaluations.aggregate(newest=Max("edition"))["newest"]
    return (newest or 0) + 1


def _ask_for_pdf(made: Evaluation) -> None:
    from portal.evaluations.tasks import make_pdf

    after_commit(make_pdf.delay, str(made.pk))


def draft_snapshot(review: Review) -> dict[str, Any]:
    """What publishing would hold just now, its pictures as `src` data addresses: the preview of the last stop."""
    coach = review.submission.reviewer
    draft = snapshots.build(review, coach, next_edition(review.submission))
    for about, markup in zip(draft["pictures"], snapshots.shown_markups(review), strict=True):
        about["src"] = "data:image/jpeg;base64," + base64.b64encode(picture(markup)).decode()
    return draft


def picture(markup: MarkUp) -> bytes:
    """The marked-up frame as JPEG: the hitter alone, unless the coach keeps who else is in it."""
    measurement = markup.clip.measurement
    about = (measurement.result or {})["clip"]
    seen = _seen(measurement, markup.frame)
    skeleton = seen if markup.show_skeleton else None
    frame = still(measurement, markup.frame)
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
