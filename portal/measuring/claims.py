"""Who holds a measurement. Every write of a worker is one conditional update on its token: who was taken for dead and
comes back can change nothing any more.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from portal.after_commit import after_commit
from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring import endings, queue
from portal.measuring.models import NO_ROOM, Measurement, Stage

MAX_ATTEMPTS = 3


class ClaimLost(Exception):
    """Somebody else holds the clip now, or it is gone: stop quietly and leave nothing behind."""


@dataclass(frozen=True)
class Claim:
    """A worker's hold on one clip: its token, and which attempt this is, counted from 1."""

    clip_id: UUID
    token: str
    attempt: int


def take(clip_id: UUID) -> Claim | None:
    """Take a waiting clip. The attempt is counted now, before a byte is decoded. None when there is nothing to do."""
    token, now = secrets.token_hex(16), timezone.now()
    if Submission.objects.filter(clips__pk=clip_id, state=State.WITHDRAWN).exists():
        return None
    with transaction.atomic():
        # Conditions on the row itself alone: through a join, PostgreSQL would not look at them again after waiting.
        taken = Measurement.objects.filter(clip_id=clip_id, stage=Stage.WAITING).update(
            stage=Stage.OPENING, claim=token, attempt=F("attempt") + 1, done=0, total=0,
            seen_at=now, started_at=now, finished_at=None, failure_code="", failure_words="",
        )  # fmt: skip
        if taken != 1:
            return None
        endings.begin(clip_id)
        return Claim(clip_id, token, Measurement.objects.get(clip_id=clip_id).attempt)


def note(claim: Claim, **fields: Any) -> None:
    """Write progress and a sign of life. Raises ClaimLost when the claim no longer holds."""
    _write(claim, seen_at=timezone.now(), **fields)


def finish(claim: Claim, **fields: Any) -> None:
    """Write what was measured and move the submission on, both or neither."""
    with transaction.atomic():
        _end(claim, stage=Stage.DONE, **fields)


def fail(claim: Claim, code: str, words: str) -> None:
    """End with a failure that families and coaches read in `words`."""
    with transaction.atomic():
        _end(claim, stage=Stage.FAILED, failure_code=code[:30], failure_words=words)


def give_back(claim: Claim, *, blameless: bool = False) -> None:
    """Let another worker try: the clip waits again, or fails visibly when it has been tried often enough.

    `blameless`: the worker was asked to stop, so the attempt does not count against the clip.
    """
    release(claim.clip_id, claim.token, claim.attempt, blameless=blameless)


def release(clip_id: UUID, token: str, attempt: int, *, blameless: bool = False) -> bool:
    """Take the claim `token` off the clip and queue it anew (see `give_back`). False when somebody else was quicker."""
    claim = Claim(clip_id, token, attempt)
    try:
        if attempt >= MAX_ATTEMPTS and not blameless:
            fail(claim, "stopped", worn_out_words())
            return True
        with transaction.atomic():
            count = F("attempt") - 1 if blameless else F("attempt")
            _write(claim, stage=Stage.WAITING, claim="", attempt=count, queued_at=timezone.now())
            after_commit(queue.send, clip_id)
    except ClaimLost:
        return False
    return True


def wait_for_room(claim: Claim) -> None:
    """The disk is full, which is not the clip's fault: it waits, no attempt is counted, and the sweep asks again."""
    _write(
        claim, stage=Stage.WAITING, claim="", attempt=F("attempt") - 1, queued_at=timezone.now(), failure_code=NO_ROOM
    )


def hold_for_room(clip_id: UUID) -> None:
    """The same for a clip that nobody has begun with."""
    Measurement.objects.filter(clip_id=clip_id, stage=Stage.WAITING).update(
        queued_at=timezone.now(), failure_code=NO_ROOM
    )


def worn_out_words() -> str:
    return _(
        "Measuring this clip stopped three times before it was done. That is our trouble, not yours, and your coach "
        "sees it too. A new film of the swing, sent as another clip, often helps."
    )


def _end(held: Claim, /, **fields: Any) -> None:
    """The last write of a claim, in the caller's transaction."""
    _write(held, claim="", finished_at=timezone.now(), **fields)
    endings.settle(Clip.objects.get(pk=held.clip_id).submission_id)


def _write(held: Claim, /, **fields: Any) -> None:
    if Measurement.objects.filter(clip_id=held.clip_id, claim=held.token).update(**fields) != 1:
        raise ClaimLost
