"""Taking it back: one submission, or the consent for a whole camp. Both ask once and then delete."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from portal import access
from portal.intake import consent, erase
from portal.intake.states import State


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def submission_withdraw(request: HttpRequest, pk: UUID) -> HttpResponse:
    submission = access.get_spoken_for_submission(request.user, pk)
    if submission.state == State.WITHDRAWN:
        return redirect("submission", submission.pk)
    if request.method == "POST":
        erase.withdraw(submission)
        messages.success(request, _("Withdrawn. The clips and all that was made from them are deleted."))
        return redirect("submission", submission.pk)
    about = {
        "submission": submission,
        "player": submission.player,
        "published": submission.evaluations.exists(),
    }
    return render(request, "intake/withdraw.html", about)


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def consent_take_back(request: HttpRequest, pk: int) -> HttpResponse:
    given = access.get_consent(request.user, pk)
    if not given.holds:
        return redirect("player", given.player_id)
    if request.method == "POST":
        consent.take_back(given, alone=not access.ends_all(request.user, given.player))
        messages.success(request, _("Consent is taken back, and the clips and all that came from them are deleted."))
        return redirect("player", given.player_id)
    count = given.player.submissions.filter(camp=given.camp).exclude(state=State.WITHDRAWN).count()
    return render(request, "intake/consent_take_back.html", {"consent": given, "count": count})
