"""Who speaks for a player: their age, and their guardians."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from portal import access
from portal.intake import mails
from portal.outbox.said import say_invited
from portal.people import entrance, guardian_invites, limits, of_age
from portal.people.forms import AgeForm, GuardianInviteForm, NameForm
from portal.people.invites import InviteSpent
from portal.people.models import Player, User


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def player_age(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A guardian, coach or the owner says when the player was born, and whether they are of age."""
    shown = access.get_player_to_age(request.user, pk)
    now = {"birth_year": shown.birth_year, "speaks": AgeForm.MINOR if shown.is_minor else AgeForm.ADULT}
    form = AgeForm(request.POST or None, player=shown, initial=now)
    if request.method == "POST" and form.is_valid():
        _decide(shown, access.require_person(request.user), form.cleaned_data)
        messages.success(request, _("Saved."))
        return redirect("player", shown.pk)
    return render(request, "people/player_age.html", {"form": form, "player": shown})


@transaction.atomic
def _decide(player: Player, by: User, said: dict[str, object]) -> None:
    player.birth_year = int(str(said["birth_year"]))
    player.save(update_fields=["birth_year"])
    if said["speaks"] == AgeForm.MINOR:
        of_age.call_minor(player)
    elif player.is_minor:
        of_age.call_adult(player, by)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def guardian_invite(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Ask somebody by mail to be the player's guardian."""
    shown = access.get_player_to_guard(request.user, pk)
    form = GuardianInviteForm(request.POST or None, player=shown)
    if request.method == "POST" and form.is_valid():
        email = form.cleaned_data["email"]
        by = access.require_person(request.user)
        try:
            limits.take_invitation(by)
        except limits.TooMany as enough:
            form.add_error(None, str(enough))
        else:
            mails.guardian_invite(shown, by, email, guardian_invites.token_for(shown, email, by))
            say_invited(request, email)
            return redirect("player", shown.pk)
    days = guardian_invites.DAYS
    return render(request, "people/guardian_invite.html", {"form": form, "player": shown, "days": days})


@require_http_methods(["GET", "HEAD", "POST"])
def join_guardian(request: HttpRequest, token: str) -> HttpResponse:
    """The guardian opens the link from the mail: prove the address by a code, then take it on."""
    try:
        invite = guardian_invites.read_token(token)
        user = request.user if isinstance(request.user, User) else None
        fits = user is not None and user.email.lower() == invite.email
        asked = NameForm(request.POST or None, instance=user) if user and fits and not user.name else None
        if request.method == "POST" and (asked is None or asked.is_valid()):
            return _take(request, invite, asked)
    except InviteSpent:
        return render(request, "people/guardian_invite_spent.html", status=404)
    return render(request, "people/join_guardian.html", {"invite": invite, "fits": fits, "form": asked})


def _take(request: HttpRequest, invite: guardian_invites.GuardianInvite, named: NameForm | None) -> HttpResponse:
    if not request.user.is_authenticated:
        return entrance.send_code(request, invite.email, request.get_full_path())
    with transaction.atomic():
        guardian_invites.accept(invite, request.user)
        if named is not None:
            request.user.save(update_fields=["name"])
    messages.success(
        request, _("You are a guardian now. Look at what is there, and agree if you want clips to be kept.")
    )
    return redirect("player", invite.player.pk)
