"""How the site is: for machines that watch it, and for the owner."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from portal import access
from portal.evaluations.tasks import given_up
from portal.form_address import form_stands_at
from portal.health import state
from portal.health.versions import versions
from portal.measuring import door
from portal.measuring.models import Measurement, Stage


@require_safe
@never_cache
def health(request: HttpRequest) -> JsonResponse:
    """{"status": "ok" or "trouble", "parts": {id: bool}}, with 200 or 503. Open to all, so it says nothing more."""
    told = [finding for finding in state.findings() if finding.id not in state.OWNERS_ALONE]
    parts = {finding.id: not finding.is_failing for finding in told}
    is_well = all(parts.values())
    return JsonResponse({"status": "ok" if is_well else "trouble", "parts": parts}, status=200 if is_well else 503)


@require_safe
@never_cache
def health_page(request: HttpRequest) -> HttpResponse:
    access.require_owner(request.user)
    failed = Measurement.objects.filter(stage=Stage.FAILED).select_related("clip__submission__player")
    findings = state.findings()
    context = {
        "findings": findings,
        "is_well": not any(finding.is_failing for finding in findings),
        "asks_to_look": any(not finding.ok for finding in findings),
        "papers": given_up().select_related("submission__player")[:50],
        "failed": failed.order_by("-finished_at")[:50],
        "versions": versions(),
    }
    return render(request, "health/page.html", context)


def _health_page(request: HttpRequest, pk: UUID) -> str:
    access.require_owner(request.user)
    return reverse("health_page")


@login_required
@form_stands_at(_health_page)
def measure_again(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The owner lets a clip that failed be tried anew, for instance after a fault of ours was mended."""
    user = access.require_owner(request.user)
    measurement = get_object_or_404(Measurement, clip=access.get_clip(user, pk, shows=None))
    if door.measure_again(measurement):
        messages.success(request, _("The clip waits for a worker again."))
    else:
        messages.warning(request, _("This clip is not one that failed any more; nothing was changed."))
    return redirect("health_page")
