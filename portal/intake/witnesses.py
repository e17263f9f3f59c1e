"""Who saw what of a submission, apart from the family itself."""

from __future__ import annotations

from portal.evaluations.models import Sight
from portal.intake.models import Submission


def seen_by(submission: Submission) -> list[Sight]:
    """The last look of each person at each kind of thing, newest first."""
    player = submission.player
    family = {*player.guardians.values_list("pk", flat=True), player.user_id}
    looks = Sight.objects.filter(submission=submission).select_related("user").order_by("-at")
    last: dict[tuple[int, str], Sight] = {}
    for look in looks:
        if look.user_id not in family:
            last.setdefault((look.user_id, look.what), look)
    return list(last.values())
