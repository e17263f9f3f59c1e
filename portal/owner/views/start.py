"""A site's first start: the link from the terminal makes the owner, then the first steps follow."""

from __future__ import annotations

from allauth.account.internal.flows.login import perform_login, record_authentication
from allauth.account.models import Login
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods

from portal import access
from portal.camps.forms import CampForm
from portal.owner import first_link, steps
from portal.owner.forms import OwnerForm, SiteForm
from portal.owner.models import Site
from portal.people import second_step

GONE = 410


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def first_start_link(request: HttpRequest, token: str) -> HttpResponse:
    """Who holds the link from the terminal becomes the owner and is signed in."""
    try:
        first_link.check(token)
        form = OwnerForm(request.POST or None)
        if request.method == "POST" and form.is_valid():
            about = form.cleaned_data
            owner = first_link.make_owner(token, about["name"], about["email"], about["password"])
            record_authentication(request, owner, "first_link")
            return perform_login(request, Login(user=owner, email=owner.email, redirect_url=reverse("first_start")))
    except first_link.LinkSpent:
        return render(request, "owner/first_link_spent.html", status=GONE)
    return render(request, "owner/first_link.html", {"form": form})


@never_cache
@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def first_start(request: HttpRequest) -> HttpResponse:
    """The first steps, with what is done of them; `set aside` puts the rest away."""
    user = access.require_owner(request.user)
    if request.method == "POST":
        Site.objects.filter(pk=Site.get().pk).update(set_aside=True)
        messages.success(request, _("Put away. All of it can be found on this page whenever you want it."))
        return redirect("owner_home")
    all_steps = steps.steps_for(user)
    # Whoever sets up the second step from here comes back here for the rest.
    if any(step.id == "second" and not step.done for step in all_steps):
        request.session[second_step.AFTER] = request.path
    site = Site.get()
    shown = {
        "steps": all_steps,
        "now": next((step.id for step in all_steps if not step.done), ""),
        "site": site,
        "name_form": SiteForm(instance=site),
        "camp_form": CampForm(),
    }
    return render(request, "owner/first_start.html", shown)
