"""The desk itself, and the pieces of it that are fetched anew."""

from __future__ import annotations

from uuid import UUID

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_safe

from portal import access
from portal.desk import claims, counting, drafts, film_check, page, reread, worklist
from portal.desk.doubts import doubts_of
from portal.desk.models import Review
from portal.desk.points import points
from portal.desk.skeleton import stretch
from portal.desk.stops import STOPS, stops
from portal.desk.swings import swing_of
from portal.evaluations.models import What
from portal.evaluations.publish import draft_snapshot
from portal.evaluations.stills import NoStill, jpeg_of
from portal.intake.models import Clip, Submission
from portal.intake.states import State
from portal.measuring.door import VIEW_NAMES
from portal.measuring.models import Measurement
from portal.people.models import PRONOUNS, User


@login_required
@never_cache
@require_safe
def desk(request: HttpRequest, pk: UUID, stop: str = "") -> HttpResponse:
    """One submission on the desk. Looking changes nothing; a review begins with a claim."""
    if stop and stop not in STOPS:
        raise Http404
    submission = access.get_desk_submission(request.user, pk, shows=What.DRAFT)
    clips = drafts.measured_clips(submission)
    review = drafts.draft_to_show(submission, clips)
    is_mine = claims.holds(submission, request.user)
    context = {
        **_about(clips, submission, review),
        "stop": stop or STOPS[0],
        "is_mine": is_mine,
        "may_claim": submission.state in claims.OPEN_TO_CLAIM,
        "held_by": submission.reviewer if submission.state == State.IN_REVIEW and not is_mine else None,
        "givable": _givable(request.user, submission) if worklist.may_be_handed_over(submission, bool(clips)) else [],
        "told": reread.told(review),
        "read_words": reread.read_words(getattr(review.clip, "measurement", None)),
        "points": points(),
        "views": [(name, _(words)) for name, words in VIEW_NAMES.items()],
        "data": page.desk_data(review, stop or STOPS[0], is_mine),
        "missing": drafts.missing(review),
    }
    return render(request, "desk/desk.html", context)


@login_required
@never_cache
@require_GET
def cards(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The stops with their readings, after a correction."""
    submission = access.get_desk_submission(request.user, pk, shows=What.NUMBERS)
    review = drafts.draft_to_show(submission)
    is_mine = claims.holds(submission, request.user)
    context = {
        "stops": stops(review, swing_of(review)),
        "is_mine": is_mine,
        "film_words": worklist.film_words(film_check.facts_of(review.clip)),
        "counting": counting.choices(review),
    }
    return render(request, "desk/cards.html", context)


@login_required
@never_cache
@require_GET
def preview(request: HttpRequest, pk: UUID) -> HttpResponse:
    """The evaluation as the player will see it, made from the draft as it stands."""
    submission = access.get_desk_submission(request.user, pk, shows=What.PREVIEW)
    review = drafts.draft_to_show(submission)
    context = {
        "submission": submission,
        "snapshot": draft_snapshot(review),
        "missing": drafts.missing(review),
        "doubts": doubts_of(review),
    }
    return render(request, "desk/preview.html", context)


@login_required
@require_GET
def skeleton(request: HttpRequest, pk: UUID) -> JsonResponse:
    """Keypoints and bat of the frames ?first= to ?last=."""
    clip = access.get_desk_clip(request.user, pk, shows=What.NUMBERS)
    measurement = getattr(clip, "measurement", None)
    if measurement is None or not measurement.is_measured:
        raise Http404
    try:
        first, last = (int(request.GET.get(name, "")) for name in ("first", "last"))
    except ValueError:
        return JsonResponse({"error": "first and last are frame numbers"}, status=400)
    try:
        return JsonResponse(stretch(measurement, first, last))
    except FileNotFoundError:
        raise Http404 from None


@login_required
@require_GET
def still(request: HttpRequest, pk: UUID, frame: int) -> HttpResponse:
    """One frame of the clip: the one that the desk opens with, asked for before it is known where in the packs it lies."""
    clip = access.get_desk_clip(request.user, pk, shows=What.FRAMES)
    try:
        jpeg = jpeg_of(clip.measurement, frame)
    except (Measurement.DoesNotExist, NoStill, FileNotFoundError):
        raise Http404 from None
    return HttpResponse(jpeg, content_type="image/jpeg")


def _givable(user: access.Viewer, submission: Submission) -> list[User]:
    """Whom it can be handed to, oneself last: the camp's other coaches than the one who holds it."""
    holder = submission.reviewer_id if submission.state == State.IN_REVIEW else None
    coaches = [one for one in access.coaches_of(submission.camp) if one.pk != holder]
    return sorted(coaches, key=lambda one: one.pk == user.pk)


def _about(clips: list[Clip], submission: Submission, review: Review) -> dict[str, object]:
    """The header's words and the walk."""
    return {
        "submission": submission,
        "player": submission.player,
        "review": review,
        "film_words": worklist.film_words(film_check.facts_of(review.clip)),
        "film": page.film_of(review),
        "due": worklist.due_words(submission.promised_by, timezone.localdate()),
        "late": worklist.late_words(submission.promised_by, timezone.localdate()),
        "swing_choices": page.swing_choices(clips, review),
        "clips": clips,
        "stops": stops(review, swing_of(review)),
        "counting": counting.choices(review),
        "pronouns": PRONOUNS,
    }
