"""The owner's page about coaches: who they are, inviting them, switching them off and on, co-owners, camps."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from portal import access
from portal.camps.models import Camp
from portal.form_address import form_stands_at
from portal.outbox.post_office import has_server
from portal.outbox.said import say_invited
from portal.owner import coach_invites, coaches
from portal.owner.forms import CampCoachesForm, CoachInviteForm
from portal.owner.models import CoachInvite
from portal.people import limits, second_step
from portal.people.models import User


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def people(request: HttpRequest) -> HttpResponse:
    """Everybody who works here, open invitations, and the form for a new one."""
    owner = access.require_owner(request.user)
    form = CoachInviteForm(request.POST or None, by=owner)
    if request.method == "POST" and form.is_valid():
        try:
            made = coach_invites.invite(owner, form.cleaned_data["email"], form.cleaned_data.get("camps", ()))
        except limits.TooMany as enough:
            form.add_error(None, str(enough))
        else:
            say_invited(request, made.email)
            return redirect("people")
    open_ones = CoachInvite.objects.filter(accepted_at=None, revoked_at=None).prefetch_related("camps")
    shown = {
        "form": form,
        "people": coaches.everybody(),
        "invites": open_ones,
        "camps": _camps(),
        "now": timezone.now(),
        "has_server": has_server(),
    }
    return render(request, "owner/people.html", shown)


def _camps():
    return Camp.objects.prefetch_related("coaches")


def _people(request: HttpRequest, pk: int) -> str:
    access.require_owner(request.user)
    return reverse("people")


@login_required
@form_stands_at(_people)
def revoke(request: HttpRequest, pk: int) -> HttpResponse:
    """Take an invitation back: its link opens nothing any more."""
    access.require_owner(request.user)
    made = get_object_or_404(CoachInvite, pk=pk)
    if coach_invites.revoke(made):
        messages.success(request, _("The invitation to %(email)s opens nothing any more.") % {"email": made.email})
    else:
        messages.warning(request, _("This invitation was taken back or accepted before; nothing was changed."))
    return redirect("people")


@login_required
@require_safe
def person(request: HttpRequest, pk: int) -> HttpResponse:
    """One coach or owner, with all that the owner can do about them."""
    owner = access.require_owner(request.user)
    shown = get_object_or_404(coaches.everybody(), pk=pk)
    about = {"person": shown, "is_me": shown.pk == owner.pk, "is_only_owner": shown.is_only_owner}
    return render(request, "owner/person.html", about)


def _person(request: HttpRequest, pk: int) -> str:
    access.require_owner(request.user)
    return reverse("person", args=[get_object_or_404(coaches.everybody(), pk=pk).pk])


@login_required
@form_stands_at(_person)
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Do one of CHANGES to a coach or owner."""
    access.require_owner(request.user)
    shown = get_object_or_404(coaches.everybody(), pk=pk)
    act = CHANGES.get(request.POST.get("do", ""))
    if act is None:
        return redirect("person", pk)
    try:
        words = act(shown)
    except coaches.LastOwner:
        messages.error(request, _("Somebody has to keep the site running: make another owner first."))
    else:
        messages.success(request, words)
    return redirect("person", pk) if coaches.everybody().filter(pk=pk).exists() else redirect("people")


def _off(person: User) -> str:
    coaches.switch(person, on=False)
    return _("%(who)s sees no camp and no player any more.") % {"who": person}


def _on(person: User) -> str:
    coaches.switch(person, on=True)
    return _("%(who)s coaches again.") % {"who": person}


def _owner(person: User) -> str:
    coaches.set_owner(person, owner=True)
    return _("%(who)s keeps the site running together with you.") % {"who": person}


def _no_owner(person: User) -> str:
    coaches.set_owner(person, owner=False)
    return _("%(who)s is no owner any more.") % {"who": person}


def _forget(person: User) -> str:
    second_step.forget(person)
    return _("At the next click %(who)s is asked to set up a new second step.") % {"who": person}


CHANGES = {"off": _off, "on": _on, "owner": _owner, "no_owner": _no_owner, "forget_second_step": _forget}


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def camp_coaches(request: HttpRequest, pk: int) -> HttpResponse:
    """Hand a camp over: say who coaches it from now on."""
    access.require_owner(request.user)
    camp = get_object_or_404(Camp, pk=pk)
    form = CampCoachesForm(request.POST or None, camp=camp)
    if request.method == "POST" and form.is_valid():
        coaches.hand_over(camp, form.cleaned_data["coaches"])
        messages.success(request, _("Saved. Who was taken out does not see the camp any more."))
        return redirect("people")
    return render(request, "owner/camp_coaches.html", {"camp": camp, "form": form})
