"""The log of who saw what: one row per person, thing and day."""

from __future__ import annotations

from django.contrib.auth.models import AnonymousUser
from django.utils import timezone

from portal.evaluations.models import Sight
from portal.intake.models import Submission
from portal.people.models import User


def note(user: User | AnonymousUser, submission: Submission, what: str) -> None:
    """Note that this person saw the `what` ("clip", "desk" or "evaluation") of the submission today."""
    if isinstance(user, User):
        Sight.objects.update_or_create(user=user, submission=submission, what=what, day=timezone.localdate())
