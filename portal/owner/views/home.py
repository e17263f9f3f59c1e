"""The owner's own page, the test of the mail, and the site's name."""

from __future__ import annotations

from email.utils import parseaddr

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
from portal.form_address import form_stands_at
from portal.intake.models import Submission
from portal.intake.states import State, words_of
from portal.outbox.trying import try_mail
from portal.owner import steps
from portal.owner.forms import SiteForm
from portal.owner.models import Site


@login_required
@require_safe
def home(request: HttpRequest) -> HttpResponse:
    """How many submissions stand where, what is still to be set up, and the ways on."""
    user = access.require_owner(request.user)
    counts = dict(Submission.objects.order_by().values_list("state").annotate(Count("pk")))
    shown = [(words_of(state), counts[state.value]) for state in State if counts.get(state.value)]
    return render(request, "owner/home.html", {"counts": shown, "to_do": steps.left_for(user)})


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def site(request: HttpRequest) -> HttpResponse:
    access.require_owner(request.user)
    form = SiteForm(request.POST or None, instance=Site.get())
    if request.method == "POST" and form.is_valid():
        form.instance.save(update_fields=["name"])
        messages.success(request, _("Saved."))
        return redirect(_back(request))
    return render(request, "owner/site.html", {"form": form})


def _owners_page(request: HttpRequest) -> str:
    access.require_owner(request.user)
    return reverse("owner_home")


@login_required
@form_stands_at(_owners_page)
def test_mail(request: HttpRequest) -> HttpResponse:
    """Send the owner an email now and say what the mail server answered."""
    user = access.require_owner(request.user)
    outcome = try_mail(user.email)
    (messages.success if outcome.ok else messages.error)(request, outcome.words)
    if outcome.ok:
        Site.objects.filter(pk=Site.get().pk).update(mail_tested_at=timezone.now())
        if parseaddr(settings.DEFAULT_FROM_EMAIL)[1].endswith("@localhost"):
            messages.warning(
                request,
                _("Its sender is cagenote@localhost, and many servers throw that away: set DEFAULT_FROM_EMAIL."),
            )
    return redirect(_back(request))


def _back(request: HttpRequest) -> str:
    """The first steps, for who came from there; else the owner's page."""
    return "first_start" if request.POST.get("from") == "first_start" else "owner_home"
