"""Handing a review to another coach of the camp. Who is given one finds it in their own list, is told by email, and the
log keeps who gave what to whom. The draft stays as it is: it belongs to the submission, not to its reviewer.
"""

from __future__ import annotations

from datetime import timedelta

from django.db import transaction
from django.utils import timezone

from portal import access
from portal.desk import claims
from portal.desk.models import HandOver
from portal.intake.models import Submission
from portal.intake.states import MoveNotAllowed, State
from portal.outbox import emails
from portal.outbox.emails import link_to
from portal.people.models import User

QUIET = timedelta(hours=1)  # one email tells of all that is handed over in an evening's hour


class NotHandedOver(Exception):
    """It stays where it was: it changed hands or state since the page was made, or the coach is not of its camp."""


@transaction.atomic
def hand_over(submission: Submission, by: User, from_whom: int | None, to: User, words: str = "") -> None:
    """Give the review to `to`, when it is still with whom the page named (None: with nobody). Raises NotHandedOver."""
    if not access.coaches_camp(to, submission.camp):
        raise NotHandedOver
    now = Submission.objects.select_for_update(of=("self",)).get(pk=submission.pk)
    holder = now.reviewer_id if now.state == State.IN_REVIEW else None
    if holder != from_whom or holder == to.pk:
        raise NotHandedOver
    if now.state not in (State.READY, State.UNREADABLE, State.IN_REVIEW):
        raise NotHandedOver
    try:
        if now.state == State.IN_REVIEW:
            claims.take_over(now, to, holder)
        else:
            claims.claim(now, to)
    except (claims.HeldByAnother, claims.NotForReview, MoveNotAllowed) as problem:
        raise NotHandedOver from problem
    is_told = HandOver.objects.filter(to_coach=to, by=by, at__gt=timezone.now() - QUIET).exists()
    HandOver.objects.create(submission=submission, by=by, from_coach_id=holder, to_coach=to, words=words)
    if to != by and not is_told:
        emails.send("handed_over", [to.email], by=by, link=f"{link_to('queue')}?list=mine")
