"""Starting a submission."""

from __future__ import annotations

from django.db import transaction

from portal.camps.models import Camp
from portal.intake.models import Submission
from portal.intake.states import State
from portal.people.models import Player, User


@transaction.atomic
def open_submission(player: Player, camp: Camp, by: User) -> Submission:
    """The submission that waits for this player's clip: one that was begun and left is taken up again."""
    begun = Submission.objects.filter(player=player, camp=camp, state=State.UPLOADING).first()
    return begun or Submission.objects.create(player=player, camp=camp, sent_by=by)
