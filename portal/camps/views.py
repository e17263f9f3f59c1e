"""A coach's camps: list, page with roster and invite link, new and changed ones."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from portal import access
from portal.camps.forms import CampForm
from portal.camps.models import Camp, default_invite_end, new_invite_token
from portal.camps.roster import counts_of, rows_of
from portal.form_address import form_stands_at


@login_required
@require_safe
def camps(request: HttpRequest) -> HttpResponse:
    user = access.require_coach(request.user)
    shown = access.camps_seen_by(user).annotate(player_count=Count("players", distinct=True))
    return render(request, "camps/camps.html", {"camps": shown})


@login_required
@require_safe
def camp(request: HttpRequest, pk: int) -> HttpResponse:
    shown = access.get_camp(request.user, pk)
    rows = rows_of(shown)
    link = settings.SITE_URL + reverse("join", args=[shown.invite_token])
    about = {"camp": shown, "rows": rows, "counts": counts_of(rows), "link": link, "own_bands": shown.own_bands.count()}
    return render(request, "camps/camp.html", about)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def camp_new(request: HttpRequest) -> HttpResponse:
    user = access.require_coach(request.user)
    form = CampForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        made = form.save()
        made.coaches.add(user)
        messages.success(request, _("The camp is there. Send its invite link to the families."))
        return redirect("camp", made.pk)
    return render(request, "camps/camp_form.html", {"form": form})


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def camp_edit(request: HttpRequest, pk: int) -> HttpResponse:
    shown = access.get_camp(request.user, pk)
    form = CampForm(request.POST or None, instance=shown)
    if request.method == "POST" and form.is_valid():
        form.instance.save(update_fields=form.changed_data or ["name"])
        messages.success(request, _("Saved."))
        return redirect("camp", shown.pk)
    return render(request, "camps/camp_form.html", {"form": form, "camp": shown})


def _camp(request: HttpRequest, pk: int) -> str:
    return reverse("camp", args=[access.get_camp(request.user, pk).pk])


@login_required
@form_stands_at(_camp)
def camp_invite(request: HttpRequest, pk: int) -> HttpResponse:
    """Make a new invite link (the old one opens nothing from then on), or close the one there is."""
    shown = access.get_camp(request.user, pk)
    if request.POST.get("do") == "close":
        Camp.objects.filter(pk=shown.pk).update(invite_ends_at=timezone.now())
        messages.success(request, _("The invite link is closed. Families that are in the camp notice nothing."))
    else:
        Camp.objects.filter(pk=shown.pk).update(invite_token=new_invite_token(), invite_ends_at=default_invite_end())
        messages.success(request, _("Here is a new invite link. The old one opens nothing any more."))
    return redirect("camp", shown.pk)
