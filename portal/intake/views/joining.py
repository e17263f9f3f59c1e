"""From the invite link to a player with consent."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from portal import access
from portal.camps.models import Camp
from portal.intake import sending
from portal.intake.forms import ConsentForm, WhoForm
from portal.people import entrance
from portal.people.adapter import INVITE_KEY
from portal.people.forms import EntranceForm
from portal.people.history import own_players

GONE = 410


class NoWayIn(Exception):
    """The link opens nothing. Holds the kind page that says so."""

    def __init__(self, page: HttpResponse) -> None:
        super().__init__("no way in")
        self.page = page


def _invited(request: HttpRequest, token: str) -> Camp:
    """The camp of an open invite link, remembered for this browser."""
    camp = Camp.objects.filter(invite_token=token).first()
    if camp is None:
        raise NoWayIn(render(request, "intake/invite_unknown.html", status=404))
    if not camp.invite_is_open:
        raise NoWayIn(render(request, "intake/invite_over.html", {"camp": camp}, status=GONE))
    request.session[INVITE_KEY] = token
    return camp


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def join(request: HttpRequest, token: str) -> HttpResponse:
    """What the camp is and what will happen; an e-mail address is all that is asked for."""
    try:
        camp = _invited(request, token)
    except NoWayIn as closed:
        return closed.page
    form = EntranceForm(request.POST or None, request=request)
    who = reverse("join_who", args=[token])
    if request.method == "POST" and request.user.is_authenticated:
        return redirect(who)
    if request.method == "POST" and form.is_valid():
        return entrance.send_code(request, form.cleaned_data["email"], who)
    return render(request, "intake/join.html", {"camp": camp, "form": form, "who": who})


@never_cache
@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def join_who(request: HttpRequest, token: str) -> HttpResponse:
    """Who is hitting: one of the family's players, or a new one together with the consent."""
    try:
        camp = _invited(request, token)
    except NoWayIn as closed:
        return closed.page
    if not access.starts_families(request.user):
        return render(request, "intake/who_minor.html", {"camp": camp, "players": own_players(request.user)})
    form = WhoForm(request.POST or None, user=request.user)
    agreed = ConsentForm(request.POST or None)
    if request.method == "POST" and all([form.is_valid(), agreed.is_valid()]):
        player = form.save_with(camp, agreed)
        return redirect("submission_clip", sending.open_submission(player, camp, request.user).pk)
    players = own_players(request.user)
    shown = {"camp": camp, "form": form, "agreed": agreed, "players": players}
    return render(request, "intake/who.html", shown)
