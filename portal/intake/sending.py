"""Starting a submission."""

from __future__ import annotations

from portal.camps.models import Camp
from portal.intake.models import Submission
from portal.intake.states import State
from portal.people.models import Player, User


def open_submission(player: Player, camp: Camp, by: User) -> Submission:
    """The submission that waits for this player's clip: one that was begun and left is taken up again. There is never a
    second one (a constraint of the table); of two who begin at once, both get the same.
    """
    waits = Submission.objects.filter(player=player, camp=camp, state=State.UPLOADING)
    return waits.get_or_create(player=player, camp=camp, state=State.UPLOADING, defaults={"sent_by": by})[0]
