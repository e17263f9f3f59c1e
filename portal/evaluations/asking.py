"""A family asks the coach about an evaluation; the answer stands on its page and goes by mail.

A few questions at a time: while three wait, or five were asked today, another has to wait, too. What a family typed stands in no
email to a coach; emails name no child in their subject.
"""

from __future__ import annotations

from datetime import timedelta

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from portal import access
from portal.evaluations.models import Evaluation, Question
from portal.intake.mails import family_of
from portal.intake.models import Submission
from portal.outbox import emails
from portal.people.models import User

MOST_OPEN = 3
MOST_A_DAY = 5
QUIET = timedelta(hours=1)  # one email tells of all that is asked within it


class TooMany(Exception):
    """Not asked; the message says when it can be."""


class AnsweredBefore(Exception):
    """Somebody answered it meanwhile."""


def of(submission: Submission) -> QuerySet[Question]:
    """All questions about a submission's editions, oldest first."""
    return Question.objects.filter(evaluation__submission=submission).select_related("asked_by", "answered_by")


@transaction.atomic
def ask(evaluation: Evaluation, by: User, words: str) -> Question:
    """Keep the question and tell a coach. Raises TooMany."""
    submission = Submission.objects.select_for_update(of=("self",)).get(pk=evaluation.submission_id)
    before = of(submission)
    if before.filter(answered_at=None).count() >= MOST_OPEN:
        raise TooMany(_("Three questions of yours wait already. Please let your coach answer first."))
    if before.filter(asked_at__gt=timezone.now() - timedelta(days=1)).count() >= MOST_A_DAY:
        raise TooMany(_("Five questions in a day are plenty. Please ask this one tomorrow."))
    is_told = before.filter(answered_at=None, asked_at__gt=timezone.now() - QUIET).exists()
    asked = Question.objects.create(evaluation=evaluation, asked_by=by, words=words)
    if not is_told:
        link = emails.link_to("evaluation", evaluation.pk) + "#questions"
        emails.send("question", [coach.email for coach in _coaches(evaluation)], player=submission.player, link=link)
    return asked


@transaction.atomic
def answer(question: Question, by: User, words: str) -> None:
    """Keep the answer and send it to the family. Raises AnsweredBefore."""
    now = timezone.now()
    kept = Question.objects.filter(pk=question.pk, answered_at=None)
    if kept.update(answer=words, answered_by=by, answered_at=now) != 1:
        raise AnsweredBefore
    player = question.evaluation.submission.player
    link = emails.link_to("evaluation", question.evaluation_id) + "#questions"
    emails.send("answer", family_of(player), player=player, by=by, words=words, link=link)


def _coaches(evaluation: Evaluation) -> list[User]:
    """Who wrote the evaluation, while they coach its camp; else all of the camp's coaches."""
    writer = evaluation.published_by
    if (
        writer is not None
        and (writer.is_owner or access.coaches_camp(writer, evaluation.submission.camp))
        and writer.is_active
    ):
        return [writer]
    return list(evaluation.submission.camp.coaches.filter(is_active=True))
