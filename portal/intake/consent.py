"""Consent: given before anything is stored, taken back at any time; then what was made with it is deleted."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone

from portal.after_commit import after_commit
from portal.camps.models import Camp, Enrolment
from portal.intake import erase, wording
from portal.intake.models import Consent
from portal.people.models import Player, User
from portal.privacy import ledger, marks


def holding(player: Player, camp: Camp) -> Consent | None:
    """The consent under which clips of this player may be kept for this camp, or None.

    What a player agreed to who turned out to be a minor does not count, until somebody says that they are of age.
    """
    given = Consent.objects.filter(player=player, camp=camp, taken_back_at=None)
    if player.is_minor and player.user_id is not None:
        given = given.exclude(given_by=player.user_id)
    return given.order_by("-given_at").first()


@transaction.atomic
def give(player: Player, camp: Camp, by: User, *, training_too: bool) -> Consent:
    """Note the word given, and the player's place in the camp with it. Where this person's consent holds already, that
    one stays: a word is taken back or given anew, never given twice.
    """
    Enrolment.objects.get_or_create(camp=camp, player=player)
    words = {"wording": wording.CURRENT, "training_too": training_too}
    held = Consent.objects.filter(taken_back_at=None)
    return held.get_or_create(player=player, camp=camp, given_by=by, taken_back_at=None, defaults=words)[0]


@transaction.atomic
def take_back(consent: Consent, *, alone: bool = False) -> None:
    """End every consent for this player in this camp, and delete the clips and all that came from them.

    `alone`: end this one only. The clips then stay where a guardian has agreed as well.
    """
    same = Consent.objects.filter(player=consent.player, camp=consent.camp, taken_back_at=None)
    if alone:
        same = same.filter(pk=consent.pk)
    for ended in same:
        after_commit(ledger.note, ledger.ENDED, marks.consent_key(ended.pk, ended.given_at))
    same.update(taken_back_at=timezone.now())
    if alone and holding(consent.player, consent.camp) is not None:
        return
    for submission in consent.player.submissions.filter(camp=consent.camp):
        erase.withdraw(submission)
