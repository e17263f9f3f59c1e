"""An invited coach comes in: prove the address by a code, say the name, go to work."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from portal.owner import coach_invites
from portal.owner.models import CoachInvite
from portal.people import entrance
from portal.people.forms import NameForm

GONE = 410


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def join_coach(request: HttpRequest, token: str) -> HttpResponse:
    try:
        invite = coach_invites.read_token(token)
        if request.user.is_authenticated and request.user.email.lower() == invite.email:
            return _come_in(request, invite)
        if request.method == "POST" and not request.user.is_authenticated:
            return entrance.send_code(request, invite.email, request.get_full_path())
    except coach_invites.InviteSpent:
        return render(request, "owner/coach_invite_spent.html", status=GONE)
    return render(request, "owner/join_coach.html", {"invite": invite, "days": CoachInvite.DAYS})


def _come_in(request: HttpRequest, invite: CoachInvite) -> HttpResponse:
    """The address is proven: the name is all that is missing."""
    form = NameForm(request.POST or None, instance=request.user)
    if request.method == "POST" and form.is_valid():
        coach_invites.accept(invite, request.user, form.cleaned_data["name"])
        messages.success(request, _("You are a coach here now."))
        return redirect("queue")
    return render(request, "owner/join_coach.html", {"invite": invite, "form": form})
