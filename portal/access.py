"""Who may see and do what: one function per kind of object, and every view goes through it.

What a person may not see does not exist for them (Http404). `*_seen_by` give querysets; `get_*` give one object or 404.
Functions that hand out something of a child take what of it is going to be shown (`shows`), and note it in the log of who
saw what before they hand it out. `shows=None` says that the answer shows nothing of the child but a name. The functions for
families alone (`get_family_*` and the like) note nothing.

The owner sees what is needed to keep the site running (camps, people, submissions, the queue), and so do the coaches of
a camp for that camp; a guardian sees their own players' things; a player sees their own.
"""

from __future__ import annotations

from collections.abc import Collection
from uuid import UUID

from django.contrib.auth.models import AnonymousUser
from django.db.models import Model, Q, QuerySet
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.utils import timezone

from portal.camps.models import Camp
from portal.desk.models import Phrase
from portal.drills.models import Drill
from portal.evaluations import access_log
from portal.evaluations.models import Evaluation, Question, What
from portal.intake.models import Clip, Consent, Submission, Upload
from portal.outbox.models import Email
from portal.people import of_age
from portal.people.models import Player, User

Viewer = User | AnonymousUser


def is_coach(user: Viewer) -> bool:
    return isinstance(user, User) and user.is_active and (user.is_coach or user.is_owner)


def require_coach(user: Viewer) -> User:
    """The coach (or owner) behind the request, or 404."""
    if isinstance(user, User) and is_coach(user):
        return user
    raise Http404


def require_person(user: Viewer) -> User:
    """The account behind the request, or 404."""
    if isinstance(user, User):
        return user
    raise Http404


def require_owner(user: Viewer) -> User:
    if isinstance(user, User) and user.is_owner:
        return user
    raise Http404


def _family(user: User, path: str) -> Q:
    """Players of this guardian, or the player themself; `path` leads to the player, with a trailing `__`."""
    return Q(**{f"{path}guardians": user}) | Q(**{f"{path}user": user})


def camps_seen_by(user: Viewer) -> QuerySet[Camp]:
    """Camps as their coaches see them."""
    if not isinstance(user, User) or not is_coach(user):
        return Camp.objects.none()
    return Camp.objects.all() if user.is_owner else Camp.objects.filter(coaches=user)


def players_seen_by(user: Viewer) -> QuerySet[Player]:
    if not isinstance(user, User):
        return Player.objects.none()
    if user.is_owner:
        return Player.objects.all()
    allowed = Q(guardians=user) | Q(user=user)
    if is_coach(user):
        allowed |= Q(camps__coaches=user)
    return Player.objects.filter(allowed).distinct()


def submissions_seen_by(user: Viewer) -> QuerySet[Submission]:
    if not isinstance(user, User):
        return Submission.objects.none()
    if user.is_owner:
        return Submission.objects.all()
    allowed = _family(user, "player__")
    if is_coach(user):
        allowed |= Q(camp__coaches=user)
    return Submission.objects.filter(allowed).distinct()


def submissions_reviewed_by(user: Viewer, camps: Collection[Camp] | None = None) -> QuerySet[Submission]:
    """Submissions that this person may take to the desk.

    `camps` are those that `camps_seen_by` has just given, where they are at hand: who coaches them is not asked for each
    submission anew.
    """
    if not isinstance(user, User) or not is_coach(user):
        return Submission.objects.none()
    if user.is_owner:
        return Submission.objects.all()
    return Submission.objects.filter(Q(camp__coaches=user) if camps is None else Q(camp__in=[one.pk for one in camps]))


def coaches_beside(user: Viewer) -> QuerySet[User]:
    """Who reviews in the camps that this person sees, they themself among them."""
    return _able_coaches().filter(camps__in=camps_seen_by(user).order_by()).distinct()


def coaches_of(camp: Camp) -> QuerySet[User]:
    """The camp's own coaches, as far as they are able to be."""
    return _able_coaches().filter(camps=camp)


