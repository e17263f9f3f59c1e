"""The front door, the family's home, a player's page, and a player's own sign-in."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_safe

from portal import access
from portal.evaluations.models import What
from portal.intake import mails
from portal.intake.looks import seen_of
from portal.outbox.said import say_invited
from portal.people import awaited, entrance, invites, limits
from portal.people.forms import OWN_SIGN_IN_FROM, EditPlayerForm, NameForm, OwnPlayerForm, PlayerInviteForm
from portal.people.history import families_of, history_of
from portal.people.models import Player
from portal.privacy import keeping


@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """Everybody's first page: what this is, or straight to one's own work."""
    user = request.user
    if not user.is_authenticated:
        return render(request, "home.html")
    if user.is_coach:
        return redirect("queue")
    return redirect("owner_home") if user.is_owner else redirect("family")


@login_required
@require_safe
def family(request: HttpRequest) -> HttpResponse:
    """The children of a guardian, or the player themself, with everything that was sent and written."""
    children = families_of(request.user)
    return render(
        request,
        "people/family.html",
        {
            "children": children,
            "speaks": access.starts_families(request.user),
            "takes_film": any(access.speaks_for(request.user, child.player) for child in children),
        },
    )


@login_required
@require_safe
def player(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A player's history, for the family and for the coaches of their camps."""
    shown = access.get_player(request.user, pk, shows=What.PLAYER)
    ours = access.is_family(request.user, shown)
    return render(
        request,
        "people/player.html",
        {
            "player": shown,
            "ours": ours,
            "may_invite": _may_invite(request, shown),
            "keeping": keeping.all_kept([shown]) if ours else [],
            "may_erase": access.ends_all(request.user, shown),
            "decides_age": access.decides_age(request.user, shown),
            "names_guardians": access.names_guardians(request.user, shown),
            "guardians": shown.guardians.filter(is_active=True).order_by("name", "email") if ours else [],
            "camps": access.camps_sent_to(request.user, shown) if ours else [],
            "history": history_of(request.user, shown),
            "looks": seen_of(shown) if ours else [],
            "consents": _consents(request, shown),
        },
    )


def _consents(request: HttpRequest, shown: Player) -> list[dict[str, object]]:
    """Each consent with whether the reader may end it."""
    given = shown.consents.select_related("camp", "given_by", "player").order_by("-given_at")
    return [{"consent": one, "ends": one.holds and access.ends(request.user, one)} for one in given]


def _may_invite(request: HttpRequest, shown: Player) -> bool:
    """A guardian may offer a sign-in to a player who is old enough and has none."""
    old_enough = shown.age >= OWN_SIGN_IN_FROM
    return shown.user is None and old_enough and access.guards(request.user, shown)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def player_edit(request: HttpRequest, pk: UUID) -> HttpResponse:
    ours = access.get_family_player(request.user, pk)
    kind = EditPlayerForm if access.decides_age(request.user, ours) else OwnPlayerForm
    form = kind(request.POST or None, instance=ours)
    if request.method == "POST" and form.is_valid():
        form.instance.save(update_fields=form.changed_data) if form.changed_data else None
        messages.success(request, _("Saved."))
        return redirect("player", ours.pk)
    return render(request, "people/player_edit.html", {"form": form, "player": ours, "own": kind is OwnPlayerForm})


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def player_invite(request: HttpRequest, pk: UUID) -> HttpResponse:
    """A guardian offers the player a sign-in of their own."""
    ours = access.get_guarded_player(request.user, pk)
    form = PlayerInviteForm(request.POST or None, player=ours)
    may = _may_invite(request, ours)
    if request.method == "POST" and may and form.is_valid():
        email = form.cleaned_data["email"]
        try:
            limits.take_invitation(request.user)
        except limits.TooMany as enough:
            form.add_error(None, str(enough))
        else:
            mails.player_invite(ours, request.user, email, invites.token_for(ours, email, request.user))
            say_invited(request, email)
            return redirect("player", ours.pk)
    return render(
        request, "people/player_invite.html", {"form": form, "player": ours, "may": may, "days": invites.DAYS}
    )


@require_http_methods(["GET", "HEAD", "POST"])
def join_player(request: HttpRequest, token: str) -> HttpResponse:
    """The player opens the link from the mail: prove the address by a code, then take the sign-in."""
    try:
        invite = invites.read_token(token)
        if request.method == "POST":
            return _take(request, invite)
    except invites.InviteSpent:
        return render(request, "people/player_invite_spent.html", status=404)
    fits = request.user.is_authenticated and request.user.email.lower() == invite.email
    return render(request, "people/join_player.html", {"invite": invite, "fits": fits})


def _take(request: HttpRequest, invite: invites.PlayerInvite) -> HttpResponse:
    if not request.user.is_authenticated:
        return entrance.send_code(request, invite.email, request.get_full_path())
    invites.accept(invite, request.user)
    messages.success(request, _("This is your page now."))
    return redirect("family")


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def name(request: HttpRequest) -> HttpResponse:
    """What the coach and the mails call somebody."""
    form = NameForm(request.POST or None, instance=request.user)
    if request.method == "POST" and form.is_valid():
        request.user.save(update_fields=["name"])
        messages.success(request, _("Saved."))
        return redirect("home")
    return render(request, "people/name.html", {"form": form})


@never_cache
@require_safe
def awaited_email(request: HttpRequest) -> HttpResponse:
    """Where the email is that this session asked for; 204 while that is what the page shows already."""
    found = awaited.of(request)
    if found is None or found.kind == request.GET.get("seen"):
        return HttpResponse(status=204)
    return render(request, "people/_awaited.html", {"awaited": found})
