"""Taking a submission to one's desk, and what is on it."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import formats, timezone
from django.utils.translation import gettext as _

from portal import access
from portal.desk import claims, drafts, page, reread
from portal.desk.forms import SwingForm
from portal.desk.stops import STOPS
from portal.desk.swings import swing_of
from portal.form_address import form_stands_at


def at_desk(request: HttpRequest, pk: UUID) -> str:
    """Where the forms about a review stand."""
    access.get_desk_submission(request.user, pk, shows=None)
    return reverse("desk", args=[pk])


@login_required
@form_stands_at(at_desk)
def claim(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Begin the review; with `from` (the reviewer the page named), take it over."""
    submission = access.get_desk_submission(request.user, pk, shows=None)
    wanted = _named_reviewer(request.POST.get("from", ""))
    try:
        if wanted is not None:
            claims.take_over(submission, request.user, wanted)
        else:
            claims.claim(submission, request.user)
        drafts.open_draft(submission)  # now, so that the clip on the desk stays when another is measured meanwhile
    except claims.HeldByAnother as held:
        messages.warning(request, held_words(held))
    except claims.NotForReview:
        messages.warning(
            request,
            _("There is nothing to review yet: this one is %(state)s.") % {"state": submission.get_state_display()},
        )
        return redirect("queue")
    return redirect("desk", pk)


def _named_reviewer(text: str) -> int | None:
    """The number of a person; None for what cannot be one (isdigit alone takes ² for a digit, which int refuses)."""
    return int(text) if text.isascii() and text.isdigit() and len(text) <= 18 else None


@login_required
@form_stands_at(at_desk)
def release(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Put it back into the queue for whoever comes next; a correction is put down, and what is published stays."""
    submission = access.get_desk_submission(request.user, pk, shows=None)
    about = {"player": submission.player}
    if claims.release(submission, request.user):
        back = _("%(player)s is back in the queue. Your draft is kept.")
        down = _("%(player)s stays as published. Your correction is kept: “Correct it” goes on with it.")
        messages.success(request, (down if submission.is_out else back) % about)
    else:
        messages.warning(request, _("You do not review %(player)s any more, so nothing was changed.") % about)
    return redirect("queue")


@login_required
@form_stands_at(at_desk)
def swing(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Look at another swing. Ratings and words stay; they are the coach's."""
    submission = access.get_desk_submission(request.user, pk, shows=None)
    form = SwingForm(request.POST)
    if not form.is_valid():
        raise Http404
    clip_pk, index = form.told()
    review = drafts.open_draft(submission)
    chosen = [choice["value"] for choice in page.swing_choices(drafts.measured_clips(submission), review)]
    if f"{clip_pk}:{index}" not in chosen:
        raise Http404
    stop = form.cleaned_data["stop"]
    here = redirect("desk", pk, stop) if stop in STOPS else redirect("desk", pk)
    if clip_pk == str(review.clip_id) and swing_of(review) is None:
        return here  # no swing is there to choose; the one that was looked at may be found again, under its number
    try:
        looked_at = drafts.set_fields(clip_id=clip_pk, swing=index)
        drafts.change(review, request.user, drafts.Sender(review.version), "", looked_at)
    except (drafts.Stale, drafts.Closed):
        messages.warning(
            request, _("The swing was not changed: the draft was just changed elsewhere. Please choose again.")
        )
    return here


@login_required
@form_stands_at(at_desk)
def reread_seen(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The coach has seen what became different when the film was read again."""
    submission = access.get_desk_submission(request.user, pk, shows=None)
    if claims.holds(submission, request.user):
        reread.seen(drafts.open_draft(submission), request.POST.get("stamp", ""))
    stop = request.POST.get("stop", "")
    return redirect("desk", pk, stop) if stop in STOPS else redirect("desk", pk)


def held_words(held: claims.HeldByAnother) -> str:
    """Maren is reviewing this since 18:40."""
    since = timezone.localtime(held.since)
    is_today = since.date() == timezone.localdate()
    when = formats.time_format(since, "g:i A") if is_today else formats.date_format(since, "F j, g:i A")
    return _("%(name)s is reviewing this since %(when)s.") % {"name": held.reviewer, "when": when}