def _able_coaches() -> QuerySet[User]:
    able = Q(is_coach=True) | Q(is_staff=True)
    return User.objects.filter(able, is_active=True).order_by("name", "pk")


def coaches_camp(user: User, camp: Camp) -> bool:
    """Whether this person is one of the camp's own coaches, and able to be."""
    return is_coach(user) and camp.coaches.filter(pk=user.pk).exists()


def get_coach_beside(user: Viewer, pk: int) -> User:
    """Another coach of a camp that this person sees."""
    return get_object_or_404(coaches_beside(user), pk=pk)


def get_camp(user: Viewer, pk: int) -> Camp:
    return get_object_or_404(camps_seen_by(user), pk=pk)


def sets_bands(user: Viewer, camp: Camp) -> bool:
    """Whether this person may change the camp's own bands: its head coach, and the owner. Its other coaches may look."""
    return isinstance(user, User) and (user.is_owner or camp.lead_coach == user)


def get_camp_to_set(user: Viewer, pk: int) -> Camp:
    """A camp whose bands this person may change."""
    camp = get_camp(user, pk)
    if not sets_bands(user, camp):
        raise Http404
    return camp


def get_player(user: Viewer, pk: UUID, *, shows: What | None) -> Player:
    player = get_object_or_404(players_seen_by(user), pk=pk)
    _note(user, player, None, shows)
    return player


def get_family_player(user: Viewer, pk: UUID) -> Player:
    """A player whom this person sends clips for: their guardian or the player themself."""
    if not isinstance(user, User):
        raise Http404
    return get_object_or_404(Player.objects.filter(_family(user, "")).distinct(), pk=pk)


def is_family(user: Viewer, player: Player) -> bool:
    """Whether this person is the player or one of their guardians."""
    return isinstance(user, User) and Player.objects.filter(_family(user, ""), pk=player.pk).exists()


def guards(user: Viewer, player: Player) -> bool:
    """Whether this person is a guardian of the player. A child with a sign-in of their own is nobody's guardian."""
    if not isinstance(user, User) or player.user_id == user.pk or of_age.is_minors_account(user):
        return False
    return player.guardians.filter(pk=user.pk).exists()


def get_guarded_player(user: Viewer, pk: UUID) -> Player:
    """A player whose guardian this person is."""
    player = get_object_or_404(Player, pk=pk)
    if not guards(user, player):
        raise Http404
    return player


def decides_age(user: Viewer, player: Player) -> bool:
    """Whether this person says when the player was born and who speaks for them: a guardian, a coach of a camp of
    theirs, or the owner; never the player.
    """
    if not isinstance(user, User) or player.user_id == user.pk:
        return False
    coached = is_coach(user) and player.camps.filter(coaches=user).exists()
    return user.is_owner or coached or guards(user, player)


def get_player_to_age(user: Viewer, pk: UUID) -> Player:
    """A player about whose age this person decides."""
    player = get_player(user, pk, shows=None)
    if not decides_age(user, player):
        raise Http404
    _note(user, player, None, What.PLAYER)
    return player


def names_guardians(user: Viewer, player: Player) -> bool:
    """Whether this person may ask somebody to be the player's guardian: a guardian and the owner always, a coach of a
    camp of theirs while the player has none.
    """
    if not isinstance(user, User) or not decides_age(user, player):
        return False
    return user.is_owner or guards(user, player) or player.lacks_guardian


def get_player_to_guard(user: Viewer, pk: UUID) -> Player:
    """A player for whom this person may name a guardian."""
    player = get_player(user, pk, shows=None)
    if not names_guardians(user, player):
        raise Http404
    return player


def camps_sent_to(user: Viewer, player: Player, invite_token: str | None = None) -> QuerySet[Camp]:
    """Camps to which this family may send clips of the player: the player's own, and the one of an open invite link."""
    if not is_family(user, player):
        return Camp.objects.none()
    own = Q(players=player)
    invited = Q(invite_token=invite_token, invite_ends_at__gt=timezone.now()) if invite_token else Q(pk=None)
    return Camp.objects.filter(own | invited).distinct()


