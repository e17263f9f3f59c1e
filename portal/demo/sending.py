"""Send the demo's clips in as families do, and move the dates back so that the queue has a past."""

from __future__ import annotations

from datetime import timedelta

from django.core.files.base import ContentFile
from django.utils import timezone

from portal.camps.models import Camp
from portal.demo.cast import Hitter
from portal.intake import clips, receiving
from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring import door
from portal.people.models import Player


def begin(hitter: Hitter, player: Player, camp: Camp) -> Submission:
    return Submission.objects.create(player=player, camp=camp, sent_by=player.guardians.first(), note=hitter.note)


def send(submission: Submission, hitter: Hitter, data: bytes) -> Clip:
    """Through the same door as an upload: looked at, stored, promised, queued, answered by mail."""
    arrived = receiving.take_in([data], len(data))
    return clips.keep(submission, arrived, hitter.file).clip


def send_damaged(submission: Submission, hitter: Hitter, data: bytes) -> Clip:
    """A file that broke on the way in, past the look at its first bytes."""
    clip = Clip(submission=submission, name=hitter.file, size=len(data))
    clip.original.save(hitter.file, ContentFile(data), save=False)
    clip.save()
    submission.move(State.RECEIVED)
    submission.promise()
    door.start_measuring(clip)
    return clip


def date_back(submission: Submission, days: float) -> None:
    """As if it had come so many days ago."""
    came = timezone.now() - timedelta(days=days)
    promised = (timezone.localtime(came) + timedelta(days=submission.camp.turnaround_days)).date()
    Submission.objects.filter(pk=submission.pk).update(
        created_at=came, received_at=came, promised_by=promised, state_since=came + timedelta(minutes=9)
    )
    submission.clips.update(created_at=came)
