"""Mails to families. Each is one text file in templates/mail: the subject on the first line, then the letter.

They go out once the change they tell of is committed; a mail server that is down is noted on the outbox page and stops
nobody.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import Any

from django.conf import settings
from django.core.mail import send_mail
from django.db import transaction
from django.template.loader import render_to_string
from django.urls import reverse

from portal.evaluations.models import Evaluation
from portal.intake.models import Submission
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
    _to_family("published", evaluation.submission, link=link, edition=evaluation.edition)


def player_invite(player: Player, by: User, email: str, token: str) -> None:
    """A guardian offers the player a sign-in of their own."""
    _send("player_invite", [email], player=player, by=by, link=link_to("join_player", token))


def failure_words(submission: Submission) -> str:
    """Why the newest clip could not be measured, in the words that measuring left."""
    clip = submission.clips.select_related("measurement").order_by("-created_at").first()
    measurement = getattr(clip, "measurement", None)
    return measurement.failure_words if measurement else ""


def family_of(player: Player) -> list[str]:
    """The addresses of everybody who may open the player's pages as family."""
    users = [*player.guardians.filter(is_active=True), *([player.user] if player.user else [])]
    return sorted({user.email for user in users if user.is_active})


def link_to(name: str, *args: object) -> str:
    return settings.SITE_URL + reverse(name, args=args)


def _to_family(letter: str, submission: Submission, **about: Any) -> None:
    about = {"link": link_to("submission", submission.pk), **about}
    _send(letter, family_of(submission.player), submission=submission, player=submission.player, **about)


def _send(letter: str, to: Iterable[str], **about: Any) -> None:
    """One letter per address, so that nobody reads who else got it."""
    text = render_to_string(f"mail/{letter}.txt", {**about, "site_url": settings.SITE_URL})
    subject, body = text.strip().split("\n", 1)
    for address in to:
        transaction.on_commit(partial(_post, subject.strip(), body.strip() + "\n", address))


def _post(subject: str, body: str, address: str) -> None:
    send_mail(subject, body, None, [address], fail_silently=True)
