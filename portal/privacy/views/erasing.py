"""Having somebody erased: one clear page that asks, then it is done."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth import logout
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from portal import access
from portal.evaluations.models import Evaluation
from portal.intake.models import Clip
from portal.people import of_age
from portal.people.models import Player, User
from portal.privacy import erasing
from portal.privacy.forms import EraseForm
from portal.privacy.models import AskedBy


@never_cache
@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def player_erase(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A player with all that is kept of them, asked for by who speaks for them or the owner."""
    shown = access.get_player_to_erase(request.user, pk)
    form = EraseForm(request.POST if request.method == "POST" else None)
    by_family = access.speaks_for(request.user, shown)
    if request.method == "POST" and form.is_valid():
        erasing.erase_player(shown, AskedBy.FAMILY if by_family else AskedBy.OWNER)
        return _after(request)
    about = {"form": form, "going": [_count(shown)], "player": shown, "family": by_family}
    return render(request, "privacy/player_erase.html", about)


@never_cache
@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def account_erase(request: HttpRequest) -> HttpResponse:
    """One's own sign-in, with the players who are nobody else's."""
    return _account(request, access.require_person(request.user), AskedBy.THEMSELVES)


@never_cache
@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def person_erase(request: HttpRequest, pk: int) -> HttpResponse:
    """Somebody's account, by the owner."""
    return _account(request, access.get_account(request.user, pk), AskedBy.OWNER)


def _account(request: HttpRequest, user: User, asked_by: AskedBy) -> HttpResponse:
    form = EraseForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            erasing.erase_account(user, asked_by)
        except erasing.LastOwner:
            messages.error(request, _("This is the only owner. Make somebody else an owner first."))
            return redirect(request.path)
        return _after(request)
    about = {
        "form": form,
        "person": user,
        "own": user == request.user,
        "going": [_count(player) for player in erasing.players_going_with(user)],
        "staying": [(player, erasing.others_of(player, user)) for player in erasing.players_staying(user)],
        "minors": of_age.is_minors_account(user),
        "coach": erasing.is_needed(user),
        "only_owner": user.is_only_owner,
    }
    return render(request, "privacy/account_erase.html", about)


def _after(request: HttpRequest) -> HttpResponse:
    """Back to one's own page, or out where there is no own page any more."""
    still_there = request.user.pk is not None and User.objects.filter(pk=request.user.pk, is_active=True).exists()
    if still_there:
        messages.success(request, _("Erased. A few leftovers in the queue and on the disk follow within minutes."))
        return redirect("home")
    logout(request)
    return redirect("erased")


def _count(player: Player) -> dict[str, object]:
    """What is there of a player."""
    return {
        "player": player,
        "clips": Clip.objects.filter(submission__player=player).count(),
        "evaluations": Evaluation.objects.filter(submission__player=player).count(),
    }


@require_safe
def erased(request: HttpRequest) -> HttpResponse:
    """What somebody reads who is not here any more."""
    return render(request, "privacy/erased.html")
