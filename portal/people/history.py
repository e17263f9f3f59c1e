"""What a person may read of a player's submissions and evaluations, gathered without a query per row."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Prefetch, Q

from portal import access
from portal.evaluations.models import Evaluation
from portal.intake.models import Submission
from portal.people.models import Player, User
from portal.privacy.keeping import Keeping, all_kept


@dataclass(frozen=True)
class Child:
    """A player of a family with what is under way, newest first."""

    player: Player
    submissions: list[Submission]
    keeping: list[Keeping]


def _sent(user: User, players: list[Player]) -> list[Submission]:
    """Their submissions that this person may see, newest first, with clips and editions at hand."""
    editions = Prefetch("evaluations", queryset=Evaluation.objects.defer("snapshot").order_by("-edition"))
    seen = access.submissions_seen_by(user)
    return list(
        Submission.objects.filter(player__in=players, pk__in=seen.order_by().values("pk"))
        .select_related("player", "camp", "reviewer")
        .prefetch_related(editions, "clips", "uploads")
        .order_by("-created_at")
    )


def history_of(user: User, player: Player) -> list[Submission]:
    """The player's submissions that this person may see, newest first."""
    return _sent(user, [player])


def own_players(user: User) -> list[Player]:
    """The players this person sends clips for."""
    return list(Player.objects.filter(Q(guardians=user) | Q(user=user)).distinct().prefetch_related("camps"))


def families_of(user: User) -> list[Child]:
    """The players this person sends clips for, each with their submissions."""
    players = own_players(user)
    sent = _sent(user, players)
    kept = all_kept(players)
    return [
        Child(
            player,
            [one for one in sent if one.player_id == player.pk],
            [one for one in kept if one.player.pk == player.pk],
        )
        for player in players
    ]
