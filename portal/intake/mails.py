"""Mails to families (see portal/outbox/emails.py for how an email leaves)."""

from __future__ import annotations

from typing import Any

from portal.evaluations.models import Evaluation
from portal.intake.models import Submission
from portal.outbox import emails
from portal.outbox.emails import link_to
from portal.people.models import Player, User


def received(submission: Submission) -> None:
    """The clip is here; when the answer is due."""
    _to_family("received", submission)


def unreadable(submission: Submission, words: str = "") -> None:
    """The clip could not be measured. `words` say why and what to do; by default those that measuring left."""
    _to_family("unreadable", submission, words=words or failure_words(submission))


def no_swing(submission: Submission) -> None:
    """Somebody is seen in the clip, but no swing."""
    _to_family("no_swing", submission)


def film_again(submission: Submission) -> None:
    """The coach asks for a new clip, with their reason."""
    _to_family("film_again", submission, words=submission.film_again_words)


def published(evaluation: Evaluation) -> None:
    """The evaluation can be read."""
    link = link_to("evaluation", evaluation.pk)
    is_whole = all(evaluation.snapshot.get(part) for part in ("good", "thing", "plan"))
    _to_family("published", evaluation.submission, link=link, edition=evaluation.edition, is_whole=is_whole)


def player_invite(player: Player, by: User, email: str, token: str) -> None:
    """A guardian offers the player a sign-in of their own."""
    link = link_to("join_player", token)
    emails.send("player_invite", [email], secret=True, player=player, by=by, link=link)


def guardian_invite(player: Player, by: User, email: str, token: str) -> None:
    """Somebody is asked to be the player's guardian."""
    link = link_to("join_guardian", token)
    emails.send("guardian_invite", [email], secret=True, player=player, by=by, link=link)


def failure_words(submission: Submission) -> str:
    """Why the newest clip could not be measured, in the words that measuring left."""
    clip = submission.clips.select_related("measurement").order_by("-created_at").first()
    measurement = getattr(clip, "measurement", None)
    return measurement.failure_words if measurement else ""


def family_of(player: Player) -> list[str]:
    """The addresses of everybody who may open the player's pages as family."""
    users = [*player.guardians.filter(is_active=True), *([player.user] if player.user else [])]
    return sorted({user.email for user in users if user.is_active})


def _to_family(template: str, submission: Submission, **about: Any) -> None:
    about = {"link": link_to("submission", submission.pk), **about}
    emails.send(template, family_of(submission.player), submission=submission, player=submission.player, **about)
