"""A clip becomes part of a submission: kept once, and handed on to be measured."""

from __future__ import annotations

from dataclasses import dataclass

from django.db import DatabaseError, IntegrityError, transaction
from django.utils.translation import gettext as _

from portal.intake import consent, mails
from portal.intake.models import Clip, Submission
from portal.intake.receiving import Arrived, Refused
from portal.intake.states import State
from portal.measuring import door

# Until the coach takes it up, another clip joins the submission; later it starts a new one.
TAKES_CLIPS = frozenset(
    {State.UPLOADING, State.RECEIVED, State.MEASURING, State.READY, State.FILM_AGAIN, State.UNREADABLE}
)
WAITS_ANEW = frozenset({State.UPLOADING, State.FILM_AGAIN, State.UNREADABLE})


@dataclass(frozen=True)
class Kept:
    """The clip that is now in the storage; `again` when the same file had been sent before and nothing was added."""

    clip: Clip
    again: bool


def refuse_state(submission: Submission) -> None:
    """Refuse a clip for a submission that takes none, or whose consent was taken back."""
    if State(submission.state) not in TAKES_CLIPS:
        raise Refused("closed", _("This one is already with the coach. Start a new one for another clip."), 409)
    if consent.holding(submission.player, submission.camp) is None:
        raise Refused("no_consent", _("Consent was taken back, so we keep no clip. Agree again first."), 409)


def keep(submission: Submission, arrived: Arrived, name: str) -> Kept:
    """Move the file into the storage and the submission to `received`; measuring starts once that is committed.

    The same file sent twice, in this submission or in another of this player in this camp, is recognised and kept once.
    """
    earlier = _same_file(submission, arrived.sha256)
    if earlier is not None:
        arrived.discard()
        return Kept(earlier, again=True)
    clip = Clip(submission=submission, name=name, size=arrived.size, sha256=arrived.sha256)
    with arrived.as_file() as file:
        clip.original.save(name, file, save=False)
    arrived.discard()
    try:
        _enter(submission, clip)
    except IntegrityError:  # the same file came on a second line at the same time
        clip.original.delete(save=False)
        return Kept(Clip.objects.get(submission=submission, sha256=arrived.sha256), again=True)
    except BaseException:
        if not _may_be_there(clip):
            clip.original.delete(save=False)
        raise
    return Kept(clip, again=False)


def _may_be_there(clip: Clip) -> bool:
    """Whether the clip's row may have come to be: its file goes only when the database says that it has none. Where the
    database does not answer the file stays, and the leftovers find it.
    """
    try:
        return Clip.objects.filter(pk=clip.pk).exists()
    except DatabaseError:
        return True


def _same_file(submission: Submission, sha256: str) -> Clip | None:
    return (
        Clip.objects.filter(submission__player=submission.player_id, submission__camp=submission.camp_id, sha256=sha256)
        .select_related("submission")
        .order_by("-created_at")
        .first()
    )


@transaction.atomic
def _enter(submission: Submission, clip: Clip) -> None:
    """The clip's row, the submission's move, its promise and the mail, all or nothing."""
    clip.save(force_insert=True)
    submission.refresh_from_db(fields=["state"])
    refuse_state(submission)
    anew = State(submission.state) in WAITS_ANEW
    if submission.state in (*WAITS_ANEW, State.READY):
        submission.move(State.RECEIVED)
    if anew:
        submission.promise()
        mails.received(submission)
    door.start_measuring(clip)
