"""A clip becomes part of a submission: kept once, and handed on to be measured."""

from __future__ import annotations

from dataclasses import dataclass
from uuid import UUID, uuid4

from django.db import DatabaseError, IntegrityError, transaction
from django.utils.translation import gettext as _

from portal.intake import consent, mails, same
from portal.intake.models import Clip, Submission
from portal.intake.receiving import Arrived, InPlace, Refused
from portal.intake.states import ASKS_ANEW, State
from portal.measuring import door

# Until the coach takes it up, another clip joins the submission; later it starts a new one.
TAKES_CLIPS = frozenset(
    {State.UPLOADING, State.RECEIVED, State.MEASURING, State.READY, State.FILM_AGAIN, State.UNREADABLE}
)
WAITS_ANEW = ASKS_ANEW | {State.UPLOADING}


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


def keep(submission: Submission, arrived: Arrived | InPlace, name: str, pk: UUID | None = None) -> Kept:
    """Move the file into the storage and the submission to `received`; measuring starts once that is committed.

    The same file sent twice, in this submission or in another of this player in this camp, is recognised and kept once.
    `pk`: the id that the clip will have. Then calling again after a failure gives the same clip, and the file stays for
    that; without one nobody would find it again, so it goes.
    """
    clip = Clip(pk=pk or uuid4(), submission=submission, name=name, size=arrived.size)
    looked_at = {clip.pk}
    earlier = same.find(submission, arrived, looked_at)
    if earlier is not None:
        arrived.discard()
        return Kept(earlier, again=True)
    lies = arrived.put(clip)
    try:
        while not _enter(submission, clip, looked_at):  # one of the same size came on a second line at the same time
            earlier = same.find(submission, lies, looked_at)
            if earlier is not None:
                lies.discard()
                return Kept(earlier, again=True)
    except BaseException as error:
        if isinstance(error, IntegrityError) and (made := Clip.objects.filter(pk=clip.pk).first()):
            return Kept(made, again=False)  # this very upload came on a second line
        if (pk is None or isinstance(error, Refused)) and not _may_be_there(clip):
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


@transaction.atomic
def _enter(submission: Submission, clip: Clip, looked_at: set[UUID]) -> bool:
    """The clip's row, the submission's move, its promise and the mail, all or nothing. One after the other in each
    submission; False when meanwhile a clip came that nobody has compared with this one.
    """
    submission.refresh_from_db(fields=["state"], from_queryset=Submission.objects.select_for_update())
    if same.of_size(submission, clip.size, looked_at).exists():
        return False
    clip.save(force_insert=True)
    refuse_state(submission)
    anew = State(submission.state) in WAITS_ANEW
    if submission.state in (*WAITS_ANEW, State.READY):
        submission.move(State.RECEIVED)
    if anew:
        submission.promise()
        mails.received(submission)
    door.start_measuring(clip)
    return True