def get_sending_camp(user: Viewer, player: Player, pk: int, invite_token: str | None) -> Camp:
    return get_object_or_404(camps_sent_to(user, player, invite_token), pk=pk)


def get_consent(user: Viewer, pk: int) -> Consent:
    """A consent that this person may take back: see `ends`."""
    consent = get_object_or_404(Consent.objects.select_related("player", "camp"), pk=pk)
    if not ends(user, consent):
        raise Http404
    return consent


def ends(user: Viewer, consent: Consent) -> bool:
    """Whether this person may take the consent back: who gave it, who speaks for the player, and the owner."""
    if not isinstance(user, User):
        return False
    return consent.given_by_id == user.pk or user.is_owner or speaks_for(user, consent.player)


def ends_all(user: Viewer, player: Player) -> bool:
    """Whether this person may also end what others agreed to for the player."""
    return isinstance(user, User) and (user.is_owner or speaks_for(user, player))


def speaks_for(user: Viewer, player: Player) -> bool:
    """Whether this person may agree for the player, take it back, or have clips deleted.

    A guardian, or the player once a guardian or coach has said that they are of age.
    """
    if not isinstance(user, User):
        return False
    return (player.user_id == user.pk and not player.is_minor) or guards(user, player)


def starts_families(user: Viewer) -> bool:
    """Whether this person may bring a new player to a camp. A child with a sign-in of their own may not."""
    return isinstance(user, User) and not of_age.is_minors_account(user)


def players_taken_out_by(user: User) -> list[Player]:
    """The players of whom this person takes a copy of everything: those they speak for."""
    family = Player.objects.filter(_family(user, "")).distinct()
    mine = [player for player in family if speaks_for(user, player)]
    for player in mine:
        _note(user, player, None, What.EXPORT)
    return mine


def get_player_to_erase(user: Viewer, pk: UUID) -> Player:
    """A player whom this person may have erased: who speaks for them, and the owner."""
    player = get_object_or_404(Player, pk=pk)
    if not ends_all(user, player):
        raise Http404
    return player


def get_account(user: Viewer, pk: int) -> User:
    """Somebody's account, for the owner."""
    require_owner(user)
    return get_object_or_404(User, pk=pk)


def get_spoken_for_submission(user: Viewer, pk: UUID) -> Submission:
    """A submission that this person may withdraw."""
    submission = get_family_submission(user, pk)
    if not speaks_for(user, submission.player):
        raise Http404
    return submission


def get_submission(user: Viewer, pk: UUID, *, shows: What | None) -> Submission:
    submission = get_object_or_404(submissions_seen_by(user).select_related("player", "camp"), pk=pk)
    _note(user, submission.player, submission, shows)
    return submission


def get_family_submission(user: Viewer, pk: UUID) -> Submission:
    """A submission that this person may change as family: add clips, withdraw."""
    if not isinstance(user, User):
        raise Http404
    return get_object_or_404(
        Submission.objects.filter(_family(user, "player__")).select_related("player", "camp").distinct(),
        pk=pk,
    )


def uploads_of(user: Viewer) -> QuerySet[Upload]:
    """Clips on their way that this person may go on with: those of their own players."""
    if not isinstance(user, User):
        return Upload.objects.none()
    return Upload.objects.filter(_family(user, "submission__player__")).distinct()


def get_upload(user: Viewer, pk: UUID) -> Upload:
    """Alone, since this is asked twice for each piece; what hangs on it is wanted with the last one only."""
    return get_object_or_404(uploads_of(user), pk=pk)


def get_desk_submission(user: Viewer, pk: UUID, *, shows: What | None) -> Submission:
    """A submission at the desk, for a coach of its camp."""
    submission = get_object_or_404(submissions_reviewed_by(user).select_related("player", "camp"), pk=pk)
    _note(user, submission.player, submission, shows)
    return submission


def get_clip(user: Viewer, pk: UUID, *, shows: What | None) -> Clip:
    """A clip whose derived pictures this person may see. Originals are handed to nobody."""
    return _clip_of(user, submissions_seen_by(user), pk, shows)


