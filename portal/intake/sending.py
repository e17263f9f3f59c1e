"""Starting a submission."""

from __future__ import annotations

from portal.camps.models import Camp
from portal.intake.models import Submission
from portal.intake.states import ASKS_ANEW, State
from portal.people.models import Player, User


def asked_anew(player: Player, camp: Camp) -> Submission | None:
    """The newest submission of this player in this camp that waits for another clip: the coach asked to film again, or
    no clip of it could be measured.
    """
    asked = Submission.objects.filter(player=player, camp=camp, state__in=ASKS_ANEW, film_ended_at=None)
    return asked.order_by("-created_at").first()


def open_submission(player: Player, camp: Camp, by: User) -> Submission:
    """The submission that waits for this player's clip: one that asks for another clip is answered, else coach and family
    would wait for each other; one that was begun and left is taken up again. There is never a second one without a clip (a
    constraint of the table); of two who begin at once, both get the same.
    """
    if asked := asked_anew(player, camp):
        return asked
    waits = Submission.objects.filter(player=player, camp=camp, state=State.UPLOADING)
    return waits.get_or_create(player=player, camp=camp, state=State.UPLOADING, defaults={"sent_by": by})[0]
