"""What was made from a clip, to those who may see it; its reading, to the coaches of its camp."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponseBase, JsonResponse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_POST, require_safe

from portal import access, json_body, media, other_account
from portal.evaluations.models import What
from portal.intake.models import Clip
from portal.measuring import corrections, door, products, rereading
from portal.measuring.models import Measurement

MOST_UNANSWERED = 20  # each may cost a reading more


@require_safe
def clip_file(request: HttpRequest, pk: UUID, name: str) -> HttpResponseBase:
    """One of the files made from the clip: review copy, stills, poster, pictures of the instants."""
    if not products.is_shown(name):
        raise Http404
    measurement = _measured(access.get_clip(request.user, pk, shows=products.what_is(name)))
    return media.serve(request, f"{measurement.products}/{name}", products.kind_of(name))


@require_GET
@never_cache
def clip_result(request: HttpRequest, pk: UUID) -> JsonResponse:
    """{"version", "corrections", "result", "plate_fits", "news"}: the reading as it stands, what the coach moved by hand, and
    which news of it the coach has not seen (see `Reread`).
    """
    return JsonResponse(_standing(_measured(access.get_desk_clip(request.user, pk, shows=What.NUMBERS))))


@require_POST
@never_cache
def clip_correct(request: HttpRequest, pk: UUID) -> JsonResponse:
    """Takes {"version", "corrections"}, all corrections together; answers like `clip_result` with the new reading, and
    with the numbers of swings that "moved" because others are found now. A window that goes while requests of its own are under way
    names what each of those holds as "unanswered", oldest first: nobody else was quicker where they arrived first.

    409 when another window was quicker, 422 when a correction can't be used, 400 for another body, 401 where it is the page of
    somebody else than who is signed in; each with "words".
    """
    if request.user.is_authenticated and (other := other_account.refusal(request)):
        return other
    measurement = _measured(access.get_desk_clip(request.user, pk, shows=What.NUMBERS))
    try:
        wanted, version, unanswered = _asked(request)
        moved = corrections.apply(measurement, wanted, version, unanswered)
    except corrections.Stale:
        measurement.refresh_from_db()
        words = _("Somebody changed this clip in another window. The newest state is shown now; please move it again.")
        return JsonResponse({"words": words, **_standing(measurement)}, status=409)
    except json_body.Unreadable as odd:
        return odd.answer()
    except ValueError as error:
        return JsonResponse({"words": str(error)}, status=422)
    return JsonResponse({**_standing(measurement), "moved": moved})


def _measured(clip: Clip) -> Measurement:
    measurement: Measurement | None = getattr(clip, "measurement", None)  # came with it, submission, player and camp at hand
    if measurement is None or not measurement.is_measured:
        raise Http404
    return measurement


def _standing(measurement: Measurement) -> dict[str, Any]:
    return {
        "version": measurement.corrections_version,
        "corrections": measurement.corrections,
        "result": measurement.result,
        "plate_fits": door.plate_fits(measurement),
        "news": rereading.news_of(measurement.clip_id),
    }


def _asked(request: HttpRequest) -> tuple[dict[str, Any], int, list[dict[str, Any]]]:
    body = json_body.read_object(request)
    wanted, version = body.get("corrections"), body.get("version")
    if not isinstance(wanted, dict) or not isinstance(version, int) or isinstance(version, bool):
        raise json_body.Unreadable(_("Send an object “corrections” and a whole number “version”."))
    given = body.get("unanswered")
    unanswered = (
        given if isinstance(given, list) else [given]
    )  # one alone is of a page from before there could be several
    return wanted, version, [one for one in unanswered if isinstance(one, dict)][-MOST_UNANSWERED:]