def get_desk_clip(user: Viewer, pk: UUID, *, shows: What | None) -> Clip:
    return _clip_of(user, submissions_reviewed_by(user), pk, shows)


def _clip_of(user: Viewer, submissions: QuerySet[Submission], pk: UUID, shows: What | None) -> Clip:
    """A clip of one of these; there is nothing to show of one that is not measured."""
    clips = Clip.objects.filter(submission__in=submissions).select_related("submission__player", "submission__camp")
    if shows:
        clips = clips.filter(measurement__stage="done").select_related("measurement")
    clip = get_object_or_404(clips, pk=pk)
    _note(user, clip.submission.player, clip.submission, shows)
    return clip


def evaluations_seen_by(user: Viewer) -> QuerySet[Evaluation]:
    return Evaluation.objects.filter(submission__in=submissions_seen_by(user))


def get_evaluation(user: Viewer, pk: UUID, *, shows: What | None) -> Evaluation:
    """An edition; its PDF does not exist before a worker has made it."""
    seen = evaluations_seen_by(user).select_related("submission__player", "submission__camp")
    found = get_object_or_404(seen.exclude(pdf="") if shows == What.PDF else seen, pk=pk)
    _note(user, found.submission.player, found.submission, shows)
    return found


def get_evaluation_to_ask(user: Viewer, pk: UUID) -> Evaluation:
    """An edition about which this person may ask: the family's."""
    found = get_evaluation(user, pk, shows=None)
    get_family_submission(user, found.submission_id)
    return found


def get_question_to_answer(user: Viewer, evaluation: UUID, pk: int) -> Question:
    """A question about an evaluation, for a coach of its camp (or the owner)."""
    found = get_evaluation(user, evaluation, shows=None)
    get_desk_submission(user, found.submission_id, shows=None)
    return get_object_or_404(Question.objects.filter(evaluation__submission=found.submission_id), pk=pk)


def note_email(user: Viewer, email: Email) -> None:
    """Note that this person reads an email to a family (who else may read emails is the outbox's question)."""
    to = Q(guardians__email__iexact=email.to) | Q(user__email__iexact=email.to)
    for player in Player.objects.filter(to).distinct():
        _note(user, player, None, What.EMAIL)


def note_row(user: Viewer, row: Model) -> None:
    """Note that this person reads a row of the owner's tables that is about a child: `row` is the player, or names the
    submission or player it is about.
    """
    submission = row if isinstance(row, Submission) else _named(row, "submission", "clip", "review")
    player = row if isinstance(row, Player) else submission.player if submission else getattr(row, "player", None)
    if isinstance(row, Email):
        note_email(user, row)
    elif player is not None:
        _note(user, player, submission, What.ROW)


def _named(row: Model, *names: str) -> Submission | None:
    """The submission that the row is about, along its foreign keys."""
    for name in names:
        about = getattr(row, name, None)
        if about is not None:
            return about if isinstance(about, Submission) else _named(about, *names)
    return None


def _note(user: Viewer, player: Player, submission: Submission | None, shows: What | None) -> None:
    if shows and isinstance(user, User):
        access_log.note(user, player, shows, submission)


def drills_seen_by(user: Viewer) -> QuerySet[Drill]:
    """The library is the coaches'; families see a drill inside their evaluation."""
    if not isinstance(user, User) or not is_coach(user):
        return Drill.objects.none()
    return Drill.objects.all()


def get_drill(user: Viewer, slug: str) -> Drill:
    return get_object_or_404(drills_seen_by(user), slug=slug)


def get_own_drill(user: Viewer, slug: str) -> Drill:
    """A drill this coach may change: their own, or any for the owner."""
    drills = drills_seen_by(user)
    if isinstance(user, User) and not user.is_owner:
        drills = drills.filter(author=user)
    return get_object_or_404(drills, slug=slug)


def get_own_phrase(user: Viewer, pk: int) -> Phrase:
    """A phrase of this coach's own book; nobody else sees it."""
    return get_object_or_404(Phrase, pk=pk, coach=require_coach(user))
