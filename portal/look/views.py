"""The component page: all that pages are built of, in all its states, for eyes and for tests that photograph it."""

from __future__ import annotations

from django.conf import settings
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from portal.access import require_coach
from portal.look import samples


@require_safe
def look(request: HttpRequest) -> HttpResponse:
    """For coaches and the owner; for everybody while developing."""
    if not settings.DEBUG:
        require_coach(request.user)
    context = {
        "readings": samples.READINGS,
        "steps": samples.STEPS,
        "stopped_steps": samples.STOPPED_STEPS,
        "checks": samples.CHECKS,
        "fresh_form": samples.SampleForm(),
        "wrong_form": samples.SampleForm({"birth_year": "1815"}, auto_id="wrong_%s"),
        "page": Paginator(range(60), 20).page(2),
        "paper": ["paper", "sheet", "ink", "ink-2", "rule", "rule-strong", "green", "green-wash", "clay", "clay-wash"],
        "film": ["film-skeleton", "film-seen", "film-wanted", "film-coach", "film-edge"],
        "spaces": ["s1", "s2", "s3", "s4", "s5", "s6", "s7"],
    }
    return render(request, "look/components.html", context)
