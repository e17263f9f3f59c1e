"""Erasing a player or an account: rows, files, emails, sessions, messages in the queue. One way in for each.

First a line in the ledger, then the rows in one transaction; files, queue and the database's own leftovers follow the commit
and are found again by their Erasure (portal/privacy/finishing.py). Only that consents were given and ended is kept.
"""

from __future__ import annotations

import hashlib
import logging
from collections.abc import Callable, Iterable
from typing import TypeVar
from uuid import UUID

from django.db import IntegrityError, OperationalError, transaction
from django.db.models import CASCADE, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from portal.after_commit import after_commit
from portal.evaluations.models import AccessLogEntry, Evaluation
from portal.intake import erase
from portal.intake.models import Clip, Consent, Submission, Upload
from portal.intake.states import State
from portal.outbox import emails
from portal.owner.models import CoachInvite
from portal.people.models import Player, User
from portal.privacy import finishing, ledger, marks
from portal.privacy.models import AskedBy, ConsentRecord, Erasure, Kind
from portal.privacy.traces import Traces

log = logging.getLogger(__name__)
T = TypeVar("T")
TRIES = 3
SIGN_IN_APPS = {"account", "mfa", "usersessions"}  # of django-allauth: what hangs on an account there goes with it


class LastOwner(Exception):
    """Without this account nobody could keep the site running."""


def erase_player(player: Player, asked_by: str) -> None:
    """Erase the player with all that hangs on them, and their own sign-in where it is nothing else.

    Guardians stay; those of them who did not ask for it are told, without a name.
    """
    owed = _note(Kind.PLAYER, marks.player_key(player.pk), asked_by)
    _surely(lambda: _player_rows(player.pk, asked_by, owed), player)


def erase_account(user: User, asked_by: str) -> None:
    """Erase the account and the players who are nobody else's: those of whom this is the only guardian, and the player
    themself who is of age. A child with another guardian stays with them. A coach's work stays, without the name.

    Raises LastOwner.
    """
    _refuse_last_owner(user)
    account_id = user.pk
    for player in players_going_with(user):
        erase_player(player, asked_by)
    left = User.objects.filter(pk=account_id).first()
    if left is not None:  # else it was the player's own, and went with them
        erase_account_alone(left, asked_by)


def erase_account_alone(user: User, asked_by: str) -> None:
    """Erase the account and none of its players. Raises LastOwner."""
    _refuse_last_owner(user)
    kind = Kind.COACH if is_needed(user) else Kind.ACCOUNT
    owed = _note(kind, marks.account_key(user), asked_by)
    _surely(lambda: _account_rows(user.pk, asked_by, owed))


def _refuse_last_owner(user: User) -> None:
    if user.is_only_owner:
        raise LastOwner


def players_going_with(user: User) -> list[Player]:
    """The players that are erased when this account is."""
    own = Player.objects.filter(user=user).first()
    guarded = [
        player
        for player in Player.objects.filter(guardians=user)
        if player.user_id != user.pk and not others_of(player, user).exists()
    ]
    return [*([own] if own is not None and not own.is_minor else []), *guarded]


def players_staying(user: User) -> list[Player]:
    """The players who lose this account and stay with another guardian."""
    going = {player.pk for player in players_going_with(user)}
    return [player for player in Player.objects.filter(guardians=user) if player.pk not in going]


def is_needed(user: User) -> bool:
    """Whether the account's row is kept without its name: a coach's evaluations hang on it."""
    return user.is_coach or user.is_staff or Evaluation.objects.filter(published_by=user).exists()


def others_of(player: Player, user: User) -> QuerySet[User]:
    """The other guardians of a player."""
    return player.guardians.filter(is_active=True).exclude(pk=user.pk)


def _note(kind: str, key: str, asked_by: str) -> list[list[str]]:
    """The line in the ledger. A disk that is full does not stop the erasing: what is returned is written later."""
    if asked_by == AskedBy.AGAIN:
        return []
    try:
        ledger.note(kind, key)
    except OSError:
        log.exception("The ledger of what was erased could not be written; it is tried again.")
        return [[kind, key]]
    return []


def _surely(rows: Callable[[], None], player: Player | None = None) -> None:
    """Erase rows; again where something new was hung on them in this moment. A database that is out of room gets it from the
    film that goes anyway.
    """
    for left in reversed(range(TRIES)):
        try:
            return rows()
        except IntegrityError:
            if not left:
                raise
        except OperationalError:
            if not left or player is None:
                raise
            log.exception("The database could not erase; the film is deleted first, then it is tried again.")
            erase.delete_files(*erase.files_of(Submission.objects.filter(player=player.pk)))


