"""Giving reviews to another coach: ticked lines of the queue, or the one on the desk."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from portal import access
from portal.desk.forms import HandOverForm
from portal.desk.handing_over import NotHandedOver, hand_over
from portal.desk.views.holding import at_desk
from portal.form_address import form_stands_at
from portal.look.kept_words import taken
from portal.people.models import User


def _queue(request: HttpRequest) -> str:
    access.require_coach(request.user)
    return reverse("queue")


@login_required
@form_stands_at(_queue)
def hand_over_ticked(request: HttpRequest) -> HttpResponse:
    """Hand over what is ticked, and go back to the same page of the queue. What has changed since stays, and is named."""
    coach = access.require_coach(request.user)
    form = HandOverForm(request.POST)
    give_to(request, coach, form)
    return redirect(_back(form))


@login_required
@form_stands_at(at_desk)
def hand_over_from_desk(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Hand over what is on the desk, by the same form. Who has given it away goes on with the queue; else the desk says why not."""
    coach = access.require_coach(request.user)
    access.get_desk_submission(coach, pk, shows=None)
    return redirect("queue") if give_to(request, coach, HandOverForm(request.POST), pk) else redirect("desk", pk)


def give_to(request: HttpRequest, coach: User, form: HandOverForm, only: UUID | None = None) -> int:
    """Hand over what the form names, say what came of it, and give how many there are. `only` this one, where a page is about one."""
    if not form.is_valid():
        messages.warning(
            request, _("Nothing was handed over: please choose a coach, and at most 200 characters for them.")
        )
        return 0
    to = access.get_coach_beside(coach, form.cleaned_data["to"])
    which = [(pk, holder) for pk, holder in form.which() if only in (None, pk)]
    ticked = [(access.get_desk_submission(coach, pk, shows=None), holder) for pk, holder in which]
    if not ticked:
        messages.warning(request, _("Nothing was handed over: tick the players first."))
    given, kept = 0, []
    for submission, holder in ticked:
        try:
            hand_over(submission, coach, holder, to, form.cleaned_data["words"].strip())
            given += 1
        except NotHandedOver:
            kept.append(str(submission.player))
    if given:
        words = ngettext("%(n)d review is with %(name)s now.", "%(n)d reviews are with %(name)s now.", given)
        taken(request, words % {"n": given, "name": to} + " " + _("Drafts are kept."))
    if kept:
        about = {"players": ", ".join(kept), "name": to}
        messages.warning(
            request,
            _("Not handed over: %(players)s. It changed hands meanwhile, or %(name)s does not coach that camp.")
            % about,
        )
    return given


def _back(form: HandOverForm) -> str:
    """The page of the queue that the form came from: only its query is taken from it."""
    query = QueryDict(str(form.cleaned_data.get("back") or ""))
    return reverse("queue") + (f"?{query.urlencode()}" if query else "")
