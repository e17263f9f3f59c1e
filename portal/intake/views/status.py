"""Where a submission stands, for its family; true, and in plain words."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from portal import access
from portal.evaluations.models import What
from portal.form_address import form_stands_at
from portal.intake import clips, progress, waiting
from portal.intake.forms import NoteForm
from portal.intake.looks import seen_by
from portal.intake.models import Submission
from portal.intake.states import State
from portal.intake.tus import begun
from portal.look.kept_words import taken

RUNNING = (State.RECEIVED, State.MEASURING)
NOTE_OPEN = (*RUNNING, State.UPLOADING, State.READY, State.FILM_AGAIN, State.UNREADABLE)


@never_cache
@login_required
@require_safe
def submission(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The status page; coaches of the camp see it as the family does."""
    shown = access.get_submission(request.user, pk, shows=What.PAGE)
    ours = access.is_family(request.user, shown.player)
    about = {
        **_standing(shown),
        "ours": ours,
        "begun": begun.of(shown) if ours else [],
        "speaks": access.speaks_for(request.user, shown.player),
        "note_form": NoteForm(instance=shown) if ours and shown.state in NOTE_OPEN else None,
        "clips": shown.clips.select_related("measurement"),
        "looks": seen_by(shown),
        "may_review": access.submissions_reviewed_by(request.user).filter(pk=shown.pk).exists(),
    }
    return render(request, "intake/submission.html", about)


@never_cache
@login_required
@require_safe
def submission_progress(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The part of the status page that moves while a clip is measured."""
    shown = access.get_submission(request.user, pk, shows=What.PAGE)
    ours = access.is_family(request.user, shown.player)
    response = render(request, "intake/_progress.html", {**_standing(shown), "ours": ours})
    if shown.state not in RUNNING:
        response["HX-Refresh"] = "true"  # the rest of the page has something new to say, too
    return response


def _standing(submission: Submission) -> dict[str, object]:
    clip = waiting.telling_clip(submission)
    measurement = waiting.measurement_of(clip)
    return {
        "submission": submission,
        "player": submission.player,
        "camp": submission.camp,
        "steps": progress.steps(submission),
        "coach": progress.coach_of(submission),
        "running": submission.state in RUNNING,
        "measurement": measurement,
        "checks": _checks(measurement),
        "takes_clips": submission.state in clips.TAKES_CLIPS,
        "evaluation": submission.evaluations.first(),
    }


def _checks(measurement: object) -> list[dict[str, object]]:
    """What the film check found, once it is known."""
    result = getattr(measurement, "result", None) or {}
    return result.get("film", {}).get("checks", [])


def _page(request: HttpRequest, pk: UUID) -> str:
    access.get_family_submission(request.user, pk)
    return reverse("submission", args=[pk])


@login_required
@form_stands_at(_page)
def submission_note(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Keep the family's word for the coach, until the coach is at it."""
    shown = access.get_family_submission(request.user, pk)
    form = NoteForm(request.POST, instance=shown)
    if shown.state not in NOTE_OPEN:
        messages.error(request, _("The coach is already at it, so the note stays as it was."))
    elif form.is_valid():
        Submission.objects.filter(pk=shown.pk).update(note=form.cleaned_data["note"])
        taken(request, _("The coach will read your note."))
    else:
        messages.error(request, _("The note is too long: 1000 characters at most."))
    return redirect("submission", shown.pk)
