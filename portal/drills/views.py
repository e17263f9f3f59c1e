"""The drill library of the coaches: list, one drill, add and edit an own one."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from portal.access import drills_seen_by, get_drill, get_own_drill, require_coach
from portal.drills.forms import DrillForm, SetUpForm
from portal.drills.models import Drill
from portal.measuring.door import CHECKPOINTS, INSTANT_NAMES, INSTANTS


@login_required
@require_safe
def drills(request: HttpRequest) -> HttpResponse:
    """All drills, or with `?trains=<checkpoint>` or `?stop=<instant>` those that train it."""
    require_coach(request.user)
    trains, stop = request.GET.get("trains", ""), request.GET.get("stop", "")
    wanted = {c.id for c in CHECKPOINTS if c.id == trains} or {c.id for c in CHECKPOINTS if c.instant == stop}
    found = [d for d in drills_seen_by(request.user) if not wanted or wanted & set(d.trains)]
    context = {
        "drills": [d for d in found if not d.retired],
        "retired": [d for d in found if d.retired],
        "stops": [(instant, _(INSTANT_NAMES[instant])) for instant in INSTANTS],
        "stop": stop if stop in INSTANTS else "",
        "trains": next((c for c in CHECKPOINTS if c.id == trains), None),
    }
    return render(request, "drills/drills.html", context)


@login_required
@require_safe
def drill(request: HttpRequest, slug: str) -> HttpResponse:
    """One drill as a family would read it, and what the coach watches. `?hits=left` mirrors the drawing."""
    found = get_drill(request.user, slug)
    hits = "left" if request.GET.get("hits") == "left" else "right"
    context = {"drill": found, "hits": hits, "mine": may_change(request, found)}
    return render(request, "drills/drill.html", context)


def may_change(request: HttpRequest, drill: Drill) -> bool:
    user = request.user
    return user.is_authenticated and (user.is_owner or drill.author_id == user.pk)


@login_required
@require_http_methods(["GET", "POST"])
def add_drill(request: HttpRequest) -> HttpResponse:
    author = require_coach(request.user)
    return _form(request, Drill(author=author), _("A drill of your own"))


@login_required
@require_http_methods(["GET", "POST"])
def edit_drill(request: HttpRequest, slug: str) -> HttpResponse:
    found = get_own_drill(request.user, slug)
    return _form(request, found, found.title)


def _form(request: HttpRequest, subject: Drill, heading: str) -> HttpResponse:
    form = DrillForm(request.POST or None, instance=subject)
    set_up = SetUpForm(request.POST or None, initial=subject.set_up)
    both_hold = form.is_valid() & set_up.is_valid()  # & and not `and`: the faults of both are to be shown
    if request.method == "POST" and both_hold:
        subject.set_up = set_up.as_set_up()
        saved = form.save()
        messages.success(request, _("“%(title)s” is saved.") % {"title": saved.title})
        return redirect("drill", slug=saved.slug)
    return render(request, "drills/drill_form.html", {"form": form, "set_up": set_up, "heading": heading})
