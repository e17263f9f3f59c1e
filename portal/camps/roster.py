"""Who is in a camp and where each of them stands."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from portal.camps.models import Camp
from portal.intake.models import Submission
from portal.intake.states import NO_CLIP, State, words_of
from portal.people.models import Player


@dataclass(frozen=True)
class Row:
    """A player of the camp with their newest submission that still counts, or None."""

    player: Player
    newest: Submission | None


def rows_of(camp: Camp) -> list[Row]:
    """All players of the camp by name."""
    sent = Submission.objects.filter(camp=camp).exclude(state=State.WITHDRAWN).order_by("created_at")
    newest = {submission.player_id: submission for submission in sent}
    players = camp.players.prefetch_related("guardians").order_by("folded_name")
    return [Row(player, newest.get(player.pk)) for player in players]


def counts_of(rows: list[Row]) -> list[tuple[str, int]]:
    """How many players stand where, in the order of the way; players without a clip last, begun or not."""
    counts = Counter(row.newest.state if row.newest else State.UPLOADING.value for row in rows)
    without = counts.pop(State.UPLOADING.value, 0)
    states = [(words_of(state), counts[state.value]) for state in State if counts[state.value]]
    return [*states, *([(str(NO_CLIP), without)] if without else [])]
