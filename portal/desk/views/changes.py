"""Small changes to the draft, one JSON endpoint each: access, form, change, answer. And all that waits at once, from a
window that goes.

Every body holds `version`, `change` (a token made by the browser), `window` and `follows` (see drafts.Sender) beside its own
fields. Answers: 200 {"version", "news"} (of the film on the desk: so an open window hears that it was read again),
401 {"words", "code": "other_account" or none} where the page's coach is not signed in,
400 {"words"} for something that cannot be taken, 409 {"words", "code": "stale" or "closed"}.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any
from uuid import UUID

from django.http import HttpRequest, JsonResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from portal import access, json_body, other_account
from portal.desk import drafts
from portal.desk.counting import LastOne, let_count
from portal.desk.forms import (
    AssignmentForm,
    ChangesForm,
    CountingForm,
    DraftForm,
    MarkUpForm,
    RatingForm,
    Version,
)
from portal.desk.models import Review
from portal.intake.models import Submission
from portal.measuring.rereading import news_of

Body = dict[str, Any]


def _draft(form: Any) -> drafts.Change:
    return drafts.set_fields(**form.told())


def _rating(form: Any) -> drafts.Change:
    said = form.cleaned_data
    return drafts.rate(said["checkpoint"], said["rate"], said["words"])


def _counting(form: Any) -> drafts.Change:
    said = form.cleaned_data
    return let_count(said["clip"].pk, said["swing"], said["counts"])


def _markup(form: Any) -> drafts.Change:
    return drafts.draw(form.cleaned_data["clip"], form.cleaned_data["frame"], **form.picture())


def _assignment(form: Any) -> drafts.Change:
    said = form.cleaned_data
    if said["remove"]:
        return drafts.unassign(said["drill"])
    return drafts.assign(said["drill"], set_up=said["set_up"], goal=said["goal"], words=said["words"])


KINDS: dict[str, tuple[Callable[[Body, Submission], Version], Callable[[Any], drafts.Change]]] = {
    "draft": (lambda body, _submission: DraftForm(body), _draft),
    "rating": (lambda body, _submission: RatingForm(body), _rating),
    "counting": (CountingForm, _counting),
    "markup": (MarkUpForm, _markup),
    "assignment": (lambda body, _submission: AssignmentForm(body), _assignment),
}


@require_POST
def draft(request: HttpRequest, pk: UUID) -> JsonResponse:
    """Fields of the write-up."""
    return _answer(request, pk, "draft")


@require_POST
def rating(request: HttpRequest, pk: UUID) -> JsonResponse:
    """What the coach says of one checkpoint."""
    return _answer(request, pk, "rating")


@require_POST
def counting(request: HttpRequest, pk: UUID) -> JsonResponse:
    """A swing is left out of the clip's numbers, or counts again."""
    return _answer(request, pk, "counting")


@require_POST
def markup(request: HttpRequest, pk: UUID) -> JsonResponse:
    """The drawing on one frame."""
    return _answer(request, pk, "markup")


@require_POST
def assignment(request: HttpRequest, pk: UUID) -> JsonResponse:
    """A drill in the practice plan, or out of it."""
    return _answer(request, pk, "assignment")


@require_POST
def changes(request: HttpRequest, pk: UUID) -> JsonResponse:
    """All that a window has not had acknowledged when it goes, in order. What cannot be taken is left out, its token among
    the answer's `refused`: sent again by itself it is answered with words.
    """
    return _answer(request, pk, "")


class _Refused(Exception):
    """It cannot be taken, and why."""


def _answer(request: HttpRequest, pk: UUID, kind: str) -> JsonResponse:
    """Make the change that the body holds, or with no kind each of its changes."""
    if not request.user.is_authenticated:
        return JsonResponse({"words": _("You were signed out.")}, status=401)
    if other := other_account.refusal(request):
        return other
    submission = access.get_desk_submission(request.user, pk, shows=None)
    try:
        body = json_body.read_object(request)
        review = drafts.open_draft(submission)
        made = {"version": _make(request, review, kind, body)} if kind else _make_all(request, review, body)
    except json_body.Unreadable as odd:
        return odd.answer()
    except _Refused as why:
        return JsonResponse({"words": str(why)}, status=400)
    except drafts.Stale:
        words = _("This draft was changed in another window. Load the newest, then go on; nothing there is lost.")
        return JsonResponse({"words": words, "code": "stale"}, status=409)
    except drafts.Closed:
        return JsonResponse({"words": _closed_words(submission), "code": "closed"}, status=409)
    return JsonResponse({**made, "news": news_of(review.clip_id)})


def _make(request: HttpRequest, review: Review, kind: object, body: Body) -> int:
    if not isinstance(kind, str) or kind not in KINDS:
        raise _Refused(_("The desk knows no such change."))
    form_for, change_of = KINDS[kind]
    form = form_for(body, review.submission)
    if not form.is_valid():
        raise _Refused(_faults(form))
    try:
        return drafts.change(review, request.user, form.sender(), form.cleaned_data["change"], change_of(form))
    except LastOne as why:
        raise _Refused(str(why)) from why


def _make_all(request: HttpRequest, review: Review, body: Body) -> dict[str, Any]:
    form = ChangesForm(body)
    if not form.is_valid():
        raise _Refused(_faults(form))
    sender = form.sender()
    refused = []
    for one in form.cleaned_data["changes"]:
        about = {"version": sender.base, "window": sender.window, "follows": list(sender.follows)}
        try:
            sender = replace(sender, base=_make(request, review, one.get("kind"), {**one, **about}))
        except _Refused:
            refused.append(one.get("change"))
    return {"version": sender.base, "refused": refused}


def _faults(form: Version) -> str:
    return " ".join(str(fault) for faults in form.errors.values() for fault in faults)


def _closed_words(submission: Submission) -> str:
    submission.refresh_from_db()
    if submission.reviewer and submission.state == "in_review":
        return _("%(name)s is reviewing this now.") % {"name": submission.reviewer}
    return _("This submission is %(state)s now, so the draft is closed.") % {"state": submission.get_state_display()}
