"""What a camp keeps no longer is deleted, once its family was told twice. Beat runs it daily; run twice, it does nothing more.

Nothing goes without an email seven days before: where emails were late (a site that was off, or updated), it goes later.
"""

from __future__ import annotations

import logging
from datetime import date, timedelta

from django.contrib.sessions.models import Session
from django.db import transaction
from django.utils import timezone

from portal.after_commit import after_commit
from portal.camps.models import Enrolment
from portal.intake import erase, mails
from portal.intake.models import Clip, Submission, Upload
from portal.intake.states import State
from portal.outbox import emails
from portal.people.models import User
from portal.privacy import erasing, keeping
from portal.privacy.keeping import Keeping
from portal.privacy.models import AskedBy, Kept, Warned

log = logging.getLogger(__name__)
EARLY, LATE = 30, 7  # days


def keep_no_longer(today: date | None = None) -> int:
    """Warn of what goes soon and delete what is over. Returns how much was deleted."""
    today = today or timezone.localdate()
    Session.objects.filter(expire_date__lt=timezone.now()).delete()
    return sum(_look_at(kept, today) for kept in keeping.all_kept())


def _look_at(kept: Keeping, today: date) -> int:
    """The pages take the film with them, so each is looked at only while the other one is there."""
    if _is_over(kept, Kept.PAGES, kept.pages_until, today):
        end_pages(kept)
        return 1
    if kept.has_film and _is_over(kept, Kept.FILM, kept.film_until, today):
        end_film(kept)
        return 1
    return 0


def _is_over(kept: Keeping, what: str, until: date, today: date) -> bool:
    """Whether its time is over and the family knows. Writes the emails that are due."""
    told = {
        one.days: one.on for one in Warned.objects.filter(player=kept.player, camp=kept.camp, what=what, until=until)
    }
    left = (until - today).days
    if LATE in told:
        return today >= max(until, told[LATE] + timedelta(days=LATE))
    if left <= LATE:
        _warn(kept, what, until, LATE, today)
    elif left <= EARLY and EARLY not in told:
        _warn(kept, what, until, EARLY, today)
    return False


@transaction.atomic
def _warn(kept: Keeping, what: str, until: date, days: int, today: date) -> None:
    """The email and the note that it was written, both or neither."""
    _row, is_new = Warned.objects.get_or_create(
        player=kept.player, camp=kept.camp, what=what, until=until, days=days, defaults={"on": today}
    )
    if is_new:
        day = max(until, today + timedelta(days=LATE)) if days == LATE else until
        emails.send(
            f"{what}_goes",
            mails.family_of(kept.player),
            player=kept.player,
            camp=kept.camp,
            day=day,
            link=emails.link_to("player", kept.player.pk),
        )


@transaction.atomic
def end_film(kept: Keeping) -> None:
    """Delete the player's film of this camp with tracks and stills. A published evaluation keeps its words, numbers and
    marked pictures; what was never published ends.
    """
    now = timezone.now()
    for submission in Submission.objects.filter(player=kept.player, camp=kept.camp, film_ended_at=None):
        if submission.evaluations.exists():
            names, folders = erase.files_of(Submission.objects.filter(pk=submission.pk))
            editions = {edition.folder for edition in submission.evaluations.defer("snapshot")}
            if submission.state == State.IN_REVIEW:  # a correction that was begun and left
                submission.move(State.PUBLISHED, reviewer=None)
            Clip.objects.filter(submission=submission).delete()
            Upload.objects.filter(submission=submission).delete()
            after_commit(erase.delete_files, names, [folder for folder in folders if folder not in editions])
        else:
            erase.withdraw(submission)
        Submission.objects.filter(pk=submission.pk).update(film_ended_at=now)
    log.info("Film that a camp keeps no longer was deleted.")


def end_pages(kept: Keeping) -> None:
    """Delete all that there is of the player in this camp; the player too where that was the last, and then a guardian's
    account that has nobody left.
    """
    guardians = list(kept.player.guardians.all())
    if not Enrolment.objects.filter(player=kept.player).exclude(camp=kept.camp).exists():
        erasing.erase_player(kept.player, AskedBy.TIME)
        for guardian in guardians:
            _let_go(guardian)
        return
    _leave(kept)


@transaction.atomic
def _leave(kept: Keeping) -> None:
    sent = Submission.objects.filter(player=kept.player, camp=kept.camp)
    names, folders = erase.files_of(sent)
    erasing.keep_consents(kept.player.consents.filter(camp=kept.camp))
    kept.player.consents.filter(camp=kept.camp).delete()
    sent.delete()
    Enrolment.objects.filter(player=kept.player, camp=kept.camp).delete()
    Warned.objects.filter(player=kept.player, camp=kept.camp).delete()
    after_commit(erase.delete_files, names, folders)


def _let_go(guardian: User) -> None:
    is_family = guardian.players.exists() or hasattr(guardian, "player")
    if not is_family and not erasing.is_needed(guardian):
        erasing.erase_account_alone(guardian, AskedBy.TIME)