@transaction.atomic
def _player_rows(player_id: UUID, asked_by: str, owed: list[list[str]]) -> None:
    player = Player.objects.select_for_update().filter(pk=player_id).first()
    if player is None:  # two asked at once
        return
    traces = Traces(players={player.pk}, ids=_ids_of([player.pk]), names={player.first_name, str(player)})
    guardians = list(player.guardians.all())
    traces.near = {guardian.email for guardian in guardians}
    files, folders = erase.files_of(Submission.objects.filter(player=player.pk))
    keep_consents(player.consents.all())
    own = player.user
    player.delete()
    if own is not None and not own.players.exists() and not is_needed(own):
        _hang_off(traces, own)
        own.delete()
    elif own is not None:
        traces.near.add(own.email)
    traces.erase()
    if asked_by == AskedBy.FAMILY and len(guardians) > 1:
        emails.send("erased", [guardian.email for guardian in guardians if guardian.is_active])
    _finish_later(Kind.PLAYER, asked_by, traces, owed, files, folders)


@transaction.atomic
def _account_rows(user_id: int, asked_by: str, owed: list[list[str]]) -> None:
    user = User.objects.select_for_update().filter(pk=user_id).first()
    if user is None:
        return
    traces = Traces()
    _hang_off(traces, user)
    kept = is_needed(user)
    if kept:
        files = _take_name_off(user)
    else:
        user.delete()
        files = []
    CoachInvite.objects.filter(email__in=[address.lower() for address in traces.addresses]).delete()
    traces.erase()
    _finish_later(Kind.COACH if kept else Kind.ACCOUNT, asked_by, traces, owed, files, [])


def _hang_off(traces: Traces, user: User) -> None:
    """What leads to an account goes into `traces`. Numbers are no trace: they stand in other tables, too."""
    traces.addresses |= {user.email, *user.emailaddress_set.values_list("email", flat=True)}  # type: ignore[attr-defined]
    traces.names |= {user.name} if user.name else set()
    traces.accounts.add(user.pk)


def _take_name_off(user: User) -> list[str]:
    """Leave a row that nobody is: no address, no name, no way in. Returns the PDFs that still hold the name."""
    pdfs = []
    for edition in Evaluation.objects.filter(published_by=user):
        if edition.pdf:
            pdfs.append(edition.pdf)
        nameless = {**edition.snapshot, "coach": ""}
        Evaluation.objects.filter(pk=edition.pk).update(snapshot=nameless, pdf="", pdf_attempt=0, pdf_tried_at=None)
    for held in Submission.objects.filter(reviewer=user, state=State.IN_REVIEW):
        held.move(State.READY, reviewer=None)
    _empty_sign_in(user)
    user.camps.clear()
    user.email, user.name = f"former-{user.pk}@cagenote.invalid", _("A former coach")
    AccessLogEntry.objects.filter(user=user).exclude(name="").update(name=user.name)
    user.is_active = user.is_coach = user.is_staff = user.is_superuser = False
    user.last_login = None
    user.set_unusable_password()
    user.save()
    user.players.clear()
    return pdfs


def _empty_sign_in(user: User) -> None:
    for relation in User._meta.related_objects:
        if relation.on_delete is CASCADE and relation.related_model._meta.app_label in SIGN_IN_APPS:
            relation.related_model._default_manager.filter(**{relation.field.name: user}).delete()


def keep_consents(consents: QuerySet[Consent]) -> None:
    """That they were given and ended, when and in which words, without the name."""
    now = timezone.now()
    ConsentRecord.objects.bulk_create(
        ConsentRecord(
            mark=marks.mark_of(given.player_id), camp=given.camp, wording=given.wording, training_too=given.training_too,
            given_at=given.given_at, ended_at=given.taken_back_at or now,
        )
        for given in consents.select_related("camp")
    )  # fmt: skip


def _ids_of(players: Iterable[UUID]) -> set[str]:
    """The ids by which addresses, emails and messages name the players' things."""
    found = {str(player) for player in players}
    for rows in (
        Submission.objects.filter(player__in=players),
        Clip.objects.filter(submission__player__in=players),
        Evaluation.objects.filter(submission__player__in=players),
        Upload.objects.filter(submission__player__in=players),
    ):
        found |= {str(pk) for pk in rows.order_by().values_list("pk", flat=True)}
    return found


def _finish_later(
    kind: str, asked_by: str, traces: Traces, owed: list[list[str]], files: list[str], folders: list[str]
) -> None:
    hashes = {hashlib.sha256(address.lower().encode()).hexdigest() for address in traces.addresses}
    row = Erasure.objects.create(
        kind=kind, asked_by=asked_by, owed=owed, files=files, folders=folders, ids=sorted(traces.ids | hashes)
    )
    after_commit(finishing.delete_files, row.pk)
    after_commit(finishing.ask_worker, row.pk)
