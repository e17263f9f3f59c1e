"""A clip is sent: consent where it lacks, the filming guide, and the file itself."""

from __future__ import annotations

import json
from typing import Any
from uuid import UUID

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.http import parse_header_parameters
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt, csrf_protect
from django.views.decorators.http import require_http_methods, require_safe
from multipart import MultipartError

from portal import access
from portal.intake import clips, consent, receiving, room
from portal.intake.form_film import FormFilm
from portal.intake.forms import ClipForm, ConsentForm
from portal.intake.models import Submission
from portal.intake.receiving import MEGABYTE, Arrived, Refused
from portal.intake.sending import asked_anew, open_submission
from portal.intake.tus import begun
from portal.people.adapter import INVITE_KEY
from portal.plain_input import content_length
from portal.web.straight import TAKER, Taker

FORM_AROUND = 64 * 1024  # what a multipart form adds around its file, generously


@require_safe
def filming(request: HttpRequest) -> HttpResponse:
    """The filming guide by itself, for everybody."""
    return render(request, "intake/filming.html")


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def submission_new(request: HttpRequest, pk: UUID, camp_pk: int) -> HttpResponse:
    """Another clip of a player the family already has, for the submission that waits for it or for a new one; asks for consent
    where the camp has none.
    """
    player = access.get_family_player(request.user, pk)
    camp = access.get_sending_camp(request.user, player, camp_pk, request.session.get(INVITE_KEY))
    holds = consent.holding(player, camp) is not None
    form = ConsentForm(request.POST if request.method == "POST" else None)
    speaks = access.speaks_for(request.user, player)
    if request.method == "POST" and (holds or (speaks and form.is_valid())):
        if not holds:
            consent.give(player, camp, request.user, training_too=form.cleaned_data["training_too"])
        return redirect("submission_clip", open_submission(player, camp, request.user).pk)
    shown = {
        "player": player,
        "camp": camp,
        "form": form,
        "holds": holds,
        "speaks": speaks,
        "asked": asked_anew(player, camp),
    }
    return render(request, "intake/submission_new.html", shown)


@never_cache
@login_required
@require_safe
def submission_clip(request: HttpRequest, pk: UUID) -> HttpResponse:
    """How to film, and the place to choose the clip."""
    return _clip_page(request, access.get_family_submission(request.user, pk))


def _clip_page(request: HttpRequest, submission: Submission, refused: Refused | None = None) -> HttpResponse:
    broken_off = begun.of(submission)
    shown = {
        "submission": submission,
        "begun": broken_off,
        "begun_json": json.dumps(broken_off),
        "form": ClipForm(),
        "refused": refused,
        "takes_clips": submission.state in clips.TAKES_CLIPS,
        "most_bytes": settings.UPLOAD_MAX_BYTES,
        "most_mb": settings.UPLOAD_MAX_BYTES // MEGABYTE,
    }
    return render(request, "intake/clip.html", shown, status=refused.status if refused else 200)


@csrf_exempt  # looked at by _read_form, once the length is known to be fair
@require_http_methods(["POST"])
def _clip_upload(request: HttpRequest, pk: UUID) -> HttpResponse:
    """Take a clip from a form, of any browser."""
    return _from_form(request, access.get_family_submission(request.user, pk))


def _from_form(request: HttpRequest, submission: Submission) -> HttpResponse:
    """The length is looked at before the form is read, and the form is read before its token can be."""
    length = content_length(request)
    if length > settings.UPLOAD_MAX_BYTES + FORM_AROUND:
        return _clip_page(request, submission, receiving.too_large())
    try:
        room.require_for(length)
    except Refused as refused:
        note(refused)
        return _clip_page(request, submission, refused)
    return _read_form(request, submission)


@csrf_protect
def _read_form(request: HttpRequest, submission: Submission) -> HttpResponse:
    try:
        clips.refuse_state(submission)
        arrived, name = _film_of(request)
        kept = clips.keep(submission, arrived, receiving.safe_name(name))
    except Refused as refused:
        note(refused)
        return _clip_page(request, submission, refused)
    tell(request, kept)
    return redirect("submission", kept.clip.submission_id)


def _film_of(request: HttpRequest) -> tuple[Arrived, str]:
    """The film and its name: in a file already where it went straight, else out of the form that Django read."""
    straight = request.META.get(TAKER)
    if isinstance(straight, FormFilm):
        arrived = straight.arrived()
        if arrived is not None:
            return arrived, straight.name or ""
    form = ClipForm(request.POST, request.FILES)
    if not form.is_valid():
        raise Refused("nothing", _("Choose the clip first, then send it."))
    file = form.cleaned_data["clip"]
    return receiving.take_in(file.chunks(), file.size), file.name


def _straight(request: HttpRequest, pk: UUID) -> Taker | None:
    """A file of its own for the film in a form. What is refused anyway is refused by `_from_form`, once it is here."""
    kind, about = parse_header_parameters(request.META.get("CONTENT_TYPE", ""))
    if request.method != "POST" or kind != "multipart/form-data" or not about.get("boundary"):
        return None
    length = content_length(request)
    try:
        submission = access.get_family_submission(request.user, pk)
        clips.refuse_state(submission)
        room.require_for(length)
        return FormFilm(about["boundary"], length)
    except (Http404, Refused, MultipartError):
        return None


clip_upload: Any = _clip_upload
clip_upload.straight = _straight


def note(refused: Refused) -> None:
    """What the family can do nothing about, the owner reads of."""
    if refused.code == receiving.DISK_FULL:
        room.tell_owner()


def tell(request: HttpRequest, kept: clips.Kept) -> None:
    """Say on the next page that the clip is here."""
    if kept.again:
        messages.info(request, _("We have this very clip already, so it was kept once. Here is where it stands."))
    else:
        messages.success(request, _("We have it."))
