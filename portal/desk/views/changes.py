"""Small changes to the draft, one JSON endpoint each: access, form, change, answer.

Every body holds `version` and `change` (a token made by the browser) beside its own fields. Answers: 200 {"version", "news"}
(of the film on the desk: so an open window hears that it was read again),
400 {"words"} for something that cannot be taken, 409 {"words", "code": "stale" or "closed"}.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.http import HttpRequest, JsonResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from portal import access, json_body
from portal.desk import drafts
from portal.desk.counting import LastOne, let_count
from portal.desk.forms import AssignmentForm, CountingForm, DraftForm, MarkUpForm, RatingForm, Version
from portal.intake.models import Submission
from portal.measuring.rereading import news_of


@require_POST
def draft(request: HttpRequest, pk: UUID) -> JsonResponse:
    """Fields of the write-up."""

    def make(form: Any) -> drafts.Change:
        return drafts.set_fields(**form.told())

    return _change(request, pk, lambda data, _submission: DraftForm(data), make)


@require_POST
def rating(request: HttpRequest, pk: UUID) -> JsonResponse:
    """What the coach says of one checkpoint."""

    def make(form: Any) -> drafts.Change:
        said = form.cleaned_data
        return drafts.rate(said["checkpoint"], said["rate"], said["words"])

    return _change(request, pk, lambda data, _submission: RatingForm(data), make)


@require_POST
def counting(request: HttpRequest, pk: UUID) -> JsonResponse:
    """A swing is left out of the clip's numbers, or counts again."""

    def make(form: Any) -> drafts.Change:
        said = form.cleaned_data
        return let_count(said["clip"].pk, said["swing"], said["counts"])

    return _change(request, pk, CountingForm, make)


@require_POST
def markup(request: HttpRequest, pk: UUID) -> JsonResponse:
    """The drawing on one frame."""

    def make(form: Any) -> drafts.Change:
        return drafts.draw(form.cleaned_data["clip"], form.cleaned_data["frame"], **form.picture())

    return _change(request, pk, MarkUpForm, make)


@require_POST
def assignment(request: HttpRequest, pk: UUID) -> JsonResponse:
    """A drill in the practice plan, or out of it."""

    def make(form: Any) -> drafts.Change:
        said = form.cleaned_data
        if said["remove"]:
            return drafts.unassign(said["drill"])
        return drafts.assign(said["drill"], set_up=said["set_up"], goal=said["goal"], words=said["words"])

    return _change(request, pk, lambda data, _submission: AssignmentForm(data), make)


def _change(
    request: HttpRequest,
    pk: UUID,
    form_for: Callable[[dict[str, Any], Submission], Version],
    make: Callable[[Version], drafts.Change],
) -> JsonResponse:
    if not request.user.is_authenticated:
        return JsonResponse({"words": _("You were signed out.")}, status=401)
    submission = access.get_desk_submission(request.user, pk, shows=None)
    try:
        form = form_for(json_body.read_object(request), submission)
    except json_body.Unreadable as odd:
        return odd.answer()
    if not form.is_valid():
        return JsonResponse({"words": _faults(form)}, status=400)
    base, token = form.cleaned_data["version"], form.cleaned_data["change"]
    try:
        review = drafts.open_draft(submission)
        version = drafts.change(review, request.user, base, token, make(form))
    except LastOne as why:
        return JsonResponse({"words": str(why)}, status=400)
    except drafts.Stale:
        words = _("This draft was changed in another window. Load the newest, then go on; nothing there is lost.")
        return JsonResponse({"words": words, "code": "stale"}, status=409)
    except drafts.Closed:
        return JsonResponse({"words": _closed_words(submission), "code": "closed"}, status=409)
    return JsonResponse({"version": version, "news": news_of(review.clip_id)})


def _faults(form: Version) -> str:
    return " ".join(str(fault) for faults in form.errors.values() for fault in faults)


def _closed_words(submission: Submission) -> str:
    submission.refresh_from_db()
    if submission.reviewer and submission.state == "in_review":
        return _("%(name)s is reviewing this now.") % {"name": submission.reviewer}
    return _("This submission is %(state)s now, so the draft is closed.") % {"state": submission.get_state_display()}
