"""How a review ends: published, or with a request to film again."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from portal import access
from portal.desk import claims, drafts
from portal.desk.forms import FilmAgainForm, Version
from portal.desk.models import Review
from portal.evaluations.publish import publish as publish_review
from portal.intake import mails
from portal.intake.models import Submission
from portal.intake.states import MoveNotAllowed, State


@login_required
@require_POST
def publish(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Make the draft an edition and tell the family. The page must have seen the newest version of the draft."""
    submission = access.get_desk_submission(request.user, pk, shows=None)
    review = drafts.open_draft(submission)
    form = Version(request.POST)
    problem = _not_yet(request, submission, review, form)
    if problem:
        messages.warning(request, problem)
        return redirect("desk", pk, "preview")
    evaluation = publish_review(review, request.user)
    messages.success(
        request, _("Published. %(name)s’s family gets a mail now.") % {"name": submission.player.first_name}
    )
    return redirect("evaluation", evaluation.pk)


def _not_yet(request: HttpRequest, submission: Submission, review: Review, form: Version) -> str:
    """Why this cannot be published just now, or nothing."""
    if not claims.holds(submission, request.user):
        return _("Only who reviews it can publish it.")
    if not form.is_valid() or form.cleaned_data["version"] != review.version:
        return _("The draft was changed in another window. Look at the preview once more, then publish.")
    return " ".join(drafts.missing(review))


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def film_again(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Ask the family for a new clip, with the reason."""
    submission = access.get_desk_submission(request.user, pk, shows=None)
    form = FilmAgainForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            with transaction.atomic():
                submission.move(State.FILM_AGAIN, film_again_words=form.cleaned_data["words"].strip(), reviewer=None)
                mails.film_again(submission)
        except MoveNotAllowed as problem:
            messages.warning(request, str(problem))
        else:
            messages.success(request, _("%(name)s’s family has your words.") % {"name": submission.player.first_name})
        return redirect("queue")
    return render(request, "desk/film_again.html", {"submission": submission, "form": form})
